package instruments_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
)

// day is a day counted from today, as a form takes it.
func day(from int) string { return time.Now().AddDate(0, 0, from).Format(time.DateOnly) }

// A new instrument, a new certificate, a failed check: the list says how each
// stands, the most urgent first.
func TestKeep(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	for id, due := range map[string]string{"N-1": day(-1), "N-2": day(0), "N-3": day(10), "N-4": day(400), "N-5": ""} {
		a := lead.Post("/instruments", "id", id, "kind", "outside micrometer", "name", "0 to 25 mm", "resolution", "0.001 mm", "calibration_u", "0.001 mm", "due", due)
		if a.Status != http.StatusSeeOther || a.Goes != "/instruments/"+id+"?kept" {
			t.Fatalf("%s: status %d", id, a.Status)
		}
	}
	stands := func(id, want string) {
		t.Helper()
		if text := lead.Get("/instruments/" + id).Text; !strings.Contains(text, want) {
			t.Errorf("%s is not %q", id, want)
		}
	}
	stands("N-1", "overdue since "+day(-1))
	stands("N-2", "due "+day(0)) // it holds to the end of the day
	stands("N-3", "due "+day(10))
	stands("N-4", "in date until "+day(400))
	stands("N-5", "no calibration on record")
	text := lead.Get("/instruments").Text
	at := -1
	for _, id := range []string{"N-1", "N-5", "N-2", "N-4"} {
		next := strings.Index(text, `href="/instruments/`+id+`"`)
		if next <= at {
			t.Errorf("%s stands at %d, what comes before it at %d", id, next, at)
		}
		at = next
	}
	before := strings.Count(text, "overdue since")

	// a new certificate
	a := lead.Post("/instruments/N-1", "kind", "outside micrometer", "name", "0 to 25 mm", "resolution", "0.001 mm", "calibration_u", "0.0015 mm", "due", day(365))
	if a.Status != http.StatusSeeOther {
		t.Fatalf("status %d", a.Status)
	}
	stands("N-1", "in date until "+day(365))
	stands("N-1", "0.0015 mm")
	stands("N-1", "by Odell Brandt")
	if n := strings.Count(lead.Get("/instruments").Text, "overdue since"); n != before-1 {
		t.Errorf("%d overdue, before %d", n, before)
	}
	// a check fails
	lead.Post("/instruments/N-1", "kind", "outside micrometer", "resolution", "0.001 mm", "calibration_u", "0.0015 mm", "due", day(365), "failed_on", day(0))
	stands("N-1", "failed its check "+day(0))

	// the next job has it: what a reading may be taken with
	opened := s.As("ines").Post("/receive", "tag", "P-77", "sheet", "demo-pump-m")
	if page := s.As("tomas").Get(opened.Goes + "/step/measure-pin"); !strings.Contains(page.Text, "N-4") {
		t.Errorf("%s: the bench does not offer it, status %d", opened.Goes, page.Status)
	}
	if text := s.As("tomas").Get("/search?q=N-4").Text; !strings.Contains(text, `href="/instruments/N-4"`) {
		t.Error("the search does not lead to it")
	}
}

// What no instrument can be is refused beside its field, with what was typed.
func TestRefused(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	good := map[string]string{"id": "N-1", "kind": "caliper", "name": "the long one", "resolution": "0.02 mm", "calibration_u": "0.01 mm", "repeatability": "0.015 mm", "due": day(30)}
	for _, c := range []struct{ field, text, says string }{
		{"id", "", "this cannot be a name here"},
		{"id", "N/1", "this cannot be a name here"},
		{"id", "OM-04", "there is an instrument with this number"},
		{"kind", "", "missing"},
		{"resolution", "fine", ""},
		{"resolution", "0.02", ""},
		{"resolution", "-0.02 mm", "this cannot be below zero"},
		{"resolution", "NaN mm", ""},
		{"resolution", "1e400 mm", ""},
		{"calibration_u", "-1 um", "this cannot be below zero"},
		{"calibration_u", "0 mm", "no certificate says"},
		{"calibration_u", "0.01 bar", "write all three in units"},
		{"repeatability", "1 N·m", "write all three in units"},
		{"due", "next year", "write the day as 2026-09-30"},
		{"due", "30.09.2026", "write the day as 2026-09-30"},
		{"due", "2026-02-30", "write the day as 2026-09-30"},
		{"failed_on", "yesterday", "write the day as 2026-09-30"},
	} {
		fields := []string{}
		for name, text := range good {
			if name != c.field {
				fields = append(fields, name, text)
			}
		}
		fields = append(fields, c.field, c.text)
		paths := []string{"/instruments"}
		if c.field != "id" {
			paths = append(paths, "/instruments/OM-04")
		}
		for _, path := range paths {
			a := lead.Post(path, fields...)
			if a.Status != http.StatusUnprocessableEntity || !strings.Contains(strings.ToLower(a.Text), strings.ToLower(c.says)) {
				t.Errorf("%s %s %q: status %d, without %q", path, c.field, c.text, a.Status, c.says)
			}
			if !strings.Contains(a.Text, `id="`+c.field+`-wrong"`) || !strings.Contains(a.Text, `value="the long one"`) || !strings.Contains(a.Text, `value="`+c.text+`"`) {
				t.Errorf("%s %s %q: not said in place, or what was typed is lost", path, c.field, c.text)
			}
		}
	}
	if text := lead.Get("/instruments/OM-04").Text; !strings.Contains(text, "outside micrometer 25 to 50 mm") {
		t.Error("a refused form changed the instrument")
	}
}

// Everybody of the shop reads; an inspector or a lead writes.
func TestMay(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	technician := s.As("tomas")
	for _, path := range []string{"/instruments", "/instruments/OM-04"} {
		if a := technician.Get(path); a.Status != http.StatusOK || strings.Contains(a.Text, `action="/instruments`) {
			t.Errorf("%s: status %d, or a form", path, a.Status)
		}
	}
	for _, path := range []string{"/instruments", "/instruments/OM-04"} {
		for _, id := range []string{"N-1", "OM-04"} {
			if a := technician.Post(path, "id", id, "kind", "caliper"); a.Status != http.StatusForbidden {
				t.Errorf("%s, %s: status %d", path, id, a.Status)
			}
		}
	}
	if a := s.As("plant").Get("/instruments"); a.Status != http.StatusForbidden {
		t.Errorf("the plant: status %d", a.Status)
	}
	if a := technician.Get("/instruments/X-9"); a.Status != http.StatusNotFound {
		t.Errorf("no such instrument: status %d", a.Status)
	}
	if a := s.As("odell").PostFrom("https://elsewhere.example", "/instruments", "id", "N-1", "kind", "caliper"); a.Status != http.StatusForbidden {
		t.Errorf("from another site: status %d", a.Status)
	}
}

// A form that is sent twice is one version.
func TestSentTwice(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	const id = "01990000-0000-7000-8000-000000000001"
	for range 2 {
		if a := lead.Post("/instruments/OM-04", "entry", id, "kind", "outside micrometer", "due", day(90)); a.Status != http.StatusSeeOther {
			t.Fatalf("status %d", a.Status)
		}
	}
	sc, err := s.Shop.DemoScope(t.Context(), "odell")
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.Shop.Instruments(t.Context(), sc)
	if err != nil {
		t.Fatal(err)
	}
	for _, in := range list {
		if in.ID == "OM-04" && in.Version != 2 {
			t.Errorf("version %d", in.Version)
		}
	}
}
