package assembly

import (
	"pumpwright/calc/fit"
	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

// Stroke is a pressing as the press gauge told it. The last entry of a bushing
// counts.
type Stroke struct {
	job.Meta
	Body    job.Pressing
	Peak    quantity.Force
	Check   *fit.StrokeCheck // nil when there is nothing to compare with
	Doubted bool             // the gauge may carry no decision
}

var (
	msgGaugeRead      = say.Define("assembly.gauge_read", "pressed with {peak:force} by the gauge; there is no computed force to hold it against")
	msgGaugeUnread    = say.Define("assembly.gauge_unread", "a reading of the press gauge cannot be used: {reason}")
	msgGaugeDoubted   = say.Define("assembly.gauge_doubted", "the reading of the press gauge carries no decision: {standing:message}")
	msgNoPressGauge   = say.Define("assembly.no_press_gauge", "the pressing names no press gauge; its reading is taken as it stands")
	msgGaugeNotHeld   = say.Define("assembly.press_gauge_unknown", "the press gauge {id} is not in the shop's list; its reading is taken as it stands")
	msgGaugeOtherKind = say.Define("assembly.press_gauge_kind", "the shop's list gives {id} in another unit than it was read: its reading is taken as it stands")
)

// stroke holds the last pressing of the bushing against the computed force.
func (p *Press) stroke(in *Inputs) {
	for i := range in.State.Pressings {
		k := &in.State.Pressings[i]
		body, err := job.ReadPressing(k.Body)
		if err == nil && body.Part != p.Bushing.Part {
			continue
		}
		var gauged []job.Gauged
		if err == nil {
			gauged, err = body.Gauges()
		}
		if err != nil {
			if body.Part == p.Bushing.Part {
				p.Warnings = append(p.Warnings, msgGaugeUnread.With(err))
			}
			continue
		}
		p.Stroke = &Stroke{Meta: k.Meta, Body: body}
		p.Stroke.hold(in, p, gauged)
	}
	if p.Stroke != nil {
		p.told(in)
	}
}

// hold turns readings into estimates and compares.
func (s *Stroke) hold(in *Inputs, p *Press, gauged []job.Gauged) {
	u := in.gaugeU(&s.Body)
	readings := make([]fit.GaugeReading, len(gauged))
	for i, g := range gauged {
		readings[i] = fit.GaugeReading{Engaged: g.Engaged, Force: quantity.Within(g.Force, u*g.PerGauge)}
		s.Peak = max(s.Peak, g.Force)
	}
	if p.Result == nil {
		return
	}
	if c, err := p.Result.CheckStroke(readings, quantity.Length(p.Interference.U)); err == nil {
		s.Check = &c
	}
}

// gaugeU is the standard uncertainty of one reading of the press gauge, in the
// unit of its dimension; 0 where the shop's list does not tell it.
func (in *Inputs) gaugeU(body *job.Pressing) float64 {
	instrument := in.Shop.Find(body.Instrument)
	if instrument == nil || !gaugeFits(instrument.Metrology(), body) {
		return 0
	}
	budget, _ := instrument.Metrology().ReadingBudget(nil)
	combined, err := budget.Combine(0.95)
	if err != nil {
		return 0
	}
	return combined.U
}

func gaugeFits(m metrology.Instrument, body *job.Pressing) bool {
	return body.RamArea != nil && m.Dimension == quantity.PressureDifferenceDimension || body.RamArea == nil && m.Dimension == quantity.ForceDimension
}

// told puts what the gauge showed among the words of the fit. A gauge out of
// calibration still warns: a force that is too high is looked into either way.
func (p *Press) told(in *Inputs) {
	s := p.Stroke
	switch c := s.Check; {
	case c == nil:
		p.Notes = append(p.Notes, msgGaugeRead.With(s.Peak))
	case c.Verdict == fit.StrokeAsComputed:
		p.Reasons = append(p.Reasons, c.Message)
	default:
		p.Warnings = append(p.Warnings, c.Message)
	}
	id := s.Body.Instrument
	standing := in.standing(id, s.At.Time())
	switch {
	case !standing.IsZero():
		s.Doubted = true
		p.Warnings = append(p.Warnings, msgGaugeDoubted.With(standing))
	case id == "":
		p.Notes = append(p.Notes, msgNoPressGauge.With())
	case in.Shop.Find(id) == nil:
		p.Notes = append(p.Notes, msgGaugeNotHeld.With(id))
	case !gaugeFits(in.Shop.Find(id).Metrology(), &s.Body):
		p.Notes = append(p.Notes, msgGaugeOtherKind.With(id))
	}
}
