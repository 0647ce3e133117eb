package cli

import (
	"fmt"
	"strings"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
)

var (
	headAssembly = say.Define("cli.head_assembly", "Putting it together")
	msgPress     = say.Define("cli.press", "{part}: press in with {force:force}, with a press for {capacity:force}; the bore closes to {bore:length}.")
	msgPressStop = say.Define("cli.press_stop", "{part}: do not press it like this.")
	msgBolts     = say.Define("cli.bolts", "{name} ({n:count|bolt|bolts}): {torque:torque} in {passes:count|pass|passes} ({list:list}), in the order {order}.")
	msgBoltsDone = say.Define("cli.bolts_done", "{name}: every pass was entered.")
	msgSealIs    = say.Define("cli.seal", "Seal:")
	msgAlignIs   = say.Define("cli.alignment", "Alignment {state}:")
)

// assembly says with what force, torque and length the pump goes together.
func (v *view) assembly() {
	c := v.a.Assembly
	v.warned = map[string]bool{}
	v.head(headAssembly.With())
	for _, p := range c.Presses {
		if !p.Stays {
			v.press(p)
		}
	}
	for _, b := range c.Bolts {
		v.bolts(b)
	}
	if s := c.Seal; s != nil && len(s.Reasons)+len(s.Unknown) > 0 {
		v.say(msgSealIs.With())
		v.list(s.Reasons, s.Unknown)
		v.cautions(s.Cautions)
	}
	if a := c.Alignment.Left; a != nil {
		v.alignment(a)
	} else if a := c.Alignment.Found; a != nil {
		v.alignment(a)
	}
}

// list writes messages as items.
func (p *page) list(lists ...[]say.Message) {
	for _, list := range lists {
		for _, m := range list {
			p.item("  - ", m)
		}
	}
}

// cautions writes those that the section has not written yet.
func (v *view) cautions(list []say.Message) {
	for _, c := range list {
		if key := c.String(); !v.warned[key] {
			v.warned[key] = true
			v.item("  ", msgCaution.With(c))
		}
	}
}

func (v *view) press(p *assembly.Press) {
	switch {
	case p.Stop:
		v.say(msgPressStop.With(p.Name))
	case p.Result != nil:
		v.say(msgPress.With(p.Name, p.Result.PressForce, p.Result.PressCapacity, p.Result.BoreAfterPress))
	}
	v.list(p.Reasons, p.Notes, p.Unknown)
	if p.Ream != nil && !p.Ream.Verdict.IsZero() {
		v.list([]say.Message{p.Ream.Verdict})
	}
	v.cautions(p.Cautions)
}

func (v *view) bolts(b *assembly.Bolts) {
	if b.Complete {
		v.say(msgBoltsDone.With(b.Fastener.Name))
		return
	}
	if b.Torque > 0 && len(b.Passes) > 0 {
		torques := make([]string, len(b.Passes))
		for i, pass := range b.Passes {
			torques[i] = pass.Torque.Show(v.style)
		}
		order := strings.Trim(fmt.Sprint(b.Order), "[]")
		v.say(msgBolts.With(b.Fastener.Name, b.Fastener.Count, b.Torque, len(b.Passes), torques, order))
	}
	v.list(b.Reasons, b.Unknown)
	v.cautions(b.Cautions)
}

func (v *view) alignment(a *assembly.Alignment) {
	v.say(msgAlignIs.With(a.Body.State))
	v.list(a.Moves, a.Unknown)
	if !a.Hold.IsZero() {
		v.list([]say.Message{a.Hold})
	}
	if a.Plan != nil && len(a.Moves) == 0 {
		v.list(a.Plan.Words)
	}
}
