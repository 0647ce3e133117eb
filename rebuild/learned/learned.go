package learned

import (
	"math"
	"slices"
	"sort"

	"pumpwright/calc/life"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/ledger"
)

// Learned is what finished jobs have taught.
type Learned struct {
	Jobs        int           // finished jobs looked at
	Compression []Compression // all lots together first, then by material and lot
	Slip        []Slip        // by model sheet
	Drag        []Slip
	Labour      []Labour // by stage, all models together first
	Causes      []Cause  // the most often confirmed first
}

// Compression is how much more gaskets give way than their sheet says, as a
// fraction of their thickness.
type Compression struct {
	Material string // "" = all
	Lot      string // batch written when they were fitted; "" = all
	Extra, U float64
	Spread   float64 // standard deviation between jobs
	Jobs     int
}

// Slip is the factor by which pumps of one model slip (or drag) more than the
// model of leak paths says, as benches have shown.
type Slip struct {
	Model  string
	Factor float64 // median over pumps
	U      float64 // standard uncertainty of its logarithm
	Spread float64 // standard deviation of the logarithm between pumps
	Next   float64 // standard uncertainty of the logarithm for the next pump
	Jobs   int
}

// Labour is the time that a stage took.
type Labour struct {
	Model         string // "" = all
	Stage         string
	Median        float64 // hours
	Lower, Upper  float64 // quartiles
	StandardHours float64 // of the sheet; 0 = none, or several models
	Jobs          int
}

// Cause is a cause that was confirmed.
type Cause struct {
	Cause string
	Jobs  int
	Times []int // of them, how many had run for how long, by ledger.TimeBands; nil where no time is known
}

// Lesson is what one finished job teaches.
type Lesson struct {
	Job         string
	Model       string
	Materials   []string // of the gaskets in its trials that give way
	Lot         string
	Compression *life.Rate // extra compression: value and standard uncertainty, no prior in it
	Slip, Drag  *life.Rate // logarithm of the factor
	Labour      map[string]float64
	Standard    map[string]float64
	Cause       string   // confirmed; "" = none
	Hours       *float64 `json:",omitempty"` // in service since the rebuild before; nil when not known
}

// Of returns what a job teaches. A job that is not closed teaches nothing yet.
func Of(a *assess.Assessment) (Lesson, bool) {
	st := a.Inputs.Job
	if st.Closed == nil || a.Inputs.Sheet == nil {
		return Lesson{}, false
	}
	l := Lesson{Model: a.Inputs.Sheet.Name, Labour: history.Labour(st), Standard: a.Inputs.Sheet.Labour}
	if st.Open != nil {
		l.Job = st.Open.Body.Job
	}
	for i := len(st.Causes) - 1; i >= 0 && l.Cause == ""; i-- {
		if c := st.Causes[i].Body; c.Confirmed {
			l.Cause = c.Cause
		}
	}
	if l.Hours = a.Inputs.Shop.MachineHours(); l.Hours == nil && st.Open != nil {
		l.Hours = st.Open.Body.Hours
	}
	l.compression(a)
	l.slip(a)
	return l, true
}

// From puts lessons together, all but those of the jobs named: a job does not
// learn from itself. The order of jobs does not matter.
func From(lessons []Lesson, but ...string) *Learned {
	sorted := make([]Lesson, 0, len(lessons))
	for i := range lessons {
		if !slices.Contains(but, lessons[i].Job) {
			sorted = append(sorted, lessons[i])
		}
	}
	sort.SliceStable(sorted, func(a, b int) bool { return sorted[a].Job < sorted[b].Job })
	l := &Learned{Jobs: len(sorted)}
	l.compressions(sorted)
	l.Slip = factors(sorted, func(s *Lesson) *life.Rate { return s.Slip })
	l.Drag = factors(sorted, func(s *Lesson) *life.Rate { return s.Drag })
	l.labour(sorted)
	counts, times := map[string]int{}, ledger.TimesOf{}
	for i := range sorted {
		c := sorted[i].Cause
		if c == "" {
			continue
		}
		counts[c]++
		if h := sorted[i].Hours; h != nil && *h >= 0 {
			if times[c] == nil {
				times[c] = make([]int, len(ledger.TimeBands)+1)
			}
			times[c][ledger.TimeBand(*h)]++
		}
	}
	for c, n := range counts {
		l.Causes = append(l.Causes, Cause{c, n, times[c]})
	}
	sort.Slice(l.Causes, func(a, b int) bool {
		if l.Causes[a].Jobs != l.Causes[b].Jobs {
			return l.Causes[a].Jobs > l.Causes[b].Jobs
		}
		return l.Causes[a].Cause < l.Causes[b].Cause
	})
	return l
}

// Into returns the shop with what was learned. What nothing was learned about
// stays as it is.
func (l *Learned) Into(shop ledger.Shop) ledger.Shop {
	if len(l.Compression) > 0 {
		c := l.Compression[0]
		shop.Compression = &ledger.Compression{Extra: c.Extra, U: c.U, Jobs: c.Jobs}
	}
	if len(l.Causes) > 0 {
		shop.Causes = map[string]int{}
		for _, c := range l.Causes {
			shop.Causes[c.Cause] = c.Jobs
			if c.Times != nil {
				if shop.CauseTimes == nil {
					shop.CauseTimes = ledger.TimesOf{}
				}
				shop.CauseTimes[c.Cause] = c.Times
			}
		}
	}
	if len(l.Slip)+len(l.Drag) > 0 {
		shop.Factors = nil
		for _, s := range l.Slip {
			shop.Factors = append(shop.Factors, ledger.LearnedFactor{Sheet: s.Model, Factor: "slip", Value: s.Factor, U: s.Next, Jobs: s.Jobs})
		}
		for _, s := range l.Drag {
			shop.Factors = append(shop.Factors, ledger.LearnedFactor{Sheet: s.Model, Factor: "drag", Value: s.Factor, U: s.Next, Jobs: s.Jobs})
		}
	}
	if len(l.Labour) > 0 {
		shop.Medians = nil
		for _, s := range l.Labour {
			shop.Medians = append(shop.Medians, ledger.LearnedHours{Sheet: s.Model, Stage: s.Stage, Hours: s.Median, Jobs: s.Jobs})
		}
	}
	return shop
}

// Taught returns what was learned as an assessment takes it (Inputs.Taught).
func (l *Learned) Taught() *ledger.Taught {
	s := l.Into(ledger.Shop{})
	return ledger.NewTaught(ledger.Taught{Compression: s.Compression, Causes: s.Causes, CauseTimes: s.CauseTimes, Factors: s.Factors, Medians: s.Medians})
}

// together puts values of several jobs together: their mean, its uncertainty,
// their spread, and the uncertainty for the next one.
//
// One value stands alone; two or more are pooled by life.Pool (normal-normal
// hierarchical model, restricted maximum likelihood).
func together(values []life.Rate) (mean, u, spread, next float64) {
	if p, err := life.Pool(values); err == nil {
		return p.Mean, p.MeanU, p.Between, p.Next.U
	}
	return values[0].Slope, values[0].U, 0, values[0].U
}

// factors pools logarithms of factors by model.
func factors(lessons []Lesson, of func(*Lesson) *life.Rate) []Slip {
	byModel := map[string][]life.Rate{}
	for i := range lessons {
		if r := of(&lessons[i]); r != nil {
			byModel[lessons[i].Model] = append(byModel[lessons[i].Model], *r)
		}
	}
	var list []Slip
	for model, rates := range byModel {
		mean, u, spread, next := together(rates)
		list = append(list, Slip{Model: model, Factor: math.Exp(mean), U: u, Spread: spread, Next: next, Jobs: len(rates)})
	}
	sort.Slice(list, func(a, b int) bool { return list[a].Model < list[b].Model })
	return list
}

func (l *Learned) labour(lessons []Lesson) {
	type key struct{ model, stage string }
	hours := map[key][]float64{}
	standard := map[key]float64{}
	for i := range lessons {
		s := &lessons[i]
		for stage, h := range s.Labour {
			for _, k := range []key{{"", stage}, {s.Model, stage}} {
				hours[k] = append(hours[k], h)
			}
			standard[key{s.Model, stage}] = s.Standard[stage]
		}
	}
	for k, list := range hours {
		sort.Float64s(list)
		l.Labour = append(l.Labour, Labour{Model: k.model, Stage: k.stage, Median: quantile(list, 0.5), Lower: quantile(list, 0.25), Upper: quantile(list, 0.75),
			StandardHours: standard[k], Jobs: len(list)})
	}
	sort.Slice(l.Labour, func(a, b int) bool {
		if l.Labour[a].Model != l.Labour[b].Model {
			return l.Labour[a].Model < l.Labour[b].Model
		}
		return l.Labour[a].Stage < l.Labour[b].Stage
	})
}

// quantile of a sorted list, linear between ranks: position 1 + p·(n − 1).
// Source: Hyndman & Fan, The American Statistician 50, 1996, definition 7.
func quantile(sorted []float64, p float64) float64 {
	at := p * float64(len(sorted)-1)
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}
