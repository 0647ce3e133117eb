package store

import (
	"context"

	"pumpwright/rebuild/record"
)

// Token lets a program in, in the name of the person who made it.
type Token struct {
	Secret  string // hash of what the program shows
	ID      string // names the token to people
	Site    string
	Person  string
	Name    string
	Scopes  []string
	Created record.Time
	Expires record.Time // 0: until it is revoked
	Revoked record.Time
}

// Hook is an address that is told when a job comes to another stage.
type Hook struct {
	ID, Site string
	Address  string
	Secret   string // signs what is sent; needed in clear to sign with
	Person   string
	Created  record.Time
}

// Delivery is one message to a hook, until it has arrived or is given up.
type Delivery struct {
	ID, Site, Hook string
	Body           string
	Due            record.Time // when it is tried next
	Tries          int
	Done           record.Time // when it arrived or was given up, 0 before
	Note           string      // how the last attempt went
	Created        record.Time
}

// Programs keeps what lets programs in and whom they are told by.
type Programs interface {
	PutToken(ctx context.Context, t Token) error
	TokenBySecret(ctx context.Context, secret string) (Token, error)
	Tokens(ctx context.Context, site string) ([]Token, error)
	RevokeToken(ctx context.Context, site, id string, at record.Time) error

	PutHook(ctx context.Context, h Hook) error
	Hooks(ctx context.Context, site string) ([]Hook, error)
	// DropHook takes a hook away with what was still to be sent to it.
	DropHook(ctx context.Context, site, id string) error
	// Stage notes the stage of a job and, when it is another than the one told
	// last, keeps the deliveries in the same change. However many processes
	// see the change, it is told once, and never an older one after a newer;
	// told says whether it was now.
	Stage(ctx context.Context, site string, head Head, stage string, deliveries []Delivery) (told bool, err error)
	PutDelivery(ctx context.Context, d Delivery) error
	// ClaimDeliveries returns deliveries that are due and moves them to a later
	// moment, so that no other process sends them meanwhile.
	ClaimDeliveries(ctx context.Context, now, until record.Time, limit int) ([]Delivery, error)
	// Deliveries lists what was sent to a hook, the newest first.
	Deliveries(ctx context.Context, site, hook string, limit int) ([]Delivery, error)
}
