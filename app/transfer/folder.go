package transfer

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// Folder is the place from which the names of files are read. The empty
// Folder is the folder in which the program runs.
type Folder string

// Path returns where a file of that name lies.
func (f Folder) Path(name string) string {
	if filepath.IsAbs(name) || f == "" {
		return name
	}
	return filepath.Join(string(f), name)
}

// Read returns the content of a file.
func (f Folder) Read(name string) ([]byte, error) { return os.ReadFile(f.Path(name)) }

// Has reports whether there is a file or folder of that name.
func (f Folder) Has(name string) bool {
	_, err := os.Stat(f.Path(name))
	return err == nil
}

// MakeFolder makes a folder and those above it.
func (f Folder) MakeFolder(name string) error { return os.MkdirAll(f.Path(name), 0o777) }

// Write puts content into a file, whole or not at all. What was there before
// is replaced; its permissions stay.
func (f Folder) Write(name string, content []byte) error {
	path, err := throughLinks(f.Path(name))
	if err != nil {
		return err
	}
	unlock, err := lock(path)
	if err != nil {
		return err
	}
	defer unlock()
	return replace(path, content)
}

// Create puts content into a new file, whole or not at all. A file that is
// there already is an error that is fs.ErrExist.
func (f Folder) Create(name string, content []byte) error {
	path := f.Path(name)
	unlock, err := lock(path)
	if err != nil {
		return err
	}
	defer unlock()
	if _, err := os.Lstat(path); err == nil {
		return &fs.PathError{Op: "create", Path: name, Err: fs.ErrExist}
	}
	return replace(path, content)
}

// throughLinks follows a link to the file itself, so that the link stays.
func throughLinks(path string) (string, error) {
	real, err := filepath.EvalSymlinks(path)
	if errors.Is(err, fs.ErrNotExist) {
		return path, nil
	}
	return real, err
}

// replace writes the content beside the file, flushes it, puts it into the
// file's place and flushes the folder. At every moment the name stands for the
// whole old content or the whole new one. The caller holds the lock.
func replace(path string, content []byte) (err error) {
	mode := fs.FileMode(0)
	if old, err := os.Stat(path); err == nil {
		mode = old.Mode().Perm()
	}
	fresh, err := createBeside(path)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = fresh.Close() // the first error says more
			_ = os.Remove(fresh.Name())
		}
	}()
	if mode != 0 {
		if err := fresh.Chmod(mode); err != nil {
			return err
		}
	}
	if _, err := fresh.Write(content); err != nil {
		return err
	}
	if err := fresh.Sync(); err != nil {
		return err
	}
	if err := fresh.Close(); err != nil {
		return err
	}
	if err := os.Rename(fresh.Name(), path); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// createBeside makes a hidden file in the same folder, with the permissions
// that a new file gets there. What a killed writer left under the name is
// taken over: the lock is held.
func createBeside(path string) (*os.File, error) {
	name := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".new")
	return os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
}
