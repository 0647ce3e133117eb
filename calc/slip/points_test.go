package slip

import (
	"math"
	"testing"

	"pumpwright/calc/quantity"
)

// The operating points of the independent prototype, each to half of its last
// printed digit.
var operatingPoints = []struct {
	id                                       string
	liquid                                   Liquid
	speed, pressure, end                     float64 // rpm, bar, mm
	qth, q, eta, drag, mesh, seal, fill      float64
	power, torque, overall, loss             float64
	mu                                       float64
	gMesh, gRotor, gIdler, gBody, gEnd, back float64
	dragEnd, dragOD, dragPin                 float64
}{
	{"P01", water(), 300, 2, 0.10, 98.439, 76.087, 0.7729, 1.7, 0.30, 9.21, 5.19, 348.3, 11.09, 0.7281, 1.58,
		0.001002, 5.242, 3.414, 3.090, 1.646, 1.162, 7.797, 0.22, 0.39, 0.06},
	{"P03", hotWater(), 500, 2, 0.15, 164.064, 132.269, 0.8062, 2.0, 0.50, 15.23, 23.08, 594.2, 11.35, 0.7420, 4.22,
		0.000315, 7.125, 4.146, 3.514, 5.046, 1.865, 10.100, 0.20, 0.50, 0.05},
	{"P05", lightOil(40), 500, 10, 0.13, 164.064, 160.570, 0.9787, 165.6, 2.48, 44.27, 24.98, 3003.9, 57.37, 0.8909, 4.57,
		0.039307, 2.033, -0.697, 0.207, 0.341, 0.320, 1.290, 18.66, 42.98, 6.54},
	{"P07", lightOil(90), 500, 8, 0.13, 164.064, 143.815, 0.8766, 29.7, 1.99, 37.02, 20.48, 2302.5, 43.97, 0.8328, 3.75,
		0.0070591, 5.545, 2.622, 3.577, 1.515, 1.387, 5.603, 3.35, 7.72, 1.18},
	{"P09", molasses(40), 100, 6, 0.25, 32.813, 33.106, 1.0089, 368.5, 0.30, 5.93, 14.45, 721.2, 68.87, 0.4591, 13.21,
		8, 0.215, -0.344, -0.200, 0.013, 0.010, 0.013, 25.67, 104.70, 16.38},
	{"P11", molasses(40), 180, 10, 0.25, 59.063, 59.594, 1.0090, 1123.6, 0.89, 15.82, 45.04, 2181.4, 115.73, 0.4553, 22.88,
		8, 0.386, -0.619, -0.360, 0.023, 0.017, 0.023, 78.38, 318.96, 49.94},
}

func TestOperatingPoints(t *testing.T) {
	m := modelM(t)
	for _, c := range operatingPoints {
		r := at(t, withEnd(t, m, quantity.Length(c.end*mm)), c.liquid, operating(c.speed, c.pressure))
		check := func(name string, got, want, relative, absolute float64) {
			t.Helper()
			near(t, c.id+" "+name, prototype, got, want, math.Max(relative*math.Abs(want), absolute))
		}
		check("µ₀", c.liquid.AtRest.SI(), c.mu, 1e-4, 0)
		check("Q_th", r.TheoreticalFlow.SI()/lpm, c.qth, 0, 0.00051)
		check("Q", r.Flow.SI()/lpm, c.q, 0, 0.00051)
		check("η_v", r.VolumetricEfficiency, c.eta, 0.003, 0)
		check("mesh", r.Paths.Mesh.SI()/lpm, c.gMesh, 0, 0.00051)
		check("rotor crescent", r.Paths.RotorCrescent.SI()/lpm, c.gRotor, 0, 0.00051)
		check("idler crescent", r.Paths.IdlerCrescent.SI()/lpm, c.gIdler, 0, 0.00051)
		check("body", r.Paths.IdlerBody.SI()/lpm, c.gBody, 0, 0.00051)
		check("crescent end", r.Paths.CrescentEnd.SI()/lpm, c.gEnd, 0, 0.00051)
		check("back", r.Paths.Back.SI()/lpm, c.back, 0, 0.00051)
		p := r.Power
		check("drag", (p.Gaps + p.Pin + p.ShaftBushing).SI(), c.drag, 0, 0.051)
		check("P mesh", p.Mesh.SI(), c.mesh, 0, 0.0051) // half of the last printed digit
		check("P seal", p.Seal.SI(), c.seal, 0, 0.0051)
		check("P fill", p.Filling.SI(), c.fill, 0, 0.0051)
		check("P", p.Total.SI(), c.power, 0, 0.051)
		check("T", p.Torque.SI(), c.torque, 0, 0.0051)
		check("η", p.Overall, c.overall, 0.003, 0)
		check("Δp_fill kPa", r.Filling.SI()/1000, c.loss, 0.003, 0.01)
		check("drag rotor ends", p.Drag.RotorEnds.SI(), c.dragEnd, 0, 0.0051)
		check("drag od", p.Drag.RotorTeeth.SI(), c.dragOD, 0, 0.0051)
		check("drag pin", p.Drag.Pin.SI(), c.dragPin, 0, 0.0051)
	}
}
