package store

import (
	"context"

	"pumpwright/rebuild/record"
)

// Person is somebody of a site. Entries name only the id, so that the name can
// be forgotten without breaking a chain.
type Person struct {
	ID, Name string
	Roles    []string
	Owner    string // whose pumps a customer may see
	Units    string // metric, inch
	Language string // BCP 47; "" when the person has chosen none
	Password string // hash, "" when there is none
	PIN      string // hash, "" when there is none
	Away     bool   // may not sign in
	Created  record.Time
}

// Guest is a person of a site who signs in at another: at home.
type Guest struct{ Site, Person, Home, HomePerson string }

// Device is a tablet that the shop has paired, or is about to.
type Device struct {
	ID, Name string
	Secret   string // hash of what the tablet shows each time
	Code     string // hash of the code that pairs it, "" once it is used
	Until    record.Time
	By       string
	Paired   record.Time
	Revoked  record.Time
}

// Session is a sign-in.
type Session struct {
	Token   string // hash of what the browser keeps
	ID      string // names the session to people
	Site    string
	Person  string
	Device  string
	ByPIN   bool
	Created record.Time
	Used    record.Time
	Expires record.Time
	Revoked record.Time
}

// Link lets somebody without a name read one stream.
type Link struct {
	Token   string // hash of what is in the address
	ID      string
	Site    string
	Stream  string
	Person  string // who gave it
	Note    string
	Created record.Time
	Expires record.Time
	Revoked record.Time
}

// People keeps people, their sign-ins and tablets.
type People interface {
	PutPerson(ctx context.Context, site string, p Person) error
	Person(ctx context.Context, site, id string) (Person, error)
	People(ctx context.Context, site string) ([]Person, error)

	// PutGuest says that a person of one site is the same as one of another.
	PutGuest(ctx context.Context, g Guest) error
	GuestOf(ctx context.Context, site, person string) (Guest, error)
	// GuestsFrom lists where else a person of a site belongs.
	GuestsFrom(ctx context.Context, home, person string) ([]Guest, error)
	DropGuest(ctx context.Context, site, person string) error

	PutDevice(ctx context.Context, site string, d Device) error
	// PairDevice turns a code that holds at a moment into a paired tablet,
	// once. The secret is the hash of what the tablet will show.
	PairDevice(ctx context.Context, code, secret string, at record.Time) (site string, d Device, err error)
	DeviceBySecret(ctx context.Context, secret string) (site string, d Device, err error)
	Devices(ctx context.Context, site string) ([]Device, error)

	PutSession(ctx context.Context, s Session) error
	SessionByToken(ctx context.Context, token string) (Session, error)
	Sessions(ctx context.Context, site, person string) ([]Session, error)
	UseSession(ctx context.Context, token string, at record.Time) error
	// RevokeSessions ends the sign-ins of a person, or on a device, or one.
	RevokeSessions(ctx context.Context, site string, which Session, at record.Time) error

	// Tries tells how often a name failed to sign in and when last.
	Tries(ctx context.Context, name string) (failures int, last record.Time, err error)
	// Failed counts one failure more; one before the moment since starts anew.
	Failed(ctx context.Context, name string, at, since record.Time) error
	// NotFailed takes one counted failure back.
	NotFailed(ctx context.Context, name string) error
	ClearTries(ctx context.Context, name string) error

	PutLink(ctx context.Context, l Link) error
	LinkByToken(ctx context.Context, token string) (Link, error)
	Links(ctx context.Context, site, stream string) ([]Link, error)
	RevokeLink(ctx context.Context, site, id string, at record.Time) error
}
