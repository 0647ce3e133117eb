package main

import (
	"fmt"
	"math"

	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/slip"
)

const (
	degree = math.Pi / 180
	bar    = 1e5
	litre  = 1e-3 / 60 // per minute
)

// oilDensity and oilViscosity are an invented oil.
const oilDensity, oilViscosity = 854.5, 0.0393 // kg/m³, Pa s

// inventedPump is a pump of no maker, for both sides.
func inventedPump() (slip.Pump, map[string]any, error) {
	mm := func(v float64) quantity.Length { return quantity.Length(v * millimetre) }
	g, err := gearset.Compute(gearset.Pair{
		RotorTeeth: 17, IdlerTeeth: 13, Module: mm(8), PressureAngle: 28 * degree,
		RotorAddendum: 0.8, IdlerAddendum: 0.8, RotorDedendum: 1.05, IdlerDedendum: 1.05,
		FaceWidth: mm(60), Backlash: mm(0.2), TipGapOuter: mm(0.15), TipGapInner: mm(0.15),
	})
	if err != nil {
		return slip.Pump{}, nil, err
	}
	teeth, err := slip.TeethOf(g)
	if err != nil {
		return slip.Pump{}, nil, err
	}
	pump := slip.Pump{
		Teeth: teeth,
		Clearances: slip.Clearances{
			End: mm(0.13), IdlerFloat: mm(0.20), CrescentEnd: mm(0.25), RotorRadial: mm(0.125), CrescentOuter: mm(0.15), CrescentInner: mm(0.15),
		},
		RotorRadius: mm(80), RimWidth: mm(16), ToothLand: mm(14), RotorDisplacement: 0.4, HeadSideShare: 0.5,
		RotorArc: 105 * degree, IdlerArc: 115 * degree,
		Pin:         slip.Bushing{Radius: mm(15), Clearance: mm(0.040), Length: mm(58)},
		ShaftRadius: mm(20), BackGap: mm(1.5), MeshFriction: 0.05, EntryExitLoss: slip.EntryExitLoss,
	}
	return pump, map[string]any{
		"zr": 17, "zi": 13, "m": 8e-3, "alpha": 28 * degree, "ha": 0.8, "hf": 1.05, "b": 60e-3, "backlash": 0.2e-3,
		"ro": 80e-3, "bd": 16e-3, "lod": 14e-3, "eps": 0.4, "sigma": 0.5, "phir": 105 * degree, "phii": 115 * degree,
		"rpin": 15e-3, "cpin": 0.040e-3, "cod": 0.125e-3, "se": 0.13e-3, "fi": 0.20e-3, "scr": 0.25e-3, "cco": 0.15e-3, "cci": 0.15e-3,
	}, nil
}

func compareSlip(s sizes) (outcome, error) {
	interpreter, err := python("numpy", "scipy")
	if err != nil {
		return outcome{}, err
	}
	pump, asTold, err := inventedPump()
	if err != nil {
		return outcome{}, err
	}
	oil := slip.Newtonian(oilDensity, oilViscosity)
	var speeds []quantity.RotationalSpeed
	var pressures []quantity.PressureDifference
	var perSecond, pascal []float64
	for i := range s.mapSide {
		share := float64(i+1) / float64(s.mapSide)
		perSecond, pascal = append(perSecond, share*500/60), append(pascal, share*10*bar)
		speeds = append(speeds, quantity.RotationalSpeed(2*math.Pi*perSecond[i]))
		pressures = append(pressures, quantity.PressureDifference(pascal[i]))
	}
	var field [][]slip.Result
	ours, err := best(s.repeats, func() error {
		m, err := slip.Prepare(pump)
		if err == nil {
			field, err = m.Map(oil, speeds, pressures, slip.DefaultFactors())
		}
		return err
	})
	if err != nil {
		return outcome{}, err
	}
	var there struct {
		Version string
		Seconds float64
		Flow    [][]float64
	}
	input := map[string]any{"pump": asTold, "rho": oilDensity, "mu": oilViscosity, "speeds": perSecond, "pressures": pascal, "repeats": 1}
	if err := ask(interpreter, "slip.py", input, &there); err != nil {
		return outcome{}, err
	}
	worst, most := 0.0, 0.0
	for i, row := range field {
		for j, r := range row {
			worst = max(worst, math.Abs(float64(r.Flow)-there.Flow[i][j]))
			most = max(most, float64(r.TheoreticalFlow))
		}
	}
	last := s.mapSide - 1
	return outcome{
		against: there.Version, input: fmt.Sprintf("%d × %d points, oil of 39 mPa s", s.mapSide, s.mapSide), ours: ours, theirs: there.Seconds,
		values: []value{
			{"flow at the highest speed and pressure, L/min", float64(field[last][last].Flow) / litre, there.Flow[last][last] / litre, 1e-4 * most / litre, "0.01 % of the theoretical flow"},
			{"largest difference of flow on the map, L/min", worst / litre, 0, 1e-4 * most / litre, "0.01 % of the theoretical flow"},
		},
		remark: "There: the same equations written plainly, each gap by brentq, run once; here power and paths are computed as well.",
	}, nil
}

// compareCalibrate fits slip and displacement to twelve invented bench points.
func compareCalibrate(s sizes) (outcome, error) {
	interpreter, err := python("numpy", "scipy")
	if err != nil {
		return outcome{}, err
	}
	pump, asTold, err := inventedPump()
	if err != nil {
		return outcome{}, err
	}
	m, err := slip.Prepare(pump)
	if err != nil {
		return outcome{}, err
	}
	oil := slip.Newtonian(oilDensity, oilViscosity)
	truth := slip.DefaultFactors()
	truth.Slip, truth.Displacement = 1.3, 0.995
	const u = 0.5 * litre
	var points []slip.Measurement
	var bench []map[string]float64
	for i := range 12 {
		point := slip.Point{
			Speed:    quantity.RotationalSpeed(2 * math.Pi * float64(200+100*(i%4)) / 60),
			Pressure: quantity.PressureDifference(float64(1+4*(i/4)) * bar),
		}
		r, err := m.At(oil, point, truth)
		if err != nil {
			return outcome{}, err
		}
		flow := r.Flow + quantity.Flow(u*math.Sin(float64(7*i))) // scatter
		points = append(points, slip.Measurement{Point: point, Liquid: oil, Flow: quantity.Within(flow, u)})
		bench = append(bench, map[string]float64{
			"n": float64(point.Speed) / (2 * math.Pi), "dp": float64(point.Pressure), "q": float64(flow),
		})
	}
	var fitted *slip.Calibration
	ours, err := best(s.repeats, func() error {
		m, err := slip.Prepare(pump)
		if err == nil {
			fitted, err = m.Calibrate(points, []slip.Factor{slip.FitSlip, slip.FitDisplacement})
		}
		return err
	})
	if err != nil {
		return outcome{}, err
	}
	var there struct {
		Version                                                 string
		Seconds, Slip, SlipU, Displacement, DisplacementU, Cost float64
	}
	input := map[string]any{"pump": asTold, "rho": oilDensity, "mu": oilViscosity, "bench": bench, "u": u, "repeats": 1}
	if err := ask(interpreter, "slip.py", input, &there); err != nil {
		return outcome{}, err
	}
	return outcome{
		against: there.Version, input: "12 points, slip and displacement", ours: ours, theirs: there.Seconds,
		values: []value{
			{"slip factor", fitted.Factors.Slip, there.Slip, 1e-3, "a fiftieth of its uncertainty"},
			{"u of its logarithm", fitted.U[0], there.SlipU, 0.01 * there.SlipU, "differences of another step"},
			{"displacement factor", fitted.Factors.Displacement, there.Displacement, 1e-4, "a tenth of its uncertainty"},
			{"u of it", fitted.U[1], there.DisplacementU, 0.01 * there.DisplacementU, "differences of another step"},
			{"sum of squares", fitted.Cost, there.Cost, 1e-3 * there.Cost, "at the same minimum"},
		},
		remark: "There: least_squares on leaks computed once for each point.",
	}, nil
}
