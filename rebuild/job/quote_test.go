package job

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/say"
)

func vetQuoteText(t *testing.T, s *State, body string) ([]say.Message, error) {
	t.Helper()
	return Vet(s, nil, KindQuote, []byte(body))
}

// A quote refuses what cannot be right and names the field.
func TestVetQuote(t *testing.T) {
	w := newWriter(t)
	w.add(KindQuote, Quote{Number: "Q-1", Lines: []QuoteLine{{What: "seal kit", Count: 1, Price: 310}}, Currency: "EUR"})
	s := Fold(w.stream)
	cases := []struct{ name, body, field string }{
		{"good", `{"number":"Q-2","lines":[{"what":"kit","price":310,"count":2}],"labour":[{"stage":"measure","hours":2,"rate":90}],"total":800,"currency":"EUR"}`, ""},
		{"total alone", `{"number":"Q-2","total":800,"currency":"EUR"}`, ""},
		{"answer", `{"number":"Q-1","status":"accepted"}`, ""},
		{"declined with the fee", `{"number":"Q-1","status":"declined","teardown_fee":240,"unclaimed_days":60}`, ""},
		{"no number", `{"number":" ","total":8}`, "number"},
		{"negative price", `{"number":"Q-2","lines":[{"what":"kit","price":-310}]}`, "lines[0].price"},
		{"two currencies", `{"number":"Q-2","currency":"EUR","lines":[{"what":"kit","price":310,"currency":"USD"}]}`, "lines[0].currency"},
		{"count of none", `{"number":"Q-2","lines":[{"what":"kit","price":310,"count":0}]}`, "lines[0].count"},
		{"wrong total", `{"number":"Q-2","lines":[{"what":"kit","price":310}],"total":300}`, "total"},
		{"no day", `{"number":"Q-2","total":3,"valid_until":"next week"}`, "valid_until"},
		{"nothing offered", `{"number":"Q-2"}`, "lines"},
		{"answer to nothing", `{"number":"Q-9","status":"accepted"}`, "number"},
		{"unknown field", `{"number":"Q-2","total":3,"totl":4}`, "totl"},
		{"unknown status", `{"number":"Q-1","status":"perhaps"}`, "status"},
	}
	for _, c := range cases {
		_, err := vetQuoteText(t, s, c.body)
		switch p := say.AsProblem(err); {
		case c.field == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.field != "" && (p == nil || p.Field != c.field):
			t.Errorf("%s: %v, want a refusal of %s", c.name, err, c.field)
		}
	}
	if warnings, err := vetQuoteText(t, s, `{"number":"Q-1","total":3}`); err != nil || len(warnings) != 1 {
		t.Errorf("offered twice: %v %v", warnings, err)
	}
}

// How quotes stand: offered, answered, expired by the day.
func TestQuotesAsOf(t *testing.T) {
	w := newWriter(t) // entries on 2026-03-02
	w.add(KindQuote, map[string]any{"number": "T-1", "step": "teardown", "total": 240, "currency": "EUR", "valid_days": 30})
	w.add(KindQuote, map[string]any{"number": "T-1", "status": "accepted"})
	w.add(KindQuote, map[string]any{"number": "Q-1", "total": 2140, "currency": "EUR", "valid_until": "2026-03-20", "teardown_fee": 240})
	w.add(KindQuote, map[string]any{"number": "Q-1", "status": "changed", "note": "without the gear set"})
	w.add(KindQuote, map[string]any{"number": "Q-2", "total": 1500, "currency": "EUR", "valid_until": "2026-03-20"})
	w.add(KindQuote, map[string]any{"number": "Q-8", "status": "accepted"})
	w.add(KindQuote, map[string]any{"number": "Q-7", "total": -5})
	list := Fold(w.stream).QuotesAsOf(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC))
	var got []string
	for _, s := range list {
		got = append(got, s.Number+" "+s.Status)
	}
	want := "T-1 accepted, Q-1 changed, Q-2 expired, Q-8 accepted,  "
	if strings.Join(got, ", ") != want {
		t.Errorf("%q, want %q", strings.Join(got, ", "), want)
	}
	if len(list[3].Remarks) != 1 || len(list[4].Remarks) != 1 {
		t.Errorf("an answer to nothing, a quote that cannot be: %v, %v", list[3].Remarks, list[4].Remarks)
	}
	before := Fold(w.stream).QuotesAsOf(time.Date(2026, 3, 20, 12, 0, 0, 0, time.UTC))
	if before[2].Status != QuoteOffered {
		t.Errorf("on its last day: %s", before[2].Status)
	}
	late := newWriter(t)
	late.add(KindQuote, map[string]any{"number": "Q-1", "total": 3, "valid_until": "2026-02-01"})
	late.add(KindQuote, map[string]any{"number": "Q-1", "status": "accepted"})
	if s := Fold(late.stream).QuotesAsOf(time.Time{})[0]; s.Status != QuoteAccepted || len(s.Remarks) != 1 {
		t.Errorf("accepted after its day: %v", s)
	}
}

// A quote goes through JSON and back without losing anything.
func TestQuoteRoundTrip(t *testing.T) {
	total, fee := 490.0, 120.0
	q := Quote{Number: "Q-1", Step: QuoteRebuild, Status: QuoteOffered, Currency: "EUR", ValidUntil: "2026-04-01", Total: &total, TeardownFee: &fee,
		Lines: []QuoteLine{{What: "seal kit", Part: "shaft-seal", Count: 1, Price: 310, Why: "renewed"}}, Labour: []QuoteLabour{{"measure", 2, 90}}}
	data, err := json.Marshal(q)
	if err != nil {
		t.Fatal(err)
	}
	var raw any
	if err := json.Unmarshal(data, &raw); err != nil {
		t.Fatal(err)
	}
	back, err := ReadQuote(raw)
	if err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(back)
	if err != nil || string(again) != string(data) {
		t.Errorf("%s, then %s (%v)", data, again, err)
	}
	if sum := back.Sum(); math.Abs(sum-490) > 1e-9 {
		t.Errorf("sum %v", sum)
	}
}

// Hours are those written and those between start and stop of one person.
func TestHoursByStage(t *testing.T) {
	w := newWriter(t) // one second between entries
	if Fold(w.stream).HoursByStage() != nil {
		t.Error("nothing written")
	}
	w.add(KindHours, Hours{Stage: "measure", Hours: 1.5})
	w.from("p1", "a", "", KindHours, Hours{Stage: "measure", Started: true})
	w.from("p2", "b", "", KindHours, Hours{Stage: "measure", Started: true})
	w.from("p1", "a", "", KindHours, Hours{Stage: "measure", Stopped: true})
	w.from("p1", "a", "", KindHours, Hours{Stage: "prove", Stopped: true})
	got := Fold(w.stream).HoursByStage()
	if len(got) != 1 || math.Abs(got["measure"]-(1.5+2.0/3600)) > 1e-9 {
		t.Errorf("%v", got)
	}
}

// A decline names what the teardown costs and until when the pump is fetched;
// after that day it is unclaimed. A job numbers its quotes.
func TestDeclined(t *testing.T) {
	w := newWriter(t)
	w.add(KindOpen, map[string]any{"job": "J-1"})
	if n := Fold(w.stream).NextQuote(); n != "J-1-Q1" {
		t.Errorf("first number %s", n)
	}
	w.add(KindQuote, map[string]any{"number": "J-1-Q2", "total": 900, "currency": "EUR", "teardown_fee": 320, "unclaimed_days": 60})
	w.add(KindQuote, map[string]any{"number": "J-1-Q2", "status": "declined", "note": "buys new"})
	state := Fold(w.stream)
	if n := state.NextQuote(); n != "J-1-Q3" {
		t.Errorf("next number %s", n)
	}
	at := state.Last.Time()
	soon, late := state.QuotesAsOf(at.AddDate(0, 0, 10))[0], state.QuotesAsOf(at.AddDate(0, 0, 70))[0]
	if want := at.Truncate(24*time.Hour).AddDate(0, 0, 60); !soon.Unclaimed.Equal(want) || len(soon.Remarks) != 2 {
		t.Errorf("%v, %v", soon.Unclaimed, soon.Remarks)
	}
	if soon.Remarks[1].ID() != "job.quote_fetch" || late.Remarks[1].ID() != "job.quote_unclaimed" {
		t.Errorf("%v / %v", soon.Remarks, late.Remarks)
	}
}

// Who signs for scope and price has accepted the quote that was open.
func TestSignedIsAccepted(t *testing.T) {
	w := newWriter(t)
	w.add(KindQuote, map[string]any{"number": "Q-1", "total": 900, "valid_days": 5})
	w.add(KindSign, map[string]any{"step": "quote-accepted", "role": "customer", "note": "order 77"})
	w.add(KindQuote, map[string]any{"number": "Q-2", "total": 50})
	list := Fold(w.stream).QuotesAsOf(time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC))
	if list[0].Status != QuoteAccepted || list[0].Answer == nil || list[0].Answer.Body.Note != "order 77" || list[1].Status != QuoteOffered {
		t.Errorf("%+v", list)
	}
}
