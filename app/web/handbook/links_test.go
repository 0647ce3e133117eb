package handbook_test

import (
	"regexp"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/webtest"
	"pumpwright/docs"
	"pumpwright/rebuild/calculator"
)

var (
	linked  = regexp.MustCompile(`(?:href|src)="(/handbook[^"?]*)"`)
	heading = regexp.MustCompile(`<h[1-6] id="([^"]+)"`)
)

// Every chapter is shown, and every link and picture in it leads
// to something.
func TestChaptersLead(t *testing.T) {
	b := webtest.Demo(t, shop.Options{}).Browse()
	contents := b.Get("/handbook")
	names := docs.Chapters()
	pages := map[string]string{}
	get := func(address string) string {
		if _, seen := pages[address]; !seen {
			a := b.Get(address)
			if a.Status != 200 {
				t.Errorf("%s: status %d", address, a.Status)
			}
			pages[address] = a.Text
		}
		return pages[address]
	}
	follow := func(from, to string) {
		address, anchor, _ := strings.Cut(to, "#")
		text := get(address)
		if anchor == "" {
			return
		}
		for _, m := range heading.FindAllStringSubmatch(text, -1) {
			if m[1] == anchor {
				return
			}
		}
		t.Errorf("%s leads to %s, which has no such heading", from, to)
	}
	for _, name := range names {
		address := "/handbook/" + name.Name
		if !strings.Contains(contents.Text, `"`+address+`"`) {
			t.Errorf("%s is not in the contents", name.Name)
		}
		page := get(address)
		if !strings.Contains(page, "<article") || strings.Contains(page, ".md") && strings.Contains(page, `.md"`) {
			t.Errorf("%s: no article, or a link to a file", address)
		}
		for _, m := range linked.FindAllStringSubmatch(page, -1) {
			follow(address, m[1])
		}
	}
	for _, here := range []string{"bench", "known", "close", "why", "together", "proved", "report", "entries"} {
		follow("the job's "+here, frame.Explained(here, "/job/J-2041"))
	}
	for _, page := range []string{"/", "/calculators", "/papers", "/people", "/instruments", "/due", "/fleet", "/handbook", "/stock"} {
		follow(page, frame.Explained("", page))
	}
	for _, c := range calculator.All() {
		follow(c.Name, frame.Explained("", "/calculators/"+c.Name))
	}
}
