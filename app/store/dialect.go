//go:build !js

package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"strings"

	"github.com/pressly/goose/v3"
)

// dialect is where the two databases differ.
type dialect struct {
	name  string
	goose goose.Dialect
	types *strings.Replacer // words of a migration → words of the database
	batch bool              // waiting writers share a commit
	lock  string            // what holds a row that was read until the change is over
	check string            // SQL that says "ok" for a sound database, "" when there is none
	tell  bool              // other processes hear of each entry
	// alone lets one process at a time change the tables.
	alone, after string
	mark, since  string // how the entries after a moment are found
}

var sqliteDialect = dialect{
	name: "sqlite", goose: goose.DialectSQLite3, batch: true, check: "PRAGMA integrity_check", mark: markOfSQLite, since: sinceOfSQLite,
	types: strings.NewReplacer("{text}", "TEXT", "{int}", "INTEGER", "{bytes}", "BLOB", "{written}", "", "{strict}", "STRICT"),
}

var postgresDialect = dialect{
	name: "postgres", goose: goose.DialectPostgres, lock: " FOR UPDATE", tell: true, mark: markOfServer, since: sinceOfServer,
	alone: "SELECT pg_advisory_lock($1)", after: "SELECT pg_advisory_unlock($1)",
	// Names are compared byte by byte, as SQLite does.
	types: strings.NewReplacer("{text}", `text COLLATE "C"`, "{int}", "bigint", "{bytes}", "bytea", "{written}", writtenOfTable, "{strict}", ""),
}

//go:embed migrations/*.sql
var migrationFiles embed.FS

// migrationLock names the lock of a database under which its tables change.
const migrationLock int64 = 0x70756d707772 // "pumpwr"

// migrate brings the tables to this version. Several processes may start at
// once: those who come later wait and find the work done.
func (d dialect) migrate(ctx context.Context, db *sql.DB) (err error) {
	if d.alone != "" {
		held, fault := db.Conn(ctx) // the lock belongs to its connection
		if fault != nil {
			return fmt.Errorf("store: migrations: %w", fault)
		}
		defer func() { err = errors.Join(err, held.Close()) }()
		if _, err := held.ExecContext(ctx, d.alone, migrationLock); err != nil {
			return fmt.Errorf("store: migrations: %w", err)
		}
		defer func() {
			if _, unlock := held.ExecContext(context.WithoutCancel(ctx), d.after, migrationLock); unlock != nil {
				err = errors.Join(err, fmt.Errorf("store: migrations: %w", unlock))
			}
		}()
		return d.move(ctx, db)
	}
	return d.move(ctx, db)
}

func (d dialect) move(ctx context.Context, db *sql.DB) error {
	names, err := fs.Glob(migrationFiles, "migrations/*.sql")
	if err != nil {
		return err
	}
	var steps []*goose.Migration
	for _, name := range names {
		text, err := migrationFiles.ReadFile(name)
		if err != nil {
			return err
		}
		number, _, _ := strings.Cut(strings.TrimPrefix(name, "migrations/"), "_")
		version, err := strconv.ParseInt(number, 10, 64)
		if err != nil {
			return fmt.Errorf("store: migration %s has no number: %w", name, err)
		}
		words := d.types.Replace(string(text))
		steps = append(steps, goose.NewGoMigration(version, &goose.GoFunc{RunTx: func(ctx context.Context, tx *sql.Tx) error {
			_, err := tx.ExecContext(ctx, words)
			return err
		}}, nil))
	}
	provider, err := goose.NewProvider(d.goose, db, nil, goose.WithGoMigrations(steps...), goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return fmt.Errorf("store: migrations: %w", err)
	}
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("store: migrations: %w", err)
	}
	return nil
}
