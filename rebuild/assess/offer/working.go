package offer

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameSum     = say.Define("offer.name_sum", "price of the rebuild")
	nameLabour  = say.Define("offer.name_labour", "labour")
	nameHours   = say.Define("offer.name_hours", "hours, {stage}")
	nameRate    = say.Define("offer.name_rate", "price of an hour")
	learnedFrom = say.Define("offer.learned_from", "median, learned from {jobs:count|job|jobs}")
	nameWaiting = say.Define("offer.name_waiting", "price of a day without the pump")
	nameFlow    = say.Define("offer.name_flow", "flow that is missing")
	nameDay     = say.Define("offer.name_day", "hours of running a day")
	nameOutput  = say.Define("offer.name_output", "price of a cubic metre of output")
	nameParts   = say.Define("offer.name_parts", "parts and work, {aim:message}")
)

// Workings returns the trees behind the sums.
func (c *Chapter) Workings() []*working.Node {
	var roots []*working.Node
	if c.Sum != nil && c.Advised != nil {
		parts := c.Advised.Result.Working()
		parts.Name = nameParts.With(AimName(c.Advised.Aim))
		parts.Value, parts.Equation = c.Advised.Price.Amount(), "Σ price × count of the cover"
		parts.Inputs = withoutWaiting(parts.Inputs)
		root := &working.Node{ID: "offer.sum", Name: nameSum.With(), Value: c.Sum.Amount(), Equation: "parts and work + labour + outside work", Source: "definition",
			Inputs: []*working.Node{parts}}
		if n := c.labourNode(); n != nil {
			root.Inputs = append(root.Inputs, n)
		}
		for _, o := range c.Outside {
			if o.Price != nil {
				root.Inputs = append(root.Inputs, working.Number("offer.outside."+o.Meta.Ref, say.Plain(o.What), "", o.Price.Amount(), o.Meta.Ref))
			}
		}
		roots = append(roots, root)
	}
	if w := c.Waiting; w != nil {
		output := 0.0
		if v := w.Flow.SI() * 3600 * w.Hours; v > 0 {
			output = w.PerDay.Amount() / v
		}
		roots = append(roots, &working.Node{ID: "offer.waiting", Name: nameWaiting.With(), Value: w.PerDay.Amount(), Equation: "price of output · flow · hours a day", Source: "definition",
			Inputs: []*working.Node{
				working.Number("offer.output_price", nameOutput.With(), "", output, "service output_price"),
				working.Leaf("offer.flow", nameFlow.With(), "Q", w.Flow, "service").From(w.Note.String()),
				working.Number("offer.hours_a_day", nameDay.With(), "", w.Hours, "service hours_a_year / 365.25"),
			}})
	}
	if c.Life != nil {
		roots = append(roots, c.Life.Result.Working())
	}
	return roots
}

// withoutWaiting leaves out what waiting costs: it is no part of the price.
func withoutWaiting(nodes []*working.Node) []*working.Node {
	var kept []*working.Node
	for _, n := range nodes {
		if n.ID != "cover.waiting" {
			kept = append(kept, n)
		}
	}
	return kept
}

func (c *Chapter) labourNode() *working.Node {
	if c.LabourSum == nil || c.Hours == 0 {
		return nil
	}
	n := &working.Node{ID: "offer.labour", Name: nameLabour.With(), Value: c.LabourSum.Amount(), Equation: "Σ hours · price of an hour", Source: "definition"}
	for _, s := range c.Labour {
		ref := "sheet labour " + s.Stage
		switch {
		case s.Logged >= s.Hours:
			ref = "hours logged"
		case s.Jobs > 0:
			ref = learnedFrom.With(s.Jobs).String()
		}
		n.Inputs = append(n.Inputs, working.Number("offer.hours."+s.Stage, nameHours.With(s.Stage), "", s.Hours, ref))
	}
	n.Inputs = append(n.Inputs, working.Number("offer.rate", nameRate.With(), "", c.LabourSum.Amount()/c.Hours, "shop prices labour_rate"))
	return n
}
