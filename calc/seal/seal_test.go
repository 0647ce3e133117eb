package seal

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const (
	inch = 0.0254
	lbf  = 4.4482216152605
	psi  = lbf / (inch * inch)
	rpm  = 2 * math.Pi / 60
)

func within(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %.6g, want %.6g within %.2g %%", what, got, want, relative*100)
	}
}

func mm(v float64) quantity.Length { return quantity.Length(v * 1e-3) }

// Values computed with python3 from the formulas; the first set of inputs is
// the heat example of ISO 21049 (API 682), from memory.
func TestFaceLoad(t *testing.T) {
	rows := []struct {
		do, di, db, spring, mpa, rpm, f                                          float64
		area, ratio, springP, net, closing, opening, dm, speed, pv, torque, heat float64
		kind                                                                     Kind
	}{
		{61.6, 48.9, 52.4, 190, 2.07, 3600, 0.07, 1102.2, 0.7474, 0.1724, 0.6844, 1895.1, 1140.8, 55.25, 10.4144, 7.1277, 1.4587, 549.92, Balanced},
		{43, 34, 33, 60, 0.7, 420, 0.1, 544.3, 1.0967, 0.1102, 0.5279, 477.8, 190.5, 38.50, 0.8467, 0.4470, 0.5531, 24.33, Unbalanced},
		{38, 30, 31.5, 70, 1.4, 1750, 0.07, 427.3, 0.8304, 0.1638, 0.6264, 566.7, 299.1, 34.00, 3.1154, 1.9516, 0.3185, 58.37, Balanced},
	}
	for _, r := range rows {
		l, err := FaceLoad(Face{Inner: mm(r.di), Outer: mm(r.do), BalanceDiameter: mm(r.db), SpringForce: quantity.Force(r.spring),
			Pressure: quantity.PressureDifference(r.mpa * 1e6), Speed: quantity.RotationalSpeed(r.rpm * rpm), Friction: r.f, PressureFactor: 0.5})
		if err != nil {
			t.Fatal(err)
		}
		within(t, "area", l.Area.SI()*1e6, r.area, 0.002)
		within(t, "ratio", l.BalanceRatio, r.ratio, 0.002)
		within(t, "spring pressure", l.SpringPressure.SI()/1e6, r.springP, 0.002)
		within(t, "net", l.NetPressure.SI()/1e6, r.net, 0.002)
		within(t, "closing", l.ClosingForce.SI(), r.closing, 0.002)
		within(t, "opening", l.OpeningForce.SI(), r.opening, 0.002)
		within(t, "mean diameter", l.MeanDiameter.SI()*1e3, r.dm, 0.002)
		within(t, "speed", l.MeanSpeed.SI(), r.speed, 0.002)
		within(t, "pv", l.PV.SI()/1e6, r.pv, 0.002)
		within(t, "torque", l.Torque.SI(), r.torque, 0.002)
		within(t, "heat", l.Heat.SI(), r.heat, 0.002)
		// Lobanoff and Ross p. 363: about five times at the start.
		within(t, "starting", l.StartingTorque.SI(), 5*r.torque, 0.002)
		if l.Kind != r.kind {
			t.Errorf("kind %s, want %s", l.Kind, r.kind)
		}
		if err := l.Working().Check(); err != nil {
			t.Error(err)
		}
	}
}

func TestForces(t *testing.T) {
	// Bachus and Custodio, Know and Understand Centrifugal Pumps, pp. 190-191:
	// 2 in² closing, 100 psi: 200 lbf; over a face of 1 in² with linear drop the
	// opening force is 50 lbf.
	do := math.Sqrt(4*1/math.Pi + 1)
	db := math.Sqrt(do*do - 4*2/math.Pi)
	if math.IsNaN(db) {
		// A ratio of 2 needs a balance diameter inside the face: widen it.
		do = math.Sqrt(4*1/math.Pi + 9)
		db = math.Sqrt(do*do - 4*2/math.Pi)
	}
	di := math.Sqrt(do*do - 4*1/math.Pi)
	l, err := FaceLoad(Face{Inner: quantity.Length(di * inch), Outer: quantity.Length(do * inch), BalanceDiameter: quantity.Length(db * inch),
		Pressure: quantity.PressureDifference(100 * psi), PressureFactor: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "closing lbf", l.ClosingForce.SI()/lbf, 200, 1e-9)
	within(t, "opening lbf", l.OpeningForce.SI()/lbf, 50, 1e-9)

	// Lobanoff and Ross p. 363 (b, k, spring from memory): 3 in mean diameter,
	// 3600 rev/min, 400 psi, b 0.75, k 0.5, spring 25 psi.
	net := FacePressure(quantity.PressureDifference(400*psi), 0.75, 0.5, quantity.Stress(25*psi))
	within(t, "face psi", net.SI()/psi, 125, 0.005)
	speed := math.Pi * 3 * inch * 60 / (0.3048 / 60)
	within(t, "speed", speed, 2827, 0.005)
	within(t, "PV", net.SI()/psi*speed, 353400, 0.005)

	// A balance diameter at the inner one: ratio 1 (definition).
	l, err = FaceLoad(Face{Inner: 0.034, Outer: 0.043, BalanceDiameter: 0.034, Pressure: 7e5, PressureFactor: 0.5})
	if err != nil || l.BalanceRatio != 1 {
		t.Errorf("ratio %v, %v", l.BalanceRatio, err)
	}
	// Pressure inside with the balance diameter at the outer one: ratio 1.
	l, err = FaceLoad(Face{Inner: 0.034, Outer: 0.043, BalanceDiameter: 0.043, Pressure: 7e5, PressureFactor: 0.5, Side: Inside})
	if err != nil || l.BalanceRatio != 1 {
		t.Errorf("ratio inside %v, %v", l.BalanceRatio, err)
	}
}

// Both formulas of the ratio share one area: outside + inside = 1. Closing
// less opening force is what the faces carry.
func TestFaceLaws(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		f := Face{Inner: mm(rapid.Float64Range(20, 50).Draw(r, "di")), SpringForce: quantity.Force(rapid.Float64Range(0, 300).Draw(r, "F")),
			Pressure: quantity.PressureDifference(rapid.Float64Range(0, 3e6).Draw(r, "p")), Speed: 100, Friction: 0.1,
			PressureFactor: rapid.Float64Range(0, 1).Draw(r, "k")}
		f.Outer = f.Inner + mm(rapid.Float64Range(2, 20).Draw(r, "w"))
		f.BalanceDiameter = f.Inner + mm(rapid.Float64Range(-3, 5).Draw(r, "b"))
		a, err := FaceLoad(f)
		if err != nil {
			r.Fatal(err)
		}
		f.Side = Inside
		b, err := FaceLoad(f)
		if err != nil {
			r.Fatal(err)
		}
		if math.Abs(a.BalanceRatio+b.BalanceRatio-1) > 1e-9 {
			r.Fatalf("ratios %v and %v", a.BalanceRatio, b.BalanceRatio)
		}
		if carried := a.NetPressure.SI() * a.Area.SI(); math.Abs(carried-(a.ClosingForce-a.OpeningForce).SI()) > 1e-6+1e-9*math.Abs(carried) {
			r.Fatal("forces")
		}
		if a.Opens != (a.NetPressure < 0) || a.Heat < 0 {
			r.Fatal("opening")
		}
	})
}

// Computed with python3.
func TestSpring(t *testing.T) {
	s := Spring{FreeLength: mm(32), Rate: 12e3}
	force, err := s.Force(mm(25))
	if err != nil {
		t.Fatal(err)
	}
	within(t, "force", force.SI(), 84.0, 0.1/84)
	worn, _ := s.Force(mm(25.8))
	within(t, "after wear", worn.SI(), 74.4, 0.1/74)
	back, _ := s.WorkingLength(force)
	within(t, "length", back.SI(), 25e-3, 1e-12)
	// 0.5 mm shorter setting of a seal with a 43/34 mm face, rate 8.5 N/mm.
	area := math.Pi / 4 * (0.043*0.043 - 0.034*0.034)
	s.Rate = 8.5e3
	a, _ := s.Force(mm(25))
	b, _ := s.Force(mm(24.5))
	within(t, "face pressure", (b-a).SI()/area, 0.00781e6, 0.005)
	if _, err := s.Force(mm(33)); err == nil {
		t.Error("a spring was pulled")
	}
	if _, err := s.WorkingLength(1e4); err == nil {
		t.Error("a spring was crushed")
	}
}

// Half a wavelength each; trade value 11.6 microinch from a note on light
// bands.
func TestFlatness(t *testing.T) {
	rows := []struct {
		bands     float64
		light     Light
		um, uinch float64
	}{{1, Helium, 0.2938, 11.57}, {1, Helium, 0.2938, 11.6}, {1, Sodium, 0.2946, 11.60}, {2, Helium, 0.588, 23.1}, {3, Helium, 0.881, 34.7}}
	for _, row := range rows {
		h, err := Flatness(row.bands, row.light)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "µm", h.SI()*1e6, row.um, 0.005)
		within(t, "µin", h.SI()/inch*1e6, row.uinch, 0.005)
	}
	three, _ := Flatness(3, Sodium)
	four, _ := Flatness(4, Helium)
	if !WithinBands(three) || WithinBands(four) {
		t.Error("the usual limit is three bands")
	}
	if _, err := Flatness(-1, Helium); err == nil {
		t.Error("negative bands")
	}
	if _, err := Flatness(1, "candle"); say.AsProblem(err).Field != "light" {
		t.Error(err)
	}
}

func TestMachineLimits(t *testing.T) {
	rows := []struct {
		check  MachineCheck
		limits [2]float64 // m, any order
		source string
	}{
		{ShaftRunout, [2]float64{0.050e-3, 0.003 * inch}, "five point check; Bachus and Custodio p. 223"},
		{AxialFloat, [2]float64{0.003 * inch, 0.100e-3}, "Bachus and Custodio p. 223; five point check"},
		{BoreConcentricity, [2]float64{0.125e-3, 0}, "five point check; API 610 from memory"},
		{ChamberSquareness, [2]float64{0.125e-3, 0}, "five point check"},
		{DeflectionAtFaces, [2]float64{0.002 * inch, 0.003 * inch}, "article on the origin of 0.002 inch"},
	}
	for _, row := range rows {
		l, err := LimitOf(row.check)
		if err != nil {
			t.Fatal(err)
		}
		within(t, string(row.check), l.Limit.SI(), row.limits[0], 1e-9)
		if row.limits[1] != 0 {
			within(t, string(row.check)+" other", l.Other.SI(), row.limits[1], 1e-9)
			if l.Other < l.Limit {
				t.Errorf("%s: the stricter limit must count", row.check)
			}
		}
	}
	// API 610 and 682, from memory: 0.5 µm per mm, 95 mm bore.
	l, _ := SquarenessLimit(0.095)
	within(t, "squareness", l.Limit.SI(), 0.0475e-3, 1e-9)
	within(t, "in per in", l.Limit.SI()/0.095, 0.0005, 1e-9)
	v, err := CheckMachine(ChamberSquareness, 0.05e-3, 0.095)
	if err != nil || v.Within {
		t.Errorf("%+v, %v", v, err)
	}
	if v, _ := CheckMachine(ChamberSquareness, 0.05e-3, 0); !v.Within {
		t.Errorf("%+v", v)
	}
}

// Usual ranges of balance, question column of a hydraulic standards
// institute: 0.60-0.90 balanced, 1.10-1.60 unbalanced.
func TestBalanceWarnings(t *testing.T) {
	base := Face{Inner: 0.034, Outer: 0.043, Pressure: 5e5, PressureFactor: 0.5, SpringForce: 100}
	for _, c := range []struct {
		ratio float64
		warns bool
	}{{0.5, true}, {0.6, false}, {0.75, false}, {0.9, false}, {1.1, false}, {1.6, false}, {1.7, true}} {
		f := base
		squares := f.Outer.SI()*f.Outer.SI() - f.Inner.SI()*f.Inner.SI()
		f.BalanceDiameter = quantity.Length(math.Sqrt(f.Outer.SI()*f.Outer.SI() - c.ratio*squares))
		l, err := FaceLoad(f)
		if err != nil {
			t.Fatal(err)
		}
		warns := len(l.Warnings) > 0
		if warns != c.warns {
			t.Errorf("ratio %g (%.17g): warns %v", c.ratio, l.BalanceRatio, warns)
		}
	}
}

func TestFindSetting(t *testing.T) {
	// Derived here: seat face 40 mm from the datum, 0.2 mm gasket, collar from
	// the datum x: working length = 40 + 0.2 − x − … by hand.
	s := Setting{WorkingLength: mm(25), Tolerance: mm(0.5), Unknown: "collar", Links: []Link{
		{Name: "seat", Value: mm(60), U: mm(0.03), Sensitivity: 1},
		{Name: "gasket", Low: mm(0.1), High: mm(0.3), Sensitivity: 1},
		{Name: "collar", Sensitivity: -1},
	}}
	set, err := FindSetting(s)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "position", set.Position.SI(), 35.2e-3, 1e-12)
	within(t, "u", set.WorkingLength.U, math.Hypot(0.03e-3, 0.2e-3/math.Sqrt(12)), 1e-9)
	if set.Decision != DecisionSet || set.Working().Check() != nil {
		t.Errorf("%+v", set)
	}
	// It stands at 36: working length 24.2, to be moved.
	s.Links[2].Value, s.IsSet = mm(36), true
	set, _ = FindSetting(s)
	within(t, "stands", set.WorkingLength.Value.SI(), 24.2e-3, 1e-12)
	if set.Decision != DecisionMove {
		t.Error(set.Decision)
	}
	// Unsure links: measure again.
	s.Links[0].U = mm(0.4)
	if set, _ = FindSetting(s); set.Decision != DecisionMeasure {
		t.Error(set.Decision)
	}
	// Two depths of one micrometer with opposite signs: the shared part leaves.
	s.Links = []Link{{Name: "a", Value: mm(60), U: mm(0.05), Sensitivity: 1, Group: "depth", Common: mm(0.04)},
		{Name: "b", Value: mm(30), U: mm(0.05), Sensitivity: -1, Group: "depth", Common: mm(0.04)}, {Name: "collar", Sensitivity: -1}}
	s.IsSet = false
	set, _ = FindSetting(s)
	within(t, "shared", set.WorkingLength.U, 0.03e-3*math.Sqrt2, 1e-9)
}

func TestFindSettingRefuses(t *testing.T) {
	good := func() Setting {
		return Setting{WorkingLength: mm(25), Unknown: "c", Links: []Link{{Name: "a", Value: mm(60), Sensitivity: 1}, {Name: "c", Sensitivity: -1}}}
	}
	bad := map[string]func(*Setting){
		"working_length":             func(s *Setting) { s.WorkingLength = 0 },
		"tolerance":                  func(s *Setting) { s.Tolerance = -1 },
		"datum.unknown":              func(s *Setting) { s.Unknown = "x" },
		"datum.links":                func(s *Setting) { s.Links = nil },
		"datum.links[0].name":        func(s *Setting) { s.Links[0].Name = "" },
		"datum.links[1].name":        func(s *Setting) { s.Links[0].Name = "c" },
		"datum.links[0].u":           func(s *Setting) { s.Links[0].U = quantity.Length(math.NaN()) },
		"datum.links[0].low":         func(s *Setting) { s.Links[0].Low = 2; s.Links[0].High = 1 },
		"datum.links[0].common":      func(s *Setting) { s.Links[0].Common = 1 },
		"datum.links[1].sensitivity": func(s *Setting) { s.Links[1].Sensitivity = 0 },
	}
	for field, spoil := range bad {
		s := good()
		spoil(&s)
		_, err := FindSetting(s)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// Temperatures and grades of the property table of a seal supplier's page.
func TestAdviseElastomer(t *testing.T) {
	c := func(v float64) quantity.Temperature { return quantity.Temperature(v) + quantity.ZeroCelsius }
	rows := []struct {
		e      Elastomer
		liquid Liquid
		at     quantity.Temperature
		want   Fitness
	}{
		{NBR, MineralOil, c(60), Fit}, {NBR, MineralOil, c(95), Limited}, {NBR, MineralOil, c(110), Unfit}, {NBR, Water, c(60), Fit}, {NBR, Water, c(85), Unfit},
		{EPDM, MineralOil, c(40), Unfit}, {EPDM, Water, c(110), Fit}, {EPDM, Steam, c(119), Fit},
		{FKM, MineralOil, c(180), Fit}, {FKM, MineralOil, c(-20), Unfit}, {FKM, Steam, c(110), Unfit}, {FKM, Water, c(95), Limited},
		{FKM, Ketone, c(20), Unfit}, {FFKM, Water, c(90), Unknown}, {FFKM, Fuel, c(240), Fit}, {CR, MineralOil, c(40), Limited},
	}
	for _, row := range rows {
		a, err := AdviseElastomer(row.e, row.liquid, row.at)
		if err != nil {
			t.Fatal(err)
		}
		if a.Fitness != row.want {
			t.Errorf("%s in %s at %v: %s, want %s", row.e, row.liquid, row.at, a.Fitness, row.want)
		}
		if last := a.Reasons[len(a.Reasons)-1]; last.ID() != msgOnlyAdvice.ID() {
			t.Error("advice must say that it is advice")
		}
	}
	if _, err := AdviseElastomer("rubber", Water, c(20)); err == nil {
		t.Error("rubber was taken")
	}
	if _, err := AdviseElastomer(NBR, "soup", c(20)); err == nil {
		t.Error("soup was taken")
	}
	if len(AdviseFaces(FaceService{})) != 2 || len(AdviseFaces(FaceService{Abrasive: true, Oxidizing: true, ThermalShock: true})) != 4 {
		t.Error("face advice")
	}
}

// At least five rings, joints 90° apart, 8 to 10 drops a minute per inch:
// published on packing pages.
func TestRings(t *testing.T) {
	r, err := Packing{Shaft: quantity.Length(2 * inch), Bore: quantity.Length(3 * inch), Depth: quantity.Length(2.5 * inch)}.Rings()
	if err != nil {
		t.Fatal(err)
	}
	within(t, "section", r.Section.SI(), 0.5*inch, 1e-9)
	within(t, "cut", r.CutLength.SI(), math.Pi*2.5*inch, 1e-9)
	if r.Count != 5 || r.LeakAtStart != 16 || r.LeakMost != 20 || r.Stagger != math.Pi/2 {
		t.Errorf("%+v", r)
	}
	if _, err := (Packing{Shaft: 0.05, Bore: 0.04, Depth: 0.1}).Rings(); err == nil {
		t.Error("a box smaller than its shaft")
	}
}

// Finish 0.2 to 0.8 µm Ra, 30 HRC or 45 HRC, run-out 0.005 in and offset
// 0.003 in: published on lip seal pages.
func TestLipShaft(t *testing.T) {
	good := LipShaft{Roughness: 0.4e-6, HardnessHRC: 35, Runout: 0.10e-3, Misalignment: 0.05e-3}
	bad := []LipShaft{
		{Roughness: 0.1e-6}, {Roughness: 1.6e-6}, {HardnessHRC: 25}, {HardnessHRC: 40, Dirty: true}, {Runout: 0.006 * inch},
		{Misalignment: 0.004 * inch}, {Runout: 0.125e-3, Misalignment: 0.079e-3}, {Pressure: 1e5}, {Lead: true},
	}
	if v, err := CheckLipShaft(good); err != nil || !v.Within {
		t.Errorf("%+v %v", v, err)
	}
	for _, s := range bad {
		if v, err := CheckLipShaft(s); err != nil || v.Within || len(v.Reasons) != 1 {
			t.Errorf("%+v: %+v %v", s, v, err)
		}
	}
	if _, err := CheckLipShaft(LipShaft{HardnessHRC: 99}); err == nil {
		t.Error("99 HRC")
	}
}

func TestAssemblySteps(t *testing.T) {
	count := func(bellows bool, grip quantity.Time) (timed int, within quantity.Time) {
		steps, err := AssemblySteps(bellows, grip)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range steps {
			if s.Within > 0 {
				timed, within = timed+1, s.Within
			}
		}
		return timed, within
	}
	if n, w := count(true, 0); n != 1 || w != GripTime {
		t.Error(n, w)
	}
	if n, w := count(true, 300); n != 1 || w != 300 {
		t.Error(n, w)
	}
	if n, _ := count(false, 0); n != 0 {
		t.Error("no clock without a bellows")
	}
}

func TestFlush(t *testing.T) {
	// Derived here: 550 W into water with 10 K: 550/(4.2e6·10) m³/s = 0.786 L/min.
	q, err := FlushFlow(550, 4.2e6, 10)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "flush L/min", q.SI()*6e4, 0.7857, 0.001)
	if _, err := FlushFlow(550, 0, 10); err == nil {
		t.Error("no heat capacity")
	}
}

func TestFaceRefuses(t *testing.T) {
	good := Face{Inner: 0.034, Outer: 0.043, BalanceDiameter: 0.036, SpringForce: 60, Pressure: 7e5, Speed: 44, Friction: 0.1, PressureFactor: 0.5}
	bad := map[string]func(*Face){
		"face_inner":       func(f *Face) { f.Inner = 0 },
		"face_outer":       func(f *Face) { f.Outer = f.Inner },
		"balance_diameter": func(f *Face) { f.BalanceDiameter = 1 },
		"spring_force":     func(f *Face) { f.SpringForce = -1 },
		"pressure":         func(f *Face) { f.Pressure = quantity.PressureDifference(math.NaN()) },
		"speed":            func(f *Face) { f.Speed = quantity.RotationalSpeed(math.Inf(1)) },
		"friction":         func(f *Face) { f.Friction = 2 },
		"pressure_factor":  func(f *Face) { f.PressureFactor = math.NaN() },
		"pressure_side":    func(f *Face) { f.Side = "left" },
	}
	for field, spoil := range bad {
		f := good
		spoil(&f)
		_, err := FaceLoad(f)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func BenchmarkFaceLoad(b *testing.B) {
	f := Face{Inner: 0.034, Outer: 0.043, BalanceDiameter: 0.036, SpringForce: 60, Pressure: 7e5, Speed: 44, Friction: 0.1, PressureFactor: 0.5}
	for b.Loop() {
		if _, err := FaceLoad(f); err != nil {
			b.Fatal(err)
		}
	}
}
