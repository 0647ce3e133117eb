package slip

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func through(t *testing.T, l Liquid, g Gap, dp float64) GapFlow {
	t.Helper()
	r, err := g.Through(l, quantity.PressureDifference(dp))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

const mL = 1e-6 / 60 // mL/min in m³/s

// Plane slots with still and moving wall: closed form, computed with Python 3.
func TestPlaneSlots(t *testing.T) {
	const source = "closed form of plane Poiseuille and Couette flow, computed with Python 3"
	slot := func(breadth, h, length float64) Gap {
		return Gap{Height: quantity.Length(h), Length: quantity.Length(length), Breadth: quantity.Length(breadth)}
	}
	moving := func(g Gap, u float64) Gap { g.Wall, g.Carries = quantity.Speed(u), 1; return g }
	a, b := slot(20*mm, 50e-6, 10*mm), slot(60*mm, 100e-6, 12*mm)
	const inch, gpm = 0.0254, 3.785411784e-3 / 60
	for _, r := range []struct {
		id        string
		got, want float64
	}{
		{"4a.1", through(t, Newtonian(870, 0.1), a, 7e5).Flow.SI() / mL, 8.75},
		{"4a.2", through(t, Newtonian(870, 0.05), b, 10e5).Flow.SI() / mL, 500},
		{"4a.3", through(t, Newtonian(870, 0.1), slot(2*inch, 0.004*inch, 0.5*inch), 100*6894.757293).Flow.SI() / gpm, 0.0382047},
		{"4a.4", through(t, Newtonian(870, 0.1), moving(a, 2), 7e5).Flow.SI() / mL, -51.25},
		{"4a.5", through(t, Newtonian(870, 0.1), moving(a, -2), 7e5).Flow.SI() / mL, 68.75},
		{"4a.6", through(t, Newtonian(870, 0.05), moving(b, 3.5), 10e5).Flow.SI() / mL, -130},
		{"4a.7 wall that stops the leak", through(t, Newtonian(870, 0.1), moving(a, 0.291667), 7e5).Flow.SI()/mL + 8.75, 8.75},
		{"4b.7 four equal lands in series", through(t, Newtonian(870, 0.05), slot(30*mm, 60e-6, 3*mm), 2e5).Flow.SI() / mL, 43.2},
	} {
		near(t, r.id, source, r.got, r.want, 2e-5*math.Abs(r.want))
	}
}

// Gaps that are not laminar, or short: the stated model, scipy 1.10.1.
func TestThinLiquidSlots(t *testing.T) {
	const source = "energy balance with Blasius friction and K 1.5, scipy 1.10.1 / numpy 1.24.2"
	l := Newtonian(998, 1*mPas)
	r := through(t, l, Gap{Height: 0.1 * mm, Length: 20 * mm, Breadth: 50 * mm, Loss: 1.5}, 2e5)
	near(t, "4e.2 laminar with K", source, r.Flow.SI()/lpm, 2.0592, 0.01*2.0592)
	near(t, "4e.2 Re", source, r.Reynolds, 1370, 0.01*1370)
	// 4e.1 has Darcy 0.316 Re^−¼ on the hydraulic diameter, i.e. Fanning 0.079;
	// the law's 0.0868 is 10 % more friction, up to 5 % less flow.
	r = through(t, l, Gap{Height: 0.3 * mm, Length: 20 * mm, Breadth: 50 * mm, Loss: 1.5}, 5e5)
	if q := r.Flow.SI() / lpm; q > 17.993 || q < 0.95*17.993 {
		t.Errorf("4e.1: %.4g L/min, want 0 to 5 %% below 17.993 (%s)", q, source)
	}
	if r.Reynolds > 11971*1.01 || r.Reynolds < 0.94*11971 {
		t.Errorf("4e.1: Re %.5g, want 0 to 6 %% below 11971 (%s)", r.Reynolds, source)
	}
	// Without entry and exit the same friction law alone limits it.
	r = through(t, l, Gap{Height: 0.3 * mm, Length: 20 * mm, Breadth: 50 * mm}, 5e5)
	near(t, "4e.1 friction alone, 0.0868 in place of 0.079", source, r.Flow.SI()/lpm, 30.301*math.Pow(0.079/0.0868, 4/7.), 0.01*30.301)
	near(t, "4e.1 friction alone, Re", source, r.Reynolds, 20160*math.Pow(0.079/0.0868, 4/7.), 0.01*20160)
	// A thousand times as thick it is laminar: 168.75 L/min over a thousand; the
	// laminar formula, false for water itself (Re 112275).
	r = through(t, Newtonian(998, 1000*mPas), Gap{Height: 0.3 * mm, Length: 20 * mm, Breadth: 50 * mm}, 5e5)
	near(t, "4e.1 laminar formula", source, r.Flow.SI()/lpm*1000, 168.75, 0.01*168.75)
	near(t, "4e.1 laminar formula, Re", source, r.Reynolds*1e6, 112275, 0.01*112275)
}

// Power-law slots against the exact slit flow: the Cross form far above its
// bend is a power law.
func TestPowerLawSlots(t *testing.T) {
	const source = "exact power-law slit flow, scipy 1.10.1 / numpy 1.24.2"
	for _, c := range []struct {
		id                           string
		breadth, h, length, dp, k, n float64
		want                         float64
	}{
		{"6.1", 20, 0.1, 10, 7e5, 5, 0.6, 90.3046},
		{"6.2", 50, 0.5, 20, 2e5, 20, 0.4, 14557.7},
		{"6.3", 40, 0.3, 15, 3e5, 10, 0.5, 2430},
		{"6.4", 20, 0.05, 10, 7e5, 0.1, 1, 8.75},
	} {
		bend := 1e-14
		l := Liquid{Density: 100, AtRest: quantity.DynamicViscosity(c.k * math.Pow(bend, c.n-1)), Index: c.n, Bend: quantity.ShearRate(bend)}
		r := through(t, l, Gap{Height: quantity.Length(c.h * mm), Length: quantity.Length(c.length * mm), Breadth: quantity.Length(c.breadth * mm)}, c.dp)
		near(t, c.id, source, r.Flow.SI()/mL, c.want, 2e-5*c.want)
	}
	// 6.5, a liquid of n 1.3 that thickens when sheared (91.2215 mL/min by the
	// same source), is not in this model: refused, with the field.
	thickens := Liquid{Density: 100, AtRest: 0.02, Index: 1.3, Bend: 1}
	_, err := Gap{Height: 0.2 * mm, Length: 20 * mm, Breadth: 30 * mm}.Through(thickens, 4e5)
	if p := say.AsProblem(err); p == nil || p.Field != "liquid.shear.n" {
		t.Errorf("n 1.3: %v", err)
	}
}

// slit solves the flow of a Cross liquid between a wall at rest and one that
// moves with u, along the leak, exactly: the shear stress is linear across the
// gap. It returns the pressure-driven mean speed.
func slit(l Liquid, dp, h, length, u float64) float64 {
	f := l.flow(0)
	rate := func(tau float64) float64 { // solves µ(γ)γ = τ
		if tau == 0 {
			return 0
		}
		a := math.Abs(tau)
		low, high := 0.0, a/math.Max(f.muInf, 1e-9)
		for range 60 {
			middle := (low + high) / 2
			if f.viscosity(middle)*middle < a {
				low = middle
			} else {
				high = middle
			}
		}
		return math.Copysign((low+high)/2, tau)
	}
	g := dp / length // stress falls across the gap by g·h
	wall := func(tau0 float64) float64 {
		return quad.Fixed(func(y float64) float64 { return rate(tau0 - g*y) }, 0, h, 60, nil, 0)
	}
	low, high := -1e6, 1e6
	for range 70 { // the moving wall goes against the leak: speed −u
		middle := (low + high) / 2
		if wall(middle) < -u {
			low = middle
		} else {
			high = middle
		}
	}
	tau0 := (low + high) / 2
	// mean of v = ∫ γ dy, by parts: ∫ γ (h − y) dy / h
	mean := quad.Fixed(func(y float64) float64 { return rate(tau0-g*y) * (h - y) }, 0, h, 60, nil, 0) / h
	return mean + u/2
}

// The shear-thinning law against the full solution across the gap. For n 0.85
// the prototype gave 1.2 %; for n 0.5 it gave 7 %, and these conditions, which
// reach further into the bend of the curve, 8.2 %.
func TestThinningAgainstFullSolution(t *testing.T) {
	const source = "full 1-D solution across the gap, solved here without the law's shear rate"
	for _, c := range []struct {
		n, tolerance float64
	}{{0.85, 0.015}, {0.5, 0.085}} {
		l := molasses(40)
		l.Index = c.n
		for _, h := range []float64{0.1 * mm, 0.3 * mm} {
			for _, u := range []float64{0, 0.5, 2.5} {
				for _, dp := range []float64{1e5, 5e5} {
					f := l.flow(0)
					g := f.gap(h, 14*mm, 1, u, true)
					w, _ := f.speed(&g, dp)
					near(t, "L09 law over full solution", source, w/slit(l, dp, h, 14*mm, u), 1, c.tolerance)
				}
			}
		}
	}
}

// Leak past a ring off centre, integrated element by element, while laminar.
func TestEccentricRing(t *testing.T) {
	for _, c := range []struct {
		id       string
		eps, law float64
	}{
		{"L01 finite elements", 0.3, 1.13498}, {"L03 finite elements", 0.8, 1.95985},
		{"4c.4 narrow gap", 0.5, 1.375}, {"4c.5 narrow gap", 0.9, 2.215},
	} {
		p := pumpM(t)
		p.RotorDisplacement, p.EntryExitLoss = c.eps, 0
		m, err := Prepare(p)
		if err != nil {
			t.Fatal(err)
		}
		f := Newtonian(900, 1).flow(0)
		var pt, central point
		m.prepare(&pt, &f, 1)
		p.RotorDisplacement = 0
		if m, err = Prepare(p); err != nil {
			t.Fatal(err)
		}
		m.prepare(&central, &f, 1)
		wide, _ := pt.rim[0].leak(&f, 1e5)
		narrow, _ := pt.rim[1].leak(&f, 1e5)
		one, _ := central.rim[0].leak(&f, 1e5)
		near(t, c.id, "finite elements, numpy 1.24.2, against the law 1 + 1.5ε²", (wide+narrow)/(2*one), c.law, 1e-3*c.law)
		half := 6*c.eps/math.Pi + 4*c.eps*c.eps*c.eps/(3*math.Pi)
		near(t, c.id+" wide half", "closed form, derived here", wide/one, 1+1.5*c.eps*c.eps+half, 1e-6)
		near(t, c.id+" narrow half", "closed form, derived here", narrow/one, 1+1.5*c.eps*c.eps-half, 1e-6)
	}
}

// Measured leak through single gaps.
func TestMeasuredGaps(t *testing.T) {
	// Kanki and Kawakami, IMechE 1984: annular water seal, rotor turning.
	u := 2000 * rpm * 0.1
	seal := Gap{Height: 0.5 * mm, Length: 200 * mm, Breadth: quantity.Length(2 * math.Pi * 100.25 * mm), Wall: quantity.Speed(u), Loss: 1.5}
	r := through(t, Newtonian(996.89, 0.87799*mPas), seal, 9.8e5)
	near(t, "5d.1 measured", "Kanki and Kawakami, IMechE 1984, via public repository trosny/bulk_flow", r.Flow.SI()/lpm, 278.0, 0.06*278)
	near(t, "5d.1 law", "gap law computed with Python 3", r.Flow.SI()/lpm, 287.3, 0.002*287.3)
	near(t, "5d.1 Re", "gap law computed with Python 3", r.Reynolds, 20960, 0.01*20960)

	// Davies and White, Proc. R. Soc. A 119 (1928) 92: plane slot in water, both
	// pressure holes inside the slot, so no inlet loss lies between them.
	const slotSource = "Davies and White, Proc. R. Soc. A 119 (1928) p. 107, via public repository atrettel/sheardata"
	for _, c := range []struct {
		id                            string
		celsius, nu, head, flow, toll float64
	}{
		{"5d.2", 18.30, 0.01043, 7.62, 2.596, 0.02}, {"5d.3", 18.30, 0.01043, 10.42, 3.554, 0.02},
		{"5d.4", 18.30, 0.01043, 12.77, 4.337, 0.02}, {"5d.5", 18.30, 0.01043, 14.31, 4.864, 0.02},
		{"5d.6", 18.30, 0.01043, 15.46, 5.236, 0.02}, {"5d.7", 18.30, 0.01043, 24.97, 8.308, 0.04},
		{"5d.8", 18.25, 0.01045, 11.21, 3.809, 0.02}, {"5d.9", 18.20, 0.01046, 9.75, 3.294, 0.02},
		{"5d.10", 18.20, 0.01046, 11.80, 3.993, 0.02},
	} {
		const rho = 998.5
		l := Newtonian(rho, quantity.DynamicViscosity(c.nu*1e-4*rho))
		r := through(t, l, Gap{Height: 0.238 * mm, Length: 7.80 * mm, Breadth: 25.40 * mm}, rho*9.80665*c.head/100)
		near(t, c.id+" g/s", slotSource, r.Flow.SI()*rho*1000, c.flow, c.toll*c.flow)
		whole := through(t, l, Gap{Height: 0.238 * mm, Length: 7.80 * mm, Breadth: 25.40 * mm, Loss: 1.5}, rho*9.80665*c.head/100)
		if off := 1 - whole.Flow.SI()/r.Flow.SI(); off < 0.10 || off > 0.45 {
			t.Errorf("5d.11: with all of K between the holes the flow is %.2f low; the source says 15 to 39 %%", off)
		}
	}
	// Same source, table p. 95: depth measured directly and depth from the flow.
	measured := []float64{0.15, 0.20, 0.23, 0.24, 0.36, 0.40, 0.47}
	fromFlow := []float64{0.154, 0.205, 0.236, 0.244, 0.364, 0.412, 0.476}
	for i := range measured {
		slot := func(h float64) float64 {
			return through(t, water(), Gap{Height: quantity.Length(h * mm), Length: 1, Breadth: 25.4 * mm}, 100).Flow.SI()
		}
		near(t, "5d.12", slotSource, slot(fromFlow[i])/slot(measured[i]), 1, 0.12)
	}
}

// The turbulent limb against friction measured in wide ducts.
func TestTurbulentLimb(t *testing.T) {
	for _, c := range []struct{ re, fanning, toll float64 }{{5000, 0.009846, 0.12}, {10000, 0.007997, 0.12}, {20000, 0.006496, 0.13}} {
		// 5d.19: Beavers, Sparrow and Lloyd, J. Fluids Eng. (1971) 296.
		h, l := 1*mm, water()
		w := c.re * l.AtRest.SI() / (2 * h * l.Density.SI())
		dp := c.fanning * 1 / h * l.Density.SI() * w * w
		r := through(t, l, Gap{Height: quantity.Length(h), Length: 1, Breadth: 1}, dp)
		near(t, "5d.19 flow", "Beavers, Sparrow and Lloyd, J. Fluids Eng. (1971), abstract", r.Mean.SI()/w, 1, 0.08)
	}
	// 5d.20: the pipe law on two thirds of 2h gives 0.0875 Re^−¼.
	near(t, "5d.20", "laminar-equivalent diameter, computed by hand", turbulentFactor, 0.0791*math.Pow(1.5, 0.25), 0.01*0.0875)
}

// Plunger in barrel: order of magnitude only. Its printed table disagrees with
// laminar theory at Reynolds numbers where theory cannot be that wrong, so it
// is no pass mark on its own.
func TestPlungerTable(t *testing.T) {
	const source = "printed table of the ARCO-HF slippage correlation, Southwestern Petroleum Short Course 2000"
	const inch, barrel = 0.0254, 1.84013e-6
	table := map[float64][10]float64{
		1.25: {7.8, 12.1, 16.9, 22.3, 28.2, 34.6, 41.4, 48.6, 56.2, 64.1},
		1.75: {10.9, 16.9, 23.7, 31.3, 39.5, 48.4, 57.9, 68, 78.6, 89.7},
		2:    {12.5, 19.3, 27.1, 35.8, 45.2, 55.4, 66.2, 77.7, 89.8, 102.6},
		2.75: {17.1, 26.5, 37.3, 49.2, 62.1, 76.1, 91.1, 106.9, 123.5, 141},
	}
	for d, row := range table {
		for i, want := range row {
			c := 0.003 + 0.001*float64(i)
			correlation := 870 * d * 2351 * math.Pow(c, 1.52) / 48
			near(t, "5c.1–4 the correlation itself", source, correlation, want, 0.1)
			g := Gap{Height: quantity.Length(c / 2 * inch), Length: 48 * inch, Breadth: quantity.Length(math.Pi * d * inch), Loss: 1.5}
			r := through(t, Newtonian(1000, 1*mPas), g, 2351*6894.757293)
			if ratio := r.Flow.SI() / barrel / want; ratio < 1/2.5 || ratio > 2.5 {
				t.Errorf("5c: d %v in, c %v in: law over table %.2f, want within 2.5 (%s)", d, c, ratio, source)
			}
		}
	}
}

func TestArithmeticRows(t *testing.T) {
	const gpm, inch3 = 3.785411784e-3 / 60, 1.6387064e-5
	relative := func(id, source string, got, want, toll float64) {
		t.Helper()
		near(t, id, source, got, want, toll*math.Abs(want))
	}
	relative("5a.1 kW", "exact units", HydraulicPower(100*lpm, 10e5).SI()/1000, 1.66667, 1e-5)
	relative("5a.2 hp", "common practice, divisor computed with Python 3", HydraulicPower(50*gpm, 100*6894.757293).SI()/745.69987, 2.91715, 5e-4)
	d := quantity.Displacement(3.927 * inch3)
	relative("5a.3 theoretical gpm", "Esposito, Fluid Power with Applications, ex. 5-1", TheoreticalFlow(d, 1800*rpm).SI()/gpm, 30.60, 3e-3)
	eta, err := VolumetricEfficiency(28*gpm, d, 1800*rpm)
	if err != nil {
		t.Fatal(err)
	}
	relative("5a.3, 8.3.1 η_v", "Esposito, Fluid Power with Applications, ex. 5-1", eta, 0.915, 3e-3)
	worn := quantity.Displacement(11.69 * gpm / 1500 * 60)
	relative("5a.4 displacement in3", "teaching page, worn pump exercise, computed with Python 3", worn.SI()/inch3, 1.800, 1e-3)
	eta, _ = VolumetricEfficiency(10*gpm, worn, 1500*rpm)
	relative("5a.4 η_v", "teaching page, worn pump exercise, computed with Python 3", eta, 0.855, 1e-3)
	relative("5a.4 slip gpm", "teaching page, worn pump exercise, computed with Python 3", (TheoreticalFlow(worn, 1500*rpm)-10*gpm).SI()/gpm, 1.69, 1e-3)
	slip, err := LaminarSlip(4*lpm, 6e5, 9e5, 0.1, 0.06)
	if err != nil {
		t.Fatal(err)
	}
	relative("5a.5", "by hand", slip.SI()/lpm, 10, 1e-12)
	leak, err := LaminarGapLeak(1.2*lpm, 75e-6, 125e-6)
	if err != nil {
		t.Fatal(err)
	}
	relative("5a.6", "cube law, Python 3", leak.SI()/lpm, 5.55556, 1e-5)
	near(t, "5a.7", "by hand", FlowAtSpeed(1650*lpm, 1.2e-3, 1470*rpm, 1450*rpm).SI()/lpm, 1626.0, 0.05)
	rise, err := SlipTemperatureRise(10e5, 880, 1900)
	if err != nil {
		t.Fatal(err)
	}
	relative("5a.8 K", "Δp/(ρ c_p), Python 3", rise.SI(), 0.59809, 1e-4)
	dead, err := DeadSpeed(14*lpm, 0.35e-3)
	if err != nil {
		t.Fatal(err)
	}
	relative("5a.9 rpm", "by hand", dead.SI()/rpm, 40, 1e-12)
	relative("5a.10 kg/h", "answer column of an extrusion consultant, PlasticsToday, 8 April 2010", TheoreticalFlow(160e-6, 50*rpm).SI()*750*3600, 360, 1e-3)
}

// Two numbers on the readings of a small gear pump with its relief valve in
// circuit: four points show slip, the fifth an open valve.
func TestSimpleModelSeesAnOpenReliefValve(t *testing.T) {
	const source = "student bench sheet, gear pump performance test, FEU Institute of Technology, 27 October 2021"
	read := func(pressure, flow float64) Measurement {
		return Measurement{Point: operating(250, pressure+0.02), Liquid: Newtonian(870, 0.05), Flow: quantity.Within(quantity.Flow(flow*lpm), 0.05*lpm)}
	}
	points := []Measurement{read(0.15, 3.8), read(0.18, 3.8), read(1.50, 3.7), read(3.64, 3.5)}
	s, err := FitSimple(points)
	if err != nil {
		t.Fatal(err)
	}
	if !s.Accepted {
		t.Errorf("5c.5: points 1 to 4 are slip; cost %v over %v", s.Cost, s.Limit)
	}
	near(t, "5c.5 displacement cm3", source, s.Displacement.Value.SI()/1e-6, 15.2, 0.1)
	near(t, "5c.5 slope L/min per bar", source, s.SlipConstant.Value.SI()/0.05*1e5/lpm, 0.086, 0.003)
	fit, whole, err := s.Predict(operating(250, 3), Newtonian(870, 0.005))
	if err != nil || whole.U <= fit.U {
		t.Errorf("a tenth of the viscosity is an estimate: fit %v, whole %v, %v", fit, whole, err)
	}
	s, err = FitSimple(append(points, read(4.92, 0)))
	if err != nil {
		t.Fatal(err)
	}
	if s.Accepted {
		t.Error("5c.5: with the valve open the two numbers must not be accepted")
	}
	if _, _, err := s.Predict(operating(250, 2), Newtonian(870, 0.05)); err == nil {
		t.Error("a fit that was not accepted predicted")
	}
}

// Film stress after Constantinescu, 1 + 0.0012 Re^0.94 (from memory), shifted
// so that it begins at 1 where Re is 1000.
func TestTurbulentFilm(t *testing.T) {
	const source = "1 + 0.0012(Re^0.94 − 1000^0.94), by hand: 10^3.76 = 5754.399, 10^2.82 = 660.693"
	l := Newtonian(1000, 1*mPas)
	f := l.flow(0)
	near(t, "Re 1000", source, f.film(1, 1*mm)/(1*mPas), 1, 1e-12)
	near(t, "Re 1001 is continuous", "law", f.film(1.001, 1*mm)/(1*mPas), 1, 0.001)
	near(t, "Re 10000", source, f.film(10, 1*mm)/(1*mPas), 1+0.0012*(5754.399-660.693), 1e-4)
}
