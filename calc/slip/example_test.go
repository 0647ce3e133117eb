package slip_test

import (
	"fmt"

	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/slip"
)

// An invented pump on light oil at 40 °C, 500 rpm and 10 bar. The independent
// prototype of the same equations (numpy 1.24.2 / scipy 1.10.1) gives
// 160.570 L/min and 3003.9 W.
func Example() {
	const deg, rpm = 3.141592653589793 / 180, 3.141592653589793 / 30
	gears, err := gearset.Compute(gearset.Pair{
		RotorTeeth: 17, IdlerTeeth: 13, Module: 8e-3, PressureAngle: 28 * deg,
		RotorAddendum: 0.8, IdlerAddendum: 0.8, RotorDedendum: 1.05, IdlerDedendum: 1.05,
		FaceWidth: 60e-3, Backlash: 0.2e-3, TipGapOuter: 0.15e-3, TipGapInner: 0.15e-3,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	teeth, err := slip.TeethOf(gears)
	if err != nil {
		fmt.Println(err)
		return
	}
	pump, err := slip.Prepare(slip.Pump{
		Teeth: teeth,
		Clearances: slip.Clearances{
			End: 0.13e-3, IdlerFloat: 0.20e-3, CrescentEnd: 0.25e-3,
			RotorRadial: 0.125e-3, CrescentOuter: 0.15e-3, CrescentInner: 0.15e-3,
		},
		RotorRadius: 80e-3, RimWidth: 16e-3, ToothLand: 14e-3, RotorDisplacement: 0.4, HeadSideShare: 0.5,
		RotorArc: 105 * deg, IdlerArc: 115 * deg,
		Pin:          slip.Bushing{Radius: 15e-3, Clearance: 0.040e-3, Length: 58e-3},
		ShaftBushing: &slip.Bushing{Radius: 20e-3, Clearance: 0.045e-3, Length: 50e-3},
		ShaftRadius:  20e-3, BackGap: 1.5e-3, MeshFriction: 0.05,
		Seal:          &slip.Seal{FaceArea: 600e-6, MeanRadius: 25e-3, BalanceRatio: 0.8, SpringPressure: 1.5e5, Friction: 0.07},
		Filling:       &slip.Filling{SpaceWidth: 5e-3, PortArc: 80 * deg},
		EntryExitLoss: slip.EntryExitLoss,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	oil := slip.Newtonian(854.5, 854.5*46e-6)
	r, err := pump.At(oil, slip.Point{Speed: 500 * rpm, Pressure: 10e5}, slip.DefaultFactors())
	if err != nil {
		fmt.Println(err)
		return
	}
	litres, _ := quantity.In(r.Flow, "L/min")
	fmt.Printf("%.2f L/min, %.0f W\n", litres, r.Power.Total.SI())
	// Output:
	// 160.57 L/min, 3004 W
}
