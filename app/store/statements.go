//go:build !js

package store

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
	"sync"
	"unicode/utf8"

	"pumpwright/calc/say"
)

// The statements of every entry. They are prepared once: to read them each
// time would cost as much as to carry them out.
const (
	selectHead   = "SELECT seq, hash FROM streams WHERE site = $1 AND name = $2"
	insertHead   = "INSERT INTO streams (site, name, seq, hash) VALUES ($1, $2, $3, $4) ON CONFLICT (site, name) DO NOTHING"
	updateHead   = "UPDATE streams SET seq = $3, hash = $4 WHERE site = $1 AND name = $2 AND seq = $5 AND hash = $6"
	selectEntry  = "SELECT " + entryColumns + " FROM entries WHERE site = $1 AND id = $2"
	insertEntry  = "INSERT INTO entries (site, " + entryColumns + ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)"
	updateFolded = "UPDATE streams SET folded = $3 WHERE site = $1 AND name = $2 AND folded <= $3 AND seq >= $3"
	selectTexts  = "SELECT ref, text FROM search_texts WHERE site = $1 AND stream = $2"
	insertText   = "INSERT INTO search_texts (site, stream, ref, kind, text, at) VALUES ($1, $2, $3, $4, $5, $6)"
	insertWord   = "INSERT INTO search_words (site, word, stream, ref) VALUES ($1, $2, $3, $4)"

	selectGroup = "SELECT owner, waits FROM jobs WHERE site = $1 AND stream = $2"
	changeCount = `INSERT INTO job_counts (site, owner, waits, n) VALUES ($1, $2, $3, $4) ON CONFLICT (site, owner, waits) DO UPDATE SET n = job_counts.n + excluded.n`

	insertSummary = `INSERT INTO jobs (site, stream, seq, waits, since, opened, tag, serial, owner, data, past)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11) ON CONFLICT (site, stream) DO UPDATE SET
		seq = excluded.seq, waits = excluded.waits, since = excluded.since, opened = excluded.opened, tag = excluded.tag,
		serial = excluded.serial, owner = excluded.owner, data = excluded.data, past = excluded.past`
)

// statements keeps what is prepared. Those of a change are prepared before the
// first one, since its only connection is taken while a change runs; those of
// a question when it is first asked.
type statements struct {
	changes map[string]*sql.Stmt

	mutex     sync.Mutex
	questions map[string]*sql.Stmt
}

// prepare prepares the statements of changes.
func (s *statements) prepare(ctx context.Context, db *sql.DB, d dialect) error {
	s.changes = map[string]*sql.Stmt{}
	for _, text := range []string{
		selectHead + d.lock, insertHead, updateHead, selectEntry, insertEntry, updateFolded, selectTexts, insertText, insertWord, insertSummary, selectGroup, changeCount,
	} {
		prepared, err := db.PrepareContext(ctx, text)
		if err != nil {
			return fmt.Errorf("store: prepare: %w", err)
		}
		s.changes[text] = prepared
	}
	return nil
}

// in returns the prepared statement for a change.
func (s *statements) in(ctx context.Context, tx *sql.Tx, text string) *sql.Stmt {
	return tx.StmtContext(ctx, s.changes[text])
}

// run carries out a prepared statement of a change.
func (db *DB) run(ctx context.Context, tx *sql.Tx, text string, args ...any) (sql.Result, error) {
	if err := plain(args); err != nil {
		return nil, err
	}
	return db.prepared.in(ctx, tx, text).ExecContext(ctx, args...)
}

// row asks a prepared question within a change.
func (db *DB) row(ctx context.Context, tx *sql.Tx, text string, args ...any) *sql.Row {
	return db.prepared.in(ctx, tx, text).QueryRowContext(ctx, args...)
}

// rows asks a prepared question within a change.
func (db *DB) rows(ctx context.Context, tx *sql.Tx, text string, args ...any) (*sql.Rows, error) {
	if err := plain(args); err != nil {
		return nil, err
	}
	return db.prepared.in(ctx, tx, text).QueryContext(ctx, args...)
}

var msgNotPlain = say.Define("store.not_plain", "a text holds signs that cannot be kept")

// plain refuses texts that PostgreSQL does not keep, for both databases alike: a
// zero byte, and what is no UTF-8.
func plain(args []any) error {
	for _, a := range args {
		if text, ok := a.(string); ok && (strings.IndexByte(text, 0) >= 0 || !utf8.ValidString(text)) {
			return say.Refuse("", "", msgNotPlain.With(), say.Message{})
		}
	}
	return nil
}

// query asks a question, prepared when it was asked before. There are only so
// many: their words come from this package.
func (db *DB) query(ctx context.Context, text string, args ...any) (*sql.Rows, error) {
	if err := plain(args); err != nil {
		return nil, err
	}
	db.prepared.mutex.Lock()
	prepared, ok := db.prepared.questions[text]
	db.prepared.mutex.Unlock()
	if !ok {
		var err error
		if prepared, err = db.read.PrepareContext(context.WithoutCancel(ctx), text); err != nil {
			return nil, err
		}
		db.prepared.mutex.Lock()
		if first, there := db.prepared.questions[text]; there { // somebody else was first
			_ = prepared.Close() // nothing was asked of it
			prepared = first
		} else {
			db.prepared.questions[text] = prepared
		}
		db.prepared.mutex.Unlock()
	}
	return prepared.QueryContext(ctx, args...)
}
