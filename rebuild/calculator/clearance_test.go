package calculator

import (
	"math"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

// Check values of this file: computed with numpy 1.24.2 / scipy 1.10.1,
// independent prototype of the same equations, unless a row says otherwise.

func runClearance(t *testing.T, name, input string) (map[string]any, *Outcome) {
	t.Helper()
	c, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	o, err := c.Run(nil, []byte(input))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return o.Document(say.Style{}, true)["results"].(map[string]any), o
}

func siOf(t *testing.T, v any) float64 {
	t.Helper()
	if m, ok := v.(map[string]any); ok {
		v = m["value"]
	}
	switch n := v.(type) {
	case float64:
		return n
	case int:
		return float64(n)
	}
	t.Fatalf("no number: %v", v)
	return 0
}

func closeTo(t *testing.T, id string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g ± %g", id, got, want, tolerance)
	}
}

func TestChainCalculator(t *testing.T) {
	r, _ := runClearance(t, "chain", `
links:
  - {name: H_c, value: 86.02 mm, u: 0.006 mm, sensitivity: 1}
  - {name: H_r, value: 80.44 mm, u: 0.005 mm, sensitivity: -1}
  - {name: p, value: 6.02 mm, u: 0.006 mm, sensitivity: -1}
  - {name: g, value: 0.57 mm, u: 0.010 mm, sensitivity: 1}
samples: 200000
`)
	value := r["value"].(map[string]any)
	closeTo(t, "value", value["value"].(float64), 0.13e-3, 1e-12)
	closeTo(t, "F02 u", value["u"].(float64), 0.0140357e-3, 0.000014e-3)
	sampled := r["monte_carlo"].(map[string]any)
	closeTo(t, "F04 drawn u", siOf(t, sampled["u"]), 0.014011e-3, 0.00014e-3)
	total := 0.0
	for _, c := range r["contributions"].([]any) {
		total += c.(map[string]any)["share"].(float64)
	}
	closeTo(t, "shares", total, 1, 1e-12)

	// JCGM 101:2008, 9.2.4 (from memory; 17.0158 by Fourier inversion): three
	// rectangular of u 1 and one of u 10, where ±1.96·u is wrong.
	r, o := runClearance(t, "chain", `
links:
  - {name: a, low: -1.7320508, high: 1.7320508}
  - {name: b, low: -1.7320508, high: 1.7320508}
  - {name: c, low: -1.7320508, high: 1.7320508}
  - {name: d, low: -17.320508, high: 17.320508}
samples: 1000000
`)
	closeTo(t, "u", r["value"].(map[string]any)["u"].(float64), 10.1489, 1e-4)
	sampled = r["monte_carlo"].(map[string]any)
	closeTo(t, "interval", siOf(t, sampled["high"]), 17.0158, 0.05)
	closeTo(t, "interval", siOf(t, sampled["low"]), -17.0158, 0.05)
	if o.Status() != StatusDone {
		t.Error("status", o.Status())
	}
}

func TestGasketStackCalculator(t *testing.T) {
	short := strings.NewReplacer("true, stock: 6}\n  - {name: paper 0.25", "true, stock: 0}\n  - {name: paper 0.25",
		"true, stock: 6}\n  - {name: paper 0.40", "true, stock: 1}\n  - {name: paper 0.40", "true, stock: 4", "true, stock: 0",
		"0.005 mm, stock: 6", "0.005 mm, stock: 1", "0.006 mm, stock: 6", "0.006 mm, stock: 2",
		"0.008 mm, stock: 4", "0.008 mm, stock: 0", "0.012 mm, stock: 3", "0.012 mm, stock: 1").Replace(exampleShelf)
	tests := []struct {
		id, input string
		field     string
		want, tol float64
	}{
		{"J02", exampleShelf + "fitted: {paper 0.25: 2, film 0.125: 1}\nfeeler: {goes: 0.10 mm, no_go: 0.13 mm}\nwindow: {low: 0.14 mm, high: 0.20 mm}\n", "pieces", 4, 0},
		{"J04", exampleShelf + "fitted: {paper 0.25: 1, paper 0.40: 1, film 0.05: 1, film 0.125: 2}\nmeasured: 0.31 mm\nu: 0.008 mm\nwindow: {low: 0.18 mm, high: 0.24 mm}\n", "probability", 0.997888, 0.002},
		{"J06", exampleShelf + "fitted: {paper 0.25: 1, paper 0.40: 1, film 0.05: 1, film 0.125: 2}\nmeasured: 0.35 mm\nfloat: 0.04 mm\nu: 0.008 mm\nwindow: {low: 0.18 mm, high: 0.24 mm}\n", "changed", 3, 0},
		{"J08", short + "fitted: {paper 0.15: 2, film 0.125: 1}\nfeeler: {goes: 0.20 mm, no_go: 0.23 mm}\nwindow: {low: 0.26 mm, high: 0.31 mm}\n", "pieces", 4, 0},
		{"J10", exampleShelf + "first: {gap: -0.485 mm, u: 0.012 mm}\nwindow: {low: 0.10 mm, high: 0.16 mm}\n", "probability", 0.893587, 0.002},
		{"J12", exampleShelf + "first: {gap: -0.485 mm, u: 0.012 mm}\nwindow: {low: 0.10 mm, high: 0.16 mm}\n", "changed", 3, 0},
		{"J14", short + "fitted: {paper 0.15: 2}\nmeasured: 0.02 mm\nu: 0.008 mm\nwindow: {low: 0.60 mm, high: 0.64 mm}\n", "pieces", 6, 0},
	}
	for _, tt := range tests {
		r, o := runClearance(t, "gasket-stack", tt.input)
		got := 0.0
		if tt.field == "changed" {
			got = siOf(t, r["added"]) + siOf(t, r["removed"])
		} else {
			got = siOf(t, r[tt.field])
		}
		closeTo(t, tt.id, got, tt.want, tt.tol)
		if len(o.Notes.Cautions) < 3 {
			t.Errorf("%s: the cautions are missing", tt.id)
		}
		// First and last seal: all papers, no film.
		stack := r["stack"].([]any)
		if !strings.HasPrefix(stack[0].(string), "paper") || !strings.HasPrefix(stack[len(stack)-1].(string), "paper") {
			t.Errorf("%s: %v does not seal at both ends", tt.id, stack)
		}
	}
}

func TestGasketStackSaysNo(t *testing.T) {
	r, o := runClearance(t, "gasket-stack", `
kinds:
  - {name: paper, thickness: 0.25 mm, tolerance: 0.02 mm, compression: 0.08, sealing: true, stock: 2}
first: {gap: -0.5 mm, u: 0.01 mm}
window: {low: 0.10 mm, high: 0.16 mm}
`)
	if r["reachable"] != false || o.Status() != StatusNotYet {
		t.Fatalf("%v, status %d", r["reachable"], o.Status())
	}
	if _, there := r["stack"]; there {
		t.Error("a stack is offered although none reaches the window")
	}
	// Two papers give 0.46 mm: the clearance is −0.04, and 0.17 is wanting.
	near := r["nearest"].(map[string]any)
	closeTo(t, "missing", siOf(t, near["missing_gasket"]), 0.17e-3, 1e-9)
	closeTo(t, "misses", siOf(t, near["misses"]), -0.14e-3, 1e-9)
}

func TestGasketStackWarns(t *testing.T) {
	_, o := runClearance(t, "gasket-stack", exampleShelf+"first: {gap: -0.485 mm, u: 0.012 mm}\nwindow: {low: 0.10 mm, high: 0.16 mm}\n")
	text := strings.Join(say.Texts(o.Notes.Warnings, say.Style{}), "\n")
	if !strings.Contains(text, "measure before the shaft is turned") || !strings.Contains(text, "would bring it to 95 %") || !strings.Contains(text, "compression is taken as listed") {
		t.Errorf("warnings: %s", text)
	}
}

func TestClearanceRefusals(t *testing.T) {
	tests := []struct{ name, input, field string }{
		{"chain", "links: []", "links"},
		{"chain", "links: [{name: a, value: 1 mm}]", "links[0].u"},
		{"chain", "links: [{name: a, value: 1 mm, u: 1 bar}]", "links[0].u"},
		{"chain", "links: [{name: a, low: 1 mm}]", "links[0].low"},
		{"chain", "links: [{name: a, value: 3 mm, low: 1 mm, high: 2 mm}]", "links[0].value"},
		{"chain", "links: [{name: a, value: 20 °C, u: 1 K}]", "links[0].value"},
		{"gasket-stack", exampleShelf + "fitted: {felt: 1}\nmeasured: 0.1 mm\nu: 0.01 mm\nwindow: {low: 0.1 mm, high: 0.2 mm}", "fitted.felt"},
		{"gasket-stack", exampleShelf + "measured: 0.1 mm\nwindow: {low: 0.1 mm, high: 0.2 mm}", "u"},
		{"gasket-stack", exampleShelf + "window: {low: 0.1 mm, high: 0.2 mm}", "measured"},
		{"gasket-stack", exampleShelf + "feeler: {goes: 0.1 mm}\nwindow: {low: 0.1 mm, high: 0.2 mm}", "feeler"},
		{"gasket-stack", exampleShelf + "first: {gap: -0.4 mm, u: 0 mm}\nwindow: {low: 0.1 mm, high: 0.2 mm}", "first.u"},
		{"gasket-stack", exampleShelf + "first: {gap: -0.4 mm, u: 0.01 mm}\nfitted: {paper 0.15: 2}\nwindow: {low: 0.1 mm, high: 0.2 mm}", "fitted"},
		{"gasket-stack", exampleShelf + "first: {gap: -0.4 mm, u: 0.01 mm}\nwindow: {low: 0.2 mm, high: 0.1 mm}", "window.low"},
		{"gasket-stack", exampleShelf + "first: {gap: -0.4 mm, u: 0.01 mm}\nmax_pieces: 0\nwindow: {low: 0.1 mm, high: 0.2 mm}", "max_pieces"},
		{"gasket-learn", exampleShelf + "trials: [{counts: {felt: 1}, measured: 0.1 mm, u: 0.01 mm}]", "trials[0].counts.felt"},
		{"gasket-learn", exampleShelf + "trials: [{counts: {paper 0.15: 2}}]", "trials[0].measured"},
		{"housing-turn", "measured: 0.3 mm\nwindow: {low: 0.1 mm, high: 0.2 mm}", "thread_pitch"},
		{"housing-turn", "thread_pitch: 1.5 mm\nnotches: 0\nmeasured: 0.3 mm\nwindow: {low: 0.1 mm, high: 0.2 mm}", "notches"},
	}
	for _, tt := range tests {
		c, err := Find(tt.name)
		if err != nil {
			t.Fatal(err)
		}
		_, err = c.Run(nil, []byte(tt.input))
		if p := say.AsProblem(err); p == nil || p.Field != tt.field {
			t.Errorf("%s: want %s refused, got %v", tt.name, tt.field, err)
		}
	}
}

func TestGasketLearnCalculator(t *testing.T) {
	c, _ := Find("gasket-learn")
	r, _ := runClearance(t, "gasket-learn", c.Example)
	closeTo(t, "J16", siOf(t, r["clearance_without_gaskets"]), -0.460155e-3, 0.002e-3)
	closeTo(t, "J18", siOf(t, r["extra_compression"]), 0.0294849, 0.003)
	if u := r["extra_compression"].(map[string]any)["u"].(float64); !(u > 0 && u < 0.05) {
		t.Errorf("u of the compression: %g", u)
	}
}

func TestHousingTurnCalculator(t *testing.T) {
	c, _ := Find("housing-turn")
	r, o := runClearance(t, "housing-turn", c.Example)
	closeTo(t, "J20", siOf(t, r["notches"]), -2, 0)
	if words := r["direction"].(string); !strings.Contains(words, "clockwise") || !strings.Contains(words, "outer end") {
		t.Error(words)
	}
	if text := strings.Join(say.Texts(o.Notes.Cautions, say.Style{}), "\n"); !strings.Contains(text, "seal") || !strings.Contains(text, "Lock out") {
		t.Errorf("cautions: %s", text)
	}
	// 360° × clearance / pitch, arithmetic of the trade's rule: 16 threads per
	// inch, 0.005 in: 28.8°.
	r, _ = runClearance(t, "housing-turn", "threads_per_inch: 16\nmeasured: 0\nu: 0.0002 in\nwindow: {low: 0.005 in, high: 0.005 in}\n")
	closeTo(t, "angle", siOf(t, r["angle"]), 28.8*math.Pi/180, 1e-9)
	if r["opens"] != true {
		t.Error("it must open")
	}
}
