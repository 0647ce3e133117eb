package transfer

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"pumpwright/calc/say"
)

const (
	lockPatience = 10 * time.Second
	lockPause    = 5 * time.Millisecond
)

var (
	msgLocked   = say.Define("transfer.locked", "somebody else is writing to this file")
	msgTryAgain = say.Define("transfer.try_again", "try again in a moment; nothing was saved")
	errHeld     = errors.New("held by another writer")
)

// lock waits until nobody else writes to the file and returns what lets go of
// it. The lock file may stay behind when its holder is killed; the lock itself
// does not, so nobody waits for the dead.
func lock(path string) (unlock func(), err error) {
	name := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".lock")
	for start := time.Now(); ; time.Sleep(lockPause) {
		file, err := tryLock(name)
		if err == nil {
			return func() { letGo(file, name) }, nil
		}
		if !errors.Is(err, errHeld) {
			return nil, err
		}
		if time.Since(start) > lockPatience {
			return nil, &fs.PathError{Op: "write", Path: path, Err: say.Refuse("", "", msgLocked.With(), msgTryAgain.With())}
		}
	}
}

// tryLock takes the lock if it is free. A lock file that its last holder has
// removed meanwhile does not count.
func tryLock(name string) (*os.File, error) {
	file, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o666)
	if err != nil {
		return nil, err
	}
	if err := lockFile(file); err != nil {
		_ = file.Close() // nothing was written
		return nil, err
	}
	mine, err := file.Stat()
	if err == nil {
		var there fs.FileInfo
		if there, err = os.Stat(name); err == nil && os.SameFile(mine, there) {
			return file, nil
		}
	}
	_ = file.Close() // closing lets go
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		return nil, errHeld
	}
	return nil, fmt.Errorf("lock: %w", err)
}
