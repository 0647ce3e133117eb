package suction

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNeverFills = say.Define("suction.never_fills", "even without flow the pressure at the inlet is too low")
	msgRaiseLevel = say.Define("suction.raise_level", "raise the level or the pressure on the liquid, or cool it")
	msgNoLimit    = say.Define("suction.no_limit", "no limit was found: the line does not fail in this range")
	msgRangeOrder = say.Define("suction.range_order", "the range must rise")
	msgNoWindow   = say.Define("suction.no_window", "at no temperature of the range does the pump get its liquid")
	msgWiderRange = say.Define("suction.wider_range", "try another range, a wider or shorter line, or less flow")
)

// MostFlow returns the flow at which the margin of a line is used up, all else
// held: above it the pump does not fill. With a required pressure that depends
// on flow, give required; nil holds Line.Required.
func MostFlow(l Line, required func(quantity.Flow) quantity.PressureDifference) (quantity.Flow, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	margin := func(flow float64) float64 {
		l.Flow = quantity.Flow(flow)
		if required != nil {
			need := required(l.Flow)
			l.Required = &need
		}
		return l.solve().margin()
	}
	start := l.Flow.SI()
	if start <= 0 {
		start = 1e-3
	}
	q, err := mostOf(margin, start)
	return quantity.Flow(q), err
}

// MostViscosity returns the dynamic viscosity at which the margin of a line is
// used up, all else held.
func MostViscosity(l Line) (quantity.DynamicViscosity, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	mu, err := mostOf(func(mu float64) float64 {
		if mu == 0 {
			// Friction of the turbulent limit, where only roughness counts.
			mu = 1e-9
		}
		l.Viscosity = quantity.DynamicViscosity(mu)
		return l.solve().margin()
	}, l.Viscosity.SI())
	return quantity.DynamicViscosity(mu), err
}

// mostOf finds the x above which a margin falls below zero: the first one above
// start when the margin holds there, else one below it. The margin falls with
// x, but may jump where the flow changes between laminar and turbulent.
func mostOf(margin func(float64) float64, start float64) (float64, error) {
	if !(margin(start) >= 0) && !(margin(0) >= 0) {
		return 0, say.Refuse("", "", msgNeverFills.With(), msgRaiseLevel.With())
	}
	low, high := 0.0, start
	for margin(high) >= 0 {
		low, high = high, 4*high
		if high > 1e30 {
			return 0, say.Refuse("", "", msgNoLimit.With(), say.Message{})
		}
	}
	for range 200 {
		mid := 0.5 * (low + high)
		if mid == low || mid == high {
			break
		}
		if margin(mid) >= 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return low, nil
}

// LiquidAt gives a liquid at a temperature. An error means that the liquid is
// not known there.
type LiquidAt func(quantity.Temperature) (quantity.Density, quantity.DynamicViscosity, quantity.AbsolutePressure, error)

// Window is the range of temperature in which a line feeds its pump: colder
// the liquid is too thick, hotter it boils. An end that lies at the end of the
// range searched is open.
type Window struct {
	Low, High         quantity.Temperature
	OpenLow, OpenHigh bool
}

// TemperatureWindow finds the range of temperature in which the margin of a
// line is not negative. It scans the range in steps of at most 1 K and refines
// the ends by bisection; a temperature at which the liquid is not known counts
// as outside. The widest stretch is returned.
func TemperatureWindow(l Line, liquid LiquidAt, low, high quantity.Temperature) (Window, error) {
	if err := l.check(); err != nil {
		return Window{}, err
	}
	if !(low > 0 && high > low) || math.IsInf(high.SI(), 0) {
		return Window{}, say.Refuse("temperature", "", msgRangeOrder.With(), say.Message{})
	}
	fills := func(t float64) bool {
		density, viscosity, vapor, err := liquid(quantity.Temperature(t))
		if err != nil {
			return false
		}
		l.Density, l.Viscosity, l.VaporPressure = density, viscosity, vapor
		return l.check() == nil && l.solve().margin() >= 0
	}
	steps := int(math.Min(5000, math.Max(50, math.Ceil((high-low).SI()))))
	at := func(i int) float64 { return low.SI() + (high-low).SI()*float64(i)/float64(steps) }
	best, found := Window{}, false
	for i := 0; i <= steps; i++ {
		if !fills(at(i)) {
			continue
		}
		first := i
		for i < steps && fills(at(i+1)) {
			i++
		}
		w := Window{Low: quantity.Temperature(at(first)), High: quantity.Temperature(at(i)), OpenLow: first == 0, OpenHigh: i == steps}
		if !w.OpenLow {
			w.Low = quantity.Temperature(edge(fills, at(first-1), at(first)))
		}
		if !w.OpenHigh {
			w.High = quantity.Temperature(edge(fills, at(i+1), at(i)))
		}
		if !found || w.High-w.Low > best.High-best.Low {
			best, found = w, true
		}
	}
	if !found {
		return Window{}, say.Refuse("temperature", "", msgNoWindow.With(), msgWiderRange.With())
	}
	return best, nil
}

// edge finds where fills turns from false (at out) to true (at in).
func edge(fills func(float64) bool, out, in float64) float64 {
	for range 40 {
		mid := 0.5 * (out + in)
		if fills(mid) {
			in = mid
		} else {
			out = mid
		}
	}
	return in
}
