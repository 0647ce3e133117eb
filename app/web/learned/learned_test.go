package learned_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
	"pumpwright/rebuild/demo/fleet"
)

// The page shows what the closed jobs of a fleet taught, with the number of jobs
// behind each value, and a new shop has learned nothing.
func TestLearned(t *testing.T) {
	s, _ := webtest.Fleet(t, fleet.Options{Jobs: 60, Seed: 3})
	page := s.As("mira").Get("/learned")
	if page.Status != http.StatusOK {
		t.Fatalf("%d", page.Status)
	}
	sc, err := s.Shop.DemoScope(t.Context(), "mira")
	if err != nil {
		t.Fatal(err)
	}
	l, err := s.Shop.Learned(t.Context(), sc)
	if err != nil || l.Jobs < 30 || len(l.Labour) == 0 {
		t.Fatalf("%+v %v", l, err)
	}
	for _, want := range []string{fmt.Sprintf("Worked out from %d closed jobs", l.Jobs), "How gaskets give way", "How long the work takes", "Causes that were confirmed"} {
		if !strings.Contains(page.Text, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if n := strings.Count(page.Text, "<tr>"); n < len(l.Labour)+len(l.Compression) {
		t.Errorf("%d rows for %d stages and %d gaskets", n, len(l.Labour), len(l.Compression))
	}
	for _, c := range l.Causes {
		if !strings.Contains(page.Text, "/fleet?cause="+c.Cause) {
			t.Errorf("the page lacks cause %s", c.Cause)
		}
	}
	other := webtest.New(t, shop.Options{})
	ada := other.Browse()
	ada.SignIn(webtest.Lead, webtest.Password)
	if text := ada.Get("/learned").Text; !strings.Contains(text, "Nothing yet: it is learned from jobs that are closed") {
		t.Errorf("%.300s", text)
	}
}
