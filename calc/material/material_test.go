package material

import (
	"math"
	"strings"
	"testing"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Published ranges of expansion, modulus, Poisson's ratio and PV limit. The
// value that ships must lie inside [low, high].
var published = []struct {
	material  string
	property  string
	low, high float64 // 1e-6/K, GPa, plain, MPa·m/s
	source    string
}{
	{"grey iron", "expansion", 11.4, 11.4, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"grey iron G1800", "expansion", 11.4, 11.4, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"grey iron G3000", "expansion", 11.4, 11.4, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"grey iron G4000", "expansion", 11.4, 11.4, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"ductile iron 60-40-18", "expansion", 11.2, 11.2, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"steel 1020", "expansion", 11.7, 11.7, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"A36", "expansion", 11.7, 11.7, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"4140 steel", "expansion", 12.3, 12.3, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"304 stainless", "expansion", 17.2, 17.2, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"316 stainless", "expansion", 15.9, 16.0, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"C93200", "expansion", 18.0, 18.0, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"silicon carbide, sintered", "expansion", 3.6, 4.6, "Callister, Fundamentals 3rd ed., Table B.6 (4.1 ± 0.5)"},
	{"silicon carbide, reaction bonded", "expansion", 3.5, 4.5, "The Tribology Handbook, Table 24.5 (4 ± 0.5)"},
	{"tungsten carbide", "expansion", 4.5, 5.5, "The Tribology Handbook, Table 24.5 (5 ± 0.5)"},
	{"carbon graphite, resin impregnated", "expansion", 4, 6, "The Tribology Handbook, Table 24.5 (5 ± 1)"},
	{"carbon graphite", "expansion", 2.5, 5.0, "The Tribology Handbook, rubbing bearing table, plain"},
	{"carbon graphite, metal impregnated", "expansion", 4.2, 5.0, "The Tribology Handbook, rubbing bearing table, metal impregnated"},
	{"alumina", "expansion", 7, 9, "The Tribology Handbook, Table 24.5 (8 ± 1)"},
	{"PTFE", "expansion", 126, 216, "Callister, Fundamentals 3rd ed., Table B.6"},
	{"alloy 400", "expansion", 13.9, 13.9, "Callister, Fundamentals 3rd ed., Table B.6"},

	{"carbon steel", "modulus", 207 * 0.97, 207 * 1.03, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"4140", "modulus", 207 * 0.97, 207 * 1.03, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"316", "modulus", 193 * 0.97, 193 * 1.03, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"304", "modulus", 193 * 0.97, 193 * 1.03, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"G3000", "modulus", 90, 113, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"G1800", "modulus", 66, 97, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"60-40-18", "modulus", 169 * 0.97, 169 * 1.03, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"class 30", "modulus", 95, 105, "table of moduli of irons by class, 14.5e6 psi ± 5 %"},
	{"bronze", "modulus", 96, 120, "Gere, table of moduli"},
	{"sintered SiC", "modulus", 207, 483, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"isostatic graphite", "modulus", 11.7 * 0.9, 11.7 * 1.1, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"carbon graphite 70/30", "modulus", 17 * 0.8, 17 * 1.2, "table of properties of carbon and graphite"},
	{"carbon graphite 30/70", "modulus", 14 * 0.8, 14 * 1.2, "table of properties of carbon and graphite"},
	{"PTFE", "modulus", 0.40, 0.55, "Callister, Fundamentals 3rd ed., Table B.2"},
	{"tungsten carbide", "modulus", 600, 650, "hard-metal handbooks, from memory"},

	{"grey iron", "poisson", 0.20, 0.27, "table of Poisson's ratios (0.211); Callister Table B.3 (0.26) from memory"},
	{"ductile iron", "poisson", 0.26, 0.31, "table of Poisson's ratios"},
	{"mild steel", "poisson", 0.28, 0.31, "table of Poisson's ratios (0.303)"},
	{"bronze", "poisson", 0.32, 0.36, "table of Poisson's ratios (0.34 ± 0.02)"},
	{"PTFE", "poisson", 0.45, 0.47, "Callister, Materials Science 8th ed., Table B.3"},
	{"carbon graphite", "poisson", 0.15, 0.25, "from memory"},
	{"tungsten carbide", "poisson", 0.19, 0.25, "from memory"},

	{"manganese bronze C86200", "pv", 5.250, 5.250, "Mott, Machine Elements in Mechanical Design, Table 16-1"},
	{"SAE 660", "pv", 2.625, 2.625, "Mott, Machine Elements in Mechanical Design, Table 16-1"},
	{"porous bronze", "pv", 1.750, 1.750, "Mott, Machine Elements in Mechanical Design, Table 16-1"},
	{"metallized graphite", "pv", 0.525, 0.525, "Mott, Machine Elements in Mechanical Design, Table 16-1"},
	{"carbon graphite", "pv", 0.11, 0.11, "The Tribology Handbook, rubbing bearing table, dry, continuous"},
	{"graphite impregnated metal", "pv", 0.28, 0.35, "The Tribology Handbook, rubbing bearing table"},
	{"grey iron", "pv", 1.75 * 0.7, 1.75 * 1.3, "bearing tables (50 000 psi ft/min), from memory"},
	{"grey iron", "contact", 0, 4, "bearing tables, from memory"},
	{"carbon graphite", "contact", 1.4, 2.0, "The Tribology Handbook, rubbing bearing table"},
}

func TestPublishedValues(t *testing.T) {
	for _, row := range published {
		m, err := Find(row.material)
		if err != nil {
			t.Errorf("%s: %v", row.material, err)
			continue
		}
		var got float64
		switch row.property {
		case "expansion":
			got = float64(m.Expansion.Value) * 1e6
		case "modulus":
			got = float64(m.YoungsModulus.Value) / 1e9
		case "poisson":
			got = m.Poisson.Value
		case "pv":
			got = float64(m.PVLimit.Value) / 1e6
		case "contact":
			got = float64(m.ContactLimit.Value) / 1e6
		}
		if got < row.low*(1-1e-9) || got > row.high*(1+1e-9) || got == 0 {
			t.Errorf("%s %s = %g, want %g … %g (%s)", row.material, row.property, got, row.low, row.high, row.source)
		}
	}
}

// 1 MPa·m/s = 28 551 psi·ft/min; 75 000 psi·ft/min is printed as 2.625 MPa·m/s
// (Mott, Table 16-1, rounded to 35 Pa·m/s a psi·ft/min).
func TestPVUnits(t *testing.T) {
	m, err := Find("bearing bronze")
	if err != nil {
		t.Fatal(err)
	}
	got, err := quantity.In(m.PVLimit.Value, "psi·ft/min")
	if err != nil || math.Abs(got-75000) > 0.002*75000 {
		t.Errorf("PV limit is %g psi·ft/min (%v), want 75 000", got, err)
	}
}

func TestEveryMaterial(t *testing.T) {
	seen := map[string]string{}
	for _, m := range All() {
		for _, name := range append([]string{m.ID, m.Name}, m.Aliases...) {
			key := normalise(name)
			if other, used := seen[key]; used && other != m.ID {
				t.Errorf("“%s” names both %s and %s", name, other, m.ID)
			}
			seen[key] = m.ID
			if found, err := Find(strings.ToUpper(name)); err != nil || found.ID != m.ID {
				t.Errorf("Find(%q) = %s, %v", name, found.ID, err)
			}
		}
		for property, p := range map[string][4]any{
			"modulus":     {float64(m.YoungsModulus.Low), float64(m.YoungsModulus.Value), float64(m.YoungsModulus.High), m.YoungsModulus.Source},
			"poisson":     {m.Poisson.Low, m.Poisson.Value, m.Poisson.High, m.Poisson.Source},
			"expansion":   {float64(m.Expansion.Low), float64(m.Expansion.Value), float64(m.Expansion.High), m.Expansion.Source},
			"compressive": {float64(m.CompressiveStrength.Low), float64(m.CompressiveStrength.Value), float64(m.CompressiveStrength.High), m.CompressiveStrength.Source},
			"tensile":     {float64(m.TensileStrength.Low), float64(m.TensileStrength.Value), float64(m.TensileStrength.High), m.TensileStrength.Source},
			"pv":          {float64(m.PVLimit.Low), float64(m.PVLimit.Value), float64(m.PVLimit.High), m.PVLimit.Source},
			"contact":     {float64(m.ContactLimit.Low), float64(m.ContactLimit.Value), float64(m.ContactLimit.High), m.ContactLimit.Source},
		} {
			low, value, high := p[0].(float64), p[1].(float64), p[2].(float64)
			if p[3] == "" {
				if value != 0 {
					t.Errorf("%s %s has no source", m.ID, property)
				}
				continue
			}
			if !(0 < low && low <= value && value <= high) {
				t.Errorf("%s %s: %g is not within %g … %g", m.ID, property, value, low, high)
			}
		}
		if !m.YoungsModulus.Known() && !m.PVLimit.Known() {
			t.Errorf("%s says nothing", m.ID)
		}
	}
}

func TestNamesThatAreRefused(t *testing.T) {
	cases := []struct{ name, wants string }{
		{"gray irn", "grey iron"},
		{"bronse", "bearing bronze"},
		{"carbon grafite", "carbon graphite"},
		{"stainless", "316 stainless"},
		{"SiC", "reaction bonded"},
		{"unobtainium", "the materials are"},
		{"", "the materials are"},
	}
	for _, c := range cases {
		_, err := Find(c.name)
		p := say.AsProblem(err)
		if p == nil || !strings.Contains(p.Error(), c.wants) {
			t.Errorf("Find(%q): %v, want a Problem with %q", c.name, err, c.wants)
		}
	}
}

func TestOwn(t *testing.T) {
	modulus, poisson, expansion := quantity.Stress(2e11), 0.3, quantity.Expansion(11e-6)
	m, err := Own(Given{YoungsModulus: &modulus, Poisson: &poisson, Expansion: &expansion})
	if err != nil || m.YoungsModulus.Value != modulus || m.Poisson.Value != poisson || m.Expansion.Value != expansion {
		t.Fatalf("%+v, %v", m, err)
	}
	if _, _, err := m.Elastic(); err != nil {
		t.Error(err)
	}
	bare, err := Own(Given{Expansion: &expansion})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := bare.Elastic(); say.AsProblem(err) == nil || say.AsProblem(err).Field != "youngs_modulus" {
		t.Errorf("missing modulus: %v", err)
	}
	nan, negative, half, huge := quantity.Stress(math.NaN()), quantity.Stress(-1), 0.5, quantity.Expansion(1)
	for _, c := range []struct {
		given Given
		field string
	}{
		{Given{YoungsModulus: &nan}, "youngs_modulus"},
		{Given{YoungsModulus: &negative}, "youngs_modulus"},
		{Given{Poisson: &half}, "poisson"},
		{Given{Expansion: &huge}, "expansion"},
		{Given{TensileStrength: &negative}, "tensile_strength"},
		{Given{CompressiveStrength: &nan}, "compressive_strength"},
	} {
		_, err := Own(c.given)
		if p := say.AsProblem(err); p == nil || p.Field != c.field {
			t.Errorf("%s: %v", c.field, err)
		}
	}
}
