package assembly

import (
	"pumpwright/calc/bushing"
	"pumpwright/calc/fit"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// ream finds the bore to aim for, from the measured pin.
func (p *Press) ream(in *Inputs) {
	b := p.Bushing
	pin, from, known := in.journal(b)
	var lacks lacking
	lacks.unless(known, "diameter of the "+in.partName(b.Journal))
	r := &Ream{Pin: pin}
	whose := whoseFilm.With()
	if b.Running != nil {
		r.Clearance, whose = b.Running.Value, whoseSheet.With(pageOf(b.Running.Page))
	} else if known {
		clearance, reasons, err := in.filmClearance(b, p, pin.Value)
		if err != nil {
			p.Unknown = append(p.Unknown, msgRefused.With(whatReam.With(), err))
			return
		}
		r.Clearance = clearance
		p.Notes = append(p.Notes, reasons...)
	}
	if len(lacks) > 0 {
		p.Unknown = append(p.Unknown, lacks.message(whatReam.With()))
		return
	}
	r.Bore = pin.Value + r.Clearance
	band := quantity.Length(min(reamBandOfGap*r.Clearance.SI(), reamBandAtMost))
	if f := in.Sheet.ByRole(in.rolesOf(b).bore); f != nil && f.Lower != nil && f.Upper != nil {
		band = quantity.Length((f.Upper.SI - f.Lower.SI) / 2)
	}
	r.Low, r.High = r.Bore-band, r.Bore+band
	p.Ream = r
	p.Reasons = append(p.Reasons, msgReamPin.With(in.partName(b.Journal), pin, from, r.Clearance, whose))
	r.decide(in, p)
	r.hot(in, p)
}

// decide says what the bore needs: by the reading after pressing, else by what
// pressing should leave.
func (r *Ream) decide(in *Inputs, p *Press) {
	b := p.Bushing
	r.Decision = fit.FinishRemove
	r.Verdict = msgReamTo.With(r.Bore, r.Low, r.High)
	if p.Result != nil && !b.ReamAfter {
		decision, before, err := p.Result.Finish(r.Low, r.High)
		if err == nil {
			r.Decision, r.Before, r.AsPressed = decision, before, p.Result.BoreAfterPress
			switch decision {
			case fit.FinishAsPressed:
				r.Verdict = msgAsPressed.With(r.AsPressed, r.Low, r.High)
			case fit.FinishTooLarge:
				r.Verdict = msgBoreLarge.With(r.AsPressed, r.High)
				p.Warnings = append(p.Warnings, r.Verdict)
			}
		}
	} else if p.Result != nil {
		r.Before = r.Bore + p.Result.Cold.BoreClosure
	}
	read := in.mean(in.rolesOf(b).bore, job.AsLeft)
	if read == nil {
		return
	}
	e := lengthOf(read)
	r.Read, r.Remove = &e, r.Bore-e.Value
	u := quantity.Length(2 * e.U)
	switch {
	case e.Value < r.Low-u:
		r.Verdict = msgReadMore.With(e, r.Remove, r.Bore)
	case e.Value > r.High+u:
		r.Verdict = msgReadLarge.With(e, -r.Remove, r.Bore)
		p.Warnings = append(p.Warnings, r.Verdict)
	default:
		r.Verdict = msgReadRight.With(e, r.Bore)
	}
}

// hot carries the running clearance to the highest temperature.
func (r *Ream) hot(in *Inputs, p *Press) {
	at := in.hottest()
	cold := r.Clearance
	if r.Read != nil {
		cold = r.Read.Value - r.Pin.Value
	}
	change, unknown := in.gapChange(p, r.Pin.Value, at)
	if !unknown.IsZero() {
		if p.Result != nil && at > 0 {
			p.Unknown = append(p.Unknown, unknown)
		}
		return
	}
	hot := cold + change
	r.Hot = &hot
	switch {
	case hot <= 0:
		p.Warnings = append(p.Warnings, msgHotSeizes.With(hot, at))
	case hot < cold/2:
		p.Warnings = append(p.Warnings, msgHotNarrow.With(hot, at))
	default:
		p.Notes = append(p.Notes, msgHotGap.With(cold, hot, at))
	}
}

// gapChange is how the running clearance changes from the bench to a
// temperature that bushing, housing and journal share. [upper bound: parts at
// the liquid's temperature]
//
//	Δ = Δ bore (closure of the press fit and growth) − d α_j ΔT
func (in *Inputs) gapChange(p *Press, journal quantity.Length, at quantity.Temperature) (quantity.Length, say.Message) {
	if p.Result == nil || at == 0 {
		return 0, msgUnknown.With(whatHotGap.With(), []string{"press fit or temperature"})
	}
	group := "shaft"
	if in.isIdler(p.Bushing) {
		group = "pin"
	}
	alpha := in.Sheet.ExpansionOf(group)
	if alpha == nil {
		if part := in.Sheet.Part(p.Bushing.Journal); part != nil {
			if m, err := in.materialOf(part.Material, group); err == nil && m.Expansion.Known() {
				alpha = &m.Expansion.Value
			}
		}
	}
	if alpha == nil {
		return 0, msgUnknown.With(whatHotGap.With(), []string{"expansion of the " + in.partName(p.Bushing.Journal)})
	}
	input := p.Result.Input
	input.Service = at
	hot, err := fit.Press(input)
	if err != nil || hot.Hot == nil {
		return 0, msgRefused.With(whatHotGap.With(), err)
	}
	rise := (at - input.Bench).SI()
	return hot.BoreHotReamed - input.SleeveBore - quantity.Length(journal.SI()*alpha.SI()*rise), say.Message{}
}

var whatHotGap = say.Define("assembly.what_hot_gap", "running clearance in service")

// filmClearance is the clearance to ream to where the sheet gives none.
func (in *Inputs) filmClearance(b *sheet.Bushing, p *Press, pin quantity.Length) (quantity.Length, []say.Message, error) {
	j, _, err := in.journalAt(b, pin, in.hottest())
	if err != nil {
		return 0, nil, err
	}
	closure := quantity.Length(0)
	if change, unknown := in.gapChange(p, pin, in.hottest()); unknown.IsZero() {
		closure = -change
	}
	r, err := bushing.Ream(j, closure)
	return r.BenchClearance, r.Reasons, err
}
