package receive_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/app/shop"
	"pumpwright/app/web"
	"pumpwright/app/web/webtest"
	"pumpwright/calc/say"
)

// The codes lead to the address under which people reach the shop; a page that
// was opened as this machine alone says that its codes are of no use.
func TestLabelsLead(t *testing.T) {
	s, err := shop.OpenMemory(context.Background(), shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.LoadDemo(context.Background()); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		host, told string
		secure     bool
		leads      string
		here       bool
	}{
		{host: "localhost:8377", leads: "http://localhost:8377", here: true},
		{host: "LOCALHOST", leads: "http://LOCALHOST", here: true},
		{host: "127.0.0.1:8377", leads: "http://127.0.0.1:8377", here: true},
		{host: "127.8.0.1", leads: "http://127.8.0.1", here: true},
		{host: "[::1]:8377", leads: "http://[::1]:8377", here: true},
		{host: "[::1]", leads: "http://[::1]", here: true},
		{host: "192.0.2.7:8377", leads: "http://192.0.2.7:8377"},
		{host: "pumps.example:8377", secure: true, leads: "https://pumps.example:8377"},
		{host: "localhost.example", leads: "http://localhost.example"},
		{host: "127.0.0.1:8377", told: "https://pumps.example:8377", leads: "https://pumps.example:8377"},
	} {
		pages := web.New(web.Config{Shop: s, Demo: true, Address: c.told, Secure: c.secure})
		r := httptest.NewRequest(http.MethodGet, "/job/J-2057/labels", nil)
		r.Host = c.host
		answer := httptest.NewRecorder()
		pages.ServeHTTP(answer, r)
		pages.Close()
		text := answer.Body.String()
		if says := strings.Contains(text, "Do not print these"); says != c.here || !strings.Contains(text, c.leads+".") {
			t.Errorf("%s, told %q: says %v, leads to %s: %v", c.host, c.told, says, c.leads, strings.Contains(text, c.leads))
		}
		code := figure.Code{Content: c.leads + "/job/J-2057", Size: 30}
		if !strings.Contains(text, code.Draw(say.Style{}).SVG(draw.SVGOptions{ID: "label-J-2057", Width: "30mm"})) {
			t.Errorf("%s: no code leads to %s", c.host, code.Content)
		}
	}
}

// A pump whose model is not known yet gets its own label, none for parts.
func TestLabelBeforeSheet(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	office := s.As("ines")
	opened := office.Post("/receive", "tag", "P-77", "owner", "Testwell (invented)")
	if opened.Status != http.StatusSeeOther {
		t.Fatalf("status %d", opened.Status)
	}
	a := office.Get(opened.Goes + "/labels")
	if codes := strings.Count(a.Text, `<div class="label">`); a.Status != http.StatusOK || codes != 1 || !strings.Contains(a.Text, "P-77") {
		t.Errorf("status %d, %d labels", a.Status, codes)
	}
	if a := office.Get("/job/J-0000/labels"); a.Status != http.StatusNotFound {
		t.Errorf("no such job: status %d", a.Status)
	}
	if a := office.Post(opened.Goes+"/share", "days", "3"); a.Status != http.StatusUnprocessableEntity {
		t.Errorf("a link to a report that is not there: status %d", a.Status)
	}
}
