package cost

import (
	"fmt"
	"math"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Event is a cost at the end of one year, in today's money; scrap value is
// negative.
type Event struct {
	Name string
	Year int
	Cost float64
}

// Option is one course of action.
type Option struct {
	Name    string
	Initial float64
	Yearly  map[string]float64 // cost of each year by kind, in today's money
	Events  []Event
}

// Input compares options.
type Input struct {
	Options   []Option
	Years     int
	Discount  float64 // rate of interest, a fraction a year
	Inflation float64 // a fraction a year
}

// Value is an option brought to today.
type Value struct {
	Name             string
	PresentValue     float64
	ByPart           map[string]float64 // initial, each yearly kind, events
	AnnualEquivalent float64
}

// Result is the comparison.
type Result struct {
	Input      Input
	RealRate   float64
	Annuity    float64
	Options    []Value // in the order given
	Best       string
	Difference float64 // second best less best; 0 for a single option
}

const mostYears = 200

var (
	msgNoOptions = say.Define("cost.no_options", "nothing is given to compare")
	msgNoName    = say.Define("cost.no_name", "every option has a name of its own")
	msgYears     = say.Define("cost.years", "the life is a whole number of years from 1 to {most:count}")
	msgRate      = say.Define("cost.rate", "a rate is a fraction a year above −0.5 and below 1")
	msgRateIs    = say.Define("cost.rate_is", "write 0.08 for 8 %")
	msgMoney     = say.Define("cost.money", "a sum of money must be a finite number")
	msgYear      = say.Define("cost.year", "the year of an event lies from 0 to the life of {years:count}")
	msgPart      = say.Define("cost.part", "“{name}” is kept for the first cost and the events: call this one otherwise")
)

// The names of parts that are not yearly kinds.
const (
	PartInitial = "initial"
	PartEvents  = "events"
)

// RealRate returns the rate of interest above inflation.
//
//	r = (1 + i)/(1 + p) − 1
//
// Source: definition.
func RealRate(discount, inflation float64) (float64, error) {
	for _, f := range []struct {
		field string
		rate  float64
	}{{"discount", discount}, {"inflation", inflation}} {
		if !(f.rate > -0.5 && f.rate < 1) {
			return 0, say.Refuse(f.field, fmt.Sprint(f.rate), msgRate.With(), msgRateIs.With())
		}
	}
	return (1+discount)/(1+inflation) - 1, nil
}

// PresentFactor returns 1/(1 + r)^n.
func PresentFactor(rate float64, years int) float64 { return math.Pow(1+rate, -float64(years)) }

// Annuity returns the present value of 1 at the end of each of n years.
//
//	a = (1 − (1 + r)^−n)/r,  n when r = 0
//
// Source: definition.
func Annuity(rate float64, years int) float64 {
	if math.Abs(rate) < 1e-12 {
		return float64(years)
	}
	return -math.Expm1(-float64(years)*math.Log1p(rate)) / rate
}

// AnnualEquivalent returns the equal yearly sum of a present value.
func AnnualEquivalent(presentValue, rate float64, years int) float64 {
	return presentValue / Annuity(rate, years)
}

// Compare brings every option to today.
//
// Errors: a Problem naming the field: no options, names used twice, years,
// rates or sums that are not such, an event outside the life.
// Source: definition of the present value; end-of-year costs.
// Checked by: TestPublishedCases.
func Compare(in Input) (Result, error) {
	rate, err := check(in)
	if err != nil {
		return Result{}, err
	}
	r := Result{Input: in, RealRate: rate, Annuity: Annuity(rate, in.Years)}
	order := make([]int, len(in.Options))
	for i, o := range in.Options {
		r.Options = append(r.Options, value(o, rate, in.Years))
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool {
		return r.Options[order[a]].PresentValue < r.Options[order[b]].PresentValue
	})
	r.Best = r.Options[order[0]].Name
	if len(order) > 1 {
		r.Difference = r.Options[order[1]].PresentValue - r.Options[order[0]].PresentValue
	}
	return r, nil
}

func value(o Option, rate float64, years int) Value {
	annuity := Annuity(rate, years)
	v := Value{Name: o.Name, ByPart: map[string]float64{PartInitial: o.Initial}}
	total := o.Initial
	for _, kind := range kinds(o.Yearly) {
		v.ByPart[kind] = o.Yearly[kind] * annuity
		total += v.ByPart[kind]
	}
	events := 0.0
	for _, e := range o.Events {
		events += e.Cost * PresentFactor(rate, e.Year)
	}
	if len(o.Events) > 0 {
		v.ByPart[PartEvents] = events
	}
	v.PresentValue = total + events
	v.AnnualEquivalent = v.PresentValue / annuity
	return v
}

// kinds lists the names of a map in order, so that sums are always the same.
func kinds(m map[string]float64) []string {
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

func check(in Input) (rate float64, err error) {
	if len(in.Options) == 0 {
		return 0, say.Refuse("options", "", msgNoOptions.With(), say.Message{})
	}
	if in.Years < 1 || in.Years > mostYears {
		return 0, say.Refuse("years", fmt.Sprint(in.Years), msgYears.With(mostYears), say.Message{})
	}
	if rate, err = RealRate(in.Discount, in.Inflation); err != nil {
		return 0, err
	}
	seen := map[string]bool{}
	for i, o := range in.Options {
		field := fmt.Sprintf("options[%d]", i)
		if o.Name == "" || seen[o.Name] {
			return 0, say.Refuse(field+".name", o.Name, msgNoName.With(), say.Message{})
		}
		seen[o.Name] = true
		if !finite(o.Initial) {
			return 0, say.Refuse(field+".initial", fmt.Sprint(o.Initial), msgMoney.With(), say.Message{})
		}
		for _, kind := range kinds(o.Yearly) {
			if kind == PartInitial || kind == PartEvents {
				return 0, say.Refuse(field+".yearly."+kind, kind, msgPart.With(kind), say.Message{})
			}
			if !finite(o.Yearly[kind]) {
				return 0, say.Refuse(field+".yearly."+kind, fmt.Sprint(o.Yearly[kind]), msgMoney.With(), say.Message{})
			}
		}
		for k, e := range o.Events {
			at := fmt.Sprintf("%s.events[%d]", field, k)
			if e.Year < 0 || e.Year > in.Years {
				return 0, say.Refuse(at+".year", fmt.Sprint(e.Year), msgYear.With(in.Years), say.Message{})
			}
			if !finite(e.Cost) {
				return 0, say.Refuse(at+".cost", fmt.Sprint(e.Cost), msgMoney.With(), say.Message{})
			}
		}
	}
	return rate, nil
}

func finite(v float64) bool { return !math.IsNaN(v) && math.Abs(v) < 1e15 }

// SimplePayback returns the years until a larger first cost is earned back by
// smaller yearly costs, without interest; false when it never is.
//
//	t = (C₀,b − C₀,a)/(yearly_a − yearly_b)
//
// Events do not count. Source: definition.
func SimplePayback(cheap, dear Option) (years float64, ever bool) {
	more := dear.Initial - cheap.Initial
	saved := 0.0
	for _, kind := range kinds(cheap.Yearly) {
		saved += cheap.Yearly[kind]
	}
	for _, kind := range kinds(dear.Yearly) {
		saved -= dear.Yearly[kind]
	}
	if !(saved > 0) || more < 0 {
		return 0, false
	}
	return more / saved, true
}

// EnergyCost returns what running costs in a year.
//
//	power × hours × price
//
//	power   W      drawn from the mains
//	hours   h      a year
//	price   –      of one kWh
func EnergyCost(power quantity.Power, hoursPerYear, pricePerKWh float64) float64 {
	return float64(power) / 1000 * hoursPerYear * pricePerKWh
}

// InputPower returns the power drawn for a flow against a pressure.
//
//	P = Q Δp/(η_pump η_motor)
//
// Errors: an efficiency outside 0 … 1, a flow or pressure below zero.
// Source: definition of hydraulic power.
func InputPower(flow quantity.Flow, pressure quantity.PressureDifference, pumpEfficiency, motorEfficiency float64) (hydraulic, input quantity.Power, err error) {
	switch {
	case !(flow >= 0) || math.IsInf(float64(flow), 0):
		return 0, 0, say.Refuse("flow", flow.String(), msgNotNegative.With(), say.Message{})
	case !(pressure >= 0) || math.IsInf(float64(pressure), 0):
		return 0, 0, say.Refuse("pressure", pressure.String(), msgNotNegative.With(), say.Message{})
	case !(pumpEfficiency > 0 && pumpEfficiency <= 1):
		return 0, 0, say.Refuse("pump_efficiency", fmt.Sprint(pumpEfficiency), msgEfficiency.With(), say.Message{})
	case !(motorEfficiency > 0 && motorEfficiency <= 1):
		return 0, 0, say.Refuse("motor_efficiency", fmt.Sprint(motorEfficiency), msgEfficiency.With(), say.Message{})
	}
	hydraulic = quantity.Power(float64(flow) * float64(pressure))
	return hydraulic, hydraulic / quantity.Power(pumpEfficiency*motorEfficiency), nil
}

var (
	msgNotNegative = say.Define("cost.not_negative", "this must not be below zero")
	msgEfficiency  = say.Define("cost.efficiency", "an efficiency lies above 0 and up to 1")
)
