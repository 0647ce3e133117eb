package calculator

import (
	"fmt"
	"math"
	"os"
	"path"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

// lifeData reads the published data beside package life.
func lifeData(t testing.TB) *Env {
	t.Helper()
	return &Env{ReadFile: func(name string) ([]byte, error) { return os.ReadFile("../../calc/life/testdata/" + path.Base(name)) }}
}

// lifeResults runs a calculator from YAML and returns its results as JSON has
// them.
func lifeResults(t testing.TB, name, input string) (map[string]any, *Outcome) {
	t.Helper()
	c, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	outcome, err := c.Run(lifeData(t), []byte(input))
	if err != nil {
		t.Fatalf("%s: %v", input, err)
	}
	return outcome.Document(say.Style{}, true)["results"].(map[string]any), outcome
}

// lifeSI reads a plain number or the SI value of a quantity.
func lifeSI(t testing.TB, v any) float64 {
	t.Helper()
	switch n := v.(type) {
	case float64:
		return n
	case int:
		return float64(n)
	case map[string]any:
		return n["value"].(float64)
	}
	t.Fatalf("%v is no number", v)
	return math.NaN()
}

func lifeNear(t testing.TB, results map[string]any, name string, want, tolerance float64) {
	t.Helper()
	if got := lifeSI(t, results[name]); !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.10g, want %.10g", name, got, want)
	}
}

// Data and sources as in calc/life/testdata/README.
func TestWearTrendCalculator(t *testing.T) {
	points := func(file, unit string) string {
		data, err := os.ReadFile("../../calc/life/testdata/" + file)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		b.WriteString("points:\n")
		for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n")[1:] {
			x, y, _ := strings.Cut(strings.TrimSpace(line), ",")
			fmt.Fprintf(&b, "  - {hours: %s, value: %s%s}\n", x, y, unit)
		}
		return b.String()
	}
	// NIST Statistical Reference Datasets, Norris, certified values.
	r, _ := lifeResults(t, "wear-trend", points("reg_norris.csv", "")+"limit: 1000\nconfidence: 0.95\nat: [500]\n")
	lifeNear(t, r, "slope", 1.00211681802045, 1e-12)
	lifeNear(t, r, "slope_u", 0.429796848199937e-3, 1e-13)
	lifeNear(t, r, "intercept", -0.262323073774029, 1e-10)
	lifeNear(t, r, "residual_sd", 0.884796396144373, 1e-9)
	at500 := r["predictions"].([]any)[0].(map[string]any)
	lifeNear(t, at500, "value", 500.796085936, 1e-7) // computed with R 4.2.2
	lifeNear(t, at500, "high", 500.796085936+1.824291882, 2e-7)

	// Sliding metal wear, Meeker & Escobar 1998; computed with R 4.2.2.
	r, outcome := lifeResults(t, "wear-trend", points("wear_unit_a.csv", " µm")+"limit: 20 µm\n")
	lifeNear(t, r, "slope", 0.01142185e-6, 1e-14)
	lifeNear(t, r, "hours_at_limit", 1354.303, 0.01)
	lifeNear(t, r, "hours_low", 998.292, 0.01)
	if len(outcome.Notes.Warnings) == 0 {
		t.Error("the limit lies far beyond the readings, and it must be said")
	}
	// A part that is replaced starts anew; hours stay those of the place.
	r, _ = lifeResults(t, "wear-trend", `limit: 10
replaced: [1000]
points: [{hours: 100, value: 3}, {hours: 900, value: 9}, {hours: 1100, value: 1}, {hours: 1200, value: 2}, {hours: 1300, value: 3}]
`)
	lifeNear(t, r, "hours_at_limit", 2000, 1e-6)
	// Sister pumps steady the rate: it lies between its own and the family's.
	r, _ = lifeResults(t, "wear-trend", `limit: 10
points: [{hours: 0, value: 1, u: 0.5}, {hours: 1000, value: 4, u: 0.5}]
sisters:
  - {points: [{hours: 0, value: 1, u: 0.1}, {hours: 1000, value: 2.9, u: 0.1}]}
  - {points: [{hours: 0, value: 1, u: 0.1}, {hours: 1000, value: 3.1, u: 0.1}]}
`)
	pooled := r["pooled"].(map[string]any)
	own, shared, family := lifeSI(t, r["slope"]), lifeSI(t, pooled["slope"]), lifeSI(t, pooled["family"])
	if !(shared < own && shared >= family && lifeSI(t, pooled["hours_at_limit"]) > lifeSI(t, r["hours_at_limit"])) {
		t.Errorf("own rate %v, pooled %v, family %v", own, shared, family)
	}
	// It moves away: no hours.
	r, _ = lifeResults(t, "wear-trend", "limit: 10\npoints: [{hours: 100, value: 3}, {hours: 200, value: 2.1}, {hours: 300, value: 0.9}]\n")
	if _, has := r["hours_at_limit"]; has {
		t.Errorf("hours at the limit: %v", r["hours_at_limit"])
	}
	c, _ := Find("wear-trend")
	for input, field := range map[string]string{
		"limit: 1\npoints: [{hours: 1, value: 2}, {hours: 2, value: 3}]":                                              "points",
		"limit: 1 mm\npoints: [{hours: 1, value: 2 mm}, {hours: 2, value: 3}, {hours: 3, value: 4 mm}]":               "points[1].value",
		"limit: 1\nreplaced: [5]\npoints: [{hours: 8, value: 2}, {hours: 6, value: 3}, {hours: 9, value: 3}]":         "points[1].hours",
		"limit: 1\nconfidence: 2\npoints: [{hours: 1, value: 2}, {hours: 2, value: 3}, {hours: 3, value: 3.5}]":       "confidence",
		"limit: 1\npoints: [{hours: 1, value: 2, u: -1}, {hours: 2, value: 3, u: 1}, {hours: 3, value: 3.5, u: 0.1}]": "points[0].u",
	} {
		_, err := c.Run(nil, []byte(input))
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: got %v", input, err)
		}
	}
}

func TestLifeCalculator(t *testing.T) {
	const hour = 3600
	// NIST/SEMATECH e-Handbook 8.4.1.3; bounds computed with R 4.2.2.
	r, _ := lifeResults(t, "life", "file: weibull_nist_handbook.csv\ndistribution: weibull\n")
	for name, want := range map[string]float64{
		"shape": 1.720797, "scale": 606.5276 * hour, "shape_se": 0.502151, "scale_se": 124.9107 * hour,
		"shape_low": 0.905645, "shape_high": 2.885738, "scale_low": 437.557 * hour, "scale_high": 1118.878 * hour,
		"b10": 164.0224 * hour, "b10_low": 59.855 * hour, "b10_high": 271.950 * hour, "mean": 540.7370 * hour,
		"failures": 10, "suspensions": 10,
	} {
		lifeNear(t, r, name, want, 2e-4*want)
	}
	lifeNear(t, r, "log_likelihood", -75.134618, 1e-4)
	// the same in minutes: the log-likelihood moves by ln 60 for each failure
	r, _ = lifeResults(t, "life", "file: weibull_nist_handbook.csv\ntime_unit: min\ndistribution: exponential\n")
	lifeNear(t, r, "scale", 777.1*60, 1)
	lifeNear(t, r, "log_likelihood", -76.555690, 1e-4)
	r, _ = lifeResults(t, "life", "file: weibull_ball_bearings.csv\ndistribution: weibull\n")
	lifeNear(t, r, "shape", 2.101847, 2e-5)
	r, _ = lifeResults(t, "life", "file: weibull_shock_absorber.csv\ndistribution: weibull\n")
	lifeNear(t, r, "b10_low", 9371.20*hour, 2e-4*9371*hour)
	// Weibayes, ages 1500 … 7000, computed with scipy 1.10: one-sided 95 % is
	// the lower end of a two-sided 90 %.
	ages := "rows: [{time: 1500 h, status: 0}, {time: 1750 h, status: 0}, {time: 2250 h, status: 0}, {time: 4000 h, status: 0}, {time: 4300 h, status: 0}, {time: 5000 h, status: 0}, {time: 7000 h, status: 0}]\nconfidence: 0.90\n"
	r, outcome := lifeResults(t, "life", ages+"distribution: weibull\nbeta: 2\n")
	lifeNear(t, r, "scale", 10902.5226*hour, 1e-6*10902*hour)
	lifeNear(t, r, "scale_low", 6299.0564*hour, 1e-6*6299*hour)
	if _, has := r["scale_high"]; has || len(outcome.Notes.Warnings) < 2 {
		t.Error("without failures there is no upper bound, and it must be said")
	}
	r, _ = lifeResults(t, "life", strings.Replace(ages, "status: 0", "status: 1", 2)+"beta: 1\n")
	lifeNear(t, r, "scale", 12900*hour, 1e-6*12900*hour)
	lifeNear(t, r, "scale_low", 4097.974*hour, 1e-6*4098*hour)
	// intervals and entries are read
	r, _ = lifeResults(t, "life", "rows: [{time_low: 100 h, time_high: 200 h}, {time: 300 h, entry: 50 h}, {time_low: 0, time_high: 150 h}, {time: 400, status: 0, count: 2}]\n")
	lifeNear(t, r, "failures", 3, 0)
	lifeNear(t, r, "suspensions", 2, 0)
}

func TestLifeCalculatorRefuses(t *testing.T) {
	c, err := Find("life")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct{ input, field, says string }{
		{"rows: [{time: 5 h, status: 0}]", "rows", "none of the 1"},
		{"rows: [{time: 5 h}, {time: 50 h, entry: 60 h}]", "rows[1].entry", "before it was installed"},
		{"rows: [{time_low: 50 h, time_high: 20 h}, {time: 3 h}]", "rows[0].time_high", "before its start"},
		{"rows: [{time: -5 h}, {time: 9 h}]", "rows[0].time", "above 0"},
		{"rows: [{time: 5 mm}]", "rows[0].time", ""},
		{"rows: [{status: 1}]", "rows[0].time", "either"},
		{"rows: [{time: 5 h, status: 2}]", "rows[0].status", "1 (failed)"},
		{"rows: [{time: 5 h}, {time: 7 h}]\ndistribution: lognormal\nbeta: 2", "beta", "Weibull"},
		{"rows: [{time: 5 h}, {time: 7 h}]\nconfidence: 1", "confidence", "between 0 and 1"},
		{"rows: [{time: 5 h}, {time: 7 h}]\ntime_unit: mm", "time_unit", ""},
		{"distribution: weibull", "rows", ""},
		{"file: mcf_valve_seats.csv", "file", "no column"},
	} {
		_, err := c.Run(lifeData(t), []byte(x.input))
		p := say.AsProblem(err)
		if p == nil || p.Field != x.field || !strings.Contains(p.Error(), x.says) {
			t.Errorf("%s: got %v", x.input, err)
		}
	}
}

func TestRecurrenceCalculator(t *testing.T) {
	// Test file of an open reliability library: beta 0.741656619656656, lambda
	// 0.0007886414235385733.
	r, _ := lifeResults(t, "recurrence", "systems: [{events: [10400, 26900, 43400, 66400, 89400, 130400, 163400, 232000, 242000, 340700], end: 340700}]\nconfidence: 0.90\n")
	lifeNear(t, r, "beta", 0.741656619656656, 1e-9)
	lifeNear(t, r, "lambda", 0.0007886414235385733, 1e-11)
	lifeNear(t, r, "trend_statistic", 26.96666, 1e-4)
	lifeNear(t, r, "mtbf", 45937.70094814556*3600, 10)
	lifeNear(t, r, "beta_low", 0.348225, 1e-5)
	lifeNear(t, r, "beta_high", 1.070555, 2e-5)
	// Five systems of the same library; bounds computed with R 4.2.2.
	r, _ = lifeResults(t, "recurrence", `systems:
  - {events: [5, 10, 15], end: 17}
  - {events: [6, 13, 17], end: 19}
  - {events: [12, 20, 25], end: 26}
  - {events: [13, 15], end: 24}
  - {events: [16, 22, 25], end: 28}
`)
	mcf := r["mcf"].([]any)
	last := mcf[len(mcf)-1].(map[string]any)
	lifeNear(t, last, "time", 25, 0)
	lifeNear(t, last, "value", 3.666667, 1e-6)
	lifeNear(t, last, "low", 2.991000, 3e-4)
	lifeNear(t, last, "high", 4.494966, 5e-4)
	c, _ := Find("recurrence")
	_, err := c.Run(nil, []byte("systems: [{events: [10, 5], end: 20}]"))
	if p := say.AsProblem(err); p == nil || p.Field != "systems[0].events[1]" {
		t.Errorf("hours that run backwards: %v", err)
	}
}

// Blanchard, Logistics Engineering and Management, from memory (about 8);
// computed with scipy 1.10.
func TestSparesCalculator(t *testing.T) {
	r, _ := lifeResults(t, "spares", "rate: 0.0001\nunits: 20\nlead_time: 2160 h\nservice_level: 0.95\n")
	lifeNear(t, r, "stock", 8, 0)
	lifeNear(t, r, "achieved", 0.967508, 1e-6)
	lifeNear(t, r, "expected_short", 0.0532848, 1e-6)
	c, _ := Find("spares")
	_, err := c.Run(nil, []byte("rate: -1\nunits: 20\nlead_time: 90 d\nservice_level: 0.95"))
	if p := say.AsProblem(err); p == nil || p.Field != "rate" {
		t.Errorf("a negative rate: %v", err)
	}
}

func TestCausesCalculator(t *testing.T) {
	r, outcome := lifeResults(t, "causes", "evidence: [E70, E53, {id: E83, strength: 1}]\nabsent: [E84]\n")
	causes := r["causes"].([]any)
	first := causes[0].(map[string]any)
	if len(causes) != 39 || first["id"] != "C03" {
		t.Fatalf("%d causes, first %v", len(causes), first["id"])
	}
	if p := first["probability"].(float64); !(p > 0.5 && p <= 1) {
		t.Errorf("probability %v", p)
	}
	if n := len(first["for"].([]any)); n != 3 {
		t.Errorf("%d reasons for", n)
	}
	next := r["next_check"].(map[string]any)
	if next["id"] == "" || !(next["gain_bits"].(float64) > 0) {
		t.Errorf("next check %v", next)
	}
	if outcome.Status() != StatusDone {
		t.Errorf("status %d", outcome.Status())
	}
	// E84 found speaks against C03
	r, _ = lifeResults(t, "causes", "evidence: [E70, E53, E84]\n")
	for _, c := range r["causes"].([]any) {
		if c := c.(map[string]any); c["id"] == "C03" {
			if against := c["against"].([]any); len(against) != 1 || against[0].(map[string]any)["id"] != "E84" {
				t.Errorf("against C03: %v", against)
			}
		}
	}
	// a contradiction is shown
	r, _ = lifeResults(t, "causes", "evidence: [E01, E02]\n")
	if len(r["conflicts"].([]any)) != 1 {
		t.Errorf("conflicts: %v", r["conflicts"])
	}
	c, _ := Find("causes")
	for input, field := range map[string]string{
		"evidence: [E99]":                    "evidence[0]",
		"evidence: [E01]\nabsent: [E1]":      "absent[0]",
		"evidence: [{id: E01, strength: 3}]": "evidence[0].strength",
		"evidence: [{id: E01, weight: 3}]":   "evidence[0].weight",
		"evidence: [E01]\nconditions: [S77]": "conditions[0]",
		"absent: [E01]":                      "evidence",
		"evidence: [E01]\nhours: -5":         "hours",
	} {
		_, err := c.Run(nil, []byte(input))
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: got %v", input, err)
		}
	}
}
