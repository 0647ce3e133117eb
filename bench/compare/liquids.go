package main

import (
	"fmt"
	"math"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
)

// compareViscosity reads an oil of 46 mm²/s at 40 °C and 6.8 at 100 °C at many
// temperatures, on the line of ASTM D341.
func compareViscosity(s sizes) (outcome, error) {
	interpreter, err := python("numpy", "scipy")
	if err != nil {
		return outcome{}, err
	}
	const square = 1e-6 // mm²/s
	kelvin := func(celsius float64) float64 { return celsius + 273.15 }
	var at []float64
	for c := 0.0; c <= 150; c += 5 {
		at = append(at, kelvin(c))
	}
	got := make([]float64, len(at))
	ours, err := best(s.repeats, func() error {
		line, err := liquid.FitWalther([]liquid.Point{
			{Temperature: quantity.Temperature(kelvin(40)), Viscosity: 46 * square},
			{Temperature: quantity.Temperature(kelvin(100)), Viscosity: 6.8 * square},
		})
		if err != nil {
			return err
		}
		for i, t := range at {
			v, err := line.At(quantity.Temperature(t))
			if err != nil {
				return err
			}
			got[i] = float64(v)
		}
		return nil
	})
	if err != nil {
		return outcome{}, err
	}
	var there struct {
		Version   string
		Seconds   float64
		Viscosity []float64
	}
	input := map[string]any{"at": at, "points": [][2]float64{{kelvin(40), 46}, {kelvin(100), 6.8}}, "repeats": s.repeats}
	if err := ask(interpreter, "viscosity.py", input, &there); err != nil {
		return outcome{}, err
	}
	worst := 0.0
	for i, v := range there.Viscosity {
		worst = max(worst, math.Abs(got[i]/square/v-1))
	}
	last := len(at) - 1
	return outcome{
		against: there.Version, input: fmt.Sprintf("%d temperatures", len(at)), ours: ours, theirs: there.Seconds,
		values: []value{
			{"at 0 °C, mm²/s", got[0] / square, there.Viscosity[0], 1e-3 * there.Viscosity[0], "0.1 %"},
			{"at 150 °C, mm²/s", got[last] / square, there.Viscosity[last], 1e-3 * there.Viscosity[last], "0.1 %"},
			{"largest relative difference", worst, 0, 1e-3, "the equation back from Z is itself within 0.03 %"},
		},
		remark: "There: the forward equation of ASTM D341, its inverse by brentq.",
	}, nil
}

// compareWater compares with the industrial formulation of 1997.
func compareWater(s sizes) (outcome, error) {
	interpreter, err := python("iapws")
	if err != nil {
		return outcome{}, err
	}
	at := []float64{278.15, 293.15, 313.15, 333.15, 353.15, 363.15}
	got := make([]*liquid.Water, len(at))
	pressure := quantity.AbsolutePressure(101325)
	ours, err := best(s.repeats, func() (err error) {
		for i, t := range at {
			if got[i], err = liquid.WaterAt(quantity.Temperature(t), &pressure); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return outcome{}, err
	}
	var there struct {
		Version                   string
		Seconds                   float64
		Density, Viscosity, Vapor []float64
	}
	if err := ask(interpreter, "water.py", map[string]any{"at": at, "repeats": s.repeats}, &there); err != nil {
		return outcome{}, err
	}
	o := outcome{against: there.Version, input: fmt.Sprintf("%d temperatures", len(at)), ours: ours, theirs: there.Seconds}
	for i, t := range at {
		where := fmt.Sprintf(" at %.0f °C", t-273.15)
		w := got[i]
		o.values = append(o.values,
			value{"density" + where + ", kg/m³", float64(w.Density), there.Density[i], 1e-4 * there.Density[i], "0.01 %"},
			value{"viscosity" + where + ", Pa s", float64(w.Dynamic), there.Viscosity[i], 5e-3 * there.Viscosity[i], "0.5 %"},
			value{"vapour pressure" + where + ", Pa", float64(w.VaporPressure), there.Vapor[i], 1e-3 * there.Vapor[i], "0.1 %"})
	}
	return o, nil
}
