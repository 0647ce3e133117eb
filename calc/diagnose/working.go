package diagnose

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameChance = say.Define("diagnose.chance_of", "chance of {id}")
	namePrior  = say.Define("diagnose.prior_of", "chance of {id} before anything was seen")
	nameFound  = say.Define("diagnose.found", "{id} found")
	nameAbsent = say.Define("diagnose.absent", "{id} looked for and absent")
	nameAll    = say.Define("diagnose.entropy", "what is open, in bits")
)

const source = "noisy-OR, Pearl, Probabilistic Reasoning in Intelligent Systems, 1988; halving is our own convention"

// Working returns the first causes with the facts that move them.
func (r *Result) Working(first int) *working.Node {
	root := &working.Node{ID: "diagnose.entropy", Name: nameAll.With(), Symbol: "H", Value: r.EntropyBits,
		Equation: "H = −Σ P(S)·log₂ P(S) over sets S of up to three causes", Source: "Shannon 1948"}
	for i, k := range r.Ranked {
		if i == first {
			break
		}
		cause := r.model.Causes[k.Cause]
		node := &working.Node{ID: "diagnose." + cause.ID, Name: nameChance.With(cause.ID), Symbol: "P", Value: k.Probability,
			Equation: "P(root) = Σ P(S | findings) over sets S with it", Source: source,
			Inputs: []*working.Node{{ID: "diagnose.prior." + cause.ID, Name: namePrior.With(cause.ID), Symbol: "π", Value: cause.Prior, Source: "a compiler's judgement, the same for all causes"}}}
		for _, list := range [][]Reason{k.For, k.Against} {
			for _, reason := range list {
				id := r.model.Items[reason.Item].ID
				name := nameFound.With(id)
				if reason.State == Absent {
					name = nameAbsent.With(id)
				}
				node.Inputs = append(node.Inputs, &working.Node{ID: "diagnose." + cause.ID + "." + id, Name: name, Symbol: "odds ×", Value: reason.Ratio,
					Ref: id, Source: "a compiler's judgement"})
			}
		}
		root.Inputs = append(root.Inputs, node)
	}
	return root
}
