package shop

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// keptBackups are left in the folder; older ones are taken away.
const keptBackups = 14

// worryAfter is how old the last good backup may be before people are told.
const worryAfter = 48 * time.Hour

var (
	msgNoBackup  = say.Define("shop.no_backup", "there is no good backup yet")
	msgOldBackup = say.Define("shop.old_backup", "the last good backup is {days:count|day|days} old")
	msgBadBackup = say.Define("shop.bad_backup", "the last backup failed: {reason}")
)

// BackupState says how the backups stand.
type BackupState struct {
	Kept     bool // false for a shop that keeps none (in memory)
	LastGood record.Time
	Path     string
	Last     record.Time // also one that failed
	Failure  string      // of the last one, "" when it was good
	// Warning is empty as long as the last good backup is younger than two days.
	Warning say.Message
}

// BackUp makes a backup now and checks it. It returns its path.
func (s *Shop) BackUp(ctx context.Context, sc Scope) (string, error) {
	if err := sc.need(access.Backup); err != nil {
		return "", err
	}
	return s.backUp(ctx)
}

// BackUpTo makes a backup into another folder: for the owner of the machine,
// who asks at its command line.
func (s *Shop) BackUpTo(ctx context.Context, folder string) (string, error) {
	return s.store.Backup(ctx, folder, s.stamp())
}

func (s *Shop) backUp(ctx context.Context) (string, error) {
	at := s.stamp()
	path, err := s.store.Backup(ctx, s.backups, at)
	note := store.BackupNote{At: at, Path: path, Good: err == nil}
	if err != nil {
		note.Note = err.Error()
	}
	if noteErr := s.store.NoteBackup(ctx, note); noteErr != nil || err != nil {
		return path, errors.Join(err, noteErr)
	}
	return path, s.prune()
}

// prune takes the oldest backups away.
func (s *Shop) prune() error {
	names, err := filepath.Glob(filepath.Join(s.backups, "pumpwright-*.db"))
	if err != nil {
		return fmt.Errorf("shop: backups: %w", err)
	}
	sort.Strings(names) // their names hold the moment
	for len(names) > keptBackups {
		if err := os.Remove(names[0]); err != nil {
			return fmt.Errorf("shop: backups: %w", err)
		}
		names = names[1:]
	}
	return nil
}

// BackupState tells how the backups stand.
func (s *Shop) BackupState(ctx context.Context, sc Scope) (BackupState, error) {
	if err := sc.need(access.ReadShop); err != nil {
		return BackupState{}, err
	}
	return s.backupState(ctx)
}

func (s *Shop) backupState(ctx context.Context) (BackupState, error) {
	state := BackupState{Kept: s.backups != ""}
	if !state.Kept {
		return state, nil
	}
	good, last, err := s.store.LastBackup(ctx)
	if err != nil {
		return state, err
	}
	state.LastGood, state.Path, state.Last = good.At, good.Path, last.At
	if !last.Good {
		state.Failure = last.Note
	}
	since := good.At
	if since == 0 { // a new shop has two days, too
		sites, err := s.store.Sites(ctx)
		if err != nil || len(sites) == 0 {
			return state, err
		}
		since = sites[0].Created
	}
	age := s.now().Sub(since.Time())
	switch {
	case age <= worryAfter:
	case state.Failure != "":
		state.Warning = msgBadBackup.With(state.Failure)
	case good.At == 0:
		state.Warning = msgNoBackup.With()
	default:
		state.Warning = msgOldBackup.With(int(age / (24 * time.Hour)))
	}
	return state, nil
}

// nightHour is the hour of the day, by the clock of the machine, at which the
// backup is made.
const nightHour = 2

// nextNight returns the next time at which a backup is due: at night, and at
// once when the last good one is older than a day and a bit.
func nextNight(now time.Time, lastGood record.Time) time.Duration {
	if now.Sub(lastGood.Time()) > 26*time.Hour {
		return 0
	}
	night := time.Date(now.Year(), now.Month(), now.Day(), nightHour, 0, 0, 0, now.Location())
	if !night.After(now) {
		night = night.AddDate(0, 0, 1)
	}
	return night.Sub(now)
}

// retryBackup is how long a backup that failed waits for the next attempt.
const retryBackup = time.Hour

// BackUpNightly makes a backup each night until the context ends or the shop
// is closed. tell hears of one that failed.
func (s *Shop) BackUpNightly(ctx context.Context, tell func(error)) {
	if s.backups == "" {
		return
	}
	for {
		state, err := s.backupState(ctx)
		wait := nextNight(s.now(), state.LastGood)
		if err == nil && wait == 0 {
			_, err = s.backUp(ctx)
			wait = time.Minute
		}
		if err != nil {
			if ctx.Err() != nil {
				return
			}
			tell(err)
			wait = retryBackup
		}
		timer := time.NewTimer(min(wait, retryBackup)) // the clock may be set meanwhile
		select {
		case <-timer.C:
		case <-ctx.Done():
			timer.Stop()
			return
		}
	}
}

// Check looks at everything that is kept and says what is not as it was
// written.
func (s *Shop) Check(ctx context.Context) ([]store.Damage, error) { return s.store.Check(ctx) }
