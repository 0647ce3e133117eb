package metrology

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"pumpwright/calc/say"
)

var (
	msgSamples      = say.Define("metrology.samples", "the number of draws must lie between {least:count} and {most:count}")
	msgWriteSamples = say.Define("metrology.write_samples", "100000 draws give two safe digits of the uncertainty")
)

// Distribution is what is believed of one input. Draw takes the next value
// from a source.
type Distribution interface {
	Draw(r *rand.Rand) float64
}

// Normal is a normal distribution.
type Normal struct{ Mean, U float64 }

// Draw draws a value.
func (d Normal) Draw(r *rand.Rand) float64 { return d.Mean + d.U*r.NormFloat64() }

// Student is a scaled and shifted t distribution: a mean of few readings.
// Source: JCGM 101:2008, 6.4.9.
type Student struct{ Mean, Scale, DOF float64 }

// Draw draws a value.
func (d Student) Draw(r *rand.Rand) float64 {
	return d.Mean + d.Scale*r.NormFloat64()/math.Sqrt(2*drawGamma(d.DOF/2, r)/d.DOF)
}

// Uniform is a rectangular distribution between two limits.
type Uniform struct{ Low, High float64 }

// Draw draws a value.
func (d Uniform) Draw(r *rand.Rand) float64 { return d.Low + (d.High-d.Low)*r.Float64() }

// UniformInexact is a rectangular distribution whose limits are themselves
// known only within ± Inexact. Source: JCGM 101:2008, 6.4.3.
type UniformInexact struct{ Low, High, Inexact float64 }

// Draw draws a value.
func (d UniformInexact) Draw(r *rand.Rand) float64 {
	shift := d.Inexact * (2*r.Float64() - 1)
	low := d.Low + shift
	high := d.Low + d.High - low
	return low + (high-low)*r.Float64()
}

// TriangularBetween is a symmetric triangular distribution.
type TriangularBetween struct{ Low, High float64 }

// Draw draws a value.
func (d TriangularBetween) Draw(r *rand.Rand) float64 {
	return d.Low + (d.High-d.Low)*(r.Float64()+r.Float64())/2
}

// ArcsineBetween is the distribution of a value that swings between limits.
type ArcsineBetween struct{ Low, High float64 }

// Draw draws a value.
func (d ArcsineBetween) Draw(r *rand.Rand) float64 {
	return (d.Low+d.High)/2 + (d.High-d.Low)/2*math.Sin(2*math.Pi*r.Float64())
}

// drawGamma draws from a gamma distribution of shape a > 0 and scale 1.
// Source: Marsaglia & Tsang, A simple method for generating gamma variables,
// ACM TOMS 26 (2000).
func drawGamma(a float64, r *rand.Rand) float64 {
	if a < 1 {
		return drawGamma(a+1, r) * math.Pow(1-r.Float64(), 1/a)
	}
	d := a - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := r.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v = v * v * v
		if u := 1 - r.Float64(); math.Log(u) < x*x/2+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}

// Spread is what many draws of a result say.
type Spread struct {
	Mean, U   float64
	Low, High float64 // the same chance outside on either side
	Samples   int
}

// The number of draws that MonteCarlo accepts.
const (
	LeastSamples = 100
	MostSamples  = 20_000_000
)

// MonteCarlo draws the inputs, computes the model and gives mean, standard
// uncertainty and the coverage interval with equal chances outside on both
// sides. The same source gives the same answer. Numbers in SI.
// Source: JCGM 101:2008, clause 7.
func MonteCarlo(inputs []Distribution, model func(x []float64) float64, samples int, confidence float64, source rand.Source) (Spread, error) {
	if err := checkConfidence(confidence); err != nil {
		return Spread{}, err
	}
	if samples < LeastSamples || samples > MostSamples {
		return Spread{}, say.Refuse("samples", strconv.Itoa(samples), msgSamples.With(LeastSamples, MostSamples), msgWriteSamples.With())
	}
	r := rand.New(source)
	x := make([]float64, len(inputs))
	y := make([]float64, samples)
	mean := 0.0
	for k := range y {
		for i, d := range inputs {
			x[i] = d.Draw(r)
		}
		y[k] = model(x)
		mean += y[k]
	}
	mean /= float64(samples)
	squares := 0.0
	for _, v := range y {
		squares += (v - mean) * (v - mean)
	}
	if err := finite("result", squares); err != nil {
		return Spread{}, err
	}
	slices.Sort(y)
	outside := (1 - confidence) / 2
	return Spread{Mean: mean, U: math.Sqrt(squares / float64(samples-1)), Low: quantile(y, outside), High: quantile(y, 1-outside), Samples: samples}, nil
}

// quantile interpolates between the sorted values.
func quantile(sorted []float64, p float64) float64 {
	place := p*float64(len(sorted)) - 0.5
	i := min(max(int(math.Floor(place)), 0), len(sorted)-2)
	return sorted[i] + (place-float64(i))*(sorted[i+1]-sorted[i])
}
