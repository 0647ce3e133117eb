package figure

import (
	"os"
	"path/filepath"
	"testing"

	"pumpwright/app/draw"
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

func ptr[T any](v T) *T { return &v }

type drawer interface {
	Draw(say.Style) *draw.Drawing
}

// figures is every figure with invented data; the tests below hold for each.
func figures() map[string]drawer {
	return map[string]drawer{
		"section": demoSection(),
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
