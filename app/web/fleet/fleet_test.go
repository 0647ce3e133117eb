package fleet_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"pumpwright/app/web/webtest"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/history"
)

// The page counts what the fleet holds, narrows to what is asked, and leads to
// the pumps.
func TestFleet(t *testing.T) {
	s, f := webtest.Fleet(t, fleet.Options{Jobs: 40, Seed: 3})
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

// The review of a customer's year names its own pumps and nobody else's, on the
// page and as PDF.
func TestReview(t *testing.T) {
	s, f := webtest.Fleet(t, fleet.Options{Jobs: 40, Seed: 3})
	mira := s.As("mira")
	jobs := f.Summaries()
	owner, year := jobs[len(jobs)-1].Owner, jobs[len(jobs)-1].Opened.Time().Year()
	at := "?" + url.Values{"owner": {owner}, "year": {strconv.Itoa(year)}}.Encode()
	page := mira.Get("/review" + at)
	if page.Status != http.StatusOK || !strings.Contains(page.Text, "What was done") {
		t.Fatalf("%d\n%.500s", page.Status, page.Text)
	}
	for i := range jobs {
		own := jobs[i].Owner == owner
		if jobs[i].Opened.Time().Year() == year && own && !strings.Contains(page.Text, ">"+jobs[i].Job+"<") {
			t.Errorf("the review lacks %s", jobs[i].Job)
		}
		if !own && strings.Contains(page.Text, ">"+jobs[i].Job+"<") {
			t.Errorf("the review of %s names %s of %s", owner, jobs[i].Job, jobs[i].Owner)
		}
	}
	if pdf := mira.Get("/review.pdf" + at + "&size=letter"); pdf.Status != http.StatusOK || !strings.HasPrefix(string(pdf.Body), "%PDF-") {
		t.Errorf("%d", pdf.Status)
	}
	for _, bad := range []string{"?owner=nobody", "?year=1066", "?year=many"} {
		if a := mira.Get("/review" + bad); a.Status != http.StatusUnprocessableEntity || !strings.Contains(a.Text, `role="alert"`) {
			t.Errorf("%s: %d", bad, a.Status)
		}
	}
}
