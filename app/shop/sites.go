package shop

import (
	"context"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
)

// SiteOf is a site that a person belongs to.
type SiteOf struct {
	ID, Name string
	Person   string // who he is there
	Here     bool   // the one he is at
}

var (
	msgWhichSite  = say.Define("shop.which_site", "there are several sites here: {sites:list}")
	msgNameSite   = say.Define("shop.name_site", "name one of them")
	msgNoSite     = say.Define("shop.no_site", "there is no site “{site}”")
	msgSiteTaken  = say.Define("shop.site_taken", "there is a site of this name already")
	msgGuestTaken = say.Define("shop.guest_taken", "somebody of that site has this short name already")
	msgGuestOther = say.Define("shop.guest_other", "give another one for there")
	msgNoPersonAt = say.Define("shop.no_person_at", "there is no “{person}” at the site “{site}”")
	msgAtHome     = say.Define("shop.at_home", "who comes from another site himself is taken from there")
)

// Sites lists the sites that the person behind a sign-in belongs to.
func (s *Shop) Sites(ctx context.Context, token string) ([]SiteOf, error) {
	here, all, err := s.gate.Belongs(ctx, token)
	if err != nil {
		return nil, err
	}
	names, err := s.siteNames(ctx)
	list := make([]SiteOf, len(all))
	for i, one := range all {
		list[i] = SiteOf{one.Site, names[one.Site], one.Person, one.Site == here.Site}
	}
	return list, err
}

// GoTo takes the person behind a sign-in to another site that he belongs to; a
// site that he does not belong to is not found.
func (s *Shop) GoTo(ctx context.Context, token, site string) (string, access.Identity, error) {
	return s.gate.Move(ctx, token, site)
}

func (s *Shop) siteNames(ctx context.Context) (map[string]string, error) {
	sites, err := s.store.Sites(ctx)
	names := make(map[string]string, len(sites))
	for _, one := range sites {
		names[one.ID] = one.Name
	}
	return names, err
}

// SitesHere lists all sites, for the owner of the machine, who asks at its
// command line.
func (s *Shop) SitesHere(ctx context.Context) ([]SiteOf, error) {
	sites, err := s.store.Sites(ctx)
	list := make([]SiteOf, len(sites))
	for i, one := range sites {
		list[i] = SiteOf{ID: one.ID, Name: one.Name}
	}
	return list, err
}

// AddSiteHere adds a site. Who leads it comes from a site that is there.
func (s *Shop) AddSiteHere(ctx context.Context, name string, lead Join) error {
	if err := checkName("site", lead.Site); err != nil {
		return err
	}
	if strings.TrimSpace(name) == "" {
		return say.Refuse("name", "", msgNoName.With(), say.Message{})
	}
	names, err := s.siteNames(ctx)
	if err != nil {
		return err
	}
	if names[lead.Site] != "" {
		return say.Refuse("site", lead.Site, msgSiteTaken.With(), say.Message{})
	}
	if _, err := s.atHome(ctx, lead); err != nil {
		return err
	}
	if err := s.store.AddSite(ctx, store.Site{ID: lead.Site, Name: name, Created: s.stamp()}); err != nil {
		return err
	}
	lead.Roles = []access.Role{access.Lead, access.Office}
	if err := s.JoinHere(ctx, lead); err != nil {
		return err
	}
	as := lead.As
	if as == "" {
		as = lead.Person
	}
	return s.SaveSettings(ctx, Scope{Site: lead.Site, Person: as, Roles: lead.Roles}, NewFact{}, map[string]any{"name": name})
}

// Join is a person of one site who shall belong to another, too.
type Join struct {
	Person, Home string // who, and where he signs in
	Site, As     string // where else, and his short name there; the same when empty
	Roles        []access.Role
}

// JoinHere lets a person of one site belong to another. He signs in at home and
// goes over; each site knows only its own person.
func (s *Shop) JoinHere(ctx context.Context, j Join) error {
	if j.As == "" {
		j.As = j.Person
	}
	names, err := s.siteNames(ctx)
	if err != nil {
		return err
	}
	for _, site := range []string{j.Home, j.Site} {
		if names[site] == "" {
			return say.Refuse("site", site, msgNoSite.With(site), say.Message{})
		}
	}
	at, err := s.atHome(ctx, j)
	if err != nil {
		return err
	}
	if _, err := s.store.GuestOf(ctx, j.Home, j.Person); err == nil {
		return say.Refuse("person", j.Person, msgAtHome.With(), say.Message{})
	} else if !isNotFound(err) {
		return err
	}
	if _, err := s.store.Person(ctx, j.Site, j.As); err == nil {
		return say.Refuse("as", j.As, msgGuestTaken.With(), msgGuestOther.With())
	} else if !isNotFound(err) {
		return err
	}
	p := Person{ID: j.As, Name: at.Name, Roles: j.Roles, Units: at.Units, Language: at.Language}
	if err := p.check(); err != nil {
		return err
	}
	if err := s.putPerson(ctx, j.Site, p); err != nil {
		return err
	}
	return s.store.PutGuest(ctx, store.Guest{Site: j.Site, Person: j.As, Home: j.Home, HomePerson: j.Person})
}

// atHome returns the person where he signs in.
func (s *Shop) atHome(ctx context.Context, j Join) (store.Person, error) {
	p, err := s.store.Person(ctx, j.Home, j.Person)
	if isNotFound(err) {
		return p, say.Refuse("person", j.Person, msgNoPersonAt.With(j.Person, j.Home), say.Message{})
	}
	return p, err
}

// siteOfMachine is the site that the owner of the machine means: the one he
// named, or the only one.
func (s *Shop) siteOfMachine(ctx context.Context) (string, error) {
	sites, err := s.store.Sites(ctx)
	if err != nil {
		return "", err
	}
	ids := make([]string, len(sites))
	for i, one := range sites {
		if ids[i] = one.ID; one.ID == s.site {
			return one.ID, nil
		}
	}
	switch {
	case s.site != "":
		return "", say.Refuse("site", s.site, msgNoSite.With(s.site), msgNameSite.With())
	case len(ids) > 1:
		return "", say.Refuse("site", "", msgWhichSite.With(ids), msgNameSite.With())
	case len(ids) == 0:
		return "", nil
	}
	return ids[0], nil
}

// siteOfAttempt finds where somebody wants in: at the site that he writes
// behind his name (ada@north), where his tablet is, or where his name stands
// with a password alone. A name that is known at several sites is looked for
// at the first one; whoever means another says so.
func (s *Shop) siteOfAttempt(ctx context.Context, a *access.Attempt) error {
	sites, err := s.store.Sites(ctx)
	if err != nil || len(sites) == 0 {
		return err
	}
	if person, site, named := strings.Cut(a.Person, "@"); named {
		a.Person, a.Site = person, site
		return nil
	}
	a.Site = sites[0].ID
	if len(sites) == 1 {
		return nil
	}
	if a.Device != "" {
		site, _, err := s.gate.DeviceOf(ctx, a.Device)
		if err == nil {
			a.Site = site
		}
		if err == nil || !isNotFound(err) {
			return err
		}
	}
	var with []string
	for _, one := range sites {
		p, err := s.store.Person(ctx, one.ID, a.Person)
		if err != nil && !isNotFound(err) {
			return err
		}
		if err == nil && p.Password != "" {
			with = append(with, one.ID)
		}
	}
	if len(with) == 1 {
		a.Site = with[0]
	}
	return nil
}
