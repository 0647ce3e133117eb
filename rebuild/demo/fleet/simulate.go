package fleet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"time"

	"pumpwright/calc/life"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// Options say what fleet is made.
type Options struct {
	Jobs  int
	Seed  uint64
	AsOf  time.Time // DefaultAsOf when zero
	Years float64   // how long ago the first pumps were put to work; 14 when 0
	Laws  *Laws     // DefaultLaws when nil
}

// DefaultAsOf is the day up to which the fleet has run.
var DefaultAsOf = time.Date(2026, 6, 30, 0, 0, 0, 0, time.UTC)

// MostJobs is the largest fleet.
const MostJobs = 1_000_000

var (
	msgJobs   = say.Define("fleet.jobs", "the number of jobs lies from 1 to {most:count}")
	msgYears  = say.Define("fleet.years", "the years lie from 1 to 60")
	msgNoLaws = say.Define("fleet.no_services", "the laws name no service, or shares that cannot be")
)

// Fleet is the simulated machines with the truth about them.
type Fleet struct {
	Laws     Laws
	Seed     uint64
	AsOf     record.Time
	Machines []Machine
	models   []model
}

// Machine is one pump.
type Machine struct {
	Serial, Tag, Site, Owner string
	Model                    int // place in the list of model sheets
	Service                  int // place in Laws.Services
	HoursAYear               float64
	NewAt                    record.Time
	Idler, Bracket           Wear // of the machine when new
	Jobs                     []Job
}

// Wear is the truth about one bushing on its journal.
type Wear struct {
	New  float64 // diametral clearance when fitted, m
	Rate float64 // m for each hour
}

// At is the clearance at an age.
func (w Wear) At(hours float64) float64 { return w.New + w.Rate*hours }

// Job is one rebuild.
type Job struct {
	Name           string
	Opened, Closed record.Time // Closed 0: still on the bench
	Hours          float64     // run by the machine up to it
	SealFailed     bool
	Infant         bool
	IdlerAge       float64 // hours of the bushing as found
	BracketAge     float64
	Idler, Bracket Found
	Cause          string
	Confirmed      bool
	Cost           float64
	Labour         [3]float64 // tear-down, reassemble, prove
	variant        uint64     // seed of its small details
}

// Found is what was read of a bushing, and what became of it.
type Found struct {
	Wear     Wear       // of the part that came in
	Read     [2]float64 // bore and journal, most worn place, m
	Replaced bool
	Next     Wear       // of the part that went out
	Left     [2]float64 // as read on it, when new
}

// model is what the simulation takes from a sheet.
type model struct {
	sheet          *sheet.Sheet
	seal           string // part that keeps the shaft tight
	idler, bracket pair
}

// pair is a bushing on its journal: sizes as new, and what is allowed.
type pair struct {
	bore, journal           string // features
	clearance               string
	newBore, newJournal     float64 // nominal
	boreLower, boreUpper    float64
	shaftLower, shaftUpper  float64
	newClearance, allowance float64
	limit                   float64
}

func readPair(s *sheet.Sheet, bore, journal, clearance string) (pair, error) {
	b, j, c := s.Feature(bore), s.Feature(journal), s.Feature(clearance)
	if b == nil || j == nil || c == nil || b.Lower == nil || b.Upper == nil || j.Lower == nil || j.Upper == nil || len(c.Limits) == 0 || c.Limits[0].Max == nil {
		return pair{}, fmt.Errorf("fleet: sheet %s lacks %s, %s or %s with its limits", s.Name, bore, journal, clearance)
	}
	p := pair{bore: bore, journal: journal, clearance: clearance, newBore: b.Nominal.SI, newJournal: j.Nominal.SI,
		boreLower: b.Lower.SI, boreUpper: b.Upper.SI, shaftLower: j.Lower.SI, shaftUpper: j.Upper.SI, limit: c.Limits[0].Max.SI}
	p.newClearance = p.newBore + (p.boreLower+p.boreUpper)/2 - p.newJournal - (p.shaftLower+p.shaftUpper)/2
	p.allowance = p.limit - p.newClearance
	return p, nil
}

// modelNames are the sheets of the fleet.
var modelNames = []string{"demo-pump-m", "demo-pump-l"}

// readModels reads them once: nothing changes them.
var readModels = sync.OnceValues(func() ([]model, error) {
	var list []model
	for _, name := range modelNames {
		s, err := sheet.Demo(name)
		if err != nil {
			return nil, err
		}
		m := model{sheet: s, seal: SealPart}
		if s.Part(m.seal) == nil {
			m.seal = PackingPart
		}
		if m.idler, err = readPair(s, "idler-bushing-bore", "idler-pin-od", "idler-pin-clearance"); err != nil {
			return nil, err
		}
		if m.bracket, err = readPair(s, "shaft-bushing-bore", "shaft-od", "shaft-bushing-clearance"); err != nil {
			return nil, err
		}
		list = append(list, m)
	}
	return list, nil
})

// Simulate makes a fleet of exactly so many jobs.
func Simulate(o Options) (*Fleet, error) {
	if o.AsOf.IsZero() {
		o.AsOf = DefaultAsOf
	}
	if o.Years == 0 {
		o.Years = 14
	}
	laws := DefaultLaws()
	if o.Laws != nil {
		laws = *o.Laws
	}
	share := 0.0
	for _, s := range laws.Services {
		share += s.Share
	}
	switch {
	case o.Jobs < 1 || o.Jobs > MostJobs:
		return nil, say.Refuse("jobs", fmt.Sprint(o.Jobs), msgJobs.With(MostJobs), say.Message{})
	case !(o.Years >= 1 && o.Years <= 60):
		return nil, say.Refuse("years", fmt.Sprint(o.Years), msgYears.With(), say.Message{})
	case !(share > 0):
		return nil, say.Refuse("laws.services", "", msgNoLaws.With(), say.Message{})
	}
	models, err := readModels()
	if err != nil {
		return nil, err
	}
	f := &Fleet{Laws: laws, Seed: o.Seed, AsOf: record.TimeOf(o.AsOf), models: models}
	for jobs := 0; jobs < o.Jobs; {
		r := rand.New(rand.NewPCG(o.Seed, uint64(len(f.Machines))))
		m := f.machine(r, len(f.Machines), share, o.Years, jobs)
		if extra := jobs + len(m.Jobs) - o.Jobs; extra > 0 {
			m.Jobs = m.Jobs[:len(m.Jobs)-extra]
			m.Jobs[len(m.Jobs)-1].Closed = 0 // the last one is still on the bench
		}
		jobs += len(m.Jobs)
		f.Machines = append(f.Machines, m)
	}
	return f, nil
}

const (
	dayMicros  = 24 * 3600 * 1e6
	yearMicros = 365.25 * dayMicros
)

// life of one machine up to now
func (f *Fleet) machine(r *rand.Rand, n int, share, years float64, jobsBefore int) Machine {
	m := Machine{Serial: fmt.Sprintf("KX-%05d", n+1), Model: 0}
	if r.Float64() < 0.3 {
		m.Model = 1
	}
	pick := r.Float64() * share
	for i, s := range f.Laws.Services {
		m.Service = i
		if pick -= s.Share; pick < 0 {
			break
		}
	}
	service := &f.Laws.Services[m.Service]
	place := r.IntN(len(places))
	m.Owner, m.Site = places[place].owner, places[place].site
	m.Tag = fmt.Sprintf("P-%d%03d", place+1, n%1000)
	m.HoursAYear = math.Round(service.HoursAYear * (1 + f.Laws.SpreadOfHours*(2*r.Float64()-1)))
	m.NewAt = f.AsOf - record.Time((1+(years-1)*r.Float64())*yearMicros)
	m.NewAt -= m.NewAt % dayMicros
	mod := &f.models[m.Model]
	m.Idler, m.Bracket = f.wear(r, &mod.idler, service, 1), f.wear(r, &mod.bracket, service, 0.6)

	perMicro := m.HoursAYear / yearMicros // hours run in each microsecond
	now, total := m.NewAt, 0.0
	idler, bracket := m.Idler, m.Bracket
	idlerAge, bracketAge := 0.0, 0.0
	fresh := true
	for {
		seal := draw(r, service.Seal)
		other := r.ExpFloat64() * f.Laws.Other
		infant := !fresh && r.Float64() < f.Laws.Infant
		if infant {
			other, seal = math.Inf(1), (2+34*r.Float64())*dayMicros*perMicro
		}
		limp := (mod.idler.limit + (f.Laws.Limping-1)*mod.idler.allowance - idler.At(idlerAge)) / idler.Rate
		run := math.Max(1, math.Min(seal, math.Min(other, limp)))
		now += record.Time(run / perMicro)
		if now >= f.AsOf {
			return m
		}
		total += run
		idlerAge += run
		bracketAge += run
		j := Job{Name: fmt.Sprintf("F-%06d", jobsBefore+len(m.Jobs)+1), Opened: now, Hours: total, SealFailed: run == seal, Infant: infant,
			IdlerAge: idlerAge, BracketAge: bracketAge, variant: r.Uint64()}
		j.Idler, idler, idlerAge = f.found(r, &mod.idler, service, 1, idler, idlerAge)
		j.Bracket, bracket, bracketAge = f.found(r, &mod.bracket, service, 0.6, bracket, bracketAge)
		f.story(r, &j, service)
		now += record.Time((4 + 16*r.Float64()) * dayMicros)
		if now >= f.AsOf {
			m.Jobs = append(m.Jobs, j)
			return m
		}
		j.Closed = now
		m.Jobs = append(m.Jobs, j)
		fresh = false
	}
}

// draw draws a life.
func draw(r *rand.Rand, m life.Model) float64 { return m.AgeAt(1 - r.Float64()) }

// wear draws a new part; pace is its wear against the idler's.
func (f *Fleet) wear(r *rand.Rand, p *pair, s *Service, pace float64) Wear {
	rate := s.Wear * p.allowance / 1000 * pace
	own := rate * (1 + s.WearSpread*r.NormFloat64())
	for own < 0.1*rate { // a part that does not wear is none
		own = rate * (1 + s.WearSpread*r.NormFloat64())
	}
	bore := p.newBore + p.boreLower + (p.boreUpper-p.boreLower)*r.Float64()
	journal := p.newJournal + p.shaftLower + (p.shaftUpper-p.shaftLower)*r.Float64()
	return Wear{New: bore - journal, Rate: own}
}

// boreShare is the share of the wear that the softer bushing takes.
const boreShare = 0.7

// read measures the most worn place of bore and journal.
func (f *Fleet) read(r *rand.Rand, p *pair, w Wear, age float64) [2]float64 {
	worn := w.Rate * age
	journal := p.newJournal + (p.shaftLower+p.shaftUpper)/2
	bore := journal + w.New
	return [2]float64{
		bore + boreShare*worn + f.Laws.BoreU*r.NormFloat64(),
		journal - (1-boreShare)*worn + f.Laws.DiameterU*r.NormFloat64(),
	}
}

// sure is how far past its limit a reading lies before the part is replaced.
const sure = 10e-6

func (f *Fleet) found(r *rand.Rand, p *pair, s *Service, pace float64, w Wear, age float64) (Found, Wear, float64) {
	v := Found{Wear: w, Read: f.read(r, p, w, age), Next: w}
	if v.Read[0]-v.Read[1] > p.limit+sure {
		v.Replaced, v.Next = true, f.wear(r, p, s, pace)
		v.Left = f.read(r, p, v.Next, 0)
		return v, v.Next, 0
	}
	return v, w, age
}

// story draws what people wrote about the job.
func (f *Fleet) story(r *rand.Rand, j *Job, s *Service) {
	switch {
	case j.Infant:
		j.Cause, j.Confirmed = infantCauses[r.IntN(len(infantCauses))], r.Float64() < 0.7
	case j.SealFailed && len(s.Causes) > 0:
		n := 0
		for n < len(s.Causes)-1 && r.Float64() > 0.6 {
			n++
		}
		j.Cause, j.Confirmed = s.Causes[n], r.Float64() < 0.4
	case j.Idler.Replaced:
		j.Cause, j.Confirmed = "C32", r.Float64() < 0.5
	}
	j.Cost = 480
	if j.Idler.Replaced {
		j.Cost += 420
	}
	if j.Bracket.Replaced {
		j.Cost += 260
	}
	j.Cost = math.Round(j.Cost * (0.85 + 0.3*r.Float64()))
	for i, usual := range [3]float64{2, 3, 1.5} {
		j.Labour[i] = math.Round(usual*math.Exp(0.25*r.NormFloat64())*4) / 4
		j.Labour[i] = math.Max(j.Labour[i], 0.25)
	}
}

// infantCauses are faults of assembly.
var infantCauses = []string{"C23", "C24", "C25", "C26"}

var places = []struct{ owner, site string }{
	{"Saltmarsh Blending (invented)", "Saltmarsh, tank farm (invented)"},
	{"Saltmarsh Blending (invented)", "Saltmarsh, filling hall (invented)"},
	{"Orchard Syrup Works (invented)", "Orchard, unloading (invented)"},
	{"Fenwick Laundry (invented)", "Fenwick, boiler house (invented)"},
	{"Tarn Lubricants (invented)", "Tarn, line 1 (invented)"},
	{"Tarn Lubricants (invented)", "Tarn, line 2 (invented)"},
}
