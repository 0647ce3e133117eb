package life

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/say"
)

// Step is one age of a Kaplan-Meier curve at which parts failed.
type Step struct {
	Age      float64
	AtRisk   float64 // watched and not failed just before
	Failed   float64
	Survival float64
	SE       float64 // Greenwood
	Plain    Bounds  // S ± k·se, kept within 0 and 1
	Log      Bounds  // S·exp(±k·se/S), kept below 1
	LogLog   Bounds  // S^exp(±k·se/(S·ln S))
}

// KaplanMeier returns the share that survives without assuming a
// distribution, with bounds two-sided at a confidence. Parts with an entry are
// at risk only after it. Failures between two looks are refused.
//
//	S = Π (1 − d/n),  se² = S²·Σ d/(n·(n − d))
//
// Source: Klein & Moeschberger, Survival Analysis, ch. 4, from memory.
func KaplanMeier(rows []Observation, confidence float64) ([]Step, error) {
	if !(confidence > 0 && confidence < 1) {
		return nil, say.Refuse("confidence", fmt.Sprint(confidence), msgConfidence.With(), say.Message{})
	}
	ages, err := riskTable(rows)
	if err != nil {
		return nil, err
	}
	k := distuv.UnitNormal.Quantile((1 + confidence) / 2)
	s, sum := 1.0, 0.0
	var steps []Step
	for _, a := range ages {
		if a.failed == 0 {
			continue
		}
		s *= 1 - a.failed/a.atRisk
		sum += a.failed / (a.atRisk * (a.atRisk - a.failed))
		step := Step{Age: a.age, AtRisk: a.atRisk, Failed: a.failed, Survival: s}
		if s > 0 {
			relative := math.Sqrt(sum)
			step.SE = s * relative
			step.Plain = bounds(math.Max(0, s-k*step.SE), math.Min(1, s+k*step.SE))
			step.Log = bounds(s*math.Exp(-k*relative), math.Min(1, s*math.Exp(k*relative)))
			w := math.Exp(k * relative / math.Log(s))
			step.LogLog = bounds(math.Pow(s, 1/w), math.Pow(s, w))
		}
		steps = append(steps, step)
	}
	return steps, nil
}

func bounds(low, high float64) Bounds { return Bounds{Low: &low, High: &high} }

// MedianLife returns the age by which half have failed, nil when more than
// half survive the last step.
func MedianLife(steps []Step) *float64 {
	for i := range steps {
		if steps[i].Survival <= 0.5+1e-12 {
			return &steps[i].Age
		}
	}
	return nil
}

type riskAge struct{ age, atRisk, failed float64 }

var msgNeedExact = say.Define("life.need_exact", "this takes failures at a known age; row {row:count} is an interval")

// riskTable lists the ages at which parts fail or leave, with those at risk.
func riskTable(rows []Observation) ([]riskAge, error) {
	if _, err := count(rows); err != nil {
		return nil, err
	}
	type change struct{ age, leave, failed, enter float64 }
	byAge := map[float64]*change{}
	at := func(age float64) *change {
		c := byAge[age]
		if c == nil {
			c = &change{age: age}
			byAge[age] = c
		}
		return c
	}
	for i, o := range rows {
		if o.failed() && !o.exact() {
			return nil, say.Refuse(fmt.Sprintf("rows[%d]", i), "", msgNeedExact.With(i), msgExactFailure.With())
		}
		c := at(o.Low)
		c.leave += o.count()
		if o.failed() {
			c.failed += o.count()
		}
		at(o.Entry).enter += o.count()
	}
	list := make([]*change, 0, len(byAge))
	for _, c := range byAge {
		list = append(list, c)
	}
	sort.Slice(list, func(i, j int) bool { return list[i].age < list[j].age })
	var risk float64
	var ages []riskAge
	for _, c := range list {
		if c.leave > 0 {
			ages = append(ages, riskAge{c.age, risk, c.failed})
		}
		risk += c.enter - c.leave
	}
	return ages, nil
}

// Comparison is a test of whether groups share one life.
type Comparison struct {
	Statistic float64
	Degrees   int
	P         float64   // chance of a larger statistic when they do
	Observed  []float64 // failures of each group
	Expected  []float64 // failures if all shared one life; nil for the ratio test
}

var (
	msgTwoGroups  = say.Define("life.two_groups", "groups to compare: {have}")
	msgNeedGroups = say.Define("life.need_groups", "at least two")
)

// LogRank compares groups without a distribution.
//
// Source: Klein & Moeschberger, Survival Analysis, section 7.3, from memory.
func LogRank(groups [][]Observation) (*Comparison, error) {
	if len(groups) < 2 {
		return nil, say.Refuse("groups", "", msgTwoGroups.With(fmt.Sprint(len(groups))), msgNeedGroups.With())
	}
	g := len(groups)
	type at struct{ atRisk, failed []float64 }
	union := map[float64]bool{}
	tables := make([][]riskAge, g)
	for i, rows := range groups {
		table, err := riskTable(rows)
		if err != nil {
			return nil, say.In(fmt.Sprintf("groups[%d]", i), err)
		}
		tables[i] = table
		for _, a := range table {
			if a.failed > 0 {
				union[a.age] = true
			}
		}
	}
	c := &Comparison{Degrees: g - 1, Observed: make([]float64, g), Expected: make([]float64, g)}
	variance := make([][]float64, g)
	for i := range variance {
		variance[i] = make([]float64, g)
	}
	ages := make([]float64, 0, len(union))
	for age := range union {
		ages = append(ages, age)
	}
	sort.Float64s(ages)
	for _, age := range ages {
		a := at{make([]float64, g), make([]float64, g)}
		var n, d float64
		for i := range groups {
			a.atRisk[i] = riskAt(groups[i], age)
			k := sort.Search(len(tables[i]), func(j int) bool { return tables[i][j].age >= age })
			if k < len(tables[i]) && tables[i][k].age == age {
				a.failed[i] = tables[i][k].failed
			}
			n += a.atRisk[i]
			d += a.failed[i]
		}
		for i := range groups {
			c.Observed[i] += a.failed[i]
			c.Expected[i] += d * a.atRisk[i] / n
			if n <= 1 {
				continue
			}
			for j := range groups {
				share := -a.atRisk[j] / n
				if i == j {
					share++
				}
				variance[i][j] += a.atRisk[i] / n * share * d * (n - d) / (n - 1)
			}
		}
	}
	c.Statistic = quadratic(c.Observed, c.Expected, variance)
	c.P = distuv.ChiSquared{K: float64(g - 1)}.Survival(c.Statistic)
	return c, nil
}

func riskAt(rows []Observation, age float64) float64 {
	var n float64
	for _, o := range rows {
		if o.Low >= age && o.Entry < age {
			n += o.count()
		}
	}
	return n
}

// quadratic returns (O − E)ᵀ V⁻¹ (O − E) without the last group, by Cholesky.
func quadratic(observed, expected []float64, v [][]float64) float64 {
	n := len(observed) - 1
	l := make([][]float64, n)
	y := make([]float64, n)
	sum := 0.0
	for i := range n {
		l[i] = make([]float64, n)
		for j := 0; j <= i; j++ {
			s := v[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				if s <= 0 {
					return 0
				}
				l[i][i] = math.Sqrt(s)
			} else {
				l[i][j] = s / l[j][j]
			}
		}
		s := observed[i] - expected[i]
		for k := range i {
			s -= l[i][k] * y[k]
		}
		y[i] = s / l[i][i]
		sum += y[i] * y[i]
	}
	return sum
}

// CompareFits compares groups by the likelihood of one distribution for all
// against one for each: 2·(Σ l_i − l_all), χ² with parameters·(groups − 1).
//
// Source: Meeker & Escobar 1998, section 17 and Lawless 2003, section 5.4.
func CompareFits(groups [][]Observation, d Distribution) (*Comparison, error) {
	if len(groups) < 2 {
		return nil, say.Refuse("groups", "", msgTwoGroups.With(fmt.Sprint(len(groups))), msgNeedGroups.With())
	}
	parameters := 2
	if d == Exponential {
		parameters = 1
	}
	c := &Comparison{Degrees: parameters * (len(groups) - 1)}
	var all []Observation
	var sum float64
	for i, rows := range groups {
		f, err := Fit(rows, d)
		if err != nil {
			return nil, say.In(fmt.Sprintf("groups[%d]", i), err)
		}
		sum += f.LogLikelihood
		c.Observed = append(c.Observed, f.Failures)
		all = append(all, rows...)
	}
	one, err := Fit(all, d)
	if err != nil {
		return nil, err
	}
	c.Statistic = math.Max(2*(sum-one.LogLikelihood), 0)
	c.P = distuv.ChiSquared{K: float64(c.Degrees)}.Survival(c.Statistic)
	return c, nil
}

// ModeRow is one part with the mode in which it failed; Mode "" for a part
// that runs.
type ModeRow struct {
	Observation
	Mode string
}

// ModeFit is the life in one mode of failure, the others taken away.
type ModeFit struct {
	Mode   string
	Fitted *Fitted
}

// FitModes fits each mode of failure with the failures in other modes counted
// as suspensions; the modes must not depend on each other. A mode is left out
// of the result, and named in unfit, when its data tell no shape.
//
// Source: Meeker & Escobar 1998, section 15.
func FitModes(rows []ModeRow, d Distribution) (fits []ModeFit, unfit []string, err error) {
	modes := map[string]bool{}
	for _, r := range rows {
		if r.failed() && r.Mode != "" {
			modes[r.Mode] = true
		}
	}
	names := make([]string, 0, len(modes))
	for m := range modes {
		names = append(names, m)
	}
	sort.Strings(names)
	for _, m := range names {
		list := make([]Observation, len(rows))
		for i, r := range rows {
			list[i] = r.Observation
			if r.Mode != m && r.failed() {
				list[i].High = math.Inf(1)
			}
		}
		f, ferr := Fit(list, d)
		if ferr != nil {
			if len(list) == 0 || checkAll(list) != nil {
				return nil, nil, ferr
			}
			unfit = append(unfit, m)
			continue
		}
		fits = append(fits, ModeFit{m, f})
	}
	if len(fits) == 0 && err == nil {
		return nil, unfit, say.Refuse("rows", "", msgNoneFailed.With(float64(len(rows))), msgGiveBeta.With())
	}
	return fits, unfit, nil
}

func checkAll(rows []Observation) error {
	_, err := count(rows)
	return err
}

// AllModes returns the share that survives an age in every mode.
func AllModes(fits []ModeFit, age float64) float64 {
	r := 1.0
	for _, f := range fits {
		r *= f.Fitted.Model().Reliability(age)
	}
	return r
}
