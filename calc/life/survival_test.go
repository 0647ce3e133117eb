package life

import (
	"math"
	"testing"
)

// Shock absorbers by mode, O'Connor 1985; computed with R 4.2.2 (survreg).
func TestModes(t *testing.T) {
	var rows []ModeRow
	for _, r := range table(t, "competing_modes_shock_absorber.csv") {
		m := ModeRow{Observation: Failed(num(t, r["miles"])), Mode: r["mode"]}
		if m.Mode == "censored" {
			m = ModeRow{Observation: Running(m.Low)}
		}
		rows = append(rows, m)
	}
	fits, unfit, err := FitModes(rows, Weibull)
	if err != nil || len(unfit) > 0 || len(fits) != 2 {
		t.Fatal(err, unfit, fits)
	}
	for i, want := range []struct{ failed, beta, eta, logLik float64 }{
		{7, 3.383946, 31205.798, -81.497976}, {4, 2.822211, 40865.861, -49.636145},
	} {
		f := fits[i].Fitted
		near(t, "failed", f.Failures, want.failed, 0, 0)
		near(t, "beta", f.Shape, want.beta, 1e-5, 0)
		near(t, "eta", f.Scale, want.eta, 1e-5, 0)
		near(t, "log-likelihood", f.LogLikelihood, want.logLik, 0, 1e-4)
	}
	near(t, "R(10000)", AllModes(fits, 10000), 0.960714, 0, 1e-6)
}

// Freireich et al. 1963 as in Klein & Moeschberger; S as printed there (from
// memory), all digits computed with R 4.2.2, survfit.
func TestKaplanMeier(t *testing.T) {
	var rows []Observation
	for _, r := range table(t, "km_6mp.csv") {
		o := Failed(num(t, r["time"]))
		if r["status"] == "0" {
			o = Running(o.Low)
		}
		rows = append(rows, o)
	}
	steps, err := KaplanMeier(rows, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		t, risk, failed, s, se, plainLow, plainHigh, logLow, logHigh, llLow, llHigh float64
	}{
		{6, 21, 3, .85714286, .07636035, .7075, 1, .71981708, 1, .61971796, .95155175},
		{7, 17, 1, .80672269, .08693529, .6363, .9771, .65312422, .99644368, .56314656, .92280902},
		{10, 15, 1, .75294118, .09634965, .5641, .9418, .58591898, .96757475, .50319951, .88936184},
		{13, 12, 1, .69019608, .10681471, .4808, .8995, .50961310, .93476920, .43161022, .84906596},
		{16, 11, 1, .62745098, .11405387, .4039, .8510, .43939392, .89599494, .36751086, .80491219},
		{22, 7, 1, .53781513, .12823375, .2865, .7891, .33703662, .85820085, .26777894, .74679072},
		{23, 6, 1, .44817927, .13459146, .1844, .7120, .24878823, .80737205, .18805201, .68014263},
	}
	if len(steps) != len(want) {
		t.Fatalf("%d steps", len(steps))
	}
	for i, w := range want {
		s := steps[i]
		near(t, "age", s.Age, w.t, 0, 0)
		near(t, "at risk", s.AtRisk, w.risk, 0, 0)
		near(t, "failed", s.Failed, w.failed, 0, 0)
		near(t, "S", s.Survival, w.s, 0, 1e-7)
		near(t, "se", s.SE, w.se, 0, 1e-7)
		near(t, "plain low", *s.Plain.Low, w.plainLow, 0, 1e-4)
		near(t, "plain high", *s.Plain.High, w.plainHigh, 0, 1e-4)
		near(t, "log low", *s.Log.Low, w.logLow, 0, 1e-7)
		near(t, "log high", *s.Log.High, w.logHigh, 0, 1e-7)
		near(t, "log-log low", *s.LogLog.Low, w.llLow, 0, 1e-7)
		near(t, "log-log high", *s.LogLog.High, w.llHigh, 0, 1e-7)
	}
	nearPtr(t, "median", MedianLife(steps), 23, 0)
	// The placebo group of the same trial and the log-rank χ² 16.8 (16.79):
	// from memory.
	var placebo []Observation
	for _, age := range []float64{1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23} {
		placebo = append(placebo, Failed(age))
	}
	c, err := LogRank([][]Observation{rows, placebo})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "log-rank", c.Statistic, 16.79, 0, 0.005)
	near(t, "expected failures", c.Expected[0], 19.25, 0, 0.005)
	if c.Degrees != 1 || c.P > 1e-4 {
		t.Error(c)
	}
}

// Shock absorbers; matches Meeker & Escobar 1998, table 3.5 (from memory),
// computed with R 4.2.2.
func TestKaplanMeierShockAbsorbers(t *testing.T) {
	steps, err := KaplanMeier(lives(t, "weibull_shock_absorber.csv"), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	want := map[float64]float64{6700: .02631579, 9120: .05495356, 12200: .09130150, 13150: .12916394, 14300: .17270574, 17520: .21624754, 20100: .28156025, 20900: .37136522, 22700: .46117019, 26510: .56893615, 27490: .71262410}
	if len(steps) != len(want) {
		t.Fatalf("%d steps", len(steps))
	}
	for _, s := range steps {
		near(t, "F", 1-s.Survival, want[s.Age], 0, 1e-7)
	}
}

// Groups drawn from one life differ by nothing, and the ratio test of two
// exponential groups equals its closed form.
func TestCompareFits(t *testing.T) {
	a := lives(t, "weibull_nist_handbook.csv")
	c, err := CompareFits([][]Observation{a, a}, Weibull)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "same group twice", c.Statistic, 0, 0, 1e-8)
	b := append([]Observation(nil), a...)
	for i := range b {
		b[i].Low /= 3
		if b[i].failed() {
			b[i].High /= 3
		}
	}
	c, err = CompareFits([][]Observation{a, b}, Exponential)
	if err != nil {
		t.Fatal(err)
	}
	// closed form: 2·r·ln of the mean over the geometric mean of the rates
	r, ta, tb := 10.0, 7771.0, 7771.0/3
	closed := 2 * (r*math.Log(r/ta) + r*math.Log(r/tb) - 2*r*math.Log(2*r/(ta+tb)))
	near(t, "exponential", c.Statistic, closed, 1e-9, 0)
}
