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
	msgStudyParts     = say.Define("metrology.study_parts", "a gauge study needs two parts or more, each read twice or more by every person")
	msgStudyPeople    = say.Define("metrology.study_people", "a gauge study needs two people or more")
	msgStudyDesign    = say.Define("metrology.study_design", "every person reads every part equally often, at least twice")
	msgStudyUneven    = say.Define("metrology.study_uneven", "{operator} read part {part} {n:count|time|times}, others {usual:count|time|times}")
	msgStudyTooLarge  = say.Define("metrology.study_too_large", "the average and range method has factors for up to {parts:count} parts, {people:count} people and {trials:count} trials")
	msgStudyUseANOVA  = say.Define("metrology.study_use_anova", "use the method anova")
	msgStudyMethod    = say.Define("metrology.study_method", "this method is not known")
	msgStudyMethods   = say.Define("metrology.study_methods", "the methods are anova and range")
	msgStudyPooled    = say.Define("metrology.study_pooled", "part and person do not act together (p = {p:number}): their share is pooled into the repeatability")
	msgStudyKept      = say.Define("metrology.study_kept", "part and person act together (p = {p:number}): some read some parts differently")
	msgStudyNegative  = say.Define("metrology.study_negative", "the variance of {what} came out below zero and is taken as zero")
	msgStudyNoSpread  = say.Define("metrology.study_no_spread", "all readings are equal: the gauge is too coarse for these parts")
	msgFinerGauge     = say.Define("metrology.finer_gauge", "take a gauge with a finer step")
	msgTolerance      = say.Define("metrology.tolerance", "the tolerance must be greater than zero")
	msgWriteTolerance = say.Define("metrology.write_tolerance", "give the width between the limits")
	msgStudyGRR       = say.Define("metrology.study_grr", "repeatability and reproducibility together")
	msgStudyEV        = say.Define("metrology.study_ev", "repeatability")
	msgStudyAV        = say.Define("metrology.study_av", "reproducibility")
)

// Observation is one reading of a gauge study.
type Observation struct {
	Part, Operator string
	Value          float64
}

// Study is the readings of a gauge study, in the SI unit of a dimension.
type Study struct {
	Dimension    quantity.Dimension
	Observations []Observation
	Tolerance    float64 // width between the limits; 0: not given
	KeepAll      bool    // never pool the interaction into the repeatability
}

// ANOVARow is one line of the table of variance.
type ANOVARow struct {
	Source string // part, operator, interaction, repeatability, total
	DOF    float64
	SS, MS float64
	F, P   *float64 // nil where there is none
}

// StudyResult is what a gauge study says.
type StudyResult struct {
	Study           Study
	Method          string // anova or range
	ANOVA           []ANOVARow
	Pooled          bool
	Repeatability   float64 // standard deviations, SI
	Reproducibility float64 // with the interaction, where it is kept
	Interaction     float64
	GRR             float64
	PartSD          float64
	Total           float64
	Percent         float64  // 100 GRR/Total
	PercentOfLimits *float64 // 100·6 GRR/tolerance
	Categories      float64  // groups of parts that can be told apart, not cut down
	Notes           []say.Message
}

// PoolingP is the chance above which the interaction is pooled. Source: AIAG,
// Measurement Systems Analysis, 4th edition.
const PoolingP = 0.05

// grid is a balanced study as a table.
type grid struct {
	parts, operators []string
	trials           int
	cell             [][][]float64 // operator, part, trial
}

func (s Study) grid() (grid, error) {
	var g grid
	partAt, operatorAt := map[string]int{}, map[string]int{}
	for i, o := range s.Observations {
		if err := finite("rows["+strconv.Itoa(i)+"].value", o.Value); err != nil {
			return grid{}, err
		}
		if _, known := partAt[o.Part]; !known {
			partAt[o.Part] = len(g.parts)
			g.parts = append(g.parts, o.Part)
		}
		if _, known := operatorAt[o.Operator]; !known {
			operatorAt[o.Operator] = len(g.operators)
			g.operators = append(g.operators, o.Operator)
		}
	}
	if len(g.parts) < 2 {
		return grid{}, say.Refuse("rows", strconv.Itoa(len(s.Observations)), msgStudyParts.With(), msgStudyDesign.With())
	}
	if len(g.operators) < 2 {
		return grid{}, say.Refuse("rows", strconv.Itoa(len(s.Observations)), msgStudyPeople.With(), msgStudyDesign.With())
	}
	if equal(s.Observations) {
		return grid{}, say.Refuse("rows", strconv.Itoa(len(s.Observations)), msgStudyNoSpread.With(), msgFinerGauge.With())
	}
	g.cell = make([][][]float64, len(g.operators))
	for i := range g.cell {
		g.cell[i] = make([][]float64, len(g.parts))
	}
	for _, o := range s.Observations {
		cell := &g.cell[operatorAt[o.Operator]][partAt[o.Part]]
		*cell = append(*cell, o.Value)
	}
	g.trials = len(g.cell[0][0])
	for i, row := range g.cell {
		for j, cell := range row {
			if len(cell) != g.trials {
				return grid{}, say.Refuse("rows", strconv.Itoa(len(s.Observations)),
					msgStudyUneven.With(g.operators[i], g.parts[j], len(cell), g.trials), msgStudyDesign.With())
			}
		}
	}
	if g.trials < 2 {
		return grid{}, say.Refuse("rows", strconv.Itoa(len(s.Observations)), msgStudyParts.With(), msgStudyDesign.With())
	}
	if s.Tolerance < 0 || math.IsNaN(s.Tolerance) || math.IsInf(s.Tolerance, 0) {
		return grid{}, say.Refuse("tolerance", formatNumber(s.Tolerance), msgTolerance.With(), msgWriteTolerance.With())
	}
	return g, nil
}

func equal(observations []Observation) bool {
	for _, o := range observations {
		if o.Value != observations[0].Value {
			return false
		}
	}
	return true
}

// means returns the means over operators, over parts, over cells, and of all.
func (g grid) means() (byOperator, byPart []float64, byCell [][]float64, all float64) {
	byOperator, byPart = make([]float64, len(g.operators)), make([]float64, len(g.parts))
	byCell = make([][]float64, len(g.operators))
	for i, row := range g.cell {
		byCell[i] = make([]float64, len(g.parts))
		for j, cell := range row {
			mean, _ := meanAndSquares(cell)
			byCell[i][j] = mean
			byOperator[i] += mean / float64(len(g.parts))
			byPart[j] += mean / float64(len(g.operators))
			all += mean / float64(len(g.parts)*len(g.operators))
		}
	}
	return byOperator, byPart, byCell, all
}

// ByANOVA evaluates a balanced study with parts and operators as random
// effects. With a parts, b operators, n trials:
//
//	σ²_rep = MS_rep · σ²_int = (MS_int − MS_rep)/n · σ²_op = (MS_op − MS_int)/(a n)
//	σ²_part = (MS_part − MS_int)/(b n)
//
// The interaction is pooled into the repeatability when its F test has
// p > 0.05 (and KeepAll is not set); components below zero become zero, and
// both are said. Categories = √2 σ_part/σ_GRR. Source: AIAG, Measurement
// Systems Analysis, 4th edition, appendix A; Montgomery, Design and Analysis
// of Experiments, two-factor random model.
func (s Study) ByANOVA() (StudyResult, error) {
	g, err := s.grid()
	if err != nil {
		return StudyResult{}, err
	}
	a, b, n := float64(len(g.parts)), float64(len(g.operators)), float64(g.trials)
	byOperator, byPart, byCell, all := g.means()
	var ssPart, ssOperator, ssInteraction, ssRepeat float64
	for _, m := range byPart {
		ssPart += b * n * (m - all) * (m - all)
	}
	for i, m := range byOperator {
		ssOperator += a * n * (m - all) * (m - all)
		for j := range g.parts {
			d := byCell[i][j] - m - byPart[j] + all
			ssInteraction += n * d * d
			_, squares := meanAndSquares(g.cell[i][j])
			ssRepeat += squares
		}
	}
	dofPart, dofOperator, dofInteraction, dofRepeat := a-1, b-1, (a-1)*(b-1), a*b*(n-1)
	msPart, msOperator, msInteraction, msRepeat := ssPart/dofPart, ssOperator/dofOperator, ssInteraction/dofInteraction, ssRepeat/dofRepeat
	r := StudyResult{Study: s, Method: "anova"}
	f, p := fTest(msInteraction, msRepeat, dofInteraction, dofRepeat)
	r.Pooled = p != nil && *p > PoolingP && !s.KeepAll
	fPart, pPart := fTest(msPart, msInteraction, dofPart, dofInteraction)
	fOperator, pOperator := fTest(msOperator, msInteraction, dofOperator, dofInteraction)
	r.ANOVA = []ANOVARow{
		{"part", dofPart, ssPart, msPart, fPart, pPart},
		{"operator", dofOperator, ssOperator, msOperator, fOperator, pOperator},
		{"interaction", dofInteraction, ssInteraction, msInteraction, f, p},
		{"repeatability", dofRepeat, ssRepeat, msRepeat, nil, nil},
		{Source: "total", DOF: a*b*n - 1, SS: ssPart + ssOperator + ssInteraction + ssRepeat, MS: (ssPart + ssOperator + ssInteraction + ssRepeat) / (a*b*n - 1)},
	}
	repeat, against, interaction := msRepeat, msInteraction, 0.0
	switch {
	case r.Pooled:
		repeat = (ssInteraction + ssRepeat) / (dofInteraction + dofRepeat)
		against = repeat
		r.Notes = append(r.Notes, msgStudyPooled.With(*p))
	default:
		interaction = r.component("interaction", (msInteraction-msRepeat)/n)
		if p != nil && *p <= PoolingP {
			r.Notes = append(r.Notes, msgStudyKept.With(*p))
		}
	}
	operator := r.component("operator", (msOperator-against)/(a*n))
	part := r.component("part", (msPart-against)/(b*n))
	r.Repeatability, r.Interaction = math.Sqrt(repeat), math.Sqrt(interaction)
	r.Reproducibility, r.PartSD = math.Sqrt(operator+interaction), math.Sqrt(part)
	r.finish(math.Sqrt2)
	return r, nil
}

func (r *StudyResult) component(what string, variance float64) float64 {
	if variance < 0 {
		r.Notes = append(r.Notes, msgStudyNegative.With(what))
		return 0
	}
	return variance
}

// fTest returns F and the chance of one as large by accident; nil when the
// denominator is zero.
func fTest(numerator, denominator, dof1, dof2 float64) (f, p *float64) {
	if denominator <= 0 {
		return nil, nil
	}
	ratio := numerator / denominator
	chance := distuv.F{D1: dof1, D2: dof2}.Survival(ratio)
	return &ratio, &chance
}

func (r *StudyResult) finish(factor float64) {
	r.GRR = math.Hypot(r.Repeatability, r.Reproducibility)
	r.Total = math.Hypot(r.GRR, r.PartSD)
	if r.Total > 0 {
		r.Percent = 100 * r.GRR / r.Total
	}
	if r.GRR > 0 {
		r.Categories = factor * r.PartSD / r.GRR
	}
	if r.Study.Tolerance > 0 {
		r.PercentOfLimits = pointer(100 * 6 * r.GRR / r.Study.Tolerance)
	}
}

// Factors of the average and range method, 1/d₂ for the trials and 1/d₂* (one
// group) for people and parts, from two upwards, as printed. Source: AIAG,
// Measurement Systems Analysis, 4th edition; K for 2 to 5 trials and the
// values for other counts than 3 people and 10 parts from memory.
var (
	trialFactor = []float64{0.8862, 0.5908, 0.4857, 0.4299}
	groupFactor = []float64{0.7071, 0.5231, 0.4467, 0.4030, 0.3742, 0.3534, 0.3375, 0.3249, 0.3146}
)

// ByRange evaluates a balanced study by averages and ranges:
//
//	EV = R̄ K₁ · AV² = (X̄_diff K₂)² − EV²/(a n) · GRR² = EV² + AV² · PV = R_p K₃
//
// Categories = 1.41 PV/GRR. It cannot see whether part and person act
// together. Up to 10 parts, 10 people, 5 trials. Source: AIAG, Measurement
// Systems Analysis, 4th edition, average and range method.
func (s Study) ByRange() (StudyResult, error) {
	g, err := s.grid()
	if err != nil {
		return StudyResult{}, err
	}
	if g.trials-2 >= len(trialFactor) || len(g.operators)-2 >= len(groupFactor) || len(g.parts)-2 >= len(groupFactor) {
		return StudyResult{}, say.Refuse("rows", strconv.Itoa(len(s.Observations)),
			msgStudyTooLarge.With(len(groupFactor)+1, len(groupFactor)+1, len(trialFactor)+1), msgStudyUseANOVA.With())
	}
	byOperator, byPart, _, _ := g.means()
	meanRange := 0.0
	for _, row := range g.cell {
		for _, cell := range row {
			meanRange += rangeOf(cell) / float64(len(g.parts)*len(g.operators))
		}
	}
	r := StudyResult{Study: s, Method: "range"}
	r.Repeatability = meanRange * trialFactor[g.trials-2]
	people := rangeOf(byOperator) * groupFactor[len(g.operators)-2]
	variance := people*people - r.Repeatability*r.Repeatability/float64(len(g.parts)*g.trials)
	r.Reproducibility = math.Sqrt(r.component("operator", variance))
	r.PartSD = rangeOf(byPart) * groupFactor[len(g.parts)-2]
	r.finish(1.41)
	return r, nil
}

// By evaluates with a method by its name, anova or range.
func (s Study) By(method string) (StudyResult, error) {
	switch method {
	case "anova":
		return s.ByANOVA()
	case "range":
		return s.ByRange()
	}
	return StudyResult{}, say.Refuse("method", method, msgStudyMethod.With(), msgStudyMethods.With())
}

func rangeOf(values []float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return high - low
}

// Working returns the tree of the combined standard deviation.
func (r StudyResult) Working() *working.Node {
	source := "AIAG, Measurement Systems Analysis, 4th edition, " + r.Method
	leaf := func(id string, name say.Message, symbol string, v float64) *working.Node {
		return &working.Node{ID: id, Name: name, Symbol: symbol, Dimension: r.Study.Dimension, Value: v, Source: source, Ref: "rows"}
	}
	return &working.Node{ID: "study.grr", Name: msgStudyGRR.With(), Symbol: "GRR", Dimension: r.Study.Dimension, Value: r.GRR,
		Equation: "GRR² = EV² + AV²", Source: source,
		Inputs: []*working.Node{leaf("study.ev", msgStudyEV.With(), "EV", r.Repeatability), leaf("study.av", msgStudyAV.With(), "AV", r.Reproducibility)}}
}
