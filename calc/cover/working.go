package cover

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameTotal = say.Define("cover.name_total", "price of the cover")
	nameOffer = say.Define("cover.name_offer", "{offer}, {count:count} taken")
	nameLeast = say.Define("cover.name_least", "no cover has less: {what:message}")
	nameWait  = say.Define("cover.name_wait", "price of waiting")
)

// Working tells how the total adds up.
func (r Result) Working() *working.Node {
	root := &working.Node{ID: "cover.total", Name: nameTotal.With(), Value: r.Total(), Equation: "Σ price × count + waiting, least of all covers (" + string(r.Input.Aim) + ")",
		Source: "branch and bound with linear bounds: Nemhauser and Wolsey, Integer and Combinatorial Optimization"}
	if r.Gap != nil {
		root.Equation = "Σ price × count + waiting, best of the covers looked at (" + string(r.Input.Aim) + ")"
		root.Inputs = append(root.Inputs, working.Number("cover.least", nameLeast.With(r.Gap.What), "", r.Gap.Least, "bound of what was not looked at"))
	}
	for _, c := range r.Choose {
		root.Inputs = append(root.Inputs, working.Number("cover.offer."+c.Offer, nameOffer.With(c.Offer, c.Count), "", c.Price, "input"))
	}
	if r.Waiting > 0 {
		root.Inputs = append(root.Inputs, working.Number("cover.waiting", nameWait.With(), "", r.Waiting, "input"))
	}
	return root
}
