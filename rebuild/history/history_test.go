package history_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"reflect"
	"strconv"
	"testing"
	"time"

	"pgregory.net/rapid"

	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/due"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/demo/fleet"
	. "pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tolerance)
	}
}

func on(t testing.TB, day string) record.Time {
	t.Helper()
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		t.Fatal(err)
	}
	return record.TimeOf(at)
}

// entry is a kind with its body, as JSON.
type entry struct{ kind, body string }

func pumpOf(t *testing.T, entries ...entry) *Pump {
	t.Helper()
	s := &record.Stream{Name: "pump:S1"}
	for i, e := range entries {
		_, err := s.Append(record.Entry{ID: fmt.Sprint("e", i), Stream: "pump:S1", Kind: e.kind, Version: 1, Body: json.RawMessage(e.body), At: on(t, "2030-01-01") + record.Time(i)})
		if err != nil {
			t.Fatal(err)
		}
	}
	return FoldPump(s)
}

// Hours between two days by the meter. The expected numbers are counted by
// hand.
func TestMeter(t *testing.T) {
	p := pumpOf(t,
		entry{"installed", `{"tag":"P-1","new":true,"on":"2024-01-01"}`},
		entry{"meter", `{"hours":100,"on":"2024-01-01"}`},
		entry{"meter", `{"hours":1100,"on":"2024-04-10"}`},                    // 1000 h in 100 days
		entry{"meter", `{"hours":900,"on":"2024-05-01"}`},                     // backwards
		entry{"meter-reset", `{"was":1600,"now":20,"on":"2024-05-30"}`},       // 500 h in 50 days
		entry{"meter", `{"hours":520,"on":"2024-07-19"}`},                     // 500 h in 50 days
		entry{"meter", `{"hours":99999,"on":"2024-07-20"}`},                   // more than a day has
		entry{"meter", `{"hours":"many"}`},                                    // no number
		entry{"meter", `{"hours":600,"on":"soon"}`},                           // no day
		entry{"void", `{"entry":"e9","reason":"mistyped"}`},                   //
		entry{"meter", `{"hours":530,"on":"2024-07-18"}`},                     // voided below
		entry{"void", `{"entry":"e10","reason":"read on the wrong machine"}`}, //
	)
	if len(p.Troubles) != 4 {
		t.Fatalf("%d troubles: %v", len(p.Troubles), p.Troubles)
	}
	cases := []struct {
		from, to string
		hours    float64
		basis    HoursBasis
		yearly   float64
	}{
		{"2024-01-01", "2024-04-10", 1000, Metered, 0},
		{"2024-01-01", "2024-02-20", 500, Metered, 0},
		{"2024-01-01", "2024-05-30", 1500, Metered, 0},
		{"2024-04-10", "2024-07-19", 1000, Metered, 0},
		{"2024-07-19", "2024-08-28", 400, Carried, 0}, // 2000 h in 200 days, carried on for 40
		{"2024-07-09", "2024-07-29", 100 + 50, Mixed, 5 * 365.25},
		{"2025-01-01", "2025-01-11", 10 * 5, Estimated, 5 * 365.25},
	}
	for _, c := range cases {
		got, basis := p.Meter.Between(on(t, c.from), on(t, c.to), c.yearly)
		if math.Abs(got-c.hours) > 1e-6 || basis != c.basis {
			t.Errorf("%s to %s: %v h by %s, want %v by %s", c.from, c.to, got, basis, c.hours, c.basis)
		}
	}
	if h, basis := (*Meter)(nil).Between(on(t, "2024-01-01"), on(t, "2025-01-01"), 0); h != 0 || basis != NoHours {
		t.Errorf("nothing known: %v, %s", h, basis)
	}
	year, basis := p.Meter.HoursAYearNow(0)
	near(t, "hours a year", year, 10*365.25, 1e-6)
	if basis != Metered || p.NewAt != on(t, "2024-01-01") {
		t.Errorf("%s, new %v", basis, p.NewAt)
	}
}

// Whatever is entered, hours never run backwards and parts add up to the whole.
func TestMeterLaw(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var m Meter
		at, total := record.Time(0), 0.0
		for range rapid.IntRange(0, 6).Draw(r, "entries") {
			at += record.Time(rapid.Int64Range(0, 1e13).Draw(r, "later"))
			total += rapid.Float64Range(0, 1000).Draw(r, "run")
			m.Points = append(m.Points, MeterPoint{At: at, Total: total})
		}
		yearly := rapid.SampledFrom([]float64{0, 4000}).Draw(r, "yearly")
		a := record.Time(rapid.Int64Range(0, 5e13).Draw(r, "a"))
		b := a + record.Time(rapid.Int64Range(0, 5e13).Draw(r, "b"))
		c := b + record.Time(rapid.Int64Range(0, 5e13).Draw(r, "c"))
		ab, _ := m.Between(a, b, yearly)
		bc, _ := m.Between(b, c, yearly)
		ac, _ := m.Between(a, c, yearly)
		if ab < -1e-9 || bc < -1e-9 || math.Abs(ab+bc-ac) > 1e-6*(1+ac) {
			r.Fatalf("%v + %v is not %v", ab, bc, ac)
		}
	})
}

func FuzzFoldPump(f *testing.F) {
	f.Add("meter", `{"hours":1e300}`)
	f.Add("installed", `{"tag":5}`)
	f.Add("meter-reset", `{"was":-1}`)
	f.Add("void", `{"entry":"x"}`)
	f.Fuzz(func(t *testing.T, kind, body string) {
		s := &record.Stream{Name: "pump:X", Entries: []record.Entry{
			{ID: "a", Stream: "pump:X", Kind: "meter", Body: json.RawMessage(`{"hours":5}`), At: 1e15},
			{ID: "x", Stream: "pump:X", Kind: kind, Body: json.RawMessage(body), At: 2e15},
			{ID: "b", Stream: "pump:X", Kind: "meter", Body: json.RawMessage(`{"hours":9}`), At: 3e15},
		}}
		p := FoldPump(s)
		if h, _ := p.Meter.Between(1e15, 3e15, 0); h < 0 || math.IsNaN(h) {
			t.Errorf("%v h", h)
		}
	})
}

// rebuilt makes the summary of a job with one clearance read.
func rebuilt(t *testing.T, name, opened, closed string, found, left float64, fate Fate) Summary {
	limit, isNew := 0.20e-3, 0.08e-3
	s := Summary{Job: name, Serial: "S1", Tag: "P-1", Model: "m", Liquid: "oil", HoursAYear: 3652.5, Opened: on(t, opened),
		Parts: []PartFate{{Part: "bushing", Fate: fate}, {Part: "seal", Fate: Renewed}}}
	if closed != "" {
		s.Closed = on(t, closed)
	}
	number := func(state string, v float64) {
		if v > 0 {
			s.Numbers = append(s.Numbers, Number{Feature: "clearance", Name: "clearance", State: state, Compare: "worst", Parts: []string{"bushing"},
				Dimension: quantity.LengthDimension, Value: v, U: 2e-6, Limit: &limit, Rising: true, New: &isNew, NewU: 5e-6})
		}
	}
	number(job.AsFound, found)
	number(job.AsLeft, left)
	return s
}

// A machine over four rebuilds: 10 h a day, so every number can be counted.
func TestMachine(t *testing.T) {
	jobs := []Summary{ // given out of order
		rebuilt(t, "J3", "2024-01-11", "2024-01-21", 0.15e-3, 0, Failed),
		rebuilt(t, "J1", "2022-01-01", "2022-01-11", 0.14e-3, 0, Kept),
		rebuilt(t, "J2", "2022-12-27", "2023-01-06", 0.21e-3, 0.08e-3, Failed), // 350 days after
		rebuilt(t, "J4", "2024-02-10", "2024-02-20", 0.30e-3, 0.081e-3, Failed),
	}
	o := Options{AsOf: on(t, "2024-12-16")}
	m := NewMachine("S1", jobs, nil, o)
	if len(m.Troubles) != 0 || len(m.Intervals) != 4 {
		t.Fatalf("%v, %+v", m.Troubles, m.Intervals)
	}
	endings := []Ending{CameBack, CameBack, InfantReturn, StillRuns}
	days := []float64{350, 370, 20, 300}
	for i, v := range m.Intervals {
		if v.Ending != endings[i] || v.Days() != days[i] || math.Abs(v.Hours-10*days[i]) > 1e-6 {
			t.Errorf("interval %d: %+v", i, v)
		}
	}
	track := m.TrackOf("clearance")
	// J1 0.14 and J2 0.21 on one bushing; J2 as left 0.08 and J3 0.15 on the
	// next; J3 as new by the sheet, J4 after 20 days is no wear; J4 as left.
	if len(track.Stretches) != 4 || len(track.Points) != 7 {
		t.Fatalf("%d stretches, %+v", len(track.Stretches), track.Points)
	}
	for i, want := range []int{2, 2, 1, 1} {
		if got := len(track.Readings(i)); got != want {
			t.Errorf("stretch %d counts %d readings, want %d", i, got, want)
		}
	}
	if r := track.Readings(1); r[0].Hours != 0 || math.Abs(r[1].Hours-3700) > 1e-6 || r[1].Value != 0.15e-3 {
		t.Errorf("%+v", r)
	}
	if p := track.Points[4]; !p.BySheet || p.Value != 0.08e-3 {
		t.Errorf("%+v", p)
	}
	if p := track.Points[5]; !p.Left || p.Why != InfantReading {
		t.Errorf("%+v", p)
	}
	// Wear 0.07 mm in 3500 h and 0.07 mm in 3700 h: with two parts no spread.
	list, problems := m.Forecasts(nil)
	if len(list) != 1 || len(problems) != 0 {
		t.Fatalf("%v, %v", list, problems)
	}
	f := list[0].Forecast
	if f.Basis != due.OnePart { // fewer than three rates, none its own: no bounds
		t.Errorf("basis %q", f.Basis)
	}
	near(t, "due", *f.Hours.At, (0.20-0.081)/(0.07/3700), 1)
	if list[0].Day() == 0 || len(DueList([]*Machine{m}, nil, true)) != 1 {
		t.Error("no day")
	}
	if ch := m.ChangesAt(1); len(ch) != 1 || ch[0].Parts != [2]int{1, 1} || ch[0].P < 0.1 {
		t.Errorf("%+v", ch)
	}
	if len(m.Infants()) != 1 || AtPlace(jobs, "P-1")[0].Job != "J1" || len(AtPlace(jobs, "P-2")) != 0 {
		t.Error("infants or place")
	}
}

func TestMachineTroubles(t *testing.T) {
	jobs := []Summary{rebuilt(t, "J1", "2022-01-01", "", 0.1e-3, 0, Kept), rebuilt(t, "J2", "2022-06-01", "2022-08-01", 0.12e-3, 0, Kept), rebuilt(t, "J3", "2022-07-01", "2022-09-01", 0.13e-3, 0, Kept)}
	pump := pumpOf(t, entry{"installed", `{"tag":"P-9","place":"hall","new":true,"on":"2022-03-01"}`})
	m := NewMachine("S1", jobs, pump, Options{AsOf: on(t, "2023-01-01")})
	if len(m.Troubles) != 3 { // before it was new, never closed, overlap
		t.Errorf("%v", m.Troubles)
	}
	jobs[0].Model, jobs[1].Model, jobs[1].Liquid, jobs[1].Tag = "a", "b", "water", "P-2"
	jobs[0].Fitted, jobs[1].Fitted = []Fitting{{Part: "seal", Elastomer: "NBR"}}, []Fitting{{Part: "seal", Elastomer: "FKM"}}
	if up := NewMachine("S1", jobs[:2], nil, Options{}).Upgrades(); len(up) != 4 {
		t.Errorf("%+v", up)
	}
}

// The finished demo job in short.
func TestSummarise(t *testing.T) {
	stream, err := demo.Job("J-2041")
	if err != nil {
		t.Fatal(err)
	}
	in, err := assess.FromJob(job.Fold(stream), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	s := Summarise(in)
	if s.Serial != "KQ-0187" || s.Tag != "P-310" || s.Liquid != "demo-light-oil" || s.HoursAYear != 6000 || s.Closed == 0 || s.Cost.Amount() != 2140 {
		t.Errorf("%+v", s)
	}
	for part, want := range map[string]Fate{"idler-pin": Failed, "idler-bushing": Failed, "casing": Kept, "thrust-bearing": Renewed, "shaft-seal": Failed} {
		if got := s.FateOf(part); got != want {
			t.Errorf("%s: %s, want %s", part, got, want)
		}
	}
	raw, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var back Summary
	if err := json.Unmarshal(raw, &back); err != nil || !reflect.DeepEqual(s, back) {
		t.Errorf("a summary does not come back: %v", err)
	}
}

// O'Connor (1985) shock absorbers as in Meeker & Escobar 1998: Weibull β, η
// computed with R survreg; Kaplan–Meier as their table 3.5.
func TestSurvivalOfPublishedData(t *testing.T) {
	file, err := os.Open("../../calc/life/testdata/weibull_shock_absorber.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	s := &Survival{Part: "shock absorber"}
	for _, r := range rows[1:] {
		age, err := strconv.ParseFloat(r[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		if r[1] == "1" {
			s.Failed++
			s.Rows = append(s.Rows, life.Failed(age))
		} else {
			s.Rows = append(s.Rows, life.Running(age))
		}
	}
	s.Fitting()
	if s.Fit == nil {
		t.Fatal(s.Unfitted)
	}
	near(t, "beta", s.Fit.Shape, 3.160470, 4e-5)
	near(t, "eta", s.Fit.Scale, 27718.719, 0.3)
	near(t, "B10", s.B10At, 13600.03, 0.2)
	last := s.Steps[len(s.Steps)-1]
	near(t, "failed at 27490", 1-last.Survival, .71262410, 1e-7)
}

// A fleet counts what its lives say, by whatever it is filtered.
func TestFleet(t *testing.T) {
	f, err := fleet.Simulate(fleet.Options{Jobs: 3000, Seed: 4})
	if err != nil {
		t.Fatal(err)
	}
	jobs := f.Summaries()
	fl := NewFleet(jobs, f.Pumps(), f.Options())
	all := fl.Page(Filter{})
	came := 0
	for _, m := range f.Machines {
		if len(m.Jobs) > 0 {
			came++
		}
	}
	if all.Jobs != 3000 || all.Machines != came || fl.NeverIn != len(f.Machines)-came {
		t.Fatalf("%d jobs, %d machines of %d, %d never in", all.Jobs, all.Machines, came, fl.NeverIn)
	}
	infants, sum := 0, int64(0)
	for _, m := range f.Machines {
		for _, j := range m.Jobs {
			if j.Infant {
				infants++
			}
			sum += int64(j.Cost)
		}
	}
	if all.Infants < infants || all.Infants > infants+3000/50 { // a seal may wear out within six weeks, too
		t.Errorf("%d infants, %d were drawn", all.Infants, infants)
	}
	if got := all.Costs["EUR"].Parts; got != sum*quantity.MoneyScale {
		t.Errorf("cost %v, want %d EUR", all.Costs, sum)
	}
	parts := 0
	for _, liquid := range []string{"demo-light-oil", "demo-water", "demo-molasses"} {
		p := fl.Page(Filter{Liquid: liquid, Part: fleet.SealPart})
		parts += p.Jobs
		law := life.Model{}
		for _, s := range f.Laws.Services {
			if s.Liquid == liquid {
				law = s.Seal
			}
		}
		if s := p.Survival; s.Fit == nil || math.Abs(s.Fit.Shape-law.Shape) > 4*s.Fit.ShapeSE || math.Abs(s.Fit.Scale-law.Scale) > 4*s.Fit.ScaleSE {
			t.Errorf("%s: %+v, made by %+v", liquid, s.Fit, law)
		}
	}
	if parts != 3000 {
		t.Errorf("the liquids hold %d jobs", parts)
	}
	if p := fl.Page(Filter{Site: "nowhere"}); p.Jobs != 0 || p.Machines != 0 || len(p.Worst) != 0 {
		t.Errorf("nowhere: %+v", p)
	}
	if len(all.Worst) != LongList || len(all.Dearest) != LongList {
		t.Errorf("%d worst, %d dearest", len(all.Worst), len(all.Dearest))
	}
	for i := 1; i < len(all.Worst); i++ {
		if all.Worst[i].SurelyAYear > all.Worst[i-1].SurelyAYear {
			t.Fatal("the worst are not in order")
		}
	}
	if w := all.Worst[0]; w.Jobs < 3 || w.SurelyAYear >= w.JobsAYear {
		t.Errorf("a machine of few jobs leads: %+v", w)
	}
	_, c, err := fl.Compare(Filter{Part: fleet.SealPart}, []string{"demo-light-oil", "demo-water"}, func(q *Filter, w string) { q.Liquid = w })
	if err != nil || c.P > 0.001 { // 16000 h against 6500 h
		t.Errorf("%+v, %v", c, err)
	}
	if law, err := life.FitPowerLaw(fl.Systems(Filter{})); err != nil || !(law.Beta > 0) {
		t.Errorf("%+v, %v", law, err)
	}
	cause := fl.Page(Filter{Cause: "C02"})
	if cause.Jobs == 0 || cause.Jobs >= all.Jobs || len(cause.Causes) != 1 {
		t.Errorf("%+v", cause.Causes)
	}
	// The machines one by one say the same as the fleet.
	machines := ByMachine(jobs, f.Pumps(), f.Options())
	infants = 0
	hours := 0.0
	for _, m := range machines {
		infants += len(m.Infants())
		for _, v := range m.Intervals {
			hours += v.Hours
		}
	}
	if infants != all.Infants {
		t.Errorf("%d infants by machine, %d in the fleet", infants, all.Infants)
	}
	if len(machines) == all.Machines {
		near(t, "hours", hours, all.Hours, 1e-6*all.Hours)
	}
	list := DueList(machines, NewFamily(machines), true)
	if len(list) < all.Machines/2 {
		t.Errorf("%d of %d machines are due some day", len(list), all.Machines)
	}
	for i := 1; i < len(list); i++ {
		if list[i].Day() < list[i-1].Day() {
			t.Fatal("the due list is not in order")
		}
	}
}

func TestFewFailures(t *testing.T) {
	for _, c := range []struct {
		failed   int
		few, fit bool
	}{{0, true, false}, {1, true, false}, {2, true, false}, {3, false, true}} {
		s := &Survival{Part: "seal", Failed: c.failed}
		for i := range 6 {
			o := life.Running(float64(1000 + 100*i))
			if i < c.failed {
				o = life.Failed(float64(1000 + 100*i))
			}
			s.Rows = append(s.Rows, o)
		}
		s.Fitting()
		if (s.Few != nil) != c.few || (s.Fit != nil) != c.fit || c.few && s.Unfitted.IsZero() {
			t.Errorf("%d failures: %+v", c.failed, s)
		}
	}
	s := &Survival{Part: "seal"}
	if s.Fitting(); s.Unfitted.IsZero() {
		t.Error("no rows, and nothing is said")
	}
}

func BenchmarkForecasts(b *testing.B) {
	f, err := fleet.Simulate(fleet.Options{Jobs: 1000, Seed: 4})
	if err != nil {
		b.Fatal(err)
	}
	machines := ByMachine(f.Summaries(), f.Pumps(), f.Options())
	b.Run("family", func(b *testing.B) {
		for b.Loop() {
			NewFamily(machines)
		}
	})
	family := NewFamily(machines)
	b.Run("due list", func(b *testing.B) {
		for b.Loop() {
			DueList(machines, family, true)
		}
	})
}
