package transfer

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/cause"
	"pumpwright/rebuild/assess/delivery"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/assess/proof"
	"pumpwright/rebuild/assess/reading"
)

// withU writes a number with its standard uncertainty.
func withU[T quantity.Of](w writer, e quantity.Estimate[T]) Object {
	return w.estimate(&reading.Estimate{Dimension: e.Value.Dimension(), Value: e.Value.SI(), U: e.U})
}

// delivery writes what the pump delivers, in each state that is known.
func (w writer) delivery(c *delivery.Chapter) Object {
	doc := Object{"calibrated": c.Calibrated}
	doc.set("unknown", w.text(c.Unknown))
	doc.set("statement", w.text(c.Statement))
	if c.Found == nil && c.New == nil {
		return doc
	}
	doc["speed"], doc["pressure"] = w.quantity(c.Duty.Speed), w.quantity(c.Duty.Pressure)
	doc["temperature"], doc["viscosity"] = w.quantity(c.Temperature), w.quantity(c.Viscosity)
	for name, p := range map[string]*delivery.Pump{"as_found": c.Found, "as_left": c.Left, "as_new": c.New} {
		if p == nil {
			continue
		}
		one := Object{}
		one.set("contact", w.text(p.Contact))
		w.prediction(one, p.Duty)
		doc[name] = one
	}
	shares := []any{}
	for _, s := range c.Shares {
		one := Object{"part": s.Part, "name": s.Name, "flow": w.quantity(s.Flow), "radial": s.Radial, "replaced": s.Replaced}
		if s.AYear != nil {
			one["a_year"] = *s.AYear
		}
		shares = append(shares, one)
	}
	doc["shares"] = shares
	doc["drive"] = w.drive(c.Drive)
	return doc
}

func (w writer) drive(list []delivery.DriveCheck) []any {
	out := []any{}
	for _, d := range list {
		one := Object{"when": w.text(d.When), "verdict": string(d.Verdict), "torque": w.quantity(d.Torque)}
		one.set("message", w.text(d.Message))
		one.set("starved", w.text(d.Starved))
		out = append(out, one)
	}
	return out
}

// prediction writes a predicted flow and power with their uncertainties.
func (w writer) prediction(doc Object, p *slip.Prediction) {
	if p == nil {
		return
	}
	doc["flow"] = withU(w, p.Flow)
	doc["volumetric_efficiency"] = p.Result.VolumetricEfficiency
	if p.Power != nil {
		doc["power"] = withU(w, *p.Power)
	}
}

// proof writes the bench test: what to run, what was run, the verdict.
func (w writer) proof(c *proof.Chapter) Object {
	planned, points := []any{}, []any{}
	for _, p := range c.Planned {
		one := Object{"speed": w.quantity(p.Point.Speed), "pressure": w.quantity(p.Point.Pressure), "liquid": p.Liquid,
			"temperature": w.quantity(p.Temperature), "viscosity": w.quantity(p.Viscosity)}
		w.prediction(one, p.Expected)
		planned = append(planned, one)
	}
	for i := range c.Points {
		p := &c.Points[i]
		one := Object{"entry": p.Entry.Ref}
		if !p.Refused.IsZero() {
			one["refused"] = w.text(p.Refused)
			points = append(points, one)
			continue
		}
		one["speed"], one["pressure"] = w.quantity(p.Point.Speed), w.quantity(p.Point.Pressure)
		one["measured"] = withU(w, p.Flow)
		one["agreement"] = string(p.Agreement)
		w.prediction(one, p.Expected)
		points = append(points, one)
	}
	missing := []string{}
	for _, m := range c.Missing {
		missing = append(missing, w.text(m.Message))
	}
	return Object{"planned": planned, "points": points, "usable": c.Usable, "verdict": string(c.Verdict), "missing_flow": missing,
		"reasons": say.Texts(c.Reasons, w.style), "statements": say.Texts(c.Statements, w.style), "asks": say.Texts(c.Asks, w.style)}
}

// cause writes why the pump failed, as far as it can be told.
func (w writer) cause(c *cause.Chapter) Object {
	causes := []any{}
	for _, one := range c.Causes {
		o := Object{"id": one.ID, "name": one.Name, "probability": one.Probability, "for": w.reasons(one.For), "against": w.reasons(one.Against)}
		chain := []string{}
		for _, l := range one.Chain {
			chain = append(chain, l.Cause.ID)
		}
		o.set("chain", chain)
		o.set("standing", w.standing(one.Standing))
		if n := one.Named; n != nil {
			named := Object{"by": n.By, "day": n.At.Day(), "confirmed": n.Body.Confirmed}
			named.set("note", n.Body.Note)
			o["named"] = named
		}
		causes = append(causes, o)
	}
	looks := []any{}
	for _, l := range c.Next {
		looks = append(looks, Object{"id": l.ID, "name": l.Name, "where": l.Where, "minutes": l.Minutes, "gain_bits": l.Bits})
	}
	doc := Object{"causes": causes, "next": looks, "level": c.Level, "standing": w.standing(c.Standing)}
	doc.set("certainty", w.text(c.Certainty))
	doc.set("conflicts", say.Texts(c.Conflicts, w.style))
	return doc
}

// standing writes conditions that let the failure happen and are not scored.
func (w writer) standing(list []cause.Condition) []any {
	out := []any{}
	for _, c := range list {
		out = append(out, Object{"id": c.ID, "name": c.Name, "why": w.text(c.Why)})
	}
	return out
}

func (w writer) reasons(list []cause.Reason) []any {
	out := []any{}
	for _, r := range list {
		out = append(out, Object{"id": r.Item, "text": w.text(r.Text), "measured": r.Measured != nil, "absent": r.Absent})
	}
	return out
}

// offer writes what to order and what it costs.
func (w writer) offer(c *offer.Chapter) Object {
	plans, needs, uncovered := []any{}, []any{}, []string{}
	for _, n := range c.Needs {
		needs = append(needs, Object{"part": n.Part.ID, "count": n.Count, "verdict": string(n.Verdict)})
	}
	for _, n := range c.Uncovered {
		uncovered = append(uncovered, n.Part.ID)
	}
	for _, p := range c.Plans {
		choose := Object{}
		for _, one := range p.Choose {
			choose[one.Offer.Name] = one.Count
		}
		plans = append(plans, Object{"aim": string(p.Aim), "choose": choose, "price": p.Price.Amount(), "total": p.Total.Amount(), "lead_time": w.quantity(p.Lead), "left_over": p.LeftOver})
	}
	doc := Object{"needs": needs, "plans": plans, "uncovered": uncovered, "labour_hours": c.Hours, "currency": c.Currency}
	if c.Advised != nil {
		doc["advised"] = string(c.Advised.Aim)
	}
	if c.Sum != nil {
		doc["sum"] = c.Sum.Amount()
	}
	if c.SumHigh != nil {
		doc["sum_high"] = c.SumHigh.Amount()
	}
	return doc
}
