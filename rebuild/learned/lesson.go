package learned

import (
	"math"
	"sort"

	"pumpwright/calc/gasket"
	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// wide is the prior with which the trials of one job are read: so wide that it
// says next to nothing, and it is taken out again.
var wide = gasket.LearnPrior{ExtraCompressionU: 0.15}

// compression reads the trial assemblies of the job. One trial alone tells a
// clearance and no compression; trials that hold other pieces than the sheet's
// kinds are left out.
func (l *Lesson) compression(a *assess.Assessment) {
	s, st := a.Inputs.Sheet, a.Inputs.Job
	var trials []gasket.Trial
	used := map[string]bool{}
	for _, t := range st.Trials {
		one, ok := trialOf(s, t.Body)
		if !ok {
			continue
		}
		trials = append(trials, one)
		for i, n := range one.Counts {
			if g := s.Gaskets[i]; n > 0 && g.Compression > 0 {
				used[g.Material] = true
			}
		}
	}
	if len(trials) < 2 || len(used) == 0 {
		return
	}
	got, err := gasket.Learn(s.GasketKinds(nil), trials, wide)
	if err != nil {
		return
	}
	// what the trials say without the prior: precisions add
	own := 1/(got.ExtraCompressionU*got.ExtraCompressionU) - 1/(wide.ExtraCompressionU*wide.ExtraCompressionU)
	if !(own > 1/(leastTold*leastTold)) {
		return
	}
	l.Compression = &life.Rate{Slope: got.ExtraCompression / (got.ExtraCompressionU * got.ExtraCompressionU) / own, U: math.Sqrt(1 / own)}
	for m := range used {
		l.Materials = append(l.Materials, m)
	}
	sort.Strings(l.Materials)
	for _, f := range st.Fitted {
		if part := s.Part(f.Body.Part); part != nil && part.ID == gasketPart {
			l.Lot = f.Body.Batch
		}
	}
}

// gasketPart is the part under which the batch of the head's gaskets is
// written down.
const gasketPart = "head-gaskets"

// leastTold is the largest uncertainty with which the trials of one job count
// as having told something. A setting of our own.
const leastTold = 0.2

func trialOf(s *sheet.Sheet, t job.Trial) (gasket.Trial, bool) {
	one := gasket.Trial{Counts: make([]int, len(s.Gaskets))}
	if len(t.Pieces) > 0 || t.Bound {
		return one, false
	}
	for name, n := range t.Counts {
		i := s.GasketIndex(name)
		if i < 0 {
			return one, false
		}
		one.Counts[i] = n
	}
	float := quantity.Length(0)
	if t.Float != "" {
		g, err := quantity.Read[quantity.Length](t.Float)
		if err != nil {
			return one, false
		}
		float = g.Value
	}
	if t.Measured != "" {
		g, err := quantity.Read[quantity.Length](t.Measured)
		if err != nil {
			return one, false
		}
		u := quantity.Length(math.Max(g.Resolution/math.Sqrt(12), unstatedU))
		if t.U != "" {
			gu, err := quantity.Read[quantity.Length](t.U)
			if err != nil || !(gu.Value > 0) {
				return one, false
			}
			u = gu.Value
		}
		e := quantity.Within(g.Value-float, u.SI())
		one.Measured = &e
		return one, true
	}
	if t.Goes == "" || t.NoGo == "" {
		return one, false // one leaf bounds one side only
	}
	goes, err1 := quantity.Read[quantity.Length](t.Goes)
	noGo, err2 := quantity.Read[quantity.Length](t.NoGo)
	if err1 != nil || err2 != nil {
		return one, false
	}
	one.Feeler = &gasket.Feeler{Goes: &goes.Value, NoGo: &noGo.Value}
	return one, true
}

// unstatedU is the standard uncertainty of a dial reading at a trial that
// states none. [common practice, no source]
const unstatedU = 0.005e-3

// slip takes the factors of the bench test. A fit that the model cannot follow
// teaches nothing, nor does a factor that its points said nothing about.
func (l *Lesson) slip(a *assess.Assessment) {
	if len(a.Inputs.Job.TestPoints) == 0 {
		return
	}
	c := a.Proof().Calibration
	if c == nil || !c.Accepted {
		return
	}
	for i, f := range c.Fit {
		u := c.U[i]
		if !(u > 0) || u > mostLogU {
			continue
		}
		switch {
		case f == slip.FitSlip && c.Factors.Slip > 0:
			l.Slip = &life.Rate{Slope: math.Log(c.Factors.Slip), U: u}
		case f == slip.FitDrag && c.Factors.Drag > 0:
			l.Drag = &life.Rate{Slope: math.Log(c.Factors.Drag), U: u}
		}
	}
}

// mostLogU is the uncertainty of a logarithm above which a factor is known to
// less than a half up or down: it was not told. A setting of our own.
const mostLogU = 0.4

func (l *Learned) compressions(lessons []Lesson) {
	type key struct{ material, lot string }
	groups := map[key][]life.Rate{}
	for i := range lessons {
		s := &lessons[i]
		if s.Compression == nil {
			continue
		}
		keys := []key{{}}
		for _, m := range s.Materials {
			keys = append(keys, key{m, ""})
			if s.Lot != "" {
				keys = append(keys, key{m, s.Lot})
			}
		}
		for _, k := range keys {
			groups[k] = append(groups[k], *s.Compression)
		}
	}
	prior := gasket.DefaultPrior()
	for k, rates := range groups {
		mean, _, spread, next := together(rates)
		// for the next job, with the usual prior, once for all jobs
		w, w0 := 1/(next*next), 1/(prior.ExtraCompressionU*prior.ExtraCompressionU)
		l.Compression = append(l.Compression, Compression{Material: k.material, Lot: k.lot,
			Extra: (w*mean + w0*prior.ExtraCompression) / (w + w0), U: math.Sqrt(1 / (w + w0)), Spread: spread, Jobs: len(rates)})
	}
	sort.Slice(l.Compression, func(a, b int) bool {
		x, y := l.Compression[a], l.Compression[b]
		if x.Material != y.Material {
			return x.Material < y.Material
		}
		return x.Lot < y.Lot
	})
}
