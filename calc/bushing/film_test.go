package bushing

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

var inf = math.Inf(1)

// publishedFilms are rows of the table of Raimondi and Boyd, ASLE Trans. 1
// (1958) 159 ff., full bearing: S; attitude in degrees; (r/c)f; Q/(rcNl);
// Qs/Q; P/pmax. Values from memory of the table as many textbooks print it;
// S, (r/c)f and Q of l/d = 1 also seen in Jindal, Machine Design, ex. 17-2 to
// 17-4.
var publishedFilms = []struct {
	ratio, eps                        float64
	s, angle, friction, flow, side, p float64
	flowTolerance                     float64
}{
	{ratio: 1, eps: 0.1, s: 1.33, angle: 79.5, friction: 26.4, flow: 3.37, side: 0.150, p: 0.540},
	{ratio: 1, eps: 0.2, s: 0.631, angle: 74.02},
	{ratio: 1, eps: 0.4, s: 0.264, angle: 63.10, friction: 5.79, flow: 3.99, side: 0.497, p: 0.484},
	{ratio: 1, eps: 0.6, s: 0.121, angle: 50.58, friction: 3.22, flow: 4.33, side: 0.680, p: 0.415},
	{ratio: 1, eps: 0.8, s: 0.0446, angle: 36.24, friction: 1.70, flow: 4.62, side: 0.842, p: 0.313},
	{ratio: 1, eps: 0.9, s: 0.0188, angle: 26.45},
	{ratio: 0.5, eps: 0.2, s: 2.03, angle: 74.94, friction: 40.9, flow: 3.72, side: 0.318, p: 0.506},
	{ratio: 0.5, eps: 0.4, s: 0.779, angle: 61.45, friction: 17.0, flow: 4.29, side: 0.552, p: 0.441},
	{ratio: 0.5, eps: 0.6, friction: 8.1},
	{ratio: 0.5, eps: 0.8, s: 0.0923, angle: 33.31, friction: 3.26, flow: 5.41, side: 0.874, p: 0.267},
	{ratio: 0.5, eps: 0.9, s: 0.0313, angle: 23.66, friction: 1.60, flow: 5.69, side: 0.939, p: 0.206},
	{ratio: 0.25, eps: 0.1, s: 16.2, angle: 82.31, friction: 322, flow: 3.45, side: 0.180, p: 0.515},
	{ratio: 0.25, eps: 0.2, s: 7.57, angle: 75.18, friction: 153, flow: 3.76, side: 0.330, p: 0.489},
	{ratio: 0.25, eps: 0.6, s: 1.07, angle: 46.72, friction: 26.7, flow: 4.99, side: 0.746, p: 0.334},
	{ratio: 0.25, eps: 0.9, s: 0.0736, angle: 21.85, friction: 3.50, flow: 5.91, side: 0.945, p: 0.180},
	{ratio: inf, eps: 0.1, s: 0.240, angle: 69.10, friction: 4.80, flow: 3.03},
	{ratio: inf, eps: 0.4, s: 0.0626, angle: 61.94, friction: 1.52, flow: 2.26},
	{ratio: inf, eps: 0.6, s: 0.0389, angle: 54.31, friction: 1.20, flow: 1.56},
	{ratio: inf, eps: 0.9, s: 0.0115, angle: 31.62, friction: 0.756, flow: 0.411, flowTolerance: 0.06},
}

// prototypeFilms were computed with numpy 1.24.2, scipy 1.10.1: independent
// finite difference solutions of the same equations, 240 x 24 and 360 x 60
// half-bearing grids; infinite length in one dimension with 200 001 points.
var prototypeFilms = []struct {
	ratio, eps                        float64
	s, angle, friction, flow, side, p float64
}{
	{1, 0.1, 1.330, 79.41, 26.43, 3.374, 0.150, 0.540},
	{1, 0.2, 0.632106, 73.8545, 0, 0, 0, 0},
	{1, 0.4, 0.2604, 62.57, 5.786, 3.988, 0.498, 0.482},
	{1, 0.6, 0.1210, 50.53, 3.216, 4.329, 0.681, 0.414},
	{1, 0.8, 0.04456, 36.23, 1.702, 4.615, 0.844, 0.320},
	{1, 0.9, 0.0188364, 26.4748, 0, 0, 0, 0},
	{0.5, 0.2, 2.032, 75.13, 41.03, 3.719, 0.318, 0.504},
	{0.5, 0.4, 0.7855, 61.77, 17.09, 4.289, 0.550, 0.442},
	{0.5, 0.6, 0, 0, 8.10511, 0, 0, 0},
	{0.5, 0.8, 0.09172, 32.93, 3.235, 5.411, 0.874, 0.274},
	{0.5, 0.9, 0.03124, 23.56, 1.595, 5.688, 0.938, 0.209},
	{0.25, 0.1, 16.22, 82.47, 321.9, 3.449, 0.179, 0.515},
	{0.25, 0.2, 7.579, 75.38, 152.8, 3.757, 0.329, 0.490},
	{0.25, 0.6, 1.078, 46.82, 26.82, 4.986, 0.744, 0.334},
	{0.25, 0.9, 0.07366, 21.79, 3.503, 5.907, 0.944, 0.180},
	{inf, 0.1, 0.2415, 69.03, 4.837, 3.030, 0, 0.826},
	{inf, 0.4, 0.0629, 61.64, 1.530, 2.278, 0, 0.762},
	{inf, 0.6, 0.0389, 54.23, 1.204, 1.562, 0, 0.667},
	{inf, 0.9, 0.0115, 31.67, 0.757, 0.389, 0, 0.359},
}

const degree = math.Pi / 180

func within(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if want != 0 && !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %.6g, want %.6g within %.2g %%", what, got, want, relative*100)
	}
}

func TestSolveFilmPublished(t *testing.T) {
	for _, row := range publishedFilms {
		f, err := SolveFilm(row.eps, row.ratio, FineGrid)
		if err != nil {
			t.Fatal(err)
		}
		name := number(row.ratio) + "/" + number(row.eps)
		within(t, name+" S", f.Sommerfeld, row.s, 0.02)
		within(t, name+" attitude", f.Attitude.SI()/degree, row.angle, 0.02)
		within(t, name+" friction", f.FrictionVariable, row.friction, 0.02)
		within(t, name+" flow", f.FlowVariable, row.flow, max(0.02, row.flowTolerance))
		within(t, name+" side", f.SideFlowRatio, row.side, 0.02)
		within(t, name+" P/pmax", f.PressureRatio, row.p, 0.03)
	}
}

func TestSolveFilmPrototype(t *testing.T) {
	for _, row := range prototypeFilms {
		f, err := SolveFilm(row.eps, row.ratio, FineGrid)
		if err != nil {
			t.Fatal(err)
		}
		name := number(row.ratio) + "/" + number(row.eps)
		within(t, name+" S", f.Sommerfeld, row.s, 0.005)
		within(t, name+" attitude", f.Attitude.SI()/degree, row.angle, 0.005)
		within(t, name+" friction", f.FrictionVariable, row.friction, 0.005)
		within(t, name+" flow", f.FlowVariable, row.flow, 0.005)
		within(t, name+" side", f.SideFlowRatio, row.side, 0.005)
		within(t, name+" P/pmax", f.PressureRatio, row.p, 0.005)
	}
}

// Halving the mesh moves S by 0.2 % at most.
func TestSolveFilmConverges(t *testing.T) {
	for _, eps := range []float64{0.1, 0.5, 0.9, 0.97, 0.99} {
		for _, ratio := range []float64{0.25, 1, 4, inf} {
			fine, _ := SolveFilm(eps, ratio, Grid{480, 48})
			table, _ := SolveFilm(eps, ratio, FineGrid)
			within(t, "S at "+number(eps)+", "+number(ratio), table.Sommerfeld, fine.Sommerfeld, 0.002)
			within(t, "flow at "+number(eps)+", "+number(ratio), table.FlowVariable, fine.FlowVariable, 0.003)
		}
	}
}

// What enters at the widest gap leaves at the ends or passes the rupture; in
// a long bearing all of it passes: Q/(rcNl) = π·H where the film ends.
func TestSolveFilmLaws(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		eps := rapid.Float64Range(0.05, 0.9).Draw(r, "eps")
		ratio := rapid.Float64Range(0.15, 3).Draw(r, "ratio")
		f, err := SolveFilm(eps, ratio, Grid{96, 16})
		if err != nil {
			r.Fatal(err)
		}
		more, _ := SolveFilm(eps+0.02, ratio, Grid{96, 16})
		longer, _ := SolveFilm(eps, ratio*1.1, Grid{96, 16})
		if !(more.Sommerfeld < f.Sommerfeld) || !(longer.Sommerfeld < f.Sommerfeld) {
			r.Fatalf("S must fall with eccentricity and with length: %v %v %v", f, more, longer)
		}
		if !(longer.SideFlowRatio < f.SideFlowRatio) || f.SideFlowRatio <= 0 || f.SideFlowRatio >= 1 {
			r.Fatalf("side flow ratio %v, longer %v", f.SideFlowRatio, longer.SideFlowRatio)
		}
		if petroff := 2 * math.Pi * math.Pi * f.Sommerfeld; f.FrictionVariable <= petroff {
			r.Fatalf("friction %v below the concentric value %v", f.FrictionVariable, petroff)
		}
	})
}

// Short bearing limit (Ocvirk): S (l/d)² = (1−ε²)²/[π ε √(π²(1−ε²)+16ε²)] and
// tan φ = π√(1−ε²)/(4ε). From memory of Ocvirk, NACA TN 2808 (1952).
func TestSolveFilmShortLimit(t *testing.T) {
	for _, eps := range []float64{0.2, 0.5, 0.8} {
		f, err := SolveFilm(eps, 0.06, FineGrid)
		if err != nil {
			t.Fatal(err)
		}
		e2 := eps * eps
		want := (1 - e2) * (1 - e2) / (math.Pi * eps * math.Sqrt(math.Pi*math.Pi*(1-e2)+16*e2))
		within(t, "S(l/d)²", f.Sommerfeld*0.06*0.06, want, 0.02)
		within(t, "attitude", f.Attitude.SI(), math.Atan(math.Pi*math.Sqrt(1-e2)/(4*eps)), 0.02)
	}
}

func TestSolveFilmRefuses(t *testing.T) {
	nan := math.NaN()
	for _, bad := range [][2]float64{{nan, 1}, {0, 1}, {1, 1}, {-0.5, 1}, {0.5, nan}, {0.5, 0}, {0.5, -1}} {
		if _, err := SolveFilm(bad[0], bad[1], FineGrid); err == nil {
			t.Errorf("%v was taken", bad)
		}
	}
	if _, err := SolveFilm(0.5, 1, Grid{}); err == nil {
		t.Error("an empty grid was taken")
	}
}

// 100 steps around, 50 along the whole length, of which one half is solved.
func BenchmarkSolveFilm100x50(b *testing.B) {
	for b.Loop() {
		if _, err := SolveFilm(0.8, 1, Grid{Around: 100, Along: 25}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSolveFilm240x24(b *testing.B) {
	for b.Loop() {
		if _, err := SolveFilm(0.8, 1, FineGrid); err != nil {
			b.Fatal(err)
		}
	}
}
