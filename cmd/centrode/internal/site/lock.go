package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"time"
)

// locker takes lock files, waiting for another build to end. The system gives a lock back when its process dies.
type locker struct {
	wait time.Duration // how long; 0 means two minutes
	note func(string)
}

// lock takes the lock on the named file and returns the function that gives it back and removes the file.
func (l locker) lock(name string) (release func(), err error) {
	wait := l.wait
	if wait == 0 {
		wait = 2 * time.Minute
	}
	told := false
	for deadline := time.Now().Add(wait); ; time.Sleep(50 * time.Millisecond) {
		f, err := tryLock(name)
		if err != nil {
			return nil, err
		}
		if f != nil {
			return func() { unlock(f, name) }, nil
		}
		if time.Now().After(deadline) {
			return nil, fmt.Errorf("another build%s is still writing after %v; wait for it, or end it, and build again", holder(name), wait)
		}
		if !told && l.note != nil {
			l.note("Waiting for another build" + holder(name) + " to end.")
			told = true
		}
	}
}

// tryLock returns the locked file, or nil when another process holds it or has just removed it.
func tryLock(name string) (*os.File, error) {
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, err
	}
	if err := lockFile(f); err != nil {
		f.Close()
		if errors.Is(err, errHeld) {
			return nil, nil
		}
		return nil, err
	}
	held, err := f.Stat()
	named, err2 := os.Stat(name)
	if err != nil || err2 != nil || !os.SameFile(held, named) { // removed by the holder before us: what we hold has no name
		f.Close()
		if errors.Is(err2, fs.ErrNotExist) {
			err2 = nil
		}
		return nil, errors.Join(err, err2)
	}
	if err := f.Truncate(0); err == nil {
		f.WriteString(strconv.Itoa(os.Getpid()))
	}
	return f, nil
}

// holder names the process in the lock file, for a message.
func holder(name string) string {
	data, err := os.ReadFile(name)
	pid := strings.TrimSpace(string(data))
	if _, bad := strconv.Atoi(pid); err != nil || bad != nil {
		return ""
	}
	return " (process " + pid + ")"
}

var errHeld = errors.New("held by another process")
