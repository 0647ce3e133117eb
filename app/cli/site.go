package cli

import (
	"context"
	"fmt"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

// siteCommand looks after the sites of one database.
type siteCommand struct {
	List siteList `cmd:"" default:"withargs" help:"List the sites."`
	Add  siteAdd  `cmd:"" help:"Add a site, led by a person of one that is there."`
	Join siteJoin `cmd:"" help:"Let a person of one site belong to another, too."`
}

type siteList struct{ homeFlags }

// Help shows how it is called.
func (*siteList) Help() string {
	return `
  pumpwright site list --data shop
`
}

type siteAdd struct {
	ID   string `arg:"" help:"Short name of the site: letters and digits."`
	Name string `arg:"" help:"Its name in words."`
	Lead string `required:"" help:"Person who leads it."`
	From string `default:"main" help:"Site at which that person signs in."`
	homeFlags
}

// Help shows how it is called.
func (*siteAdd) Help() string {
	return `Each site sees its own pumps, jobs, people and stock, and nothing of another.

  pumpwright site add north "North Dock (invented)" --lead ada
`
}

type siteJoin struct {
	Person string        `arg:"" help:"The person, by the short name at home."`
	To     string        `arg:"" help:"Short name of the other site."`
	Role   []access.Role `required:"" help:"Roles there."`
	As     string        `help:"Short name there, when the one at home is taken."`
	From   string        `default:"main" help:"Site at which that person signs in."`
	homeFlags
}

// Help shows how it is called.
func (*siteJoin) Help() string {
	return `The person signs in at home and goes over on the page “Your sites”.

  pumpwright site join mira north --role technician
`
}

var (
	msgSiteAdded  = say.Define("cli.site_added", "The site “{site}” is there; {person} leads it.")
	msgSiteJoined = say.Define("cli.site_joined", "{person} belongs to “{site}” now.")
	headSite      = say.Define("cli.site", "site")
	headSiteName  = say.Define("cli.site_name", "name")
)

func (h *homeFlags) with(env *Env, do func(context.Context, *shop.Shop) error) error {
	if err := h.there(env); err != nil {
		return err
	}
	ctx, stop := env.until()
	defer stop()
	s, err := h.home(env).Open(ctx, shop.Options{Now: env.Now, Random: env.Random})
	if err != nil {
		return err
	}
	defer s.Close()
	return do(ctx, s)
}

// Run lists.
func (c *siteList) Run(env *Env) error {
	return c.with(env, func(ctx context.Context, s *shop.Shop) error {
		sites, err := s.SitesHere(ctx)
		if err != nil {
			return err
		}
		rows := make([][]string, len(sites))
		for i, one := range sites {
			rows[i] = []string{one.ID, one.Name}
		}
		p := newPage(env, say.Style{})
		p.table("", []say.Message{headSite.With(), headSiteName.With()}, rows)
		return p.err
	})
}

// Run adds.
func (c *siteAdd) Run(env *Env) error {
	return c.with(env, func(ctx context.Context, s *shop.Shop) error {
		if err := s.AddSiteHere(ctx, c.Name, shop.Join{Person: c.Lead, Home: c.From, Site: c.ID}); err != nil {
			return err
		}
		_, err := fmt.Fprintln(env.Out, msgSiteAdded.With(c.ID, c.Lead))
		return err
	})
}

// Run joins.
func (c *siteJoin) Run(env *Env) error {
	return c.with(env, func(ctx context.Context, s *shop.Shop) error {
		if err := s.JoinHere(ctx, shop.Join{Person: c.Person, Home: c.From, Site: c.To, As: c.As, Roles: c.Role}); err != nil {
			return err
		}
		_, err := fmt.Fprintln(env.Out, msgSiteJoined.With(c.Person, c.To))
		return err
	})
}
