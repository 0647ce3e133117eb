package calculator

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

func runShaft(t *testing.T, name, input string) (map[string]any, *Outcome) {
	t.Helper()
	c, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	o, err := c.Run(nil, []byte(input))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if o.Notes.Working == nil || o.Notes.Working.Check() != nil {
		t.Errorf("%s: working %v", name, o.Notes.Working)
	}
	return o.Document(say.Style{}, true)["results"].(map[string]any), o
}

// Bearings computed by an independent finite difference solution of the
// Reynolds equation (numpy 1.24.2); PV example of Wentzell, Machine Design,
// ex. 19.1.
func TestBushingCalculator(t *testing.T) {
	r, o := runShaft(t, "bushing", "{diameter: 30 mm, length: 30 mm, diametral_clearance: 80 µm, load: 700 N, speed: 420 rpm, viscosity: 50 mPa·s, material: leaded tin bronze}")
	for _, c := range []struct {
		field string
		want  float64
	}{{"projected_pressure", 0.7778e6}, {"sommerfeld", 0.0633}, {"eccentricity", 0.741}, {"min_film", 10.4e-6}, {"friction", 0.00560}, {"torque", 0.0588},
		{"power_loss", 2.59}, {"flow", 5.72e-7}, {"side_flow_ratio", 0.797}, {"side_flow", 5.72e-7 * 0.797}} {
		within(t, c.field, numberAt(t, r, c.field), c.want, 0.03)
	}
	within(t, "limit", numberAt(t, r, "pv_limit"), 2.625e6, 1e-9)
	if o.Status() != StatusDone {
		t.Error(o.Status())
	}
	r, _ = runShaft(t, "bushing", "{diameter: 0.75 in, length: 0.875 in, diametral_clearance: 0.002 in, load: 20 lbf, speed: 500 rpm, viscosity: 50 cP}")
	within(t, "pv", numberAt(t, r, "pv"), 2992/28551.0*1e6, 0.002)
	if _, ok := r["pv_limit"]; ok {
		t.Error("a limit without a material")
	}
	// Raimondi and Boyd 1958, from memory: S 0.121 at ε 0.6 for l/d 1.
	r, _ = runShaft(t, "bushing", fmt.Sprintf("{diameter: 60 mm, length: 60 mm, diametral_clearance: 120 µm, load: %.6f N, speed: 1440 rpm, viscosity: 30 mPa·s}", 250000*0.03*24/0.121*0.0036))
	within(t, "eccentricity", numberAt(t, r, "eccentricity"), 0.6, 0.01)
	within(t, "attitude", numberAt(t, r, "attitude"), 50.58*math.Pi/180, 0.02)
	within(t, "friction_variable", numberAt(t, r, "friction_variable"), 3.22, 0.02)
	// A crushing load: no film, said, and no film numbers.
	r, o = runShaft(t, "bushing", "{diameter: 30 mm, length: 30 mm, diametral_clearance: 80 µm, load: 900 kN, speed: 1 rpm, viscosity: 1 cP, material: carbon}")
	if _, ok := r["eccentricity"]; ok || o.Status() != StatusNotYet || len(o.Notes.Warnings) == 0 {
		t.Errorf("%v %v", r, o.Notes.Warnings)
	}
	refusedFor(t, "bushing", "{diameter: 30 mm, length: 30 mm, diametral_clearance: 0 mm, load: 700 N, speed: 420 rpm, viscosity: 50 mPa·s}", "diametral_clearance")
	refusedFor(t, "bushing", "{diameter: 30 mm, length: 30 mm, diametral_clearance: 80 µm, load: 700 N, speed: 420 rpm, viscosity: 50 mPa·s, material: cheese}", "material")
}

// Computed with python3 from the formulas; inputs of the first after the heat
// example of ISO 21049 (from memory).
func TestSealFaceCalculator(t *testing.T) {
	r, _ := runShaft(t, "seal-face", "{face_outer: 61.6 mm, face_inner: 48.9 mm, balance_diameter: 52.4 mm, spring_force: 190 N, pressure: 2.07 MPa, speed: 3600 rpm, friction: 0.07}")
	for _, c := range []struct {
		field string
		want  float64
	}{{"balance_ratio", 0.7474}, {"face_area", 1102.2e-6}, {"spring_pressure", 0.1724e6}, {"net_face_pressure", 0.6844e6}, {"mean_speed", 10.4144}, {"pv", 7.1277e6}, {"heat", 549.92}} {
		within(t, c.field, numberAt(t, r, c.field), c.want, 0.002)
	}
	r, o := runShaft(t, "seal-face", "{face_outer: 43 mm, face_inner: 34 mm, balance_diameter: 41 mm, spring_force: 1 N, pressure: 7 bar, speed: 420 rpm, friction: 0.1}")
	if numberAt(t, r, "net_face_pressure") >= 0 || o.Status() != StatusNotYet {
		t.Error("faces that open must be said")
	}
	refusedFor(t, "seal-face", "{face_outer: 34 mm, face_inner: 43 mm, balance_diameter: 41 mm, spring_force: 1 N, pressure: 7 bar, speed: 420 rpm}", "face_outer")
	refusedFor(t, "seal-face", "{face_outer: 43 mm, face_inner: 34 mm, balance_diameter: 41 mm, spring_force: 1 N, pressure: 7 bar, speed: 420 rpm, pressure_side: top}", "pressure_side")
	refusedFor(t, "seal-face", "{face_outer: 43 mm, face_inner: 34 mm, balance_diameter: 41 mm, spring_force: 1 N, pressure: 7 bar, speed: 420 rpm, volumetric_heat: 4.2e6}", "flush_warming")
}

func TestSealSettingCalculator(t *testing.T) {
	// Computed with python3: rate 12.0 N/mm, free 32.0, working 25.0: 84.0 N.
	r, o := runShaft(t, "seal-setting", `{free_length: 32.0 mm, rate: 12 N/mm, working_length: 25 mm, datum: {unknown: collar, links: [{name: seat, value: 60 mm, u: 0.03 mm}, {name: collar, sensitivity: -1}]}}`)
	within(t, "force", numberAt(t, r, "spring_force"), 84, 0.001)
	within(t, "position", numberAt(t, r, "set_position"), 35e-3, 1e-9)
	if _, ok := r["decision"]; ok || o.Status() != StatusDone {
		t.Errorf("%v", r["decision"])
	}
	if u := r["working_length"].(map[string]any)["u"]; math.Abs(u.(float64)-0.03e-3) > 1e-9 {
		t.Error(u)
	}
	r, _ = runShaft(t, "seal-setting", `{free_length: 32.0 mm, rate: 12 N/mm, spring_force: 84 N, tolerance: 0.5 mm, datum: {unknown: collar, links: [{name: seat, value: 60 mm, u: 0.03 mm}, {name: collar, sensitivity: -1, value: 35 mm, u: 0.1 mm}]}}`)
	within(t, "length", numberAt(t, r, "working_length"), 25e-3, 1e-9)
	if r["decision"] != "set" {
		t.Error(r["decision"])
	}
	r, o = runShaft(t, "seal-setting", `{working_length: 25 mm, tolerance: 0.5 mm, datum: {unknown: collar, links: [{name: seat, value: 60 mm, u: 0.5 mm}, {name: collar, sensitivity: -1}]}}`)
	if r["decision"] != "measure again" || o.Status() != StatusNotYet {
		t.Error(r["decision"], o.Status())
	}
	refusedFor(t, "seal-setting", `{datum: {unknown: a, links: [{name: a}]}}`, "working_length")
	refusedFor(t, "seal-setting", `{working_length: 25 mm, datum: {unknown: c, links: [{name: b}, {name: c}]}}`, "datum.links[0].value")
	refusedFor(t, "seal-setting", `{working_length: 25 mm, datum: {unknown: d, links: [{name: c}, {name: b, value: 1 mm}]}}`, "datum.links[0].value")
	refusedFor(t, "seal-setting", `{spring_force: 25 N, rate: 1 N/mm, datum: {unknown: c, links: [{name: c}]}}`, "free_length")
}

// Half a wavelength of the helium line each: 0.588 µm for two bands.
func TestFlatnessCalculator(t *testing.T) {
	r, _ := runShaft(t, "flatness", "{bands: 2, light: helium}")
	within(t, "two bands", numberAt(t, r, "flatness"), 0.588e-6, 0.005)
	r, _ = runShaft(t, "flatness", "{bands: 1, light: sodium}")
	within(t, "sodium", numberAt(t, r, "flatness"), 0.2946e-6, 0.005)
	refusedFor(t, "flatness", "{bands: 1, light: moon}", "light")
}

// Least squares computed with numpy 1.24.2.
func TestRunoutCalculator(t *testing.T) {
	r, _ := runShaft(t, "runout", "readings: [{angle: 0°, reading: 0 µm}, {angle: 90°, reading: 10 µm}, {angle: 180°, reading: 16 µm}, {angle: 270°, reading: 6 µm}]")
	within(t, "tir", numberAt(t, r, "tir"), 16e-6, 1e-9)
	within(t, "e", numberAt(t, r, "eccentricity"), 8.246e-6, 0.001)
	within(t, "angle", numberAt(t, r, "high_angle"), 165.96*math.Pi/180, 0.0001)
	refusedFor(t, "runout", "readings: [{angle: 0°, reading: 0 µm}, {angle: 90°, reading: 10 µm}]", "readings")
	refusedFor(t, "runout", "readings: [{angle: 0°, reading: 0}, {angle: 90 mm, reading: 10 µm}]", "readings[1].angle")
}

func clock(bottom string, side string) string {
	return fmt.Sprintf("{top: 0, right: %s, bottom: %s, left: %s}", side, bottom, side)
}

// Rim and face: formula of a one-page sheet, F = bf B/D − br/2; reverse:
// geometry of Bloch and Geitner; values computed with python3.
func TestAlignCalculator(t *testing.T) {
	mil := 25.4e-6
	r, o := runShaft(t, "align", "{method: rim-face, dimensions: {face_diameter: 5 in, to_near_foot: 8 in, to_far_foot: 24 in}, readings: {rim: "+
		clock("-12 mil", "-6 mil")+", face: "+clock("6 mil", "3 mil")+"}, growth: {near: 0, far: 0}}")
	within(t, "near", numberAt(t, r, "feet", "near", "vertical"), 15.6*mil, 0.001)
	within(t, "far", numberAt(t, r, "feet", "far", "vertical"), 34.8*mil, 0.001)
	if r["valid"] != true || o.Status() != StatusDone || len(o.Notes.Cautions) == 0 {
		t.Error(r["valid"], o.Status())
	}
	r, _ = runShaft(t, "align", "{method: reverse, dimensions: {between: 200 mm, to_near_foot: 240 mm, to_far_foot: 760 mm}, sag: -0.06 mm, speed: 1500 rpm, readings: {stationary_rim: "+
		clock("0.3 mm", "0.15 mm")+", movable_rim: "+clock("-0.18 mm", "-0.09 mm")+"}}")
	within(t, "near", numberAt(t, r, "feet", "near", "vertical"), 0.0840e-3, 0.001)
	within(t, "far", numberAt(t, r, "feet", "far", "vertical"), 0.3960e-3, 0.001)
	within(t, "slope", numberAt(t, r, "angle_vertical"), -0.0006, 0.001)
	// Suggested tolerances, alignment handbook of 2000: 0.09 mm and 0.07 mm per
	// 100 mm at 1500 rev/min; band table: 4 mils and 1 mil/in.
	within(t, "offset limit", numberAt(t, r, "verdicts", 0, "offset_limit"), 0.09e-3, 1e-9)
	within(t, "angle limit", numberAt(t, r, "verdicts", 0, "angle_limit"), 0.0007, 1e-9)
	within(t, "band limit", numberAt(t, r, "verdicts", 1, "offset_limit"), 4*mil, 1e-9)
	words := fmt.Sprint(r["moves"])
	if !strings.Contains(words, "near feet: raise 0.084 mm") || !strings.Contains(words, "far feet: raise 0.396 mm") {
		t.Error(words)
	}
	// Bloch and Geitner p. 203: offsets 0.012 and 0.007 in, 14 in apart.
	r, _ = runShaft(t, "align", "{method: tool, dimensions: {to_near_foot: 12 in, to_far_foot: 38 in}, readings: {offset_vertical: 0.007 in, angle_vertical: -0.35714 mil/in, offset_horizontal: 0, angle_horizontal: 0}}")
	within(t, "inboard", numberAt(t, r, "feet", "near", "vertical"), -2.7*mil, 0.04)
	within(t, "outboard", numberAt(t, r, "feet", "far", "vertical"), 6.6*mil, 0.02)
	// A set that does not close: not valid, and no foot is moved.
	r, o = runShaft(t, "align", "{method: reverse, dimensions: {between: 200 mm, to_near_foot: 240 mm, to_far_foot: 760 mm}, readings: {stationary_rim: {top: 0, right: 5 mil, bottom: 12 mil, left: 9 mil}, movable_rim: "+clock("0", "0")+"}}")
	within(t, "closure", numberAt(t, r, "closure_error"), 2*mil, 1e-9)
	if r["valid"] != false || o.Status() != StatusNotYet || strings.Contains(fmt.Sprint(r["moves"]), "raise") {
		t.Error(r["moves"])
	}
	// Motor against pump, computed with python3: set the motor 0.0618 mm high.
	r, _ = runShaft(t, "align", "{method: tool, dimensions: {to_near_foot: 200 mm, to_far_foot: 600 mm}, readings: {offset_vertical: 0, angle_vertical: 0, offset_horizontal: 0, angle_horizontal: 0}, "+
		"growth_from: {near: {height: 225 mm, expansion: 11.7e-6/K, warming: 35 K}, far: {height: 225 mm, expansion: 11.7e-6/K, warming: 35 K}, stationary: {height: 225 mm, expansion: 11.4e-6/K, warming: 60 K}}}")
	within(t, "set high", numberAt(t, r, "feet", "far", "vertical"), 0.0618e-3, 0.005)
}

func TestAlignCalculatorRefuses(t *testing.T) {
	dims := "dimensions: {between: 200 mm, to_near_foot: 240 mm, to_far_foot: 760 mm}"
	both := "readings: {stationary_rim: " + clock("0", "0") + ", movable_rim: " + clock("0", "0") + "}"
	refusedFor(t, "align", "{method: rim-face, "+dims+", "+both+"}", "readings.rim")
	refusedFor(t, "align", "{method: reverse, dimensions: {to_near_foot: 240 mm, to_far_foot: 760 mm}, "+both+"}", "dimensions.between")
	refusedFor(t, "align", "{method: reverse, dimensions: {between: 0, to_near_foot: 240 mm, to_far_foot: 760 mm}, "+both+"}", "dimensions.between")
	refusedFor(t, "align", "{method: reverse, dimensions: {between: 1 m, to_near_foot: 740 mm, to_far_foot: 360 mm}, "+both+"}", "dimensions.to_far_foot")
	refusedFor(t, "align", "{method: reverse, "+dims+", "+both+", speed: -3 rpm}", "speed")
	refusedFor(t, "align", "{method: reverse, "+dims+", "+both+", growth: {near: 0, far: 0}, growth_from: {near: {height: 1 m, expansion: 1e-5/K, warming: 1 K}, far: {height: 1 m, expansion: 1e-5/K, warming: 1 K}, stationary: {height: 1 m, expansion: 1e-5/K, warming: 1 K}}}", "growth_from")
	refusedFor(t, "align", "{method: tool, "+dims+", readings: {offset_vertical: 0}}", "readings.angle_vertical")
	refusedFor(t, "align", "{method: tool, "+dims+", readings: {offset_vertical: 0, angle_vertical: 0, offset_horizontal: 0, angle_horizontal: 0}, as_found: {offset_vertical: 0}}", "as_found.angle_vertical")
	r, _ := runShaft(t, "align", "{method: tool, "+dims+", speed: 1500 rpm, readings: {offset_vertical: 0, angle_vertical: 0, offset_horizontal: 0, angle_horizontal: 0}, as_found: {offset_vertical: 1 mm, angle_vertical: 0, offset_horizontal: 0, angle_horizontal: 0}}")
	if words := fmt.Sprint(r["change"]); !strings.Contains(words, "outside before, excellent after") {
		t.Error(words)
	}
	refusedFor(t, "soft-foot", "{near_left: -1 mm, near_right: 0, far_left: 0, far_right: 0}", "near_left")
}
