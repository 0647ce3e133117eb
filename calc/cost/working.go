package cost

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameBest     = say.Define("cost.name_best", "difference of second best and best")
	nameValue    = say.Define("cost.name_value", "present value of {option}")
	namePart     = say.Define("cost.name_part", "{option}: present value of {part}")
	nameRate     = say.Define("cost.name_rate", "real rate")
	nameDiscount = say.Define("cost.name_discount", "discount rate")
	nameInflate  = say.Define("cost.name_inflation", "inflation")
	nameYears    = say.Define("cost.name_years", "years")
)

// Working tells how each present value adds up.
func (r Result) Working() *working.Node {
	rate := &working.Node{ID: "cost.real_rate", Name: nameRate.With(), Symbol: "r", Value: r.RealRate, Equation: "r = (1 + i)/(1 + p) − 1", Source: "definition", Inputs: []*working.Node{
		working.Number("cost.discount", nameDiscount.With(), "i", r.Input.Discount, "input"),
		working.Number("cost.inflation", nameInflate.With(), "p", r.Input.Inflation, "input"),
	}}
	years := working.Number("cost.years", nameYears.With(), "n", float64(r.Input.Years), "input")
	root := &working.Node{ID: "cost.difference", Name: nameBest.With(), Value: r.Difference, Equation: "PV of the second best less PV of " + r.Best, Source: "definition"}
	for _, v := range r.Options {
		node := &working.Node{ID: "cost.option." + v.Name, Name: nameValue.With(v.Name), Symbol: "PV", Value: v.PresentValue, Equation: "PV = C₀ + Σ_t C_t/(1 + r)^t, end of year", Source: "definition of the present value"}
		for _, part := range kinds(v.ByPart) {
			node.Inputs = append(node.Inputs, working.Number("cost.option."+v.Name+"."+part, namePart.With(v.Name, part), "", v.ByPart[part], "input"))
		}
		node.Inputs = append(node.Inputs, rate, years)
		root.Inputs = append(root.Inputs, node)
	}
	return root
}
