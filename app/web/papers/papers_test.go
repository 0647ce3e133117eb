package papers_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
	"pumpwright/rebuild/sheet"
)

// A value that is changed in the form stands in the text, with its comments; a
// text that is changed beside it wins where the form was left alone; the new
// version is compared with the old by value.
func TestFormAndText(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	const at = "/papers/sheet/demo-pump-s"
	raw, err := sheet.DemoText("demo-pump-s")
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	page := lead.Get(at)
	if !strings.Contains(page.Text, `name="f/rating.speed.value" value="1150 rpm"`) {
		t.Fatalf("the form lacks the speed\n%.300s", page.Text)
	}
	if n := len(page.Body); n > 100_000 {
		t.Errorf("the page has %d bytes", n)
	}
	// the form says one thing, the text beside it another
	edited := strings.Replace(text, "12 gpm", "13 gpm", 1)
	checked := lead.Post(at, "do", "check", "shown", text, "text", edited, "f/rating.speed.value", "1160 rpm", "f/rating.flow.value", "12 gpm")
	for _, want := range []string{"1160 rpm, page: sheet 2", "13 gpm, page: sheet 2", `name="f/rating.flow.value" value="13 gpm"`, "# An invented pump"} {
		if !strings.Contains(checked.Text, want) {
			t.Errorf("the text lacks %q", want)
		}
	}
	if a := lead.Post(at, "do", "check", "shown", text, "text", text, "f/rating.speed.value", "fast"); a.Status != http.StatusOK || !strings.Contains(a.Text, "<li>") || !strings.Contains(a.Text, "fast") {
		t.Errorf("a speed in words is not refused: %d", a.Status)
	}
	// a value that is gone from the text cannot be changed in the form
	if a := lead.Post(at, "do", "check", "shown", text, "text", "name: demo-pump-s\n", "f/rating.speed.value", "900 rpm"); !strings.Contains(a.Text, "there is no such value") && !strings.Contains(a.Text, "There is no such value") {
		t.Errorf("%.600s", a.Text)
	}
	if a := lead.Post(at, "do", "save", "reason", "a faster motor", "shown", text, "text", text, "f/rating.speed.value", "1160 rpm"); a.Status != http.StatusSeeOther {
		t.Fatalf("%d\n%.900s", a.Status, a.Text)
	}
	diff := lead.Get(at + "?" + url.Values{"version": {"2"}, "against": {"1"}}.Encode())
	for _, want := range []string{"rating.speed.value", "<del>1150 rpm</del>", "<ins>1160 rpm</ins>", "From version 1 to version 2"} {
		if !strings.Contains(diff.Text, want) {
			t.Errorf("the comparison lacks %q", want)
		}
	}
	if strings.Count(diff.Text, "<del>") != 1 {
		t.Errorf("%d values differ", strings.Count(diff.Text, "<del>"))
	}
	if a := lead.Get(at + "?version=2&against=77"); a.Status != http.StatusNotFound {
		t.Errorf("%d", a.Status)
	}
	// liquids and services likewise
	for _, kind := range []string{"liquid", "service"} {
		list := lead.Get("/papers").Text
		_, rest, found := strings.Cut(list, `href="/papers/`+kind+`/`)
		if !found {
			continue
		}
		name, _, _ := strings.Cut(rest, `"`)
		if text := lead.Get("/papers/" + kind + "/" + name).Text; !strings.Contains(text, `name="f/`) {
			t.Errorf("%s %s has no form", kind, name)
		}
	}
}
