//go:build !js

package shop

import (
	"context"
	"errors"
	"os"
	"path/filepath"

	"pumpwright/app/store"
	"pumpwright/app/store/bucket"
	"pumpwright/calc/say"
)

// OpenFolder opens the shop in a folder, and makes it when it is not there.
func OpenFolder(ctx context.Context, folder string, o Options) (*Shop, error) {
	return Home{Folder: folder}.Open(ctx, o)
}

// OpenMemory opens a shop that is gone when it is closed.
func OpenMemory(ctx context.Context, o Options) (*Shop, error) {
	db, err := store.OpenMemory(ctx)
	if err != nil {
		return nil, err
	}
	return New(db, o), nil
}

// Home is where a shop is kept: in a folder or in a PostgreSQL database, with
// the photos in the folder, in the database or in a bucket. Several servers may
// share a database; it is backed up with its own tools.
type Home struct {
	Folder   string
	Database string // URL, "" for the SQLite file in the folder
	// Photos is where photos and papers lie: "" for the folder if there is one,
	// else the database; "database"; the address of a bucket; another folder.
	Photos           string
	Site             string // that the owner of the machine means, where there are several
	KeyID, KeySecret string // of the bucket: the name of the key and its secret
}

func (h Home) open(ctx context.Context) (*store.DB, error) {
	return store.Open(ctx, store.Place{Folder: h.Folder, Database: h.Database, Photos: h.Photos, Key: bucket.Key{ID: h.KeyID, Secret: h.KeySecret}})
}

// Open opens the shop that is kept there, and makes it when it is not.
func (h Home) Open(ctx context.Context, o Options) (*Shop, error) {
	db, err := h.open(ctx)
	if err != nil {
		return nil, err
	}
	if o.Backups == "" && h.Database == "" {
		o.Backups = filepath.Join(h.Folder, "backups")
	}
	if o.Site == "" {
		o.Site = h.Site
	}
	return New(db, o), nil
}

var msgMoveDamage = say.Define("shop.move_damage", "what arrived is not sound: {faults:list}")

// Move copies a whole shop into an empty home, of the other kind of database
// too, and checks what arrived: every entry, place and hash as it was, every
// photo, every person with his password. Sign-ins, tablets, links, tokens and
// webhooks stay behind. The old home is left as it is.
func Move(ctx context.Context, from, to Home) (err error) {
	source, err := from.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	target, err := to.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, target.Close()) }()
	if err := store.Copy(ctx, source, target); err != nil {
		return err
	}
	damage, err := target.Check(ctx)
	if err != nil || len(damage) == 0 {
		return err
	}
	faults := make([]say.Message, len(damage))
	for i, d := range damage {
		faults[i] = d.Message
	}
	return say.Refuse("", "", msgMoveDamage.With(faults), say.Message{})
}

// There reports whether a shop is kept there already, as far as a look at the
// folder tells; Open would make one. A database is asked only when it is opened.
func (h Home) There() bool {
	if h.Database != "" {
		return true
	}
	info, err := os.Stat(filepath.Join(h.Folder, store.FileName))
	return err == nil && !info.IsDir()
}

// Restore puts a backup into the folder of a shop that has none yet.
func Restore(ctx context.Context, backup, folder string) error {
	return store.Restore(ctx, backup, folder)
}
