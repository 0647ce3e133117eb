package machine

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/ledger"
)

var (
	nameSlip    = say.Define("machine.name_slip", "slip factor, learned from {jobs:count|job|jobs}")
	nameDrag    = say.Define("machine.name_drag", "drag factor, learned from {jobs:count|job|jobs}")
	textLearned = say.Define("machine.learned_from", "learned from {jobs:count|job|jobs}: benches of other pumps of “{model}”, pooled; u is that of ln k for the next pump")
)

// Workings returns the factors of other pumps, where they are used.
func (f Fit) Workings() []*working.Node {
	if _, used := f.Learned(); !used {
		return nil
	}
	var list []*working.Node
	add := func(id string, name say.Template, symbol string, l *ledger.LearnedFactor) {
		if l != nil {
			list = append(list, working.Number(id, name.With(l.Jobs), symbol, l.Value, "shop learned_factors").From(textLearned.With(l.Jobs, l.Sheet).String()).WithU(l.U))
		}
	}
	add("machine.slip", nameSlip, "k_s", f.Slip)
	add("machine.drag", nameDrag, "k_v", f.Drag)
	return list
}
