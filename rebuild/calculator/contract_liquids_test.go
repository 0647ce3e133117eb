package calculator

import (
	"fmt"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

const (
	mm2s       = 1e-6
	walther    = "ASTM D341 simplified equation, closed form computed with Python 3"
	d2270      = "ASTM D2270 worked examples, inputs as in the tests of the Python library chemicals"
	iapws      = "python3-iapws 1.5.2 (IAPWS-IF97, R12-08)"
	edbWater   = "Hydraulic Institute Engineering Data Book, water property table (SI)"
	edbScales  = "Hydraulic Institute Engineering Data Book, Tbl. 2.C.1"
	d2161      = "ASTM D2161-93 equation, evaluated with Python 3"
	vgGrades   = "ISO 3448 annex (VI 95), from memory; confirmed with scipy 1.10.1"
	selfChosen = "by definition"
)

func twoPoints(cold, hot float64, at string) string {
	return fmt.Sprintf("points: [{temperature: 40 °C, viscosity: %v cSt}, {temperature: 100 °C, viscosity: %v cSt}]\nat: [%s]\n", cold, hot, at)
}

func TestContractViscosity(t *testing.T) {
	nu := func(values ...float64) map[string]float64 {
		want := map[string]float64{}
		for i, v := range values {
			want[fmt.Sprintf("table[%d].kinematic_viscosity", i)] = v * mm2s
		}
		return want
	}
	checkContract(t, []contractRow{
		{id: "32 and 5.4 cSt", source: walther, name: "viscosity", input: twoPoints(32, 5.4, "80 °C, 20 °C"), want: nu(8.5332, 86.278), rel: 1e-3},
		{id: "46 and 6.8 cSt", source: walther, name: "viscosity", input: twoPoints(46, 6.8, "0 °C, 25 °C, 60 °C"), want: nu(577.32, 99.355, 20.623), rel: 1e-3},
		{id: "460 and 30.5 cSt", source: walther, name: "viscosity", input: twoPoints(460, 30.5, "15 °C, 65 °C"), want: nu(3192.5, 116.11), rel: 1e-3},
		{id: "2.4 and 1.05 cSt", source: walther, name: "viscosity", input: twoPoints(2.4, 1.05, "60 °C, 20 °C"), want: nu(1.7292, 3.6244), rel: 1e-3},
		{id: "constants", source: walther, name: "viscosity", input: twoPoints(32, 5.4, "80 °C"),
			want: map[string]float64{"intercept_a": 9.53082, "slope_b": 3.74658}, abs: 1e-4},
		{id: "oil at 10 °C", source: "independent prototype of the same equation, numpy 1.24.2", name: "viscosity", input: twoPoints(46, 6.8, "10 °C"), want: nu(261.874), rel: 1e-3},
		{id: "VI 92", source: d2270, name: "viscosity", input: twoPoints(73.30, 8.86, "50 °C"), want: map[string]float64{"viscosity_index": 92.430}, abs: 0.05},
		{id: "VI 156", source: d2270, name: "viscosity", input: twoPoints(22.83, 5.05, "50 °C"), want: map[string]float64{"viscosity_index": 156.423}, abs: 0.05},
		{id: "VI 92, second", source: d2270, name: "viscosity", input: twoPoints(73.50, 8.86, "50 °C"), want: map[string]float64{"viscosity_index": 92.033}, abs: 0.05},
		{id: "VI 193, above the table", source: d2270, name: "viscosity", input: twoPoints(1000, 100, "50 °C"), want: map[string]float64{"viscosity_index": 192.998}, abs: 0.05},
		{id: "VI of 460", source: "computed with scipy 1.10.1 from the table of ASTM D2270", name: "viscosity", input: twoPoints(460, 30.5, "50 °C"), want: map[string]float64{"viscosity_index": 95.567}, abs: 0.1},
		{id: "VI of 68", source: "computed with scipy 1.10.1 from the table of ASTM D2270", name: "viscosity", input: twoPoints(68, 8.7, "50 °C"), want: map[string]float64{"viscosity_index": 99.259}, abs: 0.1},
		{id: "VG 46", source: vgGrades, name: "viscosity", input: twoPoints(46, 6.645, "20 °C, 60 °C, 80 °C"), want: nu(136.5, 20.38, 10.9), rel: 0.01},
		{id: "VG 220", source: vgGrades, name: "viscosity", input: twoPoints(220, 18.75, "20 °C, 60 °C, 80 °C"), want: nu(861.4, 78.29, 35.22), rel: 0.01},
		{id: "VG 680", source: vgGrades, name: "viscosity", input: twoPoints(680, 39.06, "20 °C, 60 °C, 80 °C"), want: nu(3259, 205.9, 81.38), rel: 0.01},
		// µ = K γ^(n−1); ln ν halfway is the geometric mean.
		{id: "power law", source: selfChosen, name: "viscosity", input: "family: Other\npoints: [{temperature: 40 °C, viscosity: 8 Pa·s}]\ndensity: 1 g/cm3\nat: 40 °C\nshear: {model: power law, n: 0.5, consistency: 10 Pa·s^0.5}\nshear_rate: 100 1/s\n",
			want: map[string]float64{"table[0].dynamic_viscosity": 1, "table[0].kinematic_viscosity": 1e-3}, rel: 1e-9},
		{id: "ln ν between points", source: selfChosen, name: "viscosity", input: "family: other\npoints: [{temperature: 20 °C, viscosity: 100 mPa·s}, {temperature: 60 °C, viscosity: 25 mPa·s}]\nat: [40 °C]\n",
			want: map[string]float64{"table[0].dynamic_viscosity": 0.05}, rel: 1e-9},
	})
	doc, _, err := askJSON(t, "viscosity", "family: other\npoints: [{temperature: 20 °C, viscosity: 90 cSt}, {temperature: 60 °C, viscosity: 20 cSt}]\nat: [40 °C]\n")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"slope_b", "intercept_a", "viscosity_index"} {
		if _, there := follow(doc, "results."+name); there {
			t.Errorf("a liquid that is no petroleum has no %s", name)
		}
	}
	doc, _, err = askJSON(t, "viscosity", twoPoints(46, 6.8, "50 °C")+"density: 870 kg/m3\n")
	if err != nil || !strings.Contains(fmt.Sprint(doc["warnings"]), "density") {
		t.Errorf("a density held constant must be said: %v, %v", doc["warnings"], err)
	}
	if _, _, err = askJSON(t, "viscosity", "family: other\npoints: [{temperature: 20 °C, viscosity: 90 cSt}, {temperature: 60 °C, viscosity: 20 cSt}]\nat: [40 °C, 70 °C]\n"); say.AsProblem(err) == nil || say.AsProblem(err).Field != "at[1]" {
		t.Errorf("outside the points: %v", err)
	}
}

func TestContractScales(t *testing.T) {
	row := func(source, value, to, temperature string, want, rel float64) contractRow {
		input := fmt.Sprintf("{value: %s, to: %s", value, to)
		if temperature != "" {
			input += ", temperature: " + temperature
		}
		return contractRow{id: value + " to " + to, source: source, name: "convert", input: input + "}", want: map[string]float64{"value": want}, rel: rel}
	}
	checkContract(t, []contractRow{
		row(d2161, "2 cSt", "SSU", "", 32.6024, 5e-4),
		row(d2161, "5 cSt", "SSU", "", 42.3926, 5e-4),
		row(d2161, "10 cSt", "ssu", "", 58.837, 5e-4),
		row(d2161, "50 cSt", "SUS", "100 °F", 232.551, 5e-4),
		row(d2161, "75 cSt", "SSU", "", 347.834, 5e-4),
		row(d2161, "460 mm2/s", "SSU", "37.7778 °C", 2130.91, 5e-4),
		row("ASTM D2161, temperature factor from memory", "10 cSt", "SSU", "210 °F", 59.2318, 1e-3),
		row("ASTM D2161, temperature factor from memory", "100 cSt", "SSU", "40 °C", 463.576, 1e-3),
		row("ASTM D2161 Furol, from memory", "50 cSt", "SSF", "122 °F", 26.034, 5e-3),
		row("ASTM D2161 Furol, from memory", "220 cSt", "SSF", "122 °F", 104.13, 5e-3),
		row("ASTM D2161 Furol, from memory", "460 cSt", "SSF", "210 °F", 220.46, 5e-3),
		row(edbScales, "7.4 cSt", "RI", "", 44.3, 0.05),
		row(edbScales, "7.4 cSt", "degE", "", 1.58, 0.025),
		row(edbScales, "20.6 cSt", "Redwood", "", 85.6, 0.05),
		row(edbScales, "440 cSt", "degE", "", 58.4, 0.025),
		row(edbScales, "2200 cSt", "SSU", "", 10000, 0.025),
		row(edbScales, "2200 cSt", "RI", "", 8460, 0.05),
		row("units by definition", "50 in·lbf", "N·m", "", 5.64924145, 1e-8),
		row("units by definition", "5 thou", "mm", "", 0.127, 1e-12),
		row("units by definition", "5 gpm", "L/min", "", 18.92705892, 1e-9),
		row("units by definition", "68 °F", "°C", "", 20, 1e-12),
		row("1 MPa·m/s = 28 551 psi·ft/min", "1 MPa·m/s", "psi·ft/min", "", 28551, 1e-4),
		row("units by definition", "1 ft3", "L", "", 28.316846592, 1e-12),
	})
}

func TestContractWater(t *testing.T) {
	var rows []contractRow
	for _, c := range []struct{ celsius, density, viscosity, vapor float64 }{
		{5, 999.967, 1.5182, 0.87257}, {10, 999.702, 1.3059, 1.22818}, {20, 998.206, 1.0016, 2.33921}, {25, 997.048, 0.8900, 3.16975},
		{40, 992.224, 0.6527, 7.38443}, {60, 983.211, 0.4660, 19.94580}, {80, 971.803, 0.3541, 47.41472}, {95, 961.895, 0.2971, 84.60894}, {120, 943.106, 0.2320, 198.665},
	} {
		input := fmt.Sprintf("{\"temperature\": \"%v °C\", \"pressure\": null}", c.celsius)
		rows = append(rows,
			contractRow{id: fmt.Sprint(c.celsius, " density"), source: iapws, name: "water", input: input, want: map[string]float64{"density": c.density}, rel: 5e-4},
			contractRow{id: fmt.Sprint(c.celsius, " viscosity"), source: iapws, name: "water", input: input, want: map[string]float64{"dynamic_viscosity": c.viscosity * 1e-3}, rel: 5e-3},
			contractRow{id: fmt.Sprint(c.celsius, " vapour"), source: iapws, name: "water", input: input, want: map[string]float64{"vapor_pressure": c.vapor * 1e3}, rel: 2e-3})
	}
	for _, c := range []struct{ celsius, vapor float64 }{{10, 1.228}, {37.8, 6.545}, {60, 19.919}, {93.3, 79.469}} {
		rows = append(rows, contractRow{id: fmt.Sprint(c.celsius, " data book"), source: edbWater, name: "water",
			input: fmt.Sprintf("temperature: %v °C", c.celsius), want: map[string]float64{"vapor_pressure": c.vapor * 1e3}, rel: 5e-3})
	}
	checkContract(t, rows)
}
