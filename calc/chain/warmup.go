package chain

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pumpwright/calc/quantity"
)

// Moment is the pump at one time of its warm-up.
type Moment struct {
	Time  quantity.Time // since the start of the phase
	Parts Temperatures
	Phase Phase
}

// Phase is a part of the warm-up.
type Phase uint8

// The phases. Only a start with the jacket first has JacketPhase.
const (
	LiquidPhase Phase = iota // from the moment the liquid comes
	JacketPhase              // the jacket alone is on
)

// state of the linear system: five masses, liquid, jacket, and 1.
const (
	liquidState = int(massCount)
	jacketState = liquidState + 1
	oneState    = jacketState + 1
	stateSize   = oneState + 1
)

type state [stateSize]float64

// drive says how liquid and jacket move during a stretch: towards an end value
// with a time constant, or at a constant rate, or not at all.
type drive struct {
	end, constant float64 // constant > 0: approach to end
	rate          float64 // K/s
}

// system writes dx/dt = A·x of the block with its drives.
func (b Block) system(ambient float64, liquid, jacket drive) *mat.Dense {
	a := mat.NewDense(stateSize, stateSize, nil)
	add := func(i, j int, v float64) { a.Set(i, j, a.At(i, j)+v) }
	for k := range int(massCount) {
		c := float64(b.Capacity[k])
		l, m, j := float64(b.ToLiquid[k])/c, float64(b.ToAmbient[k])/c, float64(b.ToJacket[k])/c
		add(k, k, -l-m-j)
		add(k, liquidState, l)
		add(k, jacketState, j)
		add(k, oneState, m*ambient)
	}
	for _, j := range b.Joints {
		for _, pair := range [2][2]Mass{{j.A, j.B}, {j.B, j.A}} {
			g := float64(j.Conductance) / float64(b.Capacity[pair[0]])
			add(int(pair[0]), int(pair[0]), -g)
			add(int(pair[0]), int(pair[1]), g)
		}
	}
	for k, d := range []drive{liquid, jacket} {
		i := liquidState + k
		if d.constant > 0 {
			add(i, i, -1/d.constant)
			add(i, oneState, d.end/d.constant)
		}
		add(i, oneState, d.rate)
	}
	return a
}

// propagator is exp(A·h) as rows.
type propagator [stateSize]state

func exponential(a *mat.Dense, h float64) propagator {
	var scaled, e mat.Dense
	scaled.Scale(h, a)
	e.Exp(&scaled)
	var p propagator
	for i := range stateSize {
		for j := range stateSize {
			p[i][j] = e.At(i, j)
		}
	}
	return p
}

func (p *propagator) step(x state) state {
	var y state
	for i := range stateSize {
		s := 0.0
		for j := range stateSize {
			s += p[i][j] * x[j]
		}
		y[i] = s
	}
	return y
}

const (
	sudden        = 1e-3       // s: a faster rise is a step
	settled       = 1e-5       // of the greatest temperature difference: steady
	longestWarmUp = 200_000    // steps
	longestTime   = 60 * 86400 // s
)

// warmUp calls visit for the pump at equal steps until it is steady. Times
// count from the start of each phase; the state at 0 is visited too.
//
// The equations are linear with constant coefficients between the corners of
// the drives, so each stretch is stepped with one matrix exponential: the
// states are exact, whatever the step.
func (b Block) warmUp(s Start, step float64, visit func(phase Phase, time float64, parts [massCount]float64)) {
	ambient, liquid := float64(s.Ambient), float64(s.Liquid)
	jacket := ambient
	if s.Jacket != nil {
		jacket = float64(*s.Jacket)
	} else {
		b.ToJacket = [massCount]quantity.Conductance{}
	}
	var x state
	for k := range int(massCount) {
		x[k] = ambient
	}
	x[liquidState], x[jacketState], x[oneState] = ambient, ambient, 1
	scale := math.Max(math.Max(math.Abs(liquid-ambient), math.Abs(jacket-ambient)), 1e-9)
	run := func(phase Phase, target float64, jacketTarget float64) {
		b.runPhase(&x, s, phase, step, target, jacketTarget, scale, visit)
	}
	if s.Kind == JacketFirst {
		run(JacketPhase, ambient, jacket)
		x[jacketState] = jacket
	}
	run(LiquidPhase, liquid, jacket)
}

func (b Block) runPhase(x *state, s Start, phase Phase, step, liquidEnd, jacketEnd, scale float64, visit func(Phase, float64, [massCount]float64)) {
	ambient := float64(s.Ambient)
	visitAt := func(t float64) {
		var parts [massCount]float64
		copy(parts[:], x[:massCount])
		visit(phase, t, parts)
	}
	visitAt(0)
	end, err := b.steady(liquidEnd, ambient, jacketEnd)
	if err != nil {
		return
	}
	ramped := s.RatePerSecond > 0 && (s.Kind == Ramp || s.Kind == JacketFirst)
	time := 0.0
	for {
		liquid, liquidLeft := nextDrive(x[liquidState], liquidEnd, s, ramped)
		jacket, jacketLeft := nextDrive(x[jacketState], jacketEnd, Start{RatePerSecond: s.RatePerSecond}, ramped)
		if liquidLeft == 0 {
			x[liquidState] = liquidEnd
		}
		if jacketLeft == 0 {
			x[jacketState] = jacketEnd
		}
		a := b.system(ambient, liquid, jacket)
		stretch := math.Min(orInfinite(liquidLeft), orInfinite(jacketLeft))
		h := step
		if !math.IsInf(stretch, 1) {
			h = stretch / math.Ceil(stretch/step)
		}
		p := exponential(a, h)
		steps := longestWarmUp
		if !math.IsInf(stretch, 1) {
			steps = int(math.Round(stretch / h))
		}
		for range steps {
			*x = p.step(*x)
			time += h
			visitAt(time)
			if math.IsInf(stretch, 1) && settledAt(x, end, liquidEnd, scale) || time > longestTime {
				break
			}
		}
		if math.IsInf(stretch, 1) || time > longestTime {
			return
		}
		if liquidLeft == stretch {
			x[liquidState] = liquidEnd
		}
		if jacketLeft == stretch {
			x[jacketState] = jacketEnd
		}
	}
}

// nextDrive tells how a source moves from now on, and how long until it stops
// (0: it stands still or approaches its end for ever).
func nextDrive(now, end float64, s Start, ramped bool) (drive, float64) {
	switch {
	case now == end:
		return drive{}, 0
	case ramped:
		return drive{rate: math.Copysign(s.RatePerSecond, end-now)}, math.Abs(end-now) / s.RatePerSecond
	case s.TimeConstant > sudden:
		return drive{end: end, constant: float64(s.TimeConstant)}, math.NaN()
	}
	return drive{}, 0
}

func orInfinite(left float64) float64 {
	if left > 0 {
		return left
	}
	return math.Inf(1)
}

func settledAt(x *state, end Temperatures, liquidEnd, scale float64) bool {
	if math.Abs(x[liquidState]-liquidEnd) > settled*scale {
		return false
	}
	for k := range int(massCount) {
		if math.Abs(x[k]-float64(end[k])) > settled*scale {
			return false
		}
	}
	return true
}

// WarmUp returns the temperatures of the parts at equal steps of time until
// the pump is steady (within 0.001 % of the greatest temperature difference).
//
// Valid: step > 0. Errors: a say.Problem naming the input.
// Source: derived here; exact for the linear system (matrix exponential).
func (b Block) WarmUp(s Start, step quantity.Time) ([]Moment, error) {
	if err := b.check(); err != nil {
		return nil, err
	}
	if err := s.check(b); err != nil {
		return nil, err
	}
	if !(step > 0) || !finite(float64(step)) {
		return nil, refuseNumber("step", float64(step), msgPositive)
	}
	if _, err := b.steady(float64(s.Liquid), float64(s.Ambient), float64(s.Ambient)); err != nil {
		return nil, err
	}
	var list []Moment
	b.warmUp(s, float64(step), func(phase Phase, time float64, parts [massCount]float64) {
		m := Moment{Time: quantity.Time(time), Phase: phase}
		for k, t := range parts {
			m.Parts[k] = quantity.Temperature(t)
		}
		list = append(list, m)
	})
	return list, nil
}
