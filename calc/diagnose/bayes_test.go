package diagnose

import (
	"encoding/csv"
	"math"
	"os"
	"testing"
)

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

// The screening example of Eddy 1982 (prints 7.8 %), from memory; recomputed.
func TestScreening(t *testing.T) {
	prior := []float64{0.01, 0.99}
	near(t, "after positive", Update(prior, []float64{0.8, 0.096})[0], 0.0776398, 1e-7)
	near(t, "after negative", Update(prior, []float64{0.2, 0.904})[0], 0.00222975, 1e-7)
	m, err := NewModel([]Cause{{ID: "ill", Prior: 0.01}}, []Item{{ID: "test", Leak: 0.096, For: []Link{{0, 1 - 0.2/0.904}}, Minutes: 1}})
	if err != nil {
		t.Fatal(err)
	}
	for state, want := range map[State][2]float64{Found: {0.0776398, 8.333333}, Absent: {0.00222975, 0.221239}} {
		r, err := m.Diagnose(Case{Findings: []Finding{{0, state, 1}}})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "by the model", r.Ranked[0].Probability, want[0], 1e-7)
		near(t, "ratio", r.terms[0].ratio(0), want[1], 1e-6)
	}
}

// Russell & Norvig, Artificial Intelligence, fever by cold, flu and malaria
// with inhibitors 0.6, 0.2, 0.1; and a leak of 0.1 with strengths 0.2 and 0.4.
func TestNoisyOr(t *testing.T) {
	s := []float64{0.4, 0.8, 0.9}
	for _, c := range []struct {
		on   [3]bool
		want float64
	}{
		{[3]bool{false, false, true}, 0.9}, {[3]bool{false, true, false}, 0.8}, {[3]bool{false, true, true}, 0.98},
		{[3]bool{true, false, false}, 0.4}, {[3]bool{true, false, true}, 0.94}, {[3]bool{true, true, false}, 0.88}, {[3]bool{true, true, true}, 0.988},
	} {
		var on []float64
		for i := range s {
			if c.on[i] {
				on = append(on, s[i])
			}
		}
		near(t, "fever", NoisyOr(0, on...), c.want, 1e-12)
	}
	near(t, "leak", NoisyOr(0.1, 0.2, 0.4), 0.568, 1e-12)
}

// Quinlan 1986, Mitchell 1997 (0.940; 0.247, 0.152, 0.048, 0.029), from
// memory; more digits computed with numpy.
func TestGainOfTable(t *testing.T) {
	file, err := os.Open("testdata/info_gain_14.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"outlook": 0.246750, "humidity": 0.151836, "wind": 0.048127, "temperature": 0.029223}
	head, rows := rows[0], rows[1:]
	var yes float64
	for _, r := range rows {
		if r[4] == "yes" {
			yes++
		}
	}
	n := float64(len(rows))
	p := []float64{yes / n, 1 - yes/n}
	near(t, "entropy", Entropy(p), 0.940286, 1e-6)
	for column, name := range head[:4] {
		outcomes := map[string][]float64{}
		for _, r := range rows {
			if outcomes[r[column]] == nil {
				outcomes[r[column]] = make([]float64, 2)
			}
			if r[4] == "yes" {
				outcomes[r[column]][0] += 1 / yes
			} else {
				outcomes[r[column]][1] += 1 / (n - yes)
			}
		}
		var likelihood [][]float64
		for _, row := range outcomes {
			likelihood = append(likelihood, row)
		}
		near(t, name, Gain(p, likelihood), want[name], 1e-6)
	}
}

// Four causes that exclude each other and three marks; numbers invented,
// answers computed with numpy 1.24.2.
func TestPumpShapedExample(t *testing.T) {
	prior := []float64{.30, .25, .15, .30}
	marks := map[string][]float64{
		"pitting": {.8, .2, .3, .1}, "scoring": {.1, .9, .2, .2}, "noise": {.6, .3, .5, .9},
	}
	not := func(p []float64) []float64 {
		q := make([]float64, len(p))
		for i := range p {
			q[i] = 1 - p[i]
		}
		return q
	}
	gain := func(p []float64, mark string) float64 {
		return Gain(p, [][]float64{marks[mark], not(marks[mark])})
	}
	same := func(what string, got, want []float64) {
		t.Helper()
		for i := range want {
			near(t, what, got[i], want[i], 1e-6)
		}
	}
	a := Update(prior, marks["pitting"])
	same("pitting", a, []float64{.657534, .136986, .123288, .082192})
	b := Update(a, not(marks["scoring"]))
	same("no scoring", b, []float64{.768683, .017794, .128114, .085409})
	same("noise", Update(b, marks["noise"]), []float64{.759227, .008787, .105448, .126538})
	near(t, "entropy", Entropy(prior), 1.952724, 1e-6)
	for mark, want := range map[string]float64{"pitting": .276803, "scoring": .346708, "noise": .168644} {
		near(t, "gain of "+mark, gain(prior, mark), want, 1e-6)
	}
	near(t, "gain of scoring after pitting", gain(a, "scoring"), .257282, 1e-6)
	near(t, "gain of noise after pitting", gain(a, "noise"), .064316, 1e-6)
	if Update(prior, []float64{0, 0, 0, 0}) != nil {
		t.Error("an impossible finding gave a posterior")
	}
}
