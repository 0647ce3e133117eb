package fleet

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"pumpwright/calc/life"
	"pumpwright/rebuild/assess/due"
	"pumpwright/rebuild/history"
)

// bin counts how often bounds held the truth, by how much stood behind them.
type bin struct {
	from, to  int // failures, or worn parts
	held, all int
	none      int // no bounds were named
}

type bins []bin

func newBins(edges ...int) bins {
	var list bins
	for i, from := range edges {
		to := 1 << 30
		if i+1 < len(edges) {
			to = edges[i+1] - 1
		}
		list = append(list, bin{from: from, to: to})
	}
	return list
}

func (b bins) add(n int, held, named bool) {
	for i := range b {
		if n >= b[i].from && n <= b[i].to {
			switch {
			case !named:
				b[i].none++
			case held:
				b[i].held++
				b[i].all++
			default:
				b[i].all++
			}
		}
	}
}

func (b bins) String() string {
	var s strings.Builder
	for _, c := range b {
		span := fmt.Sprintf("%d to %d", c.from, c.to)
		if c.to == 1<<30 {
			span = fmt.Sprintf("%d or more", c.from)
		}
		share := "–"
		if c.all > 0 {
			share = fmt.Sprintf("%.1f %%", 100*float64(c.held)/float64(c.all))
		}
		fmt.Fprintf(&s, "| %s | %d | %s | %d |\n", span, c.all, share, c.none)
	}
	return s.String()
}

// holds reports whether bounds hold a value; one-sided bounds hold what lies
// on their side.
func holds(b life.Bounds, v float64) bool {
	return (b.Low == nil || *b.Low <= v) && (b.High == nil || v <= *b.High)
}

// The stated 90 % bounds hold the truth that made the data about 90 times in
// 100: bounds of a seal's shape and of the age by which a tenth has worn out,
// by likelihood ratio; bounds of the hours at which a bushing reaches its
// limit, for one just fitted and for one that was read since. At 20 failures
// (or worn parts) or more they must lie between 87 and 93 %; with fewer they
// are printed, see docs/coverage.md.
func TestCoverage(t *testing.T) {
	if raceEnabled {
		t.Skip("too slow under the race detector")
	}
	fleets := 1000
	if testing.Short() {
		fleets = 150
	}
	shape, tenth := newBins(3, 5, 10, 20), newBins(3, 5, 10, 20)
	fresh, read := newBins(3, 5, 10, 20), newBins(3, 5, 10, 20)
	laws := DefaultLaws()
	laws.Services = laws.Services[:1]
	law := laws.Services[0].Seal
	for i := 0; shape[3].all < fleets || fresh[3].all < fleets; i++ {
		if i > 4*fleets {
			t.Fatalf("after %d fleets only %d have 20 failures, %d have 20 worn parts", i, shape[3].all, fresh[3].all)
		}
		r := rand.New(rand.NewPCG(77, uint64(i)))
		jobs := 60 + r.IntN(120)
		if r.IntN(3) == 0 {
			jobs = 6 + r.IntN(40)
		}
		f, err := Simulate(Options{Jobs: jobs, Seed: uint64(i), Laws: &laws})
		if err != nil {
			t.Fatal(err)
		}
		s := sealLife(f)
		if s.Fit != nil && s.ByRatio {
			n := s.Failed
			shape.add(n, holds(s.Shape, law.Shape), s.Shape != (life.Bounds{}))
			tenth.add(n, holds(s.B10, law.AgeAt(0.1)), s.B10 != (life.Bounds{}))
		}
		forecastOf(t, f, r, fresh, read)
	}
	t.Logf("shape of the seals' life\n%s", shape)
	t.Logf("age by which a tenth has worn out\n%s", tenth)
	t.Logf("hours of a bushing just fitted\n%s", fresh)
	t.Logf("hours of a bushing read since\n%s", read)
	low, high := 0.87, 0.93
	if testing.Short() { // fewer fleets scatter more: 150 fleets ± 0.024
		low, high = 0.82, 0.97
	}
	for name, b := range map[string]bins{"shape": shape, "a tenth": tenth, "fresh bushing": fresh, "read bushing": read} {
		c := b[len(b)-1]
		if share := float64(c.held) / float64(c.all); share < low || share > high {
			t.Errorf("%s: bounds stated as 90 %% held the truth in %.1f %% of %d fleets", name, 100*share, c.all)
		}
	}
}

// sealLife is the life of the seals of the fleet as the fleet page computes it.
func sealLife(f *Fleet) *history.Survival {
	page := history.NewFleet(f.Summaries(), f.Pumps(), f.Options()).Page(history.Filter{Part: SealPart})
	return page.Survival
}

// forecastOf asks, as of the day a machine went out, when its bushing will be
// due: once of one just fitted, once of one that stayed in.
func forecastOf(t *testing.T, f *Fleet, r *rand.Rand, fresh, read bins) {
	t.Helper()
	type place struct{ machine, job int }
	var choices [2][]place
	for i := range f.Machines {
		if f.Machines[i].Model != 0 {
			continue
		}
		for k := range f.Machines[i].Jobs {
			j := &f.Machines[i].Jobs[k]
			switch {
			case j.Closed == 0 || j.Infant:
			case j.Idler.Replaced:
				choices[0] = append(choices[0], place{i, k})
			default:
				choices[1] = append(choices[1], place{i, k})
			}
		}
	}
	for kind, into := range []bins{fresh, read} {
		if len(choices[kind]) == 0 {
			continue
		}
		at := choices[kind][r.IntN(len(choices[kind]))]
		m := f.Machines[at.machine] // as it was on that day: what came later is not known
		j := m.Jobs[at.job]
		m.Jobs = m.Jobs[:at.job+1]
		then := *f
		then.AsOf = j.Closed
		then.Machines = append([]Machine(nil), f.Machines...)
		then.Machines[at.machine] = m
		machines := history.ByMachine(f.Summaries(), f.Pumps(), f.Options())
		var others []*history.Machine
		for _, o := range machines {
			if o.Serial != m.Serial {
				others = append(others, o)
			}
		}
		var jobs []history.Summary
		for _, s := range then.Summaries() {
			if s.Serial == m.Serial {
				jobs = append(jobs, s)
			}
		}
		machine := history.NewMachine(m.Serial, jobs, f.Pumps()[m.Serial], history.Options{AsOf: j.Closed})
		list, problems := machine.Forecasts(history.NewFamily(others))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		for _, e := range list {
			if e.Track.Feature != WearFeature || e.Forecast.Basis == due.OnePart || e.Forecast.Basis == due.NotKnown {
				continue
			}
			truth := (f.models[m.Model].idler.limit - j.Idler.Next.New) / j.Idler.Next.Rate
			h := e.Forecast.Hours
			into.add(e.Forecast.Parts, holds(life.Bounds{Low: h.Low, High: h.High}, truth), h.Low != nil || h.High != nil)
		}
	}
}
