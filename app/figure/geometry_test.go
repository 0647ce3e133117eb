package figure

import (
	"bytes"
	"image/png"
	"math"
	"strings"
	"testing"

	goqr "github.com/piglig/go-qr"
	"pgregory.net/rapid"

	"pumpwright/app/draw"
	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, tolerance)
	}
}

// The gears on the sheet are those of the pair: areas by the shoelace formula
// stand in the square of the scale, and suction lies where the teeth part
// (derived here: the rotor drives from the mesh towards it).
func TestFaceIsToScale(t *testing.T) {
	f := demoFace()
	g, err := gearset.Compute(f.Pair)
	if err != nil {
		t.Fatal(err)
	}
	o, err := g.Outlines(gearset.View{RotorRadius: f.RotorRadius, ToothLand: f.ToothLand, PinRadius: f.PinRadius})
	if err != nil {
		t.Fatal(err)
	}
	for _, mirror := range []float64{1, -1} {
		p := facePlan{k: 0.47, centre: draw.At(50, 50), mirror: mirror}
		turned := p
		turned.turned = true
		near(t, "a turned head has its mesh at the bottom", turned.polar(10, 0).Y, 60, 1e-9)
		near(t, "and suction across", turned.polar(10, 90).X, 50+10*mirror, 1e-9)
		near(t, "with the teeth there", turned.at(gearset.Point{X: 0, Y: 10e-3 / 0.47}).X, 50+10*mirror, 1e-9)
		for name, outline := range map[string]gearset.Outline{"idler": o.Idler, "crescent": o.Crescent, "pin": o.Pin, "tooth": o.RotorTeeth[0]} {
			near(t, name, p.outline(outline).Area(), math.Abs(outline.Area())*1e6*0.47*0.47, 1e-4*math.Abs(outline.Area())*1e6)
		}
		mesh, suction := p.polar(10, 0), p.polar(10, 90)
		near(t, "mesh is at the top", mesh.Y, 40, 1e-9)
		near(t, "suction side", suction.X, 50-10*mirror, 1e-9)
		// a point of the pump a quarter turn on from the mesh lies there too
		q := p.at(gearset.Point{X: 0, Y: 10e-3 / 0.47})
		near(t, "the same side", q.X, suction.X, 1e-9)
	}
}

// The bore goes through the readings and is widest where the largest was read.
func TestBoreFollowsReadings(t *testing.T) {
	f := demoFace()
	p := facePlan{k: 0.47, centre: draw.At(50, 50), mirror: 1}
	bore, nominal := f.bore(p, 80)
	widest := 0.0
	for a := 0.0; a < 360; a += 0.5 {
		widest = max(widest, bore(a))
	}
	near(t, "widest at 120°", bore(120), widest, 1e-6)
	near(t, "reading at 60°", bore(60), 0.47*80+7*0.24, 1e-9)
	near(t, "closed", bore(359.999), bore(0), 1e-3)
	near(t, "as new", nominal, 0.47*80+7*0.125, 1e-9)
}

func randomSection(t *rapid.T) Section {
	length := func(name string, low, high float64) quantity.Length {
		return mm(rapid.Float64Range(low, high).Draw(t, name))
	}
	rotor := length("rotor", 20, 300)
	s := Section{RotorRadius: rotor, RotorTip: rotor * 0.77, IdlerTip: rotor * 0.73, IdlerRoot: rotor * 0.54, CenterDistance: rotor * 0.2,
		ToothWidth: length("width", 10, 300), DiscThickness: length("disc", 4, 60), PinRadius: rotor * quantity.Length(rapid.Float64Range(0.1, 0.4).Draw(t, "pin")),
		ShaftRadius: rotor * quantity.Length(rapid.Float64Range(0.1, 0.5).Draw(t, "shaft")), BossHeight: length("boss", 0, 8)}
	for _, c := range []*Called{&s.EndClearance, &s.IdlerFloat, &s.CrescentEnd, &s.RotorGap, &s.CrescentOuter, &s.CrescentInner, &s.PinGap, &s.ShaftBushingGap, &s.Gaskets} {
		if rapid.Bool().Draw(t, "known") {
			*c = Called{Size: ptr(length("gap", 0, 2)), U: 0.01e-3 * float64(rapid.IntRange(0, 2).Draw(t, "u")), State: draw.State(rapid.IntRange(0, 4).Draw(t, "state"))}
		}
	}
	return s
}

// For any pump: parts keep their order along the shaft and their scale, no
// gap closes or swallows a part, labels keep apart, all stays on the sheet.
func TestSectionOfAnyPump(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := randomSection(t)
		p := s.plan()
		order := []float64{p.left, p.sealEnd, p.bushEnd, p.casingBack, p.back, p.floor, p.teeth, p.head, p.flange + 1e-9, p.outside}
		for i := 1; i < len(order); i++ {
			if !(order[i] > order[i-1]) {
				t.Fatalf("order along the shaft: %v", order)
			}
		}
		if got, want := p.floor-p.back, p.k*millimetres(s.DiscThickness); math.Abs(got-want) > 1e-9 {
			t.Fatalf("disc %v, want %v", got, want)
		}
		if got, want := (p.teeth-p.floor)/(2*p.rotor), millimetres(s.ToothWidth)/(2*millimetres(s.RotorRadius)); math.Abs(got-want) > 1e-9 {
			t.Fatalf("width to diameter %v, want %v", got, want)
		}
		if !(p.bore > p.rotor && p.rotor > p.tip && p.tip > 0 && p.pinBore > p.pin && p.shaftBore > p.shaft) {
			t.Fatalf("radii %+v", p)
		}
		d := s.Draw(say.Style{Units: say.Units(rapid.IntRange(0, 1).Draw(t, "units"))})
		if !d.Extent().Inside(d.Sheet()) {
			t.Fatalf("extent %v, sheet %v", d.Extent(), d.Sheet())
		}
		texts := d.Texts()
		for i, a := range texts {
			for _, b := range texts[i+1:] {
				if a.Box.Grow(-0.1).Overlaps(b.Box.Grow(-0.1)) {
					t.Fatalf("%q and %q overlap", a.Text, b.Text)
				}
			}
		}
	})
}

// A gap on the sheet grows with the gap itself, and a larger one never looks
// smaller.
func TestGapsKeepTheirOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0, 3).Draw(t, "a"), rapid.Float64Range(0, 3).Draw(t, "b")
		if a < b && Clear(mm(a)).drawn() > Clear(mm(b)).drawn() {
			t.Fatalf("%v mm is drawn wider than %v mm", a, b)
		}
		if Clear(mm(a)).drawn() < 0.8 {
			t.Fatal("too thin to be seen")
		}
	})
}

func TestWearShares(t *testing.T) {
	pin := WearBar{Nominal: mm(30), Limit: mm(29.9)}
	near(t, "shaft, half way", pin.share(mm(29.95)), 0.5, 1e-9)
	near(t, "shaft, as new", pin.share(mm(30)), 0, 1e-9)
	bore := WearBar{Nominal: mm(160), Limit: mm(160.4)}
	near(t, "bore, past", bore.share(mm(160.6)), 1.5, 1e-9)
}

// Words say what the pictures show.
func TestDescriptions(t *testing.T) {
	f := figures()
	for name, want := range map[string][]string{
		"section":     {"end clearance: 0.310 ± 0.014 mm, past limit.", "gasket stack: 0.530 mm."},
		"face":        {"Rotor with 17 teeth, idler with 13 teeth.", "suction is at the left", "0.360 mm, 120°"},
		"wear":        {"read 29.9100 ± 0.0040 mm, as new 30.000 mm, limit 29.950 mm, past limit", "idler, width: as new 60.000 mm, limit 59.800 mm, not yet read"},
		"stack":       {"2. film 0.125, 0.125 mm, take out.", "1. paper 0.25, seals, 0.230 mm.", "then 0.493 mm"},
		"closing":     {"window 0.100 mm to 0.180 mm", "measured 0.1370 ± 0.0060 mm", "inside the window", "p. 14"},
		"bolts":       {"8 bolts", "1, 5, 3, 7, 2, 6, 4, 8", "40 N·m (100 %)"},
		"performance": {"as left: flow", "Test point at 8 bar"},
		"slip":        {"mesh: 5.24 ± 0.30 L/min"},
		"places bore": {"Asked now: 2C."},
	} {
		text := f[name].Draw(say.Style{}).Description()
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s does not say %q: %s", name, w, text)
			}
		}
	}
	if text := f["face clockwise"].Draw(say.Style{}).Description(); !strings.Contains(text, "suction is at the right") {
		t.Error(text)
	}
	outside := Closing{WindowLow: ptr(mm(0.1)), WindowHigh: ptr(mm(0.18)), Measured: &quantity.Estimate[quantity.Length]{Value: mm(0.2), U: 1e-6}}
	if text := outside.Draw(say.Style{}).Description(); !strings.Contains(text, "outside the window") {
		t.Error(text)
	}
}

// The layers stand in proportion to their thickness and fill the room.
func TestStackIsInProportion(t *testing.T) {
	s := Stack{[]Layer{{say.Plain("a"), mm(0.2), true, Stays}, {say.Plain("b"), mm(0.05), false, Stays}, {say.Plain("c"), mm(0.25), true, Stays}}}
	h := s.heights(40)
	near(t, "a to b", h[0]/h[1], 4, 1e-9)
	near(t, "c to b", h[2]/h[1], 5, 1e-9)
	near(t, "together", h[0]+h[1]+h[2]+3*layerGap, 40, 1e-9)
	if got := (Stack{[]Layer{{say.Plain("a"), 0, true, Stays}}}).Draw(say.Style{}).Description(); !strings.Contains(got, "Not drawn") {
		t.Error(got)
	}
}

// What cannot be drawn is said, and no figure puts NaN or Inf on a sheet.
func TestBadInput(t *testing.T) {
	nan, inf := quantity.Length(math.NaN()), quantity.Length(math.Inf(1))
	bad := demoSection()
	bad.RotorRadius = nan
	odd := demoSection()
	odd.EndClearance = Clear(nan)
	huge := demoSection()
	huge.Gaskets = Clear(inf)
	pair := demoFace()
	pair.Pair.RotorTeeth = 0
	for name, f := range map[string]drawer{
		"section": bad, "section gap": odd, "section stack": huge, "empty section": Section{}, "face": pair, "empty face": Face{},
		"wear":  Wear{[]WearBar{{"", say.Plain("x"), mm(1), mm(1), &quantity.Estimate[quantity.Length]{Value: mm(1)}, draw.Good}, {"", nil, nan, inf, nil, draw.NotRead}}},
		"stack": Stack{[]Layer{{nil, nan, true, Stays}}}, "empty stack": Stack{}, "empty closing": Closing{},
		"closing": Closing{WindowLow: &nan, WindowHigh: &inf, Expected: &quantity.Estimate[quantity.Length]{Value: nan, U: math.Inf(1)}, Measured: &quantity.Estimate[quantity.Length]{Value: nan, U: math.NaN()}, AsFound: &nan, Target: &nan, ManualLow: &nan},
		"bolts":   Bolts{Order: []int{1, 1, 2}}, "performance": Performance{}, "slip": Slip{}, "viscosity": Viscosity{}, "alignment": Alignment{Side: AlignmentView{AtNear: nan}},
		"slip path": Slip{Paths: []SlipPath{{"", nil, quantity.Flow(math.NaN()), 0}}}, "card": Card{}, "code": Code{}, "places": Places{}, "gasket": GasketMeasure{},
	} {
		for _, style := range []say.Style{{}, {Units: say.Inch}} {
			svg := f.Draw(style).SVG(draw.SVGOptions{})
			for _, not := range []string{"NaN", "Inf"} {
				if strings.Contains(svg, not) {
					t.Errorf("%s: %s on the sheet", name, not)
				}
			}
		}
	}
}

// Long names are broken or shortened; they never run off the sheet or into
// each other.
func TestLongNames(t *testing.T) {
	long := say.Plain("compressed aramid fibre sheet with nitrile binder, green, of the older delivery kept in the second drawer")
	f := figures()
	wear, slip, stack, perf := f["wear"].(Wear), f["slip"].(Slip), f["stack"].(Stack), demoPerformance()
	for i := range wear.Features {
		wear.Features[i].Name = long
	}
	for i := range slip.Paths {
		slip.Paths[i].Name = long
	}
	slip.Setting, perf.Setting = long, long
	for i := range stack.Layers {
		stack.Layers[i].Kind = long
	}
	for i := range perf.Curves {
		perf.Curves[i].Name = long
	}
	alignment := f["alignment"].(Alignment)
	alignment.Side.MoveNear, alignment.Side.MoveFar = long, long
	card := f["card"].(Card)
	card.Title, card.Rows[0].Name, card.Rows[0].Instrument = long, long, long
	for name, f := range map[string]drawer{"wear": wear, "slip": slip, "stack": stack, "performance": perf, "alignment": alignment, "card": card,
		"code": Code{Content: "x", Words: long}, "feeler": Feeler{Instruction: long}, "places": Places{What: long, Instruction: long}} {
		checkSheet(t, name, f.Draw(say.Style{}))
	}
}

// The code is read back by a decoder from the picture (ISO/IEC 18004).
func TestCodeCanBeRead(t *testing.T) {
	var b bytes.Buffer
	d := Code{Content: "pump M-0042"}.Draw(say.Style{})
	if err := d.PNG(&b, 12, draw.DarkPalette); err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := goqr.Decode(picture); err != nil || got != "pump M-0042" {
		t.Errorf("read %q, %v", got, err)
	}
}

func BenchmarkSection(b *testing.B) {
	s := demoSection()
	for range b.N {
		s.Draw(say.Style{}).SVG(draw.SVGOptions{})
	}
}

func BenchmarkFace(b *testing.B) {
	f := demoFace()
	for range b.N {
		f.Draw(say.Style{}).SVG(draw.SVGOptions{})
	}
}

func BenchmarkPerformance(b *testing.B) {
	p := demoPerformance()
	for range b.N {
		p.Draw(say.Style{}).SVG(draw.SVGOptions{})
	}
}
