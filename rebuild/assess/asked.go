package assess

import (
	"sync"

	"pumpwright/rebuild/assess/cause"
	"pumpwright/rebuild/assess/offer"
)

// asked holds the chapters about the failure and about money. They are worked
// out when a place asks for them, once, so that a reading is not kept waiting
// for a diagnosis.
type asked struct {
	cause func() *cause.Chapter
	offer func() *offer.Chapter
}

// Cause is the chapter about why the pump failed.
func (a *Assessment) Cause() *cause.Chapter {
	if a.asked.cause == nil { // not made by Assess
		return &cause.Chapter{}
	}
	return a.asked.cause()
}

// Offer is the chapter about parts, quote and courses of action.
func (a *Assessment) Offer() *offer.Chapter {
	if a.asked.offer == nil {
		return &offer.Chapter{}
	}
	return a.asked.offer()
}

// ask prepares both; what their inputs leave unchanged stays as it is.
func (k *Keeper) ask(in Inputs, a *Assessment) asked {
	return asked{
		cause: k.causes.get(keyOfCause(in, a), func() func() *cause.Chapter {
			return sync.OnceValue(func() *cause.Chapter {
				return cause.Assess(cause.Inputs{
					Sheet: in.Sheet, Service: in.Service, Liquid: in.Liquid, State: in.Job, Readings: a.Readings, Clearances: a.Clearances,
					Alignment: a.Assembly.Alignment.Found,
				})
			})
		}),
		offer: k.offers.get(keyOfOffer(in, a), func() func() *offer.Chapter {
			return sync.OnceValue(func() *offer.Chapter {
				return offer.Assess(offer.Inputs{Sheet: in.Sheet, Service: in.Service, Parts: a.Parts, State: in.Job, Shop: in.Shop, AsOf: in.AsOf})
			})
		}),
	}
}

// keyOfCause takes the readings and all that people saw.
func keyOfCause(in Inputs, a *Assessment) uint64 {
	s := in.Job
	texts := []string{""}
	for _, list := range [][]string{refs(s.Findings), refs(s.Causes), refs(s.Stacks), refs(s.Alignments), refs(s.Running), refs(s.Trials)} {
		texts = append(append(texts, list...), "")
	}
	texts = append(texts, s.Marks["safe-alignment"].Ref)
	if s.Open != nil {
		texts = append(texts, s.Open.Ref)
	}
	return mix(mix(keyOfReadings(in), "cause"), texts...)
}

// keyOfOffer takes the parts, the prices and the hours.
func keyOfOffer(in Inputs, a *Assessment) uint64 {
	s := in.Job
	texts := []string{""}
	for _, list := range [][]string{refs(s.Decisions), refs(s.Hours), refs(s.Quotes), refs(s.OutsideWork)} {
		texts = append(append(texts, list...), "")
	}
	return mix(mix(keyOfReadings(in), "offer"), texts...)
}
