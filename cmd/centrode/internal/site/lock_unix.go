//go:build unix

package site

import (
	"os"

	"golang.org/x/sys/unix"
)

func lockFile(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if err == unix.EWOULDBLOCK {
		return errHeld
	}
	return err
}

func unlock(f *os.File, name string) {
	os.Remove(name) // while it is still held, so that nobody else's lock is removed
	f.Close()
}
