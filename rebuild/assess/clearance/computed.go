package clearance

import (
	"encoding/binary"
	"hash/fnv"
	"math"

	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/calc/window"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// WindowKeeper keeps the pump of a sheet, and computed windows by the hash of
// all that they depend on. A nil keeper computes anew each time.
type WindowKeeper struct {
	sheet    string
	pump     slip.Pump
	said     []say.Message
	err      error
	prepared bool

	key    uint64
	result *window.Result
}

// Pump returns the pump of a sheet as new, with what was assumed for it.
func (k *WindowKeeper) Pump(s *sheet.Sheet) (slip.Pump, []say.Message, error) {
	if k != nil && k.prepared && k.sheet == s.Version {
		return k.pump, k.said, k.err
	}
	pump, said, err := s.Pump()
	if k != nil {
		k.sheet, k.pump, k.said, k.err, k.prepared = s.Version, pump, said, err, true
		k.result = nil
	}
	return pump, said, err
}

var (
	msgNoSpeed     = say.Define("clearance.no_point", "what liquid, temperature and slip ask for is not known: the service states no speed or pressure")
	msgNoMetals    = say.Define("clearance.no_metals", "what liquid, temperature and slip ask for is not known: the sheet does not say what rotor and head are made of")
	msgNoHeatHere  = say.Define("clearance.no_heat_here", "what liquid, temperature and slip ask for is not known: {reason}")
	msgNoLeast     = say.Define("clearance.no_least", "the service states neither a least efficiency nor a flow that is needed, so slip sets no upper limit")
	msgReachesLow  = say.Define("clearance.reaches_low", "the window that rules reaches down to {low:length}; for contact when hot at least {limit:length} is asked for by the computation. Find out why before the low end is used")
	msgReachesHigh = say.Define("clearance.reaches_high", "the window that rules reaches up to {high:length}; the service's flow or efficiency, or priming, allows {limit:length} by the computation")
	msgAim         = say.Define("clearance.aim", "aim at {target:length}: {why:message}")
	msgAimKept     = say.Define("clearance.aim_kept", "where slip and drag together lose least, kept inside this window")
	msgAimMiddle   = say.Define("clearance.aim_middle", "the middle of the window")
)

// Assumed where nothing was read: the standard uncertainty of a cold end
// clearance. Convention of this program, no source.
const assumedEndU quantity.Length = 0.010e-3

// hotSet is how much of the thickness of paper gaskets is lost in hot service,
// and hotSetAbove the temperature above which it counts. Convention of this
// program, no source.
const (
	hotSet      = 0.05
	hotSetAbove = quantity.ZeroCelsius + 80
)

// compute works the window out of liquid, temperature and slip.
func (w *Window) compute(in Inputs, c *Chapter) {
	wanted, why, err := c.windowInputs(in)
	switch {
	case err != nil:
		w.NoComputed = msgNoHeatHere.With(err)
		return
	case !why.IsZero():
		w.NoComputed = why
		return
	}
	key := hashOf(wanted)
	if k := in.Windows; k != nil && k.result != nil && k.key == key {
		w.Computed = k.result
	} else {
		r, err := window.Find(wanted)
		if err != nil {
			w.NoComputed = msgNoHeatHere.With(err)
			return
		}
		w.Computed = r
		if k != nil {
			k.key, k.result = key, r
		}
	}
	if wanted.MinEfficiency == noLeast {
		w.Reasons = append(w.Reasons, msgNoLeast.With())
	}
	if !w.Computed.RadialOK || !w.Computed.Possible {
		for _, r := range w.Computed.Reasons {
			switch r.ID() {
			case "window.radial", "window.none", "window.mostly", "window.hopeless":
				w.Warnings = append(w.Warnings, r)
			}
		}
	}
}

// noLeast stands for a service that asks for no efficiency: slip then limits
// nothing short of the whole flow.
const noLeast = 1e-9

func (c *Chapter) windowInputs(in Inputs) (window.Inputs, say.Message, error) {
	none := window.Inputs{}
	s, v := in.Sheet, in.Service
	switch {
	case v == nil || v.Temperature == nil:
		return none, msgNoHeatHere.With(msgNoTemp.With()), nil
	case v.Speed == nil || v.Pressure == nil:
		return none, msgNoSpeed.With(), nil
	case c.Hot == nil:
		return none, msgNoHeatHere.With(msgNoHeatKnown.With()), nil
	}
	pair, known := s.MetalPair()
	if !known {
		return none, msgNoMetals.With(), nil
	}
	base, _, err := in.Windows.Pump(s)
	if err != nil {
		return none, say.Message{}, err
	}
	set := machine.Of(machine.Inputs{Sheet: s, Readings: in.Readings, Replaced: in.Replaced}, machine.Left)
	pump, u, _ := set.On(base)
	pump.Pin, pump.ShaftBushing = base.Pin, base.ShaftBushing // the bushings decide no window
	// Of the end clearance only its differences to float and crescent end
	// count; a tight one would close them.
	pump.Clearances = pump.Clearances.Moved(max(0, base.Clearances.End-pump.Clearances.End))
	model, err := slip.Prepare(pump)
	if err != nil {
		return none, say.Message{}, err
	}
	w := window.Inputs{Model: model, Pair: pair, SheetMinimum: valueOf(s.EndClearance.Minimum), Solids: valueOf(v.Solids), U: assumedEndU, RadialU: u.RotorRadial,
		RunOut: spreadOf(in, sheet.RoleRotorHeight), Tilt: spreadOf(in, sheet.RoleCasingDepth)}
	c.howRead(in, &w)
	point := slip.Point{Speed: v.Speed.Value, Pressure: v.Pressure.Value}
	w.MinEfficiency = leastEfficiency(v, model)
	if err := c.duties(in, point, &w); err != nil {
		return none, say.Message{}, err
	}
	if n := s.Dimensions.GasketStack; n != nil && c.Hot.Start.Liquid > hotSetAbove {
		w.GasketSet = quantity.Length(hotSet * n.Value.SI())
	}
	return w, say.Message{}, nil
}

var msgNoHeatKnown = say.Define("clearance.no_heat_known", "the change between bench and service is not known")

// duties are the normal one, and the hottest where it differs: there the
// liquid is thinnest and the parts close most.
func (c *Chapter) duties(in Inputs, point slip.Point, w *window.Inputs) error {
	normal := in.Service.Temperature.Value
	hottest := c.Hot.Start.Liquid
	for _, t := range []quantity.Temperature{normal, hottest} {
		if len(w.Duties) > 0 && t == normal {
			break
		}
		moved, state, err := machine.LiquidAt(in.Liquid, t)
		if err != nil {
			return err
		}
		service := c.Hot
		if t != hottest {
			if service, err = steadyOnly(in, c.Hot, t); err != nil {
				return err
			}
		}
		w.Duties = append(w.Duties, window.Duty{Liquid: moved, Lubricates: state.Lubricates, Point: point, Service: service})
	}
	return nil
}

// steadyOnly is the change to a temperature below the hottest: the warm-up to
// the hottest decides what closes, so only the steady state is worked out.
func steadyOnly(in Inputs, hot *chain.Service, t quantity.Temperature) (*chain.Service, error) {
	warm, err := machine.WarmTo(in.Sheet, hot.Start.Bench, hot.Start.Ambient, t)
	if err != nil {
		return nil, err
	}
	out := &chain.Service{Expanding: hot.Expanding, Start: hot.Start, Basis: hot.Basis}
	out.Start.Liquid = t
	for i, change := range warm.Changes {
		out.Gaps[i] = chain.GapInService{Steady: change, Closest: chain.Extreme{Change: change}}
		out.Gaps[i].Closest.Length = min(0, change.Length)
	}
	return out, nil
}

// leastEfficiency is what the process can live with: as stated, or the flow it
// needs over the theoretical flow.
func leastEfficiency(v *sheet.Service, m *slip.Model) float64 {
	switch {
	case v.Efficiency != nil:
		return math.Min(math.Max(*v.Efficiency, noLeast), 1-1e-9)
	case v.Flow != nil:
		return math.Min(math.Max(v.Flow.Value.SI()/m.TheoreticalFlow(v.Speed.Value).SI(), noLeast), 1-1e-9)
	}
	return noLeast
}

// spreadOf is the largest less the smallest place of a feature: run-out of
// tooth ends, tilt of a face.
func spreadOf(in Inputs, role string) quantity.Length {
	if f := in.Readings.Latest(in.Sheet, role); f != nil && f.Survey != nil && !in.Replaced[f.Feature.Part] {
		return f.Survey.Spread
	}
	return 0
}

// howRead takes from the reading of the end clearance how sure it is and which
// way the shaft was pushed, and the play of the thrust bearing.
func (c *Chapter) howRead(in Inputs, w *window.Inputs) {
	for _, f := range []*reading.Feature{c.AsLeft, c.AsFound} {
		if f != nil && f.Mean != nil {
			w.U = quantity.Length(f.Mean.U)
			for _, v := range f.Values {
				w.PushedToHead = w.PushedToHead || v.Pushed == "head"
			}
			break
		}
	}
	if play := in.Readings.ByRole(in.Sheet, sheet.RoleEndPlay, job.AsLeft); play != nil && play.Mean != nil {
		w.ThrustPlay = max(0, quantity.Length(play.Mean.Value))
	}
}

// aim sets the target inside the window that rules.
func (w *Window) aim() {
	if !w.Known {
		return
	}
	middle := (w.Low + w.High) / 2
	why := msgAimMiddle.With()
	if r := w.Computed; r != nil && r.Target != nil && r.LossOptimum[0] != nil {
		away := min((w.High-w.Low)/4, 0.05e-3)
		middle = max(w.Low+away, min(w.High-away, *r.Target))
		why = msgAimKept.With()
	}
	w.Target = &middle
	w.Reasons = append(w.Reasons, msgAim.With(middle, why))
}

// compare says where the window that rules reaches beyond the computed one.
func (w *Window) compare() {
	r := w.Computed
	if !w.Known || r == nil || w.Rank == RankComputed {
		return
	}
	if r.LowerUnguarded != nil && w.Low < r.LowerUnguarded.Value {
		w.Warnings = append(w.Warnings, msgReachesLow.With(w.Low, r.LowerUnguarded.Value))
	}
	if r.UpperUnguarded != nil && w.High > r.UpperUnguarded.Value {
		w.Warnings = append(w.Warnings, msgReachesHigh.With(w.High, r.UpperUnguarded.Value))
	}
}

// hashOf runs over every number that a window depends on.
func hashOf(in window.Inputs) uint64 {
	h := fnv.New64a()
	put := func(values ...float64) {
		var b [8]byte
		for _, v := range values {
			binary.LittleEndian.PutUint64(b[:], math.Float64bits(v))
			h.Write(b[:])
		}
	}
	optional := func(l *quantity.Length) {
		if l == nil {
			put(math.NaN())
			return
		}
		put(1, l.SI())
	}
	flag := func(b bool) {
		if b {
			put(1)
		} else {
			put(0)
		}
	}
	p := in.Model.Pump()
	c := p.Clearances
	put(c.End.SI(), c.IdlerFloat.SI(), c.CrescentEnd.SI(), c.RotorRadial.SI(), c.CrescentOuter.SI(), c.CrescentInner.SI(), p.Pin.Clearance.SI(), p.Teeth.Displacement.SI())
	if b := p.ShaftBushing; b != nil {
		put(b.Clearance.SI())
	}
	put(in.MinEfficiency, in.RunOut.SI(), in.Tilt.SI(), in.ThrustPlay.SI(), in.GasketSet.SI(), in.U.SI(), in.RadialU.SI(), in.Coverage)
	for _, l := range []*quantity.Length{in.NeededGap, in.Roughness, in.Solids, in.SheetMinimum, in.Maximum} {
		optional(l)
	}
	flag(in.PushedToHead)
	h.Write([]byte(in.Pair))
	for _, d := range in.Duties {
		l := d.Liquid
		put(l.Density.SI(), l.AtRest.SI(), l.Index, l.Bend.SI(), l.HighShear.SI(), d.Point.Speed.SI(), d.Point.Pressure.SI())
		flag(d.Lubricates)
		flag(d.Cold)
		for _, g := range d.Service.Gaps {
			put(g.Steady.SI(), g.Closest.SI())
			flag(g.Steady.Known())
			flag(g.Closest.Known())
		}
	}
	return h.Sum64()
}

func valueOf[T quantity.Of](n *sheet.Number[T]) *T {
	if n == nil {
		return nil
	}
	return &n.Value
}
