package transfer

import (
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
)

// assembly writes with what force, torque and length the pump goes together.
func (w writer) assembly(c *assembly.Chapter) Object {
	presses, bolts, alignments := []any{}, []any{}, []any{}
	for _, p := range c.Presses {
		presses = append(presses, w.press(p))
	}
	for _, b := range c.Bolts {
		bolts = append(bolts, w.bolts(b))
	}
	for _, a := range c.Alignment.Sets {
		one := Object{"state": a.Body.State, "moves": say.Texts(a.Moves, w.style), "unknown": say.Texts(a.Unknown, w.style), "warnings": say.Texts(a.Warnings, w.style)}
		one.set("hold", w.text(a.Hold))
		if a.Plan != nil {
			one["valid"], one["within"] = a.Plan.Valid, a.Plan.Within
		}
		alignments = append(alignments, one)
	}
	doc := Object{"presses": presses, "bolts": bolts, "alignments": alignments}
	if s := c.Seal; s != nil {
		one := w.said(s.Reasons, s.Notes, s.Warnings, s.Cautions, s.Unknown)
		one["kind"] = s.Kind
		if s.Read != nil {
			one["working_length"] = w.length(*s.Read)
		}
		if s.Setting != nil {
			one.set("decision", s.Setting.Decision)
		}
		doc["seal"] = one
	}
	return doc
}

// said is what every piece of the chapter says.
func (w writer) said(reasons, notes, warnings, cautions, unknown []say.Message) Object {
	return Object{"reasons": say.Texts(reasons, w.style), "notes": say.Texts(notes, w.style), "warnings": say.Texts(warnings, w.style),
		"cautions": say.Texts(cautions, w.style), "unknown": say.Texts(unknown, w.style)}
}

func (w writer) press(p *assembly.Press) Object {
	doc := w.said(p.Reasons, p.Notes, p.Warnings, p.Cautions, p.Unknown)
	doc["part"], doc["name"], doc["stays"], doc["stop"] = p.Bushing.Part, p.Name, p.Stays, p.Stop
	doc["interference"], doc["measured"] = w.length(p.Interference), p.Measured
	if r := p.Result; r != nil {
		doc["press_force"], doc["press_capacity"] = w.quantity(r.PressForce), w.quantity(r.PressCapacity)
		doc["bore_after_press"] = w.quantity(r.BoreAfterPress)
		doc["contact_pressure"] = w.quantity(r.Cold.ContactPressure)
	}
	if r := p.Ream; r != nil {
		doc["ream"] = Object{"bore": w.quantity(r.Bore), "low": w.quantity(r.Low), "high": w.quantity(r.High), "verdict": w.text(r.Verdict)}
	}
	if s := p.Stroke; s != nil {
		one := Object{"peak": w.quantity(s.Peak), "instrument": s.Body.Instrument, "doubted": s.Doubted}
		if c := s.Check; c != nil {
			one["verdict"], one["low"], one["high"] = string(c.Verdict), w.quantity(c.Low), w.quantity(c.High)
		}
		doc["gauge"] = one
	}
	if p.LooseAt != nil {
		doc["loose_temperature"] = w.quantity(*p.LooseAt)
	}
	return doc
}

func (w writer) bolts(b *assembly.Bolts) Object {
	doc := w.said(b.Reasons, b.Notes, b.Warnings, b.Cautions, b.Unknown)
	doc["fastener"], doc["name"], doc["count"], doc["complete"] = b.Fastener.ID, b.Fastener.Name, b.Fastener.Count, b.Complete
	passes := []any{}
	for _, p := range b.Passes {
		passes = append(passes, Object{"pass": p.Number, "torque": w.quantity(p.Torque), "state": string(p.State)})
	}
	doc["passes"] = passes
	if b.Torque > 0 {
		doc["torque"], doc["of_the_manual"] = w.quantity(b.Torque), b.Manual
	}
	order := []any{}
	for _, n := range b.Order {
		order = append(order, n)
	}
	doc["sequence"] = order
	return doc
}
