package machine

import (
	"pumpwright/calc/chain"
	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// Bench is the temperature of the bench unless the shop says otherwise.
const Bench quantity.Temperature = 293.15

// BenchOf returns the temperature of the shop's bench.
func BenchOf(shop *ledger.Shop) quantity.Temperature {
	if shop != nil && shop.BenchAt != nil && shop.BenchAt.Dimension == quantity.TemperatureDimension {
		return quantity.Temperature(shop.BenchAt.SI)
	}
	return Bench
}

// Warm says how the gaps change from the bench to a liquid's temperature.
type Warm struct {
	Liquid  quantity.Temperature
	Changes chain.Changes
	Bound   bool // no thermal block: rotor and shaft at the liquid's temperature, the rest at bench
	Unknown []say.Message
}

var (
	msgBound = say.Define("machine.bound", "the sheet has no thermal block: rotor and shaft are taken at the liquid's temperature and the rest at bench, a bound")
	msgStill = say.Define("machine.still", "{gap}: its change with temperature is {why:message}; the cold size is used")
)

// WarmTo returns the steady change of the gaps when the pump moves liquid of a
// temperature. A gap whose change is not known stays as it is, and is said.
func WarmTo(s *sheet.Sheet, bench, ambient, t quantity.Temperature) (Warm, error) {
	w := Warm{Liquid: t}
	parts := chain.Temperatures{}
	for k := range parts {
		parts[k] = bench
	}
	if block := s.Block(); block != nil {
		steady, err := block.Steady(t, ambient, nil)
		if err != nil {
			return w, say.In("thermal", err)
		}
		parts = steady
	} else {
		parts[chain.RotorMass], parts[chain.ShaftMass] = t, t
		w.Bound = t != bench
	}
	changes, err := s.Expanding().Change(parts, bench)
	if err != nil {
		return w, err
	}
	w.Changes = changes
	if w.Bound {
		w.Unknown = append(w.Unknown, msgBound.With())
	}
	for _, g := range chain.Gaps() {
		if c := changes[g]; !c.Known() && t != bench {
			w.Unknown = append(w.Unknown, msgStill.With(g.String(), c.Unknown))
		}
	}
	return w, nil
}

// On returns the clearances when warm and the gaps that closed. A closed gap
// is zero.
func (w Warm) On(c slip.Clearances) (warm slip.Clearances, closed []chain.GapName) {
	for _, x := range []struct {
		gap  chain.GapName
		into *quantity.Length
	}{{chain.EndGap, &c.End}, {chain.IdlerFloatGap, &c.IdlerFloat}, {chain.CrescentEndGap, &c.CrescentEnd},
		{chain.RadialGap, &c.RotorRadial}, {chain.CrescentOuterGap, &c.CrescentOuter}, {chain.CrescentInnerGap, &c.CrescentInner}} {
		if change := w.Changes[x.gap]; change.Known() {
			*x.into += change.Length
		}
		if *x.into <= 0 {
			*x.into = 0
			closed = append(closed, x.gap)
		}
	}
	return c, closed
}

// LiquidAt returns the liquid of the service as the leak paths need it, with
// its state.
func LiquidAt(l *liquid.Liquid, t quantity.Temperature) (slip.Liquid, *liquid.State, error) {
	if l == nil {
		return slip.Liquid{}, nil, sheet.LiquidProblem()
	}
	state, err := l.At(t)
	if err != nil {
		return slip.Liquid{}, nil, err
	}
	moved, err := sheet.SlipLiquid(state)
	return moved, state, err
}
