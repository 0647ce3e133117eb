package gasket

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Check values: computed with numpy 1.24.2, independent prototype of the same
// equations.
func TestLearnTwoTrials(t *testing.T) {
	trials := []Trial{
		{Counts: []int{0, 2, 0, 0, 0, 1, 0}, Feeler: &Feeler{Goes: leaf(.10), NoGo: leaf(.13)}},
		{Counts: []int{0, 2, 0, 0, 0, 2, 0}, Feeler: &Feeler{Goes: leaf(.20), NoGo: leaf(.23)}},
	}
	prior := DefaultPrior()
	prior.WithoutGaskets = dial(-.45, .03)
	l, err := Learn(shelf(), trials, prior)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%.6f ± %.4f mm, %.6f ± %.4f", float64(l.WithoutGaskets.Value)*1e3, l.WithoutGaskets.U*1e3, l.ExtraCompression, l.ExtraCompressionU)
	if math.Abs(float64(l.WithoutGaskets.Value)*1e3+0.460155) > 0.002 {
		t.Errorf("clearance without gaskets %v", l.WithoutGaskets)
	}
	if math.Abs(l.ExtraCompression-0.0294849) > 0.003 {
		t.Errorf("extra compression %g", l.ExtraCompression)
	}
}

// With dial readings everything is normal, so the answer is that of linear
// least squares with a prior, solved here as two equations.
func TestLearnLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := shelf()
		n := rapid.IntRange(1, 4).Draw(t, "trials")
		s0, dk := rapid.Float64Range(-.6, -.3).Draw(t, "s0"), rapid.Float64Range(-.05, .05).Draw(t, "dκ")
		var trials []Trial
		a := [2][2]float64{{0, 0}, {0, 1 / (0.05 * 0.05)}}
		var rhs [2]float64
		for range n {
			counts := []int{0, 2, 0, rapid.IntRange(0, 2).Draw(t, "n"), 0, rapid.IntRange(0, 2).Draw(t, "m"), 0}
			variance, compressed, free := 8e-6*8e-6, 0.0, 0.0
			for i, c := range counts {
				variance += float64(c) * math.Pow(float64(kinds[i].Tolerance)/2, 2)
				compressed += float64(c) * float64(kinds[i].Compressed())
				free += float64(c) * float64(kinds[i].Thickness)
			}
			m := s0*1e-3 + compressed - dk*free + rapid.Float64Range(-1e-5, 1e-5).Draw(t, "error")
			e := quantity.Within(quantity.Length(m), 8e-6)
			trials = append(trials, Trial{Counts: counts, Measured: &e})
			y, w := m-compressed, 1/variance
			a[0][0] += w
			a[0][1] -= w * free
			a[1][0] -= w * free
			a[1][1] += w * free * free
			rhs[0] += w * y
			rhs[1] -= w * free * y
		}
		det := a[0][0]*a[1][1] - a[0][1]*a[1][0]
		want := [2]float64{(rhs[0]*a[1][1] - a[0][1]*rhs[1]) / det, (a[0][0]*rhs[1] - a[1][0]*rhs[0]) / det}
		l, err := Learn(kinds, trials, DefaultPrior())
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(l.WithoutGaskets.Value)-want[0]) > 1e-6 || math.Abs(l.ExtraCompression-want[1]) > 1e-3 {
			t.Fatalf("got %g, %g; want %g, %g", l.WithoutGaskets.Value, l.ExtraCompression, want[0], want[1])
		}
		if u := math.Sqrt(a[1][1] / det); math.Abs(l.WithoutGaskets.U/u-1) > 0.03 {
			t.Fatalf("u %g, want %g", l.WithoutGaskets.U, u)
		}
	})
}

func TestLearnRefusals(t *testing.T) {
	both := Trial{Counts: []int{1}, Measured: dial(.1, .01), Feeler: &Feeler{Goes: leaf(.1)}}
	tests := []struct {
		field string
		trial []Trial
	}{
		{"trials", nil},
		{"trials[0].measured", []Trial{{Counts: []int{1}}}},
		{"trials[0].feeler", []Trial{both}},
		{"trials[0].counts", []Trial{{Counts: []int{-1}, Measured: dial(.1, .01)}}},
		{"trials[0].u", []Trial{{Counts: []int{1}, Measured: dial(.1, 0)}}},
		{"trials", []Trial{{Counts: []int{2}, Feeler: &Feeler{Goes: leaf(.1)}}}},
	}
	for _, tt := range tests {
		_, err := Learn(shelf(), tt.trial, DefaultPrior())
		if p := say.AsProblem(err); p == nil || p.Field != tt.field {
			t.Errorf("want %s refused, got %v", tt.field, err)
		}
	}
}

func TestHousing(t *testing.T) {
	const degree = math.Pi / 180
	turn := func(h Housing) *Turn {
		t.Helper()
		r, err := h.Best()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	// Computed with numpy 1.24.2, independent prototype of the same rule.
	h := Housing{Pitch: mm(1.5), Notches: 24, Belief: belief(t, dial(.31, .008), nil, nil), Low: mm(.18), High: mm(.24)}
	r := turn(h)
	if r.Notches != -2 || math.Abs(float64(r.Angle)-30*degree) > 1e-9 {
		t.Errorf("notches %d, angle %v", r.Notches, r.Angle)
	}
	if r.Opens || !r.Clockwise || !strings.Contains(r.Direction.String(), "clockwise") || !strings.Contains(r.Direction.String(), "outer end") {
		t.Errorf("a right-hand thread screws in clockwise: %v", r.Direction)
	}
	h.Hand = LeftHand
	if r := turn(h); r.Clockwise || !strings.Contains(r.Direction.String(), "counter-clockwise") {
		t.Errorf("a left-hand thread screws in counter-clockwise: %v", r.Direction)
	}
	// Angle = 360° × clearance / pitch: arithmetic of the trade's rule.
	for _, row := range []struct{ pitch, open, angle float64 }{
		{1.5, .10, 24}, {2, .10, 18}, {3, .10, 12},
		{25.4 / 20, .127, 36}, {25.4 / 18, .127, 32.4}, {25.4 / 16, .127, 28.8}, {25.4 / 12, .127, 21.6},
	} {
		h := Housing{Pitch: mm(row.pitch), Belief: belief(t, dial(0, .001), nil, nil), Low: mm(row.open), High: mm(row.open)}
		if r := turn(h); !r.Opens || math.Abs(float64(r.Angle)-row.angle*degree) > 1e-6 {
			t.Errorf("pitch %g: %v", row.pitch, r.Angle)
		}
	}
	if _, err := (Housing{Pitch: 0, Belief: h.Belief, High: 1}).Best(); say.AsProblem(err) == nil {
		t.Error("a thread without pitch was accepted")
	}
	h.Low, h.High, h.Notches = mm(30), mm(31), 0
	if _, err := h.Best(); say.AsProblem(err) == nil {
		t.Error("twenty turns were accepted")
	}
}

// A shelf that cannot reach the window says what is nearest and what is missing.
func TestUnreachable(t *testing.T) {
	p := Problem{Kinds: shelf(0, 2, 0, 0, 0, 0, 0), Low: mm(.10), High: mm(.16), Belief: belief(t, dial(-.5, .01), nil, nil)}
	s, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	// Two papers of 0.25 give 0.46, so the clearance is −0.04 and 0.17 is wanting.
	if s.Reachable || s.Best != nil || s.Nearest == nil {
		t.Fatalf("%+v", s)
	}
	if v := float64(s.Nearest.Clearance.Value); math.Abs(v+.04e-3) > 1e-9 {
		t.Errorf("nearest at %g", v)
	}
	if math.Abs(float64(s.Misses)+.14e-3) > 1e-9 || math.Abs(float64(s.MissingGasket)-.17e-3) > 1e-9 {
		t.Errorf("misses %v, missing %v", s.Misses, s.MissingGasket)
	}
	if len(s.Shortages) == 0 {
		t.Error("a full shelf reaches the window, and that was not said")
	}
	// The one stack there is, at the very edge of what can be searched.
	one := Problem{Kinds: shelf()[:1], MaxPieces: 1, Low: mm(.1), High: mm(.2), Belief: belief(t, dial(.5, .01), nil, nil)}
	if s, err = Solve(one); err != nil || s.Nearest == nil || s.Nearest.Pieces != 1 {
		t.Errorf("%v %+v", err, s)
	}
	// All stacks too thick: no gasket can help.
	p = Problem{Kinds: shelf(), Low: mm(.10), High: mm(.16), Belief: belief(t, dial(.3, .01), nil, nil)}
	if s, err = Solve(p); err != nil || s.Reachable || s.MissingGasket != 0 || !(s.Misses > 0) {
		t.Errorf("%v %+v", err, s)
	}
}

// Old sealing pieces never go back, pieces of a trial may.
func TestWhatMayStay(t *testing.T) {
	p := case1(t)
	s, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if s.Best.In[1] != 0 || s.Best.Out[1] != 0 {
		t.Errorf("the sealing pieces of a trial were changed: %+v", s.Best)
	}
	p.InService = true
	if s, err = Solve(p); err != nil {
		t.Fatal(err)
	}
	if s.Best.Out[1] != 2 || s.Best.Out[5] != 1 {
		t.Errorf("old pieces went back: %+v", s.Best)
	}
	p.Kinds[5].Reusable = true
	if s, err = Solve(p); err != nil {
		t.Fatal(err)
	}
	if s.Best.Out[5] != 0 && s.Best.Counts[5] > 0 {
		t.Errorf("a reusable film was renewed: %+v", s.Best)
	}
	q := Problem{Kinds: shelf(), Low: mm(.14), High: mm(.2), Belief: belief(t, dial(.11, .006), nil, nil),
		FittedPieces: []Piece{{Thickness: mm(.23), U: mm(.003), Sealing: true}, {Thickness: mm(.23), U: mm(.003), Sealing: true}, {Thickness: mm(.122), U: mm(.002)}}}
	if s, err = Solve(q); err != nil {
		t.Fatal(err)
	}
	if len(s.Best.PiecesOut) < 2 || s.Best.PiecesOut[0] != 0 || s.Best.PiecesOut[1] != 1 {
		t.Errorf("old sealing pieces were refitted: %+v", s.Best)
	}
}

// Compression learned from trials moves the answer: more of it, thicker stack.
func TestExtraCompression(t *testing.T) {
	p := Problem{Kinds: shelf(), Low: mm(.10), High: mm(.16), Belief: belief(t, dial(-.485, .005), nil, nil)}
	thickness := func(s *Solution) float64 {
		sum := 0.0
		for i, n := range s.Best.Counts {
			sum += float64(n) * float64(p.Kinds[i].Thickness)
		}
		return sum
	}
	plain, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	p.ExtraCompression = 0.05
	more, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if thickness(more) <= thickness(plain) {
		t.Error("a softer gasket needs a thicker stack")
	}
	p.ExtraCompressionU = 0.03
	unsure, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if unsure.Best.Probability >= more.Best.Probability {
		t.Error("an unsure compression cannot raise the chance")
	}
}

func BenchmarkLearn(b *testing.B) {
	trials := []Trial{
		{Counts: []int{0, 2, 0, 0, 0, 1, 0}, Feeler: &Feeler{Goes: leaf(.10), NoGo: leaf(.13)}},
		{Counts: []int{0, 2, 0, 0, 0, 2, 0}, Feeler: &Feeler{Goes: leaf(.20), NoGo: leaf(.23)}},
	}
	kinds, prior := shelf(), DefaultPrior()
	prior.WithoutGaskets = dial(-.45, .03)
	for b.Loop() {
		if _, err := Learn(kinds, trials, prior); err != nil {
			b.Fatal(err)
		}
	}
}
