package calculator

import (
	"math"
	"strings"
	"testing"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// refused runs a calculator on an input that must be refused for a field.
func refusedFor(t *testing.T, name, input, field string) {
	t.Helper()
	c, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	_, err = c.Run(exampleEnv(), []byte(input))
	if p := say.AsProblem(err); p == nil || p.Field != field {
		t.Errorf("%s, %q: got %v, want a problem of %s", name, input, err, field)
	}
}

// Closed form of ASTM D341 as quoted in a pipeline engineering help page,
// computed with Python 3; viscosity index from the table of ASTM D2270
// computed with scipy 1.10.1.
func TestViscosityCalculator(t *testing.T) {
	r, o := runPump(t, "viscosity", `
points: [{temperature: 40 °C, viscosity: 460 cSt}, {temperature: 100 °C, viscosity: 30.5 cSt}]
at: [15 °C, 65 °C]
`)
	within(t, "15 °C", numberAt(t, r, "table", 0, "kinematic_viscosity"), 3192.5e-6, 1e-3)
	within(t, "65 °C", numberAt(t, r, "table", 1, "kinematic_viscosity"), 116.11e-6, 1e-3)
	within(t, "A", numberAt(t, r, "intercept_a"), 8.65524, 1e-5)
	within(t, "B", numberAt(t, r, "slope_b"), 3.29752, 1e-5)
	within(t, "viscosity index", numberAt(t, r, "viscosity_index"), 95.567, 1e-3)
	if _, ok := r["table"].([]any)[0].(map[string]any)["dynamic_viscosity"]; ok {
		t.Error("a dynamic viscosity without a density")
	}
	if len(o.Notes.Warnings) != 1 || o.Notes.Warnings[0].ID() != "liquid.extended" || o.Status() != StatusDone {
		t.Errorf("15 °C lies outside the points: status %v, warnings %v", o.Status(), o.Notes.Warnings)
	}
	// Invented demo oil, density 870 − 0.62 (T − 15): μ at 40 °C computed with
	// numpy 1.24.2, independent prototype.
	r, o = runPump(t, "viscosity", `
points: [{temperature: 40 °C, viscosity: 46 cSt}, {temperature: 100 °C, viscosity: 6.8 cSt}]
density: 870 kg/m3
density_temperature: 15 °C
density_slope: -0.62
at: [40 °C, 90 °C]
`)
	within(t, "40 °C", numberAt(t, r, "table", 0, "dynamic_viscosity"), 0.039307, 1e-4)
	within(t, "90 °C", numberAt(t, r, "table", 1, "dynamic_viscosity"), 0.0070591, 5e-4)
	if o.Status() != StatusDone || len(o.Notes.Warnings) != 0 {
		t.Errorf("status %v, warnings %v", o.Status(), o.Notes.Warnings)
	}
}

func TestViscosityCalculatorOther(t *testing.T) {
	const syrup = `
family: other
points: [{temperature: 20 °C, viscosity: 27.644908 Pa·s}, {temperature: 40 °C, viscosity: 8 Pa·s}]
at: [%s]
`
	// Invented: μ = 8 exp(−0.062 (T − 40)) Pa·s, so ln μ is linear in T.
	r, o := runPump(t, "viscosity", strings.Replace(syrup, "%s", "30 °C", 1))
	within(t, "30 °C", numberAt(t, r, "table", 0, "dynamic_viscosity"), 14.871424, 1e-6)
	for _, absent := range []string{"slope_b", "intercept_a", "viscosity_index"} {
		if _, ok := r[absent]; ok {
			t.Errorf("a liquid that is no petroleum has %s", absent)
		}
	}
	if o.Status() != StatusDone {
		t.Error("status")
	}
	refusedFor(t, "viscosity", strings.Replace(syrup, "%s", "30 °C, 60 °C", 1), "at[1]")
}

// By hand: power law 12·100^(−0.5) = 1.2 Pa·s; Cross at its bend is halfway
// between rest and high shear.
func TestViscosityCalculatorShear(t *testing.T) {
	const head = `
family: other
points: [{temperature: 40 °C, viscosity: 8 Pa·s}]
density: 1388 kg/m3
density_slope: 0
at: [40 °C]
`
	r, _ := runPump(t, "viscosity", head+"shear: {model: power-law, n: 0.5, consistency: 12 Pa·s}\nshear_rate: 100 1/s\n")
	within(t, "power law", numberAt(t, r, "table", 0, "dynamic_viscosity"), 1.2, 1e-9)
	within(t, "power law", numberAt(t, r, "table", 0, "kinematic_viscosity"), 1.2/1388, 1e-9)
	r, _ = runPump(t, "viscosity", head+"shear: {model: cross, n: 0.85, gamma_0: 20 1/s, mu_inf: 0.05 Pa·s}\nshear_rate: 20 1/s\n")
	within(t, "Cross", numberAt(t, r, "table", 0, "dynamic_viscosity"), 4.025, 1e-9)
	within(t, "at rest", numberAt(t, r, "table", 0, "low_shear_viscosity"), 8, 1e-9)
	refusedFor(t, "viscosity", head+"shear: {model: cross, n: 0.85}\n", "shear.gamma_0")
	refusedFor(t, "viscosity", head+"shear: {model: power-law, n: 0.85}\n", "shear.consistency")
	refusedFor(t, "viscosity", head+"shear: {model: cross, n: 1.85, gamma_0: 20 1/s}\n", "shear.n")
	refusedFor(t, "viscosity", head+"shear: {model: jelly, n: 0.85}\n", "shear.model")
}

func TestViscosityCalculatorRefuses(t *testing.T) {
	const points = "points: [{temperature: 40 °C, viscosity: 46 cSt}, {temperature: 100 °C, viscosity: 6.8 cSt}]\n"
	refusedFor(t, "viscosity", points, "at")
	refusedFor(t, "viscosity", "points: [{temperature: 40 °C, viscosity: 46 cSt}]\nat: [40 °C]\n", "points")
	refusedFor(t, "viscosity", "points: [{temperature: 40 °C, viscosity: 46 mm}]\nat: [40 °C]\n", "points[0].viscosity")
	refusedFor(t, "viscosity", "points: [{temperature: 40 °C, viscosity: 46 mPa·s}, {temperature: 100 °C, viscosity: 6 mPa·s}]\nat: [40 °C]\n", "density")
	refusedFor(t, "viscosity", strings.Replace(points, "6.8", "68", 1)+"at: [40 °C]\n", "points")
	refusedFor(t, "viscosity", points+"at: [20 bar]\n", "at[0]")
}

// Computed with iapws 1.5.2 (IF97, R12-08).
func TestWaterCalculator(t *testing.T) {
	r, o := runPump(t, "water", "temperature: 60 °C\n")
	within(t, "density", numberAt(t, r, "density"), 983.211, 5e-4)
	within(t, "viscosity", numberAt(t, r, "dynamic_viscosity"), 0.4660e-3, 5e-3)
	within(t, "vapour pressure", numberAt(t, r, "vapor_pressure"), 19945.80, 2e-3)
	if o.Status() != StatusDone {
		t.Error("status")
	}
	r, o = runPump(t, "water", "temperature: 120 °C\n")
	within(t, "saturated", numberAt(t, r, "density"), 943.106, 1e-3)
	if len(o.Notes.Warnings) != 1 {
		t.Errorf("warnings %v", o.Notes.Warnings)
	}
	// IAPWS-IF97 table 5, from memory.
	r, _ = runPump(t, "water", "temperature: 500 K\npressure: 3 MPa(a)\n")
	within(t, "500 K, 3 MPa", numberAt(t, r, "density"), 1/0.120241800e-2, 1e-8)
	refusedFor(t, "water", "temperature: -5 °C\n", "temperature")
	refusedFor(t, "water", "temperature: 120 °C\npressure: 1 bar\n", "pressure")
}

// Computed with scipy 1.10.1 / numpy 1.24.2 (roughness 0.0457 mm).
func TestSuctionCalculator(t *testing.T) {
	r, o := runPump(t, "suction", `
static_head: 2 m
flow: 15 m3/h
bore: 52.5 mm
length: 5 m
fittings_k: 2.5
viscosity: 0.474 mm2/s
density: 983.2 kg/m3
vapor_pressure: 19946 Pa
required: 60 kPa
`)
	for name, want := range map[string]float64{"velocity": 1.9248, "reynolds": 213187.3, "friction_factor": 0.02043, "pipe_loss": 3544,
		"fittings_loss": 4553, "available": 92566, "available_static": 90745, "margin": 32566} {
		within(t, name, numberAt(t, r, name), want, 0.005)
	}
	if o.Status() != StatusDone || len(o.Notes.Cautions) == 0 {
		t.Errorf("status %v", o.Status())
	}
	c, _ := Find("suction")
	r, _ = runPump(t, "suction", strings.Replace(c.Example, "required: 40 kPa", "", 1))
	within(t, "available", numberAt(t, r, "available"), 80160, 0.005)
	if _, ok := r["margin"]; ok {
		t.Error("a margin without a requirement")
	}
	// The speed is the flow by definition of the displacement; the temperatures
	// are where the margin is used up, so the viscosity there is the most one
	// (density apart).
	r, _ = runPump(t, "suction", c.Example+"displacement: 0.5 L/rev\nliquid: oil-iso-vg-460\n")
	within(t, "most speed", numberAt(t, r, "most_speed"), 2*math.Pi*numberAt(t, r, "most_flow")/0.5e-3, 1e-9)
	oil, err := liquid.Named("oil-iso-vg-460")
	if err != nil {
		t.Fatal(err)
	}
	state, err := oil.At(quantity.Temperature(numberAt(t, r, "coldest")))
	if err != nil {
		t.Fatal(err)
	}
	within(t, "viscosity at the coldest", state.Dynamic.SI(), numberAt(t, r, "most_viscosity"), 0.02)
	r, _ = runPump(t, "suction", strings.Replace(c.Example, "2054 mm2/s", "1 mm2/s", 1)+"liquid: water\n")
	within(t, "water boils in the line a little below 100 °C", numberAt(t, r, "hottest"), 273.15+90, 0.02)
	if _, there := r["coldest"]; there {
		t.Error("cold water was too thick")
	}
	refusedFor(t, "suction", c.Example+"liquid: soup\n", "liquid")
	refusedFor(t, "suction", c.Example+"displacement: 0 L/rev\n", "displacement")
	refusedFor(t, "suction", strings.Replace(c.Example, "bore: 77.9 mm", "bore: 0 mm", 1), "bore")
	refusedFor(t, "suction", strings.Replace(c.Example, "2054 mm2/s", "2054 kg", 1), "viscosity")
}

// Common practice, no source.
func TestReliefValveCalculator(t *testing.T) {
	c, _ := Find("relief-valve")
	r, o := runPump(t, "relief-valve", c.Example)
	within(t, "margin", numberAt(t, r, "margin"), 1.2e5, 1e-9)
	if r["accepted"] != true || r["passes_at_working"] != false || o.Status() != StatusDone {
		t.Errorf("%v", r)
	}
	r, o = runPump(t, "relief-valve", strings.Replace(c.Example, "crack: 9.2 bar", "crack: 7.5 bar", 1))
	if r["accepted"] != false || r["passes_at_working"] != true || o.Status() != StatusNotYet {
		t.Errorf("%v", r)
	}
	within(t, "margin", numberAt(t, r, "margin"), -0.5e5, 1e-9)
}
