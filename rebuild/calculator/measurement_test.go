package calculator

import (
	"math"
	"os"
	"strings"
	"testing"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// runNamed runs a calculator from its YAML input, as from outside.
func runNamed(t *testing.T, env *Env, name, input string) (*Outcome, error) {
	t.Helper()
	c, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return c.Run(env, []byte(input))
}

func nearTo(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %v, want %v within %v", what, got, want, tolerance)
	}
}

// A bore reading. Computed with R 4.2.2; ν cut down from 16.048 to 16.
func TestBudgetCalculator(t *testing.T) {
	outcome, err := runNamed(t, nil, "budget", `parts:
  - {name: calibration, u: 0.001 mm}
  - {name: step, half_width: 0.005 mm}
  - {name: repeat, u: 0.00230940108 mm, dof: 2}
  - {name: temperature, half_width: 2 °C, shape: rectangular, sensitivity: 0.575 µm/K}
`)
	if err != nil {
		t.Fatal(err)
	}
	out := outcome.Out.(budgetOut)
	nearTo(t, "u", out.U.SI*1e3, 0.00388684, 1e-7)
	nearTo(t, "dof", *out.DOF, 16.048, 1e-3)
	nearTo(t, "k", out.K, 2.11991, 1e-5)
	nearTo(t, "expanded", out.Expanded.SI*1e3, 0.0082397, 1e-6)
	if out.U.Dimension != quantity.LengthDimension || len(outcome.Notes.Warnings) != 1 {
		t.Errorf("%v, %v", out.U.Dimension, outcome.Notes.Warnings)
	}

	// JCGM 100:2008, G.4.1 example, from memory; plain numbers (per cent).
	outcome, err = runNamed(t, nil, "budget", "parts: [{name: a, u: 0.25, dof: 9}, {name: b, u: 0.57, dof: 4}, {name: c, u: 0.82, dof: 14}]")
	if err != nil {
		t.Fatal(err)
	}
	out = outcome.Out.(budgetOut)
	nearTo(t, "u", out.U.SI, 1.02947, 1e-4)
	nearTo(t, "dof", *out.DOF, 18.9987, 1e-3)
	nearTo(t, "expanded", out.Expanded.SI, 2.16283, 0.02)

	// All parts well known: k is the normal quantile and there is no dof.
	outcome, err = runNamed(t, nil, "budget", "parts: [{name: flow meter, u: 1 L/min}, {name: pressure, u: 0.1 bar, sensitivity: 20 L/min/bar}]")
	if err != nil {
		t.Fatal(err)
	}
	out = outcome.Out.(budgetOut)
	nearTo(t, "u", out.U.SI*60e3, math.Sqrt(5), 1e-9)
	nearTo(t, "k", out.K, 1.959964, 1e-6)
	if out.DOF != nil || out.U.Dimension != quantity.FlowDimension {
		t.Errorf("%+v", out)
	}
}

func TestBudgetCalculatorRefuses(t *testing.T) {
	cases := []struct{ input, field string }{
		{"parts: []", "parts"},
		{"parts: [{name: a}]", "parts[0].u"},
		{"parts: [{name: a, u: 1 mm, half_width: 1 mm}]", "parts[0].u"},
		{"parts: [{name: a, u: 1 mm}, {name: b, u: 1 K}]", "parts[1]"},
		{"parts: [{name: a, u: 1 mm}, {name: b, u: 1 K, sensitivity: 3 apples}]", "parts[1].sensitivity"},
		{"parts: [{name: a, u: 1 mm, dof: 0}]", "parts[0].dof"},
		{"parts: [{name: a, u: -1 mm}]", "parts[0].u"},
		{"parts: [{name: a, u: 1 mm}]\nconfidence: 95", "confidence"},
	}
	for _, c := range cases {
		_, err := runNamed(t, nil, "budget", c.input)
		if p := say.AsProblem(err); p == nil || p.Field != c.field {
			t.Errorf("%q: got %v, want a refusal of %s", c.input, err, c.field)
		}
	}
}

func TestDecideCalculator(t *testing.T) {
	const bore = "lower: 50.000 mm\nupper: 50.020 mm\n"
	cases := []struct {
		source   string
		input    string
		decision string
		p        float64
		status   int
	}{
		{"JCGM 106:2012, clause 7, diode, from memory, recomputed", "measured: -5.47\nu: 0.05\nupper: -5.40", "measure again", 0.919243, StatusNotYet},
		{"JCGM 106:2012, clause 7, oil, from memory, recomputed: no zone at 95 %", "measured: 13.6 mm2/s\nu: 1.8 mm2/s\nlower: 12.5 cSt\nupper: 16.3 cSt", "a better instrument", 0.662630, StatusDone},
		{"computed with R 4.2.2", "measured: 50.012 mm\nu: 0.004 mm\n" + bore, "reuse", 0.975900, StatusDone},
		{"computed with R 4.2.2", "measured: 50.018 mm\nu: 4 µm\n" + bore, "measure again", 0.691459, StatusNotYet},
		{"computed with R 4.2.2", "measured: 50.0201 mm\nu: 0.004 mm\n" + bore, "measure again", 0.490027, StatusNotYet},
		{"computed with R 4.2.2", "measured: 49.996 mm\nu: 0.004 mm\n" + bore, "measure again", 0.158655, StatusNotYet},
		{"computed with R 4.2.2", "measured: 50.010 mm\nu: 0.010 mm\n" + bore, "a better instrument", 0.682689, StatusDone},
		{"bearing float is taken off first", "measured: 50.032 mm\nfloat: 0.020 mm\nu: 0.004 mm\n" + bore, "reuse", 0.975900, StatusDone},
		{"Φ(2)", "measured: 38 °C\nu: 1 K\nupper: 40 °C", "reuse", 0.977250, StatusDone},
		{"Φ(2)", "measured: 10 lb\nu: 0.5 lb\nlower: 4.08233133 kg", "reuse", 0.977250, StatusDone},
	}
	for _, c := range cases {
		outcome, err := runNamed(t, nil, "decide", c.input)
		if err != nil {
			t.Errorf("%q: %v", c.input, err)
			continue
		}
		out := outcome.Out.(decideOut)
		nearTo(t, c.source, out.Probability, c.p, 1e-6)
		if out.Decision != c.decision || outcome.Status() != c.status {
			t.Errorf("%q: %s, status %d", c.input, out.Decision, outcome.Status())
		}
	}
}

// Guard bands of 1.644854 u. Computed (normal quantile); JCGM 106:2012, Table
// 1, from memory.
func TestDecideCalculatorAcceptance(t *testing.T) {
	outcome, err := runNamed(t, nil, "decide", "measured: 50.012 mm\nu: 0.004 mm\nlower: 50.000 mm\nupper: 50.020 mm")
	if err != nil {
		t.Fatal(err)
	}
	out := outcome.Out.(decideOut)
	nearTo(t, "upper", out.AcceptanceUpper.SI*1e3, 50.020-1.644854*0.004, 2e-5) // the far limit moves it a little
	nearTo(t, "lower", out.AcceptanceLower.SI*1e3, 50.000+1.644854*0.004, 2e-5)
	if out.SettlingU != nil {
		t.Error("a settled reading has a settling u")
	}
	outcome, err = runNamed(t, nil, "decide", "measured: 50.018 mm\nu: 0.004 mm\nlower: 50.000 mm\nupper: 50.020 mm")
	if err != nil {
		t.Fatal(err)
	}
	nearTo(t, "settling u", outcome.Out.(decideOut).SettlingU.SI*1e3, 0.002/1.644854, 1e-6)
	doc := outcome.Document(say.Style{}, true)["results"].(map[string]any)
	if reasons := doc["reasons"].([]any); len(reasons) != 1 || !strings.Contains(reasons[0].(string), "0.001 mm") {
		t.Errorf("reasons %v", doc["reasons"])
	}
}

func TestDecideCalculatorRefuses(t *testing.T) {
	cases := []struct{ input, field string }{
		{"measured: 50 mm\nu: 0.004 mm", "upper"},
		{"measured: 50 mm\nu: 0.004 bar\nupper: 51 mm", "u"},
		{"measured: 50 mm\nu: 0.004 mm\nupper: 51 bar", "upper"},
		{"measured: 50\nu: 0.004 mm\nupper: 51 mm", "measured"},
		{"measured: 50 mm\nu: 0.004 mm\nlower: 52 mm\nupper: 51 mm", "lower"},
		{"measured: 1,250 in\nu: 0.004 mm\nupper: 51 mm", "measured"},
		{"measured: 50 mm\nu: 0.004 mm\nupper: 51 mm\nconfidence: 0.2", "confidence"},
	}
	for _, c := range cases {
		_, err := runNamed(t, nil, "decide", c.input)
		if p := say.AsProblem(err); p == nil || p.Field != c.field {
			t.Errorf("%q: got %v, want a refusal of %s", c.input, err, c.field)
		}
	}
}

// AIAG, Measurement Systems Analysis, 4th edition, example data and results;
// recomputed with R 4.2.2.
func TestGaugeStudyCalculator(t *testing.T) {
	env := &Env{ReadFile: os.ReadFile}
	const file = "file: ../../calc/metrology/testdata/grr_aiag_10x3x3.csv\n"
	outcome, err := runNamed(t, env, "gauge-study", file)
	if err != nil {
		t.Fatal(err)
	}
	out := outcome.Out.(gaugeStudyOut)
	nearTo(t, "repeatability", out.Repeatability.SI, 0.199933, 1e-5)
	nearTo(t, "reproducibility", out.Reproducibility.SI, 0.226838, 1e-5)
	nearTo(t, "grr", out.GRR.SI, 0.302372, 1e-5)
	nearTo(t, "percent", out.Percent, 27.8607, 1e-3)
	nearTo(t, "categories", out.CategoriesExact, 4.875, 1e-3)
	nearTo(t, "p", *out.ANOVA[2].P, 0.974106, 1e-6)
	if out.Categories != 4 || !*out.Pooled {
		t.Errorf("categories %d, pooled %v", out.Categories, *out.Pooled)
	}
	outcome, err = runNamed(t, env, "gauge-study", file+"method: range\ntolerance: 8\nunit: mm")
	if err != nil {
		t.Fatal(err)
	}
	out = outcome.Out.(gaugeStudyOut)
	nearTo(t, "grr", out.GRR.SI*1e3, 0.305766, 2e-5)
	nearTo(t, "percent", out.Percent, 26.678, 0.01)
	nearTo(t, "of tolerance", *out.PercentOfLimits, 100*6*0.305766/8, 2e-2)
	if out.Categories != 5 || out.Pooled != nil || out.ANOVA != nil || out.GRR.Dimension != quantity.LengthDimension {
		t.Errorf("%+v", out)
	}
}

func TestGaugeStudyCalculatorRefuses(t *testing.T) {
	file := func(content string) *Env {
		return &Env{ReadFile: func(string) ([]byte, error) { return []byte(content), nil }}
	}
	cases := []struct {
		env          *Env
		input, field string
	}{
		{nil, "file: a.csv", "file"},
		{nil, "method: anova", "file"},
		{file(""), "file: a.csv", "file"},
		{file("part,value\n1,2\n"), "file: a.csv", "file"},
		{file("part,appraiser,value\n1,A,x\n"), "file: a.csv", "file"},
		{file("part,appraiser,value\n1,A,2\n"), "file: a.csv", "file"},
		{file("part,appraiser,value\n1,A,2\n"), "file: a.csv\nunit: apples", "unit"},
		{file("part,appraiser,value\n1,A,2\n"), "file: a.csv\nmethod: guess", "method"},
	}
	for _, c := range cases {
		_, err := runNamed(t, c.env, "gauge-study", c.input)
		if p := say.AsProblem(err); p == nil || p.Field != c.field {
			t.Errorf("%q: got %v, want a refusal of %s", c.input, err, c.field)
		}
	}
}
