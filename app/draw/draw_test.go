package draw

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"
	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, tolerance)
	}
}

// The area of a lune and of a lens of two circles has a closed form
// (elementary geometry: two circular segments).
func TestBooleanAreas(t *testing.T) {
	const r1, r2, e = 30.0, 22.0, 15.0
	// boolean operations work on curves flattened to 0.01 mm
	a, b := Circle(At(0, 0), r1), Circle(At(e, 0), r2)
	d1 := (e*e + r1*r1 - r2*r2) / (2 * e)
	d2 := e - d1
	lens := r1*r1*math.Acos(d1/r1) - d1*math.Sqrt(r1*r1-d1*d1) +
		r2*r2*math.Acos(d2/r2) - d2*math.Sqrt(r2*r2-d2*d2)
	near(t, "circle", a.Area(), math.Pi*r1*r1, 0.2)
	near(t, "common", a.Common(b).Area(), lens, 5e-4*math.Pi*r1*r1)
	near(t, "cut", a.Cut(b).Area(), math.Pi*r1*r1-lens, 5e-4*math.Pi*r1*r1)
	near(t, "join", a.Join(b).Area(), math.Pi*(r1*r1+r2*r2)-lens, 5e-4*math.Pi*r1*r1)
	near(t, "ring", Ring(At(5, 5), 10, 20).Area(), math.Pi*300, 0.2)
	near(t, "sector", Sector(At(0, 0), 10, 20, 30, 120).Area(), math.Pi*300/4, 0.1)
}

// Hatching covers the area: length of lines times spacing is the area.
func TestHatchCoversArea(t *testing.T) {
	d := New(100, 100)
	plate := Rectangle(10, 10, 70, 50).With(Circle(At(40, 30), 12))
	d.Hatch(plate, Hatching{33, 0.5, Thin})
	length := 0.0
	for _, it := range d.items {
		length += it.path.p.Length()
	}
	near(t, "hatch", length*0.5, plate.Area(), 0.01*plate.Area())
}

func TestSpreadKeepsOrderAndDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		wanted, sizes := make([]float64, n), make([]float64, n)
		at := 0.0
		total := 0.0
		for i := range wanted {
			at += rapid.Float64Range(0, 20).Draw(t, "step")
			wanted[i] = at
			sizes[i] = rapid.Float64Range(1, 8).Draw(t, "size")
			total += sizes[i]
		}
		to := max(total, at) + 1
		got := Spread(wanted, sizes, 0, to)
		for i := range got {
			if got[i]-sizes[i]/2 < -1e-9 || got[i]+sizes[i]/2 > to+1e-9 {
				t.Fatalf("%v of %v leaves 0…%v", i, got, to)
			}
			if i > 0 && got[i]-sizes[i]/2 < got[i-1]+sizes[i-1]/2-1e-9 {
				t.Fatalf("%v and %v overlap: %v", i-1, i, got)
			}
		}
	})
}

func TestSpreadLeavesWhatFits(t *testing.T) {
	got := Spread([]float64{5, 20, 40}, []float64{4, 4, 4}, 0, 60)
	for i, want := range []float64{5, 20, 40} {
		near(t, "middle", got[i], want, 1e-12)
	}
	got = Spread([]float64{20, 20}, []float64{4, 4}, 0, 60)
	near(t, "first of a pair", got[0], 18, 1e-12)
	near(t, "second of a pair", got[1], 22, 1e-12)
}

func sample() *Drawing {
	d := New(120, 90)
	d.Describe("Sample <1>", "A plate with a hole & labels.")
	body := Rectangle(30, 20, 50, 40).With(Circle(At(50, 40), 8))
	d.Part("plate", func() { d.Section(body, HatchRising) })
	d.Dimension(At(30, 60), At(80, 60), 8, "50 mm")
	d.Dimension(At(80, 20), At(80, 24), 6, "4 mm")
	d.Dimension(At(30, 20), At(30, 60), -8, "gap δ = 40 mm")
	d.Callouts([]Callout{{Target: At(50, 40), Words: "hole", Second: "Ø 16 mm"}, {Target: At(52, 41), Words: "edge"}}, Right, 92, 5, 85, say.Style{})
	d.StateLabel(At(10, 85), PastLimit, say.Style{}, Label)
	return d
}

func TestSVGIsWellFormedAndKeepsText(t *testing.T) {
	svg := sample().SVG(SVGOptions{ID: "s1"})
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := dec.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"gap δ = 40 mm", "Sample &lt;1&gt;", `data-part="plate"`, "var(--draw-ink,#", `id="s1-title"`, "past limit"} {
		if !strings.Contains(svg, want) {
			t.Errorf("svg lacks %q", want)
		}
	}
	dark := sample().SVG(SVGOptions{Palette: &DarkPalette})
	if strings.Contains(dark, "var(") || !strings.Contains(dark, hex(DarkPalette.Colour(Ink))) {
		t.Error("a fixed palette leaves no variables")
	}
}

func TestPDFIsTheSameTwice(t *testing.T) {
	make := func() []byte {
		pdf := fpdf.New("P", "mm", "A4", "")
		pdf.SetCatalogSort(true)
		pdf.SetCreationDate(epoch)
		pdf.SetModificationDate(epoch)
		UseFonts(pdf)
		pdf.AddPage()
		sample().Place(pdf, 20, 20, 1.2, PrintPalette)
		var b bytes.Buffer
		if err := pdf.Output(&b); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	if !bytes.Equal(make(), make()) {
		t.Error("the same drawing gave two different files")
	}
}

func TestTextBoxesStayOnTheSheetAndApart(t *testing.T) {
	d := sample()
	for i, a := range d.Texts() {
		if !a.Box.Inside(d.Sheet()) {
			t.Errorf("%q leaves the sheet: %v", a.Text, a.Box)
		}
		for _, b := range d.Texts()[i+1:] {
			if a.Box.Overlaps(b.Box) {
				t.Errorf("%q and %q overlap", a.Text, b.Text)
			}
		}
	}
}

// Advance widths of Liberation Sans equal those of Arial by design: a digit is
// 1139/2048 em, a space 569/2048 em (from memory: Arial metrics).
func TestTextWidth(t *testing.T) {
	near(t, "digits", TextWidth("0123456789", 10, false), 10*10*1139.0/2048, 1e-9)
	near(t, "space", TextWidth(" ", 10, false), 10*569.0/2048, 1e-9)
	lines := Wrap("the clearance is measured after the bolts are tight", 3, false, 30)
	if len(lines) < 3 {
		t.Fatalf("not broken: %q", lines)
	}
	for _, l := range lines {
		if TextWidth(l, 3, false) > 30.2 {
			t.Errorf("%q is too wide", l)
		}
	}
	if strings.Join(lines, " ") != "the clearance is measured after the bolts are tight" {
		t.Errorf("words lost: %q", lines)
	}
}

func TestChartScaleFollowsAxes(t *testing.T) {
	d := New(140, 100)
	scale := d.Chart(Rect{5, 5, 130, 90}, Chart{
		X:      Axis{Words: "pressure, bar", Min: 0, Max: 10},
		Y:      Axis{Words: "viscosity, mm²/s", Min: 1, Max: 1000, Log: true},
		Curves: []Curve{{"oil", []XY{{0, 500}, {10, 5}}, Outline}, {"water", []XY{{0, 6}, {10, 4}}, Thin}},
		Bands:  []Band{{[]float64{0, 10}, []float64{10, 10}, []float64{20, 20}, Shade}},
		Spots:  []Spot{{At: XY{5, 50}, UY: 10, UX: 0.4, State: Good}},
	})
	a, b, c := scale(XY{0, 1}), scale(XY{10, 10}), scale(XY{5, 100})
	near(t, "middle of x", c.X, (a.X+b.X)/2, 1e-9)
	near(t, "decades are alike", a.Y-b.Y, b.Y-c.Y, 1e-9)
	for i, p := range d.Texts() {
		if !p.Box.Inside(d.Sheet()) {
			t.Errorf("%q leaves the sheet", p.Text)
		}
		for _, q := range d.Texts()[i+1:] {
			if p.Box.Overlaps(q.Box) {
				t.Errorf("%q and %q overlap", p.Text, q.Text)
			}
		}
	}
}

// Contrast of text on its ground after WCAG 2.1, success criterion 1.4.3
// (4.5 : 1); 7 : 1 for the palette of maximum contrast (1.4.6).
func TestPaletteContrast(t *testing.T) {
	luminance := func(p Palette, r Role) float64 {
		c := p.Colour(r)
		f := func(v uint8) float64 {
			x := float64(v) / 255
			if x <= 0.04045 {
				return x / 12.92
			}
			return math.Pow((x+0.055)/1.055, 2.4)
		}
		return 0.2126*f(c.R) + 0.7152*f(c.G) + 0.0722*f(c.B)
	}
	for _, p := range []Palette{PaperPalette, PrintPalette, DarkPalette, ContrastPalette} {
		least := 4.5
		if p.Name == "contrast" {
			least = 7
		}
		for _, ground := range []Role{Paper, Shade, Tint} {
			for _, r := range []Role{Ink, Soft, Accent, Alarm} {
				a, b := luminance(p, r), luminance(p, ground)
				if ratio := (max(a, b) + 0.05) / (min(a, b) + 0.05); ratio < least {
					t.Errorf("%s: %s on %s has contrast %.2f", p.Name, r, ground, ratio)
				}
			}
		}
	}
}

func BenchmarkSampleSVG(b *testing.B) {
	for range b.N {
		sample().SVG(SVGOptions{})
	}
}
