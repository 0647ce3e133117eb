package offer_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/cover"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

func number(v float64) *float64 { return &v }

// inputs are those of the finished job of the demo, with a shop whose prices
// are the test's own.
func inputs(t testing.TB, p *ledger.Prices) offer.Inputs {
	t.Helper()
	stream, err := demo.Job("J-2041")
	if err != nil {
		t.Fatal(err)
	}
	in, err := assess.FromJob(job.Fold(stream), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	a := assess.Assess(in)
	return offer.Inputs{Sheet: in.Sheet, Service: in.Service, Parts: a.Parts, State: in.Job, Shop: &ledger.Shop{Prices: p}, AsOf: in.AsOf}
}

// withParts replaces the decisions of the demo by ones of the test.
func withParts(in offer.Inputs, verdicts map[string]part.Verdict) offer.Inputs {
	c := &part.Chapter{}
	for i := range in.Sheet.Parts {
		p := &in.Sheet.Parts[i]
		v, there := verdicts[p.ID]
		if !there {
			v = part.Reuse
		}
		c.Decisions = append(c.Decisions, &part.Decision{Part: p, Verdict: v, Advice: v})
	}
	in.Parts = c
	return in
}

func euros() *ledger.Prices {
	return &ledger.Prices{Currency: "EUR", LabourRate: number(90)}
}

// The advised covers are the best of all that there are: every set of the
// sheet's offers, each taken at most once, is looked at.
func TestPlansAgainstEverySet(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	base := inputs(t, euros())
	for range 40 {
		verdicts := map[string]part.Verdict{}
		for _, p := range base.Sheet.Parts {
			if random.IntN(3) == 0 {
				verdicts[p.ID] = part.Replace
			}
		}
		if len(verdicts) == 0 {
			continue
		}
		c := offer.Assess(withParts(base, verdicts))
		if len(c.Plans) != 4 {
			t.Fatalf("%d plans: %v", len(c.Plans), c.Warnings)
		}
		best := map[cover.Aim]float64{}
		for set := range 1 << len(base.Sheet.Offers) {
			price, lead := 0.0, 0.0
			have := map[string]int{}
			for i, o := range base.Sheet.Offers {
				if set>>i&1 == 1 {
					price += o.Price
					lead = math.Max(lead, o.LeadDays)
					for id, n := range o.Parts {
						have[id] += n
					}
				}
			}
			covered := true
			for id := range verdicts {
				covered = covered && (have[id] > 0 || uncoverable(base.Sheet, id))
			}
			if !covered {
				continue
			}
			for aim, v := range map[cover.Aim]float64{cover.Cheapest: price, cover.Soonest: lead, cover.LeastTotal: price + lead*c.Waiting.PerDay.Amount()} {
				if known, there := best[aim]; !there || v < known {
					best[aim] = v
				}
			}
		}
		for i := range c.Plans {
			p := &c.Plans[i]
			got := map[cover.Aim]float64{cover.Cheapest: p.Price.Amount(), cover.Soonest: p.Lead.SI() / 86400, cover.LeastTotal: p.Total.Amount()}[p.Aim]
			if p.Aim != cover.LeastLeftOver && math.Abs(got-best[p.Aim]) > 0.001 {
				t.Errorf("%s: %v, every set gives %v (%v)", p.Aim, got, best[p.Aim], verdicts)
			}
		}
	}
}

func uncoverable(s *sheet.Sheet, id string) bool {
	for _, o := range s.Offers {
		if o.Parts[id] > 0 {
			return false
		}
	}
	return true
}

// What no offer covers is named, and the rest is covered all the same.
func TestUncovered(t *testing.T) {
	c := offer.Assess(withParts(inputs(t, euros()), map[string]part.Verdict{"bracket": part.Replace, "shaft-seal": part.Replace}))
	if len(c.Uncovered) != 1 || c.Uncovered[0].Part.ID != "bracket" || !says(c.Warnings, "no offer covers bracket") {
		t.Errorf("%v, %v", c.Uncovered, c.Warnings)
	}
	if got := c.Plans[0].Describe(); len(got) != 1 || got[0] != "seal kit" {
		t.Errorf("%v", got)
	}
}

func says(list []say.Message, words string) bool {
	for _, m := range list {
		if strings.Contains(m.String(), words) {
			return true
		}
	}
	return false
}

// A day without the pump: 2.5 a cubic metre, 155 L/min at 500 of 500 rpm,
// 6000 h of 365.25 days. Computed by hand: 2.5 · 9.3 · 16.4271 = 381.93.
func TestWaiting(t *testing.T) {
	c := offer.Assess(inputs(t, euros()))
	if c.Waiting == nil || math.Abs(c.Waiting.PerDay.Amount()-381.93) > 0.01 {
		t.Fatalf("%v", c.Waiting)
	}
	if c.Advised.Aim != cover.LeastTotal {
		t.Errorf("advised is %s", c.Advised.Aim)
	}
	in := inputs(t, euros())
	in.Service.OutputPrice = nil
	if c := offer.Assess(in); c.Waiting != nil || c.Advised.Aim != cover.Cheapest || len(c.Plans) != 3 {
		t.Errorf("without a price of output: %v, %s, %d plans", c.Waiting, c.Advised.Aim, len(c.Plans))
	}
}

// Offers that cannot be right are set aside and named.
func TestOffersSetAside(t *testing.T) {
	in := withParts(inputs(t, euros()), map[string]part.Verdict{"shaft-seal": part.Replace, "head-gaskets": part.Replace, "gland-gasket": part.Replace})
	good := offer.Assess(in)
	changed := *in.Sheet
	changed.Offers = append([]sheet.Offer{
		{Name: "gift", Price: -5, Parts: map[string]int{"shaft-seal": 1}},
		{Name: "from abroad", Price: 1, Currency: "USD", Parts: map[string]int{"shaft-seal": 1, "head-gaskets": 1, "gland-gasket": 1}},
		{Name: "empty box", Price: 1},
		{Name: "kit with a stranger", Price: 999, Parts: map[string]int{"shaft-seal": 1, "whistle": 1}},
		{Name: "minus kit", Price: 999, Parts: map[string]int{"shaft-seal": -1}},
	}, in.Sheet.Offers...)
	changed.Offers = append(changed.Offers, sheet.Offer{Name: "seal kit", Price: 1, Parts: map[string]int{"shaft-seal": 1}})
	in.Sheet = &changed
	c := offer.Assess(in)
	for _, words := range []string{"gift: its price is below zero", "from abroad: priced in USD", "empty box", "“whistle”", "“shaft-seal” is not above zero", "seal kit: two offers"} {
		if !says(c.SetAside, words) {
			t.Errorf("%q is not said: %v", words, c.SetAside)
		}
	}
	if c.Plans[0].Price != good.Plans[0].Price {
		t.Errorf("%v, without the wrong offers %v", c.Plans[0].Price, good.Plans[0].Price)
	}
}

// Sums in two currencies are not added.
func TestMixedCurrencies(t *testing.T) {
	c := offer.Assess(inputs(t, &ledger.Prices{Currency: "USD", LabourRate: number(90), NewPumps: []ledger.NewPump{{Sheet: "demo-pump-m", Price: 8000}}}))
	if c.Waiting != nil || !says(c.Warnings, "EUR") || c.Currency != "USD" {
		t.Errorf("waiting %v, %s, %v", c.Waiting, c.Currency, c.Warnings)
	}
}

// A part that is reworked is covered by work and not by a new part.
func TestRework(t *testing.T) {
	c := offer.Assess(withParts(inputs(t, euros()), map[string]part.Verdict{"casing": part.Rework}))
	if got := c.Plans[0].Describe(); len(got) != 1 || got[0] != "bore the casing and sleeve it" {
		t.Errorf("%v", got)
	}
	c = offer.Assess(withParts(inputs(t, euros()), map[string]part.Verdict{"shaft": part.Rework}))
	if len(c.Uncovered) != 1 {
		t.Errorf("no work on the shaft is offered: %v", c.Uncovered)
	}
	c = offer.Assess(withParts(inputs(t, euros()), map[string]part.Verdict{"casing": part.Replace}))
	if got := c.Plans[0].Price.Amount(); got != 780 {
		t.Errorf("work may stand in for a new casing: %v", got)
	}
}

// What lies on the shelf is there at once, at the same price.
func TestShelf(t *testing.T) {
	in := withParts(inputs(t, euros()), map[string]part.Verdict{"rotor": part.Replace, "idler": part.Replace, "bracket-bushing": part.Replace})
	before := offer.Assess(in)
	in.Shop.Shelf = map[string]int{"gear set": 1, "bracket-bushing": 1}
	after := offer.Assess(in)
	if before.Plans[0].Lead == 0 || after.Plans[0].Lead != 0 || before.Plans[0].Price != after.Plans[0].Price {
		t.Errorf("lead %v, then %v; %v, %v", before.Plans[0].Lead, after.Plans[0].Lead, before.Plans[0].Price, after.Plans[0].Price)
	}
	for _, ch := range after.Plans[0].Choose {
		if ch.FromHand != ch.Count {
			t.Errorf("%s: %d of %d from the shelf", ch.Offer.Name, ch.FromHand, ch.Count)
		}
	}
}

// Labour: the shop's median before the sheet, never less than was worked.
func TestLabour(t *testing.T) {
	p := euros()
	p.Medians = map[string]ledger.Median{"measure": {Hours: 3, Jobs: 12}}
	in := inputs(t, p)
	in.State.Hours = []job.Kept[job.Hours]{{Body: job.Hours{Stage: "tear-down", Hours: 4.5}}, {Body: job.Hours{Stage: "measure", Hours: 1}}}
	c := offer.Assess(in)
	want := map[string]float64{"receive": 0.5, "make-safe": 1.5, "tear-down": 4.5, "measure": 3, "judge": 1, "reassemble": 3, "prove": 1.5, "return": 5, "follow-up": 0.3}
	sum := 0.0
	for _, s := range c.Labour {
		if math.Abs(s.Hours-want[s.Stage]) > 1e-9 {
			t.Errorf("%s: %v h, want %v", s.Stage, s.Hours, want[s.Stage])
		}
		sum += want[s.Stage]
	}
	if len(c.Labour) != len(want) || math.Abs(c.LabourSum.Amount()-90*sum) > 0.01 {
		t.Errorf("%d stages, %v, want %v", len(c.Labour), c.LabourSum, 90*sum)
	}
	if c := offer.Assess(inputs(t, &ledger.Prices{Currency: "EUR"})); c.LabourSum != nil || !says(c.Warnings, "no price of an hour") {
		t.Errorf("without a rate: %v", c.LabourSum)
	}
	if c := offer.Assess(inputs(t, &ledger.Prices{Currency: "EUR", LabourRate: number(-3)})); c.LabourSum != nil || !says(c.Warnings, "below zero") {
		t.Errorf("with a rate below zero: %v", c.LabourSum)
	}
}

// Parts that are not judged yet make the sum a range.
func TestRange(t *testing.T) {
	c := offer.Assess(withParts(inputs(t, euros()), map[string]part.Verdict{"shaft-seal": part.Replace, "shaft": part.MeasureAgain}))
	if len(c.MayNeed) != 1 || c.SumHigh.Amount()-c.Sum.Amount() != 620 || !says(c.Warnings, "shaft") {
		t.Errorf("%v to %v", c.Sum, c.SumHigh)
	}
	c = offer.Assess(withParts(inputs(t, euros()), nil))
	if !says(c.Warnings, "no part is to be replaced") || len(c.Plans) != 0 {
		t.Errorf("%v", c.Warnings)
	}
}

// Energy a year: 23.1 kW, 6000 h, 0.08 a kWh is 11 088 (Pump Life Cycle Costs
// guide, US DOE/GO-102001-1190, 2001, example, from memory); lost output by
// definition.
func TestLifeEnergy(t *testing.T) {
	p := euros()
	p.NewPumps = []ledger.NewPump{{Sheet: "demo-pump-m", Name: "new pump", Price: 9000, LeadDays: 0}}
	p.Years, p.Discount, p.Inflation = number(8), number(0.08), number(0.04)
	in := inputs(t, p)
	in.Service.EnergyPrice, in.Service.HoursAYear, in.Service.OutputPrice = number(0.08), number(6000), number(2)
	in.Service.Drive.Efficiency = number(1)
	power, short := quantity.Power(23100), quantity.Flow(1.0/3600)
	in.Delivery = map[offer.Course]offer.Delivery{offer.Rebuild: {Power: &power, Short: &short}, offer.Replace: {Power: &power}}
	c := offer.Assess(in)
	if c.Life == nil {
		t.Fatal(c.NoLife)
	}
	rebuild := c.Life.Result.Input.Options[0]
	if math.Abs(rebuild.Yearly["energy"]-11088) > 0.5 || math.Abs(rebuild.Yearly["lost output"]-12000) > 1e-6 {
		t.Errorf("%v", rebuild.Yearly)
	}
	// Annuity of 8 years at 8 % interest and 4 % inflation, 6.77572287:
	// definition, standard tables.
	if got := c.Life.Result.Options[0].ByPart["energy"] / 11088; math.Abs(got-6.77572287) > 1e-6 {
		t.Errorf("annuity %v", got)
	}
	if len(c.Life.Hinges) == 0 || c.Life.Words == nil {
		t.Error("nothing is said of what it hinges on")
	}
}

// A price that all courses share moves none against another; the multiple at
// which two courses cost the same makes them so. Source: definition.
func TestHinges(t *testing.T) {
	p := euros()
	p.NewPumps = []ledger.NewPump{{Sheet: "demo-pump-m", Name: "new pump", Price: 2600}}
	in := inputs(t, p)
	in.Service.OutputPrice = nil // waiting has no price
	power := quantity.Power(2000)
	in.Delivery = map[offer.Course]offer.Delivery{offer.Rebuild: {Power: &power}, offer.Replace: {Power: &power}}
	c := offer.Assess(in)
	if c.Life == nil {
		t.Fatal(c.NoLife)
	}
	turned := 0
	for _, h := range c.Life.Hinges {
		if strings.Contains(h.Name, "energy") {
			t.Errorf("the same energy for both: %v", h)
		}
		if !h.Turns || !strings.Contains(h.Name, "new pump") {
			continue
		}
		turned++
		again := euros()
		again.NewPumps = []ledger.NewPump{{Sheet: "demo-pump-m", Name: "new pump", Price: 2600 * h.TurnsAt}}
		at := in
		at.Shop = &ledger.Shop{Prices: again}
		if d := offer.Assess(at).Life.Result.Difference; math.Abs(d) > 0.01 {
			t.Errorf("%s times %v: the difference is %v", h.Name, h.TurnsAt, d)
		}
	}
	if turned != 1 {
		t.Errorf("%d hinges of the new pump: %v", turned, c.Life.Hinges)
	}
}

// Without flow and power of every course, energy is left out for all.
func TestLifeAlike(t *testing.T) {
	p := euros()
	p.NewPumps = []ledger.NewPump{{Sheet: "demo-pump-m", Price: 9000, LeadDays: 60, Scrap: 50}}
	in := inputs(t, p)
	power := quantity.Power(2000)
	in.Delivery = map[offer.Course]offer.Delivery{offer.Rebuild: {Power: &power}}
	c := offer.Assess(in)
	if c.Life == nil {
		t.Fatal(c.NoLife)
	}
	for _, o := range c.Life.Result.Input.Options {
		if len(o.Yearly) != 0 {
			t.Errorf("%s: %v", o.Name, o.Yearly)
		}
	}
	if !says(c.Life.Assumed, "energy and lost output are left out") || !says(c.Life.Assumed, "8 %") {
		t.Errorf("%v", c.Life.Assumed)
	}
	if c.Life.Result.Best != string(offer.Rebuild) || c.Life.Share == nil {
		t.Errorf("best is %s, share %v", c.Life.Result.Best, c.Life.Share)
	}
	if low, high := c.Life.Low["rebuild"], c.Life.High["rebuild"]; !(low <= high) {
		t.Errorf("range %v to %v", low, high)
	}
	if c := offer.Assess(inputs(t, euros())); c.Life != nil || c.NoLife.IsZero() {
		t.Error("compared without the price of a new pump")
	}
	bad := euros()
	bad.NewPumps = []ledger.NewPump{{Sheet: "demo-pump-m", Name: "gift", Price: -1}}
	if c := offer.Assess(inputs(t, bad)); c.Life != nil || !says(c.Warnings, "gift: its price is below zero") {
		t.Errorf("%v", c.Warnings)
	}
}

// The order of offers and of parts changes no sum.
func TestOrderOfOffers(t *testing.T) {
	first := offer.Assess(inputs(t, euros()))
	random := rand.New(rand.NewPCG(5, 6))
	for range 6 {
		in := inputs(t, euros())
		changed := *in.Sheet
		changed.Offers = append([]sheet.Offer{}, in.Sheet.Offers...)
		random.Shuffle(len(changed.Offers), func(i, j int) { changed.Offers[i], changed.Offers[j] = changed.Offers[j], changed.Offers[i] })
		in.Sheet = &changed
		again := offer.Assess(in)
		for i := range first.Plans {
			if first.Plans[i].Price != again.Plans[i].Price && first.Plans[i].Total != again.Plans[i].Total {
				t.Errorf("%s: %v, then %v", first.Plans[i].Aim, first.Plans[i].Price, again.Plans[i].Price)
			}
		}
	}
}

func TestWorkings(t *testing.T) {
	p := euros()
	p.NewPumps = []ledger.NewPump{{Sheet: "demo-pump-m", Price: 9000}}
	c := offer.Assess(inputs(t, p))
	roots := c.Workings()
	if len(roots) != 3 {
		t.Errorf("%d trees", len(roots))
	}
	for _, root := range roots {
		if err := root.Check(); err != nil {
			t.Error(err)
		}
	}
	roots[0].Walk(func(n *working.Node, depth int) {
		if depth > 1 || len(n.Inputs) == 0 || n.ID == "offer.labour" {
			return
		}
		sum := 0.0
		for _, in := range n.Inputs {
			sum += in.Value
		}
		if math.Abs(sum-n.Value) > 0.02 {
			t.Errorf("%s: its inputs add to %v, it is %v", n.ID, sum, n.Value)
		}
	})
}

func BenchmarkOffer(b *testing.B) {
	p := euros()
	p.NewPumps = []ledger.NewPump{{Sheet: "demo-pump-m", Price: 9000}}
	in := inputs(b, p)
	b.ReportAllocs()
	for b.Loop() {
		offer.Assess(in)
	}
}

// A quote in two steps: the fee of the teardown first; once that is accepted
// the rebuild quotes only what is left to do.
func TestQuote(t *testing.T) {
	p := euros()
	p.TeardownFee, p.ValidDays = number(240), number(30)
	in := inputs(t, p)
	in.State.Quotes = nil
	day := time.Date(2026, 4, 14, 0, 0, 0, 0, time.UTC)
	c := offer.Assess(in)
	first, _, err := c.Quote(in, offer.Asked{Step: job.QuoteTeardown, Number: "T-1", Day: day})
	if err != nil || *first.Total != 240 || first.ValidUntil != "2026-05-14" {
		t.Fatalf("%+v, %v", first, err)
	}
	whole, warnings, err := c.Quote(in, offer.Asked{Step: job.QuoteRebuild, Number: "Q-1", Day: day})
	if err != nil || !says(warnings, "teardown was not quoted") {
		t.Fatalf("%v, %v", warnings, err)
	}
	if math.Abs(*whole.Total-c.Sum.Amount()) > 0.01 {
		t.Errorf("quoted %v, the sum is %v", *whole.Total, c.Sum)
	}
	for _, l := range whole.Lines {
		if l.Why == "" {
			t.Errorf("%s: no reason", l.What)
		}
	}
	in.State.Quotes = []job.Kept[any]{
		{Body: map[string]any{"number": "T-1", "step": "teardown", "total": 240, "currency": "EUR"}},
		{Body: map[string]any{"number": "T-1", "status": "accepted"}},
	}
	c = offer.Assess(in)
	rest, warnings, err := c.Quote(in, offer.Asked{Step: job.QuoteRebuild, Number: "Q-1", Day: day})
	if err != nil || says(warnings, "teardown was not quoted") {
		t.Fatalf("%v, %v", warnings, err)
	}
	// receive 0.5, make safe 1.5, tear down 2, measure 2, judge 1 of the sheet
	if d := *whole.Total - *rest.Total; math.Abs(d-7*90) > 0.01 {
		t.Errorf("the rest is cheaper by %v, want %v", d, 7*90)
	}
	if _, _, err := offer.Assess(in).Quote(in, offer.Asked{Step: "gift", Number: "Q-1", Day: day}); say.AsProblem(err) == nil {
		t.Error("a step that is none")
	}
	bare := inputs(t, &ledger.Prices{Currency: "EUR"})
	if _, _, err := offer.Assess(bare).Quote(bare, offer.Asked{Step: job.QuoteRebuild, Number: "Q-1", Day: day}); say.AsProblem(err) == nil || say.AsProblem(err).Field != "labour_rate" {
		t.Errorf("without a rate: %v", err)
	}
}

// What outside work cost at its return stands in place of what was expected;
// a price below zero and another currency are named and not added.
func TestOutside(t *testing.T) {
	in := withParts(inputs(t, euros()), map[string]part.Verdict{"shaft-seal": part.Replace})
	bare := offer.Assess(in).Sum.Amount()
	work := func(body map[string]any) job.Kept[any] { return job.Kept[any]{Body: body} }
	in.State.OutsideWork = []job.Kept[any]{
		work(map[string]any{"part": "rotor", "work": "coat", "sent": true, "price": 200.0}),
		work(map[string]any{"part": "rotor", "returned": true, "price": 230.0}),
		work(map[string]any{"what": "key", "work": "cut", "price": 20.0}),
		work(map[string]any{"what": "crate", "work": "build", "price": -5.0}),
		work(map[string]any{"what": "lid", "work": "plate", "price": 9.0, "currency": "USD"}),
	}
	c := offer.Assess(in)
	if got := c.Sum.Amount() - bare; math.Abs(got-250) > 1e-9 {
		t.Errorf("outside work adds %v, want 230 + 20", got)
	}
	if len(c.Outside) != 4 || !says(c.Warnings, "crate: build") || !says(c.Warnings, "lid: plate") {
		t.Errorf("%d: %v", len(c.Outside), c.Warnings)
	}
}
