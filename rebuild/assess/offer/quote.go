package offer

import (
	"math"
	"strings"
	"time"

	"pumpwright/calc/cover"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
)

// teardownStages are what the first quote covers: the pump is opened, measured
// and judged, and the customer hears what it takes.
var teardownStages = map[string]bool{
	string(procedure.Receive): true, string(procedure.MakeSafe): true, string(procedure.TearDown): true,
	string(procedure.Measure): true, string(procedure.Judge): true, string(procedure.Quote): true,
}

var (
	msgNoQuoteRate   = say.Define("offer.quote_rate", "the shop has written down no price of an hour")
	msgWriteRate     = say.Define("offer.quote_write_rate", "write labour_rate among the prices of the shop, or quote the teardown at a fee")
	msgNoStep        = say.Define("offer.quote_step", "a quote is for the teardown or for the rebuild")
	msgSteps         = say.Define("offer.quote_steps", "write teardown or rebuild")
	msgNothingQuoted = say.Define("offer.quote_nothing", "there is nothing to quote: no part is decided and no hours are known")
	warnQuoteOpen    = say.Define("offer.quote_open", "not judged yet, and not in this quote: {parts:list}")
	warnQuoteNone    = say.Define("offer.quote_uncovered", "no offer covers {parts:list}: they are not in this quote")
	warnQuoteFirst   = say.Define("offer.quote_first", "the teardown was not quoted and accepted: its labour is in this quote")
	msgNoAim         = say.Define("offer.quote_aim", "there is no cover for this aim")
	msgAims          = say.Define("offer.quote_aims", "the aims are {aims:list}")
	lineTeardown     = say.Define("offer.line_teardown", "teardown, measuring and report")
)

// Asked is a quote that somebody wants to make.
type Asked struct {
	Step   string // teardown or rebuild
	Number string
	Day    time.Time // day of the quote, from which it holds as long as the shop says
	Aim    cover.Aim // of the parts; empty: the advised one
}

// Quote makes the body of a quote entry out of the chapter: the teardown first,
// then the rebuild with the parts of the plan and what is left of the labour. A
// part that is not judged or that nothing covers is not in it; that is said.
//
// Errors: step, aim, or a Problem naming what of the shop's prices is missing.
func (c *Chapter) Quote(in Inputs, asked Asked) (job.Quote, []say.Message, error) {
	q := job.Quote{Number: asked.Number, Step: asked.Step, Status: job.QuoteOffered, Currency: c.Currency}
	var warnings []say.Message
	var err error
	switch asked.Step {
	case job.QuoteTeardown:
		err = c.quoteTeardown(in, &q)
	case job.QuoteRebuild:
		warnings, err = c.quoteRebuild(in, &q, asked.Aim)
	default:
		err = say.Refuse("step", asked.Step, msgNoStep.With(), msgSteps.With())
	}
	if err != nil {
		return q, warnings, err
	}
	if len(q.Lines)+len(q.Labour) == 0 {
		return q, warnings, say.Refuse("lines", "", msgNothingQuoted.With(), say.Message{})
	}
	p := prices(in)
	if p.ValidDays != nil && *p.ValidDays >= 0 {
		q.ValidUntil = asked.Day.AddDate(0, 0, int(*p.ValidDays)).Format(time.DateOnly)
	}
	q.Unclaimed = p.Unclaimed
	total := q.Sum()
	q.Total = &total
	return q, warnings, nil
}

// quoteTeardown asks the shop's fee, or the hours of the stages.
func (c *Chapter) quoteTeardown(in Inputs, q *job.Quote) error {
	p := prices(in)
	if p.TeardownFee != nil && *p.TeardownFee >= 0 {
		q.Lines = []job.QuoteLine{{What: lineTeardown.With().String(), Count: 1, Price: *p.TeardownFee}}
		q.TeardownFee = p.TeardownFee
		return nil
	}
	if err := c.quoteLabour(in, q, func(stage string) bool { return teardownStages[stage] }); err != nil {
		return err
	}
	fee := q.Sum()
	q.TeardownFee = &fee
	return nil
}

func (c *Chapter) quoteLabour(in Inputs, q *job.Quote, covers func(stage string) bool) error {
	rate := prices(in).LabourRate
	for _, s := range c.Labour {
		if !covers(s.Stage) {
			continue
		}
		if rate == nil || !(*rate >= 0) {
			return say.Refuse("labour_rate", "", msgNoQuoteRate.With(), msgWriteRate.With())
		}
		q.Labour = append(q.Labour, job.QuoteLabour{Stage: s.Stage, Hours: math.Round(100*s.Hours) / 100, Rate: *rate})
	}
	return nil
}

// PlanFor returns the plan for an aim, the advised one for none; nil when there
// is no plan at all. Errors: aim.
func (c *Chapter) PlanFor(aim cover.Aim) (*Plan, error) {
	if aim == "" || len(c.Plans) == 0 {
		return c.Advised, nil
	}
	var known []string
	for i := range c.Plans {
		if c.Plans[i].Aim == aim {
			return &c.Plans[i], nil
		}
		known = append(known, string(c.Plans[i].Aim))
	}
	return nil, say.Refuse("aim", string(aim), msgNoAim.With(), msgAims.With(known))
}

func (c *Chapter) quoteRebuild(in Inputs, q *job.Quote, aim cover.Aim) ([]say.Message, error) {
	var warnings []say.Message
	plan, err := c.PlanFor(aim)
	if err != nil {
		return nil, err
	}
	if plan != nil {
		for _, ch := range plan.Choose {
			q.Lines = append(q.Lines, job.QuoteLine{What: ch.Offer.Name, Count: ch.Count, Price: ch.Offer.Price, Why: c.why(ch), Outside: ch.Offer.Work})
		}
	}
	for _, o := range c.Outside {
		if o.Price != nil {
			q.Lines = append(q.Lines, job.QuoteLine{What: o.What, Count: 1, Price: o.Price.Amount(), Outside: true})
		}
	}
	first := c.teardownAccepted()
	if !first {
		warnings = append(warnings, warnQuoteFirst.With())
	}
	if err := c.quoteLabour(in, q, func(stage string) bool { return !first || !teardownStages[stage] }); err != nil {
		return warnings, err
	}
	q.TeardownFee = prices(in).TeardownFee
	if names := partNames(c.MayNeed); len(names) > 0 {
		warnings = append(warnings, warnQuoteOpen.With(names))
	}
	if names := partNames(c.Uncovered); len(names) > 0 {
		warnings = append(warnings, warnQuoteNone.With(names))
	}
	return warnings, nil
}

// teardownAccepted reports whether the first step was quoted and accepted.
func (c *Chapter) teardownAccepted() bool {
	for _, q := range c.Quotes {
		if q.Offer.Body.Step == job.QuoteTeardown && q.Status == job.QuoteAccepted {
			return true
		}
	}
	return false
}

// why gives, for an offer that is taken, the first reason of each part that it
// is taken for; beside a decision stands what the readings say.
func (c *Chapter) why(ch Choice) string {
	var reasons []string
	for _, n := range c.Needs {
		if ch.Offer.Parts[n.Part.ID] == 0 || len(n.Reasons) == 0 {
			continue
		}
		words := n.Part.Name + ": " + n.Reasons[0].String()
		if n.Reasons[0].ID() == "part.decided" && len(n.Reasons) > 1 {
			words += ", " + n.Reasons[1].String()
		}
		reasons = append(reasons, words)
	}
	return strings.Join(reasons, "; ")
}

func partNames(needs []Need) []string {
	names := make([]string, len(needs))
	for i, n := range needs {
		names[i] = n.Part.Name
	}
	return names
}
