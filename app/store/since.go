//go:build !js

package store

import (
	"context"
	"database/sql"
	"fmt"
)

// Where the entries that were kept after a moment are found. SQLite numbers
// its rows as they are committed, since one writes at a time. In PostgreSQL
// several do: there each row knows the transaction that wrote it, and the mark
// is the oldest one still under way, so that a row may come twice but none is
// missed.
const (
	markOfSQLite = "SELECT coalesce(max(rowid), 0) FROM entries"
	// By the row numbers: an index by stream would be walked from end to end.
	sinceOfSQLite  = "SELECT DISTINCT stream FROM entries NOT INDEXED WHERE rowid > $1 AND rowid <= $2 AND site = $3"
	markOfServer   = "SELECT pg_snapshot_xmin(pg_current_snapshot())::text::bigint"
	sinceOfServer  = "SELECT DISTINCT stream FROM entries WHERE written >= $1 AND $2::bigint > 0 AND site = $3"
	writtenOfTable = `ALTER TABLE entries ADD COLUMN written bigint NOT NULL DEFAULT (pg_current_xact_id()::text::bigint);
CREATE INDEX entries_written ON entries (written);`
)

// Since lists the streams of a site that have got entries after a mark, and
// gives the mark for the next question. The mark 0 lists none: whoever has
// nothing yet takes the mark first and reads everything then.
func (db *DB) Since(ctx context.Context, site string, mark int64) (streams []string, next int64, err error) {
	next, err = first(ctx, db, db.dialect.mark, nil, func(row *sql.Rows, n *int64) error { return row.Scan(n) })
	if err != nil || mark == 0 {
		return nil, max(next, 1), err
	}
	streams, err = list(ctx, db, db.dialect.since, []any{mark, next, site}, func(row *sql.Rows, name *string) error { return row.Scan(name) })
	return streams, max(next, 1), err
}

// Pasts returns what was made of jobs for the history of their machines: Stream,
// Seq and Past of one stream, or of all of the site when it is "".
func (db *DB) Pasts(ctx context.Context, site, stream string) ([]Summary, error) {
	query, args := "SELECT stream, seq, past FROM jobs WHERE site = $1", []any{site}
	if stream != "" {
		query, args = query+" AND stream = $2", append(args, stream)
	}
	return list(ctx, db, query, args, func(row *sql.Rows, s *Summary) error { return row.Scan(&s.Stream, &s.Seq, &s.Past) })
}

// countAnew moves a job from the group it was counted in to the one it is in.
func (db *DB) countAnew(ctx context.Context, tx *sql.Tx, site, stream string, s *Summary) error {
	var owner, waits string
	err := db.row(ctx, tx, selectGroup, site, stream).Scan(&owner, &waits)
	switch {
	case err == sql.ErrNoRows:
		return db.count(ctx, tx, site, s.Owner, s.Waits, 1)
	case err != nil:
		return fmt.Errorf("store: summary of %s: %w", stream, err)
	case owner == s.Owner && waits == s.Waits:
		return nil
	}
	was, is := [2]string{owner, waits}, [2]string{s.Owner, s.Waits}
	steps := []struct {
		group [2]string
		by    int
	}{{was, -1}, {is, 1}}
	if is[0] < was[0] || is[0] == was[0] && is[1] < was[1] {
		steps[0], steps[1] = steps[1], steps[0] // always in one order: two who count must not wait for each other
	}
	for _, step := range steps {
		if err := db.count(ctx, tx, site, step.group[0], step.group[1], step.by); err != nil {
			return err
		}
	}
	return nil
}

func (db *DB) count(ctx context.Context, tx *sql.Tx, site, owner, waits string, by int) error {
	if _, err := db.run(ctx, tx, changeCount, site, owner, waits, by); err != nil {
		return fmt.Errorf("store: count: %w", err)
	}
	return nil
}
