package slip

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	// OptimumIsArithmetic must stand beside every loss optimum.
	OptimumIsArithmetic = say.Define("slip.optimum_arithmetic", "this is the end clearance of least loss, by arithmetic alone: it is no setting. Thermal growth, run-out, solids and the manual's limits decide first")
	msgRange            = say.Define("slip.range_accepted", "two end clearances greater than 0, the first the smaller")
	msgShare            = say.Define("slip.share_accepted", "a volumetric efficiency above 0 and below 1.5")
)

// LossOptimum returns the running end clearance between two bounds at which
// slip and friction together cost least power. Idler float and crescent end
// move with the end clearance.
//
//	loss(s) = Δp·k_s(q(s) − q₀) + k_v ΣP_drag(s);  its core a µU²/s + b Δp² s³/µ
//	gives s_opt ∝ (µU/Δp)^½: thicker liquid or lower pressure, larger clearance
//
// For a thin liquid the optimum is the lower bound.
// Errors: a Problem when power is not known, or the bounds are no range.
// Source: derived here.
func (m *Model) LossOptimum(l Liquid, pt Point, k Factors, from, to quantity.Length) (quantity.Length, error) {
	if !(from > 0) || !(to > from) || !finite(to.SI()) {
		return 0, say.Refuse("range", from.String(), msgPumpRefused.With(), msgRange.With())
	}
	if _, err := m.endModel(from); err != nil {
		return 0, err
	}
	r, err := m.At(l, pt, k)
	if err != nil {
		return 0, err
	}
	if r.Power == nil && m.blocked() == "" {
		return 0, say.Refuse("sheet", "", r.Unknown, say.Message{})
	}
	var s state
	loss := func(x float64) float64 {
		other, err := m.endModel(quantity.Length(math.Exp(x)))
		if err != nil {
			return math.Inf(1)
		}
		other, err = other.biased(k)
		if err != nil {
			return math.Inf(1)
		}
		other.turn(&s, l, pt.Speed)
		raw := s.at(pt.Pressure.SI())
		if !raw.powerKnown {
			return math.Inf(1)
		}
		return pt.Pressure.SI()*k.Slip*(raw.q.sum()-raw.q0.sum()) + k.Drag*raw.drag.sum()
	}
	// Golden section in ln s; the loss has one valley.
	golden := (math.Sqrt(5) - 1) / 2
	a, b := math.Log(from.SI()), math.Log(to.SI())
	c, d := b-golden*(b-a), a+golden*(b-a)
	fc, fd := loss(c), loss(d)
	for b-a > 1e-5 {
		if fc < fd {
			b, d, fd = d, c, fc
			c = b - golden*(b-a)
			fc = loss(c)
		} else {
			a, c, fc = c, d, fd
			d = a + golden*(b-a)
			fd = loss(d)
		}
	}
	return quantity.Length(math.Exp((a + b) / 2)), nil
}

func (m *Model) endModel(s quantity.Length) (*Model, error) {
	return m.With(m.pump.Clearances.WithEnd(s))
}

// LargestEnd returns the running end clearance, up to a bound, at which the
// volumetric efficiency has fallen to a minimum. Slip rises with it, so
// bisection finds it. none: even a closed end clearance does not reach the
// minimum, so the radial gaps are to blame; all: the bound itself still does.
func (m *Model) LargestEnd(l Liquid, pt Point, k Factors, minimum float64, bound quantity.Length) (s quantity.Length, none, all bool, err error) {
	if !(minimum > 0) || minimum >= 1.5 {
		return 0, false, false, say.Refuse("min_volumetric_efficiency", number(minimum), msgPumpRefused.With(), msgShare.With())
	}
	c := m.pump.Clearances
	least := c.End - min(c.End, c.IdlerFloat, c.CrescentEnd) - min(0, k.EndBias)
	if !(bound > least) || !finite(bound.SI()) {
		return 0, false, false, say.Refuse("range", bound.String(), msgPumpRefused.With(), msgRange.With())
	}
	efficiency := func(s quantity.Length) (float64, error) {
		other, err := m.endModel(s)
		if err != nil {
			return 0, err
		}
		r, err := other.At(l, pt, k)
		return r.VolumetricEfficiency, err
	}
	at, err := efficiency(least)
	if err != nil {
		return 0, false, false, err
	}
	if at < minimum {
		return 0, true, false, nil
	}
	if at, err = efficiency(bound); err != nil {
		return 0, false, false, err
	}
	if at >= minimum {
		return bound, false, true, nil
	}
	low, high := least, bound
	for high-low > 1e-10 {
		middle := (low + high) / 2
		at, err = efficiency(middle)
		if err != nil {
			return 0, false, false, err
		}
		if at >= minimum {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, false, false, nil
}
