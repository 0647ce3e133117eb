package figure

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"pumpwright/app/draw"
	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
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

func ptr[T any](v T) *T { return &v }

type drawer interface {
	Draw(say.Style) *draw.Drawing
}

// figures is every figure with invented data; the tests below hold for each.
func figures() map[string]drawer {
	return map[string]drawer{
		"section":        demoSection(),
		"face":           demoFace(),
		"face clockwise": func() Face { f := demoFace(); f.Clockwise, f.ToothLand, f.Bore = true, 0, nil; return f }(),
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
		"closing": Closing{WindowLow: ptr(mm(0.1)), WindowHigh: ptr(mm(0.18)), Target: ptr(mm(0.13)), ManualLow: ptr(mm(0.1)), ManualHigh: ptr(mm(0.2)), ManualPage: "14",
			AsFound: ptr(mm(0.31)), Expected: &quantity.Estimate[quantity.Length]{Value: mm(0.128), U: 0.012e-3}, Measured: &quantity.Estimate[quantity.Length]{Value: mm(0.137), U: 0.006e-3}},
		"closing crowded": Closing{WindowLow: ptr(mm(0.12)), WindowHigh: ptr(mm(0.13)), Target: ptr(mm(0.125)), ManualLow: ptr(mm(0.12)),
			AsFound: ptr(mm(0.126)), Expected: &quantity.Estimate[quantity.Length]{Value: mm(-0.02), U: 0.03e-3}, Measured: &quantity.Estimate[quantity.Length]{Value: mm(0.125), U: 0.006e-3}},
	}
}

// Every figure, in both unit systems: no two texts overlap, nothing leaves the
// sheet, and there is a title and a description.
func TestSheets(t *testing.T) {
	for name, f := range figures() {
		for _, style := range []say.Style{{}, {Units: say.Inch}} {
			d := f.Draw(style)
			if d.Title() == "" || len(d.Description()) < 20 {
				t.Errorf("%s: no title or description: %q %q", name, d.Title(), d.Description())
			}
			if e := d.Extent(); !e.Inside(d.Sheet()) {
				t.Errorf("%s %v: extent %v leaves the sheet %v", name, style.Units, e, d.Sheet())
			}
			texts := d.Texts()
			for i, a := range texts {
				if !a.Box.Inside(d.Sheet()) {
					t.Errorf("%s %v: %q leaves the sheet: %v", name, style.Units, a.Text, a.Box)
				}
				for _, b := range texts[i+1:] {
					if a.Box.Grow(-0.1).Overlaps(b.Box.Grow(-0.1)) {
						t.Errorf("%s %v: %q and %q overlap: %v %v", name, style.Units, a.Text, b.Text, a.Box, b.Box)
					}
				}
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
	for name, f := range figures() {
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
}
