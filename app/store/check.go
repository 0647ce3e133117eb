//go:build !js

package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

var (
	msgDatabase   = say.Define("store.database", "the database is damaged: {reason}")
	msgEdited     = say.Define("store.edited", "entry {seq:count} ({kind}) was changed after it was written: its content does not match its hash")
	msgChain      = say.Define("store.chain", "entry {seq:count} ({kind}) does not follow the entry before it")
	msgHead       = say.Define("store.head", "the stream should end at entry {wanted:count}, its last entry is {found:count}")
	msgNoBlob     = say.Define("store.no_blob", "the content of {name} is missing")
	msgUnreadBlob = say.Define("store.unread_blob", "the content of {name} cannot be read: {reason}")
	msgBadBlob    = say.Define("store.bad_blob", "the content of {name} was changed")
)

// Check reads everything: the database's own check, the chain of every stream
// and the content of every blob. An error means that it could not look.
func (db *DB) Check(ctx context.Context) ([]Damage, error) {
	var found []Damage
	if db.dialect.check != "" {
		lines, err := list(ctx, db, db.dialect.check, nil, func(row *sql.Rows, line *string) error { return row.Scan(line) })
		if err != nil {
			return []Damage{{Message: msgDatabase.With(err)}}, nil
		}
		for _, line := range lines {
			if line != "ok" {
				found = append(found, Damage{Message: msgDatabase.With(line)})
			}
		}
	}
	sites, err := db.Sites(ctx)
	if err != nil {
		return found, err
	}
	for _, s := range sites {
		chains, err := db.checkChains(ctx, s.ID)
		if err != nil {
			return found, err
		}
		blobs, err := db.checkBlobs(ctx, s.ID)
		if err != nil {
			return found, err
		}
		found = append(append(found, chains...), blobs...)
	}
	return found, nil
}

// checkChains follows every chain of a site in one reading of the entries.
func (db *DB) checkChains(ctx context.Context, site string) (found []Damage, err error) {
	heads, err := db.Heads(ctx, site, "")
	if err != nil {
		return nil, err
	}
	last := make(map[string]Head, len(heads))
	rows, err := db.query(ctx, "SELECT "+entryColumns+" FROM entries WHERE site = $1 ORDER BY stream, seq", site)
	if err != nil {
		return nil, fmt.Errorf("store: entries: %w", err)
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var e record.Entry
		if err := scanEntry(rows, &e); err != nil {
			return found, fmt.Errorf("store: entries: %w", err)
		}
		before := last[e.Stream]
		damage := Damage{Site: site, Stream: e.Stream, Seq: e.Seq}
		canonical, err := record.Canonical(e.Body)
		switch {
		case err != nil || !bytes.Equal(canonical, e.Body) || e.ComputeHash() != e.Hash:
			damage.Message = msgEdited.With(int(e.Seq), e.Kind)
		case e.Prev != before.Hash || e.Seq != before.Seq+1:
			damage.Message = msgChain.With(int(e.Seq), e.Kind)
		}
		if !damage.Message.IsZero() {
			found = append(found, damage)
		}
		last[e.Stream] = Head{Stream: e.Stream, Seq: e.Seq, Hash: e.Hash}
	}
	for _, h := range heads {
		if end := last[h.Stream]; end.Seq != h.Seq || end.Hash != h.Hash {
			found = append(found, Damage{Site: site, Stream: h.Stream, Seq: end.Seq, Message: msgHead.With(int(h.Seq), int(end.Seq))})
		}
	}
	return found, rows.Err()
}

func (db *DB) checkBlobs(ctx context.Context, site string) ([]Damage, error) {
	blobs, err := db.blobsOf(ctx, site)
	if err != nil {
		return nil, err
	}
	var found []Damage
	for _, b := range blobs {
		content, err := readFile(ctx, db.files, b.Hash)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			found = append(found, Damage{Site: site, Message: msgNoBlob.With(b.Hash)})
		case err != nil:
			found = append(found, Damage{Site: site, Message: msgUnreadBlob.With(b.Hash, err)})
		case HashOf(content) != b.Hash:
			found = append(found, Damage{Site: site, Message: msgBadBlob.With(b.Hash)})
		}
	}
	return found, nil
}

func (db *DB) blobsOf(ctx context.Context, site string) ([]Blob, error) {
	return list(ctx, db, "SELECT hash, media, name, size, thumb, created FROM blobs WHERE site = $1 ORDER BY hash", []any{site}, scanBlob)
}

func readFile(ctx context.Context, files blobFiles, hash string) (content []byte, err error) {
	file, err := files.open(ctx, hash)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	return io.ReadAll(file)
}
