package diagnose

import "math"

// NoisyOr returns the chance of an effect when causes of the given strengths
// are at work: 1 − (1 − leak)·Π (1 − strength).
func NoisyOr(leak float64, strengths ...float64) float64 {
	none := 1 - leak
	for _, s := range strengths {
		none *= 1 - s
	}
	return 1 - none
}

// Update returns the posterior of causes that exclude each other: prior times
// likelihood, made to add to 1. It is nil when nothing is possible.
func Update(prior, likelihood []float64) []float64 {
	posterior := make([]float64, len(prior))
	var sum float64
	for i := range prior {
		posterior[i] = prior[i] * likelihood[i]
		sum += posterior[i]
	}
	if !(sum > 0) {
		return nil
	}
	for i := range posterior {
		posterior[i] /= sum
	}
	return posterior
}

// Entropy returns −Σ p·log₂ p in bits.
func Entropy(p []float64) float64 {
	var h float64
	for _, v := range p {
		h -= plogp(v)
	}
	return h
}

// Gain returns the expected fall of entropy, in bits, from a check with
// several outcomes: likelihood[outcome][cause] is the chance of the outcome
// when the cause is at work.
//
//	I = H(outcome) − Σ p(cause)·H(outcome | cause)
func Gain(p []float64, likelihood [][]float64) float64 {
	var gain float64
	for _, row := range likelihood {
		var mean float64
		for j, v := range row {
			mean += p[j] * v
			gain += p[j] * plogp(v)
		}
		gain -= plogp(mean)
	}
	return math.Max(gain, 0)
}

func plogp(p float64) float64 {
	if p <= 0 {
		return 0
	}
	return p * math.Log2(p)
}
