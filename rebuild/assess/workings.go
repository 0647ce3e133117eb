package assess

import (
	"pumpwright/calc/working"
	"pumpwright/rebuild/assess/reading"
)

// Workings returns the tree of reasons behind every number of the assessment:
// the clearances, the heat, the stack, and each feature that was judged.
func (a *Assessment) Workings() []*working.Node {
	var roots []*working.Node
	c := a.Clearances
	if c.Bare.Known() && c.Bare.Sum != nil {
		roots = append(roots, c.Bare.Sum.Working())
	}
	if c.Hot != nil {
		roots = append(roots, c.Hot.Working())
	}
	if c.Stack != nil && c.Stack.Solution != nil {
		roots = append(roots, c.Stack.Solution.Working())
	}
	if c.Stack != nil && c.Stack.Learned != nil {
		roots = append(roots, c.Stack.Learned.Working())
	}
	if c.Turn != nil && c.Turn.Turn != nil {
		roots = append(roots, c.Turn.Turn.Working())
	}
	roots = append(roots, a.Assembly.Workings()...)
	for _, list := range [][]*reading.Feature{a.Readings.Found, a.Readings.Left} {
		for _, f := range list {
			if n := f.Working(); n != nil {
				roots = append(roots, n)
			}
		}
	}
	if w := c.Window.Computed; w != nil {
		roots = append(roots, w.Working())
	}
	roots = append(roots, a.Delivery().Working()...)
	roots = append(roots, a.Proof().Working()...)
	if n := a.Cause().Working(); n != nil {
		roots = append(roots, n)
	}
	roots = append(roots, a.Offer().Workings()...)
	return roots
}
