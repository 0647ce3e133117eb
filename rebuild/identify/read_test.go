package identify

import (
	"math"
	"testing"

	"pumpwright/calc/say"
)

// Sizes, counts and looks as people type them; 1 in = 25.4 mm (ISO 80000-3).
func TestRead(t *testing.T) {
	byID := map[string]*What{}
	whats := Whats()
	for i := range whats {
		byID[whats[i].ID] = &whats[i]
	}
	for _, c := range []struct {
		what, text, unit string
		value, u         float64
		word             string
	}{
		{"suction_port", "79 mm", "mm", 0.079, 0, ""},
		{"suction_port", "79", "mm", 0.079, 0, ""},
		{"suction_port", "3", "in", 0.0762, 0, ""},
		{"suction_port", "3 1/8 in", "mm", 0.079375, 0, ""},
		{"suction_port", "79 ± 1 mm", "in", 0.079, 0.001, ""},
		{"suction_port", "79 mm +- 1 mm", "in", 0.079, 0.001, ""},
		{"suction_port", "3 ± 0.05", "in", 0.0762, 0.00127, ""},
		{"mass", "62 kg", "mm", 62, 0, ""},
		{"bolt_count", "8", "mm", 8, 0, ""},
		{"relief_valve", "casing", "mm", 0, 0, "casing"},
	} {
		m, err := byID[c.what].Read(c.text, c.unit)
		if err != nil || math.Abs(m.Value-c.value) > 1e-12 || math.Abs(m.U-c.u) > 1e-12 || m.Word != c.word {
			t.Errorf("%s %q: %+v, %v", c.what, c.text, m, err)
		}
	}
	for _, c := range [][2]string{{"suction_port", "wide"}, {"suction_port", "79 kg"}, {"suction_port", "79 ± some mm"}, {"bolt_count", "a few"}} {
		if _, err := byID[c[0]].Read(c[1], "mm"); say.AsProblem(err) == nil || say.AsProblem(err).Field != c[0] {
			t.Errorf("%s %q: %v", c[0], c[1], err)
		}
	}
}
