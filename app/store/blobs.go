//go:build !js

package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
)

// blobFolder is the folder of the photos and papers within that of the shop.
const blobFolder = "blobs"

// blobFiles keeps contents by their hash. They never change, so writing the
// same one again does nothing.
type blobFiles interface {
	put(ctx context.Context, hash string, content []byte) error
	// open gives fs.ErrNotExist when there is no such content.
	open(ctx context.Context, hash string) (io.ReadSeekCloser, error)
	has(ctx context.Context, hash string) (bool, error)
}

// PutBlob keeps a photo or a paper; its hash and size are set here. The
// content is on the disk before the row that names it.
func (db *DB) PutBlob(ctx context.Context, site string, b Blob, content []byte) (Blob, error) {
	b.Hash, b.Size = HashOf(content), int64(len(content))
	if err := db.files.put(ctx, b.Hash, content); err != nil {
		return Blob{}, fmt.Errorf("store: keep %s: %w", b.Hash, err)
	}
	err := db.exec(ctx, "INSERT INTO blobs (site, hash, media, name, size, thumb, created) VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT (site, hash) DO NOTHING",
		site, b.Hash, b.Media, b.Name, b.Size, b.Thumb, int64(b.Created))
	return b, err
}

// Blobs lists the blobs of a site by hash.
func (db *DB) Blobs(ctx context.Context, site string) ([]Blob, error) { return db.blobsOf(ctx, site) }

// BlobOf describes a blob.
func (db *DB) BlobOf(ctx context.Context, site, hash string) (Blob, error) {
	return first(ctx, db, "SELECT hash, media, name, size, thumb, created FROM blobs WHERE site = $1 AND hash = $2", []any{site, hash}, scanBlob)
}

func scanBlob(row *sql.Rows, b *Blob) error {
	return row.Scan(&b.Hash, &b.Media, &b.Name, &b.Size, &b.Thumb, &b.Created)
}

// OpenBlob opens the content of a blob.
func (db *DB) OpenBlob(ctx context.Context, site, hash string) (Blob, io.ReadSeekCloser, error) {
	b, err := db.BlobOf(ctx, site, hash)
	if err != nil {
		return b, nil, err
	}
	content, err := db.files.open(ctx, hash)
	if errors.Is(err, fs.ErrNotExist) {
		return b, nil, fmt.Errorf("store: the content of %s is gone: %w", hash, ErrNotFound)
	}
	return b, content, err
}

// folderFiles keeps contents in a folder, spread over subfolders.
type folderFiles string

func (f folderFiles) path(hash string) string { return filepath.Join(string(f), hash[:2], hash[2:]) }

func (f folderFiles) has(_ context.Context, hash string) (bool, error) {
	_, err := os.Stat(f.path(hash))
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// put writes the content beside its place, flushes it and puts it there in one
// step: a name never stands for half a content.
func (f folderFiles) put(ctx context.Context, hash string, content []byte) (err error) {
	if has, err := f.has(ctx, hash); has || err != nil {
		return err
	}
	path := f.path(hash)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	fresh, err := os.CreateTemp(filepath.Dir(path), ".new-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = fresh.Close() // the first error says more
			_ = os.Remove(fresh.Name())
		}
	}()
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

func (f folderFiles) open(_ context.Context, hash string) (io.ReadSeekCloser, error) {
	return os.Open(f.path(hash))
}

// syncFolder flushes the names in a folder. Systems that cannot do so keep
// them safe by themselves.
func syncFolder(path string) error {
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	_ = folder.Sync()
	return folder.Close()
}

// memoryFiles keeps contents in memory.
type memoryFiles struct {
	mutex    sync.Mutex
	contents map[string][]byte
}

func newMemoryFiles() *memoryFiles { return &memoryFiles{contents: map[string][]byte{}} }

func (m *memoryFiles) put(_ context.Context, hash string, content []byte) error {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.contents[hash] = bytes.Clone(content)
	return nil
}

func (m *memoryFiles) has(_ context.Context, hash string) (bool, error) {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	_, ok := m.contents[hash]
	return ok, nil
}

type memoryFile struct{ *bytes.Reader }

func (memoryFile) Close() error { return nil }

func (m *memoryFiles) open(_ context.Context, hash string) (io.ReadSeekCloser, error) {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	content, ok := m.contents[hash]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return memoryFile{bytes.NewReader(content)}, nil
}
