package report

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"pumpwright/app/document"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
)

// Both steps of a quote, on both sizes of paper: the reasons stand with the
// parts, the sum is that of the lines, and a job takes the body as an entry.
func TestQuotes(t *testing.T) {
	a := assessed(t, "J-2041")
	for _, step := range []string{job.QuoteTeardown, job.QuoteRebuild} {
		q, _, err := a.Quote(offer.Asked{Step: step, Number: "Q-7"})
		if err != nil {
			t.Fatal(err)
		}
		body, err := json.Marshal(q)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := job.Vet(a.Inputs.Job, a.Inputs.Sheet, job.KindQuote, body); err != nil {
			t.Errorf("%s: the job refuses it: %v", step, err)
		}
		for _, o := range []Options{{Size: document.A4}, {Size: document.Letter, Style: say.Style{Units: say.Inch}}} {
			pdf, err := QuotePDF(a, q, o)
			if err != nil || len(pdf) < 1000 {
				t.Fatalf("%s: %d bytes, %v", step, len(pdf), err)
			}
			if dir := os.Getenv("PUMPWRIGHT_REPORTS"); dir != "" {
				if err := os.WriteFile(dir+"/quote-"+step+"-"+o.Size.Name+".pdf", pdf, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
		text := withoutTags(Quote(a, q, Options{}).HTML(say.Style{}, document.HTMLOptions{}))
		wanted := []string{"Invented", "Q-7", "the operator&#39;s decision"}
		if step == job.QuoteRebuild {
			wanted = append(wanted, "seal kit", "renewed at every rebuild", "idler pin", "When the rebuild is declined", "Why it failed", "What stays")
		} else {
			wanted = append(wanted, "a second quote follows")
		}
		amount, err := q.Amount()
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range append(wanted, amount.String()) {
			if !strings.Contains(text, want) && !strings.Contains(text, strings.ReplaceAll(want, "&#39;", "'")) {
				t.Errorf("%s: %q is missing", step, want)
			}
		}
		for _, never := range []string{"{", "NaN", "<nil>", "%!", "safe to"} {
			if strings.Contains(text, never) {
				t.Errorf("%s: %q stands in it", step, never)
			}
		}
	}
	if _, _, err := a.Quote(offer.Asked{Step: "gift", Number: "Q-7"}); say.AsProblem(err) == nil || say.AsProblem(err).Field != "step" {
		t.Errorf("a step that is none: %v", err)
	}
}
