package life

import (
	"testing"
)

// A part that is replaced starts at 0 again.
func TestSplit(t *testing.T) {
	parts, err := Split([]Reading{{100, 1, 0}, {500, 2, 0}, {500, 0.1, 0}, {900, 0.5, 0}}, []float64{500})
	if err != nil {
		t.Fatal(err)
	}
	if len(parts) != 2 || len(parts[0]) != 2 || len(parts[1]) != 2 || parts[1][0].Hours != 0 || parts[1][1].Hours != 400 {
		t.Errorf("%v", parts)
	}
	if _, err := Split([]Reading{{100, 1, 0}, {50, 2, 0}}, nil); err == nil {
		t.Error("hours that run backwards were taken")
	}
}

// Pooling: the eight schools of Gelman et al., Bayesian Data Analysis, are
// alike within their uncertainties (restricted maximum likelihood gives no
// spread, pooled mean 7.7 ± 4.1: from memory). Where all uncertainties are
// equal the estimate has a closed form.
func TestPool(t *testing.T) {
	var schools []Rate
	for i, y := range []float64{28, 8, -3, 7, -1, 1, 18, 12} {
		schools = append(schools, Rate{y, []float64{15, 10, 16, 11, 9, 11, 10, 18}[i]})
	}
	p, err := Pool(schools)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", p.Mean, 7.7, 0, 0.05)
	near(t, "u", p.MeanU, 4.1, 0, 0.05)
	near(t, "between", p.Between, 0, 0, 0)
	rates := []Rate{{1, 0.3}, {3, 0.3}, {4, 0.3}, {8, 0.3}}
	if p, err = Pool(rates); err != nil {
		t.Fatal(err)
	}
	near(t, "mean", p.Mean, 4, 1e-12, 0)
	near(t, "between²", p.Between*p.Between, 26.0/3-0.09, 1e-9, 0)
	w := p.Between * p.Between / (p.Between*p.Between + 0.09)
	near(t, "shrunk", p.Shrunk[0].Slope, w*1+(1-w)*4, 1e-9, 0)
	if _, err := Pool(rates[:1]); err == nil {
		t.Error("one rate was pooled")
	}
}
