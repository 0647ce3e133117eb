package chain

import (
	"fmt"
	"math"
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Shape is the distribution of a link.
type Shape uint8

// The shapes of a link.
const (
	Normal      Shape = iota // value and standard uncertainty
	Rectangular              // anywhere between two limits, equally likely
)

// Link is one member of a chain. Value, U, Low, High and Common are in the SI
// unit of the chain's dimension.
type Link struct {
	Name        string
	Value       float64 // Normal: best value; Rectangular: not read
	U           float64 // Normal: standard uncertainty, ≥ 0
	Low, High   float64 // Rectangular: limits, Low < High
	Shape       Shape
	Sensitivity float64 // ∂Y/∂X; +1 opens the gap, −1 closes it
	Group       string  // links of one group share an error (one instrument)
	Common      float64 // the part of U that the links of the group share, ≤ U
	Ref         string  // where the value was entered
}

// Correlation is the coefficient between two links.
type Correlation struct {
	A, B string
	Rho  float64
}

// Chain is Y = Σ c_i·X_i.
type Chain struct {
	Dimension    quantity.Dimension // of every link and of the result
	Links        []Link
	Correlations []Correlation
}

// Contribution is the share of a link in the variance of the result.
type Contribution struct {
	Name  string
	Share float64
}

// Result is the value of a chain with its standard uncertainty.
type Result struct {
	Chain         Chain
	Value         float64 // SI unit of Chain.Dimension
	U             float64 // standard uncertainty, same unit
	Contributions []Contribution
}

var (
	msgNoLinks       = say.Define("chain.no_links", "a chain needs at least one link")
	msgNoName        = say.Define("chain.no_name", "a link needs a name")
	msgTwice         = say.Define("chain.twice", "the name “{name}” is used twice")
	msgNotFinite     = say.Define("chain.not_finite", "the number must be finite")
	msgUNegative     = say.Define("chain.u_negative", "a standard uncertainty is not below zero")
	msgLimits        = say.Define("chain.limits", "the lower limit must lie below the upper one")
	msgCommonTooBig  = say.Define("chain.common_too_big", "the shared part cannot be larger than the whole uncertainty, nor below zero")
	msgCommonNoGroup = say.Define("chain.common_no_group", "a shared part needs the group that shares it")
	msgCommonLimits  = say.Define("chain.common_limits", "a link given by limits cannot share an error; give its standard uncertainty instead")
	msgUnknownLink   = say.Define("chain.unknown_link", "there is no link “{name}”")
	msgLinksAre      = say.Define("chain.links_are", "the links are {names}")
	msgSelf          = say.Define("chain.self", "a link is not correlated with itself")
	msgRho           = say.Define("chain.rho", "a correlation lies between −1 and 1")
	msgRhoTwice      = say.Define("chain.rho_twice", "these two links are tied already, by another line or by a shared part")
	msgSayOnce       = say.Define("chain.say_once", "say it once")
	msgRhoLimits     = say.Define("chain.rho_limits", "a link given by limits cannot be correlated; give its standard uncertainty instead")
	msgImpossible    = say.Define("chain.impossible", "these correlations cannot all be true at once")
)

// best and spread return the mean and the standard uncertainty of a link.
func (l Link) best() float64 {
	if l.Shape == Rectangular {
		return (l.Low + l.High) / 2
	}
	return l.Value
}

func (l Link) spread() float64 {
	if l.Shape == Rectangular {
		return (l.High - l.Low) / (2 * math.Sqrt(3))
	}
	return l.U
}

// Solve adds the chain up.
//
//	Y    = Σ c_i·x_i
//	u²   = Σ_i Σ_j c_i·c_j·V_ij
//	V_ij = ρ_ij·u_i·u_j, or k_i·k_j for two links of one group
//
//	x, c   value and sensitivity of a link
//	u_i    standard uncertainty; (high − low)/√12 for limits
//	k_i    the part of u_i that the group shares
//
// The share of a link is c_i·Σ_j c_j·V_ij / u². The shares add to 1; a link
// whose shared error takes away more than its own adds has a negative share.
// All are 0 when u is 0.
//
// Errors: a say.Problem naming the link for numbers that are not finite,
// negative uncertainties, limits in the wrong order, unknown names and
// correlations that cannot hold together.
// Source: JCGM 100:2008, 5.2.2 equation (13) and F.1.2.3.
func (c Chain) Solve() (*Result, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	rho := c.correlation()
	n := len(c.Links)
	if _, ok := cholesky(rho, n); !ok {
		return nil, say.Refuse("correlation", "", msgImpossible.With(), say.Message{})
	}
	r := &Result{Chain: c, Contributions: make([]Contribution, n)}
	variance := 0.0
	for i, l := range c.Links {
		r.Value += l.Sensitivity * l.best()
		row := 0.0
		for j, m := range c.Links {
			row += m.Sensitivity * rho[i*n+j] * m.spread()
		}
		part := l.Sensitivity * l.spread() * row
		r.Contributions[i] = Contribution{Name: l.Name, Share: part}
		variance += part
	}
	variance = math.Max(variance, 0)
	r.U = math.Sqrt(variance)
	for i := range r.Contributions {
		if variance > 0 {
			r.Contributions[i].Share /= variance
		} else {
			r.Contributions[i].Share = 0
		}
	}
	return r, nil
}

func (c Chain) check() error {
	if len(c.Links) == 0 {
		return say.Refuse("links", "", msgNoLinks.With(), say.Message{})
	}
	seen := map[string]bool{}
	for i, l := range c.Links {
		if err := l.check(); err != nil {
			return say.In(fmt.Sprintf("links[%d]", i), err)
		}
		if seen[l.Name] {
			return say.Refuse(fmt.Sprintf("links[%d].name", i), l.Name, msgTwice.With(l.Name), say.Message{})
		}
		seen[l.Name] = true
	}
	tied := map[[2]int]bool{}
	for k, r := range c.Correlations {
		if err := c.checkCorrelation(r, tied); err != nil {
			return say.In(fmt.Sprintf("correlation[%d]", k), err)
		}
	}
	return nil
}

func (l Link) check() error {
	switch {
	case l.Name == "":
		return say.Refuse("name", "", msgNoName.With(), say.Message{})
	case !finite(l.Sensitivity):
		return refuseNumber("sensitivity", l.Sensitivity, msgNotFinite)
	case l.Shape == Rectangular && !(finite(l.Low) && finite(l.High)):
		return refuseNumber("low", l.Low, msgNotFinite)
	case l.Shape == Rectangular && !(l.Low < l.High):
		return refuseNumber("low", l.Low, msgLimits)
	case l.Shape == Rectangular && l.Common != 0:
		return refuseNumber("common", l.Common, msgCommonLimits)
	case l.Shape == Rectangular:
		return nil
	case !finite(l.Value):
		return refuseNumber("value", l.Value, msgNotFinite)
	case !finite(l.U):
		return refuseNumber("u", l.U, msgNotFinite)
	case l.U < 0:
		return refuseNumber("u", l.U, msgUNegative)
	case !(l.Common >= 0 && l.Common <= l.U*(1+1e-12)):
		return refuseNumber("common", l.Common, msgCommonTooBig)
	case l.Common > 0 && l.Group == "":
		return refuseNumber("common", l.Common, msgCommonNoGroup)
	}
	return nil
}

func (c Chain) checkCorrelation(r Correlation, tied map[[2]int]bool) error {
	a, b := c.find(r.A), c.find(r.B)
	switch {
	case a < 0:
		return say.Refuse("a", r.A, msgUnknownLink.With(r.A), msgLinksAre.With(c.names()))
	case b < 0:
		return say.Refuse("b", r.B, msgUnknownLink.With(r.B), msgLinksAre.With(c.names()))
	case a == b:
		return say.Refuse("b", r.B, msgSelf.With(), say.Message{})
	case !(r.Rho >= -1 && r.Rho <= 1):
		return refuseNumber("rho", r.Rho, msgRho)
	case c.Links[a].Shape == Rectangular || c.Links[b].Shape == Rectangular:
		return say.Refuse("a", r.A, msgRhoLimits.With(), say.Message{})
	}
	if a > b {
		a, b = b, a
	}
	shared := c.Links[a].Group != "" && c.Links[a].Group == c.Links[b].Group && c.Links[a].Common > 0 && c.Links[b].Common > 0
	if tied[[2]int{a, b}] || shared {
		return say.Refuse("a", r.A, msgRhoTwice.With(), msgSayOnce.With())
	}
	tied[[2]int{a, b}] = true
	return nil
}

func (c Chain) find(name string) int {
	for i, l := range c.Links {
		if l.Name == name {
			return i
		}
	}
	return -1
}

func (c Chain) names() []string {
	names := make([]string, len(c.Links))
	for i, l := range c.Links {
		names[i] = l.Name
	}
	return names
}

// correlation returns ρ_ij of a checked chain, row by row; 1 on the diagonal.
func (c Chain) correlation() []float64 {
	n := len(c.Links)
	r := make([]float64, n*n)
	for i, a := range c.Links {
		r[i*n+i] = 1
		for j, b := range c.Links[:i] {
			if a.Group != "" && a.Group == b.Group && a.Common > 0 && b.Common > 0 {
				r[i*n+j] = (a.Common / a.U) * (b.Common / b.U)
				r[j*n+i] = r[i*n+j]
			}
		}
	}
	for _, k := range c.Correlations {
		i, j := c.find(k.A), c.find(k.B)
		r[i*n+j], r[j*n+i] = k.Rho, k.Rho
	}
	return r
}

// cholesky factors a correlation matrix that may be singular (ρ = ±1); ok is
// false when it is not positive semidefinite.
func cholesky(r []float64, n int) (l []float64, ok bool) {
	l = make([]float64, n*n)
	for j := range n {
		d := 1.0
		for k := range j {
			d -= l[j*n+k] * l[j*n+k]
		}
		if d < -1e-9 {
			return nil, false
		}
		zero := d <= 1e-12
		if !zero {
			l[j*n+j] = math.Sqrt(d)
		}
		for i := j + 1; i < n; i++ {
			s := r[i*n+j]
			for k := range j {
				s -= l[i*n+k] * l[j*n+k]
			}
			if !zero {
				l[i*n+j] = s / l[j*n+j]
			} else if math.Abs(s) > 1e-6 {
				return nil, false
			}
		}
	}
	return l, true
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func refuseNumber(field string, v float64, why say.Template) error {
	return say.Refuse(field, strconv.FormatFloat(v, 'g', 6, 64), why.With(), say.Message{})
}
