package life_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
	"pumpwright/rebuild/demo/fleet"
)

// most is the machine with the most jobs.
func most(f *fleet.Fleet) *fleet.Machine {
	best := &f.Machines[0]
	for i := range f.Machines {
		if len(f.Machines[i].Jobs) > len(best.Jobs) {
			best = &f.Machines[i]
		}
	}
	return best
}

// A pump's page shows every rebuild, its trends and its meter; the list of due
// dates names its next one, and so does the calendar.
func TestLifeAndDue(t *testing.T) {
	s, f := webtest.Fleet(t, fleet.Options{Jobs: 40, Seed: 3})
	mira := s.As("mira")
	m := most(f)
	page := mira.Get("/pump/" + url.PathEscape(m.Serial))
	if page.Status != http.StatusOK {
		t.Fatalf("%d", page.Status)
	}
	for i := range m.Jobs {
		if name := m.Jobs[i].Name; strings.Count(page.Text, `href="/job/`+name+`"`) != 1 || !strings.Contains(page.Text, ">"+name+"<") {
			t.Errorf("the page lacks job %s", name)
		}
	}
	for _, want := range []string{"History of a pump", "When again", "Wear over running hours", "Running-hour meter", "It showed "} {
		if !strings.Contains(page.Text, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if a := mira.Get("/pump/" + m.Serial + "/history.pdf"); a.Status != http.StatusOK || a.Header.Get("Content-Type") != "application/pdf" {
		t.Errorf("the PDF: %d", a.Status)
	}
	if a := mira.Get("/search?q=" + m.Serial); !strings.Contains(a.Text, `href="/pump/`+m.Serial+`"`) {
		t.Error("the search does not lead to the pump")
	}

	due := mira.Get("/due")
	days := regexp.MustCompile(`<strong class="number">(\d{4}-\d\d-\d\d|by now)</strong>`).FindAllStringSubmatch(due.Text, -1)
	if due.Status != http.StatusOK || len(days) < 3 {
		t.Fatalf("%d, %d days", due.Status, len(days))
	}
	calendar := mira.Get("/due/pumps-due.ics")
	if calendar.Status != http.StatusOK || strings.Count(calendar.Text, "BEGIN:VEVENT") != len(days) {
		t.Errorf("%d: %d events, %d days", calendar.Status, strings.Count(calendar.Text, "BEGIN:VEVENT"), len(days))
	}
	if strings.Contains(due.Text, "/due/calendar") || mira.Post("/due/calendar", "days", "30").Status != http.StatusForbidden {
		t.Error("a technician hands the due dates out")
	}

	// an address for a calendar program, which nobody is signed in with
	lead := s.As("odell")
	made := lead.Post("/due/calendar", "note", "planning (invented)", "days", "30")
	address := regexp.MustCompile(`/calendar/[^/"]+/pumps-due\.ics`).FindString(made.Text)
	if made.Status != http.StatusOK || address == "" {
		t.Fatalf("%d %q", made.Status, address)
	}
	stranger := s.Browse()
	if got := stranger.Get(address); got.Status != http.StatusOK || got.Text != calendar.Text || got.Header.Get("Content-Type") != "text/calendar; charset=utf-8" {
		t.Errorf("the feed: %d", got.Status)
	}
	if got := stranger.Get("/calendar/guessed/pumps-due.ics"); got.Status != http.StatusUnprocessableEntity || strings.Contains(got.Text, "VEVENT") {
		t.Errorf("a guessed address: %d", got.Status)
	}
	if a := lead.Get("/due"); strings.Contains(a.Text, address) || !strings.Contains(a.Text, "planning (invented)") {
		t.Error("the address is kept, or its note is not")
	}
	end := regexp.MustCompile(`/due/calendar/[^/"]+/end`).FindString(lead.Get("/due").Text)
	if a := lead.Post(end); a.Status != http.StatusSeeOther {
		t.Errorf("%d", a.Status)
	}
	if got := stranger.Get(address); got.Status != http.StatusUnprocessableEntity {
		t.Errorf("an ended address: %d", got.Status)
	}
	if a := lead.Post("/due/calendar", "note", "x", "days", "many"); a.Status != http.StatusUnprocessableEntity || !strings.Contains(a.Text, `value="many"`) {
		t.Errorf("%d", a.Status)
	}
}

// The meter is read, runs backwards and is refused, and is exchanged.
func TestMeter(t *testing.T) {
	s := webtest.Demo(t, shop.Options{Now: func() time.Time { return time.Date(2026, 6, 30, 9, 0, 0, 0, time.UTC) }})
	mira := s.As("mira")
	const page = "/pump/KQ-0187"
	goes := func(a webtest.Answer) {
		t.Helper()
		if a.Status != http.StatusSeeOther || a.Goes != page+"?kept" {
			t.Fatalf("%d %s\n%.500s", a.Status, a.Goes, a.Text)
		}
	}
	goes(mira.Post(page+"/meter", "kind", "meter", "hours", "4000", "on", "2026-05-20"))
	goes(mira.Post(page+"/meter", "kind", "meter", "hours", "4500", "on", "2026-06-20"))
	if text := mira.Get(page).Text; !strings.Contains(text, "It showed 4500 h on 2026-06-20") && !strings.Contains(text, "It showed 4,500 h on 2026-06-20") {
		t.Error("the meter does not show")
	}
	for name, fields := range map[string][]string{
		"backwards":         {"kind", "meter", "hours", "300", "on", "2026-06-25"},
		"more than a day":   {"kind", "meter", "hours", "9000", "on", "2026-06-25"},
		"words":             {"kind", "meter", "hours", "many", "on", "2026-06-25"},
		"no day":            {"kind", "meter", "hours", "4600", "on", "soon"},
		"below nothing":     {"kind", "meter-reset", "was", "-1", "now", "0", "on", "2026-06-25"},
		"a kind not of its": {"kind", "meter", "hours", "NaN"},
	} {
		if a := mira.Post(page+"/meter", fields...); a.Status != http.StatusUnprocessableEntity || !strings.Contains(a.Text, `role="alert"`) || !strings.Contains(a.Text, `value="`+fields[3]+`"`) {
			t.Errorf("%s: %d", name, a.Status)
		}
	}
	goes(mira.Post(page+"/meter", "kind", "meter-reset", "was", "4550", "now", "0", "on", "2026-06-25", "reason", "display dead"))
	goes(mira.Post(page+"/meter", "kind", "meter", "hours", "40", "on", "2026-06-28"))
	if a := mira.Post("/pump/nothing/meter", "kind", "meter", "hours", "1"); a.Status != http.StatusNotFound {
		t.Errorf("%d", a.Status)
	}
}
