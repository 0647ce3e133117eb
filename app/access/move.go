package access

import (
	"context"
	"errors"

	"pumpwright/app/store"
	"pumpwright/rebuild/record"
)

// home returns where a person of a site signs in.
func (g *Gate) home(ctx context.Context, site, person string) (store.Guest, error) {
	guest, err := g.store.GuestOf(ctx, site, person)
	if errors.Is(err, store.ErrNotFound) {
		return store.Guest{Site: site, Person: person, Home: site, HomePerson: person}, nil
	}
	return guest, err
}

// Belongs lists the sites that the person behind a token belongs to, and as
// whom: the one where he signs in first.
func (g *Gate) Belongs(ctx context.Context, token string) (here Identity, all []store.Guest, err error) {
	if here, err = g.Resume(ctx, token); err != nil {
		return here, nil, err
	}
	home, err := g.home(ctx, here.Site, here.Person.ID)
	if err != nil {
		return here, nil, err
	}
	others, err := g.store.GuestsFrom(ctx, home.Home, home.HomePerson)
	if err != nil {
		return here, nil, err
	}
	list := append([]store.Guest{{Site: home.Home, Person: home.HomePerson, Home: home.Home, HomePerson: home.HomePerson}}, others...)
	for _, one := range list {
		p, err := g.store.Person(ctx, one.Site, one.Person)
		if err != nil && !errors.Is(err, store.ErrNotFound) {
			return here, nil, err
		}
		if err == nil && !p.Away {
			all = append(all, one)
		}
	}
	if len(all) == 0 || all[0].Site != home.Home { // whoever is away at home is let in nowhere
		return here, nil, nil
	}
	return here, all, nil
}

// Move takes the person behind a token to another site that he belongs to. The
// token he had ends; the new one holds as long as it would have.
func (g *Gate) Move(ctx context.Context, token, site string) (string, Identity, error) {
	here, all, err := g.Belongs(ctx, token)
	if err != nil {
		return "", Identity{}, err
	}
	for _, one := range all {
		if one.Site != site || site == here.Site {
			continue
		}
		p, err := g.store.Person(ctx, one.Site, one.Person)
		if err != nil {
			return "", Identity{}, err
		}
		now := g.now()
		fresh, kept, err := newToken(g.random)
		if err != nil {
			return "", Identity{}, err
		}
		id, err := g.newID(now)
		if err != nil {
			return "", Identity{}, err
		}
		s := store.Session{Token: kept, ID: id, Site: one.Site, Person: one.Person, ByPIN: here.ByPIN,
			Created: record.TimeOf(now), Used: record.TimeOf(now), Expires: record.TimeOf(here.Expires)}
		if err := g.store.PutSession(ctx, s); err != nil {
			return "", Identity{}, err
		}
		return fresh, identity(s, p), g.SignOut(ctx, token)
	}
	return "", Identity{}, store.ErrNotFound
}

// EndEverywhere ends the sign-ins of a person, and those of the same person at
// the other sites he belongs to.
func (g *Gate) EndEverywhere(ctx context.Context, site, person string) error {
	at := record.TimeOf(g.now())
	others, err := g.store.GuestsFrom(ctx, site, person)
	for _, one := range others {
		err = errors.Join(err, g.store.RevokeSessions(ctx, one.Site, store.Session{Person: one.Person}, at))
	}
	return errors.Join(err, g.store.RevokeSessions(ctx, site, store.Session{Person: person}, at))
}
