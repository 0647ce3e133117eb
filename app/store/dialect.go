package store

import (
	"context"
	"database/sql"
	"embed"
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
}

var sqliteDialect = dialect{
	name: "sqlite", goose: goose.DialectSQLite3, batch: true, check: "PRAGMA integrity_check",
	types: strings.NewReplacer("{text}", "TEXT", "{int}", "INTEGER", "{strict}", "STRICT"),
}

var postgresDialect = dialect{
	name: "postgres", goose: goose.DialectPostgres, lock: " FOR UPDATE",
	// Names are compared byte by byte, as SQLite does.
	types: strings.NewReplacer("{text}", `text COLLATE "C"`, "{int}", "bigint", "{strict}", ""),
}

//go:embed migrations/*.sql
var migrationFiles embed.FS

// migrate brings the tables to this version.
func (d dialect) migrate(ctx context.Context, db *sql.DB) error {
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
