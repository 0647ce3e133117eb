package life

import (
	"fmt"
	"math"

	"pumpwright/calc/say"
)

// Observation is what is known about the life of one part, or of Count parts
// alike.
//
//	failed at an age        Low = High = age
//	still good at an age    Low = age, High = +Inf
//	failed between two      Low < High; Low 0 = failed before High
//	Entry                   age at which watching began; a part that had failed
//	                        before would not be in the list
type Observation struct {
	Low, High float64
	Entry     float64
	Count     float64 // 0 is read as 1
}

// Failed is a part that failed at an age.
func Failed(age float64) Observation { return Observation{Low: age, High: age} }

// Running is a part that was still good at an age.
func Running(age float64) Observation { return Observation{Low: age, High: math.Inf(1)} }

// FailedBetween is a part that was good at low and found failed at high.
func FailedBetween(low, high float64) Observation { return Observation{Low: low, High: high} }

func (o Observation) count() float64 {
	if o.Count == 0 {
		return 1
	}
	return o.Count
}

func (o Observation) failed() bool    { return !math.IsInf(o.High, 1) }
func (o Observation) suspended() bool { return math.IsInf(o.High, 1) }
func (o Observation) exact() bool     { return o.Low == o.High }

var (
	msgAgePositive   = say.Define("life.age_positive", "an age is a finite number above 0")
	msgBetween       = say.Define("life.between", "the end of the interval comes before its start")
	msgLowHigh       = say.Define("life.low_high", "time_low below time_high")
	msgBeforeEntry   = say.Define("life.before_entry", "the part failed, or was last seen, before it was installed or watched")
	msgEntry         = say.Define("life.entry", "entry is 0 or more and below the time")
	msgCount         = say.Define("life.count", "a count is more than 0")
	msgNoRows        = say.Define("life.no_rows", "there are no rows")
	msgNoneFailed    = say.Define("life.none_failed", "none of the {n:number} parts has failed, so the data tell no shape")
	msgGiveBeta      = say.Define("life.give_beta", "state beta from experience, or wait for a failure")
	msgOneAgeFailed  = say.Define("life.one_age_failed", "all failures are at one age with nothing after it, so the data tell no shape")
	msgNoConvergence = say.Define("life.no_convergence", "no best fit was found: the data do not tell {distribution}")
)

// checkRow checks one row. The path of a problem is rows[i].
func checkRow(i int, o Observation) error {
	at := func(field string) string { return fmt.Sprintf("rows[%d].%s", i, field) }
	switch {
	case math.IsNaN(o.Low) || math.IsInf(o.Low, 0) || math.IsNaN(o.High) || math.IsInf(o.High, -1):
		return say.Refuse(at("time"), fmt.Sprint(o.Low), msgAgePositive.With(), say.Message{})
	case o.High < o.Low:
		return say.Refuse(at("time_high"), fmt.Sprint(o.High), msgBetween.With(), msgLowHigh.With())
	case o.Low < 0 || o.Low == 0 && (o.exact() || o.suspended()):
		return say.Refuse(at("time"), fmt.Sprint(o.Low), msgAgePositive.With(), say.Message{})
	case !finite(o.Entry) || o.Entry < 0:
		return say.Refuse(at("entry"), fmt.Sprint(o.Entry), msgEntry.With(), say.Message{})
	case o.Entry > o.Low || o.Entry > 0 && o.Entry == o.Low && (o.exact() || o.suspended()):
		return say.Refuse(at("entry"), fmt.Sprint(o.Entry), msgBeforeEntry.With(), msgEntry.With())
	case math.IsNaN(o.Count) || math.IsInf(o.Count, 0) || o.Count < 0:
		return say.Refuse(at("count"), fmt.Sprint(o.Count), msgCount.With(), say.Message{})
	}
	return nil
}

// tally is what a list of observations holds.
type tally struct {
	failures, suspensions float64
	interval              bool
	lowFailure            float64 // least and greatest age of failures
	highFailure           float64
	highest               float64 // greatest age of all
}

func count(rows []Observation) (tally, error) {
	t := tally{lowFailure: math.Inf(1)}
	if len(rows) == 0 {
		return t, say.Refuse("rows", "", msgNoRows.With(), say.Message{})
	}
	for i, o := range rows {
		if err := checkRow(i, o); err != nil {
			return t, err
		}
		top := o.High
		if o.failed() {
			t.failures += o.count()
			t.interval = t.interval || !o.exact()
			t.lowFailure = math.Min(t.lowFailure, o.Low)
			t.highFailure = math.Max(t.highFailure, o.High)
		} else {
			t.suspensions += o.count()
			top = o.Low
		}
		t.highest = math.Max(t.highest, top)
	}
	return t, nil
}
