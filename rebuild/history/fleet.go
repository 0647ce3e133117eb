package history

import (
	"sort"

	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/rebuild/record"
)

// Filter chooses jobs, machines and parts of a fleet. Empty fields choose all.
type Filter struct {
	Model, Liquid, Site, Owner, Tag, Serial, Cause string
	Part                                           string // whose lives are fitted
	From, To                                       record.Time
}

// PartLife is how long one part ran, from when it was fitted as new.
type PartLife struct {
	Serial, Job  string // job that ended it, "" while it runs
	Model        string
	Liquid, Site string
	Owner, Tag   string
	Part         string
	Hours        float64
	Fate         Fate // Failed, Renewed; Kept: it still runs
	Infant       bool // failed within weeks of its rebuild
	Cause        string
	Confirmed    bool
	Ended        record.Time // 0 while it runs
}

// Observation is the life as the wear-out life counts it: an infant failure,
// or a part renewed for another reason, is a part that had not worn out yet.
func (p *PartLife) Observation() life.Observation {
	if p.Fate == Failed && !p.Infant {
		return life.Failed(p.Hours)
	}
	return life.Running(p.Hours)
}

// Fleet is many machines, ready to be asked.
type Fleet struct {
	o        Options
	machines []fleetMachine
	jobs     []*Summary // in the order of the machines
	facts    []fleetJob // of the jobs, in the same order
	lives    []fleetLife
	names    names
	Unhoured int // lives left out because no hours are known
	NeverIn  int // machines put to work that never came in: what they run in is not known
}

// fleetMachine is a machine with its jobs, jobs[from:to].
type fleetMachine struct {
	serial   string
	from, to int
	hours    float64
	first    record.Time
	last     record.Time
}

// fleetLife is a PartLife with its words as numbers.
type fleetLife struct {
	machine, job int32 // job −1: runs
	origin       int32 // job whose service it ran in
	part, cause  int32
	hours        float64
	fate         uint8
	infant       bool
}

const (
	lifeKept uint8 = iota
	lifeFailed
	lifeRenewed
)

// fleetJob is what a filter and a count look at of a job, words as numbers.
type fleetJob struct {
	model, liquid, site, owner, tag, serial, cause, currency int32
	infant                                                   bool
	opened                                                   record.Time
	cost                                                     int64 // parts of money
}

// names gives words numbers.
type names struct {
	of   map[string]int32
	list []string
}

func (n *names) number(word string) int32 {
	if i, ok := n.of[word]; ok {
		return i
	}
	i := int32(len(n.list))
	n.of[word] = i
	n.list = append(n.list, word)
	return i
}

// lookup returns the number of a word, −1 for the empty word, −2 for one that
// nobody used.
func (n *names) lookup(word string) int32 {
	if word == "" {
		return -1
	}
	if i, ok := n.of[word]; ok {
		return i
	}
	return -2
}

// NewFleet puts summaries of jobs together. pumps holds what is known of
// machines by serial, and may be nil. Jobs without a serial belong to no
// machine; they count in none of it. The summaries are kept, not copied.
func NewFleet(jobs []Summary, pumps map[string]*Pump, o Options) *Fleet {
	f := &Fleet{o: o, names: names{of: make(map[string]int32, 64)}}
	f.jobs = make([]*Summary, 0, len(jobs))
	for i := range jobs {
		if jobs[i].Serial != "" {
			f.jobs = append(f.jobs, &jobs[i])
		}
	}
	sortJobs(f.jobs)
	f.lives = make([]fleetLife, 0, 6*len(f.jobs))
	f.facts = make([]fleetJob, len(f.jobs))
	var w fleetWriter
	for from := 0; from < len(f.jobs); {
		to := from + 1
		for to < len(f.jobs) && f.jobs[to].Serial == f.jobs[from].Serial {
			to++
		}
		w.machine(f, from, to, pumps[f.jobs[from].Serial])
		from = to
	}
	for serial, p := range pumps {
		if p.NewAt != 0 && f.names.lookup(serial) < 0 {
			f.NeverIn++
		}
	}
	return f
}

// sortJobs sorts by machine and time; what comes sorted stays untouched.
func sortJobs(jobs []*Summary) {
	less := func(a, b *Summary) int {
		switch {
		case a.Serial != b.Serial:
			if a.Serial < b.Serial {
				return -1
			}
			return 1
		case a.Opened != b.Opened:
			if a.Opened < b.Opened {
				return -1
			}
			return 1
		case a.Job < b.Job:
			return -1
		case a.Job > b.Job:
			return 1
		}
		return 0
	}
	for i := 1; i < len(jobs); i++ {
		if less(jobs[i-1], jobs[i]) > 0 {
			sort.SliceStable(jobs, func(a, b int) bool { return less(jobs[a], jobs[b]) < 0 })
			return
		}
	}
}

// fleetWriter follows the parts of one machine; it is used again for the next.
type fleetWriter struct {
	part  []int32
	hours []float64
	known []bool // the part was new when the hours began
	since []int32
}

func (w *fleetWriter) find(part int32) int {
	for i, p := range w.part {
		if p == part {
			return i
		}
	}
	w.part, w.hours, w.known, w.since = append(w.part, part), append(w.hours, 0), append(w.known, false), append(w.since, -1)
	return len(w.part) - 1
}

// machine follows jobs[from:to] of one machine.
func (w *fleetWriter) machine(f *Fleet, from, to int, pump *Pump) {
	w.part, w.hours, w.known, w.since = w.part[:0], w.hours[:0], w.known[:0], w.since[:0]
	number := int32(len(f.machines))
	m := fleetMachine{serial: f.jobs[from].Serial, from: from, to: to, first: f.jobs[from].Opened}
	var meter *Meter
	newAt := record.Time(0)
	if pump != nil {
		meter, newAt = &pump.Meter, pump.NewAt
	}
	unknown := false // hours of a run are not known: ages that hold it neither
	last := to - 1
	serial := f.names.number(m.serial)
	for i := from; i < to; i++ {
		s := f.jobs[i]
		infant := false
		switch {
		case i > from:
			prev := f.jobs[i-1]
			start := prev.Closed
			if start == 0 || start > s.Opened {
				start = s.Opened
			}
			run, basis := meter.Between(start, s.Opened, prev.HoursAYear)
			unknown = basis == NoHours
			infant = prev.Closed != 0 && prev.Closed <= s.Opened && hoursBetween(start, s.Opened) <= float64(f.o.infantDays())*dayHours
			w.run(run, unknown)
			m.hours += run
		case newAt != 0 && newAt <= s.Opened:
			run, basis := meter.Between(newAt, s.Opened, s.HoursAYear)
			m.hours += run
			for _, p := range s.Parts {
				k := w.find(f.names.number(p.Part))
				w.hours[k], w.known[k], w.since[k] = run, basis != NoHours, int32(i)
			}
		}
		word, _ := s.Cause()
		cause := f.names.number(word)
		f.facts[i] = fleetJob{model: f.names.number(s.Model), liquid: f.names.number(s.Liquid), site: f.names.number(s.Site), owner: f.names.number(s.Owner),
			tag: f.names.number(s.Tag), serial: serial, cause: cause, currency: f.names.number(s.Cost.Currency), infant: infant, opened: s.Opened, cost: s.Cost.Parts}
		for _, p := range s.Parts {
			k := w.find(f.names.number(p.Part))
			if p.Fate != Failed && p.Fate != Renewed {
				continue
			}
			if w.known[k] {
				l := fleetLife{machine: number, job: int32(i), origin: w.since[k], part: w.part[k], cause: cause, hours: w.hours[k], fate: lifeRenewed}
				if p.Fate == Failed {
					l.fate, l.infant = lifeFailed, infant
				}
				f.take(l)
			}
			w.hours[k], w.known[k], w.since[k] = 0, true, int32(i)
		}
	}
	m.last = f.jobs[last].Opened
	if end := f.jobs[last].Closed; end != 0 && f.o.AsOf > end {
		run, basis := meter.Between(end, f.o.AsOf, f.jobs[last].HoursAYear)
		w.run(run, basis == NoHours)
		m.hours += run
		m.last = f.o.AsOf
	}
	for k := range w.part {
		if w.known[k] {
			f.take(fleetLife{machine: number, job: -1, origin: w.since[k], part: w.part[k], cause: f.names.number(""), hours: w.hours[k]})
		}
	}
	f.machines = append(f.machines, m)
}

func (w *fleetWriter) run(hours float64, unknown bool) {
	for k := range w.hours {
		w.hours[k] += hours
		w.known[k] = w.known[k] && !unknown
	}
}

// take keeps a life; one of no hours tells nothing.
func (f *Fleet) take(l fleetLife) {
	if !(l.hours > 0) {
		f.Unhoured++
		return
	}
	f.lives = append(f.lives, l)
}

// where is the job whose service a life ran in.
func (f *Fleet) where(l *fleetLife) *Summary { return f.jobs[l.origin] }

// PartLives lists the lives that a filter chooses; Part "" lists all parts.
func (f *Fleet) PartLives(q Filter) []PartLife {
	k := f.match(q)
	var list []PartLife
	for i := range f.lives {
		if l := &f.lives[i]; k.life(f, l) {
			list = append(list, f.partLife(l))
		}
	}
	return list
}

func (f *Fleet) partLife(l *fleetLife) PartLife {
	s := f.where(l)
	p := PartLife{Serial: f.machines[l.machine].serial, Model: s.Model, Liquid: s.Liquid, Site: s.Site, Owner: s.Owner, Tag: s.Tag,
		Part: f.names.list[l.part], Hours: l.hours, Fate: Kept, Infant: l.infant, Cause: f.names.list[l.cause]}
	switch l.fate {
	case lifeFailed:
		p.Fate = Failed
	case lifeRenewed:
		p.Fate = Renewed
	}
	if l.job >= 0 {
		end := f.jobs[l.job]
		p.Job, p.Ended = end.Job, end.Opened
		_, p.Confirmed = end.Cause()
	}
	return p
}

// matcher is a filter with its words as numbers: −1 takes any word, −2 none.
type matcher struct {
	Filter
	model, liquid, site, owner, tag, serial int32
	part, cause                             int32
}

func (f *Fleet) match(q Filter) matcher {
	n := &f.names
	return matcher{q, n.lookup(q.Model), n.lookup(q.Liquid), n.lookup(q.Site), n.lookup(q.Owner), n.lookup(q.Tag), n.lookup(q.Serial), n.lookup(q.Part), n.lookup(q.Cause)}
}

func is(wanted, have int32) bool { return wanted == -1 || wanted == have }

// place looks at where and what; time and cause belong to single jobs.
func (k *matcher) place(j *fleetJob) bool {
	return is(k.model, j.model) && is(k.liquid, j.liquid) && is(k.site, j.site) && is(k.owner, j.owner) && is(k.tag, j.tag) && is(k.serial, j.serial)
}

func (k *matcher) job(j *fleetJob) bool {
	return k.place(j) && is(k.cause, j.cause) && (k.From == 0 || j.opened >= k.From) && (k.To == 0 || j.opened < k.To)
}

// life chooses lives. With a cause, failures of other causes stay in the list
// as parts that had not failed of this one. Lives that ended before From are
// left out; of lives that ended after To no hours are cut, they count as not
// ended.
func (k *matcher) life(f *Fleet, l *fleetLife) bool {
	origin := &f.facts[l.origin]
	if !is(k.part, l.part) || !k.place(origin) {
		return false
	}
	if l.job >= 0 && k.From != 0 && f.facts[l.job].opened < k.From {
		return false
	}
	return k.To == 0 || origin.opened < k.To
}

// worn reports whether a life ended by wear-out, of the cause asked for.
func (k *matcher) worn(f *Fleet, l *fleetLife) bool {
	return l.fate == lifeFailed && !l.infant && is(k.cause, l.cause) && (k.To == 0 || f.facts[l.job].opened < k.To)
}

// Words lists what a fleet can be filtered by, each sorted.
func (f *Fleet) Words() (models, liquids, sites, owners, parts, causes []string) {
	var sets [6]map[string]bool
	for i := range sets {
		sets[i] = map[string]bool{}
	}
	for _, s := range f.jobs {
		cause, _ := s.Cause()
		for i, w := range [4]string{s.Model, s.Liquid, s.Site, s.Owner} {
			sets[i][w] = true
		}
		sets[5][cause] = true
		for _, p := range s.Parts {
			sets[4][p.Part] = true
		}
	}
	var lists [6][]string
	for i, set := range sets {
		delete(set, "")
		for w := range set {
			lists[i] = append(lists[i], w)
		}
		sort.Strings(lists[i])
	}
	return lists[0], lists[1], lists[2], lists[3], lists[4], lists[5]
}

// Size returns how many machines and jobs the fleet holds.
func (f *Fleet) Size() (machines, jobs int) { return len(f.machines), len(f.jobs) }

// Costs adds sums of money by currency.
type Costs map[string]quantity.Money

// Add adds an amount to the sum of its currency.
func (c Costs) Add(m quantity.Money) {
	if m.Parts == 0 {
		return
	}
	sum := c[m.Currency]
	sum.Currency = m.Currency
	sum.Parts += m.Parts
	c[m.Currency] = sum
}
