package shop

import (
	"context"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// calendarStream is what the links of calendars are for. It holds no entries.
const calendarStream = "site:calendar"

// ShareCalendar makes an address under which a calendar program reads the due
// dates. The token is shown once: what is kept does not give it back.
func (s *Shop) ShareCalendar(ctx context.Context, sc Scope, holds time.Duration, note string) (token string, l Link, err error) {
	if err := sc.need(access.Share); err != nil {
		return "", l, err
	}
	if err := sc.need(access.ReadPumps); err != nil {
		return "", l, err
	}
	if holds < 24*time.Hour || holds > longestLink {
		return "", l, say.Refuse("days", "", msgLinkTime.With(), say.Message{})
	}
	if len(note) > longestNote {
		return "", l, say.Refuse("note", "", msgLinkNote.With(longestNote), say.Message{})
	}
	token, kept, id, err := s.gate.NewLink()
	if err != nil {
		return "", l, err
	}
	now := s.now()
	row := store.Link{
		Token: kept, ID: id, Site: sc.Site, Stream: calendarStream, Person: sc.Person, Note: note,
		Created: record.TimeOf(now), Expires: record.TimeOf(now.Add(holds)),
	}
	if err := s.store.PutLink(ctx, row); err != nil {
		return "", l, err
	}
	return token, linkOf(row), nil
}

// CalendarLinks lists the addresses of calendars.
func (s *Shop) CalendarLinks(ctx context.Context, sc Scope) ([]Link, error) {
	if err := sc.need(access.Share); err != nil {
		return nil, err
	}
	rows, err := s.store.Links(ctx, sc.Site, calendarStream)
	links := make([]Link, len(rows))
	for i := range rows {
		links[i] = linkOf(rows[i])
	}
	return links, err
}

// OpenCalendar returns the history whose due dates the holder of an address may
// read, and nothing else of the shop.
func (s *Shop) OpenCalendar(ctx context.Context, token string) (*Past, error) {
	over := say.Refuse("", "", msgLinkOver.With(), msgAskShop.With())
	l, err := s.store.LinkByToken(ctx, access.Kept(token))
	if isNotFound(err) {
		return nil, over
	}
	if err != nil {
		return nil, err
	}
	if l.Stream != calendarStream || l.Revoked != 0 || s.stamp() >= l.Expires {
		return nil, over
	}
	return s.past(ctx, l.Site)
}

// jobOf is the job that a link is for, "" when it is for none.
func jobOf(l store.Link) string {
	name, ok := strings.CutPrefix(l.Stream, jobPrefix)
	if !ok {
		return ""
	}
	return name
}
