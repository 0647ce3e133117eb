package calculator

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const hotWindow = `
sheet: demo-pump-m
liquid: demo-light-oil
duty:
  - {temperature: 150 °C, speed: 500 rpm, pressure: 5 bar}
min_volumetric_efficiency: 0.5
runout: 0.03 mm
tilt: 0.02 mm
clearance_u: 0.014 mm
needed_gap: 0.05 mm
`

// Invented demo pump, hot: independent prototype of the same equations, numpy
// 1.24.2 / scipy 1.10.1.
func TestClearanceWindowCalculator(t *testing.T) {
	r, o := runPump(t, "clearance-window", hotWindow)
	within(t, "I13", numberAt(t, r, "lower"), 0.271297e-3, 1e-3)
	within(t, "I13 without guard", numberAt(t, r, "lower_unguarded"), 0.243297e-3, 1e-3)
	within(t, "G06", numberAt(t, r, "change_steady"), -80.5492e-6, 1e-3)
	within(t, "worst change", numberAt(t, r, "change_worst"), -168.297e-6, 2e-3)
	if r["radial_ok"] != false {
		t.Error("the demo pump keeps 0.004 mm at the rim in this warm-up; that is too little")
	}
	if got := numberAt(t, r, "worst_after"); got < 230 || got > 270 {
		t.Errorf("worst moment after %v s, the prototype has 250", got)
	}
	// The row of the (invented) manual for thin oil above 110 °C.
	within(t, "manual", numberAt(t, r, "manual", "low"), 0.26e-3, 1e-9)
	differs := false
	for _, w := range o.Notes.Warnings {
		differs = differs || w.ID() == "calculator.manual_differs"
	}
	if !differs { // its row begins at 0.26 mm, below the lower limit
		t.Errorf("warnings %v", o.Notes.Warnings)
	}
	if len(o.Notes.Cautions) == 0 || len(o.Notes.Warnings) == 0 || o.Status() == StatusDone && r["possible"] == false {
		t.Errorf("status %v, warnings %v", o.Status(), o.Notes.Warnings)
	}
}

// Loss optimum: pump as on the bench (part temperatures held there), same
// prototype.
func TestClearanceWindowLossOptimum(t *testing.T) {
	for _, c := range []struct {
		id, liquid, duty string
		want             float64
	}{
		{"I03", "demo-light-oil", "{temperature: 90 °C, speed: 500 rpm, pressure: 8 bar}", 0.0442602e-3},
		{"I05", "demo-light-oil", "{temperature: 40 °C, speed: 500 rpm, pressure: 8 bar}", 0.147352e-3},
		{"I07", "demo-light-oil", "{temperature: 10 °C, speed: 400 rpm, pressure: 6 bar}", 0.425078e-3},
		{"I09", "demo-molasses", "{temperature: 40 °C, speed: 100 rpm, pressure: 8 bar}", 0.637883e-3},
		{"I11", "demo-molasses", "{temperature: 20 °C, speed: 60 rpm, pressure: 8 bar}", 0.976584e-3},
		{"I01", "demo-water", "{temperature: 20 °C, speed: 300 rpm, pressure: 2 bar}", 0.0200075e-3},
	} {
		r, _ := runPump(t, "clearance-window", "sheet: demo-pump-m\nliquid: "+c.liquid+"\nduty: ["+c.duty+"]\n"+`
min_volumetric_efficiency: 0.5
runout: 0
tilt: 0
clearance_u: 0
part_temperatures: {rotor: 20 °C, shaft: 20 °C, casing: 20 °C, head: 20 °C, bracket: 20 °C}
`)
		within(t, c.id, numberAt(t, r, "loss_optimum", 0), c.want, 0.01)
	}
}

func TestClearanceWindowSays(t *testing.T) {
	// 0.99 cannot be reached by this duty: no upper limit, status not yet.
	r, o := runPump(t, "clearance-window", strings.Replace(hotWindow, "efficiency: 0.5", "efficiency: 0.99", 1))
	if _, there := r["upper"]; there || r["possible"] != false || o.Status() != StatusNotYet {
		t.Errorf("%v", r)
	}
	for _, c := range []struct{ old, new, field string }{
		{"sheet: demo-pump-m", "sheet: demo-pump-q", "sheet"},
		{"liquid: demo-light-oil", "liquid: soup", "liquid"},
		{"liquid: demo-light-oil", "liquid: {name: x, family: petroleum}", "liquid.points"},
		{"liquid: demo-light-oil", "liquid: ethylene-glycol", "duty[0].temperature"},
		{"500 rpm", "0 rpm", "duty[0].speed"},
		{"efficiency: 0.5", "efficiency: 1.5", "min_volumetric_efficiency"},
		{"runout: 0.03 mm", "runout: -0.03 mm", "runout"},
		{"tilt: 0.02 mm", "tilt: 0.02 mm\nwarmup: {start: ramp}", "warmup.ramp"},
		{"tilt: 0.02 mm", "tilt: 0.02 mm\nwarmup: {start: jacket_first}", "warmup.jacket_temperature"},
		{"tilt: 0.02 mm", "tilt: 0.02 mm\nmaterial_pair: wood", "material_pair"},
	} {
		refusedFor(t, "clearance-window", strings.Replace(hotWindow, c.old, c.new, 1), c.field)
	}
}

// The shape of a slower warm-up, of own part temperatures, and of a liquid
// from a file.
func TestClearanceWindowVariants(t *testing.T) {
	base, _ := runPump(t, "clearance-window", hotWindow)
	slow, _ := runPump(t, "clearance-window", hotWindow+"warmup: {start: ramp, ramp: 2}\n")
	if !(numberAt(t, slow, "lower") < numberAt(t, base, "lower")) {
		t.Error("a ramp of 2 K per minute closes the clearance as much as a sudden start")
	}
	parts, o := runPump(t, "clearance-window", hotWindow+"part_temperatures: {rotor: 20 °C, shaft: 20 °C, casing: 20 °C, head: 20 °C, bracket: 20 °C}\nthermal: {rotor: {capacity: 2300 J/K, to_liquid: 60 W/K}, shaft: {capacity: 1400 J/K, to_liquid: 5 W/K}, casing: {capacity: 11500 J/K, to_liquid: 40 W/K}, head: {capacity: 3700 J/K, to_liquid: 15 W/K}, bracket: {capacity: 6900 J/K, to_ambient: 4 W/K}}\n")
	if numberAt(t, parts, "change_steady") != 0 {
		t.Errorf("parts at bench temperature change nothing: %v, %v", parts["change_steady"], o.Notes.Warnings)
	}
	file := filepath.Join(t.TempDir(), "oil.yaml")
	if err := os.WriteFile(file, []byte("name: own\nfamily: petroleum\niso_vg: 46\nviscosity_index: 95\ndensity: 870 kg/m3\ndensity_temperature: 15 °C\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c, _ := Find("clearance-window")
	out, err := c.Run(&Env{ReadFile: os.ReadFile}, []byte(strings.Replace(hotWindow, "demo-light-oil", file, 1)))
	if err != nil || out == nil {
		t.Fatal(err)
	}
	if _, err := c.Run(&Env{ReadFile: os.ReadFile}, []byte(strings.Replace(hotWindow, "demo-light-oil", file+".not", 1))); !os.IsNotExist(err) {
		t.Errorf("a missing file: %v", err)
	}
}
