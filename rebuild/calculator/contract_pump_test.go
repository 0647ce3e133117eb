package calculator

import (
	"fmt"
	"testing"
)

const (
	pairsComputed = "computed with python3, numpy 1.24.2 / scipy 1.10.1; area balance and flow kinematics agree"
	prototype     = "independent prototype of the same equations, numpy 1.24.2 / scipy 1.10.1"
	suctionRows   = "computed with scipy 1.10.1 / numpy 1.24.2 (roughness 0.0457 mm)"
)

// Pair of 13 and 19 teeth, module 4 mm, 25°, tips at 30.0 and 35.2 mm.
const pairG1 = "rotor_teeth: 19\nidler_teeth: 13\nmodule: 4 mm\npressure_angle: 25 deg\nrotor_addendum: 0.7\nidler_addendum: 1.0\nrotor_dedendum: 1.15\nidler_dedendum: 0.85\n"

func TestContractGears(t *testing.T) {
	checkContract(t, []contractRow{
		{id: "13/19", source: pairsComputed, name: "gear-set", input: pairG1 + "face_width: 25 mm\n", rel: 5e-4, want: map[string]float64{
			"center_distance": 12e-3, "contact_ratio": 1.4367, "crescent_thickness": 17.2e-3, "displacement": 41.418e-6}},
		{id: "13/19 ripple", source: pairsComputed, name: "gear-set", input: pairG1 + "face_width: 25 mm\n", rel: 5e-3, want: map[string]float64{"flow_ripple": 0.02838}},
		{id: "13/19 fouling", source: pairsComputed, name: "gear-set", input: pairG1 + "face_width: 25 mm\n", abs: 19 * 5e-4, want: map[string]float64{"fouling_margin": 19 * 0.01386}},
		{id: "13/19, all lengths times 1.5", source: pairsComputed, name: "gear-set", input: "rotor_teeth: 19\nidler_teeth: 13\nmodule: 6 mm\npressure_angle: 25 °\nrotor_addendum: 0.7\nidler_addendum: 1.0\nrotor_dedendum: 1.15\nidler_dedendum: 0.85\nface_width: 37.5 mm\n",
			rel: 5e-4, want: map[string]float64{"displacement": 95.644e-6 * 19 / 13}},
		// The rotor tooth is deliberately 0.002 mm too long.
		{id: "17/27", source: pairsComputed, name: "gear-set", input: "rotor_teeth: 27\nidler_teeth: 17\nmodule: 3 mm\npressure_angle: 20 deg\nrotor_addendum: 0.7\nidler_addendum: 0.93333333\nrotor_dedendum: 1.1\nidler_dedendum: 1.0\nface_width: 30 mm\n",
			status: StatusNotYet, rel: 5e-4, want: map[string]float64{"center_distance": 15e-3, "contact_ratio": 1.7016, "crescent_thickness": 25.1e-3, "displacement": 37.803e-6}},
		{id: "relief is the default", source: prototype, name: "gear-set", input: "{\"rotor_teeth\": 17, \"idler_teeth\": 13, \"module\": \"8 mm\", \"pressure_angle\": \"28 deg\", \"rotor_addendum\": 0.8, \"idler_addendum\": 0.8, \"face_width\": \"60 mm\", \"relief\": null}",
			rel: 1e-3, want: map[string]float64{"displacement": 328.129e-6, "flow_ripple": 0.0217602}},
	})
	// Pairs whose rotor tips lie inside the base circle: nothing of the
	// involute exists, the circles do.
	for _, pair := range []string{"17, 13, 20, 1", "16, 12, 20, 1", "17, 13, 20, 0.8", "17, 13, 25, 0.8", "11, 8, 28, 0.8"} {
		var zr, zi int
		var angle, addendum float64
		if _, err := fmt.Sscanf(pair, "%d, %d, %f, %f", &zr, &zi, &angle, &addendum); err != nil {
			t.Fatal(err)
		}
		doc, status, err := askJSON(t, "gear-set", fmt.Sprintf("{rotor_teeth: %d, idler_teeth: %d, module: 8 mm, pressure_angle: %v deg, rotor_addendum: %v, idler_addendum: %v, face_width: 60 mm}", zr, zi, angle, addendum, addendum))
		if err != nil {
			t.Fatal(err)
		}
		results := doc["results"].(map[string]any)
		if results["valid"] != false || status != StatusNotYet {
			t.Errorf("%s: %v, status %d", pair, results["valid"], status)
		}
		for _, name := range []string{"contact_ratio", "displacement", "flow_ripple", "fouling_margin", "rotor_tip_thickness"} {
			if _, there := results[name]; there {
				t.Errorf("%s: %s does not exist", pair, name)
			}
		}
		if _, there := results["crescent_thickness"]; !there {
			t.Errorf("%s: the crescent needs only circles", pair)
		}
	}
}

func TestContractSystem(t *testing.T) {
	checkContract(t, []contractRow{
		{id: "thick oil", source: suctionRows, name: "suction", rel: 5e-3,
			input: "static_head: 1.5 m\nflow: 10 m3/h\nbore: 77.9 mm\nlength: 6 m\nfittings_k: 2\nviscosity: 2054 mm2/s\ndensity: 900 kg/m3\nvapor_pressure: 0\n",
			want:  map[string]float64{"velocity": 0.5828, "reynolds": 22.1, "friction_factor": 2.89541, "pipe_loss": 34088, "fittings_loss": 306, "available": 80170, "available_static": 80017}},
		{id: "oil, lift", source: suctionRows, name: "suction", rel: 5e-3,
			input: "{\"surface_pressure\": \"101325 Pa\", \"static_head\": \"-2 m\", \"flow\": \"20 m3/h\", \"bore\": \"77.9 mm\", \"length\": \"8 m\", \"fittings_k\": 3, \"viscosity\": \"46 cSt\", \"density\": \"0.86 g/cm3\", \"vapor_pressure\": \"100 Pa\"}",
			want:  map[string]float64{"velocity": 1.1656, "reynolds": 1974, "friction_factor": 0.03242, "pipe_loss": 1945, "fittings_loss": 1753, "available": 80660, "available_static": 80075}},
		{id: "hot water", source: suctionRows, name: "suction", rel: 5e-3,
			input: "static_head: 2 m\nflow: 15 m3/h\nbore: 52.5 mm\nlength: 5 m\nfittings_k: 2.5\nviscosity: 0.474 mm2/s\ndensity: 983.2 kg/m3\nvapor_pressure: 19946 Pa\nrequired: 40 kPa\n",
			want:  map[string]float64{"velocity": 1.9248, "reynolds": 213187.3, "friction_factor": 0.02043, "pipe_loss": 3544, "fittings_loss": 4553, "available": 92566, "available_static": 90745, "margin": 52566}},
		{id: "US units", source: "computed with Python 3 (closed form)", name: "suction", rel: 5e-4,
			input: "static_head: 0 ft\nflow: 50 gpm\nbore: 3.068 in\nlength: 10 ft\nfittings_k: 0\nviscosity: 1000 cP\ndensity: 62.4 lb/ft3\nvapor_pressure: 0 psi\n",
			want:  map[string]float64{"pipe_loss": 1.5407 * 6894.757293}},
		{id: "US units, thick", source: "computed with Python 3 (closed form)", name: "suction", rel: 5e-4,
			input: "static_head: 0\nflow: 30 gpm\nbore: 4.026 in\nlength: 20 ft\nfittings_k: 0\nviscosity: 5000 cP\ndensity: 1000 kg/m3\nvapor_pressure: 0 bar(a)\n",
			want:  map[string]float64{"pipe_loss": 3.1175 * 6894.757293}},
		{id: "Colebrook, smooth", source: "documentation example of the Python library fluids 1.0.22", name: "suction", rel: 1e-4, status: StatusNotYet,
			input: "static_head: 0\nflow: 78.5398163 mL/s\nbore: 1 mm\nlength: 1 m\nfittings_k: 0\nroughness: 0.1 µm\nviscosity: 1 mm2/s\ndensity: 1000 kg/m3\nvapor_pressure: 0\n",
			want:  map[string]float64{"friction_factor": 0.018513866}},
		{id: "boils", source: "p_inlet = p_surface + ρ g h below zero; no liquid stands that", name: "suction", rel: 1e-3, status: StatusNotYet,
			input: "static_head: -15 m\nflow: 1 L/min\nbore: 77.9 mm\nlength: 1 m\nfittings_k: 0\nviscosity: 1 mm2/s\ndensity: 1000 kg/m3\nvapor_pressure: 0\n",
			want:  map[string]float64{"available": 101325 - 1000*9.80665*15}},
		{id: "valve", source: "crack less working pressure", name: "relief-valve", rel: 1e-12,
			input: "set: 10 bar\ncrack: 9.2 bar(g)\nworking_pressure: 8 bar\ncasing_limit: 16 bar\ndrive_limit: 12 bar\n", want: map[string]float64{"margin": 1.2e5, "full_bypass": 11e5}},
		{id: "valve that passes", source: "crack less working pressure", name: "relief-valve", rel: 1e-12, status: StatusNotYet,
			input: "{set: 10 bar, crack: 7.5 bar, full_bypass: 11 bar, reseat: 7 bar, working_pressure: 8 bar, casing_limit: 16 bar, drive_limit: 12 bar}", want: map[string]float64{"margin": -0.5e5}},
		{id: "by rating", source: "D = Q/(N η), u of the efficiency 0.04", name: "displacement", rel: 1e-6,
			input: "rated_flow: 50 gpm\nrated_speed: 350 rpm\nvolumetric_efficiency: 90 %\n",
			want:  map[string]float64{"displacement": 50 * 3.785411784e-3 / 350 / 0.9, "displacement.u": 50 * 3.785411784e-3 / 350 / 0.9 * 0.04 / 0.9}},
	})
	doc, _, err := askJSON(t, "relief-valve", "{set: 10 bar, crack: 7.5 bar, working_pressure: 8 bar, casing_limit: 16 bar, drive_limit: 12 bar}")
	if err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]any{"results.passes_at_working": true, "results.accepted": false} {
		if got, _ := follow(doc, path); got != want {
			t.Errorf("%s = %v", path, got)
		}
	}
	if reasons, _ := follow(doc, "results.reasons"); len(reasons.([]any)) == 0 {
		t.Error("a refused valve needs reasons")
	}
}

func TestContractPump(t *testing.T) {
	const sensitivity = "sheet: demo-pump-m\nliquid: %s\ntemperature: %s\nend_clearance: 0.13 mm\nrotor_radial_clearance: %v mm\ncrescent_inner_clearance: %v mm\npoints: [{speed: 500 rpm, pressure: %s}]\n"
	slipOf := func(liquid, temperature, pressure string, od, inner float64) (slip, pressed float64) {
		t.Helper()
		doc, _, err := askJSON(t, "performance", fmt.Sprintf(sensitivity, liquid, temperature, od, inner, pressure))
		if err != nil {
			t.Fatal(err)
		}
		slip, _ = followNumber(doc["results"], "points[0].slip")
		none, _ := followNumber(doc["results"], "points[0].slip_without_pressure")
		return slip, slip - none
	}
	// Invented demo pump: how the slip that pressure drives changes.
	for _, c := range []struct {
		id, liquid, temperature, pressure string
		od, ci, more                      float64
	}{
		{"D02, D04, D08", "demo-light-oil", "40 °C", "10 bar", 13.9325, 7.24916, 3.98733},
		{"D10, D12, D16", "demo-water", "20 °C", "4 bar", 8.47653, 1.49805, 13.6723},
	} {
		base, pressed := slipOf(c.liquid, c.temperature, c.pressure, 0.125, 0.15)
		_, od := slipOf(c.liquid, c.temperature, c.pressure, 0.1375, 0.15)
		_, ci := slipOf(c.liquid, c.temperature, c.pressure, 0.125, 0.165)
		more, _ := slipOf(c.liquid, c.temperature, c.pressure, 0.175, 0.15)
		within(t, c.id+" c_od, "+prototype, 100*(od/pressed-1), c.od, 2e-3)
		within(t, c.id+" c_ci, "+prototype, 100*(ci/pressed-1), c.ci, 2e-3)
		within(t, c.id+" +0.05 mm, "+prototype, (more-base)/testLPM, c.more, 2e-3)
	}
	// The same prototype: η_v of pump M over the end clearance.
	for liquid, want := range map[string][4]float64{"demo-water, 20, 4": {.811, .764, .683, .493}, "demo-light-oil, 40, 10": {.984, .979, .956, .821}} {
		for i, end := range []float64{0.05, 0.13, 0.25, 0.50} {
			var celsius, bar float64
			name := "demo-water"
			if _, err := fmt.Sscanf(liquid, name+", %f, %f", &celsius, &bar); err != nil {
				name = "demo-light-oil"
				if _, err := fmt.Sscanf(liquid, name+", %f, %f", &celsius, &bar); err != nil {
					t.Fatal(err)
				}
			}
			doc, _, err := askJSON(t, "performance", fmt.Sprintf("{sheet: demo-pump-m, liquid: %s, temperature: %v °C, end_clearance: %v mm, points: [{speed: 500 rpm, pressure: %v bar}]}", name, celsius, end, bar))
			if err != nil {
				t.Fatal(err)
			}
			got, _ := followNumber(doc["results"], "points[0].volumetric_efficiency")
			nearTo(t, fmt.Sprint(liquid, " at ", end), got, want[i], 0.001)
		}
	}
	checkContract(t, []contractRow{
		// White, Fluid Mechanics: no pump, but P = Δp Q in exact units: 100 L/min at 10 bar 1.66667 kW.
		{id: "hydraulic part", source: "P = Δp (Q_th − q₀)", name: "performance", rel: 1e-6, input: "{sheet: demo-pump-m, liquid: demo-light-oil, temperature: 40 °C, points: [{speed: 500 rpm, pressure: 10 bar(g)}]}",
			want: map[string]float64{"points[0].pressure": 1e6, "points[0].speed": 500 * testRPM}},
		{id: "I15 and I13 without a guard", source: prototype, name: "clearance-window", rel: 1e-3, input: hotWindow + "thrust_play: 0 mm\ngasket_set: 0\nambient: 68 °F\n",
			want: map[string]float64{"lower": 0.271297e-3, "lower_unguarded": 0.243297e-3}},
	})
}
