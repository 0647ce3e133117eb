package slip

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
)

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

func logBetween(r *rand.Rand, low, high float64) float64 {
	return math.Exp(between(r, math.Log(low), math.Log(high)))
}

func drawLiquid(r *rand.Rand) Liquid {
	l := Newtonian(quantity.Density(between(r, 600, 1800)), quantity.DynamicViscosity(logBetween(r, 0.3e-3, 100)))
	if r.IntN(2) == 0 {
		l.Index = between(r, 0.2, 0.999)
		l.Bend = quantity.ShearRate(logBetween(r, 1e-2, 1e5))
		l.HighShear = quantity.DynamicViscosity(l.AtRest.SI() * logBetween(r, 1e-6, 0.9))
		if r.IntN(4) == 0 {
			l.HighShear = 0
		}
	}
	return l
}

func drawPump(r *rand.Rand, p Pump) Pump {
	gap := func() quantity.Length {
		if r.IntN(25) == 0 {
			return 0
		}
		return quantity.Length(logBetween(r, 1e-6, 2e-3))
	}
	p.Clearances = Clearances{End: gap(), IdlerFloat: gap(), CrescentEnd: gap(), RotorRadial: gap(), CrescentOuter: gap(), CrescentInner: gap()}
	p.RotorDisplacement = between(r, 0, 0.95)
	if r.IntN(4) == 0 {
		p.RotorDisplacement = 0
	}
	p.HeadSideShare = between(r, 0, 1)
	p.RimWidth = quantity.Length(between(r, 2, 30) * mm)
	p.ToothLand = quantity.Length(between(r, 2, 25) * mm)
	p.RotorArc = quantity.Angle(between(r, 20, 170) * deg)
	p.IdlerArc = quantity.Angle(between(r, 20, 170) * deg)
	p.EntryExitLoss = between(r, 0, 3)
	if r.IntN(5) == 0 {
		p.EntryExitLoss = 0
	}
	return p
}

// scale of a leak: what the drag and the pressure push about.
func flowScale(m *Model, r *Result) float64 {
	return math.Abs(r.TheoreticalFlow.SI()) + math.Abs(r.Slip.SI())
}

// No input in the range of the model may fail: 10^5 seeded draws, each solved
// at every station, with mass and energy in balance.
func TestNoDrawFails(t *testing.T) {
	draws := 100_000
	if testing.Short() {
		draws = 3_000
	}
	base := pumpM(t)
	r := rand.New(rand.NewPCG(20, 26))
	for i := range draws {
		pump, liquid := drawPump(r, base), drawLiquid(r)
		pt := operating(logBetween(r, 1, 1800), between(r, 0, 25))
		if r.IntN(20) == 0 {
			pt.Pressure = 0
		}
		m, err := Prepare(pump)
		if err != nil {
			t.Fatalf("draw %d: %v", i, err)
		}
		res, err := m.At(liquid, pt, DefaultFactors())
		if err != nil {
			t.Fatalf("draw %d: %v", i, err)
		}
		if !finite(res.Flow.SI()) || !finite(res.BackPressure.SI()) {
			t.Fatalf("draw %d: flow %v", i, res.Flow)
		}
		// with unlike stations and closed tips the drag of the rotor's outside
		// need not cancel, so the sign is a law for a central rotor only
		if pump.RotorDisplacement == 0 && res.SlipAtZero.SI() > 1e-9*flowScale(m, &res) {
			t.Fatalf("draw %d: q₀ = %v is above 0", i, res.SlipAtZero)
		}
		if res.Slip < res.SlipAtZero-quantity.Flow(1e-9*flowScale(m, &res)) {
			t.Fatalf("draw %d: pressure made slip smaller", i)
		}
		if d := (res.Paths.Sum() - res.Slip).SI(); math.Abs(d) > 1e-9*flowScale(m, &res) {
			t.Fatalf("draw %d: paths miss slip by %v", i, d)
		}
		checkStations(t, i, m, liquid, pt, &res)
		if res.Power != nil {
			checkEnergy(t, i, &res)
		}
	}
}

// checkStations solves the groups again the slow way, with nested brackets, and
// compares; and it lets the flow through the two rims balance.
func checkStations(t *testing.T, i int, m *Model, l Liquid, pt Point, res *Result) {
	t.Helper()
	f := l.flow(m.pump.EntryExitLoss)
	var p point
	m.prepare(&p, &f, pt.Speed.SI())
	dp := pt.Pressure.SI()
	if n := m.rotorStations(); n > 1 {
		q := res.Paths.RotorCrescent.SI()
		sum, scale := 0.0, dp
		for k := range n {
			at := p.rotor[k].pressure(&f, q)
			sum += at
			scale = math.Max(scale, math.Abs(at))
		}
		if total := dp * float64(n) / m.barriersRotor; math.Abs(sum-total) > 1e-9*scale*float64(n) {
			t.Fatalf("draw %d: pressures of the stations add to %v, want %v", i, sum, total)
		}
	}
	if m.back && m.c.od > 0 && dp > 0 {
		x := res.BackPressure.SI()
		in, _ := p.rim[0].leak(&f, dp-x)
		out, _ := p.rim[1].leak(&f, x)
		if math.Abs(in-out) > 1e-9*math.Max(in, out) {
			t.Fatalf("draw %d: rim leaks in %v, out %v", i, in, out)
		}
	}
}

// checkEnergy: P − ΔpQ = Δp(slip − q₀) + friction + mesh + seal + filling.
func checkEnergy(t *testing.T, i int, r *Result) {
	t.Helper()
	p, dp := r.Power, r.Point.Pressure.SI()
	left := p.Total.SI() - dp*r.Flow.SI()
	right := dp*(r.Slip-r.SlipAtZero).SI() + (p.Gaps + p.Pin + p.ShaftBushing + p.Mesh + p.Seal + p.Filling).SI()
	if math.Abs(left-right) > 1e-9*math.Abs(p.Total.SI()) {
		t.Fatalf("draw %d: energy is out by %v of %v", i, left-right, p.Total)
	}
	parts := p.Hydraulic + p.Gaps + p.Pin + p.ShaftBushing + p.Mesh + p.Seal + p.Filling
	if math.Abs((parts - p.Total).SI()) > 1e-9*math.Abs(p.Total.SI()) {
		t.Fatalf("draw %d: parts add to %v, total %v", i, parts, p.Total)
	}
	if eta := p.Mechanical * r.Flow.SI() / (r.TheoreticalFlow - r.SlipAtZero).SI(); math.Abs(eta-p.Overall) > 1e-9*(1+math.Abs(eta)) {
		t.Fatalf("draw %d: η %v, η_m·Q/(Q_th − q₀) %v", i, p.Overall, eta)
	}
}

// Pressure-driven slip rises with pressure and with every clearance, and falls
// with viscosity (without moving walls of unlike stations).
func TestMonotone(t *testing.T) {
	base := pumpM(t)
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		pump, l := drawPump(r, base), drawLiquid(r)
		pump.RotorDisplacement = 0
		if pump.HeadSideShare < 0.01 {
			pump.HeadSideShare = 0.5
		}
		pt := operating(logBetween(r, 10, 1500), between(r, 0.1, 20))
		driven := func(p Pump, l Liquid, pt Point) float64 {
			m, err := Prepare(p)
			if err != nil {
				t.Fatal(err)
			}
			res, err := m.At(l, pt, DefaultFactors())
			if err != nil {
				t.Fatal(err)
			}
			return (res.Slip - res.SlipAtZero).SI()
		}
		now := driven(pump, l, pt)
		harder := pt
		harder.Pressure *= 1.2
		if more := driven(pump, l, harder); more < now*(1-1e-9) {
			t.Fatalf("more pressure, less slip: %v → %v", now, more)
		}
		for i := range 6 {
			wider := pump
			c := []*quantity.Length{
				&wider.Clearances.End, &wider.Clearances.IdlerFloat, &wider.Clearances.CrescentEnd,
				&wider.Clearances.RotorRadial, &wider.Clearances.CrescentOuter, &wider.Clearances.CrescentInner,
			}[i]
			*c = *c*1.1 + 1e-6
			if more := driven(wider, l, pt); more < now*(1-1e-9) {
				t.Fatalf("clearance %d wider, less slip: %v → %v", i, now, more)
			}
		}
		if !l.Thins() {
			thicker := l
			thicker.AtRest *= 1.3
			if less := driven(pump, thicker, pt); less > now*(1+1e-9) {
				t.Fatalf("thicker, more slip: %v → %v", now, less)
			}
		}
	})
}

// The gap law itself rises with pressure and is odd in it, for every liquid.
func TestGapLawRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		l := drawLiquid(r)
		f := l.flow(between(r, 0, 3))
		g := f.gap(logBetween(r, 1e-6, 2e-3), logBetween(r, 1e-3, 0.2), 1, logBetween(r, 1e-3, 15), r.IntN(2) == 0)
		dp := logBetween(r, 1, 1e7)
		w, slope := f.speed(&g, dp)
		more, _ := f.speed(&g, dp*1.01)
		back, _ := f.speed(&g, -dp)
		if !(w > 0) || !(more > w) || !(slope > 0) || back != -w && math.Abs(back+w) > 1e-9*w {
			t.Fatalf("w %v, more %v, slope %v, back %v", w, more, slope, back)
		}
		if d := (more - w) / (0.01 * dp); d > 0 && math.Abs(d/slope-1) > 0.05 {
			t.Fatalf("slope %v, difference %v", slope, d)
		}
	})
}

// 5c.8: in the laminar model equal µN/Δp gives equal volumetric efficiency
// (abstract of ASME FPMC2020 V001T01A030).
func TestEfficiencyFollowsOneGroup(t *testing.T) {
	p := pumpM(t)
	p.EntryExitLoss = 0
	m, err := Prepare(p)
	if err != nil {
		t.Fatal(err)
	}
	a := at(t, m, Newtonian(900, 1), operating(200, 5)).VolumetricEfficiency
	b := at(t, m, Newtonian(900, 2), operating(300, 15)).VolumetricEfficiency
	near(t, "5c.8", "law of the laminar model", a, b, 1e-9)
	// 5c.7: with inlet loss a part of the leak behaves as an orifice, so slip
	// falls more slowly than 1/µ when a thin liquid thickens.
	m = modelM(t)
	thin, thick := at(t, m, Newtonian(900, 0.001), operating(500, 5)), at(t, m, Newtonian(900, 0.002), operating(500, 5))
	if ratio := (thin.Slip - thin.SlipAtZero).SI() / (thick.Slip - thick.SlipAtZero).SI(); ratio > 1.9 {
		t.Errorf("5c.7: slip fell by %.2f when the viscosity doubled; part of it must not depend on viscosity", ratio)
	}
}

func TestBracketsAgreeWithNewton(t *testing.T) {
	m := modelM(t)
	for _, l := range []Liquid{water(), lightOil(40), molasses(40)} {
		f := l.flow(EntryExitLoss)
		var p point
		m.prepare(&p, &f, 50)
		for _, dp := range []float64{0, 1e3, 5e5, 2e6} {
			total := dp * 5 / m.barriersRotor
			fast, slow := inSeries(&f, p.rotor[:], total), inBrackets(&f, p.rotor[:], total)
			if math.Abs(fast-slow) > 1e-9*(math.Abs(fast)+1e-6) {
				t.Errorf("Δp %v: Newton %v, brackets %v", dp, fast, slow)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	nan := quantity.Length(math.NaN())
	for i, change := range []func(*Pump){
		func(p *Pump) { p.Clearances.End = -1e-6 },
		func(p *Pump) { p.Clearances.RotorRadial = nan },
		func(p *Pump) { p.RotorDisplacement = 1 },
		func(p *Pump) { p.HeadSideShare = -0.1 },
		func(p *Pump) { p.Teeth.Displacement = 0 },
		func(p *Pump) { p.Pin.Radius = 60 * mm },
		func(p *Pump) { p.RotorArc = 0 },
		func(p *Pump) { p.Seal.Friction = math.Inf(1) },
		func(p *Pump) { p.Filling.SpaceWidth = 0 },
		func(p *Pump) { p.ShaftBushing.Clearance = -1 },
	} {
		p := pumpM(t)
		change(&p)
		if _, err := Prepare(p); err == nil {
			t.Errorf("pump %d was accepted", i)
		}
	}
	m := modelM(t)
	for _, pt := range []Point{{0, 1e5}, {-5, 1e5}, {50, -1}, {quantity.RotationalSpeed(math.NaN()), 0}, {50, quantity.PressureDifference(math.Inf(1))}} {
		if _, err := m.At(water(), pt, DefaultFactors()); err == nil {
			t.Errorf("point %v was accepted", pt)
		}
	}
	for _, l := range []Liquid{{}, Newtonian(1000, 0), Newtonian(1000, -1), {Density: 1000, AtRest: 1, Index: 1.2}, {Density: 1000, AtRest: 1, Index: 0.5}, {Density: 1000, AtRest: 1, Index: 0.5, Bend: 10, HighShear: 2}} {
		if _, err := m.At(l, operating(500, 5), DefaultFactors()); err == nil {
			t.Errorf("liquid %+v was accepted", l)
		}
	}
	k := DefaultFactors()
	k.EndBias = -0.2 * mm
	if _, err := m.At(water(), operating(500, 5), k); err == nil {
		t.Error("a bias that closes the end clearance was accepted")
	}
	p := pumpM(t)
	p.Seal = nil
	unsealed, err := Prepare(p)
	if err != nil {
		t.Fatal(err)
	}
	if r := at(t, unsealed, water(), operating(500, 5)); r.Power != nil || r.Unknown.IsZero() {
		t.Error("without a seal the power is not known, and that must be said")
	}
}

// Curves and map give what single points give.
func TestCurvesAgreeWithPoints(t *testing.T) {
	m := modelM(t)
	k := Factors{Displacement: 0.99, Slip: 1.2, Drag: 0.8, EndBias: 0.01 * mm}
	speeds := []quantity.RotationalSpeed{100 * rpm, 500 * rpm}
	pressures := []quantity.PressureDifference{0, 2e5, 10e5}
	for _, l := range []Liquid{water(), molasses(40)} {
		rows, err := m.Map(l, speeds, pressures, k)
		if err != nil {
			t.Fatal(err)
		}
		for i := range speeds {
			for j := range pressures {
				r, err := m.At(l, Point{speeds[i], pressures[j]}, k)
				if err != nil {
					t.Fatal(err)
				}
				near(t, "map", "law: same point", rows[i][j].Flow.SI(), r.Flow.SI(), 1e-11*r.TheoreticalFlow.SI())
				near(t, "map", "law: same point", rows[i][j].Power.Total.SI(), r.Power.Total.SI(), 1e-8*r.Power.Total.SI())
			}
		}
	}
	over, err := m.OverViscosity(lightOil(40), operating(500, 5), []quantity.DynamicViscosity{0.01, 0.1, 1}, k)
	if err != nil || len(over) != 3 || !(over[0].Flow < over[1].Flow && over[1].Flow < over[2].Flow) {
		t.Errorf("flow must rise with viscosity: %v, %v", over, err)
	}
}

func TestSuctionGate(t *testing.T) {
	r := at(t, modelM(t), molasses(40), operating(180, 10))
	if !r.SuctionGate(1e5, 0).IsZero() || r.SuctionGate(20e3, 0).IsZero() {
		t.Errorf("%v are needed to fill: 1 bar fills, 0.2 bar does not", r.Filling)
	}
}

func TestLargestEnd(t *testing.T) {
	m := modelM(t)
	s, none, all, err := m.LargestEnd(water(), operating(500, 4), DefaultFactors(), 0.683, 1*mm)
	if err != nil || none || all {
		t.Fatal(s, none, all, err)
	}
	near(t, "η_v 0.683 at", prototype, s.SI()/mm, 0.25, 0.002)
	if _, none, _, _ = m.LargestEnd(water(), operating(500, 4), DefaultFactors(), 0.95, 1*mm); !none {
		t.Error("water at 4 bar cannot reach 0.95 by the end clearance")
	}
	if _, _, all, _ = m.LargestEnd(molasses(40), operating(100, 6), DefaultFactors(), 0.9, 1*mm); !all {
		t.Error("molasses keeps 0.9 over the whole range")
	}
}

func TestBandCountsEveryPart(t *testing.T) {
	m := modelM(t)
	u := ClearanceU{End: 0.014 * mm, RotorRadial: 0.01 * mm, CrescentOuter: 0.02 * mm, CrescentInner: 0.02 * mm}
	p, err := m.Band(water(), operating(500, 4), DefaultFactors(), u)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Shares) != 6 {
		t.Errorf("four clearances, the rotor's place and the model are six parts, got %d", len(p.Shares))
	}
	// D16: 0.05 mm more radial clearance is 13.67 L/min more slip, nearly in proportion.
	near(t, "share of the radial clearance", prototype, p.Shares[1].Flow.SI()/lpm, 13.6723/5, 0.1*13.6723/5)
	known := u
	known.RotorKnown = true
	q, err := m.Band(water(), operating(500, 4), DefaultFactors(), known)
	if err != nil || q.Flow.U >= p.Flow.U {
		t.Errorf("a known place of the rotor must narrow the band: %v, %v", q.Flow, err)
	}
}

// Points made from known factors give them back.
func TestCalibrationFindsFactors(t *testing.T) {
	m := modelM(t)
	worn, err := m.With(m.Pump().Clearances.Moved(0.1 * mm))
	if err != nil {
		t.Fatal(err)
	}
	true1 := Factors{Displacement: 0.995, Slip: 1.3, Drag: 0.7, EndBias: 0.015 * mm}
	var points []Measurement
	for _, model := range []*Model{m, worn} {
		for _, pressure := range []float64{0.1, 2, 5, 8, 10} {
			r, err := model.At(lightOil(60), operating(400, pressure), true1)
			if err != nil {
				t.Fatal(err)
			}
			c := model.Pump().Clearances
			power := quantity.Within(r.Power.Total, 0.1)
			points = append(points, Measurement{Point: r.Point, Liquid: r.Liquid, Flow: quantity.Within(r.Flow, 0.001*lpm), Power: &power, Clearances: &c})
		}
	}
	c, err := m.Calibrate(points, []Factor{FitSlip, FitDrag, FitDisplacement, FitEndBias})
	if err != nil {
		t.Fatal(err)
	}
	if !c.Accepted {
		t.Errorf("cost %v, statements %v", c.Cost, c.Statements)
	}
	near(t, "k_D", "law: recovery", c.Factors.Displacement, 0.995, 1e-4)
	near(t, "k_s", "law: recovery", c.Factors.Slip, 1.3, 0.01)
	near(t, "k_v", "law: recovery", c.Factors.Drag, 0.7, 0.01)
	near(t, "δ mm", "law: recovery", c.Factors.EndBias.SI()/mm, 0.015, 0.001)
	// A flow far off cannot be followed: no prediction, and the reason.
	points[3].Flow.Value *= 0.8
	c, err = m.Calibrate(points, []Factor{FitSlip})
	if err != nil {
		t.Fatal(err)
	}
	if c.Accepted || len(c.Statements) == 0 {
		t.Error("a misfit must not be accepted")
	}
	if _, err := c.Predict(m, water(), operating(500, 4), ClearanceU{}); err == nil {
		t.Error("a misfit predicted")
	}
}

func TestCalibrationRefusals(t *testing.T) {
	worn, points := benchE(t)
	for _, fit := range [][]Factor{nil, {"wear"}, {FitSlip, FitSlip}} {
		if _, err := worn.Calibrate(points, fit); err == nil {
			t.Errorf("fit %v was accepted", fit)
		}
	}
	if _, err := worn.Calibrate(nil, []Factor{FitSlip}); err == nil {
		t.Error("no points were accepted")
	}
	points[1].Flow.U = 0
	if _, err := worn.Calibrate(points, []Factor{FitSlip}); err == nil {
		t.Error("a value without uncertainty was accepted")
	}
}
