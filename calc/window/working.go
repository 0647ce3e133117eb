package window

import (
	"fmt"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameWindow  = say.Define("window.name", "window of the cold end clearance")
	nameLower   = say.Define("window.name_lower", "lower limit, cold")
	nameUpper   = say.Define("window.name_upper", "upper limit, cold")
	nameTarget  = say.Define("window.name_target", "target, cold")
	nameOptimum = say.Define("window.name_optimum", "running end clearance of least loss, duty {duty:count}")
	nameReach   = say.Define("window.name_reach", "what slip, drag and the change to service need: the model sheet")
)

const (
	derived    = "derived here"
	convention = "convention of this program, no source"
)

// Working returns how the window came about.
func (r *Result) Working() *working.Node {
	root := &working.Node{ID: "window", Name: nameWindow.With(), Text: r.text(), Equation: "lower ≤ s_e ≤ upper", Source: derived}
	for _, l := range []struct {
		id       string
		name     say.Template
		limit    *Limit
		equation string
	}{{"window.lower", nameLower, r.Lower, "s_lo = h_need − min_t Δ + a_th + w_g + TIR/2 + tilt/2 + k u"},
		{"window.upper", nameUpper, r.Upper, "s_up = s_running − Δs_steady − a_th − k u"}} {
		if l.limit != nil {
			root.Inputs = append(root.Inputs, l.limit.node(l.id, l.name, l.equation))
		}
	}
	var optima []*working.Node
	for i, o := range r.LossOptimum {
		if o != nil {
			optima = append(optima, working.Leaf(fmt.Sprintf("window.loss_optimum_%d", i+1), nameOptimum.With(i+1), "s_opt", *o, dutyField(i)).From("derived here: least Δp·slip + drag of the slip model"))
		}
	}
	if r.Target != nil {
		target := working.Result("window.target", nameTarget.With(), "s_t", *r.Target, "s_opt − Δs_steady, held from both limits by min(¼ window, 0.05 mm)", convention, optima...)
		if len(optima) == 0 {
			target.Equation, target.Inputs = "", nil
		}
		root.Inputs = append(root.Inputs, target)
	}
	if len(root.Inputs) == 0 {
		root.Inputs = []*working.Node{{ID: "window.unknown", Name: nameReach.With(), Text: "–", Ref: "sheet"}}
	}
	return root
}

func (l *Limit) node(id string, name say.Template, equation string) *working.Node {
	var inputs []*working.Node
	for i, t := range l.Terms {
		inputs = append(inputs, working.Leaf(fmt.Sprintf("%s.term_%d", id, i+1), t.Name, "", t.Value, t.Ref))
	}
	return working.Result(id, name.With(), "", l.Value, equation, derived, inputs...)
}

func (r *Result) text() string {
	show := func(l *Limit) string {
		if l == nil {
			return "?"
		}
		return quantity.Show(quantity.LengthDimension, l.Value.SI(), say.Style{})
	}
	return show(r.Lower) + " … " + show(r.Upper)
}
