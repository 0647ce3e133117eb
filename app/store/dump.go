//go:build !js

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"

	"pumpwright/calc/say"
)

// contentTable names the rows that carry contents.
const contentTable = "content"

// truth lists the tables that a dump carries, parents first. Sign-ins,
// tablets and links stay behind: their secrets are not copied about.
var truth = []struct {
	name    string
	columns []string
	order   string
}{
	{"sites", []string{"id", "name", "created"}, "id"},
	{"streams", []string{"site", "name", "seq", "hash"}, "site, name"},
	{"entries", []string{"site", "stream", "seq", "id", "kind", "version", "body", "person", "at", "seen", "received", "device", "prev", "hash"}, "site, stream, seq"},
	{"blobs", []string{"site", "hash", "media", "name", "size", "thumb", "created"}, "site, hash"},
	{"counters", []string{"site", "name", "n"}, "site, name"},
	{"people", []string{"site", "id", "name", "roles", "owner", "units", "password", "pin", "away", "created", "language"}, "site, id"},
	{"guests", []string{"site", "person", "home", "home_person"}, "site, person"},
}

var (
	msgUnknownTable = say.Define("store.unknown_table", "rows of “{table}” are not known to this version")
	msgStoreInUse   = say.Define("store.in_use", "the store has a site already; only an empty one can be filled")
)

// Dump gives every row that holds truth, then every blob.
func (db *DB) Dump(ctx context.Context, take func(Row) error) error {
	for _, table := range truth {
		if err := db.dumpTable(ctx, table.name, table.columns, table.order, take); err != nil {
			return fmt.Errorf("store: dump %s: %w", table.name, err)
		}
	}
	hashes, err := list(ctx, db, "SELECT DISTINCT hash FROM blobs ORDER BY hash", nil, func(row *sql.Rows, hash *string) error { return row.Scan(hash) })
	if err != nil {
		return err
	}
	for _, hash := range hashes {
		content, err := readFile(ctx, db.files, hash)
		if err != nil {
			return fmt.Errorf("store: dump %s: %w", hash, err)
		}
		if err := take(Row{Table: contentTable, Values: []any{hash}, Content: content}); err != nil {
			return err
		}
	}
	return nil
}

func (db *DB) dumpTable(ctx context.Context, name string, columns []string, order string, take func(Row) error) (err error) {
	rows, err := db.query(ctx, "SELECT "+strings.Join(columns, ", ")+" FROM "+name+" ORDER BY "+order)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		values := make([]any, len(columns))
		places := make([]any, len(columns))
		for i := range values {
			places[i] = &values[i]
		}
		if err := rows.Scan(places...); err != nil {
			return err
		}
		if err := take(Row{Table: name, Values: values}); err != nil {
			return err
		}
	}
	return rows.Err()
}

// Fill takes a dump into an empty store, all or nothing but for contents.
func (db *DB) Fill(ctx context.Context, dump func(take func(Row) error) error) error {
	return db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var sites int
		if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM sites").Scan(&sites); err != nil {
			return fmt.Errorf("store: fill: %w", err)
		}
		if sites > 0 {
			return say.Refuse("", "", msgStoreInUse.With(), say.Message{})
		}
		return dump(func(r Row) error { return db.fillRow(ctx, tx, r) })
	})
}

func (db *DB) fillRow(ctx context.Context, tx *sql.Tx, r Row) error {
	if r.Table == contentTable {
		hash, _ := r.Values[0].(string)
		if hash != HashOf(r.Content) {
			return say.Refuse("blob", hash, msgBadBlob.With(hash), say.Message{})
		}
		if t, here := db.files.(tableFiles); here { // with the other rows: the only writer is at work
			return t.putIn(ctx, tx, hash, r.Content)
		}
		return db.files.put(ctx, hash, r.Content)
	}
	for _, table := range truth {
		if table.name == "people" && len(r.Values) == len(table.columns)-1 {
			r.Values = append(slices.Clone(r.Values), "") // written before people had a language
		}
		if table.name != r.Table || len(r.Values) != len(table.columns) {
			continue
		}
		places := make([]string, len(table.columns))
		for i := range places {
			places[i] = fmt.Sprintf("$%d", i+1)
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO "+table.name+" ("+strings.Join(table.columns, ", ")+") VALUES ("+strings.Join(places, ", ")+")", r.Values...)
		if err != nil {
			return fmt.Errorf("store: fill %s: %w", table.name, err)
		}
		return nil
	}
	return say.Refuse("table", r.Table, msgUnknownTable.With(r.Table), say.Message{})
}
