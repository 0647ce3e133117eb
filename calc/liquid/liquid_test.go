package liquid

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func named(t *testing.T, name string) *Liquid {
	t.Helper()
	l, err := Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func at(t *testing.T, l *Liquid, c float64) *State {
	t.Helper()
	s, err := l.At(celsius(c))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The invented liquids of the demo at the numbers that define them, and the
// light oil and the molasses as an independent prototype (numpy 1.24.2) has
// them.
func TestDemoLiquids(t *testing.T) {
	rows := []struct {
		name                string
		c                   float64
		density, mPas, size float64 // kg/m3, mPa·s, relative tolerance
	}{
		{"demo-water", 20, 998.2, 1.002, 1e-9},
		{"demo-water", 90, 965.3, 0.315, 1e-9},
		{"demo-light-oil", 40, 854.5, 39.307, 1e-4},
		{"demo-light-oil", 90, 823.5, 7.0591, 5e-4},
		{"demo-molasses", 40, 1388, 8000, 1e-9},
		{"demo-molasses", 20, 1400, 27644.9, 1e-6},
	}
	for _, r := range rows {
		s := at(t, named(t, r.name), r.c)
		within(t, r.name+": density", s.Density.SI(), r.density, 1e-9*r.density)
		within(t, r.name+": viscosity", s.Dynamic.SI()*1e3, r.mPas, r.size*r.mPas)
		if s.OutsideRange {
			t.Errorf("%s at %v °C is outside its range: %v", r.name, r.c, s.Warnings)
		}
		if err := s.Working().Check(); err != nil {
			t.Error(err)
		}
	}
	// Invented: μ₀ = 8 exp(−0.062 (T − 40)) Pa·s between the points as well.
	molasses := named(t, "demo-molasses")
	for c := 12.0; c < 80; c += 7 {
		want := 8 * math.Exp(-0.062*(c-40))
		within(t, "molasses", at(t, molasses, c).Dynamic.SI(), want, 1e-4*want)
	}
	form, err := at(t, molasses, 40).CrossForm()
	if err != nil {
		t.Fatal(err)
	}
	if form.Index != 0.85 || form.Bend != 20 || form.HighShear != 0.05 || form.Density != 1388 {
		t.Errorf("Cross form of the molasses: %+v", form)
	}
}

func TestCatalogue(t *testing.T) {
	names := Names()
	if len(names) < 20 {
		t.Fatalf("the list has %d liquids", len(names))
	}
	for _, name := range names {
		l := named(t, name)
		if l.Source == "" || l.Source == "entered" {
			t.Errorf("%s names no source", name)
		}
		if l.Typical == l.Invented && l.Family != IsWater {
			t.Errorf("%s must be marked either typical or invented", name)
		}
		low, high := l.Range()
		before := math.Inf(1)
		for share := 0.0; share <= 1; share += 0.1 {
			s, err := l.At(low + quantity.Temperature(share)*(high-low))
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if s.Kinematic.SI() >= before {
				t.Errorf("%s: the viscosity does not fall at %v", name, s.Temperature)
			}
			before = s.Kinematic.SI()
			if !(s.Density > 500 && s.Density < 1500) {
				t.Errorf("%s: density %v", name, s.Density)
			}
		}
	}
	if _, err := Named("nothing"); err == nil {
		t.Error("an unknown liquid was found")
	}
}

// Values printed in other tables than the ones the list was made from.
func TestTypicalAgainstOtherTables(t *testing.T) {
	rows := []struct {
		name, source string
		c            float64
		mPas         float64
		density      float64
		tolerance    float64
	}{
		{"glycerol", "Segur and Oberstar, Ind. Eng. Chem. 43 (1951) 2117, from memory", 20, 1410, 1261, 0.03},
		{"ethylene-glycol", "CRC Handbook of Chemistry and Physics, from memory", 25, 16.1, 1110, 0.08},
		{"toluene", "CRC Handbook of Chemistry and Physics, from memory", 25, 0.560, 862, 0.02},
		{"ethanol", "CRC Handbook of Chemistry and Physics, from memory", 25, 1.074, 785, 0.02},
		{"water", "CRC Handbook of Chemistry and Physics, from memory", 25, 0.890, 997, 0.001},
	}
	for _, r := range rows {
		s := at(t, named(t, r.name), r.c)
		within(t, r.source+": "+r.name, s.Dynamic.SI()*1e3, r.mPas, r.tolerance*r.mPas)
		within(t, r.source+": "+r.name, s.Density.SI(), r.density, 0.005*r.density)
	}
}

// Water, glycols, syrups and silicones must not be put through ASTM D341
// (scope of the standard); nothing is given outside their points.
func TestOtherIsNotExtended(t *testing.T) {
	for _, name := range []string{"demo-water", "demo-molasses", "ethylene-glycol", "glycerol", "sucrose-60"} {
		l := named(t, name)
		if l.Line() != nil {
			t.Errorf("%s has a line of ASTM D341", name)
		}
		low, high := l.Range()
		for _, outside := range []quantity.Temperature{low - 5, high + 5} {
			_, err := l.At(outside)
			if p := say.AsProblem(err); p == nil || p.Field != "temperature" {
				t.Errorf("%s at %v: %v", name, outside, err)
			}
		}
	}
}

func TestLimitsAreSaid(t *testing.T) {
	oil := named(t, "demo-light-oil")
	for _, r := range []struct {
		c       float64
		ids     []string
		outside bool
	}{
		{60, nil, false},
		{20, []string{"liquid.extended"}, false},
		{-12, []string{"liquid.extended", "liquid.near_pour"}, false},
		{-25, []string{"liquid.extended", "liquid.below_pour"}, true},
	} {
		s := at(t, oil, r.c)
		have := map[string]bool{}
		for _, w := range s.Warnings {
			have[w.ID()] = true
		}
		for _, id := range r.ids {
			if !have[id] {
				t.Errorf("%v °C: %s is not said: %v", r.c, id, s.Warnings)
			}
		}
		if s.OutsideRange != r.outside {
			t.Errorf("%v °C: outside range %v", r.c, s.OutsideRange)
		}
	}
	glycol := named(t, "propylene-glycol")
	hot := *glycol.BoilingPoint
	if hot < celsius(180) || hot > celsius(195) {
		t.Errorf("propylene glycol boils at %v", hot)
	}
	if s := at(t, named(t, "oil-iso-vg-46"), 100); s.VaporPressure != nil {
		t.Error("an oil without points has a vapour pressure")
	}
	if s := at(t, oil, 100); !s.Lubricates {
		t.Error("oil of 6.8 mm²/s must lubricate")
	}
	if s := at(t, named(t, "oil-iso-vg-22"), 160); s.Lubricates {
		t.Errorf("oil of %v must not count as a lubricant", s.Kinematic)
	}
}

func TestVaporPressure(t *testing.T) {
	s := at(t, named(t, "demo-water"), 70)
	if s.VaporPressure == nil {
		t.Fatal("not known")
	}
	within(t, "IAPWS-IF97 region 4 at 70 °C: 31.20 kPa", s.VaporPressure.SI()/1e3, 31.20, 0.1)
	s = at(t, named(t, "ethanol"), 25)
	within(t, "ethanol at 25 °C: 7.87 kPa, CRC Handbook of Chemistry and Physics", s.VaporPressure.SI()/1e3, 7.87, 0.1)
}

func TestShear(t *testing.T) {
	text := `
name: paste
family: other
density: 1000 kg/m3
density_temperature: 20 °C
points: [{temperature: 20 °C, viscosity: 40 Pa·s}, {temperature: 60 °C, viscosity: 10 Pa·s}]
shear: {model: power-law, n: 0.5, consistency: 12}
`
	l, err := Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	// μ = K γ^(n−1) = 12·100^(−0.5) = 1.2 Pa·s, by hand; a quarter of it at 60 °C.
	for c, want := range map[float64]float64{20: 1.2, 60: 0.3} {
		s := at(t, l, c)
		mu, err := s.Apparent(100)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "power law", mu.SI(), want, 1e-9)
		form, err := s.CrossForm()
		if err != nil {
			t.Fatal(err)
		}
		shear := Shear{Model: Cross, Index: form.Index, Bend: form.Bend, HighShear: form.HighShear}
		within(t, "power law in the Cross form", shear.viscosity(form.AtRest.SI(), 1, 100), want, 2e-6*want)
	}
	// Cross at its bend: halfway between rest and high shear, by definition.
	molasses := at(t, named(t, "demo-molasses"), 40)
	mu, err := molasses.Apparent(20)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "Cross at the bend", mu.SI(), 0.05+(8-0.05)/2, 1e-9)
	carreau := Shear{Model: Carreau, Index: 0.4, Bend: 10, HighShear: 0.1}
	// Carreau at its bend: μ_∞ + (μ₀ − μ_∞)·2^((n−1)/2), by definition.
	within(t, "Carreau at the bend", carreau.viscosity(5, 1, 10), 0.1+4.9*math.Pow(2, -0.3), 1e-12)
	if _, err := molasses.Apparent(0); err == nil {
		t.Error("a shear rate of 0 was taken")
	}
	if _, err := carreau.crossForm(1000, 5, 1); err == nil {
		t.Error("Carreau went into the Cross form")
	}
}

// Law: points made from a model are fitted by that model.
func TestFitShearFindsItsOwn(t *testing.T) {
	for _, model := range []Model{PowerLaw, Cross, Carreau} {
		rapid.Check(t, func(t *rapid.T) {
			want := Shear{Model: model, Index: rapid.Float64Range(0.2, 0.9).Draw(t, "n"), Consistency: 3,
				Bend: quantity.ShearRate(rapid.Float64Range(2, 50).Draw(t, "bend")), HighShear: 0.02}
			var points []ShearPoint
			for rate := 0.05; rate < 1e5; rate *= 3 {
				points = append(points, ShearPoint{quantity.ShearRate(rate), quantity.DynamicViscosity(want.viscosity(8, 1, rate))})
			}
			got, atRest, rms, err := FitShear(model, points)
			if err != nil {
				t.Fatal(err)
			}
			if rms > 1e-3 {
				t.Fatalf("%s: rms %v, got %+v, want %+v", model, rms, got, want)
			}
			if math.Abs(got.Index-want.Index) > 0.02 {
				t.Fatalf("%s: n %v, want %v", model, got.Index, want.Index)
			}
			if model != PowerLaw && math.Abs(atRest.SI()/8-1) > 0.05 {
				t.Fatalf("%s: at rest %v", model, atRest)
			}
		})
	}
}

func TestFitShearRefuses(t *testing.T) {
	flat := []ShearPoint{{1, 2}, {10, 2}, {100, 2}, {1000, 2}}
	rising := []ShearPoint{{1, 1}, {10, 20}, {100, 400}}
	for name, r := range map[string]struct {
		model  Model
		points []ShearPoint
	}{
		"few":         {Cross, flat[:3]},
		"flat":        {Cross, flat},
		"one":         {PowerLaw, flat[:1]},
		"same rate":   {PowerLaw, []ShearPoint{{1, 2}, {1, 3}}},
		"steep":       {PowerLaw, rising},
		"no model":    {"herschel", flat},
		"rate of 0":   {PowerLaw, []ShearPoint{{0, 2}, {1, 3}}},
		"no number":   {PowerLaw, []ShearPoint{{1, 2}, {2, quantity.DynamicViscosity(math.NaN())}}},
		"thickening ": {Carreau, []ShearPoint{{1, 1}, {10, 2}, {100, 4}, {1000, 8}}},
	} {
		if s, _, _, err := FitShear(r.model, r.points); err == nil {
			t.Errorf("%s: got %+v", name, s)
		}
	}
}

func TestBlend(t *testing.T) {
	oil := func(name string, cold, hot float64) *Liquid {
		l, err := New(Liquid{Name: name, Family: Petroleum, Points: []Point{{celsius(40), cSt(cold)}, {celsius(100), cSt(hot)}},
			Density: []DensityPoint{{celsius(15), 870}}, DensitySlope: -0.62})
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	thick, thin := oil("thick", 100, 11), oil("thin", 10, 2.6)
	half, err := Blend("half", thick, thin, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	// Refutas' blending number 14.534 ln ln(ν + 0.8) + 10.975 (from memory)
	// gives 26.66 mm²/s for equal parts of 100 and 10 mm²/s.
	within(t, "Refutas", at(t, half, 40).Kinematic.SI()*1e6, 26.66, 0.3)
	for share, want := range map[float64]*Liquid{0: thin, 1: thick} {
		end, err := Blend("end", thick, thin, share)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "pure", at(t, end, 60).Kinematic.SI(), at(t, want, 60).Kinematic.SI(), 1e-3*at(t, want, 60).Kinematic.SI())
	}
	if _, err := Blend("bad", thick, named(t, "water"), 0.5); err == nil {
		t.Error("oil was blended with water")
	}
	if _, err := Blend("bad", thick, thin, 1.2); err == nil {
		t.Error("a share of 1.2 was taken")
	}
}

func TestDensity(t *testing.T) {
	l, err := New(Liquid{Name: "x", Family: Other, Points: []Point{{celsius(15), cSt(100)}, {celsius(65), cSt(10)}},
		Density: []DensityPoint{{celsius(15), 900}}, DensityExpansion: 7e-4})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "by expansion, by hand", at(t, l, 65).Density.SI(), 900/1.035, 1e-9)
	held, err := New(Liquid{Name: "x", Family: Other, Points: l.Points, Density: l.Density})
	if err != nil {
		t.Fatal(err)
	}
	s := at(t, held, 65)
	if s.Density != 900 || len(s.Warnings) != 1 || s.Warnings[0].ID() != "liquid.density_held" {
		t.Errorf("density %v, %v", s.Density, s.Warnings)
	}
}

func TestParseRefuses(t *testing.T) {
	const good = `
name: my-oil
family: petroleum
density: 870 kg/m3
density_temperature: 15 °C
density_slope: -0.62 kg/m3/K
points:
  - {temperature: 40 °C, viscosity: 46 cSt}
  - {temperature: 100 °C, viscosity: 6.8 cSt}
`
	if _, err := Parse([]byte(good)); err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct{ old, new, field string }{
		{"name: my-oil", "", "name"},
		{"petroleum", "mineral", "family"},
		{"870 kg/m3", "870", "density"},
		{"870 kg/m3", "870 mm", "density"},
		{"46 cSt", "46", "points[0].viscosity"},
		{"viscosity: 6.8 cSt", "visc: 6.8 cSt", "points[1].viscosity"},
		{"6.8 cSt}", "6.8 cSt, note: x}", "points[1].note"},
		{"6.8 cSt", "-6.8 cSt", "points[1].viscosity"},
		{"name: my-oil", "name: my-oil\ncolour: red", "colour"},
		{"name: my-oil", "name: my-oil\nlubricates: perhaps", "lubricates"},
		{"name: my-oil", "name: my-oil\nvapor_pressure: [{temperature: 20 °C, pressure: 1 kg}]", "vapor_pressure[0].pressure"},
		{"name: my-oil", "name: my-oil\nsolids: {size: 0 mm}", "solids.size"},
		{"name: my-oil", "name: my-oil\nshear: {model: cross, n: 1.5, gamma_0: 3 1/s}", "shear.n"},
		{"name: my-oil", "name: my-oil\nshear: {model: jelly}", "shear.model"},
		{"name: my-oil", "name: my-oil\niso_vg: 46", "iso_vg"},
		{"density_temperature: 15 °C", "", "density_temperature"},
		{"points:", "points: 3\nmore:", "points"},
	} {
		text := strings.Replace(good, r.old, r.new, 1)
		_, err := Parse([]byte(text))
		if p := say.AsProblem(err); p == nil || p.Field != r.field {
			t.Errorf("%s → %s: got %v, want a problem of %s", r.old, r.new, err, r.field)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte("name: x\nfamily: petroleum\niso_vg: 46\nviscosity_index: 95\ndensity: 870 kg/m3\ndensity_temperature: 15 °C\n"))
	f.Add([]byte("name: x\nfamily: other\npoints: [{temperature: 20 °C, viscosity: 3 Pa·s}]\ndensity_points: [{temperature: 1 °C, density: 1 kg/m3}]"))
	f.Add([]byte("{"))
	f.Fuzz(func(t *testing.T, text []byte) {
		l, err := Parse(text)
		if err != nil {
			return
		}
		low, high := l.Range()
		for _, at := range []quantity.Temperature{low, 0.5 * (low + high), high, high + 30} {
			s, err := l.At(at)
			if err == nil && !(s.Density > 0 && s.Dynamic > 0) {
				t.Fatalf("%v: %v %v", at, s.Density, s.Dynamic)
			}
		}
	})
}
