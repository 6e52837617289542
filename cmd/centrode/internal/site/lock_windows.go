package site

import (
	"os"

	"golang.org/x/sys/windows"
)

func lockFile(f *os.File) error {
	behind := &windows.Overlapped{OffsetHigh: 1} // what is locked cannot be read by others, and they want to know who holds it
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, behind)
	if err == windows.ERROR_LOCK_VIOLATION {
		return errHeld
	}
	return err
}

func unlock(f *os.File, name string) {
	f.Close() // a file that is open cannot be removed here: neither this one, before, nor after it one that somebody else has locked since
	os.Remove(name)
}
