package calculator

import (
	"fmt"
	"math"
	"testing"
)

const (
	reynoldsSolved = "independent finite difference solution of the Reynolds equation, numpy 1.24.2"
	raimondiBoyd   = "Raimondi and Boyd 1958, from memory; confirmed by an independent finite difference solution"
	leastSquares   = "numpy 1.24.2 lstsq"
	faceFormulas   = "computed with python3 from the formulas"
)

// A bushing whose Sommerfeld number is S at a length over diameter.
func filmInput(s, ratio float64) string {
	const c, r, viscosity, speed = 60e-6, 30e-3, 0.03, 24.0 // speed in rev/s
	length := 2 * r * ratio
	load := (r / c) * (r / c) * viscosity * speed / s * length * 2 * r
	return fmt.Sprintf("{diameter: 60 mm, length: %.9g mm, diametral_clearance: 120 µm, load: %.12g N, speed: 1440 rpm, viscosity: 30 cP}", length*1e3, load)
}

func TestContractBushings(t *testing.T) {
	var rows []contractRow
	film := func(source string, ratio, eps, s, attitude, friction, flow, side, tolerance float64) {
		rows = append(rows, contractRow{id: fmt.Sprintf("l/d %v, eps %v", ratio, eps), source: source, name: "bushing", input: filmInput(s, ratio), rel: tolerance, want: map[string]float64{
			"attitude": attitude * math.Pi / 180, "friction_variable": friction, "flow_variable": flow, "side_flow_ratio": side, "sommerfeld": s}})
	}
	film(raimondiBoyd, 1, 0.1, 1.33, 79.5, 26.4, 3.37, 0.150, 0.02)
	film(reynoldsSolved, 1, 0.4, 0.2604, 62.57, 5.786, 3.988, 0.498, 0.02)
	film(raimondiBoyd, 1, 0.6, 0.121, 50.58, 3.22, 4.33, 0.680, 0.02)
	film(raimondiBoyd, 1, 0.8, 0.0446, 36.24, 1.70, 4.62, 0.842, 0.02)
	film(raimondiBoyd, 0.5, 0.2, 2.03, 74.94, 40.9, 3.72, 0.318, 0.02)
	film(reynoldsSolved, 0.5, 0.4, 0.7855, 61.77, 17.09, 4.289, 0.550, 0.02)
	film(raimondiBoyd, 0.5, 0.8, 0.0923, 33.31, 3.26, 5.41, 0.874, 0.02)
	film(raimondiBoyd, 0.5, 0.9, 0.0313, 23.66, 1.60, 5.69, 0.939, 0.02)
	film(raimondiBoyd, 0.25, 0.2, 7.57, 75.18, 153, 3.76, 0.330, 0.02)
	film(raimondiBoyd, 0.25, 0.6, 1.07, 46.72, 26.7, 4.99, 0.746, 0.02)
	film(raimondiBoyd, 0.25, 0.9, 0.0736, 21.85, 3.50, 5.91, 0.945, 0.02)
	checkContract(t, append(rows, []contractRow{
		{id: "3/4 x 7/8 in", source: "Wentzell, Machine Design, ex. 19.1", name: "bushing", rel: 2e-3,
			input: "{diameter: 3/4 in, length: 7/8 in, diametral_clearance: 2 thou, load: 20 lbf, speed: 500 rpm, viscosity: 50 cP}",
			want:  map[string]float64{"projected_pressure": 30.48 * 6894.757, "surface_speed": 98.17 * 0.3048 / 60, "pv": 2992 * 6894.757 * 0.3048 / 60}},
		{id: "900 N", source: "computed with python3", name: "bushing", rel: 1e-3,
			input: "{diameter: 30 mm, length: 36 mm, diametral_clearance: 80 µm, load: 0.9 kN, speed: 420 rpm, viscosity: 50 mPa·s}",
			want:  map[string]float64{"projected_pressure": 0.8333e6, "surface_speed": 0.6597, "pv": 0.5498e6}},
		{id: "60 x 60", source: "Jindal, Machine Design, ex. 17-4; the book interpolates on a line", name: "bushing", rel: 0.04,
			input: "{diameter: 60 mm, length: 60 mm, diametral_clearance: 0.12 mm, load: 3000 N, speed: 1440 rpm, viscosity: 30 mPa·s}",
			want:  map[string]float64{"sommerfeld": 0.216, "friction": 0.00985, "min_film": 0.032e-3, "flow": 0.638e-3 / 60, "power_loss": 134}},
		{id: "8 µm film", source: "Jindal, Machine Design, ex. 17-2", name: "bushing", rel: 0.01,
			input: "{diameter: 60 mm, length: 60 mm, diametral_clearance: 80 µm, load: 6000 N, speed: 1260 rpm, viscosity: 6.29 mPa·s}", want: map[string]float64{"min_film": 8e-6}},
		{id: "4 microreyn", source: "Shigley, ex. 12-1 to 12-4, from memory", name: "bushing", rel: 0.02,
			input: "{diameter: 1.5 in, length: 1.5 in, diametral_clearance: 3 thou, load: 500 lbf, speed: 30 rev/s, viscosity: 4e-6 reyn}",
			want: map[string]float64{"projected_pressure": 222.2 * 6894.757, "sommerfeld": 0.135, "friction": 0.0070, "torque": 2.62 * pounds * 0.0254, "flow_variable": 4.28,
				"flow": 0.217 * 1.6387064e-5, "side_flow_ratio": 0.655}},
		{id: "300 mPa s", source: reynoldsSolved, name: "bushing", rel: 0.03,
			input: "{diameter: 50 mm, length: 25 mm, diametral_clearance: 0.15 mm, load: 2500 N, speed: 280 rpm, viscosity: 300 mPa·s, material: Bronze}",
			want:  map[string]float64{"projected_pressure": 2e6, "sommerfeld": 0.0778, "eccentricity": 0.819, "min_film": 13.6e-6, "friction": 0.00867, "torque": 0.542, "power_loss": 15.9, "side_flow_ratio": 0.887, "pv_limit": 2.625e6}},
		{id: "idler pin", source: prototype, name: "bushing", rel: 0.01, // 0.8 Δp d b at 10 bar, tip circle 116.8 mm, width 60 mm; 500 rpm times 17/13
			input: "{diameter: 30 mm, length: 58 mm, diametral_clearance: 0.080 mm, load: 5606.4 N, speed: 653.846 rpm, viscosity: 39.307 mPa·s}",
			want:  map[string]float64{"projected_pressure": 3.22207e6, "eccentricity": 0.873757}},
		{id: "carbon PV", source: "The Tribology Handbook, rubbing bearing materials", name: "bushing", rel: 1e-9,
			input: "{diameter: 30 mm, length: 36 mm, diametral_clearance: 80 µm, load: 100 N, speed: 420 rpm, viscosity: 50 cP, material: Carbon-Graphite}", want: map[string]float64{"pv_limit": 0.11e6}},
		{id: "own PV", source: "as entered", name: "bushing", rel: 1e-9,
			input: "{diameter: 30 mm, length: 36 mm, diametral_clearance: 80 µm, load: 100 N, speed: 420 rpm, viscosity: 50 cP, material: {pv_limit: 1 MPa·m/s}}", want: map[string]float64{"pv_limit": 1e6}},
	}...))
	doc, status, err := askJSON(t, "bushing", "{diameter: 30 mm, length: 36 mm, diametral_clearance: 80 µm, load: 100 N, speed: 420 rpm, viscosity: 50 cP, material: steel}")
	if _, there := follow(doc, "results.pv_limit"); err != nil || there || status != StatusDone {
		t.Errorf("steel has no published limit: %v, %v, %v", there, status, err)
	}
}

func TestContractSeals(t *testing.T) {
	const psi = 6894.757293
	checkContract(t, []contractRow{
		{id: "43/34", source: faceFormulas, name: "seal-face", rel: 2e-3,
			input: "{\"face_outer\": \"43 mm\", \"face_inner\": \"34 mm\", \"balance_diameter\": \"33 mm\", \"spring_force\": \"60 N\", \"pressure\": \"0.7 MPa\", \"speed\": \"420 rpm\", \"friction\": 0.1, \"pressure_factor\": null}",
			want:  map[string]float64{"face_area": 544.3e-6, "balance_ratio": 1.0967, "spring_pressure": 0.1102e6, "net_face_pressure": 0.5279e6, "mean_speed": 0.8467, "pv": 0.4470e6, "heat": 24.33, "torque": 0.5531}},
		{id: "38/30", source: faceFormulas, name: "seal-face", rel: 2e-3,
			input: "{face_outer: 38 mm, face_inner: 30 mm, balance_diameter: 31.5 mm, spring_force: 70 N, pressure: 14 bar, speed: 1750 rpm, friction: 0.07, pressure_side: Outside}",
			want:  map[string]float64{"face_area": 427.3e-6, "balance_ratio": 0.8304, "spring_pressure": 0.1638e6, "net_face_pressure": 0.6264e6, "mean_speed": 3.1154, "pv": 1.9516e6, "heat": 58.37}},
		{id: "balance on the inner diameter", source: "definition of the balance ratio", name: "seal-face", rel: 1e-12,
			input: "{face_outer: 43 mm, face_inner: 34 mm, balance_diameter: 34 mm, spring_force: 60 N, pressure: 100 psi, speed: 420 rpm, friction: 0.1}", want: map[string]float64{"balance_ratio": 1}},
		// 3 in mean diameter, b 0.75, k 0.5, spring 25 psi: faces 2.75/3.25 in, balance diameter from b.
		{id: "3 in at 400 psi", source: "Lobanoff and Ross, Centrifugal Pumps, from memory; arithmetic with python3", name: "seal-face", rel: 5e-3,
			input: fmt.Sprintf("{face_outer: 3.25 in, face_inner: 2.75 in, balance_diameter: %.9f in, spring_force: %.9f lbf, pressure: 400 psi, speed: 3600 rpm, friction: 0.1}", math.Sqrt(3.25*3.25-0.75*3), 25*math.Pi/4*3),
			want:  map[string]float64{"balance_ratio": 0.75, "net_face_pressure": 125 * psi, "mean_speed": 2827 * 0.3048 / 60, "pv": 353400 * psi * 0.3048 / 60}},
		{id: "spring", source: faceFormulas, name: "seal-setting", rel: 1e-6,
			input: "{free_length: 32.0 mm, rate: 12.0 N/mm, working_length: 25.8 mm, datum: {unknown: Collar, links: [{name: chamber, value: 60 mm, low: 59.9 mm, high: 60.1 mm}, {name: Collar, value: null, sensitivity: -1}]}}",
			want:  map[string]float64{"spring_force": 74.4, "set_position": 34.2e-3, "working_length": 25.8e-3, "working_length.u": 0.1e-3 / math.Sqrt(3)}},
		{id: "by force", source: faceFormulas, name: "seal-setting", rel: 1e-9,
			input: "{free_length: 32 mm, rate: 12 N/mm, spring_force: 84 N, datum: {unknown: collar, links: [{name: collar}]}}", want: map[string]float64{"working_length": 25e-3, "set_position": 25e-3}},
		{id: "one helium band", source: "half of 587.56 nm", name: "flatness", rel: 5e-3, input: "{bands: 1}", want: map[string]float64{"flatness": 0.2938e-6}},
		{id: "three helium bands", source: "half of 587.56 nm each", name: "flatness", rel: 5e-3, input: "{bands: \"3\", light: Helium}", want: map[string]float64{"flatness": 0.881e-6}},
	})
	doc, _, err := askJSON(t, "seal-setting", "{working_length: 25 mm, datum: {unknown: c, links: [{name: c}]}}")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"decision", "spring_force"} {
		if _, there := follow(doc, "results."+name); there {
			t.Errorf("%s without what it needs", name)
		}
	}
}

func TestContractShafts(t *testing.T) {
	around := func(step int, values ...float64) string {
		text := "readings:\n"
		for i, v := range values {
			text += fmt.Sprintf("  - {angle: %d deg, reading: %v um}\n", i*step, v)
		}
		return text
	}
	const um, deg = 1e-6, math.Pi / 180
	checkContract(t, []contractRow{
		{id: "eight", source: leastSquares, name: "runout", input: around(45, 0, 12, 18, 15, 3, -8, -14, -11), abs: 0.01 * um, want: map[string]float64{"tir": 32 * um, "eccentricity": 16.233 * um, "residual": 1.12 * um}},
		{id: "eight, angle", source: leastSquares, name: "runout", input: around(45, 0, 12, 18, 15, 3, -8, -14, -11), abs: 0.01 * deg, want: map[string]float64{"high_angle": 96.40 * deg}},
		{id: "twelve", source: leastSquares, name: "runout", input: around(30, 0, 8, 20, 29, 35, 38, 34, 26, 15, 5, -2, -3), abs: 0.01 * um, want: map[string]float64{"tir": 41 * um, "eccentricity": 20.673 * um, "residual": 1.85 * um}},
		{id: "twelve, angle", source: leastSquares, name: "runout", input: around(30, 0, 8, 20, 29, 35, 38, 34, 26, 15, 5, -2, -3), abs: 0.01 * deg, want: map[string]float64{"high_angle": 144.59 * deg}},
		{id: "exact circle", source: leastSquares, name: "runout", input: around(45, 0, 2.00, -7.32, -22.50, -34.64, -36.64, -27.32, -12.14), abs: 0.01 * um, want: map[string]float64{"tir": 38.64 * um, "eccentricity": 20 * um, "residual": 0}},
	})
	const mil = 25.4e-6
	rim := func(method, dimensions, readings, more string) string {
		return "{method: " + method + ", dimensions: {" + dimensions + "}, readings: {" + readings + "}" + more + "}"
	}
	dial := func(bottom float64, unit string) string {
		return fmt.Sprintf("{top: 0, right: %v %s, bottom: %v %s, left: %v %s}", bottom/2, unit, bottom, unit, bottom/2, unit)
	}
	const formulaSheet, computed = "one-page rim and face formula sheet, F = bf B/D − br/2", "computed with python3, geometry as in Bloch and Geitner, p. 203"
	checkContract(t, []contractRow{
		{id: "face 0.1 rim -0.24", source: formulaSheet, name: "align", rel: 1e-3, input: rim("Rim Face", "face_diameter: 120 mm, to_near_foot: 180 mm, to_far_foot: 560 mm", "rim: "+dial(-0.24, "mm")+", face: "+dial(0.1, "mm"), ""),
			want: map[string]float64{"feet.near.vertical": 0.27e-3, "feet.far.vertical": 0.5867e-3, "feet.near.horizontal": 0}},
		{id: "face 3 rim 0", source: formulaSheet, name: "align", rel: 1e-3, input: rim("rim-face", "face_diameter: 4 in, to_near_foot: 6 in, to_far_foot: 20 in", "rim: "+dial(0, "mil")+", face: "+dial(3, "thou"), ""),
			want: map[string]float64{"feet.near.vertical": 4.5 * mil, "feet.far.vertical": 15 * mil}},
		{id: "reverse with sag", source: computed, name: "align", rel: 1e-3, input: rim("reverse", "between: 8 in, to_near_foot: 10 in, to_far_foot: 30 in", "stationary_rim: "+dial(14, "mil")+", movable_rim: "+dial(-22, "mil"), ", sag: -2 mil"),
			want: map[string]float64{"offset_vertical": 10 * mil, "angle_vertical": 0.25e-3, "feet.near.vertical": -12.5 * mil, "feet.far.vertical": -17.5 * mil, "closure_error": 0}},
		{id: "8 mils low", source: computed, name: "align", rel: 1e-9, input: rim("Reverse", "between: 8 in, to_near_foot: 10 in, to_far_foot: 30 in", "stationary_rim: "+dial(-16, "mil")+", movable_rim: "+dial(16, "mil"), ""),
			want: map[string]float64{"feet.near.vertical": 8 * mil, "feet.far.vertical": 8 * mil}},
		{id: "growth", source: "the cold machine is set lower by what it rises", name: "align", rel: 1e-9, input: rim("reverse", "between: 8 in, to_near_foot: 10 in, to_far_foot: 30 in", "stationary_rim: "+dial(-16, "mil")+", movable_rim: "+dial(16, "mil"), ", growth: {near: 2 mil, far: 3 mil}"),
			want: map[string]float64{"feet.near.vertical": 6 * mil, "feet.far.vertical": 5 * mil}},
		{id: "3000 rpm", source: "suggested alignment tolerances, short flexible couplings", name: "align", rel: 1e-9,
			input: rim("reverse", "between: 200 mm, to_near_foot: 240 mm, to_far_foot: 760 mm", "stationary_rim: "+dial(0, "mm")+", movable_rim: "+dial(0, "mm"), ", speed: 3000 rpm"),
			want:  map[string]float64{"verdicts[0].offset_limit": 0.06e-3, "verdicts[0].speed": 100 * math.Pi, "verdicts[1].offset_limit": 3 * mil, "verdicts[1].angle_limit": 0.5e-3}},
	})
	doc, _, err := askJSON(t, "align", rim("reverse", "between: 8 in, to_near_foot: 10 in, to_far_foot: 30 in", "stationary_rim: {top: 0, right: 6 mil, bottom: -10 mil, left: -16 mil}, movable_rim: "+dial(0, "mil"), ""))
	if err != nil {
		t.Fatal(err)
	}
	if valid, _ := follow(doc, "results.valid"); valid != true { // −10 and −10: closes (computed with python3)
		t.Errorf("valid %v", valid)
	}
	if moves, _ := follow(doc, "results.moves"); len(moves.([]any)) < 2 {
		t.Errorf("moves %v", moves)
	}
}
