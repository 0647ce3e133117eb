//go:build !js

package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"

	"pumpwright/rebuild/record"
)

// PutToken keeps a token.
func (db *DB) PutToken(ctx context.Context, t Token) error {
	scopes, err := json.Marshal(t.Scopes)
	if err != nil {
		return fmt.Errorf("store: token: %w", err)
	}
	return db.exec(ctx, "INSERT INTO tokens (secret, id, site, person, name, scopes, created, expires, revoked) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
		t.Secret, t.ID, t.Site, t.Person, t.Name, string(scopes), int64(t.Created), int64(t.Expires), int64(t.Revoked))
}

const tokenColumns = "SELECT secret, id, site, person, name, scopes, created, expires, revoked FROM tokens"

func scanToken(row *sql.Rows, t *Token) error {
	var scopes string
	if err := row.Scan(&t.Secret, &t.ID, &t.Site, &t.Person, &t.Name, &scopes, &t.Created, &t.Expires, &t.Revoked); err != nil {
		return err
	}
	return json.Unmarshal([]byte(scopes), &t.Scopes)
}

// TokenBySecret finds a token.
func (db *DB) TokenBySecret(ctx context.Context, secret string) (Token, error) {
	return first(ctx, db, tokenColumns+" WHERE secret = $1", []any{secret}, scanToken)
}

// Tokens lists the tokens of a site.
func (db *DB) Tokens(ctx context.Context, site string) ([]Token, error) {
	return list(ctx, db, tokenColumns+" WHERE site = $1 ORDER BY created, id", []any{site}, scanToken)
}

// RevokeToken ends a token.
func (db *DB) RevokeToken(ctx context.Context, site, id string, at record.Time) error {
	return db.exec(ctx, "UPDATE tokens SET revoked = $3 WHERE site = $1 AND id = $2 AND revoked = 0", site, id, int64(at))
}

// PutHook keeps a hook.
func (db *DB) PutHook(ctx context.Context, h Hook) error {
	return db.exec(ctx, "INSERT INTO hooks (site, id, address, secret, person, created) VALUES ($1, $2, $3, $4, $5, $6)",
		h.Site, h.ID, h.Address, h.Secret, h.Person, int64(h.Created))
}

// Hooks lists the hooks of a site.
func (db *DB) Hooks(ctx context.Context, site string) ([]Hook, error) {
	return list(ctx, db, "SELECT site, id, address, secret, person, created FROM hooks WHERE site = $1 ORDER BY created, id", []any{site},
		func(row *sql.Rows, h *Hook) error {
			return row.Scan(&h.Site, &h.ID, &h.Address, &h.Secret, &h.Person, &h.Created)
		})
}

// DropHook takes a hook away.
func (db *DB) DropHook(ctx context.Context, site, id string) error {
	return db.exec(ctx, "DELETE FROM hooks WHERE site = $1 AND id = $2", site, id)
}

// Stage notes the stage of a job and tells of a new one once.
func (db *DB) Stage(ctx context.Context, site string, head Head, stage string, deliveries []Delivery) (told bool, err error) {
	err = db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, `INSERT INTO told_stages (site, stream, stage, seq) VALUES ($1, $2, $3, $4)
			ON CONFLICT (site, stream) DO UPDATE SET stage = excluded.stage, seq = excluded.seq
			WHERE told_stages.stage <> excluded.stage AND told_stages.seq < excluded.seq`, site, head.Stream, stage, head.Seq)
		if err != nil {
			return fmt.Errorf("store: stage of %s: %w", head.Stream, err)
		}
		n, err := result.RowsAffected()
		if told = n > 0; err != nil || !told {
			return err
		}
		for i := range deliveries {
			if err := putDelivery(ctx, tx, &deliveries[i]); err != nil {
				return err
			}
		}
		return nil
	})
	return told, err
}

// PutDelivery keeps a delivery, or how its last attempt went.
func (db *DB) PutDelivery(ctx context.Context, d Delivery) error {
	return db.write(ctx, func(ctx context.Context, tx *sql.Tx) error { return putDelivery(ctx, tx, &d) })
}

// putDelivery does nothing for a hook that was taken away meanwhile.
func putDelivery(ctx context.Context, tx *sql.Tx, d *Delivery) error {
	var there int64
	err := tx.QueryRowContext(ctx, "SELECT 1 FROM hooks WHERE site = $1 AND id = $2", d.Site, d.Hook).Scan(&there)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err == nil {
		_, err = tx.ExecContext(ctx, `INSERT INTO deliveries (site, id, hook, body, due, tries, done, note, created) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
			ON CONFLICT (site, id) DO UPDATE SET due = excluded.due, tries = excluded.tries, done = excluded.done, note = excluded.note`,
			d.Site, d.ID, d.Hook, d.Body, int64(d.Due), d.Tries, int64(d.Done), d.Note, int64(d.Created))
	}
	if err != nil {
		return fmt.Errorf("store: delivery %s: %w", d.ID, err)
	}
	return nil
}

const deliveryColumns = "site, id, hook, body, due, tries, done, note, created"

func scanDelivery(row *sql.Rows, d *Delivery) error {
	return row.Scan(&d.Site, &d.ID, &d.Hook, &d.Body, &d.Due, &d.Tries, &d.Done, &d.Note, &d.Created)
}

// ClaimDeliveries returns deliveries that are due.
func (db *DB) ClaimDeliveries(ctx context.Context, now, until record.Time, limit int) (claimed []Delivery, err error) {
	due, err := list(ctx, db, "SELECT "+deliveryColumns+" FROM deliveries WHERE done = 0 AND due <= $1 ORDER BY due LIMIT $2", []any{int64(now), limit}, scanDelivery)
	if err != nil || len(due) == 0 {
		return nil, err
	}
	err = db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
		claimed = claimed[:0]
		for i := range due {
			d := &due[i]
			result, err := tx.ExecContext(ctx, "UPDATE deliveries SET due = $3 WHERE site = $1 AND id = $2 AND due = $4 AND done = 0", d.Site, d.ID, int64(until), int64(d.Due))
			if err != nil {
				return fmt.Errorf("store: deliveries: %w", err)
			}
			if n, err := result.RowsAffected(); err != nil {
				return err
			} else if n == 1 {
				claimed = append(claimed, *d)
			}
		}
		return nil
	})
	return claimed, err
}

// Deliveries lists what was sent to a hook.
func (db *DB) Deliveries(ctx context.Context, site, hook string, limit int) ([]Delivery, error) {
	return list(ctx, db, "SELECT "+deliveryColumns+" FROM deliveries WHERE site = $1 AND hook = $2 ORDER BY created DESC, id DESC LIMIT $3",
		[]any{site, hook, limit}, scanDelivery)
}
