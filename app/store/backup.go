//go:build !js

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

var (
	msgNoFile    = say.Define("store.no_file", "a store that is not a file of this machine is saved with the tools of its database")
	msgDamaged   = say.Define("store.damaged", "the copy is not sound: {faults:list}")
	msgNotEmpty  = say.Define("store.not_empty", "there is a shop in this folder already")
	msgNewFolder = say.Define("store.new_folder", "name a folder that is empty or not there yet")
)

// Backup copies everything into a folder while work goes on, and checks the
// copy: the database as one file named after the moment, photos and papers in
// a subfolder that all copies share, so that each is copied once.
func (db *DB) Backup(ctx context.Context, folder string, at record.Time) (string, error) {
	if db.path == "" {
		return "", say.Refuse("", "", msgNoFile.With(), say.Message{})
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", fmt.Errorf("store: backup: %w", err)
	}
	name := filepath.Join(folder, "pumpwright-"+at.Time().Format("2006-01-02-150405.000000")+".db")
	part := name + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, os.ErrNotExist) {
		return "", fmt.Errorf("store: backup: %w", err)
	}
	if err := copyDatabase(ctx, db.path, part); err != nil {
		return "", fmt.Errorf("store: backup: %w", err)
	}
	sites, err := db.Sites(ctx)
	if err != nil {
		return "", err
	}
	files := folderFiles(filepath.Join(folder, blobFolder))
	if _, inside := db.files.(tableFiles); inside {
		sites = nil // the contents came with the database
	}
	for _, s := range sites {
		blobs, err := db.blobsOf(ctx, s.ID)
		if err != nil {
			return "", err
		}
		for _, b := range blobs {
			if err := copyBlob(ctx, db.files, files, b.Hash); err != nil {
				return "", fmt.Errorf("store: backup: %s: %w", b.Hash, err)
			}
		}
	}
	if err := verify(ctx, part, files); err != nil {
		return "", errors.Join(err, os.Remove(part))
	}
	if err := flush(part); err != nil {
		return "", fmt.Errorf("store: backup: %w", err)
	}
	if err := os.Rename(part, name); err != nil {
		return "", fmt.Errorf("store: backup: %w", err)
	}
	return name, syncFolder(folder)
}

// copyDatabase writes the database as it stands at one moment; writers go on.
func copyDatabase(ctx context.Context, from, to string) (err error) {
	source, err := sql.Open("sqlite", dsn(from)+"_pragma=busy_timeout(5000)")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	_, err = source.ExecContext(ctx, "VACUUM INTO $1", to)
	return err
}

func copyBlob(ctx context.Context, from, to blobFiles, hash string) error {
	if has, err := to.has(ctx, hash); has || err != nil {
		return err
	}
	content, err := readFile(ctx, from, hash)
	if err != nil {
		return err
	}
	return to.put(ctx, hash, content)
}

func flush(path string) error {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(file.Sync(), file.Close())
}

// openCopy opens a copy for reading only; nothing beside it is made.
func openCopy(ctx context.Context, path string, files blobFiles) (*DB, error) {
	read, err := sql.Open("sqlite", dsn(path)+"mode=ro&immutable=1&_pragma=query_only(1)")
	if err != nil {
		return nil, fmt.Errorf("store: open %s: %w", path, err)
	}
	db := newDB(sqliteDialect, read, read, files, path)
	_, err = first(ctx, db, "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'contents'", nil, func(row *sql.Rows, one *int64) error { return row.Scan(one) })
	if err == nil {
		db.files = eitherFiles{files, tableFiles{db}}
	}
	if err != nil && !errors.Is(err, ErrNotFound) { // a version before that table has its photos beside it
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

// verify checks a copy as Check checks the store.
func verify(ctx context.Context, path string, files blobFiles) (err error) {
	db, err := openCopy(ctx, path, files)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	damage, err := db.Check(ctx)
	if err != nil {
		return err
	}
	return asProblem(path, damage)
}

func asProblem(path string, damage []Damage) error {
	if len(damage) == 0 {
		return nil
	}
	faults := make([]say.Message, len(damage))
	for i, d := range damage {
		faults[i] = d.Message
	}
	return say.Refuse("backup", path, msgDamaged.With(faults), say.Message{})
}

// Restore puts a backup into the folder of a shop that has none yet. The
// backup is checked first, and what was put there is checked again.
func Restore(ctx context.Context, backup, folder string) error {
	target := filepath.Join(folder, FileName)
	if _, err := os.Stat(target); err == nil {
		return say.Refuse("folder", folder, msgNotEmpty.With(), msgNewFolder.With())
	}
	from := folderFiles(filepath.Join(filepath.Dir(backup), blobFolder))
	if err := verify(ctx, backup, from); err != nil {
		return err
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	to := folderFiles(filepath.Join(folder, blobFolder))
	if err := restoreBlobs(ctx, backup, from, to); err != nil {
		return err
	}
	part := target + ".part"
	if err := copyFile(backup, part); err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	if err := verify(ctx, part, to); err != nil {
		return errors.Join(err, os.Remove(part))
	}
	if err := os.Rename(part, target); err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	return syncFolder(folder)
}

func restoreBlobs(ctx context.Context, backup string, from, to blobFiles) (err error) {
	db, err := openCopy(ctx, backup, from)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	sites, err := db.Sites(ctx)
	if err != nil {
		return err
	}
	for _, s := range sites {
		blobs, err := db.blobsOf(ctx, s.ID)
		if err != nil {
			return err
		}
		for _, b := range blobs {
			if has, err := from.has(ctx, b.Hash); err != nil {
				return fmt.Errorf("store: restore: %w", err)
			} else if !has {
				continue // it comes with the database: the backup was checked
			}
			if err := copyBlob(ctx, from, to, b.Hash); err != nil {
				return fmt.Errorf("store: restore: %s: %w", b.Hash, err)
			}
		}
	}
	return nil
}

func copyFile(from, to string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	if _, err := io.Copy(out, in); err != nil {
		return errors.Join(err, out.Close())
	}
	return errors.Join(out.Sync(), out.Close())
}

// NoteBackup keeps how a backup went.
func (db *DB) NoteBackup(ctx context.Context, b BackupNote) error {
	return db.exec(ctx, "INSERT INTO backups (at, path, good, note) VALUES ($1, $2, $3, $4) ON CONFLICT (at, path) DO NOTHING", int64(b.At), b.Path, number(b.Good), b.Note)
}

// LastBackup returns the last backup that was good, and the last one at all;
// their At is 0 when there was none.
func (db *DB) LastBackup(ctx context.Context) (good, any BackupNote, err error) {
	read := func(where string) (BackupNote, error) {
		b, err := first(ctx, db, "SELECT at, path, good, note FROM backups "+where+" ORDER BY at DESC LIMIT 1", nil, func(row *sql.Rows, b *BackupNote) error {
			var isGood int64
			err := row.Scan(&b.At, &b.Path, &isGood, &b.Note)
			b.Good = isGood != 0
			return err
		})
		if errors.Is(err, ErrNotFound) {
			err = nil
		}
		return b, err
	}
	if good, err = read("WHERE good = 1"); err != nil {
		return good, any, err
	}
	any, err = read("")
	return good, any, err
}
