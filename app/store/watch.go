//go:build !js

package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
)

// channel is where the processes of one database tell each other.
const channel = "pumpwright"

// letter is a notice with its sender.
type letter struct {
	From string `json:"from"`
	Notice
}

// tellOthers sends a notice with the change: it arrives when the change is
// kept, and not at all when it is not.
func (db *DB) tellOthers(ctx context.Context, tx *sql.Tx, n Notice) error {
	if !db.dialect.tell {
		return nil
	}
	text, err := json.Marshal(letter{db.name, n})
	if err != nil {
		return fmt.Errorf("store: notice: %w", err)
	}
	if _, err := tx.ExecContext(ctx, "SELECT pg_notify($1, $2)", channel, string(text)); err != nil {
		return fmt.Errorf("store: notice: %w", err)
	}
	return nil
}

// Waits between attempts to listen again after the server went away.
const (
	firstWait = 100 * time.Millisecond
	lastWait  = 5 * time.Second
)

// Watch tells of the entries of other processes.
func (db *DB) Watch(ctx context.Context, tell func(Notice)) {
	if !db.dialect.tell {
		<-ctx.Done()
		return
	}
	for wait := firstWait; ; wait = min(2*wait, lastWait) {
		heard := db.listen(ctx, tell)
		if ctx.Err() != nil {
			return
		}
		if heard {
			wait = firstWait
		}
		select {
		case <-time.After(wait):
		case <-ctx.Done():
			return
		}
	}
}

// listen tells until the connection or the context ends. What was sent before
// it began is lost, so it begins with the zero Notice.
func (db *DB) listen(ctx context.Context, tell func(Notice)) (heard bool) {
	connection, err := pgx.Connect(ctx, db.url)
	if err != nil {
		return false
	}
	defer func() { _ = connection.Close(context.WithoutCancel(ctx)) }() // it is given up either way
	if _, err := connection.Exec(ctx, "LISTEN "+channel); err != nil {
		return false
	}
	tell(Notice{})
	for {
		n, err := connection.WaitForNotification(ctx)
		if err != nil {
			return true
		}
		var l letter
		if json.Unmarshal([]byte(n.Payload), &l) != nil {
			tell(Notice{}) // not of this version: look at everything
			continue
		}
		if l.From != db.name {
			tell(l.Notice)
		}
	}
}
