//go:build !js

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

var (
	msgSameID     = say.Define("store.same_id", "an entry with this id is kept already and says something else")
	msgNewID      = say.Define("store.new_id", "write it again under an id of its own; what was kept first stays")
	msgTwoStreams = say.Define("store.two_streams", "entries of {first} and of {second} cannot be kept in one step")
)

const entryColumns = "stream, seq, id, kind, version, body, person, at, seen, received, device, prev, hash"

func scanEntry(row interface{ Scan(...any) error }, e *record.Entry) error {
	var body string
	err := row.Scan(&e.Stream, &e.Seq, &e.ID, &e.Kind, &e.Version, &body, &e.By, &e.At, &e.Seen, &e.Received, &e.Device, &e.Prev, &e.Hash)
	e.Body = []byte(body)
	return err
}

// mostTries is how often a change is tried again when another process moved the
// head of a stream first.
const mostTries = 20

// Append adds entries to one stream.
func (db *DB) Append(ctx context.Context, site string, expected Head, entries ...record.Entry) (sealed []record.Entry, fresh int, err error) {
	if len(entries) == 0 {
		return nil, 0, nil
	}
	for i := range entries {
		if entries[i].Stream != entries[0].Stream {
			return nil, 0, say.Refuse("stream", entries[i].Stream, msgTwoStreams.With(entries[0].Stream, entries[i].Stream), say.Message{})
		}
		body, err := record.Canonical(entries[i].Body)
		if err != nil {
			return nil, 0, err
		}
		entries[i].Body = body
	}
	for range mostTries {
		err = db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
			sealed, fresh, err = db.append(ctx, tx, site, expected, entries)
			return err
		})
		if !errors.Is(err, ErrMoved) || expected.Seq >= 0 {
			break
		}
	}
	if err != nil {
		return nil, 0, err
	}
	return sealed, fresh, nil
}

// AppendAll adds entries to any streams.
func (db *DB) AppendAll(ctx context.Context, site string, entries []record.Entry, told func(written int)) error {
	var names []string
	streams := map[string][]record.Entry{}
	for _, e := range entries {
		body, err := record.Canonical(e.Body)
		if err != nil {
			return err
		}
		e.Body = body
		if streams[e.Stream] == nil {
			names = append(names, e.Stream)
		}
		streams[e.Stream] = append(streams[e.Stream], e)
	}
	slices.Sort(names) // two who append to the same streams must not wait for each other
	var err error
	for range mostTries {
		err = db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
			written := 0
			for _, name := range names {
				if _, _, err := db.append(ctx, tx, site, AnyHead, streams[name]); err != nil {
					return err
				}
				if written += len(streams[name]); told != nil {
					told(written)
				}
			}
			return nil
		})
		if !errors.Is(err, ErrMoved) {
			return err
		}
	}
	return err
}

func (db *DB) append(ctx context.Context, tx *sql.Tx, site string, expected Head, entries []record.Entry) ([]record.Entry, int, error) {
	stream := entries[0].Stream
	if err := plain([]any{stream}); err != nil {
		return nil, 0, err
	}
	head := Head{Stream: stream}
	err := db.row(ctx, tx, selectHead+db.dialect.lock, site, stream).Scan(&head.Seq, &head.Hash)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return nil, 0, fmt.Errorf("store: head of %s: %w", stream, err)
	}
	was := head
	sealed := make([]record.Entry, 0, len(entries))
	var fresh []record.Entry
	here := make(map[string]int, len(entries))
	for i := range entries {
		kept, err := db.keptEntry(ctx, tx, site, &entries[i], sealed, here)
		if err != nil {
			return nil, 0, err
		}
		if kept == nil {
			e, err := record.Seal(entries[i], stream, head.Seq+1, head.Hash)
			if err != nil {
				return nil, 0, err
			}
			head.Seq, head.Hash = e.Seq, e.Hash
			fresh = append(fresh, e)
			kept = &e
		}
		here[kept.ID] = len(sealed)
		sealed = append(sealed, *kept)
	}
	if len(fresh) == 0 {
		return sealed, 0, nil
	}
	if expected.Seq >= 0 && (expected.Seq != was.Seq || expected.Hash != was.Hash) {
		return nil, 0, ErrMoved
	}
	if err := db.moveHead(ctx, tx, site, was, head); err != nil {
		return nil, 0, err
	}
	for i := range fresh {
		if err := db.insertEntry(ctx, tx, site, &fresh[i]); err != nil {
			return nil, 0, err
		}
	}
	return sealed, len(fresh), db.tellOthers(ctx, tx, Notice{site, stream, head.Seq})
}

// keptEntry returns the entry that is there already under the id, or nil.
func (db *DB) keptEntry(ctx context.Context, tx *sql.Tx, site string, e *record.Entry, sealed []record.Entry, here map[string]int) (*record.Entry, error) {
	var kept record.Entry
	if i, twice := here[e.ID]; twice {
		kept = sealed[i]
	} else {
		err := scanEntry(db.row(ctx, tx, selectEntry, site, e.ID), &kept)
		if errors.Is(err, sql.ErrNoRows) {
			return nil, nil
		}
		if err != nil {
			return nil, fmt.Errorf("store: entry %s: %w", e.ID, err)
		}
	}
	if !kept.SameContent(e) {
		return nil, say.Refuse("id", e.ID, msgSameID.With(), msgNewID.With())
	}
	return &kept, nil
}

// moveHead is the compare and swap: it moves the head only if it still stands
// where it was read.
func (db *DB) moveHead(ctx context.Context, tx *sql.Tx, site string, from, to Head) error {
	var result sql.Result
	var err error
	if from.Seq == 0 {
		result, err = db.run(ctx, tx, insertHead,
			site, to.Stream, to.Seq, to.Hash)
	} else {
		result, err = db.run(ctx, tx, updateHead,
			site, to.Stream, to.Seq, to.Hash, from.Seq, from.Hash)
	}
	if err != nil {
		return fmt.Errorf("store: head of %s: %w", to.Stream, err)
	}
	moved, err := result.RowsAffected()
	if err != nil {
		return fmt.Errorf("store: head of %s: %w", to.Stream, err)
	}
	if moved != 1 {
		return ErrMoved
	}
	return nil
}

func (db *DB) insertEntry(ctx context.Context, tx *sql.Tx, site string, e *record.Entry) error {
	_, err := db.run(ctx, tx, insertEntry,
		site, e.Stream, e.Seq, e.ID, e.Kind, e.Version, string(e.Body), e.By, int64(e.At), e.Seen, int64(e.Received), e.Device, e.Prev, e.Hash)
	if err != nil {
		return fmt.Errorf("store: entry %s: %w", e.ID, err)
	}
	return nil
}

// Load returns the entries of a stream after a place.
func (db *DB) Load(ctx context.Context, site, stream string, place int64) (*record.Stream, error) {
	list, err := db.entries(ctx, "WHERE site = $1 AND stream = $2 AND seq > $3 ORDER BY seq", site, stream, place)
	return &record.Stream{Name: stream, Entries: list}, err
}

// LoadAll returns the streams of a prefix.
func (db *DB) LoadAll(ctx context.Context, site, prefix string) ([]*record.Stream, error) {
	entries, err := db.entries(ctx, "WHERE site = $1 AND stream >= $2 AND stream < $3 ORDER BY stream, seq", site, prefix, after(prefix))
	return split(entries), err
}

// split makes streams of entries that stand in their order.
func split(entries []record.Entry) (list []*record.Stream) {
	for from, to := 0, 0; from < len(entries); from = to {
		for to = from; to < len(entries) && entries[to].Stream == entries[from].Stream; {
			to++
		}
		list = append(list, &record.Stream{Name: entries[from].Stream, Entries: entries[from:to:to]})
	}
	return list
}

// LoadSome returns the first streams of a prefix behind a name, at most as many
// as are asked for.
func (db *DB) LoadSome(ctx context.Context, site, prefix, behind string, limit int) ([]*record.Stream, error) {
	entries, err := db.entries(ctx, `WHERE site = $1 AND stream IN (SELECT name FROM streams WHERE site = $1 AND name >= $2 AND name > $3 AND name < $4 ORDER BY name LIMIT $5)
		ORDER BY stream, seq`, site, prefix, behind, after(prefix), limit)
	return split(entries), err
}

// Latest returns the last entry of every stream of a prefix.
func (db *DB) Latest(ctx context.Context, site, prefix string) ([]record.Entry, error) {
	return db.entries(ctx, `WHERE site = $1 AND stream >= $2 AND stream < $3
		AND seq = (SELECT s.seq FROM streams s WHERE s.site = entries.site AND s.name = entries.stream) ORDER BY stream`, site, prefix, after(prefix))
}

// after returns the first name behind every name that begins with a prefix.
// It ends in the last character there is, which no name holds.
func after(prefix string) string { return prefix + "\U0010FFFF" }

func (db *DB) entries(ctx context.Context, where string, args ...any) (list []record.Entry, err error) {
	rows, err := db.query(ctx, "SELECT "+entryColumns+" FROM entries "+where, args...)
	if err != nil {
		return nil, fmt.Errorf("store: entries: %w", err)
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var e record.Entry
		if err := scanEntry(rows, &e); err != nil {
			return nil, fmt.Errorf("store: entries: %w", err)
		}
		list = append(list, e)
	}
	return list, rows.Err()
}

// Entry returns one entry by its id.
func (db *DB) Entry(ctx context.Context, site, id string) (record.Entry, error) {
	list, err := db.entries(ctx, "WHERE site = $1 AND id = $2", site, id)
	if err != nil {
		return record.Entry{}, err
	}
	if len(list) == 0 {
		return record.Entry{}, ErrNotFound
	}
	return list[0], nil
}

// HeadOf returns where a stream ends.
func (db *DB) HeadOf(ctx context.Context, site, stream string) (Head, error) {
	list, err := db.heads(ctx, "WHERE site = $1 AND name = $2", site, stream)
	if err != nil || len(list) == 0 {
		return Head{Stream: stream}, err
	}
	return list[0], nil
}

// Heads lists the streams of a prefix.
func (db *DB) Heads(ctx context.Context, site, prefix string) ([]Head, error) {
	return db.heads(ctx, "WHERE site = $1 AND name >= $2 AND name < $3 ORDER BY name", site, prefix, after(prefix))
}

// Behind lists streams whose summary is behind their entries.
func (db *DB) Behind(ctx context.Context, site, prefix string, limit int) ([]Head, error) {
	return db.heads(ctx, "WHERE site = $1 AND folded < seq AND name >= $2 AND name < $3 LIMIT $4", site, prefix, after(prefix), limit)
}

func (db *DB) heads(ctx context.Context, where string, args ...any) (list []Head, err error) {
	rows, err := db.query(ctx, "SELECT name, seq, hash FROM streams "+where, args...)
	if err != nil {
		return nil, fmt.Errorf("store: streams: %w", err)
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var h Head
		if err := rows.Scan(&h.Stream, &h.Seq, &h.Hash); err != nil {
			return nil, fmt.Errorf("store: streams: %w", err)
		}
		list = append(list, h)
	}
	return list, rows.Err()
}

// AddSite adds a site; the same again changes its name.
func (db *DB) AddSite(ctx context.Context, s Site) error {
	return db.exec(ctx, "INSERT INTO sites (id, name, created) VALUES ($1, $2, $3) ON CONFLICT (id) DO UPDATE SET name = excluded.name", s.ID, s.Name, int64(s.Created))
}

// Sites lists the sites.
func (db *DB) Sites(ctx context.Context) ([]Site, error) {
	return list(ctx, db, "SELECT id, name, created FROM sites ORDER BY created, id", nil, func(row *sql.Rows, s *Site) error {
		return row.Scan(&s.ID, &s.Name, &s.Created)
	})
}

// Next counts up a number of a site.
func (db *DB) Next(ctx context.Context, site, name string) (n int64, err error) {
	err = db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
		err := tx.QueryRowContext(ctx, "INSERT INTO counters (site, name, n) VALUES ($1, $2, 1) ON CONFLICT (site, name) DO UPDATE SET n = counters.n + 1 RETURNING n", site, name).Scan(&n)
		if err != nil {
			return fmt.Errorf("store: next %s: %w", name, err)
		}
		return nil
	})
	return n, err
}

// exec runs one statement as one change.
func (db *DB) exec(ctx context.Context, statement string, args ...any) error {
	if err := plain(args); err != nil {
		return err
	}
	return db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, statement, args...); err != nil {
			return fmt.Errorf("store: %w", err)
		}
		return nil
	})
}

// list reads rows.
func list[T any](ctx context.Context, db *DB, query string, args []any, scan func(*sql.Rows, *T) error) (all []T, err error) {
	rows, err := db.query(ctx, query, args...)
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var one T
		if err := scan(rows, &one); err != nil {
			return nil, fmt.Errorf("store: %w", err)
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

// first reads one row, or gives ErrNotFound.
func first[T any](ctx context.Context, db *DB, query string, args []any, scan func(*sql.Rows, *T) error) (T, error) {
	all, err := list(ctx, db, query, args, scan)
	if err == nil && len(all) == 0 {
		err = ErrNotFound
	}
	if err != nil {
		var none T
		return none, err
	}
	return all[0], nil
}
