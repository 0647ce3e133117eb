package metrology

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	msgNoParts       = say.Define("metrology.no_parts", "the budget has no parts")
	msgGivePart      = say.Define("metrology.give_part", "give at least one part with its uncertainty")
	msgDOF           = say.Define("metrology.dof", "degrees of freedom must be 1 or more")
	msgWriteDOF      = say.Define("metrology.write_dof", "write the number of readings less one, or leave it out when the uncertainty is well known")
	msgRho           = say.Define("metrology.rho", "a correlation must lie between −1 and 1")
	msgWriteRho      = say.Define("metrology.write_rho", "write a number from −1 to 1 between two different parts")
	msgImpossible    = say.Define("metrology.impossible_correlation", "these correlations cannot all hold at once")
	msgCheckRho      = say.Define("metrology.check_rho", "check the correlations against each other")
	msgTruncated     = say.Define("metrology.truncated", "the effective degrees of freedom {dof:number} are cut down to {whole:count} for the coverage factor")
	msgCorrelatedDOF = say.Define("metrology.correlated_dof", "the effective degrees of freedom leave out the correlations: the formula is for parts that are independent")
	msgBudgetU       = say.Define("metrology.budget_u", "combined standard uncertainty")
	msgBudgetPart    = say.Define("metrology.budget_part", "uncertainty from {part}")
)

// Part is one contribution to a budget.
type Part struct {
	Name        string
	U           float64 // standard uncertainty of the input, SI of the input
	Sensitivity float64 // change of the result per change of the input, SI
	DOF         float64 // degrees of freedom of U; 0 or +Inf: well known
}

// Correlation is the correlation coefficient between two parts, by index.
type Correlation struct {
	A, B int
	Rho  float64
}

// Budget collects what a result is uncertain by.
type Budget struct {
	Dimension    quantity.Dimension // of a difference of two results
	Parts        []Part
	Correlations []Correlation
}

// Combined is a budget added up.
type Combined struct {
	Budget        Budget
	Confidence    float64
	Contributions []float64 // |c u| of each part, SI
	Shares        []float64 // of the variance; with correlations the cross terms are halved between the two parts
	U             float64   // combined standard uncertainty, SI
	DOF           float64   // effective, not cut down; +Inf when all parts are well known
	DOFUsed       float64   // cut down to a whole number for K
	K             float64   // coverage factor, two-sided
	Expanded      float64   // K·U, SI
	Warnings      []say.Message
}

// Combine adds up the budget:
//
//	u² = Σ (c_i u_i)² + 2 Σ c_i c_j ρ_ij u_i u_j            JCGM 100, (13), (16)
//	ν_eff = (Σ (c_i u_i)²)² / Σ ((c_i u_i)⁴/ν_i)              JCGM 100, (G.2b)
//	k = t_{(1+p)/2}(⌊ν_eff⌋),  U = k u                       JCGM 100, G.3, G.4.1
//
// ν_eff is cut down to a whole number (G.4.1, note 1), which makes k a little
// larger, and that is said. The formula for ν_eff is for independent parts.
// p two-sided, 0.5 < p < 1.
func (b Budget) Combine(confidence float64) (Combined, error) {
	if err := b.check(confidence); err != nil {
		return Combined{}, err
	}
	c := Combined{Budget: b, Confidence: confidence}
	largest := 0.0 // the unit of all squares below, so that none vanishes
	for _, p := range b.Parts {
		c.Contributions = append(c.Contributions, math.Abs(p.Sensitivity*p.U))
		largest = math.Max(largest, math.Abs(p.Sensitivity*p.U))
	}
	c.DOF = math.Inf(1)
	c.Shares = make([]float64, len(b.Parts))
	if largest > 0 {
		if err := c.addUp(largest); err != nil {
			return Combined{}, err
		}
	}
	c.K, c.DOFUsed = CoverageFactor(confidence, c.DOF)
	c.Expanded = c.K * c.U
	if c.DOF-c.DOFUsed > 1e-6 {
		c.Warnings = append(c.Warnings, msgTruncated.With(c.DOF, int(math.Min(c.DOFUsed, 1e9))))
	}
	if len(b.Correlations) > 0 && !math.IsInf(c.DOF, 1) {
		c.Warnings = append(c.Warnings, msgCorrelatedDOF.With())
	}
	return c, nil
}

// addUp fills in shares, uncertainty and degrees of freedom.
func (c *Combined) addUp(largest float64) error {
	variance, quartic := 0.0, 0.0
	for i, p := range c.Budget.Parts {
		relative := c.Contributions[i] / largest
		c.Shares[i] = relative * relative
		variance += c.Shares[i]
		if p.DOF > 0 && !math.IsInf(p.DOF, 1) {
			quartic += c.Shares[i] * c.Shares[i] / p.DOF
		}
	}
	if quartic > 0 {
		c.DOF = variance * variance / quartic
	}
	for _, r := range c.Budget.Correlations {
		a, z := c.Budget.Parts[r.A], c.Budget.Parts[r.B]
		cross := a.Sensitivity * a.U / largest * (z.Sensitivity * z.U / largest) * r.Rho
		c.Shares[r.A] += cross
		c.Shares[r.B] += cross
		variance += 2 * cross
	}
	if variance < -1e-12*sum(c.Shares, math.Abs) {
		return say.Refuse("correlation", "", msgImpossible.With(), msgCheckRho.With())
	}
	variance = math.Max(variance, 0)
	for i := range c.Shares {
		if variance > 0 {
			c.Shares[i] /= variance
		}
	}
	c.U = largest * math.Sqrt(variance)
	return nil
}

func sum(values []float64, of func(float64) float64) float64 {
	total := 0.0
	for _, v := range values {
		total += of(v)
	}
	return total
}

func (b Budget) check(confidence float64) error {
	if err := checkConfidence(confidence); err != nil {
		return err
	}
	if len(b.Parts) == 0 {
		return say.Refuse("parts", "", msgNoParts.With(), msgGivePart.With())
	}
	for i, p := range b.Parts {
		field := "parts[" + strconv.Itoa(i) + "]"
		if err := zeroOrMore(field+".u", p.U); err != nil {
			return err
		}
		if err := finite(field+".sensitivity", p.Sensitivity); err != nil {
			return err
		}
		if err := finite(field+".u", p.U*p.Sensitivity); err != nil {
			return err
		}
		if p.DOF != 0 && !(p.DOF >= 1) {
			return say.Refuse(field+".dof", formatNumber(p.DOF), msgDOF.With(), msgWriteDOF.With())
		}
	}
	for i, r := range b.Correlations {
		if !(r.Rho >= -1 && r.Rho <= 1) || r.A == r.B || r.A < 0 || r.B < 0 || r.A >= len(b.Parts) || r.B >= len(b.Parts) {
			return say.Refuse("correlation["+strconv.Itoa(i)+"]", formatNumber(r.Rho), msgRho.With(), msgWriteRho.With())
		}
	}
	return nil
}

// CoverageFactor returns k = t_{(1+p)/2}(ν) with ν cut down to a whole number,
// and the ν used; the normal quantile when ν is infinite. 0.5 < p < 1, ν ≥ 1.
// Source: JCGM 100:2008, G.3 and G.4.1.
func CoverageFactor(confidence, dof float64) (k, dofUsed float64) {
	const asNormal = 1e7
	tail := (1 + confidence) / 2
	dofUsed = math.Floor(dof + 1e-9) // 4 that came out as 3.9999999999 is 4
	if !(dofUsed < asNormal) {
		return distuv.UnitNormal.Quantile(tail), math.Inf(1)
	}
	dofUsed = math.Max(1, dofUsed)
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: dofUsed}.Quantile(tail), dofUsed
}

// Working returns the tree of the combined uncertainty.
func (c Combined) Working() *working.Node {
	root := &working.Node{ID: "budget.u", Name: msgBudgetU.With(), Symbol: "u_c", Dimension: c.Budget.Dimension, Value: c.U,
		Equation: "u_c² = Σ (c u)² + 2 Σ c_i c_j ρ u_i u_j", Source: "JCGM 100:2008, (13) and (16)"}
	for i, p := range c.Budget.Parts {
		root.Inputs = append(root.Inputs, &working.Node{ID: "budget.part." + strconv.Itoa(i), Name: msgBudgetPart.With(p.Name), Symbol: "c u",
			Dimension: c.Budget.Dimension, Value: c.Contributions[i], Ref: "parts[" + strconv.Itoa(i) + "]"})
	}
	return root
}

// Propagated is a result with the uncertainty that its inputs pass on.
type Propagated struct {
	Value       float64   // f(x), SI
	Sensitivity []float64 // ∂f/∂x_i
	U           float64   // to first order
	USecond     float64   // with the second-order terms
}

// Propagate finds the sensitivities of a model by central differences with
// steps of the standard uncertainties, and adds up independent inputs:
//
//	u²  = Σ (∂f/∂x_i)² u_i²
//	u₂² = u² + ½ ΣΣ (∂²f/∂x_i∂x_j)² u_i² u_j²
//
// The second form is exact for products of two normal inputs; terms with third
// derivatives are left out. All in SI; u_i ≥ 0. Source: JCGM 100:2008, 5.1.2
// with its note, 5.1.3.
func Propagate(model func(x []float64) float64, x, u []float64) (Propagated, error) {
	if len(x) == 0 || len(x) != len(u) {
		return Propagated{}, say.Refuse("inputs", strconv.Itoa(len(x)), msgNoParts.With(), msgGivePart.With())
	}
	for i := range x {
		if err := finite("inputs["+strconv.Itoa(i)+"]", x[i]); err != nil {
			return Propagated{}, err
		}
		if err := zeroOrMore("inputs["+strconv.Itoa(i)+"].u", u[i]); err != nil {
			return Propagated{}, err
		}
	}
	at := append([]float64(nil), x...)
	eval := func(i int, si float64, j int, sj float64) float64 {
		copy(at, x)
		at[i] += si * u[i]
		at[j] += sj * u[j]
		return model(at)
	}
	result := Propagated{Value: model(append([]float64(nil), x...)), Sensitivity: make([]float64, len(x))}
	first, second := 0.0, 0.0
	for i := range x {
		plus, minus := eval(i, 1, i, 0), eval(i, -1, i, 0)
		if u[i] > 0 {
			result.Sensitivity[i] = (plus - minus) / (2 * u[i])
		}
		first += (plus - minus) * (plus - minus) / 4
		curve := plus - 2*result.Value + minus
		second += curve * curve / 2
		for j := range i {
			mixed := (eval(i, 1, j, 1) - eval(i, 1, j, -1) - eval(i, -1, j, 1) + eval(i, -1, j, -1)) / 4
			second += mixed * mixed
		}
	}
	result.U, result.USecond = math.Sqrt(first), math.Sqrt(first+second)
	if err := finite("result", result.USecond+result.Value); err != nil {
		return Propagated{}, err
	}
	return result, nil
}
