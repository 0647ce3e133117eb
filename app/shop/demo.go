package shop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/goccy/go-yaml"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// demoSite is the site of the invented scenario.
const demoSite = "demo"

// LoadDemo puts the invented scenario into the store as a site of its own:
// people without passwords, instruments, sheets, services and jobs. Loading it
// again changes nothing.
func (s *Shop) LoadDemo(ctx context.Context) error {
	text, err := demo.ShopText()
	if err != nil {
		return err
	}
	var fields map[string]any
	if err := yaml.Unmarshal(text, &fields); err != nil {
		return fmt.Errorf("shop: demo: %w", err)
	}
	shop, err := demo.Shop()
	if err != nil {
		return err
	}
	if err := s.store.AddSite(ctx, store.Site{ID: demoSite, Name: shop.Name, Created: s.stamp()}); err != nil {
		return err
	}
	for _, p := range shop.People {
		person := Person{ID: p.ID, Name: p.Name, Units: "metric"}
		for _, r := range p.Roles {
			person.Roles = append(person.Roles, access.Role(r))
		}
		if err := s.putPerson(ctx, demoSite, person); err != nil {
			return err
		}
	}
	sc := Scope{Site: demoSite, Person: "ines", Roles: access.Roles(), Device: "demo"}
	if err := s.loadDemoShop(ctx, sc, fields); err != nil {
		return err
	}
	for _, name := range demo.Jobs() {
		stream, err := demo.Job(name)
		if err != nil {
			return err
		}
		if err := s.load(ctx, demoSite, stream); err != nil {
			return err
		}
	}
	return s.CatchUp(ctx, demoSite)
}

func (s *Shop) loadDemoShop(ctx context.Context, sc Scope, fields map[string]any) error {
	instruments, _ := fields["instruments"].([]any)
	for i, one := range instruments {
		group, _ := one.(map[string]any)
		if _, err := s.SaveInstrument(ctx, sc, demoFact("instrument", i), group); err != nil {
			return err
		}
	}
	settings := map[string]any{}
	for key, value := range fields {
		if key != "people" && key != "instruments" {
			settings[key] = value
		}
	}
	if err := s.SaveSettings(ctx, sc, demoFact("settings", 0), settings); err != nil {
		return err
	}
	movements, err := demo.Stock()
	if err != nil {
		return err
	}
	for i, m := range movements {
		f := demoFact("stock", i)
		f.At = m.On.Add(8*time.Hour + time.Duration(i)*time.Minute)
		f.ID = deriveID(f.At, f.ID, m.Kind)
		by := sc
		by.Person = m.By
		if _, err := s.MoveStock(ctx, by, f, m.Kind, m.Body, true); err != nil {
			return fmt.Errorf("shop: demo: stock: %w", err)
		}
	}
	for i, name := range sheet.DemoNames() {
		text, err := sheet.DemoText(name)
		if err != nil {
			return err
		}
		f := demoFact("sheet", i)
		if _, err := s.SavePaper(ctx, sc, NewPaper{ID: f.ID, Kind: Sheets, Name: name, Text: string(text), At: f.At}); err != nil {
			return err
		}
	}
	for i, name := range demo.Services() {
		text, err := demo.ServiceText(name)
		if err != nil {
			return err
		}
		f := demoFact("service", i)
		if _, err := s.SavePaper(ctx, sc, NewPaper{ID: f.ID, Kind: Services, Name: name, Text: string(text), At: f.At}); err != nil {
			return err
		}
	}
	return nil
}

// demoFact gives entries of the scenario the same ids each time.
func demoFact(what string, i int) NewFact {
	at := time.Date(2026, 1, 5, 7, 0, 0, 0, time.UTC)
	return NewFact{ID: deriveID(at, fmt.Sprintf("demo %s %d", what, i), "demo"), At: at}
}

// load puts the entries of a stream into the store, as they were written.
func (s *Shop) load(ctx context.Context, site string, stream *record.Stream) error {
	entries := make([]record.Entry, len(stream.Entries))
	for i, e := range stream.Entries {
		e.Seq, e.Prev, e.Hash = 0, "", "" // the store gives them anew, and the same
		entries[i] = e
	}
	if _, _, err := s.store.Append(ctx, site, store.AnyHead, entries...); err != nil {
		return fmt.Errorf("shop: %s: %w", stream.Name, err)
	}
	var open struct{ Tag, Serial, Owner, Place string }
	if len(entries) == 0 || json.Unmarshal(entries[0].Body, &open) != nil {
		return nil
	}
	p := Pump{Name: pumpName(open.Serial, open.Tag), Serial: open.Serial, Tag: open.Tag, Owner: open.Owner, Place: open.Place}
	if _, err := s.pump(ctx, site, p.Name); !errors.Is(err, store.ErrNotFound) {
		return err
	}
	at := entries[0].At.Time()
	return s.putPump(ctx, Scope{Site: site, Person: entries[0].By}, kept{deriveID(at, entries[0].ID, kindPump), pumpPrefix + p.Name, kindPump, at}, p)
}

// DemoScope lets anybody be one of the invented people, in the scenario only:
// for a demonstration that is served on this machine alone.
func (s *Shop) DemoScope(ctx context.Context, person string) (Scope, error) {
	p, err := s.store.Person(ctx, demoSite, person)
	if err != nil {
		return Scope{}, err
	}
	who := personOf(p)
	return Scope{Site: demoSite, Person: who.ID, Roles: who.Roles, Device: "demo", Owner: who.Owner}, nil
}

// DemoPeople lists the invented people.
func (s *Shop) DemoPeople(ctx context.Context) ([]Person, error) { return s.people(ctx, demoSite) }
