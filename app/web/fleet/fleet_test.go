package fleet_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// fleetShop serves a simulated fleet beside the invented jobs.
func fleetShop(t *testing.T) (*webtest.Site, *fleet.Fleet) {
	t.Helper()
	f, err := fleet.Simulate(fleet.Options{Jobs: 40, Seed: 3})
	if err != nil {
		t.Fatal(err)
	}
	s := webtest.Demo(t, shop.Options{Now: func() time.Time { return fleet.DefaultAsOf.Add(9 * time.Hour) }})
	sc, err := s.Shop.DemoScope(t.Context(), "odell")
	if err != nil {
		t.Fatal(err)
	}
	in, err := s.Shop.Exchange(t.Context(), sc)
	if err != nil {
		t.Fatal(err)
	}
	var all []record.Entry
	if err := f.Streams(func(stream *record.Stream) error {
		for _, e := range stream.Entries {
			e.Seq, e.Prev, e.Hash = 0, "", ""
			all = append(all, e)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if err := in.Take(all); err != nil {
		t.Fatal(err)
	}
	return s, f
}

// The page counts what the fleet holds, narrows to what is asked, and leads to
// the pumps.
func TestFleet(t *testing.T) {
	s, f := fleetShop(t)
	mira := s.As("mira")
	page := mira.Get("/fleet")
	if page.Status != http.StatusOK {
		t.Fatalf("%d", page.Status)
	}
	for _, want := range []string{"Come in most often", "What fails", "How long a part lasts", "<svg"} {
		if !strings.Contains(page.Text, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	truth := history.NewFleet(f.Summaries(), f.Pumps(), f.Options())
	worst := truth.Page(history.Filter{}).Worst
	if !strings.Contains(page.Text, `href="/pump/`+worst[0].Serial+`"`) {
		t.Errorf("the page does not name %s", worst[0].Serial)
	}
	_, liquids, _, _, _, _ := truth.Words()
	if len(liquids) < 2 {
		t.Fatal("too few liquids")
	}
	for _, liquid := range liquids {
		text := mira.Get("/fleet?liquid=" + url.QueryEscape(liquid)).Text
		list := truth.Page(history.Filter{Liquid: liquid})
		if len(list.Worst) == 0 {
			continue
		}
		if !strings.Contains(text, `href="/pump/`+list.Worst[0].Serial+`"`) || !strings.Contains(text, `value="`+liquid+`" selected`) {
			t.Errorf("%s: the worst is not there, or the filter is lost", liquid)
		}
		for _, a := range worst {
			other := true
			for _, b := range list.Worst {
				other = other && a.Serial != b.Serial
			}
			if other && strings.Contains(text, `href="/pump/`+a.Serial+`"`) {
				t.Errorf("%s: %s does not run in it", liquid, a.Serial)
			}
		}
	}
	if a := mira.Get("/fleet?liquid=%3Cscript%3E&part=nothing"); a.Status != http.StatusOK || !strings.Contains(a.Text, "No pump with a serial number fits this") {
		t.Errorf("%d", a.Status)
	}
}
