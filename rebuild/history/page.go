package history

import (
	"math"
	"slices"
	"sort"

	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Count is one word with how often it stands.
type Count struct {
	Word   string
	N      int
	Infant int // of them after a failure within weeks of a rebuild
	Costs  Costs
}

// PartCount is what became of one part in a fleet.
type PartCount struct {
	Part                      string
	Failed, Infant            int // worn or damaged; of rebuilds that came back within weeks
	Renewed, Running          int
	Hours                     float64 // in all
	FailuresPer10000Hours     float64
	FailuresLow, FailuresHigh float64 // 90 % bounds, Poisson
}

// Actor is one machine, or one place, among the worst.
type Actor struct {
	Serial, Tag, Site, Owner string
	Model, Liquid            string
	Jobs, Infants            int
	Years                    float64 // followed
	JobsAYear                float64
	SurelyAYear              float64 // lower 90 % bound of it, Poisson; the order of the worst
	Costs                    Costs
	CostAYear                Costs
}

// Survival is the life of one part in a fleet.
type Survival struct {
	Part     string
	Rows     []life.Observation
	Failed   int
	Running  int // or taken out for another reason
	Infant   int // failures of rebuilds, counted as running here
	Steps    []life.Step
	Fit      *life.Fitted
	B10      life.Bounds // of the age by which a tenth has worn out
	Shape    life.Bounds
	B10At    float64
	ByRatio  bool              // bounds by likelihood ratio; else by the standard error
	Few      *life.WeibayesFit // where too few failed for a shape, with FewShape assumed
	Unfitted say.Message
}

// FewShape is the shape taken for wear where too few parts failed to tell it.
// [common practice, no source]
const FewShape = 2

// LeastFailures is how many failures a fit of its own needs. A setting of our
// own; with fewer, bounds are so wide that they mislead.
const LeastFailures = 3

// RatioRows is up to how many rows bounds come from the likelihood ratio, which
// looks at all rows many times; with more, both kinds of bounds agree.
const RatioRows = 20000

// Page is the answer to one filter.
type Page struct {
	Filter   Filter
	Machines int
	Jobs     int
	Infants  int
	Hours    float64 // run by the machines chosen
	Costs    Costs
	Causes   []Count
	Liquids  []Count
	Sites    []Count
	Models   []Count
	Parts    []PartCount
	Worst    []Actor // by the jobs a year that are sure, so that one job in a short time does not lead
	Dearest  []Actor // by cost a year in the currency used most
	Survival *Survival
	Remarks  []say.Message
}

// LongList is how many actors a page names.
const LongList = 20

var (
	msgUnhoured   = say.Define("history.unhoured", "{n:count|life|lives} of parts could not be counted: no running hours are known, or none passed")
	msgNeverIn    = say.Define("history.never_in", "{n:count|machine|machines} put to work as new never came in and are not counted: parts last somewhat longer than is shown")
	msgFewFailed  = say.Define("history.few_failed", "{n:count|failure|failures} of {part} tell no shape; a shape of {shape:number} is assumed (rule of thumb for wear)")
	msgNoneLives  = say.Define("history.no_lives", "no part {part} was followed from new")
	msgNotFitted  = say.Define("history.not_fitted", "no life could be fitted: {reason}")
	msgInfantsOut = say.Define("history.infants_out", "{n:count|failure|failures} within weeks of a rebuild count against the rebuild, not as wear")
)

// Page answers a filter. Without a part, the lives of the part that failed
// most often are shown.
func (f *Fleet) Page(q Filter) *Page {
	p := &Page{Filter: q}
	k := f.match(q)
	f.countJobs(p, &k)
	f.countParts(p, &k)
	if p.Filter.Part == "" && len(p.Parts) > 0 {
		p.Filter.Part = p.Parts[0].Part
		k = f.match(p.Filter)
	}
	if p.Filter.Part != "" {
		p.Survival = f.survival(&k, p)
	}
	if f.NeverIn > 0 {
		p.Remarks = append(p.Remarks, msgNeverIn.With(f.NeverIn))
	}
	if f.Unhoured > 0 {
		p.Remarks = append(p.Remarks, msgUnhoured.With(f.Unhoured))
	}
	return p
}

// tally counts by one kind of word.
type tally struct {
	n, infant []int
	cost      []int64 // by word and currency
}

func (f *Fleet) countJobs(p *Page, k *matcher) {
	words, currencies := len(f.names.list), f.currencies()
	var by [4]tally // cause, liquid, site, model
	for i := range by {
		by[i] = tally{make([]int, words), make([]int, words), make([]int64, words*len(currencies))}
	}
	slot := make([]int, words) // of a currency
	for i, c := range currencies {
		slot[c] = i
	}
	actors := make([]actor, 0, len(f.machines))
	total := make([]int64, len(currencies))
	for i := range f.machines {
		m := &f.machines[i]
		a := actor{machine: i, last: -1, costs: make([]int64, len(currencies))}
		for j := m.from; j < m.to; j++ {
			fact := &f.facts[j]
			if !k.job(fact) {
				continue
			}
			a.jobs++
			a.last = j
			c := slot[fact.currency]
			a.costs[c] += fact.cost
			total[c] += fact.cost
			for n, word := range [4]int32{fact.cause, fact.liquid, fact.site, fact.model} {
				by[n].n[word]++
				by[n].cost[int(word)*len(currencies)+c] += fact.cost
				if fact.infant {
					by[n].infant[word]++
				}
			}
			if fact.infant {
				a.infants++
			}
		}
		if a.last < 0 {
			continue
		}
		p.Machines++
		p.Jobs += a.jobs
		p.Infants += a.infants
		p.Hours += m.hours
		a.years = hoursBetween(m.first, max(m.last, f.o.AsOf)) / yearHours
		actors = append(actors, a)
	}
	money := func(parts []int64) Costs {
		costs := Costs{}
		for i, c := range currencies {
			costs.Add(quantity.Money{Parts: parts[i], Currency: f.names.list[c]})
		}
		return costs
	}
	p.Costs = money(total)
	for n, into := range []*[]Count{&p.Causes, &p.Liquids, &p.Sites, &p.Models} {
		for word, count := range by[n].n {
			if count > 0 {
				*into = append(*into, Count{f.names.list[word], count, by[n].infant[word], money(by[n].cost[word*len(currencies) : (word+1)*len(currencies)])})
			}
		}
		list := *into
		sort.Slice(list, func(a, b int) bool {
			if list[a].N != list[b].N {
				return list[a].N > list[b].N
			}
			return list[a].Word < list[b].Word
		})
	}
	f.worst(p, actors, total, money)
}

// Systems lists the machines that a filter chooses as machines that are
// repaired: the ages, in hours of the calendar since each was first seen, at
// which its jobs came in after the first. life.FitPowerLaw says of them whether
// rebuilds come ever sooner, life.MeanCumulative how many a machine has had.
func (f *Fleet) Systems(q Filter) []life.System {
	k := f.match(q)
	ages := make([]float64, 0, len(f.jobs)) // of all machines, one after the other
	var systems []life.System
	for i := range f.machines {
		m := &f.machines[i]
		first, chosen := len(ages), false
		for j := m.from; j < m.to; j++ {
			if !k.job(&f.facts[j]) {
				continue
			}
			chosen = true
			if age := hoursBetween(m.first, f.facts[j].opened); age > 0 {
				ages = append(ages, age)
			}
		}
		if end := hoursBetween(m.first, max(m.last, f.o.AsOf)); chosen && end > 0 {
			systems = append(systems, life.System{Events: ages[first:len(ages):len(ages)], End: end})
		}
	}
	return systems
}

// currencies are the words that stand for a currency in any job.
func (f *Fleet) currencies() []int32 {
	var list []int32
	for i := range f.facts {
		c := f.facts[i].currency
		if !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	return list
}

// actor is a machine on its way into a list of the worst.
type actor struct {
	machine, last, jobs, infants int
	years                        float64
	costs                        []int64
}

// leastYears keeps a machine followed for a week from being called the worst.
const leastYears = 0.5

func (f *Fleet) worst(p *Page, actors []actor, total []int64, money func([]int64) Costs) {
	main := 0
	for c := range total {
		if total[c] > total[main] {
			main = c
		}
	}
	low := []float64{} // lower bound of a count, by count
	sure := func(n int) float64 {
		for len(low) <= n {
			bound, _ := poissonBounds(len(low), boundsConfidence)
			low = append(low, bound)
		}
		return low[n]
	}
	pick := func(measure func(a *actor) float64) []Actor {
		values := make([]float64, len(actors))
		best := make([]int, 0, LongList+1)
		for i := range actors { // keep the few largest, in order
			values[i] = measure(&actors[i]) / math.Max(actors[i].years, leastYears)
			at := len(best)
			for at > 0 && values[i] > values[best[at-1]] {
				at--
			}
			if best = slices.Insert(best, at, i); len(best) > LongList {
				best = best[:LongList]
			}
		}
		list := make([]Actor, len(best))
		for n, i := range best {
			a := &actors[i]
			s := f.jobs[a.last]
			years := math.Max(a.years, leastYears)
			list[n] = Actor{Serial: s.Serial, Tag: s.Tag, Site: s.Site, Owner: s.Owner, Model: s.Model, Liquid: s.Liquid,
				Jobs: a.jobs, Infants: a.infants, Years: a.years, JobsAYear: float64(a.jobs) / years, SurelyAYear: sure(a.jobs) / years, Costs: money(a.costs), CostAYear: Costs{}}
			for _, m := range list[n].Costs {
				list[n].CostAYear.Add(m.Times(1 / years))
			}
		}
		return list
	}
	p.Worst = pick(func(a *actor) float64 { return sure(a.jobs) })
	if len(total) > 0 && total[main] > 0 {
		p.Dearest = pick(func(a *actor) float64 { return float64(a.costs[main]) / float64(max(a.jobs, 1)) * sure(a.jobs) })
	}
}

func (f *Fleet) countParts(p *Page, k *matcher) {
	any := *k
	any.part = -1
	counts := make([]PartCount, len(f.names.list))
	for i := range f.lives {
		l := &f.lives[i]
		if !any.life(f, l) {
			continue
		}
		c := &counts[l.part]
		c.Hours += l.hours
		switch {
		case k.worn(f, l):
			c.Failed++
		case l.fate == lifeFailed && l.infant:
			c.Infant++
		case l.fate == lifeRenewed:
			c.Renewed++
		default:
			c.Running++
		}
	}
	for i := range counts {
		c := &counts[i]
		if c.Hours == 0 {
			continue
		}
		c.Part = f.names.list[i]
		const per = 10000
		c.FailuresPer10000Hours = per * float64(c.Failed) / c.Hours
		low, high := poissonBounds(c.Failed, 0.90)
		c.FailuresLow, c.FailuresHigh = per*low/c.Hours, per*high/c.Hours
		p.Parts = append(p.Parts, *c)
	}
	sort.Slice(p.Parts, func(a, b int) bool {
		if p.Parts[a].Failed != p.Parts[b].Failed {
			return p.Parts[a].Failed > p.Parts[b].Failed
		}
		return p.Parts[a].Part < p.Parts[b].Part
	})
}

func (f *Fleet) survival(k *matcher, p *Page) *Survival {
	s := &Survival{Part: k.Part, Rows: make([]life.Observation, 0, p.lives(k.Part))}
	for i := range f.lives {
		l := &f.lives[i]
		if !k.life(f, l) {
			continue
		}
		switch {
		case k.worn(f, l):
			s.Failed++
			s.Rows = append(s.Rows, life.Failed(l.hours))
			continue
		case l.fate == lifeFailed && l.infant:
			s.Infant++
		default:
			s.Running++
		}
		s.Rows = append(s.Rows, life.Running(l.hours))
	}
	if s.Infant > 0 {
		p.Remarks = append(p.Remarks, msgInfantsOut.With(s.Infant))
	}
	s.Fitting()
	return s
}

// lives is how many lives of a part were counted.
func (p *Page) lives(part string) int {
	for _, c := range p.Parts {
		if c.Part == part {
			return c.Failed + c.Infant + c.Renewed + c.Running
		}
	}
	return 0
}

// Fitting fits the rows: the curve without a distribution, and a Weibull life
// with bounds, or with an assumed shape where too few failed.
func (s *Survival) Fitting() {
	if len(s.Rows) == 0 {
		s.Unfitted = msgNoneLives.With(PartWords(s.Part))
		return
	}
	steps, err := life.KaplanMeier(gathered(s.Rows), boundsConfidence)
	if err == nil {
		s.Steps = steps
	}
	if s.Failed < LeastFailures {
		if few, err := life.Weibayes(s.Rows, FewShape); err == nil {
			s.Few = few
		}
		s.Unfitted = msgFewFailed.With(s.Failed, PartWords(s.Part), FewShape*1.0)
		return
	}
	fit, err := life.Fit(s.Rows, life.Weibull)
	if err != nil {
		s.Unfitted = msgNotFitted.With(err)
		return
	}
	s.Fit, s.B10At = fit, fit.Model().AgeAt(0.1)
	bounds := fit.Ratio
	if s.ByRatio = len(s.Rows) <= RatioRows; !s.ByRatio {
		bounds = fit.Fisher
	}
	if b, err := bounds(life.TheAge(0.1), boundsConfidence); err == nil {
		s.B10 = b
	}
	if b, err := bounds(life.TheShape(), boundsConfidence); err == nil {
		s.Shape = b
	}
}

// gathered puts the rows of a large fleet into steps of a two-thousandth of the
// highest age, for the curve without a distribution: finer than a page shows.
func gathered(rows []life.Observation) []life.Observation {
	const most, steps = 4000, 2000
	if len(rows) <= most {
		return rows
	}
	top := 0.0
	for i := range rows {
		top = math.Max(top, rows[i].Low)
	}
	var counts [2][steps + 1]float64
	for i := range rows {
		kind := 0
		if rows[i].High == rows[i].Low {
			kind = 1
		}
		counts[kind][int(math.Ceil(rows[i].Low/top*steps))]++
	}
	var list []life.Observation
	for step := range steps + 1 {
		age := float64(max(step, 1)) / steps * top
		for kind, o := range [2]life.Observation{life.Running(age), life.Failed(age)} {
			if o.Count = counts[kind][step]; o.Count > 0 {
				list = append(list, o)
			}
		}
	}
	return list
}

// boundsConfidence is the confidence of bounds of lives. A setting of our own,
// shown as such.
const boundsConfidence = 0.90

// Compare compares the life of a part between the words of one kind, such as
// liquids, without a distribution. Words with no failure and no hours are left
// out.
func (f *Fleet) Compare(q Filter, words []string, with func(*Filter, string)) ([]*Survival, *life.Comparison, error) {
	var list []*Survival
	var groups [][]life.Observation
	for _, w := range words {
		one := q
		with(&one, w)
		k := f.match(one)
		s := f.survival(&k, &Page{})
		if len(s.Rows) == 0 {
			continue
		}
		list = append(list, s)
		groups = append(groups, s.Rows)
	}
	c, err := life.LogRank(groups)
	return list, c, err
}
