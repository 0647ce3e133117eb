//go:build !js

package store

import (
	"context"
	"database/sql"
)

const guestColumns = "SELECT site, person, home, home_person FROM guests"

func scanGuest(row *sql.Rows, g *Guest) error {
	return row.Scan(&g.Site, &g.Person, &g.Home, &g.HomePerson)
}

// PutGuest says that a person of one site is one of another, too.
func (db *DB) PutGuest(ctx context.Context, g Guest) error {
	return db.exec(ctx, "INSERT INTO guests (site, person, home, home_person) VALUES ($1, $2, $3, $4)", g.Site, g.Person, g.Home, g.HomePerson)
}

// GuestOf tells where a person of a site comes from.
func (db *DB) GuestOf(ctx context.Context, site, person string) (Guest, error) {
	return first(ctx, db, guestColumns+" WHERE site = $1 AND person = $2", []any{site, person}, scanGuest)
}

// GuestsFrom lists where else a person of a site belongs.
func (db *DB) GuestsFrom(ctx context.Context, home, person string) ([]Guest, error) {
	return list(ctx, db, guestColumns+" WHERE home = $1 AND home_person = $2 ORDER BY site", []any{home, person}, scanGuest)
}

// DropGuest ends that a person of a site comes from another.
func (db *DB) DropGuest(ctx context.Context, site, person string) error {
	return db.exec(ctx, "DELETE FROM guests WHERE site = $1 AND person = $2", site, person)
}
