package align

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const inch = 0.0254

func bottom(v float64) Clock {
	return Clock{Bottom: quantity.Length(v), Left: quantity.Length(v / 2), Right: quantity.Length(v / 2)}
}

// Top + bottom = left + right: published rule (article on reverse rim and
// dual face; Bloch and Geitner p. 216 step 2).
func TestClosure(t *testing.T) {
	near(t, "valid set", Clock{0, 6, -10, -16}.ClosureError().SI(), 0, 0)
	near(t, "off by 2", Clock{0, 5, 12, 9}.ClosureError().SI(), 2, 0)
}

// Bar sag slides, corrected = measured − sag, 0.01 mm.
func TestSag(t *testing.T) {
	c := Clock{Top: 0, Right: 15, Bottom: 30, Left: 15}.WithoutSag(-10)
	near(t, "bottom", c.Bottom.SI(), 40, 0)
	near(t, "side", c.Right.SI(), 20, 0)
	// Cross dial training text: a sag of 6 mils adds to one offset and
	// subtracts from the other.
	without, _ := Reverse{Between: 8, StationaryRim: bottom(0.01), MovableRim: bottom(0.02)}.Position()
	with, _ := Reverse{Between: 8, StationaryRim: bottom(0.01), MovableRim: bottom(0.02), Sag: -0.006}.Position()
	near(t, "movable plane", (with.Vertical.Offset - without.Vertical.Offset).SI(), -0.003, 1e-12)
	near(t, "stationary plane", (with.Vertical.At(-8) - without.Vertical.At(-8)).SI(), +0.003, 1e-12)
}

type footRow struct {
	name      string
	position  Position
	nearAt    float64
	farAt     float64
	near, far float64
	tolerance float64
}

func rimFace(bf, br, d float64) Position {
	p, err := RimFace{FaceDiameter: quantity.Length(d), Rim: bottom(br), Face: bottom(bf)}.Position()
	if err != nil {
		panic(err)
	}
	return p
}

func reverse(rs, rm, sag, between float64) Position {
	p, err := Reverse{Between: quantity.Length(between), StationaryRim: bottom(rs), MovableRim: bottom(rm), Sag: quantity.Length(sag)}.Position()
	if err != nil {
		panic(err)
	}
	return p
}

func TestFootMoves(t *testing.T) {
	mil := 0.001 * inch
	rows := []footRow{
		// Bloch and Geitner p. 203, Fig. 5-21: planes 14 in apart, offsets
		// 0.012 and 0.007 in.
		{"plotted", Position{Vertical: Line{0.007 * inch, (0.007 - 0.012) / 14}}, 12 * inch, 38 * inch, -0.0027 * inch, 0.0066 * inch, 0.0001 * inch},
		// One-page rim and face sheet, F = bf B/D − br/2; values computed with python3.
		{"rim and face 1", rimFace(6*mil, -12*mil, 5*inch), 8 * inch, 24 * inch, 15.6 * mil, 34.8 * mil, 0.03 * mil},
		{"rim and face 2", rimFace(0.1e-3, -0.24e-3, 0.120), 0.180, 0.560, 0.27e-3, 0.5867e-3, 0.5e-6},
		{"rim and face 3", rimFace(3*mil, 0, 4*inch), 6 * inch, 20 * inch, 4.5 * mil, 15 * mil, 0.01 * mil},
		// Reverse indicator, geometry of Bloch and Geitner, computed with python3.
		{"reverse 1", reverse(14*mil, -22*mil, -2*mil, 8*inch), 10 * inch, 30 * inch, -12.5 * mil, -17.5 * mil, 0.01 * mil},
		{"reverse 2", reverse(0.3e-3, -0.18e-3, -0.06e-3, 0.200), 0.240, 0.760, 0.0840e-3, 0.3960e-3, 0.1e-6},
		// A machine 8 mils low everywhere.
		{"parallel", Position{Vertical: Line{-8 * 0.001 * inch, 0}}, 10 * inch, 30 * inch, 8 * mil, 8 * mil, 1e-12},
	}
	for _, row := range rows {
		plan, err := Align(Setup{Position: row.position, ToNearFoot: quantity.Length(row.nearAt), ToFarFoot: quantity.Length(row.farAt)})
		if err != nil {
			t.Fatal(row.name, err)
		}
		near(t, row.name+" near", plan.Near.Vertical.SI(), row.near, row.tolerance)
		near(t, row.name+" far", plan.Far.Vertical.SI(), row.far, row.tolerance)
		near(t, row.name+" sideways", plan.Near.Horizontal.SI(), 0, 1e-12)
	}
	// The values on the way of "reverse 1" and "reverse 2".
	p := reverse(14e-3, -22e-3, -2e-3, 8)
	near(t, "yS", p.Vertical.At(-8).SI(), 8e-3, 1e-12)
	near(t, "yM", p.Vertical.Offset.SI(), 10e-3, 1e-12)
	near(t, "slope", p.Vertical.Slope.SI(), 0.25e-3, 1e-12)
	p = reverse(0.3e-3, -0.18e-3, -0.06e-3, 0.200)
	near(t, "yS mm", p.Vertical.At(-0.200).SI(), 0.18e-3, 1e-12)
	near(t, "yM mm", p.Vertical.Offset.SI(), 0.06e-3, 1e-12)
	near(t, "slope mm", p.Vertical.Slope.SI(), -0.0006, 1e-9)
}

// A dial moved over a known shaft, drawn here from first principles, gives
// back the shaft: all three mountings, vertical and sideways.
func TestPositionRoundTrip(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		draw := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(r, name) }
		v := Line{quantity.Length(draw("y", 1e-3)), quantity.Angle(draw("s", 1e-3))}
		h := Line{quantity.Length(draw("z", 1e-3)), quantity.Angle(draw("t", 1e-3))}
		sag := quantity.Length(draw("sag", 1e-4))
		zero := quantity.Length(draw("zero", 1e-3))
		// carried(y, z): what a dial reads that turns about one axis over a rim
		// whose centre lies y higher and z further right: where the rim reaches
		// towards the dial the plunger goes in.
		carried := func(y, z quantity.Length) Clock {
			c := Clock{Top: y, Bottom: -y, Right: z, Left: -z}
			c.Bottom += sag
			c.Left += sag / 2
			c.Right += sag / 2
			return Clock{c.Top + zero, c.Right + zero, c.Bottom + zero, c.Left + zero}
		}
		got, err := Reverse{Between: 0.2, Sag: sag,
			StationaryRim: carried(-v.At(-0.2), -h.At(-0.2)),
			MovableRim:    carried(v.Offset, h.Offset)}.Position()
		if err != nil {
			r.Fatal(err)
		}
		same(r, "reverse", got, v, h)
		// The face dial: at the top of a shaft that slopes up, the movable face
		// leans towards the stationary one and the gap is wider at the bottom by
		// slope·D, so the dial reads that much less there.
		d := quantity.Length(0.12)
		face := Clock{Top: zero, Bottom: zero - quantity.Length(v.Slope.SI())*d,
			Right: zero + quantity.Length(h.Slope.SI())*d/2 - quantity.Length(v.Slope.SI())*d/2,
			Left:  zero - quantity.Length(h.Slope.SI())*d/2 - quantity.Length(v.Slope.SI())*d/2}
		for _, mounting := range []struct {
			bracket Bracket
			rim     Clock
		}{{OnMovable, carried(-v.Offset, -h.Offset)}, {OnStationary, carried(v.Offset, h.Offset)}} {
			got, err := RimFace{FaceDiameter: d, Rim: mounting.rim, Face: face, Sag: sag, Bracket: mounting.bracket}.Position()
			if err != nil {
				r.Fatal(err)
			}
			same(r, string(mounting.bracket), got, v, h)
		}
	})
}

func same(r *rapid.T, what string, got Position, v, h Line) {
	for _, d := range []float64{(got.Vertical.Offset - v.Offset).SI(), (got.Vertical.Slope - v.Slope).SI(),
		(got.Horizontal.Offset - h.Offset).SI(), (got.Horizontal.Slope - h.Slope).SI(), got.Closure.SI()} {
		if math.Abs(d) > 1e-12 {
			r.Fatalf("%s: got %+v, want %+v and %+v", what, got, v, h)
		}
	}
}

// Moving the feet as told brings the running shaft onto the axis.
func TestMovesBringIntoLine(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		draw := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(r, name) }
		s := Setup{Position: Position{
			Vertical:   Line{quantity.Length(draw("y", 1e-3)), quantity.Angle(draw("s", 1e-3))},
			Horizontal: Line{quantity.Length(draw("z", 1e-3)), quantity.Angle(draw("t", 1e-3))}},
			ToNearFoot: quantity.Length(0.3 + draw("near", 0.2)), Growth: Growth{quantity.Length(draw("gn", 5e-4)), quantity.Length(draw("gf", 5e-4))},
			Speed: 1500 * rpm}
		s.ToFarFoot = s.ToNearFoot + 0.4
		plan, err := Align(s)
		if err != nil {
			r.Fatal(err)
		}
		slope := (plan.Far.Vertical - plan.Near.Vertical) / 0.4
		side := (plan.Far.Horizontal - plan.Near.Horizontal) / 0.4
		s.Position.Vertical.Offset += plan.Near.Vertical - slope*s.ToNearFoot
		s.Position.Vertical.Slope += quantity.Angle(slope)
		s.Position.Horizontal.Offset += plan.Near.Horizontal - side*s.ToNearFoot
		s.Position.Horizontal.Slope += quantity.Angle(side)
		after, err := Align(s)
		if err != nil {
			r.Fatal(err)
		}
		if larger(after.Near.Vertical.SI(), after.Far.Vertical.SI(), after.Near.Horizontal.SI(), after.Far.Horizontal.SI(), after.Shift.SI()) > 1e-12 {
			r.Fatalf("after the move %+v", after)
		}
		if !after.Within || after.Verdicts[0].Grade != Excellent {
			r.Fatal("a shaft in line must be within every table")
		}
	})
}

func TestThermalGrowth(t *testing.T) {
	perF := 1.8
	rows := []struct {
		height, alpha, warming, want, tolerance float64
	}{
		// Published article on thermal growth: 12 in, 100 °F.
		{12 * inch, 5.9e-6 * perF, 100 / 1.8, 0.00708 * inch, 0.0001 * inch},
		{12 * inch, 6.3e-6 * perF, 100 / 1.8, 0.00756 * inch, 0.0001 * inch},
		{12 * inch, 7.4e-6 * perF, 100 / 1.8, 0.00888 * inch, 0.0001 * inch},
		{0.250, 11.4e-6, 60, 0.171e-3, 0.171e-6}, // computed with python3
	}
	for _, row := range rows {
		g, err := ThermalGrowth(quantity.Length(row.height), quantity.Expansion(row.alpha), quantity.TemperatureDifference(row.warming))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "growth", g.SI(), row.want, row.tolerance)
	}
	// Motor against pump, computed with python3: the motor goes 0.0618 high cold.
	motor, _ := ThermalGrowth(0.225, 11.7e-6, 35)
	pump, _ := ThermalGrowth(0.225, 11.4e-6, 60)
	near(t, "motor", motor.SI(), 0.0921e-3, 0.0005e-3)
	near(t, "pump", pump.SI(), 0.1539e-3, 0.0005e-3)
	rise := motor - pump
	plan, err := Align(Setup{ToNearFoot: 0.2, ToFarFoot: 0.6, Growth: Growth{rise, rise}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "set high", plan.Near.Vertical.SI(), 0.0618e-3, 0.0003e-3)
	near(t, "set high far", plan.Far.Vertical.SI(), 0.0618e-3, 0.0003e-3)
}

// Suggested tolerances of an alignment handbook (2000, p. 6-6, the same on a
// service's page) and of the manuals of two alignment instruments.
func TestTolerances(t *testing.T) {
	const flex, band = 0, 1
	rows := []struct {
		speed                 float64
		table                 int
		acceptable, excellent float64 // m; rad
		angle                 bool
	}{
		{600, flex, 9.0 * mil, 5.0 * mil, false},
		{1200, flex, 4.0 * mil, 2.5 * mil, false},
		{1800, flex, 3.0 * mil, 2.0 * mil, false},
		{7200, flex, 1.0 * mil, 0.5 * mil, false},
		{750, flex, 0.19e-3, 0.09e-3, false},
		{3000, flex, 0.06e-3, 0.03e-3, false},
		{6000, flex, 0.03e-3, 0.02e-3, false},
		{1200, flex, 8.0e-4, 5.0e-4, true},
		{3600, flex, 3.0e-4, 2.0e-4, true},
		{1500, flex, 0.07e-2, 0.05e-2, true},
		{450, band, 6.0 * mil, 5.0 * mil, false},
		{450, band, 2.0e-3, 1.5e-3, true},
		{1750, band, 4.0 * mil, 3.0 * mil, false},
		{1750, band, 1.0e-3, 0.5e-3, true},
		{3000, band, 3.0 * mil, 2.0 * mil, false},
		{3000, band, 0.5e-3, 0.3e-3, true},
		{7100, band, 1.0 * mil, 0.5 * mil, false},
		{7100, band, 0.25e-3, 0.2e-3, true},
	}
	for _, row := range rows {
		tables, _, err := Tolerances(quantity.RotationalSpeed(row.speed * rpm))
		if err != nil {
			t.Fatal(err)
		}
		got := tables[row.table]
		a, e := got.AcceptableShift.SI(), got.ExcellentShift.SI()
		if row.angle {
			a, e = got.AcceptableAngle.SI(), got.ExcellentAngle.SI()
		}
		near(t, "acceptable", a, row.acceptable, 1e-12)
		near(t, "excellent", e, row.excellent, 1e-12)
	}
	near(t, "soft foot", SoftFootLimit.SI(), 0.06e-3, 1e-15)
	span, err := SpanRule(10 * inch) // published rule of thumb: 0.0005 in per inch
	if err != nil {
		t.Fatal(err)
	}
	near(t, "span rule", span.SI(), 0.005*inch, 1e-12)
	// A table never grows looser with speed.
	var last []Tolerance
	for n := 100.0; n < 8000; n += 50 {
		tables, notes, err := Tolerances(quantity.RotationalSpeed(n * rpm))
		if err != nil {
			t.Fatal(err)
		}
		if (len(tables) == 1) != (len(notes) == 1) {
			t.Error("a missing table must be said")
		}
		for i := range min(len(tables), len(last)) {
			if tables[i].Table != last[i].Table {
				break
			}
			if tables[i].AcceptableShift > last[i].AcceptableShift || tables[i].AcceptableAngle > last[i].AcceptableAngle {
				t.Errorf("looser at %g", n)
			}
		}
		if len(tables) == 2 {
			last = tables
		}
	}
}

func TestTablesDisagree(t *testing.T) {
	// 0.095 mm at 1500 rev/min: above 0.09 of the one, below 4 mils of the other.
	s := Setup{Position: Position{Vertical: Line{0.095e-3, 0}}, ToNearFoot: 0.2, ToFarFoot: 0.6, Speed: 1500 * rpm}
	plan, err := Align(s)
	if err != nil {
		t.Fatal(err)
	}
	if !plan.TablesDisagree || plan.Within || plan.Verdicts[0].Within || !plan.Verdicts[1].Within {
		t.Errorf("%+v", plan.Verdicts)
	}
	// Both parts near their limits: said, though each is inside.
	s.Position.Vertical = Line{0.08e-3, 0.0006}
	if plan, _ = Align(s); !plan.Within || len(plan.Warnings) == 0 {
		t.Errorf("%+v", plan.Warnings)
	}
}

func TestWords(t *testing.T) {
	s := Setup{Position: Position{Vertical: Line{0.05e-3, 0}, Horizontal: Line{-0.2e-3, 0}}, ToNearFoot: 0.2, ToFarFoot: 0.6}
	text := func() string {
		plan, err := Align(s)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(append(say.Texts(plan.Words, say.Style{}), say.Texts(plan.Warnings, say.Style{})...), "\n")
	}
	for _, want := range []string{"near feet: lower 0.05", "far feet: lower 0.05", "near feet: move 0.2", "to the right"} {
		if !strings.Contains(text(), want) {
			t.Errorf("no %q in %q", want, text())
		}
	}
	// In line cold, growth alone asks for a move: to be confirmed.
	s.Position.Vertical.Offset, s.Growth = 0, Growth{0.06e-3, 0.06e-3}
	if got := text(); !strings.Contains(got, "lower 0.06") || !strings.Contains(got, "confirm the growth") {
		t.Error(got)
	}
	// Growth of the movable machine by less than it lies low: no turn. By more
	// than it lies low: the move turns round and the growth is to be confirmed.
	s.Position.Vertical.Offset = -0.05e-3
	s.Growth = Growth{0.02e-3, 0.02e-3}
	if got := text(); !strings.Contains(got, "raise 0.03") || strings.Contains(got, "confirm the growth") {
		t.Error(got)
	}
	s.Growth = Growth{0.10e-3, 0.10e-3}
	if got := text(); !strings.Contains(got, "lower 0.05") || !strings.Contains(got, "confirm the growth") {
		t.Error(got)
	}
	s.Position.Closure = 0.05e-3
	if got := text(); !strings.Contains(got, "repeat") || strings.Contains(got, "raise") || strings.Contains(got, "lower") {
		t.Error(got)
	}
}

// 0.0006 is 0.060 mm per 100 mm and 0.60 mil per inch (arithmetic).
func TestSlopes(t *testing.T) {
	p := Position{Vertical: Line{0, -0.0006}}
	if got := p.Slopes()[0].Text(say.Style{}); got != "vertical: -0.060 mm per 100 mm" {
		t.Error(got)
	}
	if got := p.Slopes()[0].Text(say.Style{Units: say.Inch}); got != "vertical: -0.60 mil/in" {
		t.Error(got)
	}
}

// Against every pack there is.
func TestChooseShims(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		thickness := []float64{0.05, 0.1, 0.2, 0.25, 0.5, 0.7, 1}
		n := rapid.IntRange(1, 4).Draw(r, "kinds")
		stock := make([]Shim, n)
		for i := range stock {
			stock[i] = Shim{quantity.Length(rapid.SampledFrom(thickness).Draw(r, "t") * 1e-3), rapid.IntRange(0, 3).Draw(r, "n")}
		}
		wanted := quantity.Length(float64(rapid.IntRange(0, 300).Draw(r, "want")) * 1e-5)
		tolerance := quantity.Length(float64(rapid.IntRange(0, 5).Draw(r, "tol")) * 1e-5)
		got, err := ChooseShims(wanted, tolerance, stock)
		if err != nil {
			r.Fatal(err)
		}
		type pack struct{ pieces, off int }
		var best *pack
		var walk func(kind, pieces, sum int)
		within := func(p pack) bool { return p.off <= steps(tolerance) }
		walk = func(kind, pieces, sum int) {
			if kind == len(stock) {
				p := pack{pieces, abs(sum - steps(wanted))}
				if best == nil || (within(p) && !within(*best)) ||
					(within(p) && within(*best) && (p.pieces < best.pieces || p.pieces == best.pieces && p.off < best.off)) ||
					(!within(p) && !within(*best) && (p.off < best.off || p.off == best.off && p.pieces < best.pieces)) {
					best = &p
				}
				return
			}
			for k := 0; k <= stock[kind].Count; k++ {
				walk(kind+1, pieces+k, sum+k*steps(stock[kind].Thickness))
			}
		}
		walk(0, 0, 0)
		sum, count := 0, 0
		for _, s := range got.Shims {
			sum += s.Count * steps(s.Thickness)
			count += s.Count
		}
		if count != got.Pieces || sum != steps(got.Thickness) || got.Pieces != best.pieces || abs(sum-steps(wanted)) != best.off || got.Reached != within(*best) {
			r.Fatalf("got %+v, best %+v", got, *best)
		}
	})
}

func TestSoftFoot(t *testing.T) {
	s, err := CheckSoftFoot([4]quantity.Length{0.15e-3, 0.02e-3, 0.01e-3, 0.12e-3}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if s.Within || !s.Rocking || !s.Over[0] || s.Over[1] || !s.Over[3] {
		t.Errorf("%+v", s)
	}
	if s, _ = CheckSoftFoot([4]quantity.Length{0.06e-3, 0, 0, 0}, 0); !s.Within {
		t.Error("the limit itself is within")
	}
	if _, err = CheckSoftFoot([4]quantity.Length{-1e-6}, 0); err == nil {
		t.Error("a negative rise was taken")
	}
}

func TestRefuses(t *testing.T) {
	nan := quantity.Length(math.NaN())
	setups := map[string]Setup{
		"dimensions.to_near_foot": {ToNearFoot: 0, ToFarFoot: 1},
		"dimensions.to_far_foot":  {ToNearFoot: 0.5, ToFarFoot: 0.4},
		"growth.near":             {ToNearFoot: 0.2, ToFarFoot: 0.6, Growth: Growth{Near: nan}},
		"speed":                   {ToNearFoot: 0.2, ToFarFoot: 0.6, Speed: -5},
	}
	for field, s := range setups {
		_, err := Align(s)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	if _, err := (RimFace{FaceDiameter: 0}).Position(); err == nil {
		t.Error("no face diameter was taken")
	}
	if _, err := (Reverse{Between: 0.2, MovableRim: Clock{Left: nan}}).Position(); err == nil || say.AsProblem(err).Field != "movable_rim.left" {
		t.Errorf("%v", err)
	}
	if _, err := ThermalGrowth(0.2, -1, 10); err == nil {
		t.Error("negative expansion was taken")
	}
	if _, err := ChooseShims(1, 0, nil); err == nil {
		t.Error("a metre of shims was taken")
	}
}

func TestDrawing(t *testing.T) {
	plan, err := Align(Setup{Position: Position{Vertical: Line{0.1e-3, 1e-4}}, Between: 0.2, ToNearFoot: 0.3, ToFarFoot: 0.7, Growth: Growth{0.02e-3, 0.05e-3}})
	if err != nil {
		t.Fatal(err)
	}
	d := plan.Drawing()
	if len(d.Side) != 4 || d.Side[0].At != -0.2 {
		t.Fatalf("%+v", d)
	}
	near(t, "running at near foot", d.Side[2].Running.SI(), -plan.Near.Vertical.SI(), 1e-15)
	near(t, "target at far foot", d.Side[3].Target.SI(), -0.05e-3, 1e-12)
	if err := plan.Working("test").Check(); err != nil {
		t.Error(err)
	}
}

func BenchmarkAlign(b *testing.B) {
	s := Setup{Position: Position{Vertical: Line{0.1e-3, 1e-4}}, Between: 0.2, ToNearFoot: 0.3, ToFarFoot: 0.7, Speed: 150}
	for b.Loop() {
		if _, err := Align(s); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChooseShims(b *testing.B) {
	stock := []Shim{{0.05e-3, 6}, {0.1e-3, 6}, {0.2e-3, 6}, {0.5e-3, 6}, {1e-3, 6}, {2e-3, 6}}
	for b.Loop() {
		if _, err := ChooseShims(3.85e-3, 0.02e-3, stock); err != nil {
			b.Fatal(err)
		}
	}
}

func TestCompare(t *testing.T) {
	s := Setup{Position: Position{Vertical: Line{0.3e-3, 0.002}}, ToNearFoot: 0.2, ToFarFoot: 0.6, Speed: 1500 * rpm}
	before, err := Align(s)
	if err != nil {
		t.Fatal(err)
	}
	s.Position.Vertical = Line{0.02e-3, 0.0001}
	after, err := Align(s)
	if err != nil {
		t.Fatal(err)
	}
	c := Compare(before, after)
	if len(c.Grades) != 2 || c.Grades[0].Before != Outside || c.Grades[0].After != Excellent || len(c.Words) != 4 {
		t.Errorf("%+v", c)
	}
	after.Valid = false
	if c := Compare(before, after); len(c.Grades) != 0 || c.Words[0].ID() != msgNoCompare.ID() {
		t.Errorf("%+v", c)
	}
}
