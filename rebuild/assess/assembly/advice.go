package assembly

import (
	"strings"

	"pumpwright/calc/liquid"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
)

// rubber looks up the elastomer, as advice.
func (s *Seal) rubber(in *Inputs) {
	name := ""
	if d := in.Sheet.Seal; d != nil {
		name = d.Elastomer
	}
	for _, f := range in.State.Fitted {
		if f.Body.Elastomer == "" || !strings.Contains(f.Body.Part, "seal") {
			continue
		}
		if name != "" && !strings.EqualFold(name, f.Body.Elastomer) {
			s.Warnings = append(s.Warnings, msgOtherRubber.With(name, f.Body.Elastomer, f.Body.Batch))
		}
		name = f.Body.Elastomer
	}
	var lacks lacking
	lacks.unless(name != "", "elastomer of the seal")
	family := familyOf(in.Liquid)
	lacks.unless(family != "", "family of the liquid")
	at := in.hottest()
	lacks.unless(at > 0, "temperature of the service")
	if len(lacks) > 0 {
		s.Unknown = append(s.Unknown, lacks.message(whatRubber.With()))
		return
	}
	symbol := seal.Elastomer(strings.ToUpper(strings.Fields(name)[0]))
	advice, err := seal.AdviseElastomer(symbol, family, at)
	switch {
	case err != nil:
		s.Advice = append(s.Advice, msgNoTable.With(name))
	case advice.Fitness == seal.Unfit:
		s.Warnings = append(s.Warnings, msgUnfit.With(name, family, at, advice.Fitness))
		s.Advice = append(s.Advice, advise(advice.Reasons)...)
	default:
		s.Advice = append(s.Advice, msgFitness.With(name, family, at, advice.Fitness))
		s.Advice = append(s.Advice, advise(advice.Reasons)...)
	}
}

func advise(list []say.Message) []say.Message {
	out := make([]say.Message, len(list))
	for i, m := range list {
		out[i] = asAdvice(m)
	}
	return out
}

// asAdvice marks a message as advice, unless it says so itself.
func asAdvice(m say.Message) say.Message {
	if m.ID() == "seal.only_advice" {
		return m
	}
	return msgAdvice.With(m)
}

// familyOf is the family of general tables that a liquid belongs to, "" when
// its data do not say.
func familyOf(l *liquid.Liquid) seal.Liquid {
	switch {
	case l == nil:
		return ""
	case l.Family == liquid.IsWater:
		return seal.Water
	case l.Family == liquid.Petroleum:
		return seal.MineralOil
	}
	name := strings.ToLower(l.Name + " " + l.Title)
	for _, known := range []struct {
		word   string
		family seal.Liquid
	}{{"sugar", seal.Sugar}, {"molasses", seal.Sugar}, {"syrup", seal.Sugar}, {"sucrose", seal.Sugar}, {"water", seal.Water}} {
		if strings.Contains(name, known.word) {
			return known.family
		}
	}
	return ""
}

// facesAdvice says what speaks for and against pairs of faces.
func (s *Seal) facesAdvice(in *Inputs) {
	v := in.Service
	if v == nil || in.Liquid == nil || v.Temperature == nil {
		return
	}
	service := seal.FaceService{Abrasive: v.Solids != nil && v.Solids.Value >= seriousSolids}
	if state, err := in.Liquid.At(v.Temperature.Value); err == nil {
		service.PoorLubricant = !state.Lubricates || state.Kinematic < thinLiquid
	}
	for _, m := range seal.AdviseFaces(service) {
		if !said(s.Advice, asAdvice(m)) {
			s.Advice = append(s.Advice, asAdvice(m))
		}
	}
}

func said(list []say.Message, m say.Message) bool {
	for _, have := range list {
		if have.String() == m.String() {
			return true
		}
	}
	return false
}
