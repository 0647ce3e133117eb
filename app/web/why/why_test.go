package why_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
)

const page = "/job/J-2057/why"

func wants(t *testing.T, a webtest.Answer, status int, says ...string) {
	t.Helper()
	if a.Status != status {
		t.Errorf("status %d, want %d", a.Status, status)
	}
	for _, s := range says {
		if !strings.Contains(a.Text, s) {
			t.Errorf("the page lacks %q", s)
		}
	}
}

// write sends an entry of the job as a form without script does.
func write(t *testing.T, b *webtest.Browser, kind string, fields ...string) {
	t.Helper()
	a := b.Post("/job/J-2057/entry", append([]string{"kind", kind, "from", page, "next", page}, fields...)...)
	if a.Status != http.StatusSeeOther || a.Goes != page {
		t.Fatalf("%s %v: status %d\n%.400s", kind, fields, a.Status, a.Text)
	}
}

var shown = regexp.MustCompile(`<h3>([^<]*)<span class="number">([^<]*)</span>`)

// ranked are the causes that stand open, with their chances.
func ranked(a webtest.Answer) (names, chances []string) {
	for _, m := range shown.FindAllStringSubmatch(a.Text, -1) {
		names, chances = append(names, strings.TrimSpace(m[1])), append(chances, m[2])
	}
	return names, chances
}

// What is seen is found by a few letters, ticked, and moves the ranking; so
// does what was looked for and is not there.
func TestEvidence(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	tomas := s.As("tomas")
	wants(t, tomas.Get(page), http.StatusOK, "What can be found (87)", "Look next", "Speaks for it", "Speaks against it")
	wants(t, tomas.Get(page+"?q=strainer+blocked"), http.StatusOK, "Strainer blocked", "What can be found (1)")
	wants(t, tomas.Get(page+"?q=nothingofthekind"), http.StatusOK, "Nothing in the list has these words")
	for _, e := range []string{"E70", "E53", "E83"} {
		write(t, tomas, "finding", "t/evidence", e)
	}
	a := tomas.Get(page)
	if names, _ := ranked(a); len(names) == 0 || names[0] != "Starved suction, cavitation" {
		t.Errorf("blocked strainer, pits and vacuum: %v", names)
	}
	write(t, tomas, "finding", "t/evidence", "E44", "t/part", "idler-pin", "t/note", "picked up over its whole length")
	wants(t, tomas.Get(page), http.StatusOK, "From cause to damage", "Ran dry or lost its prime", "shows in: Pin galled", "picked up over its whole length")
	_, before := ranked(a)
	write(t, tomas, "finding", "t/evidence", "K03", "b/absent", "yes", "t/note", "gauge showed 0.1 bar")
	wants(t, tomas.Get(page), http.StatusOK, "The check was made: it was not so.", "gauge showed 0.1 bar")
	if names, after := ranked(tomas.Get(page)); len(after) > 0 && names[0] == "Starved suction, cavitation" && after[0] == before[0] {
		t.Error("the outcome of the check changed nothing")
	}
}

// What contradicts is shown; what was seen after washing caps the certainty;
// a finding is taken back with a reason.
func TestDoubt(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	tomas := s.As("tomas")
	write(t, tomas, "finding", "t/evidence", "E01")
	write(t, tomas, "finding", "t/evidence", "E02", "b/washed", "yes")
	a := tomas.Get(page)
	wants(t, a, http.StatusOK, "These cannot be true together", "cannot both be true of one part", "Evidence was spoiled", "seen after washing")
	refs := regexp.MustCompile(`name="t/entry" value="([^"]+)"`).FindAllStringSubmatch(a.Text, -1)
	if len(refs) < 2 {
		t.Fatal("nothing can be taken back")
	}
	write(t, tomas, "void", "t/entry", refs[len(refs)-1][1], "t/reason", "looked at the wrong ring")
	if text := tomas.Get(page).Text; strings.Contains(text, "Evidence was spoiled") {
		t.Error("what was taken back still counts")
	}
	bad := tomas.Post("/job/J-2057/entry", "kind", "finding", "t/evidence", "E99", "from", page)
	wants(t, bad, http.StatusUnprocessableEntity)
}

// A lead confirms a cause, a technician cannot; who only reads has no forms.
func TestConfirm(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	odell := s.As("odell")
	write(t, odell, "cause", "t/cause", "C22", "b/confirmed", "yes", "t/note", "press log shows no force")
	a := odell.Get(page)
	wants(t, a, http.StatusOK, "Confirmed by Odell Brandt", "press log shows no force")
	if names, _ := ranked(a); len(names) == 0 || names[0] != "Bushing fit or pressing error" {
		t.Errorf("confirmed, and first is %v", names)
	}
	tomas := s.As("tomas")
	wants(t, tomas.Get(page), http.StatusOK, "An inspector or a lead names the cause.")
	if a := tomas.Post("/job/J-2057/entry", "kind", "cause", "t/cause", "C22", "from", page); a.Status == http.StatusSeeOther {
		t.Error("a technician named a cause")
	}
	plant := s.As("plant").Get(page)
	if plant.Status == http.StatusOK && strings.Contains(plant.Text, `data-entry="finding"`) {
		t.Error("the plant writes findings")
	}
}
