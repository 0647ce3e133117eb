package calculator

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

const (
	testRPM = math.Pi / 30
	testLPM = 1e-3 / 60
)

// The operating points of the independent prototype (numpy 1.24.2 / scipy
// 1.10.1; they prove the arithmetic, not the pump), through the door that
// people use.
func TestPerformanceCalculator(t *testing.T) {
	for _, c := range []struct {
		id, liquid      string
		celsius         float64
		speed, pressure float64
		end             float64
		qth, q          float64
		groups          [6]float64 // mesh, rotor crescent, idler crescent, body, crescent end, back
		power, torque   float64
		overall, loss   float64
		mesh, seal      float64
		fill            float64
	}{
		{"P01", "demo-water", 20, 300, 2, 0.10, 98.439, 76.087, [6]float64{5.242, 3.414, 3.090, 1.646, 1.162, 7.797}, 348.3, 11.09, 0.7281, 1580, 0.30, 9.21, 5.19},
		{"P03", "demo-water", 90, 500, 2, 0.15, 164.064, 132.269, [6]float64{7.125, 4.146, 3.514, 5.046, 1.865, 10.100}, 594.2, 11.35, 0.7420, 4220, 0.50, 15.23, 23.08},
		{"P05", "demo-light-oil", 40, 500, 10, 0.13, 164.064, 160.570, [6]float64{2.033, -0.697, 0.207, 0.341, 0.320, 1.290}, 3003.9, 57.37, 0.8909, 4570, 2.48, 44.27, 24.98},
		{"P07", "demo-light-oil", 90, 500, 8, 0.13, 164.064, 143.815, [6]float64{5.545, 2.622, 3.577, 1.515, 1.387, 5.603}, 2302.5, 43.97, 0.8328, 3750, 1.99, 37.02, 20.48},
		{"P09", "demo-molasses", 40, 100, 6, 0.25, 32.813, 33.106, [6]float64{0.215, -0.344, -0.200, 0.013, 0.010, 0.013}, 721.2, 68.87, 0.4591, 13210, 0.30, 5.93, 14.45},
		{"P11", "demo-molasses", 40, 180, 10, 0.25, 59.063, 59.594, [6]float64{0.386, -0.619, -0.360, 0.023, 0.017, 0.023}, 2181.4, 115.73, 0.4553, 22880, 0.89, 15.82, 45.04},
	} {
		r, o := runPump(t, "performance", fmt.Sprintf(
			"sheet: demo-pump-m\nliquid: %s\ntemperature: %v °C\nend_clearance: %v mm\npoints: [{speed: %v rpm, pressure: %v bar}]\n",
			c.liquid, c.celsius, c.end, c.speed, c.pressure))
		p := r["points"].([]any)[0].(map[string]any)
		near := func(name string, got, want, relative, absolute float64) {
			t.Helper()
			if !(math.Abs(got-want) <= math.Max(relative*math.Abs(want), absolute)) {
				t.Errorf("%s %s: got %.6g, want %.6g", c.id, name, got, want)
			}
		}
		near("speed", numberAt(t, p, "speed"), c.speed*testRPM, 1e-9, 0)
		near("Q_th", numberAt(t, p, "theoretical_flow")/testLPM, c.qth, 0.003, 0.01)
		near("Q", numberAt(t, p, "flow")/testLPM, c.q, 0.003, 0.01)
		near("slip", numberAt(t, p, "slip")/testLPM, c.qth-c.q, 0.005, 0.01)
		near("η_v", numberAt(t, p, "volumetric_efficiency"), c.q/c.qth, 0.003, 0)
		for i, path := range []string{"mesh", "rotor_crescent", "idler_crescent", "idler_body", "crescent_end", "back"} {
			near(path, numberAt(t, p, "slip_by_path", path)/testLPM, c.groups[i], 0.005, 0.005)
		}
		near("P", numberAt(t, p, "power"), c.power, 0.003, 0.1)
		near("T", numberAt(t, p, "torque"), c.torque, 0.003, 0.01)
		near("η", numberAt(t, p, "overall_efficiency"), c.overall, 0.003, 0)
		near("Δp_fill", numberAt(t, p, "filling_pressure_loss"), c.loss, 0.003, 10)
		near("mesh W", numberAt(t, p, "power_by_part", "mesh"), c.mesh, 0.003, 0.1)
		near("seal W", numberAt(t, p, "power_by_part", "seal"), c.seal, 0.003, 0.1)
		near("filling W", numberAt(t, p, "power_by_part", "filling"), c.fill, 0.003, 0.1)
		sum := 0.0
		for _, part := range []string{"hydraulic", "gaps", "pin", "shaft_bushing", "mesh", "seal", "filling"} {
			sum += numberAt(t, p, "power_by_part", part)
		}
		near("parts add to P", sum, numberAt(t, p, "power"), 1e-9, 0)
		if u := p["flow"].(map[string]any)["u"].(float64); !(u > 0) {
			t.Errorf("%s: a predicted flow needs its uncertainty", c.id)
		}
		if !strings.Contains(strings.Join(say.Texts(o.Notes.Warnings, say.Style{}), "\n"), "bench point") {
			t.Errorf("%s: the missing proof of the path list must be said", c.id)
		}
		if o.Status() != StatusDone {
			t.Errorf("%s: status %d", c.id, o.Status())
		}
	}
}

func TestPerformanceOptions(t *testing.T) {
	const head = "sheet: demo-pump-m\nliquid: {family: other, density: 900 kg/m3, density_temperature: 20 °C, points: [{temperature: 20 °C, viscosity: 40 mPa·s}]}\ntemperature: 20 °C\n"
	r, _ := runPump(t, "performance", head+"points: [{speed: 500 rpm, pressure: 8 bar}]\n")
	base := numberAt(t, r, "points", 0, "slip")
	r, _ = runPump(t, "performance", head+"points: [{speed: 500 rpm, pressure: 8 bar}]\nfactors: {slip: 1.5, end_bias: 0.01 mm}\nclearance_u: {end_clearance: 0.01 mm}\n")
	if more := numberAt(t, r, "points", 0, "slip"); more <= base {
		t.Errorf("factors had no effect: %v, %v", base, more)
	}
	r, o := runPump(t, "performance", "sheet: demo-pump-m\nliquid: demo-water\ntemperature: 90 °C\ninlet_pressure: 71 kPa(a)\npoints: [{speed: 500 rpm, pressure: 4 bar}]\n")
	if r["points"].([]any)[0].(map[string]any)["spaces_fill"] != false || o.Status() != StatusNotYet {
		t.Error("0.71 bar does not fill the spaces with water at 90 °C, whose vapour pressure is 0.70 bar")
	}
	c, _ := Find("performance")
	for input, field := range map[string]string{
		head + "points: []\n": "points",
		head + "points: [{speed: 500 rpm, pressure: 8 bar}, {speed: 0 rpm, pressure: 8 bar}]\n":                                               "points[1].speed",
		head + "points: [{speed: 500 rpm, pressure: 8 bar}]\nend_clearance: -0.1 mm\n":                                                        "end_clearance",
		head + "points: [{speed: 500 rpm, pressure: 8 bar}]\nfactors: {slip: -1}\n":                                                           "factors.slip",
		"sheet: no-such\nliquid: demo-water\ntemperature: 20 °C\npoints: [{speed: 500 rpm, pressure: 8 bar}]\n":                               "sheet",
		"sheet: demo-pump-m\nliquid: nothing\ntemperature: 20 °C\npoints: [{speed: 500 rpm, pressure: 8 bar}]\n":                              "liquid",
		"sheet: demo-pump-m\nliquid: demo-molasses\ntemperature: 200 °C\npoints: [{speed: 500 rpm, pressure: 8 bar}]\n":                       "temperature",
		"sheet: demo-pump-m\nliquid: demo-water\ntemperature: 20 °C\npoints: [{speed: 500 rpm, pressure: 8 bar}]\nclearance_u: {end: 1 mm}\n": "clearance_u.end",
	} {
		_, err := c.Run(&Env{}, []byte(input))
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%q: got %v, want a refusal of %s", input, err, field)
		}
	}
}

func TestCalibrateCalculator(t *testing.T) {
	c, _ := Find("calibrate")
	r, o := runPump(t, "calibrate", c.Example)
	if r["accepted"] != true || o.Status() != StatusDone {
		t.Fatalf("the example must be accepted: %v", r)
	}
	within(t, "E02 u(ln k_s)", numberAt(t, r, "factors_u", "slip"), 0.0334375, 0.02)
	within(t, "E04 u(ln k_v)", numberAt(t, r, "factors_u", "drag"), 0.0892559, 0.02)
	within(t, "E06 predicted flow", numberAt(t, r, "predict", 0, "flow")/testLPM, 160.148, 2e-3)
	within(t, "E08 predicted power", numberAt(t, r, "predict", 0, "power"), 2407.49, 3e-3)
	r, o = runPump(t, "calibrate", c.Example+"fit: [slip, drag, end_bias]\n")
	if rho := numberAt(t, r, "correlation", 0, 2); math.Abs(rho+0.870897) > 0.03 {
		t.Errorf("E10 correlation of ln k_s and δ: %v, want -0.870897", rho)
	}
	if text := strings.Join(say.Texts(o.Notes.Warnings, say.Style{}), "\n"); !strings.Contains(text, "apart") {
		t.Errorf("two factors that cannot be told apart must be said: %s", text)
	}
	wrong := strings.Replace(c.Example, "154.436", "134.436", 1)
	r, o = runPump(t, "calibrate", wrong)
	if r["accepted"] != false || o.Status() != StatusNotYet || len(r["predict"].([]any)) != 0 {
		t.Error("a point 20 L/min off must be refused, without a prediction")
	}
	for input, field := range map[string]string{
		"liquid: demo-water\nmeasured: []\n":                     "sheet",
		"sheet: demo-pump-m\nliquid: demo-water\nmeasured: []\n": "measured",
		"sheet: demo-pump-m\nliquid: demo-water\nmeasured: [{speed: 500 rpm, pressure: 2 bar, temperature: 20 °C, flow: 100 L/min}]\nfit: [wear]\n":      "fit[0]",
		"sheet: demo-pump-m\nliquid: demo-water\nmeasured: [{speed: 500 rpm, pressure: 2 bar, temperature: 20 °C, flow: 100 L/min, flow_u: 0 L/min}]\n":  "measured[0].flow",
		"sheet: demo-pump-m\nliquid: demo-water\nmeasured: [{speed: 500 rpm, pressure: -2 bar, temperature: 20 °C, flow: 100 L/min, flow_u: 1 L/min}]\n": "measured[0].pressure",
		"model: simple\nliquid: demo-water\nmeasured: [{speed: 500 rpm, pressure: 2 bar, temperature: 20 °C, flow: 100 L/min, flow_u: 1 L/min}]\n":       "measured",
	} {
		_, err := c.Run(&Env{}, []byte(input))
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%q: got %v, want a refusal of %s", input, err, field)
		}
	}
}

// Student bench sheet of a small gear pump with its relief valve in circuit,
// FEU Institute of Technology, 27 October 2021: 15.2 cm3/rev, 0.086 L/min per
// bar; the liquid was not stated, so its viscosity here is invented.
func TestSimpleModelCalculator(t *testing.T) {
	input := `
model: simple
liquid: {family: other, density: 900 kg/m3, density_temperature: 29 °C, points: [{temperature: 29 °C, viscosity: 50 mPa·s}]}
measured:
  - {speed: 250 rpm, pressure: 0.17 bar, temperature: 29 °C, flow: 3.8 L/min, flow_u: 0.05 L/min}
  - {speed: 250 rpm, pressure: 0.20 bar, temperature: 29 °C, flow: 3.8 L/min, flow_u: 0.05 L/min}
  - {speed: 250 rpm, pressure: 1.52 bar, temperature: 29 °C, flow: 3.7 L/min, flow_u: 0.05 L/min}
  - {speed: 250 rpm, pressure: 3.66 bar, temperature: 29 °C, flow: 3.5 L/min, flow_u: 0.05 L/min}
`
	r, o := runPump(t, "calibrate", input+"predict_points: [{speed: 250 rpm, pressure: 2 bar, temperature: 29 °C}]\n")
	within(t, "displacement", numberAt(t, r, "displacement"), 15.2e-6, 0.007)
	within(t, "slope", numberAt(t, r, "slip_constant")/0.05*1e5/testLPM, 0.086, 0.03)
	within(t, "between the points", numberAt(t, r, "predict", 0, "flow")/testLPM, 3.64, 0.01)
	if _, there := r["factors"]; there || r["accepted"] != true || o.Status() != StatusDone {
		t.Errorf("the simple model has no factors and follows these points: %v", r)
	}
	r, o = runPump(t, "calibrate", input+"  - {speed: 250 rpm, pressure: 4.94 bar, temperature: 29 °C, flow: 0 L/min, flow_u: 0.05 L/min}\n")
	if r["accepted"] != false || o.Status() != StatusNotYet {
		t.Error("the point with the relief valve open must not be accepted")
	}
}
