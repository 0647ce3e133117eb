//go:build !js

package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	_ "github.com/jackc/pgx/v5/stdlib" // driver "pgx"
	_ "modernc.org/sqlite"             // driver "sqlite"

	"pumpwright/calc/say"
)

// DB is a store in an SQL database.
type DB struct {
	dialect dialect
	read    *sql.DB
	writer  *writer
	files   blobFiles

	prepared statements
	path     string // of the SQLite file, "" for others
	url      string // of the PostgreSQL server, "" for others
	name     string // tells the notices of this process from those of others
}

var _ Store = (*DB)(nil)

// FileName is the name of the database within the folder of a shop.
const FileName = "pumpwright.db"

// pragmas: every commit is on the disk before it is acknowledged. The time to
// wait for another process comes first, so that the others can wait too.
const pragmas = "_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_txlock=immediate"

// OpenFolder opens the SQLite store in a folder with the photos beside it, and
// makes both when they are not there.
func OpenFolder(ctx context.Context, folder string) (*DB, error) {
	return Open(ctx, Place{Folder: folder})
}

// openFile opens the database in a folder.
func openFile(ctx context.Context, folder string) (*DB, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	path := filepath.Join(folder, FileName)
	write, err := sql.Open("sqlite", dsn(path)+pragmas)
	if err != nil {
		return nil, fmt.Errorf("store: open %s: %w", path, err)
	}
	write.SetMaxOpenConns(1)
	if err := sqliteDialect.migrate(ctx, write); err != nil {
		err = errors.Join(err, write.Close())
		if try, fault := os.CreateTemp(folder, ".try-*"); fault != nil {
			return nil, errors.Join(say.Refuse("data", folder, msgReadOnly.With(fault), msgMayWrite.With()), err)
		} else {
			return nil, errors.Join(err, try.Close(), os.Remove(try.Name()))
		}
	}
	read, err := sql.Open("sqlite", dsn(path)+pragmas+"&_pragma=query_only(1)")
	if err != nil {
		return nil, errors.Join(fmt.Errorf("store: open %s: %w", path, err), write.Close())
	}
	read.SetMaxOpenConns(max(4, runtime.GOMAXPROCS(0)))
	read.SetMaxIdleConns(max(4, runtime.GOMAXPROCS(0)))
	return open(ctx, newDB(sqliteDialect, read, write, nil, path))
}

// dsn writes a path as a URI: what would end the path in one is escaped.
func dsn(path string) string {
	return "file:" + strings.NewReplacer("%", "%25", "?", "%3f", "#", "%23").Replace(filepath.ToSlash(path)) + "?"
}

// OpenMemory opens a store that is gone when it is closed.
func OpenMemory(ctx context.Context) (*DB, error) {
	db, err := sql.Open("sqlite", ":memory:?_pragma=foreign_keys(1)&_txlock=immediate")
	if err != nil {
		return nil, fmt.Errorf("store: open memory: %w", err)
	}
	db.SetMaxOpenConns(1) // each connection would be a memory of its own
	db.SetMaxIdleConns(1)
	if err := sqliteDialect.migrate(ctx, db); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return open(ctx, newDB(sqliteDialect, db, db, newMemoryFiles(), ""))
}

var (
	msgReadOnly   = say.Define("store.read_only", "nothing can be written in this folder: {reason}")
	msgMayWrite   = say.Define("store.may_write", "let the user of the program write there, or name another folder")
	msgNoServer   = say.Define("store.no_server", "the database cannot be reached: {reason}")
	msgNameServer = say.Define("store.name_server", "name it like postgres://user@host/name, and see that it runs")
)

// openServer opens the database on a PostgreSQL server.
func openServer(ctx context.Context, url string) (*DB, error) {
	db, err := sql.Open("pgx", url)
	if err != nil {
		return nil, fmt.Errorf("store: open PostgreSQL: %w", err)
	}
	db.SetMaxOpenConns(16)
	db.SetMaxIdleConns(16)
	if err := db.PingContext(ctx); err != nil {
		return nil, errors.Join(say.Refuse("database", "", msgNoServer.With(err), msgNameServer.With()), db.Close())
	}
	if err := postgresDialect.migrate(ctx, db); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	opened := newDB(postgresDialect, db, db, nil, "")
	opened.url, opened.name = url, rand.Text()
	return open(ctx, opened)
}

// open prepares what every entry needs.
func open(ctx context.Context, db *DB) (*DB, error) {
	if err := db.prepared.prepare(ctx, db.writer.db, db.dialect); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

func newDB(d dialect, read, write *sql.DB, files blobFiles, path string) *DB {
	return &DB{dialect: d, read: read, writer: newWriter(write, d.batch), files: files, path: path, prepared: statements{questions: map[string]*sql.Stmt{}}}
}

// Close waits for the writers and closes the database.
func (db *DB) Close() error {
	err := db.writer.close()
	if db.read != db.writer.db {
		err = errors.Join(err, db.read.Close())
	}
	return err
}
