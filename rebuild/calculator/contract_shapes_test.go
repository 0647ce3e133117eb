package calculator

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

// The same question in other words, units and shapes has the same answer.
func TestContractShapes(t *testing.T) {
	for _, c := range []struct{ name, one, other string }{
		{"convert", "{value: 150 psi, to: bar}", "{\"value\": \"150 psi\", \"to\": \"bar\", \"density\": null, \"temperature\": null}"},
		{"viscosity", twoPoints(46, 6.8, "50 °C"), strings.Replace(twoPoints(46, 6.8, "50 °C"), "at: [50 °C]", "at: 122 °F\nfamily: Petroleum", 1)},
		{"viscosity", twoPoints(46, 6.8, "50 °C") + "density: 870 kg/m3\ndensity_slope: -0.62\n", twoPoints(46, 6.8, "50 °C") + "density: 0.87 g/cm3\ndensity_temperature: 15 °C\ndensity_slope: -0.62 kg/m3/K\n"},
		{"gear-set", pairG1 + "face_width: 25 mm\n", strings.Replace(pairG1, "module: 4 mm", "diametral_pitch: 6.35", 1) + "face_width: 25 mm\nbacklash: 0\nrelief: null\n"},
		{"gear-set", pairG1 + "face_width: 25 mm\n", strings.Replace(pairG1, "module: 4 mm", "diametral_pitch: 6.35 1/in", 1) + "face_width: 0.98425196850393704 in\n"},
		{"performance", "{sheet: demo-pump-m, liquid: demo-water, temperature: 20 °C, points: [{speed: 300 rpm, pressure: 2 bar}]}", "{sheet: Demo-Pump-M, liquid: Demo-Water, temperature: 68 °F, points: [{speed: 5 1/s, pressure: 2 bar(g)}], factors: {slip: 1}}"},
		{"relief-valve", "{set: 10 bar, crack: 9 bar, working_pressure: 8 bar, casing_limit: 16 bar, drive_limit: 12 bar}", "{set: 1 MPa, crack: 9 bar(g), working_pressure: 800 kPa, casing_limit: 16e5 Pa, drive_limit: 12 bar, full_bypass: null, reseat: null}"},
		{"limits", "fit: 50 H7/s6", "{hole: 50H7, shaft: 50 mm s6}"},
		{"limits", "shaft: 25 p6", "fit: 25p6"},
		{"shrink", "{mating_diameter: 50 mm, interference: 59 µm, clearance: 25 µm, material: carbon steel, ambient: 20 °C}", "{mating_diameter: 5 cm, interference: 0.059 mm, clearance: 0.025 mm, material: Carbon-Steel, ambient: 293.15 K, method: HEAT}"},
		{"bolt-torque", "{thread: M12, grade: 8.8, count: 8, passes: 3}", "{thread: \"M12x1.75\", grade: \"8.8\", count: \"8\", passes: \"3\", preload_fraction: null}"},
		{"bolt-torque", "{thread: 1/2-13 UNC, grade: SAE 5}", "{thread: 1/2-13, grade: grade 5, passes: [0.30, 0.60, 1.00]}"},
		{"bolt-torque", "{thread: 1/2-13 UNC, grade: SAE 8}", "{thread: 1/2-13UNC, grade: 8}"},
		{"bushing", "{diameter: 30 mm, length: 30 mm, diametral_clearance: 80 µm, load: 700 N, speed: 420 rpm, viscosity: 50 mPa·s, material: leaded tin bronze}", "{diameter: 3 cm, length: 30 mm, diametral_clearance: 0.08 mm, load: 0.7 kN, speed: 7 rev/s, viscosity: 50 cP, material: Bronze}"},
		{"chain", "links: [{name: a, value: 1 mm, low: 0.9 mm, high: 1.1 mm}]", "links: [{name: a, low: 0.9 mm, high: 1.1 mm, group: null, common: null, sensitivity: \"1\"}]\nsamples: 0\nseed: 1\ncorrelation: []\n"},
		{"gasket-stack", exampleShelf + "first: {gap: -0.485 mm, u: 12 µm}\nwindow: {low: 0.10 mm, high: 0.16 mm}\n", strings.ReplaceAll(exampleShelf, "0.08,", "8 %,") + "fitted: null\nfirst: {gap: -0.485 mm, u: 0.012 mm}\nwindow: {low: 100 µm, high: 160 µm}\nmax_pieces: 8\n"},
		{"housing-turn", "{thread_pitch: 1.5 mm, measured: 0.31 mm, u: 8 µm, notches: 24, window: {low: 0.18 mm, high: 0.24 mm}}", "{thread_pitch: 1500 µm, measured: 0.33 mm, float: 0.02 mm, u: 8 µm, notches: \"24\", window: {low: 0.18 mm, high: 0.24 mm}, hand: Right}"},
		{"budget", "parts: [{name: a, half_width: 2 K, sensitivity: 0.575 µm/K}]", "parts: [{name: a, half_width: 2 °C, shape: Rectangular, sensitivity: \"0.575 um/K\", dof: null}]\nconfidence: 95 %\n"},
		{"decide", "{measured: 0.13 mm, u: 5 µm, lower: 0.10 mm}", "{measured: \"0,13 mm\", u: 0.005 mm, lower: 100 µm, upper: null, confidence: 0.95}"},
		{"wear-trend", "points: [{hours: 0, value: 1 mm}, {hours: 1000, value: 2 mm}, {hours: 2000, value: 3.1 mm}]\nlimit: 4 mm\nat: [3000]\n", "points: [{hours: 0 h, value: 1 mm}, {hours: 1000 h, value: 2000 µm, u: null}, {hours: 2000, value: 3.1 mm}]\nlimit: 4 mm\nat: 3000 h\nconfidence: 90 %\n"},
		{"life", "rows: [{time: 10 h}, {time: 20 h}, {time: 30 h, status: 0}]", "rows: [{time: 10, status: 1, count: 1}, {time: 1200 min, status: 1}, {time: 30 h, status: 0}]\ntime_unit: h\ndistribution: Weibull\nconfidence: 0.95\n"},
		{"recurrence", "systems: [{events: [24, 48], end: 72}, {events: [50], end: 80}]", "systems: [{events: [1 d, 48 h], end: 3 d}, {events: 50, end: 80}]"},
		{"spares", "{rate: 0.0001, units: 20, lead_time: 90 d, service_level: 0.95}", "{rate: 1e-4 1/h, units: 20, lead_time: 2160 h, service_level: 95 %}"},
		{"causes", "evidence: [E70, {id: E83, strength: 1}]\nabsent: []\n", "evidence: [e70, {id: e83, strength: 1}]\n"},
		{"runout", "readings: [{angle: 0 deg, reading: 0}, {angle: 90 deg, reading: 10 µm}, {angle: 180 deg, reading: 16 µm}, {angle: 270 deg, reading: 6 µm}]", "readings: [{angle: 0, reading: 0 mm}, {angle: 90°, reading: 0.010 mm}, {angle: 180°, reading: 16 um}, {angle: 4.71238898038469 rad, reading: 6 um}]"},
	} {
		one, _, err := askJSON(t, c.name, c.one)
		if err != nil {
			t.Errorf("%s: %v\n%s", c.name, err, c.one)
			continue
		}
		other, _, err := askJSON(t, c.name, c.other)
		if err != nil {
			t.Errorf("%s: %v\n%s", c.name, err, c.other)
			continue
		}
		if where := different(one["results"], other["results"], ""); where != "" {
			t.Errorf("%s%s\n%s\n%s", c.name, where, c.one, c.other)
		}
	}
}

// different finds where two documents differ by more than rounding.
func different(a, b any, at string) string {
	switch x := a.(type) {
	case map[string]any:
		y, ok := b.(map[string]any)
		if !ok || len(x) != len(y) {
			return fmt.Sprintf("%s: %v and %v", at, a, b)
		}
		for key, inner := range x {
			if where := different(inner, y[key], at+"."+key); where != "" {
				return where
			}
		}
		return ""
	case []any:
		y, ok := b.([]any)
		if !ok || len(x) != len(y) {
			return fmt.Sprintf("%s: %v and %v", at, a, b)
		}
		for i := range x {
			if where := different(x[i], y[i], fmt.Sprintf("%s[%d]", at, i)); where != "" {
				return where
			}
		}
		return ""
	case float64:
		if y, ok := b.(float64); ok && math.Abs(x-y) <= 1e-7*max(math.Abs(x), math.Abs(y))+1e-15 {
			return ""
		}
	}
	if reflect.DeepEqual(a, b) || strings.HasSuffix(at, ".text") {
		return ""
	}
	return fmt.Sprintf("%s: %v and %v", at, a, b)
}

// A refusal names the path as written, what was read and what is accepted.
func TestContractRefusals(t *testing.T) {
	for _, c := range []struct{ name, input, field, read, accepted string }{
		{"viscosity", "points: [{temperature: 40 °C, viscosity: 1 cSt}, {temperature: 60 °C, viscosity: 1 cSt}, {temperature: 5, viscosity: 2 cSt}]\nat: [20 °C]", "points[2].temperature", "5", "5 °C"},
		{"viscosity", "points: [{temperature: 40 °C, viscosity: 32 bar}]\nat: [20 °C]", "points[0].viscosity", "32 bar", "mm2/s"},
		{"viscosity", "points: []\nat: []", "at", "", "20 °C"},
		{"water", "temperature: -5 °C", "temperature", "-5 °C", "0 °C"},
		{"water", "temp: 5 °C\ntemperature: 5 °C", "temp", "5 °C", "temperature, pressure"},
		{"water", "temperature: 120 °C\npressure: 5 bar(g)", "pressure", "5 bar(g)", "bar(a)"},
		{"gear-set", "rotor_teeth: 17.5", "rotor_teeth", "17.5", "3"},
		{"gear-set", pairG1, "face_width", "", "length"},
		{"performance", "{sheet: demo-pump-m, liquid: demo-water, temperature: 20 °C, points: [{speed: 300 rpm, pressure: 2 bar}, {speed: 300, pressure: 2 bar}]}", "points[1].speed", "300", "rpm"},
		{"performance", "{sheet: demo-pump-m, liquid: demo-water, temperature: 20 °C, points: [{speed: 300 rpm, pressure: 2 mm}]}", "points[0].pressure", "2 mm", "bar"},
		{"performance", "{sheet: demo-pump-m, liquid: {points: [{temperature: 40 °C, viscosity: 46 cSt}, {temperature: 100, viscosity: 6.8 cSt}], density: 870 kg/m3}, temperature: 40 °C, points: [{speed: 300 rpm, pressure: 2 bar}]}", "liquid.points[1].temperature", "100", "°C"},
		{"performance", "{sheet: demo-pump-m, liquid: demo-water, temperature: 20 °C, rotor_radial_clearance: 0.1, points: [{speed: 300 rpm, pressure: 2 bar}]}", "rotor_radial_clearance", "0.1", "mm"},
		{"press-fit", pressInput("25 mm", "38 mm", "70 mm", "-0.04 mm", "bronze", "steel", ""), "interference", "-0.04 mm", ""},
		{"press-fit", pressInput("25 mm", "38 mm", "30 mm", "0.04 mm", "bronze", "steel", ""), "housing_outer", "30 mm", ""},
		{"press-fit", pressInput("25 mm", "38 mm", "70 mm", "0.04 mm", "bronze", "{youngs_modulus: 200 GPa, poisson: 0.3, expansion: 11.7e-6}", ""), "housing_material.expansion", "1.17e-05", "1/K"},
		{"press-fit", pressInput("25 mm", "38 mm", "70 mm", "0.04 mm", "bronze", "{youngs: 200 GPa}", ""), "housing_material.youngs", "200 GPa", "youngs_modulus"},
		{"bolt-torque", "{thread: M12, grade: 7.7}", "grade", "7.7", "8.8"},
		{"bolt-torque", "{thread: 12 mm, grade: 8.8}", "thread", "12 mm", "M16"},
		{"bolt-torque", "{thread: M12, grade: 8.8, preload_fraction: 1.2}", "preload_fraction", "1.2", "0.75"},
		{"chain", "links: [{name: a, value: 1 mm, u: 1 mm}, {name: b, value: 1 mm, u: 1 bar}]", "links[1].u", "1 bar", "mm"},
		{"chain", "links: [{name: a, value: 1 mm, u: 1 mm}, {name: b, value: 1 mm, u: 1 mm}]\ncorrelation: [{a: a, b: b, rho: 1.5}]", "correlation[0].rho", "1.5", ""},
		{"gasket-stack", exampleShelf + "fitted: {paper 0.25: -1}\nmeasured: 0.3 mm\nu: 0.01 mm\nwindow: {low: 0.1 mm, high: 0.2 mm}", "fitted.paper 0.25", "-1", ""},
		{"gasket-stack", "kinds: [{name: a, thickness: 0.2 mm, tolerance: 0.01 mm, sealing: true}]\nfirst: {gap: -0.3 mm, u: 0.01 mm}\nwindow: {low: 0.1 mm, high: 0.2 mm}", "kinds[0].stock", "", "count"},
		{"gasket-stack", exampleShelf + "first: {gap: -0.3 mm, u: 0.01 mm}\nwindow: {low: -2 thou, high: 0.2 mm}", "window.low", "-2 thou", ""},
		{"gasket-stack", exampleShelf + "fitted: {paper 0.25: 2}\nfeeler: {goes: 0.14 mm, no_go: 0.13 mm}\nwindow: {low: 0.1 mm, high: 0.2 mm}", "feeler.no_go", "0.13 mm", ""},
		{"seal-face", "{face_outer: 43 mm, face_inner: 34 mm, balance_diameter: 33 mm, spring_force: 60 N, pressure: 7 bar, speed: 420 rpm, pressure_side: top}", "pressure_side", "top", "inside"},
		{"align", "{method: reverse, dimensions: {between: 8 in, to_near_foot: 10 in, to_far_foot: 30 in}, readings: {stationary_rim: {top: 0, right: 1, bottom: 0, left: 0}, movable_rim: {top: 0, right: 0, bottom: 0, left: 0}}}", "readings.stationary_rim.right", "1", "mm"},
		{"decide", "{measured: 0.13 mm, u: 5 bar, lower: 0.1 mm}", "u", "5 bar", "mm"},
		{"gauge-study", "file: no-column.csv", "file", "", ""},
		{"wear-trend", "points: [{hours: 0, value: 1 mm}, {hours: 10 mm, value: 2 mm}]\nlimit: 3 mm", "points[1].hours", "10 mm", "h"},
		{"life", "rows: [{time: 5 h}, {time: 6 h, status: failed}]", "rows[1].status", "failed", "3"},
		{"recurrence", "systems: [{events: [5, 8, 12], end: 10}]", "systems[0].events[2]", "12", "10"},
		{"spares", "{rate: 0.0001 1/s, units: 20, lead_time: 90 d}", "rate", "0.0001 1/s", "1/h"},
		{"spares", "{rate: 0.0001, units: 20, lead_time: 90}", "lead_time", "90", "90 h"},
		{"causes", "evidence: [E70, E99]", "evidence[1]", "E99", ""},
		{"cover", "needs: {seal: one}\noffers: []", "needs.seal", "one", "3"},
		{"cover", "needs: {seal: 1}\noffers: [{name: a, price: 1, parts: {seal: 1}}]\naim: fastest", "aim", "fastest", "soonest"},
		{"life-cost", "options: [{name: a, initial: 1, events: [{year: 9, cost: 1}]}]\nyears: 8\ndiscount: 0.08", "options[0].events[0].year", "9", ""},
		{"life-cost", "options: [{name: a, initial: 1}]\nyears: 8\ndiscount: 8", "discount", "8", "0.08"},
		{"suction", "{static_head: 1, flow: 1 L/min}", "static_head", "1", "mm"},
		{"convert", "{value: 1e99 mm, to: in}", "value", "1e99 mm", "1e30"},
		{"convert", "{value: 10 mm, to: bar}", "to", "bar", "mm"},
	} {
		calculator, err := Find(c.name)
		if err != nil {
			t.Fatal(err)
		}
		env := &Env{ReadFile: func(string) ([]byte, error) { return []byte("part,who,value\n1,A,1\n"), nil }}
		_, err = calculator.Run(env, []byte(c.input))
		p := say.AsProblem(err)
		switch {
		case p == nil:
			t.Errorf("%s %q: %v is no refusal", c.name, c.input, err)
		case p.Field != c.field || c.read != "" && p.Read != c.read:
			t.Errorf("%s %q: field %q, read %q, want %q, %q", c.name, c.input, p.Field, p.Read, c.field, c.read)
		case p.Accepted.IsZero() || !strings.Contains(p.Accepted.String(), c.accepted):
			t.Errorf("%s %q: accepted %q, want %q in it", c.name, c.input, p.Accepted, c.accepted)
		}
	}
}

// Files as bench computers write them: the same readings give the same answer.
func TestContractFiles(t *testing.T) {
	first := map[string]float64{}
	for _, c := range []struct{ name, file, path string }{
		{"life", "time,status\n10,1\n20,1\n30,0\n", "results.scale"},
		{"life", "\ufeffTime;Status;Count\r\n10,0;1;\r\n20;1;1\r\n30;0;1\r\n", "results.scale"},
		{"life", "# invented\nstatus\ttime\n1\t10\n1\t20\n0\t30\n", "results.scale"},
		{"gauge-study", "part,operator,trial,value\n1,A,1,1\n1,A,2,1.1\n1,B,1,1.3\n1,B,2,1.1\n2,A,1,2\n2,A,2,2.2\n2,B,1,2.2\n2,B,2,2.1\n", "results.grr"},
		{"gauge-study", "Value;Appraiser;Part\n1;A;1\n1,1;A;1\n1,3;B;1\n1,1;B;1\n2;A;2\n2,2;A;2\n2,2;B;2\n2,1;B;2\n", "results.grr"},
	} {
		calculator, err := Find(c.name)
		if err != nil {
			t.Fatal(err)
		}
		outcome, err := calculator.Run(&Env{ReadFile: func(string) ([]byte, error) { return []byte(c.file), nil }}, []byte("file: x.csv"))
		if err != nil {
			t.Errorf("%q: %v", c.file, err)
			continue
		}
		got, ok := followNumber(outcome.Document(say.Style{}, false), c.path)
		if want, known := first[c.name]; !ok || known && math.Abs(got-want) > 1e-12*want {
			t.Errorf("%q: %v, want %v", c.file, got, want)
		} else if !known {
			first[c.name] = got
		}
	}
}
