package identify

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/sheet"
)

func demos(t testing.TB) []*sheet.Sheet {
	t.Helper()
	var list []*sheet.Sheet
	for _, name := range sheet.DemoNames() {
		s, err := sheet.Demo(name)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, s)
	}
	return list
}

func bolts(name string, count int) *sheet.Sheet {
	return &sheet.Sheet{Name: name, Fasteners: []sheet.Fastener{{ID: "head-bolts", Count: count}}}
}

func rank(t testing.TB, in Input) *Result {
	t.Helper()
	r, err := Rank(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The weights of the rule are moments of a standard normal: 1, 1, 3, 15, 105,
// 945, 10395. Source: definition; the rule is exact to degree 13.
func TestHermite(t *testing.T) {
	for k, want := range []float64{1, 1, 3, 15, 105, 945, 10395} {
		sum := 0.0
		for _, n := range hermite {
			sum += n[1] * math.Pow(n[0], float64(2*k))
		}
		if math.Abs(sum-want) > 1e-9*want {
			t.Errorf("moment %d: %v, want %v", 2*k, sum, want)
		}
	}
}

// Two sheets that differ in their bolts, eight counted. By hand from Bayes'
// rule: 0.45·0.97 to 0.45·0.01/30 to 0.1/30.
func TestByHand(t *testing.T) {
	r := rank(t, Input{Sheets: []*sheet.Sheet{bolts("a", 12), bolts("b", 8)}, Measured: []Measurement{{What: "bolt_count", Value: 8}}})
	total := 0.45*0.97 + 0.45*0.01/30 + 0.1/30
	if r.Candidates[0].Sheet.Name != "b" || math.Abs(r.Candidates[0].Probability-0.45*0.97/total) > 1e-12 || math.Abs(r.None-0.1/30/total) > 1e-12 {
		t.Errorf("%v, none %v", r.Candidates, r.None)
	}
	// A tenth of all pumps are of the first sheet, the rest of the second.
	r = rank(t, Input{Sheets: []*sheet.Sheet{bolts("a", 12), bolts("b", 12)}, Prior: map[string]float64{"b": 9}})
	if math.Abs(r.Candidates[0].Probability-0.81) > 1e-12 || len(r.Warnings) == 0 {
		t.Errorf("%v", r.Candidates)
	}
	// Entropy of 0.81, 0.09, 0.1 by its definition.
	want := -(0.81*math.Log2(0.81) + 0.09*math.Log2(0.09) + 0.1*math.Log2(0.1))
	if math.Abs(r.Entropy-want) > 1e-12 {
		t.Errorf("entropy %v, want %v", r.Entropy, want)
	}
}

// The invented pumps are told apart by a worn shaft, a port, a bolt circle.
func TestDemos(t *testing.T) {
	for _, c := range []struct {
		name     string
		measured []Measurement
		want     string
	}{
		{"worn rotor of the middle pump", []Measurement{{What: "rotor_diameter", Value: 159.8e-3, U: 0.02e-3}}, "demo-pump-m"},
		{"ports and bolts", []Measurement{{What: "suction_port", Value: 79e-3}, {What: "bolt_circle", Value: 209.5e-3}, {What: "bolt_count", Value: 8}}, "demo-pump-m"},
		{"large port", []Measurement{{What: "discharge_port", Value: 152e-3}, {What: "shaft_seal", Word: "packing"}}, "demo-pump-l"},
		{"mass", []Measurement{{What: "mass", Value: 90}, {What: "suction_port", Value: 81e-3}}, "demo-pump-m"},
	} {
		r := rank(t, Input{Sheets: demos(t), Measured: c.measured})
		if r.Candidates[0].Sheet.Name != c.want || r.Candidates[0].Probability < 0.9 {
			t.Errorf("%s: %s with %v", c.name, r.Candidates[0].Sheet.Name, r.Candidates[0].Probability)
		}
	}
	r := rank(t, Input{Sheets: demos(t), Measured: []Measurement{{What: "rotor_diameter", Value: 230e-3}, {What: "suction_port", Value: 112e-3}, {What: "bolt_count", Value: 10}}})
	if !(r.None > 0.95) || !r.Settled || !strings.Contains(r.Says[0].String(), "none of the sheets") {
		t.Errorf("a pump of no sheet: none %v, %v", r.None, r.Says)
	}
}

// What does not fit the leading sheet is said.
func TestMisfits(t *testing.T) {
	r := rank(t, Input{Sheets: demos(t), Measured: []Measurement{{What: "rotor_diameter", Value: 160e-3}, {What: "casing_bore", Value: 160.3e-3}, {What: "bolt_circle", Value: 210e-3}, {What: "bolt_count", Value: 6}, {What: "jacketed", Word: "yes"}, {What: "casing_length", Value: 140e-3}}})
	if r.Candidates[0].Sheet.Name != "demo-pump-m" {
		t.Fatalf("%s", r.Candidates[0].Sheet.Name)
	}
	for _, words := range []string{"bolts of the head does not fit", "jacket does not fit", "length of the casing"} {
		found := false
		for _, w := range r.Warnings {
			found = found || strings.Contains(w.String(), words)
		}
		if !found {
			t.Errorf("%q is not said: %v", words, r.Warnings)
		}
	}
}

func TestRefusals(t *testing.T) {
	good := demos(t)
	half := 1.0
	for _, c := range []struct {
		name, field string
		in          Input
	}{
		{"no sheets", "sheets", Input{}},
		{"twice", "sheets[1]", Input{Sheets: []*sheet.Sheet{bolts("a", 8), bolts("a", 8)}}},
		{"unknown", "measured[0].what", Input{Sheets: good, Measured: []Measurement{{What: "colour", Value: 1}}}},
		{"again", "measured[1].what", Input{Sheets: good, Measured: []Measurement{{What: "bolt_count", Value: 8}, {What: "bolt_count", Value: 8}}}},
		{"not whole", "measured[0].value", Input{Sheets: good, Measured: []Measurement{{What: "bolt_count", Value: 7.5}}}},
		{"zero", "measured[0].value", Input{Sheets: good, Measured: []Measurement{{What: "shaft", Value: 0}}}},
		{"no number", "measured[0].value", Input{Sheets: good, Measured: []Measurement{{What: "shaft", Value: math.NaN()}}}},
		{"uncertainty", "measured[0].u", Input{Sheets: good, Measured: []Measurement{{What: "shaft", Value: 0.04, U: -1}}}},
		{"word", "measured[0].value", Input{Sheets: good, Measured: []Measurement{{What: "shaft_seal", Word: "cork"}}}},
		{"none", "none", Input{Sheets: good, None: &half}},
		{"prior", "prior.demo-pump-m", Input{Sheets: good, Prior: map[string]float64{"demo-pump-m": 0}}},
	} {
		_, err := Rank(c.in)
		if p := say.AsProblem(err); p == nil || p.Field != c.field {
			t.Errorf("%s: %v, want a refusal of %s", c.name, err, c.field)
		}
	}
}

// The expected fall of entropy against a long draw of what would be measured.
// Source: definition, by Monte Carlo.
func TestGain(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	a, b, c := bolts("a", 8), bolts("b", 8), bolts("c", 12)
	for i, s := range []*sheet.Sheet{a, b, c} {
		diameter := []float64{100e-3, 112e-3, 104e-3}[i]
		s.Rating.SuctionPort = &sheet.Number[quantity.Length]{}
		s.Rating.SuctionPort.Value = quantity.Length(diameter)
	}
	in := Input{Sheets: []*sheet.Sheet{a, b, c}}
	whats := Whats()
	m := newModel(in, whats)
	p := normalised(m.start())
	w := m.byID["suction_port"]
	const draws = 40000
	after := 0.0
	for range draws {
		pick := random.Float64()
		at := 0
		for pick > p[at] && at < len(p)-1 {
			pick -= p[at]
			at++
		}
		k := Measurement{What: w.ID}
		if at < 3 {
			nominal := *m.says[w.ID][at]
			k.Value = nominal + random.NormFloat64()*w.sd(nominal, 0)
		} else {
			middle := math.Sqrt(100e-3 * 112e-3)
			k.Value = middle / math.Sqrt(noneFactor) * math.Pow(noneFactor, random.Float64())
		}
		log := m.start()
		for i := range log {
			log[i] += math.Log(m.likelihood(w, i, k))
		}
		after += entropy(normalised(log))
	}
	want := entropy(p) - after/draws
	if got := m.gain(w, p); math.Abs(got-want) > 0.03 {
		t.Errorf("gain %v, drawn %v", got, want)
	}
	// The bolts tell the third from the first two, and nothing else.
	if got := m.gain(m.byID["bolt_count"], p); !(got > 0.7 && got < entropy(p)) {
		t.Errorf("gain of the bolts %v of %v", got, entropy(p))
	}
}

// Chances add to one, and neither the order of sheets nor of measurements
// changes them.
func TestOrder(t *testing.T) {
	sheets := demos(t)
	rapid.Check(t, func(t *rapid.T) {
		measured := []Measurement{
			{What: "suction_port", Value: rapid.Float64Range(20e-3, 200e-3).Draw(t, "port")},
			{What: "bolt_count", Value: float64(rapid.IntRange(4, 16).Draw(t, "bolts"))},
			{What: "shaft", Value: rapid.Float64Range(10e-3, 90e-3).Draw(t, "shaft"), U: rapid.Float64Range(0, 1e-3).Draw(t, "u")},
			{What: "relief_valve", Word: rapid.SampledFrom([]string{"none", "head", "casing"}).Draw(t, "valve")},
		}
		first, err := Rank(Input{Sheets: sheets, Measured: measured})
		if err != nil {
			t.Fatal(err)
		}
		turned := []*sheet.Sheet{sheets[2], sheets[0], sheets[1]}
		again, err := Rank(Input{Sheets: turned, Measured: []Measurement{measured[3], measured[1], measured[0], measured[2]}})
		if err != nil {
			t.Fatal(err)
		}
		sum := first.None
		chance := map[string]float64{}
		for _, c := range first.Candidates {
			sum += c.Probability
			chance[c.Sheet.Name] = c.Probability
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Fatalf("chances add to %v", sum)
		}
		for _, c := range again.Candidates {
			if math.Abs(c.Probability-chance[c.Sheet.Name]) > 1e-9 {
				t.Fatalf("%s: %v, then %v", c.Sheet.Name, chance[c.Sheet.Name], c.Probability)
			}
		}
		for _, n := range first.Next {
			if !(n.Bits > 0) || n.Bits > first.Entropy+1e-9 {
				t.Fatalf("%s: %v bit of %v", n.ID, n.Bits, first.Entropy)
			}
		}
	})
}

func TestWorking(t *testing.T) {
	r := rank(t, Input{Sheets: demos(t), Measured: []Measurement{{What: "shaft", Value: 40e-3}, {What: "jacketed", Word: "no"}}})
	if err := r.Working().Check(); err != nil {
		t.Error(err)
	}
	if err := rank(t, Input{Sheets: demos(t)}).Working(); err == nil {
		t.Error("no tree")
	}
}

func BenchmarkRank(b *testing.B) {
	in := Input{Measured: []Measurement{{What: "suction_port", Value: 79e-3}, {What: "bolt_count", Value: 8}}}
	base := demos(b)
	for i := range 100 {
		s := *base[i%3]
		s.Name = "s" + string(rune('a'+i%26)) + string(rune('a'+i/26))
		in.Sheets = append(in.Sheets, &s)
	}
	for b.Loop() {
		if _, err := Rank(in); err != nil {
			b.Fatal(err)
		}
	}
}
