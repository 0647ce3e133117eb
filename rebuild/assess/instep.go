package assess

import (
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/procedure"
)

var (
	msgPressWith  = say.Define("assess.press_with", "{bushing}: the force rises evenly to {force:force}; a press for {capacity:force}")
	msgPassIs     = say.Define("assess.pass_is", "{bolts}, pass {n:count}: {torque:torque} ({share:percent}), {state}")
	msgGives      = say.Define("assess.gives", "expected of this pump at {pressure:pressure_difference}, {speed:rotational_speed}, {temperature:temperature}: {flow}")
	msgTakes      = say.Define("assess.takes", "and {power} at the shaft")
	msgRecheckDue = say.Define("assess.recheck_due", "{what:message}: {when:message}")
	msgRecheckOn  = say.Define("assess.recheck_on", "{what:message}: by {day}")
)

// InStep says the numbers that a step between clean parts and a running pump
// needs, with their reasons. The chapter about what the pump delivers is asked
// for the steps after the start alone.
func (a *Assessment) InStep(step *procedure.Step) []say.Message {
	c := a.Assembly
	var list []say.Message
	add := func(more ...[]say.Message) {
		for _, l := range more {
			list = append(list, l...)
		}
	}
	turns := func() {
		add([]say.Message{a.Sides.Turns}, a.Sides.Warnings, a.Sides.Follows)
	}
	switch step.ID {
	case "safe-side", "return-rotation", "return-relief-way", "measure-bore", "measure-pin":
		turns()
	case "build-press-idler", "build-press-carbon", "build-press-bracket", "build-press-bracket-plain", "build-bore-after":
		bore := a.Inputs.Sheet.ByRole(step.Of)
		for _, p := range c.Presses {
			if bore != nil && bore.Part != p.Bushing.Part {
				continue
			}
			add(p.Warnings)
			if p.Result != nil && p.Result.PressForce > 0 && step.Of != "" {
				add([]say.Message{msgPressWith.With(p.Name, p.Result.PressForce, p.Result.PressCapacity)})
			}
			if p.Ream != nil {
				add([]say.Message{p.Ream.Verdict})
			}
			add(p.Reasons, p.Unknown)
		}
	case "build-seal-ready", "build-seal", "build-seal-wedge", "build-collar", "build-cartridge", "build-packing", "build-lip", "build-seal-length", "follow-packing":
		if c.Seal != nil {
			add(c.Seal.Warnings, c.Seal.Reasons, c.Seal.Unknown)
		}
		if step.ID == "build-seal-ready" && c.Seal != nil {
			add(c.Seal.Advice)
		}
	case "build-head":
		turns()
		a.tightening(add)
	case "follow-bolts":
		for _, b := range c.Bolts {
			add(b.Notes)
		}
	case "return-base":
		if f := c.Alignment.Feet; f != nil {
			add(f.Warnings, f.Notes)
		}
	case "return-pipes":
		add(c.Alignment.Pipes())
	case "return-align", "return-align-upright":
		set := c.Alignment.Left
		if set == nil {
			set = c.Alignment.Found
		}
		moves(set, add)
		add(c.Alignment.Unknown)
	case "follow-align":
		moves(c.Alignment.Hot, add)
	case "return-first-run", "follow-day", "follow-month":
		a.running(add)
	}
	return said(list)
}

func (a *Assessment) tightening(add func(...[]say.Message)) {
	for _, b := range a.Assembly.Bolts {
		if !strings.Contains(b.Fastener.ID, "head") && len(a.Assembly.Bolts) > 1 {
			continue
		}
		add(b.Warnings)
		if b.Torque > 0 {
			for _, p := range b.Passes {
				add([]say.Message{msgPassIs.With(b.Fastener.Name, p.Number, quantity.Torque(p.Torque), p.Share, string(p.State))})
			}
		}
		add(b.Reasons, b.Notes, b.Unknown)
	}
}

func moves(set *assembly.Alignment, add func(...[]say.Message)) {
	if set == nil {
		return
	}
	if !set.Hold.IsZero() {
		add([]say.Message{set.Hold})
	}
	add(set.Moves, set.Notes, set.Unknown)
}

// running says what is expected of the pump and what is looked at again when.
func (a *Assessment) running(add func(...[]say.Message)) {
	d := a.Delivery()
	if d.Left != nil && d.Left.Duty != nil && a.Inputs.Service != nil && a.Inputs.Service.Temperature != nil {
		add([]say.Message{msgGives.With(d.Duty.Pressure, d.Duty.Speed, a.Inputs.Service.Temperature.Value, d.Left.Duty.Flow)})
		if p := d.Left.Duty.Power; p != nil {
			add([]say.Message{msgTakes.With(*p)})
		}
	}
	add(a.InService().Warnings)
	for _, r := range a.Assembly.Running.Rechecks {
		switch {
		case r.Done:
		case r.Due.IsZero():
			add([]say.Message{msgRecheckDue.With(r.What, r.After)})
		default:
			add([]say.Message{msgRecheckOn.With(r.What, r.Due.Format("2006-01-02 15:04"))})
		}
	}
}

// said keeps each text once.
func said(list []say.Message) []say.Message {
	seen := map[string]bool{}
	var out []say.Message
	for _, m := range list {
		if key := m.String(); key != "" && !seen[key] {
			seen[key] = true
			out = append(out, m)
		}
	}
	return out
}
