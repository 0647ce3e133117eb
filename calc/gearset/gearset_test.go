package gearset

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
)

// Where the check values of this file come from. None is our own output.
const (
	// Proves the arithmetic, not the pump.
	prototype = "independent prototype of the same equations, numpy 1.24.2 / scipy 1.10.1; proves the arithmetic, not the pump"
	// Published gear text, recalled.
	reference = "from memory: gear technical reference, internal gear table; 13.1683 recomputed with numpy 1.24.2"
)

const (
	mm  = 1e-3
	cm3 = 1e-6
	deg = math.Pi / 180
)

// pairM is the pair of the invented demo pump.
func pairM() Pair {
	return Pair{
		RotorTeeth: 17, IdlerTeeth: 13, Module: 8 * mm, PressureAngle: 28 * deg,
		RotorAddendum: 0.8, IdlerAddendum: 0.8, RotorDedendum: 1.05, IdlerDedendum: 1.05,
		FaceWidth: 60 * mm, Backlash: 0.2 * mm, TipGapOuter: 0.15 * mm, TipGapInner: 0.15 * mm,
	}
}

func pairN() Pair {
	module, _ := ModuleOfDiametralPitch(4)
	return Pair{
		RotorTeeth: 16, IdlerTeeth: 12, Module: module, PressureAngle: 27 * deg,
		RotorAddendum: 0.75, IdlerAddendum: 0.75, RotorDedendum: 1.05, IdlerDedendum: 1.05, FaceWidth: 50 * mm,
	}
}

// pairG1 and pairG2 have given tip and root radii.
func pairOfRadii(m float64, alpha float64, zi, zr int, rai, rar, rfi, rfr, b float64) Pair {
	return Pair{
		RotorTeeth: zr, IdlerTeeth: zi, Module: quantity.Length(m), PressureAngle: quantity.Angle(alpha),
		RotorAddendum: float64(zr)/2 - rar/m, IdlerAddendum: rai/m - float64(zi)/2,
		RotorDedendum: rfr/m - float64(zr)/2, IdlerDedendum: float64(zi)/2 - rfi/m, FaceWidth: quantity.Length(b),
	}
}

func pairG1() Pair {
	return pairOfRadii(4*mm, 25*deg, 13, 19, 30*mm, 35.2*mm, 22.6*mm, 42.6*mm, 25*mm)
}

func pairG2() Pair {
	return pairOfRadii(3*mm, 20*deg, 17, 27, 28.3*mm, 38.4*mm, 22.5*mm, 43.8*mm, 30*mm)
}

func compute(t testing.TB, p Pair) *Geometry {
	t.Helper()
	g, err := Compute(p)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func near(t *testing.T, id, source string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g (%s)", id, got, want, tolerance, source)
	}
}

func near1000(t *testing.T, id, source string, got, want float64) {
	t.Helper()
	near(t, id, source, got, want, 1e-3*math.Abs(want))
}

func TestPairM(t *testing.T) {
	g := compute(t, pairM())
	near1000(t, "A01 e", prototype, g.CenterDistance.SI()/mm, 16)
	near1000(t, "A03 closed form", prototype, g.ClosedForm.SI()/cm3, 328.133)
	near1000(t, "A05 ripple %", prototype, 100*g.Exact.Ripple, 2.17602)
	near1000(t, "A07 crescent", prototype, g.CrescentMiddle.SI()/mm, 18.9)
	near1000(t, "A09 rotor tip", prototype, g.RotorTipLand.SI()/mm, 6.47402)
	if !g.Valid {
		t.Errorf("pair M must pass every gate: %+v", g.Gates)
	}
	noRelief := pairM()
	noRelief.NoRelief = true
	near1000(t, "A19 no relief", prototype, compute(t, noRelief).Exact.Displacement.SI()/cm3, 325.242)
	guess, err := FromMeasured(Measured{IdlerDiameter: 2 * g.IdlerTip, CenterDistance: g.CenterDistance, FaceWidth: 60 * mm})
	if err != nil {
		t.Fatal(err)
	}
	near1000(t, "A21 fallback without crescent", prototype, guess.Value.SI()/cm3, 346.591)
	near(t, "A21 its u", "convention: 15 %", guess.Relative(), 0.15, 1e-12)
	areas, err := g.DisplacementByArea(2000)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "L05 polygon displacement", prototype, areas.Displacement.SI()/cm3, 328.129, 1e-5*328.129)
}

func TestPairN(t *testing.T) {
	g := compute(t, pairN())
	near1000(t, "A11 contact ratio", prototype, *g.ContactRatio, 1.32353)
	near1000(t, "A13 displacement", prototype, g.Exact.Displacement.SI()/cm3, 151.821)
	near1000(t, "A15 fouling margin", prototype, *g.Fouling, 0.0948144)
	near1000(t, "A17 idler tip", prototype, g.IdlerTipLand.SI()/mm, 4.71919)
}

// Rows 8.2 and 8.3: computed independently with numpy 1.24.2 / scipy 1.10.1,
// displacement both by formula and by area balance.
func TestComputedPairs(t *testing.T) {
	const source = "computed with python3, numpy 1.24.2, scipy 1.10.1, by formula and by areas"
	g1 := compute(t, pairG1())
	rows := []struct {
		id              string
		got, want, toll float64
	}{
		{"8.2.1 a", g1.CenterDistance.SI() / mm, 12, 1e-3},
		{"8.2.1 rb1", g1.IdlerBase.SI() / mm, 23.5640, 1e-3},
		{"8.2.1 rb2", g1.RotorBase.SI() / mm, 34.4397, 1e-3},
		{"8.2.1 pb", g1.BasePitch.SI() / mm, 11.38900, 1e-3},
		{"8.2.1 contact ratio", *g1.ContactRatio, 1.4367, 5e-4},
		{"8.2.1 involute margin", gate(g1, GateBase).Margin, 0.1373, 5e-4},
		{"8.2.1 trochoid margin", *g1.Fouling / 19, 0.01386, 5e-4},
		{"8.2.1 tip clearance at the ring root", g1.ClearanceAtRotorRoot.SI() / mm, 0.600, 1e-3},
		{"8.2.1 tip clearance at the pinion root", g1.ClearanceAtIdlerRoot.SI() / mm, 0.600, 1e-3},
		{"8.2.1 crescent", g1.CrescentZeroGap.SI() / mm, 17.200, 1e-3},
		{"8.3.3 per ring turn", g1.Exact.Displacement.SI() / cm3, 41.418, 5e-4 * 41.418},
		{"8.3.3 per pinion turn", g1.Exact.Displacement.SI() / cm3 * 13 / 19, 28.339, 5e-4 * 28.339},
		{"8.3.5 ripple", g1.Exact.Ripple, 0.02838, 5e-3 * 0.02838},
		{"8.3.6 old estimate pi d1 2m b", math.Pi * 52 * 8 * 25 / 1000, 32.673, 1e-3 * 32.673},
		{"8.3.9 delivery", g1.Exact.Displacement.SI() * 420 * 1000, 17.396, 5e-4 * 17.396},
	}
	end := g1.Stretch(quantity.Length(7.579*mm)-g1.BasePitch, 7.579*mm)
	rows = append(rows, struct {
		id              string
		got, want, toll float64
	}{"8.3.5 handed over at the end of contact", end.Displacement.SI() / cm3 * 13 / 19, 28.251, 5e-3 * 28.251})
	areas, err := g1.DisplacementByArea(400)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		id        string
		got, want float64
	}{
		{"8.3.4 A1", areas.Idler.SI() / (mm * mm), 53.358},
		{"8.3.4 A2", areas.Rotor.SI() / (mm * mm), 38.294},
		{"8.3.4 void", areas.ShutIn.SI() / (mm * mm), 4.455},
		{"8.3.6 gross", 13 * (areas.Idler + areas.Rotor).SI() * 25 * mm / cm3, 29.787},
		{"8.3.3 by areas", areas.Displacement.SI() / cm3 * 13 / 19, 28.33892},
	} {
		near1000(t, r.id, source, r.got, r.want)
	}
	g2 := compute(t, pairG2())
	big := pairG1()
	big.Module, big.FaceWidth = 1.5*big.Module, 1.5*big.FaceWidth
	rows = append(rows, []struct {
		id              string
		got, want, toll float64
	}{
		{"8.2.2 a", g2.CenterDistance.SI() / mm, 15, 1e-3},
		{"8.2.2 rb1", g2.IdlerBase.SI() / mm, 23.9622, 1e-3},
		{"8.2.2 rb2", g2.RotorBase.SI() / mm, 38.0576, 1e-3},
		{"8.2.2 pb", g2.BasePitch.SI() / mm, 8.85639, 1e-3},
		{"8.2.2 contact ratio", *g2.ContactRatio, 1.7016, 5e-4},
		{"8.2.2 involute margin", gate(g2, GateBase).Margin, -0.0010, 5e-4},
		{"8.2.2 trochoid margin", *g2.Fouling / 27, 0.00959, 5e-4},
		{"8.2.2 tip clearance at the ring root", g2.ClearanceAtRotorRoot.SI() / mm, 0.500, 1e-3},
		{"8.2.2 tip clearance at the pinion root", g2.ClearanceAtIdlerRoot.SI() / mm, 0.900, 1e-3},
		{"8.2.2 crescent", g2.CrescentZeroGap.SI() / mm, 25.100, 1e-3},
		{"8.2.3 least ring tip", g2.LeastRotorTip().SI() / mm, 38.402, 1e-3},
		{"8.3.7 per ring turn", g2.Exact.Displacement.SI() / cm3, 37.803, 5e-4 * 37.803},
		{"8.3.7 per pinion turn", g2.Exact.Displacement.SI() / cm3 * 17 / 27, 23.802, 5e-4 * 23.802},
		{"8.3.8 scaled", compute(t, big).Exact.Displacement.SI() / cm3 * 13 / 19, 95.644, 5e-4 * 95.644},
	}...)
	for _, r := range rows {
		near(t, r.id, source, r.got, r.want, r.toll)
	}
	if g2.Valid || gate(g2, GateBase).Passed || !g1.Valid {
		t.Error("G1 must be valid; G2 must fail for contact below the idler base circle only")
	}
}

func gate(g *Geometry, name string) Gate {
	for _, x := range g.Gates {
		if x.Name == name {
			return x
		}
	}
	return Gate{}
}

func TestShiftedPairs(t *testing.T) {
	p := Pair{
		RotorTeeth: 24, IdlerTeeth: 16, Module: 3 * mm, PressureAngle: 20 * deg, RotorShift: 0.5,
		RotorAddendum: 1, IdlerAddendum: 1, RotorDedendum: 1.25, IdlerDedendum: 1.25, FaceWidth: 20 * mm,
	}
	g := compute(t, p)
	for _, r := range []struct {
		id              string
		got, want, toll float64
	}{
		{"8.1.1 inv aw", Involute(g.WorkingAngle).SI(), 0.060401, 1e-6},
		{"8.1.1 aw", g.WorkingAngle.SI() / deg, 31.0937, 5e-4},
		{"8.1.1 a", g.CenterDistance.SI() / mm, 13.1683, 1e-3},
		{"8.1.1 db1", 2 * g.IdlerBase.SI() / mm, 45.105, 1e-3},
		{"8.1.1 db2", 2 * g.RotorBase.SI() / mm, 67.658, 1e-3},
		{"8.1.1 dw1", 2 * g.IdlerPitch.SI() / mm, 52.673, 1e-3},
		{"8.1.1 dw2", 2 * g.RotorPitch.SI() / mm, 79.010, 1e-3},
		{"8.1.1 da1", 2 * g.IdlerTip.SI() / mm, 54.0, 1e-3},
		{"8.1.1 da2", 2 * g.RotorTip.SI() / mm, 69.0, 1e-3},
		{"8.1.1 df1", 2 * g.IdlerRoot.SI() / mm, 40.5, 1e-3},
		{"8.1.1 df2", 2 * g.RotorRoot.SI() / mm, 82.5, 1e-3},
		{"8.1.1 involute margin", gate(g, GateBase).Margin, -0.0014, 1e-4},
		{"8.1.1 least ring tip", g.LeastRotorTip().SI() / mm, 34.506, 1e-3},
	} {
		near(t, r.id, reference, r.got, r.want, r.toll)
	}
	shift, aw, err := ShiftOfCenterDistance(p, 13.2*mm)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "8.1.2 x2 − x1", reference, shift, 0.516, 5e-4)
	near(t, "8.1.2 aw", reference, aw.SI()/deg, 31.3209, 5e-4)
	near(t, "8.1.2 inv aw", reference, Involute(aw).SI(), 0.061857, 5e-4)
	p.RotorShift = shift
	near(t, "8.1.2 back again", "law: round trip", compute(t, p).CenterDistance.SI()/mm, 13.2, 1e-9)
}

// The involute helpers alone, on published external pairs.
func TestInvoluteOnPublishedPairs(t *testing.T) {
	const page = "profile-shifted spur gear example page (z 12/24, m 3, 20°, x 0.6/0.36)"
	aw, err := InverseInvolute(0.034317)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "8.1.3 aw", page, aw.SI()/deg, 26.0888, 5e-4)
	a := aw.SI()
	center := 54 * math.Cos(20*deg) / math.Cos(a)
	near(t, "8.1.3 centre distance", page, center, 56.5, 1e-3*56.5)
	rb1, rb2 := 33.8289/2, 67.6579/2
	// tip diameters of that page's shifted teeth: y = (56.5−54)/3
	y := (56.5 - 54) / 3.0
	ra1, ra2 := 18+3*(1+y-0.36), 36+3*(1+y-0.6)
	path := fromPitchPoint(ra1, rb1, 37.667/2, a) + fromPitchPoint(ra2, rb2, 75.333/2, a)
	near(t, "8.1.3 contact ratio", page, path/(3*math.Pi*math.Cos(20*deg)), 1.202, 2e-3)
	// Khurmi and Gupta, Theory of Machines, ex. 12.3 p. 398: m 12, 20°, z 30/80, addendum 10 mm.
	const book = "Khurmi and Gupta, Theory of Machines, ex. 12.3 p. 398"
	r1, r2 := 180.0, 480.0
	path = fromPitchPoint(r1+10, r1*math.Cos(20*deg), r1, 20*deg) + fromPitchPoint(r2+10, r2*math.Cos(20*deg), r2, 20*deg)
	near(t, "8.1.4 path of contact (the book rounds to 52.3)", book+", computed with python3", path, 52.26, 5e-3*52.26)
	near(t, "8.1.4 arc of contact", book, path/math.Cos(20*deg), 55.61, 5e-3*55.61)
	near(t, "8.1.4 contact ratio", book, path/(12*math.Pi*math.Cos(20*deg)), 1.475, 5e-3*1.475)
}

// Pairs that the equations of the prototype refuse: no involute at the rotor tip.
func TestGateZero(t *testing.T) {
	for _, c := range []struct {
		zr, zi    int
		angle, ha float64
		valid     bool
	}{
		{17, 13, 20, 1, false}, {16, 12, 20, 1, false}, {17, 13, 20, 0.8, false},
		{17, 13, 25, 0.8, false}, {11, 8, 28, 0.8, false}, {17, 13, 28, 0.8, true},
	} {
		p := pairM()
		p.RotorTeeth, p.IdlerTeeth, p.PressureAngle = c.zr, c.zi, quantity.Angle(c.angle*deg)
		p.RotorAddendum, p.IdlerAddendum = c.ha, c.ha
		g := compute(t, p)
		if gate(g, GateInvolute).Passed != c.valid {
			t.Errorf("%d/%d %v° ha %v: gate 0 passed = %v, want %v (%s)", c.zr, c.zi, c.angle, c.ha, !c.valid, c.valid, prototype)
		}
		if !c.valid && (g.Exact != nil || g.ContactRatio != nil || len(g.Warnings()) == 0 || g.ClosedForm <= 0) {
			t.Errorf("%d/%d: results that do not exist must be absent and said", c.zr, c.zi)
		}
	}
}

func TestFallbackAgreesWithClosedForm(t *testing.T) {
	g := compute(t, pairM())
	m := Measured{
		IdlerDiameter: 2 * g.IdlerTip, CenterDistance: g.CenterDistance, FaceWidth: 60 * mm,
		Crescent: &g.CrescentMiddle, TipGapOuter: 0.15 * mm, TipGapInner: 0.15 * mm,
	}
	d, err := FromMeasured(m)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "fallback with crescent", "law: same as the closed form for equal addenda", d.Value.SI()/cm3, 328.133, 1e-5*328.133)
	r, err := FromRating(quantity.Flow(g.Exact.Displacement.SI()*5*0.9), quantity.RotationalSpeed(10*math.Pi), 0.9, 0.03)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rating", "law: D = Q/(N η)", r.Value.SI(), g.Exact.Displacement.SI(), 1e-12)
	near(t, "rating u", "law: relative u of η", r.Relative(), 0.03/0.9, 1e-12)
}

func drawPair(t *rapid.T) Pair {
	zi := rapid.IntRange(6, 30).Draw(t, "zi")
	f := func(low, high float64, name string) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	return Pair{
		IdlerTeeth: zi, RotorTeeth: zi + rapid.IntRange(2, 12).Draw(t, "dz"),
		Module: quantity.Length(f(1, 12, "m") * mm), PressureAngle: quantity.Angle(f(18, 32, "angle") * deg),
		RotorAddendum: f(0.3, 1, "har"), IdlerAddendum: f(0.3, 1, "hai"), RotorDedendum: f(1.05, 1.25, "hfr"), IdlerDedendum: f(1.05, 1.25, "hfi"),
		RotorShift: f(-0.2, 0.4, "xr"), IdlerShift: f(-0.2, 0.2, "xi"),
		FaceWidth: quantity.Length(f(5, 100, "b") * mm), Backlash: quantity.Length(f(0, 0.2, "j") * mm),
	}
}

// Any pair that passes the gates: the areas of its outlines give the same
// displacement as the flow kinematics, whatever backlash, shift or roots.
func TestAreasAgreeWithKinematics(t *testing.T) {
	valid := 0
	rapid.Check(t, func(t *rapid.T) {
		g, err := Compute(drawPair(t))
		if err != nil || !g.Valid {
			return
		}
		valid++
		areas, err := g.DisplacementByArea(500)
		if err != nil {
			t.Fatal(err)
		}
		if d := areas.Displacement.SI()/g.Exact.Displacement.SI() - 1; math.Abs(d) > 2e-6 {
			t.Fatalf("areas and kinematics differ by %g", d)
		}
	})
	if valid == 0 {
		t.Error("no valid pair was drawn")
	}
}

// The drawn gears mesh: no point of one lies inside the other by more than a
// hair, and somewhere the driving flanks touch.
func TestOutlinesMesh(t *testing.T) {
	for _, p := range []Pair{pairM(), pairN(), pairG1()} {
		g := compute(t, p)
		for i := range 12 {
			angle := 2 * math.Pi / g.f.zr * float64(i) / 12
			o, err := g.Outlines(View{RotorAngle: quantity.Angle(angle), FlankPoints: 60})
			if err != nil {
				t.Fatal(err)
			}
			deepest := math.Inf(-1)
			for _, q := range o.Idler {
				deepest = math.Max(deepest, g.insideRotor(q, angle))
			}
			if deepest > 1e-9 || deepest < -5e-6 {
				t.Errorf("turn %d: idler stands %.3g m inside the rotor; want touching", i, deepest)
			}
			if a := o.RotorTeeth[0].Area(); a <= 0 || o.Idler.Area() <= 0 || o.Crescent.Area() <= 0 {
				t.Error("outlines must run from +x to +y")
			}
		}
	}
}

// insideRotor returns how far a point stands inside a rotor tooth, measured
// along the arc; negative when it stands in a space.
func (g *Geometry) insideRotor(q Point, turn float64) float64 {
	r := math.Hypot(q.X, q.Y)
	if r < g.f.rar {
		return math.Inf(-1)
	}
	pitch := 2 * math.Pi / g.f.zr
	off := math.Remainder(math.Atan2(q.Y, q.X)-turn, pitch)
	return r * (math.Abs(off) - halfAngle(r, g.f.rbr, g.f.halfSpace, g.f.invA))
}

// insideIdler returns how far a point stands inside an idler tooth, measured
// along the arc; negative when it stands in a space or outside.
func (g *Geometry) insideIdler(q Point, turn float64) float64 {
	r := math.Hypot(q.X-g.f.e, q.Y)
	if r > g.f.rai {
		return math.Inf(-1)
	}
	off := math.Remainder(math.Atan2(q.Y, q.X-g.f.e)-turn, 2*math.Pi/g.f.zi)
	return r * (halfAngle(r, g.f.rbi, g.f.halfTooth, g.f.invA) - math.Abs(off))
}

func TestOpenRotorTeeth(t *testing.T) {
	g := compute(t, pairM())
	o, err := g.Outlines(View{RotorRadius: 80 * mm, ToothLand: 14 * mm, BoreRadius: 80.125 * mm, PinRadius: 15 * mm, RotorArc: 105 * deg, IdlerArc: 115 * deg})
	if err != nil {
		t.Fatal(err)
	}
	if len(o.RotorTeeth) != 17 || len(o.Pin) == 0 || len(o.Bore) == 0 {
		t.Fatal("17 teeth, pin and bore are wanted")
	}
	for _, tooth := range o.RotorTeeth {
		if tooth.Area() <= 0 {
			t.Fatal("a tooth runs the wrong way round")
		}
	}
	if _, err := g.Outlines(View{RotorRadius: 70 * mm}); err == nil {
		t.Error("a rotor smaller than its root circle was drawn")
	}
}

func TestRefusals(t *testing.T) {
	for _, change := range []func(*Pair){
		func(p *Pair) { p.RotorTeeth = 13 },
		func(p *Pair) { p.IdlerTeeth = 2 },
		func(p *Pair) { p.Module = quantity.Length(math.NaN()) },
		func(p *Pair) { p.Module = -1 },
		func(p *Pair) { p.PressureAngle = 28 },
		func(p *Pair) { p.RotorAddendum = -1 },
		func(p *Pair) { p.FaceWidth = quantity.Length(math.Inf(1)) },
		func(p *Pair) { p.Backlash = -1e-6 },
		func(p *Pair) { p.TipGapOuter = 20 * mm },
		func(p *Pair) { p.RotorShift = -2 },
	} {
		p := pairM()
		change(&p)
		if _, err := Compute(p); err == nil {
			t.Errorf("accepted %+v", p)
		}
	}
}

func TestInverseInvoluteRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0.001, 1.4).Draw(t, "angle")
		back, err := InverseInvolute(quantity.Angle(inv(a)))
		if err != nil || math.Abs(back.SI()-a) > 1e-7 {
			t.Fatalf("%v → %v, %v", a, back, err)
		}
	})
}

func BenchmarkCompute(b *testing.B) {
	p := pairM()
	for b.Loop() {
		if _, err := Compute(p); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOutlines(b *testing.B) {
	g := compute(b, pairM())
	for b.Loop() {
		if _, err := g.Outlines(View{RotorRadius: 80 * mm, ToothLand: 14 * mm}); err != nil {
			b.Fatal(err)
		}
	}
}

// Any pair that passes the gates is drawn without overlap.
func TestAnyValidPairMeshes(t *testing.T) {
	drawn := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawPair(t)
		g, err := Compute(p)
		if err != nil || !g.Valid {
			return
		}
		drawn++
		angle := rapid.Float64Range(0, 1).Draw(t, "turn") * 2 * math.Pi / g.f.zr
		o, err := g.Outlines(View{RotorAngle: quantity.Angle(angle), FlankPoints: 40})
		if err != nil {
			t.Fatal(err)
		}
		deepest := math.Inf(-1)
		for _, q := range o.Idler {
			deepest = math.Max(deepest, g.insideRotor(q, angle))
		}
		for _, q := range o.RotorTeeth[0] {
			deepest = math.Max(deepest, g.insideIdler(q, o.IdlerAngle.SI()))
		}
		if deepest > 1e-3*p.Module.SI() {
			t.Fatalf("idler stands %.3g modules inside the rotor", deepest/p.Module.SI())
		}
	})
	if drawn < 5 && !testing.Short() { // a short run draws too few to tell
		t.Errorf("only %d pairs were drawn", drawn)
	}
}
