package assembly_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// inches writes a text that is metric in inch units, number by number. The
// factors are those of the units themselves.
func inches(text string) string {
	for _, u := range []struct {
		metric, inch   string
		factor, offset float64
	}{
		{"mm2", "in2", 1 / 645.16, 0}, {"N/mm", "lbf/in", 25.4 / 4.4482216152605, 0}, {"mm", "in", 1 / 25.4, 0}, {"bar", "psi", 1e5 / 6894.757293168361, 0}, {"L/min", "gpm", 1 / 3.785411784, 0},
		{"°C", "°F", 1.8, 32}, {"N·m", "ft·lbf", 1 / 1.3558179483314, 0}, {"kg", "lb", 1 / 0.45359237, 0}, {"GPa", "ksi", 1e9 / 6894757.293168361, 0},
	} {
		found := regexp.MustCompile(`(-?[0-9]+(?:\.[0-9]+)?) ` + regexp.QuoteMeta(u.metric) + `([,}\]\n]|$)`)
		text = found.ReplaceAllStringFunc(text, func(whole string) string {
			m := found.FindStringSubmatch(whole)
			v, err := strconv.ParseFloat(m[1], 64)
			if err != nil {
				return whole
			}
			return strconv.FormatFloat(v*u.factor+u.offset, 'g', 12, 64) + " " + u.inch + m[2]
		})
	}
	return text
}

// The finished job with model and service in inches only comes to the same
// numbers; everything it says can be read in inches.
func TestSheetInInches(t *testing.T) {
	metric := open(t, "J-2041", nil)
	model, err := sheet.DemoText("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	inch := open(t, "J-2041", nil)
	text := inches(string(model))
	for _, left := range []string{" mm,", " mm}", " bar,", " °C,", " L/min"} {
		if strings.Contains(text, left) {
			t.Errorf("%q is still in the sheet", left)
		}
	}
	if !strings.Contains(text, "0.0055118110") { // 0.14 mm, lower end of the window of the manual
		t.Fatalf("no inches in the sheet:\n%s", text)
	}
	metric.add(job.KindSheet, job.Text{Name: "demo-pump-m", Text: string(model), Reason: "test"}, time.Minute)
	inch.add(job.KindSheet, job.Text{Name: "demo-pump-m", Text: text, Reason: "test"}, time.Minute)
	for _, name := range demo.Services() {
		service, err := demo.ServiceText(name)
		if err != nil {
			t.Fatal(err)
		}
		if sheetOf := metric.assessed(time.Time{}).Inputs.Service; sheetOf != nil && sheetOf.Name == name {
			inch.add(job.KindService, job.Text{Name: name, Text: inches(string(service)), Reason: "test"}, time.Minute)
			metric.add(job.KindService, job.Text{Name: name, Text: string(service), Reason: "test"}, time.Minute)
		}
	}
	one, two := metric.assessed(time.Time{}), inch.assessed(time.Time{})
	a, b := figuresOf(one), figuresOf(two)
	if len(a) < 25 || len(a) != len(b) {
		t.Fatalf("%d and %d figures", len(a), len(b))
	}
	for i := range a {
		near(t, a[i].name+" in inches", b[i].value, a[i].value, 1e-6)
	}
	said := spelled(two.Assembly)
	for _, wrong := range []string{"NaN", "Inf", "refused"} {
		if strings.Contains(said, wrong) {
			t.Errorf("%q is said", wrong)
		}
	}
}

type figureOf struct {
	name  string
	value float64
}

// figuresOf are the numbers between clean parts and a running pump.
func figuresOf(a *assess.Assessment) []figureOf {
	c := a.Assembly
	var list []figureOf
	put := func(name string, q interface{ SI() float64 }) {
		list = append(list, figureOf{name, q.SI()})
	}
	for _, p := range c.Presses {
		put("interference", p.Interference.Value)
		if p.Result != nil {
			put("press force", p.Result.PressForce)
			put("bore after pressing", p.Result.BoreAfterPress)
		}
		if p.Ream != nil {
			put("bore to ream to", p.Ream.Bore)
		}
	}
	for _, g := range c.Bolts {
		put("torque", g.Torque)
		if g.Tight != nil {
			put("proof load", g.Tight.ProofLoad)
		}
	}
	for _, f := range c.Films {
		for _, p := range f.Points {
			put("load", p.Running.Load)
			put("thinnest film", p.Running.MinFilm)
			put("PV", p.Running.PV)
		}
	}
	if l := c.Seal.Load; l != nil {
		put("closing force", l.ClosingForce)
		put("heat", l.Heat)
	}
	if c.Seal.Force != nil {
		put("spring force", *c.Seal.Force)
	}
	put("offset", c.Alignment.Left.Plan.Shift)
	put("growth", c.Alignment.Left.Plan.Growth.Near)
	return list
}

// An upright pump has no feet, no sag and no growth under its feet: its own
// steps stand in the procedure, and nothing is said of feet.
func TestUprightPump(t *testing.T) {
	b := open(t, "J-2041", ofKind(job.KindAlignment))
	b.change("demo-pump-m", "rotation: clockwise", "rotation: clockwise\n  mounting: vertical")
	clock := func(bottom, side string) map[string]any {
		return map[string]any{"top": 0, "right": side, "bottom": bottom, "left": side}
	}
	b.add(job.KindAlignment, map[string]any{"state": "as-left", "method": "reverse", "sag": "-0.05 mm", "dimensions": map[string]any{"between": "180 mm"},
		"readings": map[string]any{"stationary_rim": clock("0.36 mm", "0.18 mm"), "movable_rim": clock("-0.12 mm", "-0.06 mm")}}, time.Minute)
	assessed := b.assessed(time.Time{})
	a := assessed.Assembly.Alignment.Left
	if a == nil || a.Plan == nil {
		t.Fatalf("%+v", a)
	}
	if len(a.Moves) > 0 || !a.Hold.IsZero() || !contains(a.Notes, "stands upright") || !contains(a.Warnings, "does not sag") {
		t.Errorf("moves %v, hold %v, notes %v, warnings %v", a.Moves, a.Hold, a.Notes, a.Warnings)
	}
	// Half of each reading, without sag: 0.18 and 0.06 mm.
	near(t, "offset", a.Plan.Position.Vertical.Offset.SI(), 0.06e-3, 1e-9)
	near(t, "largest offset", a.Plan.Shift.SI(), 0.18e-3, 1e-9)
	if !contains(a.Warnings, "not within every published table") {
		t.Errorf("0.18 mm pass: %v", a.Warnings)
	}
	if said := fmt.Sprint(spelled(assessed.Assembly)); strings.Contains(said, "raise 0") || strings.Contains(said, "under the foot") {
		t.Error("feet are spoken of")
	}
	steps := map[string]bool{}
	for _, s := range assessed.Inputs.Procedure.For(assessed.Inputs.Sheet.Build) {
		steps[s.ID] = true
	}
	for id, want := range map[string]bool{"return-base": false, "return-align": false, "return-ring": true, "return-align-upright": true, "return-fill-upright": true, "safe-drain-upright": true, "follow-align": true} {
		if steps[id] != want {
			t.Errorf("step %s: %v, want %v", id, steps[id], want)
		}
	}
}

// Light bands are read as they are counted: half a helium line each (587.56 nm);
// three are the usual limit of a lapped face (a note of a seal adviser).
func TestLappedFace(t *testing.T) {
	read := func(bands string) *assembly.Seal {
		b := open(t, "J-2057", nil)
		b.add(job.KindReading, job.Reading{Feature: "seal-flatness", State: job.AsLeft, Values: []job.Value{{Text: bands}}}, time.Minute)
		return b.chapter().Seal
	}
	s := read("2 light bands")
	if s.Flat == nil || !contains(s.Reasons, "2 light bands of helium") {
		t.Fatalf("flat %v, reasons %v", s.Flat, s.Reasons)
	}
	near(t, "two bands", s.Flat.SI(), 0.5876e-6, 1e-4)
	if s = read("5 bands"); !contains(s.Warnings, "5 light bands") || contains(s.Reasons, "light bands") {
		t.Errorf("warnings %v", s.Warnings)
	}
	near(t, "five bands", s.Flat.SI(), 1.469e-6, 1e-3)
}

// Pipes that pull are said with the way out, against the limit of the sheet
// (0.002 in of the invented one; common practice, no source).
func TestPipeStrain(t *testing.T) {
	read := func(moved string) assembly.Alignments {
		b := open(t, "J-2057", nil)
		b.add(job.KindReading, job.Reading{Feature: "pipe-strain", State: job.AsLeft, Values: []job.Value{{Text: moved}}}, time.Minute)
		return b.chapter().Alignment
	}
	if a := read("0.005 in"); !contains(a.Warnings, "the pipes pull") || !contains(a.Pipes(), "slacken them") {
		t.Errorf("warnings %v", a.Warnings)
	}
	if a := read("0.001 in"); contains(a.Warnings, "pipes") || !contains(a.Reasons, "moved 0.025 mm") {
		t.Errorf("warnings %v, reasons %v", a.Warnings, a.Reasons)
	}
}

// Feet that are raised get the fewest shims of the (invented) shelf.
func TestFootShims(t *testing.T) {
	b := open(t, "J-2041", ofKind(job.KindAlignment))
	b.add(job.KindAlignment, map[string]any{"state": "as-left", "method": "tool", "growth": map[string]any{"near": 0, "far": 0}, "growth_confirmed": true,
		"dimensions": map[string]any{"to_near_foot": "200 mm", "to_far_foot": "600 mm"},
		"readings":   map[string]any{"offset_vertical": "-0.30 mm", "angle_vertical": "-1 mm/m", "offset_horizontal": 0, "angle_horizontal": 0}}, time.Minute)
	a := b.chapter().Alignment.Left
	// 0.30 + 0.2 = 0.50 mm and 0.30 + 0.6 = 0.90 mm: one shim, and 0.50 + 0.25 + 0.10 + 0.05.
	if !contains(a.Moves, "near feet, under each foot: 1 of 0.500 mm make 0.500 mm") || !contains(a.Moves, "far feet, under each foot: 1 of 0.500 mm") || !contains(a.Moves, "make 0.900 mm") {
		t.Errorf("moves %v, notes %v", a.Moves, a.Notes)
	}
}
