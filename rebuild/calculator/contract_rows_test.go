package calculator

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pumpwright/calc/say"
	"pumpwright/rebuild/sheet"
)

// A bushing is asked by its Sommerfeld number; the eccentricity ratio, the
// friction and the attitude of the published table must come back.
func TestContractFilmTable(t *testing.T) {
	var rows []contractRow
	film := func(id, source string, ratio, eps, s float64, more map[string]float64) {
		want := map[string]float64{"eccentricity": eps}
		for k, v := range more {
			if k == "attitude" {
				v *= math.Pi / 180
			}
			want[k] = v
		}
		rows = append(rows, contractRow{id: id, source: source, name: "bushing", input: filmInput(s, ratio), rel: 0.02, want: want})
	}
	// Independent prototype: S at an eccentricity, friction and attitude there.
	film("K01, K03", prototype, 1, 0.2, 0.632106, map[string]float64{"attitude": 73.8545})
	film("K05", prototype, 1, 0.4, 0.2604, map[string]float64{"friction_variable": 5.78873})
	film("K07, K09", prototype, 1, 0.6, 0.121012, map[string]float64{"attitude": 50.5299})
	film("K11", prototype, 1, 0.8, 0.04456, map[string]float64{"friction_variable": 1.70337})
	film("K13, K15", prototype, 1, 0.9, 0.0188364, map[string]float64{"attitude": 26.4748})
	film("K17", prototype, 0.5, 0.2, 2.032, map[string]float64{"friction_variable": 41.0481})
	film("K19, K21", prototype, 0.5, 0.4, 0.785795, map[string]float64{"attitude": 61.7751})
	film("K25, K27", prototype, 0.5, 0.8, 0.091763, map[string]float64{"attitude": 32.9336})
	film("K29", prototype, 0.5, 0.9, 0.03124, map[string]float64{"friction_variable": 1.59523})
	// Raimondi and Boyd 1958, from memory, with the highest pressure.
	film("l/d 1, 0.1", raimondiBoyd, 1, 0.1, 1.33, map[string]float64{"attitude": 79.5, "friction_variable": 26.4, "flow_variable": 3.37, "side_flow_ratio": 0.150})
	film("l/d 1, 0.2", raimondiBoyd, 1, 0.2, 0.631, map[string]float64{"attitude": 74.02})
	film("l/d 1, 0.4", raimondiBoyd, 1, 0.4, 0.264, map[string]float64{"attitude": 63.10, "friction_variable": 5.79, "flow_variable": 3.99, "side_flow_ratio": 0.497})
	film("l/d 1, 0.6", raimondiBoyd, 1, 0.6, 0.121, map[string]float64{"attitude": 50.58, "friction_variable": 3.22, "flow_variable": 4.33, "side_flow_ratio": 0.680})
	film("l/d 1, 0.9", raimondiBoyd, 1, 0.9, 0.0188, map[string]float64{"attitude": 26.45})
	film("l/d 0.5, 0.4", raimondiBoyd, 0.5, 0.4, 0.779, map[string]float64{"attitude": 61.45, "friction_variable": 17.0, "flow_variable": 4.29, "side_flow_ratio": 0.552})
	film("l/d 0.5, 0.6", raimondiBoyd, 0.5, 0.6, 0.319, map[string]float64{"friction_variable": 8.10})
	film("l/d 0.25, 0.1", raimondiBoyd, 0.25, 0.1, 16.2, map[string]float64{"attitude": 82.31, "friction_variable": 322, "flow_variable": 3.45, "side_flow_ratio": 0.180})
	checkContract(t, rows)
	rows = rows[:0]
	pressure := func(ratio, s, remembered float64) {
		rows = append(rows, contractRow{id: fmt.Sprintf("highest pressure, l/d %v, S %v", ratio, s), source: raimondiBoyd, name: "bushing", input: filmInput(s, ratio), rel: 0.03, want: map[string]float64{"pressure_ratio": remembered}})
	}
	pressure(1, 1.33, 0.540)
	pressure(1, 0.264, 0.484)
	pressure(1, 0.121, 0.415)
	pressure(1, 0.0446, 0.313)
	pressure(0.5, 2.03, 0.506)
	pressure(0.5, 0.779, 0.441)
	pressure(0.5, 0.0923, 0.267)
	pressure(0.5, 0.0313, 0.206)
	pressure(0.25, 16.2, 0.515)
	pressure(0.25, 7.57, 0.489)
	pressure(0.25, 1.07, 0.334)
	pressure(0.25, 0.0736, 0.180)
	checkContract(t, rows)
}

func TestContractBushingRows(t *testing.T) {
	const psi = 6894.757293
	limit := func(material, source string, want float64) contractRow {
		return contractRow{id: material, source: source, name: "bushing", rel: 1e-3, want: map[string]float64{"pv_limit": want * 1e6},
			input: fmt.Sprintf("{diameter: 30 mm, length: 36 mm, diametral_clearance: 80 µm, load: 100 N, speed: 420 rpm, viscosity: 50 cP, material: %s}", material)}
	}
	checkContract(t, []contractRow{
		limit("manganese bronze", "Mott, Machine Elements in Mechanical Design, Table 16-1", 5.250),
		limit("leaded tin bronze", "Mott, Machine Elements in Mechanical Design, Table 16-1", 2.625),
		limit("porous bronze", "Mott, Machine Elements in Mechanical Design, Table 16-1", 1.750),
		limit("metallized graphite", "Mott, Machine Elements in Mechanical Design, Table 16-1", 0.525),
		{id: "length for a PV", source: "Wentzell, Machine Design, ex. 19.1", name: "bushing", rel: 5e-3, want: map[string]float64{"pv": 3000 * psi * 0.3048 / 60},
			input: "{diameter: 0.75 in, length: 0.873 in, diametral_clearance: 2 mil, load: 20 lbf, speed: 500 rpm, viscosity: 50 cP}"},
		{id: "K31", source: prototype, name: "bushing", rel: 1e-3, want: map[string]float64{"projected_pressure": 3.22207e6},
			input: "{diameter: 30 mm, length: 58 mm, diametral_clearance: 0.080 mm, load: 5606.4 N, speed: 653.846 rpm, viscosity: 39.307 mPa·s}"},
		{id: "highest pressure", source: "Shigley, ex. 12-1 to 12-4, from memory", name: "bushing", rel: 0.02, want: map[string]float64{"min_film": 0.00063 * 0.0254, "friction_variable": 3.50},
			input: "{diameter: 1.5 in, length: 1.5 in, diametral_clearance: 0.003 in, load: 500 lbf, speed: 30 rev/s, viscosity: 4e-6 reyn}"},
		{id: "highest pressure, about", source: "Shigley, ex. 12-1 to 12-4, from memory, printed \"about\"", name: "bushing", rel: 0.03, want: map[string]float64{"max_pressure": 529 * psi},
			input: "{diameter: 1.5 in, length: 1.5 in, diametral_clearance: 0.003 in, load: 500 lbf, speed: 30 rev/s, viscosity: 4e-6 reyn}"},
		{id: "Petroff", source: "Petroff's law, computed with python3", name: "bushing", rel: 1e-3, want: map[string]float64{"projected_pressure": 0.4e6, "petroff_torque": 0.04729},
			input: "{diameter: 25 mm, length: 40 mm, diametral_clearance: 0.05 mm, load: 400 N, speed: 1150 rpm, viscosity: 20 mPa·s}"},
		{id: "Petroff below the loaded torque", source: "Petroff's law, computed with python3", name: "bushing", rel: 1e-3, want: map[string]float64{"petroff_torque": 1.999 * pounds * 0.0254},
			input: "{diameter: 1.5 in, length: 1.5 in, diametral_clearance: 0.003 in, load: 500 lbf, speed: 30 rev/s, viscosity: 4e-6 reyn}"},
	})
}

func TestContractSealRows(t *testing.T) {
	setting := func(length string) string {
		return "{free_length: 32.0 mm, rate: 8.5 N/mm, working_length: " + length + ", datum: {unknown: collar, links: [{name: collar}]}}"
	}
	checkContract(t, []contractRow{
		{id: "61.6/48.9", source: "computed from the formulas; inputs of the heat example of ISO 21049, from memory", name: "seal-face", rel: 2e-3,
			input: "{face_outer: 61.6 mm, face_inner: 48.9 mm, balance_diameter: 52.4 mm, spring_force: 190 N, pressure: 2.07 MPa, speed: 3600 rpm, friction: 0.07}",
			want: map[string]float64{"face_area": 1102.2e-6, "balance_ratio": 0.7474, "spring_pressure": 0.1724e6, "net_face_pressure": 0.6844e6, "closing_force": 1895.1, "opening_force": 1140.8,
				"mean_diameter": 55.25e-3, "mean_speed": 10.4144, "pv": 7.1277e6, "torque": 1.4587, "heat": 549.92}},
		{id: "43/34", source: faceFormulas, name: "seal-face", rel: 2e-3,
			input: "{face_outer: 43 mm, face_inner: 34 mm, balance_diameter: 33 mm, spring_force: 60 N, pressure: 7 bar, speed: 420 rpm, friction: 0.1}",
			want:  map[string]float64{"closing_force": 477.8, "opening_force": 190.5, "mean_diameter": 38.50e-3}},
		{id: "38/30", source: faceFormulas, name: "seal-face", rel: 2e-3,
			input: "{face_outer: 38 mm, face_inner: 30 mm, balance_diameter: 31.5 mm, spring_force: 70 N, pressure: 1.4 MPa, speed: 1750 rpm, friction: 0.07}",
			want:  map[string]float64{"closing_force": 566.7, "opening_force": 299.1, "mean_diameter": 34.00e-3, "torque": 0.3185}},
		// Starting takes about five times the running torque.
		{id: "start", source: "Lobanoff and Ross, Centrifugal Pumps, p. 363", name: "seal-face", rel: 2e-3,
			input: "{face_outer: 43 mm, face_inner: 34 mm, balance_diameter: 33 mm, spring_force: 60 N, pressure: 7 bar, speed: 420 rpm, friction: 0.1}", want: map[string]float64{"starting_torque": 5 * 0.5531}},
		{id: "by its length", source: faceFormulas, name: "seal-setting", rel: 1e-6, input: "{free_length: 32.0 mm, rate: 12.0 N/mm, working_length: 25.0 mm, datum: {unknown: collar, links: [{name: collar}]}}", want: map[string]float64{"spring_force": 84.0}},
		{id: "half a millimetre shorter", source: "rate over face area of 544.28 mm², computed with python3", name: "seal-setting", rel: 5e-3, input: setting("24.5 mm"), want: map[string]float64{"spring_force": 8.5e3*7e-3 + 0.00781e6*544.28e-6}},
		{id: "one helium band", source: "half of 587.56 nm", name: "flatness", rel: 5e-3, input: "{bands: 1, light: helium}", want: map[string]float64{"flatness": 11.57 * 25.4e-9}},
		{id: "two helium bands", source: "half of 587.56 nm each", name: "flatness", rel: 5e-3, input: "{bands: 2, light: helium}", want: map[string]float64{"flatness": 23.1 * 25.4e-9}},
		{id: "three helium bands", source: "half of 587.56 nm each", name: "flatness", rel: 5e-3, input: "{bands: 3, light: helium}", want: map[string]float64{"flatness": 34.7 * 25.4e-9}},
		{id: "one sodium band", source: "half of 589.3 nm (wavelength from memory)", name: "flatness", rel: 5e-3, input: "{bands: 1, light: sodium}", want: map[string]float64{"flatness": 0.2946e-6}},
	})
}

func TestContractPressRows(t *testing.T) {
	const mpa = 1e6
	steel := elastic(207, 0.3)
	hot := "{youngs_modulus: 17 GPa, poisson: 0.2, expansion: 4e-6/K}"
	iron := "{youngs_modulus: 100 GPa, poisson: 0.26, expansion: 11.4e-6/K}"
	checkContract(t, []contractRow{
		{id: "H02, H04", source: prototype, name: "press-fit", rel: 1e-3, want: map[string]float64{"bore_closure": 0.0523117e-3, "hot_bore_closure": 0.0213693e-3},
			input: pressInput("30 mm", "42 mm", "58 mm", "0.060 mm", "{youngs_modulus: 14 GPa, poisson: 0.20, expansion: 4.5e-6/K}", "{youngs_modulus: 105 GPa, poisson: 0.26, expansion: 11e-6/K}", "service_temperature: 150 °C\n")},
		{id: "H06, H08", source: prototype, name: "press-fit", rel: 1e-3, want: map[string]float64{"contact_pressure": 23.4956 * mpa, "hot_interference": 0.0814e-3},
			input: pressInput("30 mm", "40 mm", "87 mm", "0.045 mm", "{youngs_modulus: 105 GPa, poisson: 0.34, expansion: 18e-6/K}", "{youngs_modulus: 105 GPa, poisson: 0.26, expansion: 11e-6/K}", "service_temperature: 150 °C\n")},
		{id: "bronze in steel, at the interface", source: lame, name: "press-fit", rel: 1e-3, input: pressInput("50 mm", "63 mm", "110 mm", "0.045 mm", elastic(103, 0.34), steel, ""),
			want: map[string]float64{"sleeve_hoop_stress_interface": -62.349 * mpa}},
		{id: "loose at", source: "linear expansion, computed with python3", name: "press-fit", abs: 0.1, input: pressInput("25 mm", "38 mm", "70 mm", "0.040 mm", hot, iron, "service_temperature: 150 °C\n"),
			want: map[string]float64{"loose_temperature": 273.15 + 162.2}},
		{id: "bore cold and hot", source: "Lamé and linear expansion, computed with python3", name: "press-fit", abs: 0.0002e-3, input: pressInput("25 mm", "38 mm", "70 mm", "0.040 mm", hot, iron, "service_temperature: 150 °C\n"),
			want: map[string]float64{"bore_after_press": 24.9654e-3, "bore_hot": 25.0100e-3}},
		// Page: about 234 °F of warming, 304 °F set.
		{id: "aluminium hub", source: "shrink-fit page, computed with python3", name: "shrink", abs: 0.5 / 1.8, want: map[string]float64{"temperature_rise": 234.4 / 1.8, "temperature": (304.4 + 459.67) / 1.8},
			input: "{mating_diameter: 1.000 in, interference: 0.0010 in, clearance: 0.0020 in, material: {expansion: 12.8 µin/in/°F}, ambient: 70 °F}"},
		{id: "M16 x 2", source: "Jindal, Machine Design, ex. 9-1", name: "bolt-torque", abs: 0.1e-6, input: "{thread: M16x2, grade: 8.8}", want: map[string]float64{"stress_area": 156.7e-6}},
	})
}

func TestContractAlignmentRows(t *testing.T) {
	const mil = 25.4e-6
	level := "readings: {offset_vertical: 0, angle_vertical: 0, offset_horizontal: 0, angle_horizontal: 0}"
	grown := func(height, expansion, warming string) string {
		foot := fmt.Sprintf("{height: %s, expansion: %s, warming: %s}", height, expansion, warming)
		return fmt.Sprintf("{method: tool, dimensions: {to_near_foot: 200 mm, to_far_foot: 600 mm}, %s, growth_from: {near: %s, far: %s, stationary: {height: 225 mm, expansion: 11.4e-6/K, warming: 0 K}}}", level, foot, foot)
	}
	const article = "published article on thermal growth"
	rows := []contractRow{
		{id: "cast iron, 12 in, 100 °F", source: article, name: "align", abs: 0.0005 * 0.0254, input: grown("12 in", "5.9 µin/in/°F", "100 °F"), want: map[string]float64{"growth.near": 0.00708 * 0.0254}},
		{id: "mild steel", source: article, name: "align", abs: 0.0005 * 0.0254, input: grown("12 in", "6.3 µin/in/°F", "100 °F"), want: map[string]float64{"growth.near": 0.00756 * 0.0254}},
		{id: "stainless", source: article, name: "align", abs: 0.0005 * 0.0254, input: grown("12 in", "7.4 µin/in/°F", "100 °F"), want: map[string]float64{"growth.far": 0.00888 * 0.0254}},
		{id: "250 mm, 60 K", source: "computed with python3", name: "align", rel: 1e-3, input: grown("250 mm", "11.4e-6/K", "60 K"), want: map[string]float64{"growth.far": 0.171e-3, "feet.far.vertical": -0.171e-3}},
		{id: "motor, 35 K", source: "computed with python3", name: "align", rel: 5e-3, input: grown("225 mm", "11.7e-6/K", "35 K"), want: map[string]float64{"growth.near": 0.0921e-3}},
		{id: "pump, 60 K", source: "computed with python3", name: "align", rel: 5e-3, input: grown("225 mm", "11.4e-6/K", "60 K"), want: map[string]float64{"growth.near": 0.1539e-3}},
	}
	const short, bands = "suggested alignment tolerances, short flexible couplings", "alignment tolerance bands of two instrument handbooks"
	limit := func(id, source string, want map[string]float64) {
		rows = append(rows, contractRow{id: id, source: source, name: "align", rel: 1e-9, want: want, input: fmt.Sprintf("{method: tool, dimensions: {to_near_foot: 200 mm, to_far_foot: 600 mm}, %s, speed: %s}", level, id)})
	}
	limit("750 rpm", short, map[string]float64{"verdicts[0].offset_limit": 0.19e-3})
	limit("3000 rpm", short, map[string]float64{"verdicts[0].offset_limit": 0.06e-3})
	limit("6000 rpm", short, map[string]float64{"verdicts[0].offset_limit": 0.03e-3})
	limit("1500 rpm", short, map[string]float64{"verdicts[0].angle_limit": 0.0007})
	limit("400 rpm", bands, map[string]float64{"verdicts[1].offset_limit": 6 * mil, "verdicts[1].angle_limit": 0.002})
	limit("1750 rpm", bands, map[string]float64{"verdicts[1].offset_limit": 4 * mil, "verdicts[1].angle_limit": 0.001})
	limit("2900 rpm", bands, map[string]float64{"verdicts[1].offset_limit": 3 * mil, "verdicts[1].angle_limit": 0.0005})
	// The table for short couplings ends at 7200 rev/min.
	limit("8000 rpm", bands, map[string]float64{"verdicts[0].offset_limit": 1 * mil, "verdicts[0].angle_limit": 0.00025})
	checkContract(t, rows)
}

func TestContractRunoutRows(t *testing.T) {
	around := func(step int, values ...float64) string {
		var b strings.Builder
		b.WriteString("readings:\n")
		for i, v := range values {
			fmt.Fprintf(&b, "  - {angle: %d°, reading: %v µm}\n", i*step, v)
		}
		return b.String()
	}
	const um, turn = 1e-6, math.Pi / 180
	checkContract(t, []contractRow{
		{id: "8 places", source: leastSquares, name: "runout", abs: 0.01 * um, input: around(45, 0, 12, 18, 15, 3, -8, -14, -11), want: map[string]float64{"tir": 32 * um, "eccentricity": 16.233 * um, "mean": 1.875 * um, "residual": 1.12 * um}},
		{id: "12 places", source: leastSquares, name: "runout", abs: 0.01 * um, input: around(30, 0, 8, 20, 29, 35, 38, 34, 26, 15, 5, -2, -3), want: map[string]float64{"tir": 41 * um, "eccentricity": 20.673 * um, "mean": 17.083 * um, "residual": 1.85 * um}},
		{id: "4 places", source: leastSquares, name: "runout", abs: 0.01 * um, input: around(90, 0, 10, 16, 6), want: map[string]float64{"tir": 16 * um, "eccentricity": 8.246 * um, "mean": 8 * um}},
		{id: "direction, 8 places", source: leastSquares, name: "runout", abs: 0.01 * turn, input: around(45, 0, 12, 18, 15, 3, -8, -14, -11), want: map[string]float64{"high_angle": 96.40 * turn}},
		{id: "direction, 12 places", source: leastSquares, name: "runout", abs: 0.01 * turn, input: around(30, 0, 8, 20, 29, 35, 38, 34, 26, 15, 5, -2, -3), want: map[string]float64{"high_angle": 144.59 * turn}},
		{id: "direction, exact circle", source: leastSquares, name: "runout", abs: 0.01 * turn, input: around(45, 0, 2.00, -7.32, -22.50, -34.64, -36.64, -27.32, -12.14), want: map[string]float64{"high_angle": 30 * turn}},
		{id: "exact circle", source: leastSquares, name: "runout", abs: 0.01 * um, input: around(45, 0, 2.00, -7.32, -22.50, -34.64, -36.64, -27.32, -12.14), want: map[string]float64{"eccentricity": 20 * um, "tir": 38.64 * um, "residual": 0}},
	})
}

// The invented demo pump with a part changed in its sheet, asked from outside.
func TestContractChangedSheet(t *testing.T) {
	demo, err := sheet.DemoText("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	text := string(demo)
	ask := func(name, input, old, new string) map[string]any {
		t.Helper()
		changed := strings.ReplaceAll(text, old, new)
		if old != new && changed == text {
			t.Fatalf("%q is not in the sheet", old)
		}
		c, err := Find(name)
		if err != nil {
			t.Fatal(err)
		}
		outcome, err := c.Run(&Env{ReadFile: func(string) ([]byte, error) { return []byte(changed), nil }}, []byte(strings.Replace(input, "sheet: demo-pump-m", "sheet: own.yaml", 1)))
		if err != nil {
			t.Fatalf("%s with %q: %v", name, new, err)
		}
		return outcome.Document(say.Style{}, true)
	}
	for _, c := range []struct {
		id, input string
		want      float64
	}{
		{"D06", "{sheet: demo-pump-m, liquid: demo-light-oil, temperature: 40 °C, end_clearance: 0.13 mm, points: [{speed: 500 rpm, pressure: 10 bar}]}", -2.15717},
		{"D14", "{sheet: demo-pump-m, liquid: demo-water, temperature: 20 °C, end_clearance: 0.13 mm, points: [{speed: 500 rpm, pressure: 4 bar}]}", -1.38809},
	} {
		pressed := func(old, new string) float64 {
			doc := ask("performance", c.input, old, new)["results"]
			slip, _ := followNumber(doc, "points[0].slip")
			none, _ := followNumber(doc, "points[0].slip_without_pressure")
			return slip - none
		}
		change := 100 * (pressed("rim_width: 16 mm", "rim_width: 17.6 mm")/pressed("", "") - 1)
		within(t, c.id+" rim 10 % wider, "+prototype, change, c.want, 1e-3)
	}
	results := ask("clearance-window", hotWindow, "", "")["results"]
	steady, _ := followNumber(results, "change_steady")
	within(t, "G06, "+prototype, steady, -80.5492e-6, 1e-3)
	after, _ := followNumber(results, "worst_after")
	nearTo(t, "G08, "+prototype, after, 250, 20)
	stainless := strings.NewReplacer(
		"rotor: {name: grey iron, expansion: 11e-6/K, youngs_modulus: 105 GPa, poisson: 0.26}", "rotor: {name: stainless, expansion: 16.5e-6/K, youngs_modulus: 193 GPa, poisson: 0.3}",
		"shaft: {name: carbon steel, expansion: 11.7e-6/K", "shaft: {name: stainless, expansion: 16.5e-6/K").Replace(text)
	text = stainless
	results = ask("clearance-window", hotWindow, "", "")["results"]
	steady, _ = followNumber(results, "change_steady")
	within(t, "G12 stainless shaft and rotor, "+prototype, steady, -226.247e-6, 1e-3)
}

func TestContractPrototypeRows(t *testing.T) {
	checkContract(t, []contractRow{
		{id: "B08", source: prototype, name: "viscosity", rel: 1e-3, input: "points: [{temperature: 40 °C, viscosity: 46 mm2/s}, {temperature: 100 °C, viscosity: 6.8 mm2/s}]\nat: [10 °C]\n", want: map[string]float64{"table[0].kinematic_viscosity": 261.874e-6}},
		{id: "L05", source: prototype + "; area of the tooth outlines", name: "gear-set", rel: 1e-5, want: map[string]float64{"displacement": 328.129e-6},
			input: "{rotor_teeth: 17, idler_teeth: 13, module: 8 mm, pressure_angle: 28 deg, rotor_addendum: 0.8, idler_addendum: 0.8, rotor_dedendum: 1.05, idler_dedendum: 1.05, face_width: 60 mm, backlash: 0.2 mm, tip_gap_outer: 0.15 mm, tip_gap_inner: 0.15 mm}"},
		// Spread of four readings over two, a step of 0.01 mm, a certificate of 0.002 mm.
		{id: "F06", source: prototype, name: "budget", rel: 1e-3, want: map[string]float64{"u": 0.00538516e-3},
			input: "parts: [{name: repeats, u: 4.0824829 µm, dof: 3}, {name: step, half_width: 5 µm}, {name: certificate, u: 2 µm}]\n"},
	})
}

func TestContractGearRows(t *testing.T) {
	checkContract(t, []contractRow{
		// The delivery of 41.418 cm³ per turn of the ring at 420 rev/min.
		{id: "13/19 at 420 rev/min", source: pairsComputed, name: "gear-set", input: pairG1 + "face_width: 25 mm\n", rel: 5e-4, want: map[string]float64{"displacement": 17.396e-3 / 420}},
		{id: "13/19 per turn of the pinion", source: pairsComputed, name: "gear-set", input: pairG1 + "face_width: 25 mm\n", rel: 5e-4, want: map[string]float64{"displacement": 28.339e-6 * 19 / 13}},
		{id: "17/27 per turn of the pinion", source: pairsComputed, name: "gear-set", input: "rotor_teeth: 27\nidler_teeth: 17\nmodule: 3 mm\npressure_angle: 20 deg\nrotor_addendum: 0.7\nidler_addendum: 0.93333333\nrotor_dedendum: 1.1\nidler_dedendum: 1.0\nface_width: 30 mm\n",
			status: StatusNotYet, rel: 5e-4, want: map[string]float64{"displacement": 23.802e-6 * 27 / 17}},
		{id: "17/27, trochoid margin", source: pairsComputed, name: "gear-set", input: "rotor_teeth: 27\nidler_teeth: 17\nmodule: 3 mm\npressure_angle: 20 deg\nrotor_addendum: 0.7\nidler_addendum: 0.93333333\nrotor_dedendum: 1.1\nidler_dedendum: 1.0\nface_width: 30 mm\n",
			status: StatusNotYet, abs: 27 * 5e-4, want: map[string]float64{"fouling_margin": 27 * 0.00959}},
	})
	// The smallest ring tip radius without interference is 38.402 mm; 38.400 mm is
	// refused, 38.403 mm passes (computed with python3, √(r_b² + (a sin α)²)).
	for _, c := range []struct {
		addendum string
		valid    bool
	}{{"0.70000000", false}, {"0.69900000", true}} {
		doc, _, err := askJSON(t, "gear-set", "rotor_teeth: 27\nidler_teeth: 17\nmodule: 3 mm\npressure_angle: 20 deg\nrotor_addendum: "+c.addendum+"\nidler_addendum: 0.93333333\nrotor_dedendum: 1.1\nidler_dedendum: 1.0\nface_width: 30 mm\n")
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := follow(doc, "results.valid"); got != c.valid {
			t.Errorf("ring addendum %s: valid %v", c.addendum, got)
		}
	}
}
