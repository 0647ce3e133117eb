package slip

import (
	"math"
	"testing"

	"pumpwright/calc/quantity"
)

func lawSpeed(l Liquid, dp, h, length, u float64, along bool) float64 {
	f := l.flow(EntryExitLoss)
	g := f.gap(h, length, 1, u, along)
	w, _ := f.speed(&g, dp)
	return w
}

func TestGapLawRows(t *testing.T) {
	for _, r := range []struct {
		id              string
		got, want, toll float64
	}{
		{"B02 w water", lawSpeed(water(), 1e5, 0.12*mm, 14*mm, 2.5, true), 6.13998, 1e-3},
		{"B04 w molasses, wall at rest", lawSpeed(molasses(40), 5e5, 0.15*mm, 14*mm, 0, true), 0.0222242, 1e-3},
		{"B06 w molasses, wall moving", lawSpeed(molasses(40), 5e5, 0.15*mm, 14*mm, 2.5, true), 0.0344949, 1e-3},
		{"B08 oil at 10 °C, mm²/s", oilViscosity(10) * 1e6, 261.874, 1e-3},
		{"B10 body factor", bodyFactor(0.10*mm, 43.6*mm, 15*mm, 60*mm, 0.040*mm, 13), 1.34148, 1e-3},
		{"L07 body factor by finite volumes", bodyFactor(0.10*mm, 43.6*mm, 15*mm, 60*mm, 0.040*mm, 13), 1.34168, 2e-3},
	} {
		near(t, r.id, prototype, r.got, r.want, r.toll*r.want)
	}
}

// Change of pressure-driven slip, and of slip, for changed sizes.
func TestSensitivityRows(t *testing.T) {
	base := modelM(t)
	driven := func(m *Model, l Liquid, pt Point) float64 {
		r := at(t, m, l, pt)
		return (r.Slip - r.SlipAtZero).SI()
	}
	changed := func(change func(*Pump)) *Model {
		p := pumpM(t)
		change(&p)
		m, err := Prepare(p)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	wider := changed(func(p *Pump) { p.Clearances.RotorRadial *= 1.1 })
	inner := changed(func(p *Pump) { p.Clearances.CrescentInner *= 1.1 })
	rim := changed(func(p *Pump) { p.RimWidth *= 1.1 })
	open := changed(func(p *Pump) { p.Clearances.RotorRadial += 0.05 * mm })
	for _, c := range []struct {
		name   string
		liquid Liquid
		pt     Point
		rows   [4]string
		want   [4]float64
	}{
		{"oil 40 °C 500 rpm 10 bar", lightOil(40), operating(500, 10), [4]string{"D02", "D04", "D06", "D08"}, [4]float64{13.9325, 7.24916, -2.15717, 3.98733}},
		{"water 20 °C 500 rpm 4 bar", water(), operating(500, 4), [4]string{"D10", "D12", "D14", "D16"}, [4]float64{8.47653, 1.49805, -1.38809, 13.6723}},
	} {
		b := driven(base, c.liquid, c.pt)
		for i, m := range []*Model{wider, inner, rim} {
			got := 100 * (driven(m, c.liquid, c.pt)/b - 1)
			near(t, c.rows[i]+" "+c.name, prototype, got, c.want[i], 1e-3*math.Abs(c.want[i]))
		}
		got := (at(t, open, c.liquid, c.pt).Slip - at(t, base, c.liquid, c.pt).Slip).SI() / lpm
		near(t, c.rows[3]+" "+c.name, prototype, got, c.want[3], 1e-3*c.want[3])
	}
}

func TestSlipAtZeroPressure(t *testing.T) {
	m := modelM(t)
	near(t, "q₀ oil, ε_od 0.4", prototype, at(t, m, lightOil(40), operating(500, 5)).SlipAtZero.SI()/lpm, -1.9304, 1e-3*1.93)
	p := pumpM(t)
	p.RotorDisplacement = 0
	central, err := Prepare(p)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "q₀ concentric", prototype, at(t, central, lightOil(40), operating(500, 5)).SlipAtZero.SI()/lpm, -1.9505, 1e-3*1.95)
}

func TestEfficiencyOverEndClearance(t *testing.T) {
	m := modelM(t)
	for _, c := range []struct {
		name   string
		liquid Liquid
		pt     Point
		want   [4]float64
	}{
		{"water 500 rpm 4 bar", water(), operating(500, 4), [4]float64{.811, .764, .683, .493}},
		{"oil 40 °C 500 rpm 10 bar", lightOil(40), operating(500, 10), [4]float64{.984, .979, .956, .821}},
	} {
		for i, s := range []float64{0.05, 0.13, 0.25, 0.50} {
			near(t, c.name, prototype, at(t, withEnd(t, m, quantity.Length(s*mm)), c.liquid, c.pt).VolumetricEfficiency, c.want[i], 0.00051)
		}
	}
	for _, s := range []quantity.Length{0.05 * mm, 0.13 * mm, 0.25 * mm, 0.5 * mm} {
		if eta := at(t, withEnd(t, m, s), molasses(40), operating(100, 6)).VolumetricEfficiency; eta < 0.995 || eta > 1.015 { // two decimals were printed
			t.Errorf("molasses at %v: η_v %v, want 1.00 to 1.01 (%s)", s, eta, prototype)
		}
	}
}

// Share of pressure-driven slip that disappears with each gap, pump M.
func TestClearanceShares(t *testing.T) {
	m := modelM(t)
	for _, l := range []struct {
		liquid Liquid
		pt     Point
	}{{water(), operating(500, 4)}, {lightOil(40), operating(500, 10)}} {
		r := at(t, m, l.liquid, l.pt)
		full := (r.Slip - r.SlipAtZero).SI()
		share := func(change func(*Clearances)) float64 {
			c := m.Pump().Clearances
			change(&c)
			other, err := m.With(c)
			if err != nil {
				t.Fatal(err)
			}
			x := at(t, other, l.liquid, l.pt)
			return 1 - (x.Slip-x.SlipAtZero).SI()/full
		}
		for _, c := range []struct {
			name      string
			low, high float64
			change    func(*Clearances)
		}{
			{"rotor outside and rim", 0.415, 0.505, func(c *Clearances) { c.RotorRadial = 0 }},
			{"crescent tips", 0.225, 0.385, func(c *Clearances) { c.CrescentOuter, c.CrescentInner = 0, 0 }},
			{"all end gaps", 0.195, 0.275, func(c *Clearances) { c.End, c.IdlerFloat, c.CrescentEnd = 0, 0, 0 }},
			{"rotor tooth ends", 0.03, 0.07, func(c *Clearances) { c.End = 0 }},
		} {
			if s := share(c.change); s < c.low || s > c.high {
				t.Errorf("%s: share %.3f, want %.3f to %.3f (%s)", c.name, s, c.low, c.high, prototype)
			}
		}
	}
}

func TestLossOptimumRows(t *testing.T) {
	m := modelM(t)
	for _, c := range []struct {
		id     string
		liquid Liquid
		pt     Point
		want   float64 // mm
	}{
		{"I01 water 300 rpm 2 bar", water(), operating(300, 2), 0.0200075},
		{"I03 oil 90 °C 500 rpm 8 bar", lightOil(90), operating(500, 8), 0.0442602},
		{"I05 oil 40 °C 500 rpm 8 bar", lightOil(40), operating(500, 8), 0.147352},
		{"I07 oil 10 °C 400 rpm 6 bar", lightOil(10), operating(400, 6), 0.425078},
		{"I09 molasses 40 °C 100 rpm 8 bar", molasses(40), operating(100, 8), 0.637883},
		{"I11 molasses 20 °C 60 rpm 8 bar", molasses(20), operating(60, 8), 0.976584},
	} {
		s, err := m.LossOptimum(c.liquid, c.pt, DefaultFactors(), 0.02*mm, 1.5*mm)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.id, prototype, s.SI()/mm, c.want, 0.001*c.want)
	}
}

func TestLimits(t *testing.T) {
	p := pumpM(t)
	p.Clearances = Clearances{}
	m, err := Prepare(p)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range []Liquid{water(), lightOil(40), molasses(40)} {
		r := at(t, m, l, operating(500, 10))
		near(t, "L11 all clearances to zero: η_v", prototype, r.VolumetricEfficiency, 1, 1e-3)
		if r.Power != nil || r.Unknown.IsZero() {
			t.Error("with closed gaps the friction has no bound: power must be refused and the reason said")
		}
	}
}

// bench E: the worn pump on the bench.
func benchE(t testing.TB) (worn *Model, points []Measurement) {
	m := modelM(t)
	c := m.Pump().Clearances.WithEnd(0.25 * mm)
	c.RotorRadial = 0.20 * mm
	worn, err := m.With(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range [][4]float64{{500, 2, 162.130, 675.06}, {500, 5, 154.436, 1529.37}, {500, 8, 148.688, 2359.67}, {300, 5, 88.355, 891.34}} {
		power := quantity.Within(quantity.Power(r[3]), 15)
		points = append(points, Measurement{
			Point: operating(r[0], r[1]), Liquid: lightOil(40),
			Flow: quantity.Within(quantity.Flow(r[2]*lpm), 0.8*lpm), Power: &power,
		})
	}
	return worn, points
}

func TestCalibrationRows(t *testing.T) {
	worn, points := benchE(t)
	c, err := worn.Calibrate(points, []Factor{FitSlip, FitDrag})
	if err != nil {
		t.Fatal(err)
	}
	if !c.Accepted {
		t.Fatalf("cost %v over %v", c.Cost, c.Limit)
	}
	near(t, "E02 u(ln k_s)", prototype, c.U[0], 0.0334375, 0.001*0.0334375)
	near(t, "E04 u(ln k_v)", prototype, c.U[1], 0.0892559, 0.001*0.0892559)
	rebuilt := modelM(t)
	p, err := c.Predict(rebuilt, lightOil(40), operating(500, 8), ClearanceU{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "E06 predicted flow", prototype, p.Flow.Value.SI()/lpm, 160.148, 1e-5*160.148)
	near(t, "E08 predicted power", prototype, p.Power.Value.SI(), 2407.49, 1e-5*2407.49)
	three, err := worn.Calibrate(points, []Factor{FitSlip, FitDrag, FitEndBias})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "E10 correlation of ln k_s and δ", prototype, three.Correlation[0][2], -0.870897, 0.001)
	if len(three.Statements) < 2 {
		t.Errorf("two factors that cannot be told apart must be said: %v", three.Statements)
	}
}
