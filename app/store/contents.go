//go:build !js

package store

import (
	"bytes"
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"path/filepath"
	"strings"

	"pumpwright/app/store/bucket"
	"pumpwright/calc/say"
)

// Place is where a store is kept.
type Place struct {
	Folder   string // of the SQLite file, and of the photos unless they are elsewhere
	Database string // URL of a PostgreSQL database, "" for the SQLite file
	// Photos is where photos and papers lie: "" for the folder, or for the
	// database when there is no folder; InDatabase; the address of a bucket,
	// such as https://host/bucket?region=name; or the path of another folder.
	Photos string
	Key    bucket.Key // for a bucket
}

// InDatabase keeps photos and papers in the database beside everything else.
const InDatabase = "database"

var (
	msgNoFolder     = say.Define("store.no_folder", "neither a folder nor a database is named")
	msgNameFolder   = say.Define("store.name_folder", "name the folder of the shop, or its database")
	msgBucketFails  = say.Define("store.bucket_fails", "the store of photos does not do what it must: {reason}")
	msgBucketRights = say.Define("store.bucket_rights", "see that it runs and that the key may put, get and delete")
)

// Open opens the store of a place, and makes it when it is not there.
func Open(ctx context.Context, p Place) (*DB, error) {
	var db *DB
	var err error
	switch {
	case p.Database != "":
		db, err = openServer(ctx, p.Database)
	case p.Folder != "":
		db, err = openFile(ctx, p.Folder)
	default:
		return nil, say.Refuse("data", "", msgNoFolder.With(), msgNameFolder.With())
	}
	if err != nil {
		return nil, err
	}
	if db.files, err = filesOf(ctx, p, db); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

func filesOf(ctx context.Context, p Place, db *DB) (blobFiles, error) {
	switch {
	case p.Photos == InDatabase, p.Photos == "" && p.Folder == "":
		return tableFiles{db}, nil
	case p.Photos == "":
		return eitherFiles{folderFiles(filepath.Join(p.Folder, blobFolder)), tableFiles{db}}, nil
	case isAddress(p.Photos):
		client, err := bucket.New(p.Photos, p.Key)
		if err != nil {
			return nil, err
		}
		files := bucketFiles{client}
		return eitherFiles{files, tableFiles{db}}, files.try(ctx)
	}
	return eitherFiles{folderFiles(p.Photos), tableFiles{db}}, nil
}

func isAddress(text string) bool {
	u, err := url.Parse(text)
	return err == nil && (u.Scheme == "http" || u.Scheme == "https") && strings.Contains(text, "://")
}

// tableFiles keeps contents in a table of the database.
type tableFiles struct{ db *DB }

const putContent = "INSERT INTO contents (hash, content) VALUES ($1, $2) ON CONFLICT (hash) DO NOTHING"

func (f tableFiles) put(ctx context.Context, hash string, content []byte) error {
	return f.db.write(ctx, func(ctx context.Context, tx *sql.Tx) error { return f.putIn(ctx, tx, hash, content) })
}

func (f tableFiles) putIn(ctx context.Context, tx *sql.Tx, hash string, content []byte) error {
	if _, err := tx.ExecContext(ctx, putContent, hash, content); err != nil {
		return fmt.Errorf("store: content: %w", err)
	}
	return nil
}

func (f tableFiles) open(ctx context.Context, hash string) (io.ReadSeekCloser, error) {
	content, err := first(ctx, f.db, "SELECT content FROM contents WHERE hash = $1", []any{hash}, func(row *sql.Rows, content *[]byte) error { return row.Scan(content) })
	if errors.Is(err, ErrNotFound) {
		return nil, fs.ErrNotExist
	}
	return memoryFile{bytes.NewReader(content)}, err
}

func (f tableFiles) has(ctx context.Context, hash string) (bool, error) {
	_, err := first(ctx, f.db, "SELECT 1 FROM contents WHERE hash = $1", []any{hash}, func(row *sql.Rows, one *int64) error { return row.Scan(one) })
	if errors.Is(err, ErrNotFound) {
		return false, nil
	}
	return err == nil, err
}

// bucketFiles keeps contents in an object store.
type bucketFiles struct{ client *bucket.Client }

func (f bucketFiles) put(ctx context.Context, hash string, content []byte) error {
	if has, err := f.has(ctx, hash); has || err != nil {
		return err
	}
	return f.client.Put(ctx, hash, content)
}

func (f bucketFiles) open(ctx context.Context, hash string) (io.ReadSeekCloser, error) {
	content, err := f.client.Get(ctx, hash)
	if err != nil {
		return nil, err
	}
	return memoryFile{bytes.NewReader(content)}, nil
}

func (f bucketFiles) has(ctx context.Context, hash string) (bool, error) {
	return f.client.Has(ctx, hash)
}

// try does all that the store will want, once, at the start: a key that may
// not write is found now and not by the first photo.
func (f bucketFiles) try(ctx context.Context) error {
	name, content := "try-"+rand.Text(), []byte("pumpwright")
	err := f.client.Put(ctx, name, content)
	if err == nil {
		var got []byte
		if got, err = f.client.Get(ctx, name); err == nil && !bytes.Equal(got, content) {
			err = errors.New("what was put is not what comes back")
		}
		err = errors.Join(err, f.client.Drop(ctx, name))
	}
	if err != nil {
		return say.Refuse("photos", "", msgBucketFails.With(err), msgBucketRights.With())
	}
	return nil
}

// eitherFiles keeps contents in one place and finds those, too, that lie in the
// database: they did before, or they came so with a backup.
type eitherFiles struct {
	blobFiles
	table tableFiles
}

func (f eitherFiles) open(ctx context.Context, hash string) (io.ReadSeekCloser, error) {
	content, err := f.blobFiles.open(ctx, hash)
	if errors.Is(err, fs.ErrNotExist) {
		return f.table.open(ctx, hash)
	}
	return content, err
}

func (f eitherFiles) has(ctx context.Context, hash string) (bool, error) {
	if has, err := f.blobFiles.has(ctx, hash); has || err != nil {
		return has, err
	}
	return f.table.has(ctx, hash)
}
