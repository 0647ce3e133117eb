package figure

import (
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pumpwright/app/draw"
	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
)

func mm(v float64) quantity.Length { return quantity.Length(v * 1e-3) }

// demoSection is an invented pump.
func demoSection() Section {
	return Section{
		RotorRadius: mm(80), RotorTip: mm(61.6), IdlerTip: mm(58.4), IdlerRoot: mm(43.6), CenterDistance: mm(16),
		ToothWidth: mm(60), DiscThickness: mm(16), PinRadius: mm(15), ShaftRadius: mm(20), PinLength: mm(58), ShaftBushing: mm(50),
		BossHeight: mm(5.47), EndClearance: Called{Size: ptr(mm(0.31)), U: 0.014e-3, State: draw.PastLimit}, IdlerFloat: Clear(mm(0.38)), CrescentEnd: Clear(mm(0.43)),
		RotorGap: Clear(mm(0.125)), CrescentOuter: Clear(mm(0.15)), CrescentInner: Clear(mm(0.15)), PinGap: Clear(mm(0.04)), ShaftBushingGap: Clear(mm(0.045)),
		Gaskets: Clear(mm(0.53)), Asked: GapEnd,
	}
}

func demoFace() Face {
	pair := gearset.Pair{RotorTeeth: 17, IdlerTeeth: 13, Module: mm(8), PressureAngle: quantity.Angle(28 * math.Pi / 180),
		RotorAddendum: 0.8, IdlerAddendum: 0.8, RotorDedendum: 1.05, IdlerDedendum: 1.05, FaceWidth: mm(60), Backlash: mm(0.2), TipGapOuter: mm(0.15), TipGapInner: mm(0.15)}
	degree := func(v float64) quantity.Angle { return quantity.Angle(v * math.Pi / 180) }
	return Face{Pair: pair, RotorRadius: mm(80), ToothLand: mm(14), PinRadius: mm(15), RotorGap: Clear(mm(0.125)), CrescentOuter: Clear(mm(0.15)), CrescentInner: Clear(mm(0.15)),
		Bore: []BoreGap{{degree(0), mm(0.14)}, {degree(60), mm(0.24)}, {degree(120), mm(0.36)}, {degree(180), mm(0.2)}, {degree(240), mm(0.13)}, {degree(300), mm(0.13)}}}
}

func lpm(v float64) quantity.Flow { return quantity.Flow(v / 60000) }

func kelvins(celsius ...float64) []quantity.Temperature {
	var out []quantity.Temperature
	for _, v := range celsius {
		out = append(out, quantity.Temperature(v+273.15))
	}
	return out
}

func demoPerformance() Performance {
	p := Performance{Setting: say.Plain("500 rpm, light oil at 40 °C, invented pump"), Duty: ptr(quantity.PressureDifference(8e5)), Required: ptr(lpm(150))}
	left := PerformanceCurve{Name: say.Plain("as left")}
	found := PerformanceCurve{Name: say.Plain("as found")}
	fresh := PerformanceCurve{Name: say.Plain("as new")}
	for bar := 0.0; bar <= 10; bar++ {
		p.Pressures = append(p.Pressures, quantity.PressureDifference(bar*1e5))
		for _, c := range []struct {
			c    *PerformanceCurve
			slip float64
		}{{&left, 0.55}, {&found, 2.1}, {&fresh, 0.45}} {
			c.c.Flow = append(c.c.Flow, lpm(166-c.slip*bar))
			c.c.Power = append(c.c.Power, quantity.Power(120+290*bar-3*c.slip*bar))
			c.c.FlowU = append(c.c.FlowU, lpm(0.6+0.12*bar).SI())
			c.c.PowerU = append(c.c.PowerU, 40)
		}
	}
	p.Curves = []PerformanceCurve{left, found, fresh}
	for _, bar := range []float64{2, 5, 8} {
		p.Points = append(p.Points, TestPoint{Pressure: quantity.PressureDifference(bar * 1e5), PressureU: 3e3, Flow: lpm(165.4 - 0.6*bar), FlowU: lpm(0.8).SI(), Power: quantity.Power(130 + 288*bar), PowerU: 15, State: draw.Good})
	}
	return p
}

func ptr[T any](v T) *T { return &v }

type drawer interface {
	Draw(say.Style) *draw.Drawing
}

// figures is every figure with invented data; the tests below hold for each.
func figures() map[string]drawer {
	return map[string]drawer{
		"section":        demoSection(),
		"face":           demoFace(),
		"section bare":   func() Section { s := demoSection(); s.Bare = true; return s }(),
		"face bare":      func() Face { f := demoFace(); f.Bare, f.Asked = true, PartIdler; return f }(),
		"face clockwise": func() Face { f := demoFace(); f.Clockwise, f.ToothLand, f.Bore = true, 0, nil; return f }(),
		"places bore":    Places{What: say.Plain("casing bore"), Inside: true, Planes: 3, Angles: 4, AskedPlane: 2, AskedAngle: 3, LoadSide: true},
		"places pin":     Places{What: say.Plain("idler pin"), Planes: 3, Angles: 4, AskedPlane: 1, AskedAngle: 1, LoadSide: true, Instruction: say.Plain("Clean the pin, read, release, read again. Write down every reading.")},
		"places six":     Places{What: say.Plain("casing bore"), Inside: true, Planes: 2, Angles: 6},
		"feeler":         Feeler{Instruction: say.Plain("Try the leaves from thin to thick: the last that goes, the first that does not.")},
		"feeler head":    Feeler{PushToHead: true},
		"dial":           Dial{},
		"gasket":         GasketMeasure{Places: 4, Asked: 2},
		"bolts":          Bolts{Order: []int{1, 5, 3, 7, 2, 6, 4, 8}, Passes: []BoltPass{{0.3, 12}, {0.6, 24}, {1, 40}}, Asked: 3},
		"chain": Chain{Links: []ChainLink{
			{say.Plain("starved suction"), -1, []string{"strainer blocked", "high steady vacuum"}}, {say.Plain("ran dry or lost its prime"), 0, nil},
			{say.Plain("pin and bushing seized"), 1, []string{"pin galled, metal picked up over the whole loaded length", "pin tinted by heat", "bushing wiped, smeared and dark", "head and idler smeared together"}},
			{say.Plain("noise"), 0, nil}}},
		"bolts many":  Bolts{Order: []int{1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16}, Passes: []BoltPass{{0.3, 12}, {1, 40}}},
		"performance": demoPerformance(),
		"stroke": Stroke{Name: say.Plain("idler bushing"), Computed: []StrokePoint{{mm(6), 1400}, {mm(58), 13160}}, Low: 0.6, High: 1.3, Capacity: 19700,
			Read: []StrokePoint{{mm(20), 4800}, {mm(58), 14100}}, State: draw.Good},
		"stroke without a gauge": Stroke{Name: say.Plain("bracket bushing"), Computed: []StrokePoint{{mm(6), 1400}, {mm(58), 13160}}, Capacity: 19700},
		"slip": Slip{Setting: say.Plain("water 20 °C, 300 rpm, 2 bar, invented pump"), Total: &quantity.Estimate[quantity.Flow]{Value: lpm(22.35), U: lpm(0.9).SI()}, Paths: []SlipPath{
			{GapRotor, say.Plain("disc rim and back"), lpm(7.797), lpm(0.5).SI()}, {"mesh", say.Plain("mesh"), lpm(5.242), lpm(0.3).SI()}, {"rotor-crescent", say.Plain("rotor teeth past the crescent"), lpm(3.414), lpm(0.2).SI()},
			{"idler-crescent", say.Plain("idler teeth past the crescent"), lpm(3.09), 0}, {GapPin, say.Plain("idler body and pin"), lpm(-1.2), lpm(0.3).SI()}, {GapCrescentEnd, say.Plain("crescent end"), lpm(1.162), lpm(0.1).SI()}}},
		"viscosity": Viscosity{Liquids: []ViscosityCurve{
			{say.Plain("light oil"), kelvins(0, 20, 40, 60, 80, 100), []quantity.KinematicViscosity{360e-6, 118e-6, 46e-6, 22e-6, 11.6e-6, 6.8e-6}},
			{say.Plain("heavy oil"), kelvins(20, 40, 60, 80, 100), []quantity.KinematicViscosity{2100e-6, 460e-6, 140e-6, 58e-6, 29e-6}}},
			Marks: []ViscosityMark{{say.Plain("pumping"), kelvins(60)[0], 22e-6}, {say.Plain("start"), kelvins(10)[0], 200e-6}}},
		"alignment": Alignment{Side: AlignmentView{mm(-0.12), mm(-0.2), mm(-0.38), mm(200), mm(650), say.Plain("raise 0.20 mm"), say.Plain("raise 0.38 mm"), draw.PastLimit},
			Above: AlignmentView{mm(0.03), mm(0.02), mm(-0.01), 0, 0, say.Plain("leave"), say.Plain("leave"), draw.Good}},
		"alignment far": Alignment{Side: AlignmentView{mm(0.3), mm(0.3), mm(0.3), mm(300), mm(600), say.Plain("lower 0.300 mm"), say.Plain("lower 0.300 mm"), draw.PastLimit},
			Above: AlignmentView{mm(-0.3), mm(0), mm(0.3), mm(300), mm(600), say.Plain("leave"), say.Plain("0.300 mm toward you"), draw.MeasureAgain}},
		"card": Card{Title: say.Plain("Clean and measure"), Rows: []CardRow{
			{PartPin, say.Plain("idler pin, diameter"), say.Plain("outside micrometer, three planes, four angles"), []string{"1A", "1B", "1C", "1D", "2A", "2B", "2C", "2D", "3A", "3B", "3C", "3D"}, "mm", false},
			{PartHead, say.Plain("head face, groove"), say.Plain("straightedge and feeler"), nil, "mm", false}, {PartCasing, say.Plain("bolts removed and counted"), nil, nil, "", true}}},
		"code": Code{Content: "pump M-0042", Words: say.Plain("M-0042")},
		"wear": Wear{[]WearBar{
			{PartPin, say.Plain("idler pin, diameter on the load side"), mm(30), mm(29.95), &quantity.Estimate[quantity.Length]{Value: mm(29.91), U: 0.004e-3}, draw.PastLimit},
			{PartIdlerBushing, say.Plain("idler bushing, bore"), mm(30.08), mm(30.2), &quantity.Estimate[quantity.Length]{Value: mm(30.16), U: 0.008e-3}, draw.Worn},
			{PartCasing, say.Plain("casing bore"), mm(160.25), mm(160.6), &quantity.Estimate[quantity.Length]{Value: mm(160.27), U: 0.01e-3}, draw.Good},
			{PartHead, say.Plain("head face, groove"), mm(0), mm(0.1), &quantity.Estimate[quantity.Length]{Value: mm(0.095), U: 0.02e-3}, draw.MeasureAgain},
			{PartIdler, say.Plain("idler, width"), mm(60), mm(59.8), nil, draw.NotRead},
			{PartRotor, say.Plain("far gone"), mm(60), mm(59.8), &quantity.Estimate[quantity.Length]{Value: mm(58), U: 0.02e-3}, draw.PastLimit},
		}},
		"stack": Stack{[]Layer{
			{say.Plain("paper 0.25"), mm(0.23), true, Stays}, {say.Plain("film 0.125"), mm(0.125), false, TakeOut}, {say.Plain("film 0.075"), mm(0.075), false, PutIn},
			{say.Plain("film 0.05"), mm(0.05), false, Stays}, {say.Plain("paper 0.15"), mm(0.138), true, PutIn},
		}},
		"closing": Closing{WindowLow: ptr(mm(0.1)), WindowHigh: ptr(mm(0.18)), Target: ptr(mm(0.13)), ManualLow: ptr(mm(0.1)), ManualHigh: ptr(mm(0.2)), ManualPage: "p. 14",
			AsFound: ptr(mm(0.31)), Expected: &quantity.Estimate[quantity.Length]{Value: mm(0.128), U: 0.012e-3}, Measured: &quantity.Estimate[quantity.Length]{Value: mm(0.137), U: 0.006e-3}},
		"film":          Film{Name: say.Plain("idler bushing"), Journal: mm(30), Clearance: mm(0.08), Load: 700, Carries: true, Ratio: 0.741, Attitude: 0.72, MinFilm: mm(0.0104), Regime: say.Plain("full film"), State: draw.Good},
		"film light":    Film{Journal: mm(30), Clearance: mm(0.08), Load: 7, Carries: true, Ratio: 0.05, Attitude: 1.5, MinFilm: mm(0.038), Regime: say.Plain("full film"), State: draw.Good},
		"film rubs":     Film{Journal: mm(30), Clearance: mm(0.08), Load: 90000, Regime: say.Plain("boundary"), State: draw.PastLimit},
		"flat":          Flat{Bands: 2, Light: seal.Helium, Height: 0.5876e-6, Limit: 3, State: draw.Good},
		"flat sample":   FlatLimit(),
		"flat past":     Flat{Bands: 14.5, Light: seal.Sodium, Height: 4.27e-6, Limit: 3, State: draw.PastLimit},
		"flat perfect":  Flat{Bands: 0, Light: seal.Helium, Limit: 3, State: draw.Good},
		"soft foot":     SoftFoot{Rise: [4]quantity.Length{mm(0.15), mm(0.02), mm(0.01), mm(0.12)}, Over: [4]bool{true, false, false, true}, Limit: mm(0.06), Rocking: true},
		"soft foot low": SoftFoot{Limit: mm(0.06)},
		"setting": Setting{Links: []SettingLink{{say.Plain("seal chamber"), mm(62), 1, false}, {say.Plain("seat"), mm(9.5), -1, false}, {say.Plain("collar"), mm(14.5), -1, true}}, Set: say.Plain("collar"), Position: mm(14.5),
			Free: mm(44), Wanted: mm(38), Tolerance: mm(0.5)},
		"setting as left": Setting{Links: []SettingLink{{say.Plain("working length"), mm(37.6), 1, true}}, Free: mm(44), Wanted: mm(38), Tolerance: mm(0.5),
			Left: &quantity.Estimate[quantity.Length]{Value: mm(37.6), U: 0.05e-3}, Force: ptr(quantity.Force(96)), State: draw.Good},
		"alignment before": Alignment{Side: AlignmentView{mm(0.01), mm(0.02), mm(0.03), mm(200), mm(650), nil, nil, draw.Good},
			Above: AlignmentView{mm(0.03), mm(0.02), mm(-0.01), mm(200), mm(650), nil, nil, draw.Good}, Before: &[2]AlignmentView{{mm(-0.12), mm(-0.2), mm(-0.38), 0, 0, nil, nil, draw.PastLimit}, {mm(0.2), mm(0.1), mm(-0.1), 0, 0, nil, nil, draw.PastLimit}}},
		"trend":         demoTrend(),
		"trend bare":    Trend{Name: say.Plain("casing bore"), Dimension: quantity.LengthDimension, Points: []TrendPoint{{Hours: 0, Value: 0.160}}},
		"life":          demoLife(),
		"timeline":      demoTimeline(12),
		"timeline full": demoTimeline(60),
		"closing crowded": Closing{WindowLow: ptr(mm(0.12)), WindowHigh: ptr(mm(0.13)), Target: ptr(mm(0.125)), ManualLow: ptr(mm(0.12)),
			AsFound: ptr(mm(0.126)), Expected: &quantity.Estimate[quantity.Length]{Value: mm(-0.02), U: 0.03e-3}, Measured: &quantity.Estimate[quantity.Length]{Value: mm(0.125), U: 0.006e-3}},
	}
}

// Every figure, in both unit systems: no two texts overlap, nothing leaves the
// sheet, and there is a title and a description.
func TestSheets(t *testing.T) {
	for name, f := range figures() {
		for _, style := range []say.Style{{}, {Units: say.Inch}} {
			checkSheet(t, name+" "+style.Units.String(), f.Draw(style))
		}
	}
}

func checkSheet(t *testing.T, name string, d *draw.Drawing) {
	t.Helper()
	if d.Title() == "" || len(d.Description()) < 10 {
		t.Errorf("%s: no title or description: %q %q", name, d.Title(), d.Description())
	}
	if e := d.Extent(); !e.Inside(d.Sheet()) {
		t.Errorf("%s: extent %v leaves the sheet %v", name, e, d.Sheet())
	}
	texts := d.Texts()
	for i, a := range texts {
		for _, b := range texts[i+1:] {
			if a.Box.Grow(-0.1).Overlaps(b.Box.Grow(-0.1)) {
				t.Errorf("%s: %q and %q overlap: %v %v", name, a.Text, b.Text, a.Box, b.Box)
			}
		}
	}
}

// With DRAW_LOOK set to a folder every figure is written there.
func TestLook(t *testing.T) {
	folder := os.Getenv("DRAW_LOOK")
	if folder == "" {
		t.Skip("DRAW_LOOK names no folder")
	}
	page := `<!doctype html><meta charset="utf-8"><style>:root{` + draw.DarkPalette.CSS() + `} body{background:var(--draw-paper);margin:8px} svg{width:680px;display:inline-block;margin:4px}</style>`
	for _, name := range slices.Sorted(maps.Keys(figures())) {
		f := figures()[name]
		page += f.Draw(say.Style{Units: say.Inch}).SVG(draw.SVGOptions{ID: strings.ReplaceAll(name, " ", "-")})
		out, err := os.Create(filepath.Join(folder, name+".png"))
		if err != nil {
			t.Fatal(err)
		}
		if err := f.Draw(say.Style{}).PNG(out, 7, draw.PaperPalette); err != nil {
			t.Fatal(err)
		}
		if err := out.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "figures.html"), []byte(page), 0o600); err != nil {
		t.Fatal(err)
	}
}
