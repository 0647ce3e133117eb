package assess

import (
	"slices"
	"strconv"
	"sync"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/cause"
	"pumpwright/rebuild/assess/delivery"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
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
				inputs := cause.Inputs{
					Sheet: in.Sheet, Service: in.Service, Liquid: in.Liquid, State: in.Job, Sides: a.Sides, Readings: a.Readings, Clearances: a.Clearances,
					Alignment: a.Assembly.Alignment.Found, Hours: in.Shop.MachineHours(),
				}
				if in.Shop != nil {
					inputs.Confirmed, inputs.Times = in.Shop.Causes, in.Shop.CauseTimes
				}
				return cause.Assess(inputs)
			})
		}),
		offer: k.offers.get(keyOfOffer(in, a), func() func() *offer.Chapter {
			return sync.OnceValue(func() *offer.Chapter {
				inputs := a.offerInputs()
				inputs.Delivery = a.courses()
				return offer.Assess(inputs)
			})
		}),
	}
}

func (a *Assessment) offerInputs() offer.Inputs {
	in := a.Inputs
	return offer.Inputs{Sheet: in.Sheet, Service: in.Service, Parts: a.Parts, State: in.Job, Shop: in.Shop, AsOf: in.AsOf, YearsBetween: in.Shop.YearsBetween()}
}

// courses is what the pump delivers after each course of action: as left when
// it is rebuilt, as new when it is replaced. What is short counts against the
// flow that is asked for, else against the new pump.
func (a *Assessment) courses() map[offer.Course]offer.Delivery {
	d := a.Delivery()
	if d.Left == nil || d.Left.Duty == nil || d.New == nil || d.New.Duty == nil {
		return nil
	}
	needed := d.New.Duty.Flow.Value
	if d.Required != nil {
		needed = *d.Required
	}
	of := func(p *delivery.Pump) offer.Delivery {
		short := max(needed-p.Duty.Flow.Value, 0)
		one := offer.Delivery{Short: &short}
		if p.Duty.Power != nil {
			power := p.Duty.Power.Value
			one.Power = &power
		}
		return one
	}
	rebuilt := of(d.Left)
	upgraded := rebuilt
	if d.Upgraded != nil && d.Upgraded.Duty != nil {
		upgraded = of(d.Upgraded)
	}
	return map[offer.Course]offer.Delivery{offer.Rebuild: rebuilt, offer.Upgrade: upgraded, offer.Replace: of(d.New)}
}

// keyOfCause takes the readings and all that people saw.
func keyOfCause(in Inputs, a *Assessment) uint64 {
	s := in.Job
	texts := []string{""}
	for _, list := range [][]string{refs(s.Findings), refs(s.Causes), refs(s.Stacks), refs(s.Alignments), refs(s.Running), refs(s.Trials), refs(s.Sides)} {
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
	return mix(mix(keyOfDelivery(in, a), strconv.FormatUint(keyOfReadings(in), 16), "offer"), texts...)
}

// Quote makes the body of a quote for the teardown or for the rebuild, with
// what must be said beside it. It is not an entry yet: somebody looks at it
// and offers it. Without a number it takes the next one of the job, without a
// step the one that comes next, without a day the day of the assessment.
func (a *Assessment) Quote(asked offer.Asked) (job.Quote, []say.Message, error) {
	if asked.Number == "" {
		asked.Number = a.Inputs.Job.NextQuote()
	}
	if asked.Step == "" {
		asked.Step = a.QuoteStep()
	}
	if asked.Day.IsZero() {
		asked.Day = a.Inputs.AsOf
	}
	return a.Offer().Quote(a.offerInputs(), asked)
}

// QuoteStep is the step of quoting that comes next: the teardown until the
// pump is judged, then the rebuild.
func (a *Assessment) QuoteStep() string {
	stages := procedure.Stages()
	if slices.Index(stages, a.Progress.Stage) < slices.Index(stages, procedure.Judge) {
		return job.QuoteTeardown
	}
	return job.QuoteRebuild
}
