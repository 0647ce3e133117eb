package calculator

import (
	"math"
	"testing"

	"pumpwright/calc/say"
)

// runYAML runs a calculator the way the command does and returns its results.
func runPump(t *testing.T, name, input string) (map[string]any, *Outcome) {
	t.Helper()
	c, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	o, err := c.Run(exampleEnv(), []byte(input))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return o.Document(say.Style{}, true)["results"].(map[string]any), o
}

// number digs a number out of results: a quantity or a plain number.
func numberAt(t *testing.T, doc any, path ...any) float64 {
	t.Helper()
	for _, p := range path {
		switch key := p.(type) {
		case string:
			doc = doc.(map[string]any)[key]
		case int:
			doc = doc.([]any)[key]
		}
	}
	if q, ok := doc.(map[string]any); ok {
		doc = q["value"]
	}
	v, ok := doc.(float64)
	if !ok {
		t.Fatalf("%v is no number: %v", path, doc)
	}
	return v
}

func within(t *testing.T, id string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: got %.8g, want %.8g ± %g", id, got, want, relative*math.Abs(want))
	}
}

// Check values: independent prototype of the same equations, numpy 1.24.2 /
// scipy 1.10.1; they prove the arithmetic, not the pump.
func TestGearSetCalculator(t *testing.T) {
	c, _ := Find("gear-set")
	r, o := runPump(t, "gear-set", c.Example)
	within(t, "A01", numberAt(t, r, "center_distance"), 16e-3, 1e-3)
	within(t, "A03", numberAt(t, r, "displacement_closed_form"), 328.133e-6, 1e-3)
	within(t, "A05", numberAt(t, r, "flow_ripple"), 0.0217602, 1e-3)
	within(t, "A07", numberAt(t, r, "crescent_thickness"), 18.9e-3, 1e-3)
	within(t, "A09", numberAt(t, r, "rotor_tip_thickness"), 6.47402e-3, 1e-3)
	if r["valid"] != true || o.Status() != StatusDone {
		t.Error("the example must be valid")
	}
	r, _ = runPump(t, "gear-set", `
rotor_teeth: 16
idler_teeth: 12
diametral_pitch: 4
pressure_angle: 27°
rotor_addendum: 0.75
idler_addendum: 0.75
face_width: 50 mm
`)
	within(t, "A11", numberAt(t, r, "contact_ratio"), 1.32353, 1e-3)
	within(t, "A13", numberAt(t, r, "displacement"), 151.821e-6, 1e-3)
	within(t, "A15", numberAt(t, r, "fouling_margin"), 0.0948144, 1e-3)
	within(t, "A17", numberAt(t, r, "idler_tip_thickness"), 4.71919e-3, 1e-3)
	r, _ = runPump(t, "gear-set", c.Example+"relief: false\n")
	within(t, "A19", numberAt(t, r, "displacement"), 325.242e-6, 1e-3)
	r, o = runPump(t, "gear-set", "rotor_teeth: 17\nidler_teeth: 13\nmodule: 8 mm\npressure_angle: 20°\nrotor_addendum: 1\nidler_addendum: 1\nface_width: 60 mm\n")
	if _, there := r["displacement"]; there || r["valid"] != false || o.Status() != StatusNotYet {
		t.Error("full-depth 20° teeth 17/13 must be refused by gate 0, without a displacement")
	}
}

func TestDisplacementCalculator(t *testing.T) {
	c, _ := Find("displacement")
	r, _ := runPump(t, "displacement", c.Example)
	within(t, "closed form, derived here", numberAt(t, r, "displacement"), 328.133e-6, 1e-3)
	r, _ = runPump(t, "displacement", "idler_diameter: 116.8 mm\ncenter_distance: 16 mm\nface_width: 60 mm\n")
	within(t, "A21", numberAt(t, r, "displacement"), 346.591e-6, 1e-3)
	within(t, "A21 u", r["displacement"].(map[string]any)["u"].(float64), 0.15*346.591e-6, 1e-3)
	r, _ = runPump(t, "displacement", "rated_flow: 100 L/min\nrated_speed: 500 rpm\n")
	within(t, "D = Q/(N η), law", numberAt(t, r, "displacement"), 0.2e-3/0.95, 1e-9)
	for input, field := range map[string]string{
		"idler_diameter: 116.8 mm\ncenter_distance: 16 mm\n": "face_width",
		"rated_flow: 100 L/min\n":                            "rated_speed",
		"idler_diameter: 100 mm\ncenter_distance: 16 mm\nface_width: 60 mm\ncrescent_thickness: 40 mm\n": "crescent_thickness",
		"idler_diameter: 100 mm\nrated_flow: 100 L/min\nrated_speed: 500 rpm\n":                          "rated_flow",
	} {
		_, err := c.Run(nil, []byte(input))
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%q: got %v, want a refusal of %s", input, err, field)
		}
	}
}
