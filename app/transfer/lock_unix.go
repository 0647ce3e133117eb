//go:build unix

package transfer

import (
	"errors"
	"os"
	"syscall"
)

func lockFile(file *os.File) error {
	err := syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) || errors.Is(err, syscall.EINTR) {
		return errHeld
	}
	return err
}

// letGo removes the lock file while the lock is still held, then closes it.
func letGo(file *os.File, name string) {
	_ = os.Remove(name) // a lock file that stays does no harm
	_ = file.Close()
}

// syncFolder flushes the folder, so that the new name survives a power cut.
func syncFolder(path string) error {
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	defer folder.Close()
	err = folder.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP) { // a file system without it
		return nil
	}
	return err
}
