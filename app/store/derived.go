//go:build !js

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"

	"pumpwright/rebuild/record"
)

// PutDerived replaces what was made from a stream.
func (db *DB) PutDerived(ctx context.Context, site string, head Head, summary *Summary, texts []Text) error {
	return db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
		result, err := db.run(ctx, tx, updateFolded, site, head.Stream, head.Seq)
		if err != nil {
			return fmt.Errorf("store: summary of %s: %w", head.Stream, err)
		}
		if n, err := result.RowsAffected(); err != nil || n == 0 {
			return err // a newer one is there already
		}
		if s := summary; s != nil {
			if err := db.countAnew(ctx, tx, site, head.Stream, s); err != nil {
				return err
			}
			_, err := db.run(ctx, tx, insertSummary,
				site, head.Stream, head.Seq, s.Waits, int64(s.Since), int64(s.Opened), s.Tag, s.Serial, s.Owner, s.Data, s.Past)
			if err != nil {
				return fmt.Errorf("store: summary of %s: %w", head.Stream, err)
			}
		}
		return db.putTexts(ctx, tx, site, head.Stream, texts)
	})
}

// putTexts writes the texts of a stream that are new or have changed, and
// takes away those that are gone: most of a job stays as it was.
func (db *DB) putTexts(ctx context.Context, tx *sql.Tx, site, stream string, texts []Text) error {
	was, err := db.textsOf(ctx, tx, site, stream)
	if err != nil {
		return err
	}
	for _, t := range texts {
		old, there := was[t.Ref]
		delete(was, t.Ref)
		if there && old == t.Text {
			continue
		}
		if there {
			if err := dropText(ctx, tx, site, stream, t.Ref); err != nil {
				return err
			}
		}
		if _, err := db.run(ctx, tx, insertText,
			site, stream, t.Ref, t.Kind, t.Text, int64(t.At)); err != nil {
			return fmt.Errorf("store: text of %s: %w", stream, err)
		}
		for _, word := range Words(t.Text) {
			if _, err := db.run(ctx, tx, insertWord, site, word, stream, t.Ref); err != nil {
				return fmt.Errorf("store: words of %s: %w", stream, err)
			}
		}
	}
	for ref := range was {
		if err := dropText(ctx, tx, site, stream, ref); err != nil {
			return err
		}
	}
	return nil
}

func (db *DB) textsOf(ctx context.Context, tx *sql.Tx, site, stream string) (map[string]string, error) {
	rows, err := db.rows(ctx, tx, selectTexts, site, stream)
	if err != nil {
		return nil, fmt.Errorf("store: texts of %s: %w", stream, err)
	}
	defer rows.Close() // an error of the rows is in rows.Err
	texts := map[string]string{}
	for rows.Next() {
		var ref, text string
		if err := rows.Scan(&ref, &text); err != nil {
			return nil, fmt.Errorf("store: texts of %s: %w", stream, err)
		}
		texts[ref] = text
	}
	return texts, rows.Err()
}

func dropText(ctx context.Context, tx *sql.Tx, site, stream, ref string) error {
	for _, table := range []string{"search_words", "search_texts"} {
		if _, err := tx.ExecContext(ctx, "DELETE FROM "+table+" WHERE site = $1 AND stream = $2 AND ref = $3", site, stream, ref); err != nil {
			return fmt.Errorf("store: text of %s: %w", stream, err)
		}
	}
	return nil
}

// ForgetDerived empties what was made from the entries of a site.
func (db *DB) ForgetDerived(ctx context.Context, site string) error {
	return db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
		// Whoever puts what was made from a stream holds the stream first: so does
		// this, in one order, or half of what is put meanwhile would stay behind.
		if _, err := tx.ExecContext(ctx, "SELECT name FROM streams WHERE site = $1 ORDER BY name"+db.dialect.lock, site); err != nil {
			return fmt.Errorf("store: forget summaries: %w", err)
		}
		for _, statement := range []string{
			"DELETE FROM jobs WHERE site = $1", "DELETE FROM job_counts WHERE site = $1", "DELETE FROM search_words WHERE site = $1", "DELETE FROM search_texts WHERE site = $1",
			"UPDATE streams SET folded = 0 WHERE site = $1",
		} {
			if _, err := tx.ExecContext(ctx, statement, site); err != nil {
				return fmt.Errorf("store: forget summaries: %w", err)
			}
		}
		return nil
	})
}

// Summaries lists summaries.
func (db *DB) Summaries(ctx context.Context, site string, q SummaryQuery) ([]Summary, error) {
	query := "SELECT stream, seq, waits, since, opened, tag, serial, owner, data FROM jobs WHERE site = $1"
	args := []any{site}
	for _, c := range []struct{ column, value string }{{"stream", q.Stream}, {"waits", q.Waits}, {"owner", q.Owner}, {"tag", q.Tag}, {"serial", q.Serial}} {
		if c.value != "" {
			args = append(args, c.value)
			query += fmt.Sprintf(" AND %s = $%d", c.column, len(args))
		}
	}
	order, of, back := "since", func(s *Summary) record.Time { return s.Since }, ">"
	if q.Tag != "" || q.Serial != "" {
		order, of, back = "opened", func(s *Summary) record.Time { return s.Opened }, "<"
	}
	if q.After != nil {
		args = append(args, int64(of(q.After)), q.After.Stream)
		query += fmt.Sprintf(" AND (%s, stream) %s ($%d, $%d)", order, back, len(args)-1, len(args))
	}
	if back == "<" {
		query += " ORDER BY opened DESC, stream DESC"
	} else {
		query += " ORDER BY since, stream"
	}
	if q.Limit > 0 {
		args = append(args, q.Limit)
		query += fmt.Sprintf(" LIMIT $%d", len(args))
	}
	return list(ctx, db, query, args, func(row *sql.Rows, s *Summary) error {
		return row.Scan(&s.Stream, &s.Seq, &s.Waits, &s.Since, &s.Opened, &s.Tag, &s.Serial, &s.Owner, &s.Data)
	})
}

// CountWaits counts the summaries of each group.
func (db *DB) CountWaits(ctx context.Context, site, owner string) (map[string]int, error) {
	query, args := "SELECT waits, sum(n) FROM job_counts WHERE site = $1", []any{site}
	if owner != "" {
		query, args = query+" AND owner = $2", append(args, owner)
	}
	type count struct {
		waits string
		n     int
	}
	counts, err := list(ctx, db, query+" GROUP BY waits HAVING sum(n) > 0", args, func(row *sql.Rows, c *count) error { return row.Scan(&c.waits, &c.n) })
	byWaits := make(map[string]int, len(counts))
	for _, c := range counts {
		byWaits[c.waits] = c.n
	}
	return byWaits, err
}

// A word that begins more words than this is no good way into the texts: the
// newest ones are read instead, so many at first.
const (
	manyWords  = 2000
	newestRead = 4000
)

// Search finds texts in which every word given begins a word, the newest
// first. It goes in by the rarest word; when all are common, through the
// newest texts, and only if these hold too few through all.
func (db *DB) Search(ctx context.Context, site string, words []string, limit int) ([]Text, error) {
	if len(words) == 0 {
		return nil, nil
	}
	rarest, fewest := 0, int64(manyWords)
	for i, w := range words {
		n, err := first(ctx, db, "SELECT count(*) FROM (SELECT 1 FROM search_words WHERE site = $1 AND word >= $2 AND word < $3 LIMIT $4) AS found",
			[]any{site, w, after(w), manyWords}, func(row *sql.Rows, n *int64) error { return row.Scan(n) })
		if err != nil {
			return nil, err
		}
		if n == 0 {
			return nil, nil
		}
		if n < fewest {
			rarest, fewest = i, n
		}
	}
	if fewest == manyWords {
		found, err := db.searchNewest(ctx, site, words, limit)
		if err != nil || len(found) == limit {
			return found, err
		}
	}
	// The cross join keeps SQLite at the rarest word: left to itself it walks all
	// texts by their time.
	query := `SELECT t.stream, t.ref, t.kind, t.text, t.at
		FROM (SELECT DISTINCT w.stream, w.ref FROM search_words w WHERE w.site = $1 AND w.word >= $2 AND w.word < $3) AS found
		CROSS JOIN search_texts t WHERE t.site = $1 AND t.stream = found.stream AND t.ref = found.ref`
	args := []any{site, words[rarest], after(words[rarest])}
	for i, w := range words {
		if i == rarest {
			continue
		}
		args = append(args, w, after(w))
		query += fmt.Sprintf(" AND EXISTS (SELECT 1 FROM search_words w WHERE w.site = $1 AND w.stream = t.stream AND w.ref = t.ref AND w.word >= $%d AND w.word < $%d)", len(args)-1, len(args))
	}
	args = append(args, limit)
	query += fmt.Sprintf(" ORDER BY t.at DESC, t.stream, t.ref LIMIT $%d", len(args))
	return list(ctx, db, query, args, scanText)
}

func scanText(row *sql.Rows, t *Text) error {
	return row.Scan(&t.Stream, &t.Ref, &t.Kind, &t.Text, &t.At)
}

// searchNewest reads the newest texts until enough of them hold the words.
func (db *DB) searchNewest(ctx context.Context, site string, words []string, limit int) (found []Text, err error) {
	rows, err := db.query(ctx, "SELECT stream, ref, kind, text, at FROM search_texts WHERE site = $1 ORDER BY at DESC, stream, ref LIMIT $2", site, newestRead)
	if err != nil {
		return nil, fmt.Errorf("store: search: %w", err)
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() && len(found) < limit {
		var t Text
		if err := scanText(rows, &t); err != nil {
			return nil, fmt.Errorf("store: search: %w", err)
		}
		if holds(Words(t.Text), words) {
			found = append(found, t)
		}
	}
	return found, rows.Err()
}

// holds reports whether each of the words begins one of the text's.
func holds(text, words []string) bool {
	for _, w := range words {
		if !slices.ContainsFunc(text, func(one string) bool { return strings.HasPrefix(one, w) }) {
			return false
		}
	}
	return true
}
