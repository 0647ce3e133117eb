package quote_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
)

const place = "/job/J-2057/quote"

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

var fields = regexp.MustCompile(`<input[^>]*name="([^"]+)"[^>]*value="([^"]*)"|<input[^>]*value="([^"]*)"[^>]*name="([^"]+)"`)

// filled are the fields of the form that offers a quote, as a browser would
// send them untouched, with some of them changed.
func filled(t *testing.T, a webtest.Answer, change ...string) []string {
	t.Helper()
	_, form, found := strings.Cut(a.Text, `action="`+place+`/new"`)
	if !found {
		t.Fatalf("no form, status %d", a.Status)
	}
	form, _, _ = strings.Cut(form, "</form>")
	sent := url.Values{}
	for _, m := range fields.FindAllStringSubmatch(form, -1) {
		if !strings.Contains(m[0], `type="checkbox"`) || strings.Contains(m[0], " checked") {
			sent.Set(m[1]+m[4], m[2]+m[3])
		}
	}
	for i := 0; i < len(change); i += 2 {
		sent.Set(change[i], change[i+1])
	}
	var list []string
	for name := range sent {
		list = append(list, name, sent.Get(name))
	}
	return list
}

// The teardown is quoted, accepted; then the rebuild, changed by hand, offered,
// read as PDF, and declined: each is an entry.
func TestTwoSteps(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	ines := s.As("ines")
	wants(t, ines.Get(place), http.StatusOK, "None is made yet", "1. Teardown and report", "2. Rebuild with minor kit", "best for: cheapest", "standard of the sheet", "median of the shop", "What the choice hinges on", "left over:")

	first := ines.Get(place + "/new?step=teardown")
	wants(t, first, http.StatusOK, "teardown, measuring and report", `value="320"`)
	a := ines.Post(place+"/new", filled(t, first)...)
	if a.Goes != place+"/J-2057-Q1" {
		t.Fatalf("status %d, goes to %q\n%.800s", a.Status, a.Goes, a.Text)
	}
	wants(t, ines.Get(a.Goes), http.StatusOK, "It stands: offered, not answered.", "Quote for teardown and report", "320.00 EUR")
	answer := ines.Post("/job/J-2057/entry", "kind", "quote", "t/number", "J-2057-Q1", "t/status", "accepted", "t/note", "by telephone", "next", a.Goes)
	if answer.Status != http.StatusSeeOther {
		t.Fatalf("the answer: %d", answer.Status)
	}
	wants(t, ines.Get(a.Goes), http.StatusOK, "It stands: accepted.", "by telephone", "Ines Kaur")

	second := ines.Get(place + "/new?step=rebuild&aim=soonest")
	wants(t, second, http.StatusOK, "minor kit", "not judged yet, and not in this quote")
	if strings.Contains(second.Text, "tear down (as found)") {
		t.Error("the teardown is quoted twice")
	}
	bad := ines.Post(place+"/new", filled(t, second, "lines[0].price", "-5")...)
	wants(t, bad, http.StatusUnprocessableEntity, "not below zero", `value="-5"`)
	wants(t, ines.Post(place+"/new", filled(t, second, "lines[0].price", "dear")...), http.StatusUnprocessableEntity, "is no number")
	wants(t, ines.Post(place+"/new", filled(t, second, "lines[1].price", "5")...), http.StatusUnprocessableEntity, "needs its part or work")
	a = ines.Post(place+"/new", filled(t, second, "lines[0].price", "275,50", "lines[1].what", "coating of the casing", "lines[1].price", "180", "lines[1].outside", "yes", "labour.follow-up.out", "yes")...)
	if a.Goes != place+"/J-2057-Q2" {
		t.Fatalf("status %d, goes to %q\n%.1200s", a.Status, a.Goes, a.Text)
	}
	page := ines.Get(a.Goes)
	wants(t, page, http.StatusOK, "275.50", "coating of the casing (work)", "Quote for the rebuild", "When the rebuild is declined")
	if strings.Contains(page.Text, "follow up") {
		t.Error("a stage that was left out is in the quote")
	}
	pdf := ines.Get(a.Goes + "/pdf")
	if pdf.Status != http.StatusOK || pdf.Header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(pdf.Text, "%PDF") || !strings.Contains(pdf.Header.Get("Content-Disposition"), "J-2057-Q2.pdf") {
		t.Errorf("PDF: %d %v", pdf.Status, pdf.Header)
	}
	ines.Post("/job/J-2057/entry", "kind", "quote", "t/number", "J-2057-Q2", "t/status", "declined", "t/note", "buys a new one", "next", a.Goes)
	wants(t, ines.Get(a.Goes), http.StatusOK, "It stands: declined.", "teardown and report cost 320.00 EUR", "is to be fetched by", "Make another one")
	wants(t, ines.Get(place), http.StatusOK, "J-2057-Q1", "J-2057-Q2")
}

// The office and the leads quote; others look on. A quote of another job, an
// aim and a step that do not exist are refused.
func TestQuoteRefused(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	tomas := s.As("tomas")
	wants(t, tomas.Get(place), http.StatusOK, "The office or a lead makes the quotes")
	if a := tomas.Get(place + "/new?step=teardown"); a.Status != http.StatusForbidden {
		t.Errorf("a technician quotes: %d", a.Status)
	}
	if a := tomas.Post(place+"/new", "step", "teardown", "number", "x"); a.Status != http.StatusForbidden {
		t.Errorf("a technician offers: %d", a.Status)
	}
	ines := s.As("ines")
	wants(t, ines.Get(place+"/new?step=gift"), http.StatusUnprocessableEntity, "teardown or for the rebuild")
	wants(t, ines.Get(place+"/new?step=rebuild&aim=prettiest"), http.StatusUnprocessableEntity, "no cover for this aim")
	wants(t, ines.Get(place+"/nothing"), http.StatusNotFound)
	wants(t, ines.Get(place+"/nothing/pdf"), http.StatusNotFound)
}

// Pieces on the shelf are kept for the job and fitted; what is left over of a
// kit goes into stock, once.
func TestFromShelf(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	mira := s.As("mira")
	if a := mira.Post("/stock/move", "item", "minor kit", "kind", "stock-in", "count", "2"); a.Status != http.StatusSeeOther {
		t.Fatalf("stock: %d", a.Status)
	}
	wants(t, mira.Get(place), http.StatusOK, "minor kit: 2 on the shelf, 2 free", "Keep 1 for this job", "Left over from the kits", "1 × idler pin")
	go1 := func(path string, fields ...string) {
		t.Helper()
		if a := mira.Post(path, fields...); a.Status != http.StatusSeeOther || a.Goes != place {
			t.Errorf("%s: status %d, goes to %q", path, a.Status, a.Goes)
		}
	}
	go1(place+"/shelf", "item", "minor kit", "kind", "stock-reserved", "count", "1")
	wants(t, mira.Get(place), http.StatusOK, "1 free; kept for this job 1", "Fitted in this job: 1")
	go1(place+"/shelf", "item", "minor kit", "kind", "stock-used", "count", "1")
	wants(t, mira.Get(place), http.StatusOK, "1 on the shelf, 1 free; kept for this job 0, fitted 1")
	go1(place+"/left", "part", "idler-pin")
	wants(t, mira.Get(place), http.StatusOK, "put into stock")
	wants(t, mira.Post(place+"/left", "part", "idler-pin"), http.StatusUnprocessableEntity, "was put into stock before")
	wants(t, mira.Post(place+"/left", "part", "casing"), http.StatusUnprocessableEntity, "othing of this part is left over")
	wants(t, mira.Post(place+"/shelf", "item", "minor kit", "kind", "stock-used", "count", "9"), http.StatusUnprocessableEntity, "only 1 piece is free")
	wants(t, mira.Get("/stock"), http.StatusOK, "demo-pump-s idler-pin")
	wants(t, mira.Get("/stock/item?item=demo-pump-s+idler-pin"), http.StatusOK, "1 piece lies on the shelf", "left over from the kits of J-2057", "Mira Vance")
}
