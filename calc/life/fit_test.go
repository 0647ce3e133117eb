package life

import (
	"testing"
)

func fit(t testing.TB, rows []Observation, d Distribution) *Fitted {
	t.Helper()
	f, err := Fit(rows, d)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Data and sources as in testdata/README; results: NIST/SEMATECH e-Handbook
// 8.4.1.3 for the first (eta 606.5280, beta 1.7208, log-likelihood −75.135,
// mean 540.737, sd 323.806), and computed with R 4.2.2, survival 3.5-3
// (survreg) and profile likelihood for all.
var weibullRows = []struct {
	file                                string
	beta, eta, logLik, seBeta, seEta    float64
	theta, expLogLik                    float64
	fisherBeta, ratioBeta               [2]float64
	fisherEta, ratioEta                 [2]float64
	b10                                 float64
	fisherB10, ratioB10                 [2]float64
	ages                                []float64
	reliability                         []float64
	fisherR, ratioR                     [][2]float64
	mean, sd, covariance, seMu, seSigma float64
}{
	{"weibull_nist_handbook.csv", 1.720797, 606.5276, -75.134618, 0.502151, 124.9107, 777.1000, -76.555690,
		[2]float64{0.971266, 3.048746}, [2]float64{0.905645, 2.885738}, [2]float64{405.089, 908.135}, [2]float64{437.557, 1118.878},
		164.0224, [2]float64{83.875, 320.755}, [2]float64{59.855, 271.950},
		[]float64{300, 600}, []float64{0.742461, 0.374729},
		[][2]float64{{0.540176, 0.865899}, {0.141333, 0.611158}}, [][2]float64{{0.562284, 0.875356}, {0.152370, 0.627649}},
		540.7370, 323.8058, 0.027128, 0.205944, 0.291813},
	{"weibull_ball_bearings.csv", 2.101847, 81.87456, -113.691959, 0.328657, 8.600926, 72.2209, -121.433768,
		[2]float64{1.547042, 2.855617}, [2]float64{1.503991, 2.791265}, [2]float64{66.639, 100.593}, [2]float64{65.695, 100.873},
		28.0651, [2]float64{18.056, 43.622}, [2]float64{16.285, 40.760},
		[]float64{50}, []float64{0.701402}, [][2]float64{{0.518798, 0.825565}}, [][2]float64{{0.534973, 0.833908}},
		72.5154, 36.2500, -0.005403, 0.105050, 0.156366},
	{"weibull_shock_absorber.csv", 3.160470, 27718.719, -123.995361, 0.730818, 3046.023, 56818.18, -131.423728,
		[2]float64{2.008733, 4.972573}, [2]float64{1.898532, 4.771391}, [2]float64{22347.77, 34380.49}, [2]float64{23330.07, 37961.91},
		13600.03, [2]float64{10221.84, 18094.68}, [2]float64{9371.20, 17291.24},
		[]float64{10000, 20000}, []float64{0.960916, 0.700142},
		[][2]float64{{0.867829, 0.988850}, {0.520589, 0.823115}}, [][2]float64{{0.886419, 0.990752}, {0.538891, 0.833331}},
		24811.54, 8605.90, 0.012612, 0.109890, 0.231237},
}

func TestWeibull(t *testing.T) {
	for _, c := range weibullRows {
		t.Run(c.file, func(t *testing.T) {
			rows := lives(t, c.file)
			f := fit(t, rows, Weibull)
			near(t, "beta", f.Shape, c.beta, 1e-5, 0)
			near(t, "eta", f.Scale, c.eta, 1e-5, 0)
			near(t, "log-likelihood", f.LogLikelihood, c.logLik, 0, 1e-4)
			near(t, "se beta", f.ShapeSE, c.seBeta, 1e-3, 0)
			near(t, "se eta", f.ScaleSE, c.seEta, 1e-3, 0)
			near(t, "mean", f.Model().Mean(), c.mean, 1e-5, 0)
			near(t, "sd", f.Model().SD(), c.sd, 1e-5, 0)
			near(t, "B10", f.Model().AgeAt(0.1), c.b10, 1e-5, 0)
			vm, cov, vt := f.Covariance()
			near(t, "cov", cov, c.covariance, 1e-3, 0)
			near(t, "se mu²", vm, c.seMu*c.seMu, 1e-3, 0)
			near(t, "se ln sigma²", vt, c.seSigma*c.seSigma, 1e-3, 0)
			const rel = 2e-4
			both := func(what string, target Target, fisher, ratio [2]float64) {
				t.Helper()
				b, err := f.Fisher(target, 0.95)
				if err != nil {
					t.Fatal(err)
				}
				nearPtr(t, what+" Fisher low", b.Low, fisher[0], rel)
				nearPtr(t, what+" Fisher high", b.High, fisher[1], rel)
				if b, err = f.Ratio(target, 0.95); err != nil {
					t.Fatal(err)
				}
				nearPtr(t, what+" ratio low", b.Low, ratio[0], rel)
				nearPtr(t, what+" ratio high", b.High, ratio[1], rel)
			}
			both("beta", TheShape(), c.fisherBeta, c.ratioBeta)
			both("eta", TheScale(), c.fisherEta, c.ratioEta)
			both("B10", TheAge(0.1), c.fisherB10, c.ratioB10)
			for i, age := range c.ages {
				near(t, "R", f.Model().Reliability(age), c.reliability[i], 1e-5, 0)
				both("R", TheReliability(age), c.fisherR[i], c.ratioR[i])
			}
			e := fit(t, rows, Exponential)
			near(t, "theta", e.Scale, c.theta, 1e-5, 0)
			near(t, "exponential log-likelihood", e.LogLikelihood, c.expLogLik, 0, 1e-4)
		})
	}
}

// The sums and the row by row likelihood are two ways to one answer.
func TestTwoWaysAgree(t *testing.T) {
	for _, c := range weibullRows {
		rows := lives(t, c.file)
		a := fit(t, rows, Weibull)
		tl, err := count(rows)
		if err != nil {
			t.Fatal(err)
		}
		b := &Fitted{Distribution: Weibull, rows: rows, model: Weibull}
		if !b.fitRows(tl) {
			t.Fatalf("%s: no fit by rows", c.file)
		}
		near(t, "shape", b.Shape, a.Shape, 1e-8, 0)
		near(t, "scale", b.Scale, a.Scale, 1e-8, 0)
		near(t, "log-likelihood", b.LogLikelihood, a.LogLikelihood, 1e-11, 0)
		near(t, "se", b.ShapeSE, a.ShapeSE, 1e-7, 0)
		for _, target := range []Target{TheShape(), TheScale(), TheAge(0.1), TheReliability(a.Scale / 2)} {
			x, _ := a.Ratio(target, 0.9)
			y, _ := b.Ratio(target, 0.9)
			nearPtr(t, "low", x.Low, *y.Low, 1e-7)
			nearPtr(t, "high", x.High, *y.High, 1e-7)
			// the walk finds what Newton's method finds
			p := profile{f: b, t: target, l: b.likelihood(), floor: b.LogLikelihood - 1.352771727}
			n0 := b.tau
			if target.kind == shapeTarget {
				n0 = b.mu
			}
			for _, k := range []float64{-1, 1} {
				w, q := p.walk(b.psi(target), n0, k*b.psiSE(target)), p.bound(k)
				near(t, "walk", *w, *q, 1e-6, 1e-6)
			}
		}
	}
}

// Conditional life with beta 1.7208, eta 606.528: computed with R 4.2.2.
func TestConditional(t *testing.T) {
	m := Model{Weibull, 1.7208, 606.528}
	near(t, "R(100 more | 300)", m.Conditional(300, 100), 0.826338, 0, 1e-6)
	near(t, "median remaining", m.MedianRemaining(300), 303.325, 0, 1e-3)
	near(t, "mean remaining", m.MeanRemaining(300), 364.704, 0, 1e-3)
}
