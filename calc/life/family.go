package life

import (
	"math"

	"pumpwright/calc/say"
)

// Distribution is a life distribution.
type Distribution string

// Show prints the word in the language of a style.
func (v Distribution) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Distribution) Message() say.Message { return say.Word("life", string(v)) }

// The distributions. All are location-scale distributions of y = ln t with
// z = (y − µ)/σ.
const (
	Weibull     Distribution = "weibull"     // R = exp(−e^z); shape β = 1/σ, scale η = e^µ
	Lognormal   Distribution = "lognormal"   // R = Φ(−z); shape σ, scale (median) e^µ
	Exponential Distribution = "exponential" // Weibull with β = 1
)

func (d Distribution) normal() bool { return d == Lognormal }

// survival returns R at z.
func (d Distribution) survival(z float64) float64 {
	if d.normal() {
		return 0.5 * math.Erfc(z/math.Sqrt2)
	}
	return math.Exp(-math.Exp(z))
}

// density returns the density of z and its derivative.
func (d Distribution) density(z float64) (f, df float64) {
	if d.normal() {
		f = math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
		return f, -z * f
	}
	e := math.Exp(z)
	f = math.Exp(z - e)
	return f, f * (1 - e)
}

// zAt returns z where a share p has failed.
func (d Distribution) zAt(p float64) float64 {
	if d.normal() {
		return math.Sqrt2 * math.Erfinv(2*p-1)
	}
	return math.Log(-math.Log1p(-p))
}

// logDensity returns ln f and its first two derivatives in z.
func (d Distribution) logDensity(z float64) (g, g1, g2 float64) {
	if d.normal() {
		return -z*z/2 - 0.5*math.Log(2*math.Pi), -z, -1
	}
	e := math.Exp(z)
	return z - e, 1 - e, -e
}

// logSurvival returns ln R and its first two derivatives in z.
func (d Distribution) logSurvival(z float64) (g, g1, g2 float64) {
	if d.normal() {
		h := hazardNormal(z)
		return logSurvivalNormal(z), -h, -h * (h - z)
	}
	e := math.Exp(z)
	return -e, -e, -e
}

// farTail is where the complementary error function loses its digits.
const farTail = 30

func logSurvivalNormal(z float64) float64 {
	if z < farTail {
		return math.Log(0.5 * math.Erfc(z/math.Sqrt2))
	}
	return -z*z/2 - 0.5*math.Log(2*math.Pi) - math.Log(z) + math.Log1p(-1/(z*z)+3/(z*z*z*z))
}

// hazardNormal returns φ(z)/Φ(−z).
func hazardNormal(z float64) float64 {
	if z < farTail {
		return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / (0.5 * math.Erfc(z/math.Sqrt2))
	}
	return z / (1 - 1/(z*z) + 3/(z*z*z*z))
}
