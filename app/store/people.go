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

// PutPerson adds or changes a person.
func (db *DB) PutPerson(ctx context.Context, site string, p Person) error {
	roles, err := json.Marshal(p.Roles)
	if err != nil {
		return fmt.Errorf("store: person %s: %w", p.ID, err)
	}
	return db.exec(ctx, `INSERT INTO people (site, id, name, roles, owner, units, language, password, pin, away, created) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)
		ON CONFLICT (site, id) DO UPDATE SET name = excluded.name, roles = excluded.roles, owner = excluded.owner, units = excluded.units, language = excluded.language,
		password = excluded.password, pin = excluded.pin, away = excluded.away`,
		site, p.ID, p.Name, string(roles), p.Owner, p.Units, p.Language, p.Password, p.PIN, number(p.Away), int64(p.Created))
}

func number(yes bool) int64 {
	if yes {
		return 1
	}
	return 0
}

const personColumns = "SELECT id, name, roles, owner, units, language, password, pin, away, created FROM people"

func scanPerson(row *sql.Rows, p *Person) error {
	var roles string
	var away int64
	if err := row.Scan(&p.ID, &p.Name, &roles, &p.Owner, &p.Units, &p.Language, &p.Password, &p.PIN, &away, &p.Created); err != nil {
		return err
	}
	p.Away = away != 0
	return json.Unmarshal([]byte(roles), &p.Roles)
}

// Person returns a person.
func (db *DB) Person(ctx context.Context, site, id string) (Person, error) {
	return first(ctx, db, personColumns+" WHERE site = $1 AND id = $2", []any{site, id}, scanPerson)
}

// People lists the people of a site by name.
func (db *DB) People(ctx context.Context, site string) ([]Person, error) {
	return list(ctx, db, personColumns+" WHERE site = $1 ORDER BY name, id", []any{site}, scanPerson)
}

// PutDevice adds or changes a device.
func (db *DB) PutDevice(ctx context.Context, site string, d Device) error {
	return db.exec(ctx, `INSERT INTO devices (site, id, name, secret, code, until, by_whom, paired, revoked) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
		ON CONFLICT (site, id) DO UPDATE SET name = excluded.name, secret = excluded.secret, code = excluded.code, until = excluded.until,
		paired = excluded.paired, revoked = excluded.revoked`,
		site, d.ID, d.Name, d.Secret, d.Code, int64(d.Until), d.By, int64(d.Paired), int64(d.Revoked))
}

type placedDevice struct {
	site string
	Device
}

const deviceColumns = "SELECT site, id, name, secret, code, until, by_whom, paired, revoked FROM devices"

func scanDevice(row *sql.Rows, d *placedDevice) error {
	return row.Scan(&d.site, &d.ID, &d.Name, &d.Secret, &d.Code, &d.Until, &d.By, &d.Paired, &d.Revoked)
}

// PairDevice turns a code into a paired tablet.
func (db *DB) PairDevice(ctx context.Context, code, secret string, at record.Time) (string, Device, error) {
	var found bool
	if err := plain([]any{code}); err != nil {
		return "", Device{}, err
	}
	err := db.write(ctx, func(ctx context.Context, tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, "UPDATE devices SET code = '', secret = $2, paired = $3 WHERE code = $1 AND code <> '' AND until >= $3 AND revoked = 0",
			code, secret, int64(at))
		if err != nil {
			return fmt.Errorf("store: pair: %w", err)
		}
		n, err := result.RowsAffected()
		found = n == 1
		return err
	})
	if err == nil && !found {
		err = ErrNotFound
	}
	if err != nil {
		return "", Device{}, err
	}
	return db.DeviceBySecret(ctx, secret)
}

// DeviceBySecret finds a paired device.
func (db *DB) DeviceBySecret(ctx context.Context, secret string) (string, Device, error) {
	if secret == "" {
		return "", Device{}, ErrNotFound
	}
	d, err := first(ctx, db, deviceColumns+" WHERE secret = $1 AND revoked = 0", []any{secret}, scanDevice)
	return d.site, d.Device, err
}

// Devices lists the devices of a site.
func (db *DB) Devices(ctx context.Context, site string) ([]Device, error) {
	placed, err := list(ctx, db, deviceColumns+" WHERE site = $1 ORDER BY name, id", []any{site}, scanDevice)
	devices := make([]Device, len(placed))
	for i := range placed {
		devices[i] = placed[i].Device
	}
	return devices, err
}

// PutSession keeps a sign-in.
func (db *DB) PutSession(ctx context.Context, s Session) error {
	return db.exec(ctx, "INSERT INTO sessions (token, id, site, person, device, by_pin, created, used, expires, revoked) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)",
		s.Token, s.ID, s.Site, s.Person, s.Device, number(s.ByPIN), int64(s.Created), int64(s.Used), int64(s.Expires), int64(s.Revoked))
}

const sessionColumns = "SELECT token, id, site, person, device, by_pin, created, used, expires, revoked FROM sessions"

func scanSession(row *sql.Rows, s *Session) error {
	var byPIN int64
	err := row.Scan(&s.Token, &s.ID, &s.Site, &s.Person, &s.Device, &byPIN, &s.Created, &s.Used, &s.Expires, &s.Revoked)
	s.ByPIN = byPIN != 0
	return err
}

// SessionByToken finds a sign-in.
func (db *DB) SessionByToken(ctx context.Context, token string) (Session, error) {
	return first(ctx, db, sessionColumns+" WHERE token = $1", []any{token}, scanSession)
}

// Sessions lists the sign-ins of a person that were not ended.
func (db *DB) Sessions(ctx context.Context, site, person string) ([]Session, error) {
	return list(ctx, db, sessionColumns+" WHERE site = $1 AND person = $2 AND revoked = 0 ORDER BY used DESC", []any{site, person}, scanSession)
}

// UseSession notes when a sign-in was last used.
func (db *DB) UseSession(ctx context.Context, token string, at record.Time) error {
	return db.exec(ctx, "UPDATE sessions SET used = $2 WHERE token = $1 AND used < $2", token, int64(at))
}

// RevokeSessions ends sign-ins: those that agree with every field of which
// that is set (ID, Person, Device). At least one must be.
func (db *DB) RevokeSessions(ctx context.Context, site string, which Session, at record.Time) error {
	query, args := "UPDATE sessions SET revoked = $2 WHERE site = $1 AND revoked = 0", []any{site, int64(at)}
	for _, c := range []struct{ column, value string }{{"id", which.ID}, {"person", which.Person}, {"device", which.Device}} {
		if c.value != "" {
			args = append(args, c.value)
			query += fmt.Sprintf(" AND %s = $%d", c.column, len(args))
		}
	}
	if len(args) == 2 {
		return errors.New("store: no sign-in is named")
	}
	return db.exec(ctx, query, args...)
}

// Tries tells how often a name failed.
func (db *DB) Tries(ctx context.Context, name string) (int, record.Time, error) {
	type try struct {
		failures int
		last     record.Time
	}
	t, err := first(ctx, db, "SELECT failures, last FROM tries WHERE name = $1", []any{name}, func(row *sql.Rows, t *try) error {
		return row.Scan(&t.failures, &t.last)
	})
	if errors.Is(err, ErrNotFound) {
		err = nil
	}
	return t.failures, t.last, err
}

// Failed counts a failure.
func (db *DB) Failed(ctx context.Context, name string, at, since record.Time) error {
	return db.exec(ctx, `INSERT INTO tries (name, failures, last) VALUES ($1, 1, $2) ON CONFLICT (name) DO UPDATE SET
		failures = CASE WHEN tries.last < $3 THEN 1 ELSE tries.failures + 1 END, last = excluded.last`, name, int64(at), int64(since))
}

// NotFailed takes one counted failure back.
func (db *DB) NotFailed(ctx context.Context, name string) error {
	return db.exec(ctx, "UPDATE tries SET failures = failures - 1 WHERE name = $1 AND failures > 0", name)
}

// ClearTries forgets failures.
func (db *DB) ClearTries(ctx context.Context, name string) error {
	return db.exec(ctx, "DELETE FROM tries WHERE name = $1", name)
}

// PutLink keeps a link.
func (db *DB) PutLink(ctx context.Context, l Link) error {
	return db.exec(ctx, "INSERT INTO links (token, id, site, stream, person, note, created, expires, revoked) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
		l.Token, l.ID, l.Site, l.Stream, l.Person, l.Note, int64(l.Created), int64(l.Expires), int64(l.Revoked))
}

const linkColumns = "SELECT token, id, site, stream, person, note, created, expires, revoked FROM links"

func scanLink(row *sql.Rows, l *Link) error {
	return row.Scan(&l.Token, &l.ID, &l.Site, &l.Stream, &l.Person, &l.Note, &l.Created, &l.Expires, &l.Revoked)
}

// LinkByToken finds a link.
func (db *DB) LinkByToken(ctx context.Context, token string) (Link, error) {
	return first(ctx, db, linkColumns+" WHERE token = $1", []any{token}, scanLink)
}

// Links lists the links to a stream.
func (db *DB) Links(ctx context.Context, site, stream string) ([]Link, error) {
	return list(ctx, db, linkColumns+" WHERE site = $1 AND stream = $2 ORDER BY created, id", []any{site, stream}, scanLink)
}

// RevokeLink ends a link.
func (db *DB) RevokeLink(ctx context.Context, site, id string, at record.Time) error {
	return db.exec(ctx, "UPDATE links SET revoked = $3 WHERE site = $1 AND id = $2 AND revoked = 0", site, id, int64(at))
}
