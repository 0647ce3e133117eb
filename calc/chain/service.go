package chain

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Basis tells where the temperatures of the parts come from.
type Basis uint8

// The bases, best first.
const (
	MeasuredParts Basis = iota // part temperatures were measured in service
	ThermalBlock               // five masses of the model sheet
	BoundOnly                  // rotor and shaft at the liquid's temperature, the rest at bench
)

// Extreme is the smallest a gap gets between bench and steady state.
type Extreme struct {
	Change               // ≤ 0: the cold start counts
	Time   quantity.Time // since the start of the phase
	Phase  Phase
}

// Band is the range of a change for conductances ±50 %.
type Band struct{ Low, High quantity.Length }

// GapInService is one gap between bench and service.
type GapInService struct {
	Steady      Change
	SteadyBand  Band
	Closest     Extreme // worst moment
	ClosestBand Band    // of the change at the worst moment
}

// The parts cannot follow faster than the quickest of them, so its time
// constant sets the step of the search for the worst moment.
const (
	stepsPerFastest = 16
	shortestStep    = 0.25 // s
)

// Service is how the gaps change from bench to service.
type Service struct {
	Expanding Expanding
	Start     Start
	Basis     Basis
	Steady    Temperatures // of the parts, at steady state
	Gaps      [gapCount]GapInService
	Notes     []say.Message
}

var (
	noteBound    = say.Define("chain.note_bound", "bound only: rotor and shaft taken at the liquid's temperature, all other parts at bench temperature; the real change is smaller")
	noteBand     = say.Define("chain.note_band", "the conductances between liquid, parts and surroundings are estimates; the band holds for half to one and a half times of them")
	noteMeasured = say.Define("chain.note_measured", "part temperatures as measured; the warm-up is not known from them")
	noteSequence = say.Define("chain.note_sequence", "warm-up worked out for the start {start}; another order of heating changes it, even in sign")
	msgNoWarmUp  = say.Define("chain.no_warm_up", "not known, because the thermal block of the sheet is missing")
	startWords   = map[StartKind]say.Template{LiquidFirst: say.Define("chain.liquid_first", "“liquid first”"), JacketFirst: say.Define("chain.jacket_first", "“jacket first”"), Ramp: say.Define("chain.ramp", "“ramp”")}
	bandFactors  = [...]float64{0.5, 1.5}
)

// InService works the changes out.
//
// The temperatures of the parts come from measured (service, steady) if given,
// else from the block, else from a bound. With a block the warm-up is run for
// the start; without one the worst moment is the bound, or unknown when only
// steady temperatures were measured (a pump that was measured and has a block
// takes the steady state from the measurement and the warm-up from the block).
//
// Errors: a say.Problem naming the input. Source: derived here.
func (e Expanding) InService(s Start, block *Block, measured *Temperatures) (*Service, error) {
	growths, err := e.growths()
	if err != nil {
		return nil, err
	}
	checked := Block{}
	if block != nil {
		checked = *block
		if err := checked.check(); err != nil {
			return nil, say.In("thermal", err)
		}
	} else if s.Kind == JacketFirst && s.Jacket != nil {
		checked.ToJacket[CasingMass] = 1 // a bound needs no conductance
	}
	if err := s.check(checked); err != nil {
		return nil, err
	}
	out := &Service{Expanding: e, Start: s}
	if block != nil {
		out.Basis = ThermalBlock
		if err := out.runBlock(growths, *block); err != nil {
			return nil, err
		}
	} else {
		out.Basis = BoundOnly
		out.bound(growths)
	}
	if measured != nil {
		if err := out.useMeasured(growths, *measured, block != nil); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (o *Service) bound(growths [gapCount]growth) {
	for k := range o.Steady {
		o.Steady[k] = o.Start.Bench
	}
	o.Steady[RotorMass], o.Steady[ShaftMass] = o.Start.Liquid, o.Start.Liquid
	for i, c := range changesAt(growths, o.Steady.plain(), float64(o.Start.Bench)) {
		g := &o.Gaps[i]
		g.Steady = c
		g.Closest = Extreme{Change: c}
		if c.Known() {
			g.Closest.Length = min(0, c.Length)
			g.SteadyBand = Band{min(0, c.Length), max(0, c.Length)}
			g.ClosestBand = Band{g.Closest.Length, 0}
		}
	}
	o.Notes = append(o.Notes, noteBound.With())
}

func (o *Service) useMeasured(growths [gapCount]growth, measured Temperatures, haveBlock bool) error {
	for k, t := range measured {
		if !(t > 0) || !finite(float64(t)) {
			return refuseNumber("part_temperatures."+Mass(k).String(), float64(t), msgKelvin)
		}
	}
	o.Basis, o.Steady = MeasuredParts, measured
	for i, c := range changesAt(growths, measured.plain(), float64(o.Start.Bench)) {
		g := &o.Gaps[i]
		g.Steady = c
		g.SteadyBand = Band{c.Length, c.Length}
		switch {
		case !c.Known():
		case !haveBlock:
			g.Closest = Extreme{Change: Change{Unknown: msgNoWarmUp.With()}}
			g.ClosestBand = Band{}
		case c.Length < g.Closest.Length:
			g.Closest = Extreme{Change: c, Time: quantity.Time(math.Inf(1))}
			g.ClosestBand.Low = min(g.ClosestBand.Low, c.Length)
		}
	}
	if !haveBlock {
		o.Notes = []say.Message{noteMeasured.With()}
	}
	return nil
}

func (o *Service) runBlock(growths [gapCount]growth, b Block) error {
	steady, err := b.Steady(o.Start.Liquid, o.Start.Ambient, o.Start.Jacket)
	if err != nil {
		return say.In("thermal", err)
	}
	o.Steady = steady
	nominal := b.extremes(o.Start, growths)
	change := changesAt(growths, steady.plain(), float64(o.Start.Bench))
	for i := range o.Gaps {
		g := &o.Gaps[i]
		g.Steady = change[i]
		g.SteadyBand = Band{change[i].Length, change[i].Length}
		g.Closest = nominal[i]
		g.ClosestBand = Band{nominal[i].Length, nominal[i].Length}
	}
	o.Notes = append(o.Notes, noteSequence.With(startWords[o.Start.Kind].With()))
	if b.WithoutBand {
		return nil
	}
	o.Notes = append(o.Notes, noteBand.With())
	for _, liquid := range bandFactors {
		for _, ambient := range bandFactors {
			corner := b.scaled(liquid, ambient)
			parts, err := corner.Steady(o.Start.Liquid, o.Start.Ambient, o.Start.Jacket)
			if err != nil {
				return say.In("thermal", err)
			}
			extremes := corner.extremes(o.Start, growths)
			for i, c := range changesAt(growths, parts.plain(), float64(o.Start.Bench)) {
				o.Gaps[i].SteadyBand.widen(c.Length)
				o.Gaps[i].ClosestBand.widen(extremes[i].Length)
			}
		}
	}
	return nil
}

func (b *Band) widen(v quantity.Length) {
	b.Low, b.High = min(b.Low, v), max(b.High, v)
}

// extremes runs the warm-up and finds the smallest of each gap: the least of
// the steps, refined by the parabola through it and its neighbours.
func (b Block) extremes(s Start, growths [gapCount]growth) [gapCount]Extreme {
	step := math.Max(b.fastest()/stepsPerFastest, shortestStep)
	var out [gapCount]Extreme
	for i := range out {
		out[i].Unknown = growths[i].unknown
	}
	var before, last [gapCount]float64 // two earlier values
	seen, phaseNow := 0, Phase(0)
	b.warmUp(s, step, func(phase Phase, time float64, parts [massCount]float64) {
		if phase != phaseNow || time == 0 {
			seen, phaseNow = 0, phase
		}
		for i, g := range growths {
			if !g.unknown.IsZero() {
				continue
			}
			v := g.at(parts, float64(s.Bench))
			if v < float64(out[i].Length) {
				out[i].Length, out[i].Time, out[i].Phase = quantity.Length(v), quantity.Time(time), phase
			}
			if seen >= 2 && last[i] < before[i] && last[i] <= v {
				curve := before[i] - 2*last[i] + v
				shift := (before[i] - v) / (2 * curve)
				if low := last[i] - (before[i]-v)*(before[i]-v)/(8*curve); curve > 0 && math.Abs(shift) <= 1 && low < float64(out[i].Length) {
					out[i].Length, out[i].Time, out[i].Phase = quantity.Length(low), quantity.Time(time+(shift-1)*step), phase
				}
			}
			before[i], last[i] = last[i], v
		}
		seen++
	})
	return out
}
