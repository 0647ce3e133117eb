package shop

import (
	"context"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Link lets a customer read one job without a name.
type Link struct {
	ID      string
	Job     string
	By      string
	Note    string
	Created record.Time
	Expires record.Time
	Revoked record.Time
}

const (
	longestLink = 366 * 24 * time.Hour
	longestNote = 200
)

var (
	msgLinkTime = say.Define("shop.link_time", "a link holds a day at least and a year at most")
	msgLinkNote = say.Define("shop.link_note", "the note is longer than {most:count} characters")
	msgLinkOver = say.Define("shop.link_over", "this link does not hold, or no longer")
	msgAskShop  = say.Define("shop.ask_shop", "ask the shop for a new one")
)

// Share makes a link to a job. The token is shown once: what is kept does not
// give it back.
func (s *Shop) Share(ctx context.Context, sc Scope, name string, holds time.Duration, note string) (token string, l Link, err error) {
	if err := sc.need(access.Share); err != nil {
		return "", l, err
	}
	if holds < 24*time.Hour || holds > longestLink {
		return "", l, say.Refuse("days", "", msgLinkTime.With(), say.Message{})
	}
	if len(note) > longestNote {
		return "", l, say.Refuse("note", "", msgLinkNote.With(longestNote), say.Message{})
	}
	if _, err := s.Job(ctx, sc, name); err != nil {
		return "", l, err
	}
	token, kept, id, err := s.gate.NewLink()
	if err != nil {
		return "", l, err
	}
	now := s.now()
	row := store.Link{
		Token: kept, ID: id, Site: sc.Site, Stream: StreamOf(name), Person: sc.Person, Note: note,
		Created: record.TimeOf(now), Expires: record.TimeOf(now.Add(holds)),
	}
	if err := s.store.PutLink(ctx, row); err != nil {
		return "", l, err
	}
	return token, linkOf(row), nil
}

func linkOf(l store.Link) Link {
	return Link{ID: l.ID, Job: jobOf(l), By: l.Person, Note: l.Note, Created: l.Created, Expires: l.Expires, Revoked: l.Revoked}
}

// Links lists the links to a job.
func (s *Shop) Links(ctx context.Context, sc Scope, name string) ([]Link, error) {
	if err := sc.need(access.Share); err != nil {
		return nil, err
	}
	rows, err := s.store.Links(ctx, sc.Site, StreamOf(name))
	links := make([]Link, len(rows))
	for i := range rows {
		links[i] = linkOf(rows[i])
	}
	return links, err
}

// EndLink ends a link at once.
func (s *Shop) EndLink(ctx context.Context, sc Scope, id string) error {
	if err := sc.need(access.Share); err != nil {
		return err
	}
	return s.store.RevokeLink(ctx, sc.Site, id, s.stamp())
}

// OpenLink returns what the holder of a link may do: read the one job.
func (s *Shop) OpenLink(ctx context.Context, token string) (sc Scope, name string, err error) {
	over := say.Refuse("", "", msgLinkOver.With(), msgAskShop.With())
	l, err := s.store.LinkByToken(ctx, access.Kept(token))
	if isNotFound(err) {
		return sc, "", over
	}
	if err != nil {
		return sc, "", err
	}
	if jobOf(l) == "" || l.Revoked != 0 || s.stamp() >= l.Expires {
		return sc, "", over
	}
	return Scope{Site: l.Site, Roles: []access.Role{access.Customer}, Only: l.Stream}, jobOf(l), nil
}
