package cli

import (
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/offer"
)

var (
	headCause    = say.Define("cli.head_cause", "Why it failed")
	msgCauseIs   = say.Define("cli.cause", "{name} ({id}), {chance:percent}:")
	msgFor       = say.Define("cli.for", "for: {reason}")
	msgAgainst   = say.Define("cli.against", "against: {reason}")
	msgChain     = say.Define("cli.chain", "brought about: {list:list}")
	msgNamed     = say.Define("cli.named", "named by {who}: {note}")
	msgStanding  = say.Define("cli.standing", "Let it happen, not scored: {name}. {why:message}")
	msgNextLook  = say.Define("cli.next_look", "Next look: {name} ({id}), {minutes:number} min, {bits:number} bit. {where}")
	msgNoCause   = say.Define("cli.no_cause", "Nothing was found or measured that tells.")
	headOffer    = say.Define("cli.head_offer", "What to order, and what it costs")
	msgPlan      = say.Define("cli.plan", "{aim:message}: {choices:list}; {price}, {days:number} days.")
	msgChoice    = say.Define("cli.choice", "{n:number} × {offer}")
	msgAdvised   = say.Define("cli.advised", "Advised: {aim:message}.")
	msgUncovered = say.Define("cli.uncovered", "No offer covers {parts:list}.")
	msgSum       = say.Define("cli.sum", "Parts, labour and outside work that are sure: {sum}.")
	msgSumUpTo   = say.Define("cli.sum_up_to", "With every part that may still be needed: {sum}.")
	msgNoOrder   = say.Define("cli.order_nothing", "Nothing is to be ordered yet.")
)

// shownCauses is how many causes are worth a look at the bench.
const shownCauses = 3

// cause says why the pump failed, as far as it can be told.
func (v *view) cause() {
	c := v.a.Cause()
	v.head(headCause.With())
	if len(c.Causes) == 0 {
		v.say(msgNoCause.With())
		return
	}
	if !c.Certainty.IsZero() {
		v.say(c.Certainty)
	}
	for i, one := range c.Causes {
		if i == shownCauses {
			break
		}
		v.say(msgCauseIs.With(say.Known(one.Name), one.ID, one.Probability))
		for _, r := range one.For {
			v.item("  - ", msgFor.With(r.Text))
		}
		for _, r := range one.Against {
			v.item("  - ", msgAgainst.With(r.Text))
		}
		if len(one.Chain) > 0 {
			names := make([]string, len(one.Chain))
			for j, l := range one.Chain {
				names[j] = l.Cause.Name
			}
			v.item("  - ", msgChain.With(say.KnownList(names)))
		}
		if n := one.Named; n != nil {
			v.item("  - ", msgNamed.With(v.a.Inputs.Shop.PersonName(n.By), n.Body.Note))
		}
	}
	for _, s := range c.Standing {
		v.say(msgStanding.With(say.Known(s.Name), s.Why))
	}
	for _, l := range c.Looks(1) {
		v.say(msgNextLook.With(say.Known(l.Name), l.ID, l.Minutes, l.Bits, say.Known(l.Where)))
	}
	v.list(c.Conflicts)
}

// offer says what to order and what the rebuild costs.
func (v *view) offer() {
	c := v.a.Offer()
	v.head(headOffer.With())
	if len(c.Needs) == 0 {
		v.say(msgNoOrder.With())
		return
	}
	for _, p := range c.Plans {
		choices := make([]string, len(p.Choose))
		for i, one := range p.Choose {
			choices[i] = msgChoice.With(one.Count, one.Offer.Name).Text(v.style)
		}
		v.item("  - ", msgPlan.With(offer.AimName(p.Aim), choices, p.Price.String(), p.Lead.SI()/86400))
	}
	if c.Advised != nil {
		v.say(msgAdvised.With(offer.AimName(c.Advised.Aim)))
	}
	if len(c.Uncovered) > 0 {
		names := make([]string, len(c.Uncovered))
		for i, n := range c.Uncovered {
			names[i] = n.Part.Name
		}
		v.say(msgUncovered.With(names))
	}
	if c.Sum != nil {
		v.say(msgSum.With(c.Sum.String()))
	}
	if c.SumHigh != nil {
		v.say(msgSumUpTo.With(c.SumHigh.String()))
	}
	if l := c.Life; l != nil {
		v.list(l.Words)
	}
}
