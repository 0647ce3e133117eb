package cause

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameFact  = say.Define("cause.name_fact", "{item}: strength with which it counts")
	nameRead  = say.Define("cause.name_number", "the number that was read")
	nameMark  = say.Define("cause.name_mark", "its mark")
	nameWorth = say.Define("cause.name_worth", "how well the number stands for the item")
)

// Working returns the first causes with the facts that move them, and below
// each fact the number it was read from; nil when nothing can be told.
func (c *Chapter) Working() *working.Node {
	if c.Answer == nil {
		return nil
	}
	root := c.Answer.Working(3)
	made := map[string]*working.Node{}
	root.Walk(func(n *working.Node, _ int) {
		f := c.facts[n.Ref]
		if f == nil || len(n.Inputs) > 0 {
			return
		}
		if made[f.Item] == nil {
			made[f.Item] = f.Working()
		}
		n.Inputs = []*working.Node{made[f.Item]}
		n.Equation = "factor of the odds from strength of the fact, of the mark and leak"
	})
	return root
}

// Working returns how a fact came by its strength.
func (f *Fact) Working() *working.Node {
	ref := f.Item
	if len(f.Refs) > 0 {
		ref = f.Refs[len(f.Refs)-1]
	}
	dimension := f.Number.Dimension
	return &working.Node{ID: "cause.fact." + f.Item, Name: nameFact.With(f.Item), Symbol: "t", Value: f.Strength,
		Equation: "t = P(number beyond its mark)·worth; 1 − P where it is absent", Source: "our own convention",
		Inputs: []*working.Node{
			{ID: "cause.number." + f.Item, Name: nameRead.With(), Dimension: dimension, Value: f.Number.Value, U: f.Number.U, Ref: ref},
			{ID: "cause.mark." + f.Item, Name: nameMark.With(), Dimension: dimension, Value: f.Mark, Source: "limit of the sheet, or common practice, no source"},
			{ID: "cause.worth." + f.Item, Name: nameWorth.With(), Value: f.Worth, Source: "our own convention"},
		}}
}
