//go:build !js

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"
)

// writer runs the changes of a store. On SQLite there is one writer at a time
// anyway: those who wait share a transaction, each within a savepoint of its
// own, and one flush to the disk serves them all. Nobody is told that his
// change is kept before the commit has come back.
type writer struct {
	db    *sql.DB
	queue chan *change // nil: each change has its own transaction

	closing sync.RWMutex
	closed  bool
	done    chan struct{}
}

type change struct {
	ctx   context.Context
	run   func(context.Context, *sql.Tx) error
	err   error
	ready chan struct{}
}

// most changes share one commit at most.
const mostShared = 64

var errClosed = errors.New("store: closed")

func newWriter(db *sql.DB, shared bool) *writer {
	w := &writer{db: db}
	if shared {
		w.queue = make(chan *change, mostShared)
		w.done = make(chan struct{})
		go w.work()
	}
	return w
}

func (w *writer) close() error {
	w.closing.Lock()
	already := w.closed
	w.closed = true
	w.closing.Unlock()
	if already {
		return nil
	}
	if w.queue != nil {
		close(w.queue)
		<-w.done
	}
	return w.db.Close()
}

// write runs one change. A change may run twice when a commit fails that it
// shared with others, so it must set its results anew each time.
func (w *writer) write(ctx context.Context, run func(context.Context, *sql.Tx) error) error {
	if w.queue == nil {
		return w.alone(ctx, run)
	}
	c := &change{ctx: ctx, run: run, ready: make(chan struct{})}
	w.closing.RLock()
	if w.closed {
		w.closing.RUnlock()
		return errClosed
	}
	w.queue <- c
	w.closing.RUnlock()
	<-c.ready
	return c.err
}

// mostRuns is how often a change is run when the database ended it in favour
// of another one.
const mostRuns = 5

// alone runs a change in a transaction of its own, again when two changes stood
// in each other's way and this one was chosen to give up.
func (w *writer) alone(ctx context.Context, run func(context.Context, *sql.Tx) error) error {
	var err error
	for range mostRuns {
		if err = w.once(ctx, run); err == nil || !gaveWay(err) {
			return err
		}
	}
	return err
}

// gaveWay reports a deadlock or a failed serialization, SQLSTATE 40P01 and
// 40001 of ISO/IEC 9075.
func gaveWay(err error) bool {
	var stated interface{ SQLState() string }
	return errors.As(err, &stated) && (stated.SQLState() == "40P01" || stated.SQLState() == "40001")
}

func (w *writer) once(ctx context.Context, run func(context.Context, *sql.Tx) error) error {
	tx, err := w.db.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("store: begin: %w", err)
	}
	if err := run(ctx, tx); err != nil {
		return errors.Join(err, ignoreDone(tx.Rollback()))
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("store: commit: %w", err)
	}
	return nil
}

func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}

func (w *writer) work() {
	defer close(w.done)
	for first := range w.queue {
		changes := []*change{first}
		for more := true; more && len(changes) < mostShared; {
			select {
			case c, open := <-w.queue:
				if more = open; open {
					changes = append(changes, c)
				}
			default:
				more = false
			}
		}
		if len(changes) == 1 {
			first.err = w.alone(first.ctx, first.run)
		} else if !w.together(changes) {
			for _, c := range changes {
				c.err = w.alone(c.ctx, c.run)
			}
		}
		for _, c := range changes {
			close(c.ready)
		}
	}
}

// together runs changes in one transaction; false when none of them is kept
// and each has to be run alone.
func (w *writer) together(changes []*change) bool {
	// The transaction belongs to all: one who goes away must not end it.
	ctx := context.Background()
	tx, err := w.db.BeginTx(ctx, nil)
	if err != nil {
		return false
	}
	defer func() { _ = tx.Rollback() }() // after a commit there is nothing to roll back
	for _, c := range changes {
		if c.err = c.ctx.Err(); c.err != nil {
			continue
		}
		if _, err := tx.ExecContext(ctx, "SAVEPOINT one"); err != nil {
			return false
		}
		if c.err = c.run(ctx, tx); c.err != nil {
			if _, err := tx.ExecContext(ctx, "ROLLBACK TO one"); err != nil {
				return false
			}
		}
		if _, err := tx.ExecContext(ctx, "RELEASE one"); err != nil {
			return false
		}
	}
	return tx.Commit() == nil
}

// write runs one change of the store.
func (db *DB) write(ctx context.Context, run func(context.Context, *sql.Tx) error) error {
	return db.writer.write(ctx, run)
}
