package calculator

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

// fitAnswer runs a calculator on YAML and returns its JSON document, as it is seen
// from outside.
func fitAnswer(t *testing.T, name, input string) (map[string]any, *Outcome) {
	t.Helper()
	c, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	outcome, err := c.Run(nil, []byte(input))
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, input)
	}
	text, err := json.Marshal(outcome.Document(say.Style{}, true))
	if err != nil {
		t.Fatal(err)
	}
	var doc struct{ Results map[string]any }
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	return doc.Results, outcome
}

// fitSI returns the SI value of a result.
func fitSI(t *testing.T, results map[string]any, name string) float64 {
	t.Helper()
	switch v := results[name].(type) {
	case float64:
		return v
	case map[string]any:
		if n, ok := v["value"].(float64); ok {
			return n
		}
	}
	t.Fatalf("no number %s in %v", name, results)
	return 0
}

func fitHold(t *testing.T, results map[string]any, name string, want, tolerance float64) {
	t.Helper()
	if got := fitSI(t, results, name); !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.8g, want %.8g ± %g", name, got, want, tolerance)
	}
}

func TestLimitsFromOutside(t *testing.T) {
	const um = 1e-6
	r, _ := fitAnswer(t, "limits", "fit: 50 H7/s6") // Bhandari, Design of Machine Elements, ex. 3.3
	for name, want := range map[string]float64{"hole_upper": 25, "hole_lower": 0, "shaft_upper": 59, "shaft_lower": 43, "clearance_max": -18, "clearance_min": -59, "nominal": 50000} {
		fitHold(t, r, name, want*um, 1e-9)
	}
	r, _ = fitAnswer(t, "limits", "hole: 25 K7\nshaft: 25 h6") // ISO 286-1:2010, fit list of a check sheet
	fitHold(t, r, "clearance_max", 19*um, 1e-9)
	fitHold(t, r, "clearance_min", -15*um, 1e-9)
	r, _ = fitAnswer(t, "limits", `shaft: "25 p6"`) // ISO 286-1:2010, sample list
	fitHold(t, r, "shaft_upper", 35*um, 1e-9)
	fitHold(t, r, "shaft_lower", 22*um, 1e-9)
	if _, there := r["clearance_max"]; there {
		t.Error("one part alone has no clearance")
	}
	r, _ = fitAnswer(t, "limits", "fit: 2 in FN2") // ANSI B4.1-1967, Machinery's Handbook 27th ed., Table 11
	for name, want := range map[string]float64{"hole_upper": 1.2, "hole_lower": 0, "shaft_upper": 2.7, "shaft_lower": 2.0, "clearance_max": -0.8, "clearance_min": -2.7, "nominal": 2000} {
		fitHold(t, r, name, want*25.4e-6, 1e-10)
	}
}

// Computed with numpy 1.24.2, independent prototype of the same equations.
func TestPressFitFromOutside(t *testing.T) {
	carbon := "{youngs_modulus: 14 GPa, poisson: 0.20, expansion: 4.5 µm/m/K}"
	iron := "{youngs_modulus: 105 GPa, poisson: 0.26, expansion: 11e-6 1/K}"
	r, o := fitAnswer(t, "press-fit", "mating_diameter: 42 mm\ninterference: 0.060 mm\nsleeve_bore: 30 mm\nhousing_outer: 58 mm\nlength: 40 mm\nsleeve_material: "+carbon+"\nhousing_material: "+iron+"\nservice_temperature: 150 °C\n")
	fitHold(t, r, "bore_closure", 0.0523117e-3, 0.0523117e-6)
	fitHold(t, r, "hot_bore_closure", 0.0213693e-3, 0.0213693e-6)
	if len(o.Notes.Cautions) == 0 || o.Status() != StatusDone {
		t.Errorf("cautions %v, status %d", o.Notes.Cautions, o.Status())
	}
	bronze := "{youngs_modulus: 105 GPa, poisson: 0.34, expansion: 18 µm/m/K, compressive_strength: 140 MPa}"
	r, o = fitAnswer(t, "press-fit", "mating_diameter: 40 mm\ninterference: 0.045 mm\nsleeve_bore: 30 mm\nhousing_outer: 87 mm\nlength: 40 mm\nsleeve_material: "+bronze+"\nhousing_material: "+iron+"\nservice_temperature: 150 °C\n")
	fitHold(t, r, "contact_pressure", 23.4956e6, 0.0235e6)
	fitHold(t, r, "hot_interference", 0.0814e-3, 0.0814e-6)
	fitHold(t, r, "loose_temperature_rise", -0.045/(7e-6*40), 0.01)
	if r["accepted"] != false || o.Status() != StatusNotYet {
		t.Errorf("194 MPa hot in a bronze of 140 MPa is accepted: %v, status %d", r["accepted"], o.Status())
	}
	// The bushing cases, named materials: carbon graphite 17 GPa in grey iron 100 GPa.
	r, _ = fitAnswer(t, "press-fit", "mating_diameter: 38 mm\ninterference: 40 µm\nsleeve_bore: 25 mm\nhousing_outer: large\nlength: 40 mm\nsleeve_material: Carbon-Graphite\nhousing_material: cast iron\nservice_temperature: 150 °C\n")
	fitHold(t, r, "contact_pressure", 7.044e6, 0.007e6)
	fitHold(t, r, "housing_hoop_stress", 7.044e6, 0.007e6)
	fitHold(t, r, "sleeve_hoop_stress_interface", -17.795e6, 0.018e6)
	fitHold(t, r, "sleeve_hoop_stress_bore", -24.839e6, 0.025e6)
	fitHold(t, r, "bore_closure", 0.03653e-3, 0.00004e-3)
	// By hand: 25.00 − 0.035 mm lies below 25.00 mm.
	r, _ = fitAnswer(t, "press-fit", "mating_diameter: 38 mm\ninterference: 40 µm\nsleeve_bore: 25 mm\nhousing_outer: 70 mm\nsleeve_material: carbon graphite\nhousing_material: 316\nfinish_bore: {low: 25.00 mm, high: 25.02 mm}\n")
	if r["finish"] != "ream after pressing" {
		t.Errorf("finish %v", r["finish"])
	}
	if _, there := r["press_force"]; there {
		t.Error("a force without a length")
	}
	r, _ = fitAnswer(t, "press-fit", "mating_diameter: 25 mm\ninterference: 0.028 mm\nsleeve_bore: 0\nhousing_outer: 55 mm\nlength: 35 mm\nsleeve_material: steel\nhousing_material: ductile iron\n")
	fitHold(t, r, "contact_pressure", 79.452e6, 0.08e6)
	fitHold(t, r, "press_force", 26210, 26.2)
	if _, there := r["bore_closure"]; there {
		t.Error("a solid pin has no bore")
	}
}

// Computed with python 3 from linear expansion; the aluminium hub is a
// published example (304 °F).
func TestShrinkFromOutside(t *testing.T) {
	r, _ := fitAnswer(t, "shrink", "mating_diameter: 50 mm\ninterference: 0.059 mm\nclearance: 0.025 mm\nmaterial: carbon steel\nambient: 20 °C\n")
	fitHold(t, r, "temperature", 163.6+273.15, 0.1)
	r, _ = fitAnswer(t, "shrink", "mating_diameter: 63 mm\ninterference: 0.045 mm\nclearance: 0.020 mm\nmaterial: bronze\nambient: 20 °C\nmethod: cool\n")
	fitHold(t, r, "temperature", -37.3+273.15, 0.1)
	fitHold(t, r, "temperature_rise", -57.3, 0.1)
	r, _ = fitAnswer(t, "shrink", "mating_diameter: 1.000 in\ninterference: 0.0010 in\nclearance: 0.0020 in\nmaterial: {expansion: 12.8 µin/in/°F}\nambient: 70 °F\n")
	fitHold(t, r, "temperature", (304.4+459.67)/1.8, 0.3)
}

func TestBoltTorqueFromOutside(t *testing.T) {
	// ISO 898-1, M10 class 8.8: 33 700 N proof load
	r, _ := fitAnswer(t, "bolt-torque", "thread: M10\ngrade: 8.8\npreload_fraction: 0.75\nnut_factor: 0.20\ncount: 8\npasses: 3\n")
	fitHold(t, r, "preload", 25275, 126)
	fitHold(t, r, "torque", 50.6, 0.25)
	torque := fitSI(t, r, "torque")
	passes := r["passes"].([]any)
	if len(passes) != 3 {
		t.Fatalf("passes %v", passes)
	}
	for i, share := range []float64{0.3, 0.6, 1} {
		if got := passes[i].(map[string]any)["value"].(float64); math.Abs(got-share*torque) > 1e-9 {
			t.Errorf("pass %d: %g", i, got)
		}
	}
	if got := fmt.Sprint(r["sequence"]); got != "[1 5 3 7 2 6 4 8]" { // common practice, no source
		t.Errorf("sequence %s", got)
	}
	// SAE J429 torque-tension tables, 1/2-13 grade 8, K 0.15: 12 771 lbf, 80 ft·lbf
	r, _ = fitAnswer(t, "bolt-torque", "thread: 1/2-13 UNC\ngrade: SAE 8\nnut_factor: 0.15\npasses: [0.25, 0.5, 1]\n")
	fitHold(t, r, "preload", 12771*4.4482216, 0.005*12771*4.45)
	fitHold(t, r, "torque", 80*1.35581795, 0.01*80*1.356)
	if _, there := r["sequence"]; there {
		t.Error("a sequence without a count")
	}
	// Jindal, Machine Design, ex. 9-3: long form
	r, _ = fitAnswer(t, "bolt-torque", "thread: M18x2.5\ngrade: 10.9\nthread_friction: 0.15\ncollar_friction: 0.13\n")
	fitHold(t, r, "nut_factor", 0.1834, 0.0009)
}

func TestFitRefusals(t *testing.T) {
	press := "interference: 0.045 mm\nsleeve_bore: 30 mm\nhousing_outer: 87 mm\nlength: 40 mm\nsleeve_material: bronze\nhousing_material: grey iron\n"
	for _, c := range []struct{ name, input, field, says string }{
		{"limits", "fit: 600 H7/s6", "fit", "500 mm"},
		{"limits", "fit: 50 H7/s6\nhole: 50 H7", "fit", "either"},
		{"limits", "hole: 50 H7\nshaft: 40 s6", "shaft", "different"},
		{"limits", "fit: 5 in FN2", "fit", "at hand"},
		{"press-fit", press, "mating_diameter", "missing"},
		{"press-fit", "mating_diameter: 40\n" + press, "mating_diameter", "unit"},
		{"press-fit", "mating_diameter: 40 mm\n" + strings.Replace(press, "87 mm", "39 mm", 1), "housing_outer", "larger"},
		{"press-fit", "mating_diameter: 40 mm\n" + strings.Replace(press, "87 mm", "huge", 1), "housing_outer", ""},
		{"press-fit", "mating_diameter: 40 mm\n" + strings.Replace(press, "bronze", "bronse", 1), "sleeve_material", "did you mean"},
		{"press-fit", "mating_diameter: 40 mm\n" + strings.Replace(press, "bronze", "{poisson: 0.3}", 1), "sleeve_material.youngs_modulus", ""},
		{"press-fit", "mating_diameter: 40 mm\n" + strings.Replace(press, "bronze", "{poisson: 0.7, youngs_modulus: 1 GPa}", 1), "sleeve_material.poisson", "0.5"},
		{"shrink", "mating_diameter: 50 mm\ninterference: 0 mm\nclearance: 0.025 mm\nmaterial: steel", "interference", "no interference"},
		{"bolt-torque", "thread: M13\ngrade: 8.8", "thread", "pitch"},
		{"bolt-torque", "thread: M12\ngrade: 8.8\npasses: [0.5, 0.4, 1]", "passes[1]", "rise"},
		{"bolt-torque", "thread: M12\ngrade: 8.8\npasses: many", "passes", "number"},
		{"bolt-torque", "thread: M12\ngrade: 8.8\ncount: 1", "count", "at least 2"},
		{"cover", "needs: {a: 1}\noffers: [{name: x, price: -1, parts: {a: 1}}]", "offers[0].price", "below zero"},
		{"life-cost", "options: [{name: a}]\nyears: 7.5\ndiscount: 0.1", "years", "whole"},
	} {
		calculator, err := Find(c.name)
		if err != nil {
			t.Fatal(err)
		}
		_, err = calculator.Run(nil, []byte(c.input))
		p := say.AsProblem(err)
		if p == nil || p.Field != c.field || !strings.Contains(p.Error(), c.says) {
			t.Errorf("%s %q: %v, want field %s with %q", c.name, c.input, err, c.field, c.says)
		}
	}
}

// Invented prices; the answer by hand.
func TestCoverFromOutside(t *testing.T) {
	input := "needs: {seal: 1, gasket: 2, pin: 1}\noffers:\n  - {name: kit, price: 200, lead_time: 3 d, parts: {seal: 1, gasket: 3}}\n  - {name: pin, price: 50, lead_time: 10, stock: 1, parts: {pin: 1}}\n  - {name: grind pin, price: 90, lead_time: 2 days, parts: {pin: 1}}\n"
	r, _ := fitAnswer(t, "cover", input+"aim: cheapest\n")
	fitHold(t, r, "cost", 250, 0)
	if fmt.Sprint(r["choose"]) != "map[kit:1 pin:1]" || fmt.Sprint(r["left_over"]) != "map[gasket:1]" {
		t.Errorf("%v", r)
	}
	r, _ = fitAnswer(t, "cover", input+"aim: least-total\ncost_of_waiting: 10\n") // 250 + 100 against 290 + 30
	fitHold(t, r, "cost", 290, 0)
	fitHold(t, r, "total", 320, 1e-9)
	fitHold(t, r, "lead_time", 3*86400, 0)
	r, o := fitAnswer(t, "cover", "needs: {seal: 1, crescent: 2}\noffers: [{name: seal, price: 9, parts: {seal: 1}}]\n")
	if fmt.Sprint(r["missing"]) != "map[crescent:2]" || o.Status() != StatusNotYet {
		t.Errorf("missing %v, status %d", r["missing"], o.Status())
	}
}

// Computed with numpy 1.24.2 from the definitions; the pump life cycle example
// from memory (US DOE/GO-102001-1190, 2001).
func TestLifeCostFromOutside(t *testing.T) {
	r, _ := fitAnswer(t, "life-cost", "options:\n  - {name: repair, initial: 1800, yearly: {running: 4200}, events: [{year: 3, cost: 1800}, {year: 6, cost: 1800}]}\n  - {name: replace, initial: 9500, yearly: {running: 3600}, events: [{year: 4, cost: 1500}, {year: 8, cost: -800}]}\nyears: 8\ndiscount: 0.08\ninflation: 0\n")
	options := r["options"].([]any)
	fitHold(t, options[0].(map[string]any), "present_value", 28499.09, 0.01)
	fitHold(t, options[1].(map[string]any), "present_value", 30858.23, 0.01)
	fitHold(t, r, "difference", 30858.23-28499.09, 0.01)
	fitHold(t, r, "simple_payback_years", 12.8333, 1e-4)
	if r["best"] != "repair" {
		t.Errorf("best %v", r["best"])
	}
	r, _ = fitAnswer(t, "life-cost", "options:\n  - {name: valve, initial: 5000, yearly: {energy: 11088, routine: 500}, events: [{year: 2, cost: 2500}, {year: 4, cost: 2500}, {year: 6, cost: 2500}, {year: 8, cost: 2500}]}\nyears: 8 years\ndiscount: 0.08\ninflation: 0.04\n")
	fitHold(t, r["options"].([]any)[0].(map[string]any), "present_value", 91826.9, 0.1)
	fitHold(t, r, "real_rate", 0.03846154, 1e-8)
}
