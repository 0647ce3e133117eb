package cli

import (
	"fmt"

	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/transfer"
	"pumpwright/calc/cover"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
)

// quoteCommand quotes the teardown, then the rebuild.
type quoteCommand struct {
	File   string `arg:"" name:"jobfile" help:"Job file."`
	Step   string `enum:",teardown,rebuild" default:"" placeholder:"teardown|rebuild" help:"What is quoted (default: the teardown until the pump is judged, then the rebuild)."`
	Aim    string `enum:",cheapest,soonest,least-left-over,least-total" default:"" placeholder:"cheapest|soonest|least-left-over|least-total" help:"What makes one set of parts better than another (default: the least total where waiting has a price, else the cheapest)."`
	Number string `placeholder:"NUMBER" help:"Number of the quote; one that the job holds is shown as it was offered (default: the next of the job)."`
	Out    string `placeholder:"FILE" help:"PDF to write; one that is there already is replaced."`
	Paper  string `enum:"a4,letter" default:"a4" placeholder:"a4|letter" help:"Size of the paper."`
	Store  bool   `help:"Write the quote into the job file as an entry."`
	JSON   bool   `name:"json" help:"Print the quote as JSON, for programs."`
	AsOf   string `placeholder:"DATE" help:"Day of the quote (default: the day of the last entry)."`
	Writer
	Units
}

// Help shows how it is called.
func (*quoteCommand) Help() string {
	return `The trade quotes twice: the teardown with its report first, since nobody knows the scope before the pump is open; then the rebuild, each part with its reason. Prices are those of the shop that the job carries. The exit status is 3 when parts are not judged yet or no offer covers them: they are not in the quote.

  pumpwright quote J-2041.jsonl
  pumpwright quote J-2057.jsonl --out J-2057-quote.pdf
  pumpwright quote J-2063.jsonl --step teardown --store --by mira
  pumpwright quote J-2041.jsonl --json

An answer is an entry too:

  pumpwright job add J-2063.jsonl quote --json '{"number": "J-2063-Q1", "status": "accepted"}' --by odell
`
}

var (
	headQuoteTeardown = say.Define("cli.quote_teardown", "Quote {number}: teardown and report")
	headQuoteRebuild  = say.Define("cli.quote_rebuild", "Quote {number}: rebuild")
	msgQuoteSum       = say.Define("cli.quote_sum", "In all: {sum}.")
	msgQuoteUntil     = say.Define("cli.quote_until", "Holds until {day}.")
	msgQuoteFee       = say.Define("cli.quote_fee", "When the rebuild is declined: {fee}.")
	msgQuoteStands    = say.Define("cli.quote_stands", "Stands: {status}.")
	msgQuoteNew       = say.Define("cli.quote_new", "Not in the job yet: --store writes it there as an entry.")
	msgQuoteHours     = say.Define("cli.quote_hours", "{hours:number} h at {rate}")
	msgQuoteWork      = say.Define("cli.quote_work", "{what} (work sent out)")
	msgQuoteThere     = say.Define("cli.quote_there", "the job holds a quote of this number, for the {step}")
	msgQuoteOther     = say.Define("cli.quote_other", "a changed quote has a number of its own; leave --number out and the next one is taken")
	msgQuoteBefore    = say.Define("cli.quote_before", "{number} ({status})")
	msgQuotesBefore   = say.Define("cli.quotes_before", "Quotes that the job holds: {list:list}.")
	headWhat          = say.Define("cli.head_what", "what")
	headCount         = say.Define("cli.head_count", "count")
	headEach          = say.Define("cli.head_each", "each")
	headSum           = say.Define("cli.head_sum", "sum")
	headReason        = say.Define("cli.head_reason", "why")
)

// notStored is how a quote stands that the job does not hold.
const notStored = "not stored"

// quoted is a quote with how it stands in its job.
type quoted struct {
	quote   job.Quote
	stands  string
	left    []say.Message // what is not in it, and what to know
	partial bool          // parts are not judged or not covered
	before  []string      // the quotes that the job holds
}

// Run quotes.
func (c *quoteCommand) Run(env *Env) error {
	a, faults, err := assessFile(env, c.File, c.AsOf)
	if err != nil {
		return err
	}
	q, err := c.quote(a)
	if err != nil {
		return err
	}
	p := newPage(env, c.style())
	if c.JSON {
		doc, err := transfer.Quoted(a, faults, q.quote, q.stands, q.left, p.style)
		if err != nil {
			return err
		}
		p.err = writeJSON(env.Out, doc)
	} else {
		p.faults(c.File, faults)
		v := view{page: p, a: a}
		v.heading()
		v.quote(q)
		if q.stands == notStored && !c.Store {
			v.say(msgQuoteNew.With())
		}
	}
	if p.err == nil && c.Out != "" {
		p.err = c.pdf(env, p, a, q.quote)
	}
	if p.err == nil && c.Store {
		p.err = c.store(env, q.quote)
	}
	if p.err == nil && (len(faults) > 0 || q.partial) {
		return status(calculator.StatusNotYet)
	}
	return p.err
}

// quote makes the quote that is asked for, or takes the one that was offered.
func (c *quoteCommand) quote(a *assess.Assessment) (quoted, error) {
	offered := a.Inputs.Job.QuotesAsOf(a.Inputs.AsOf)
	number := c.Number
	if number == "" {
		number = a.Inputs.Job.NextQuote()
	}
	for _, s := range offered {
		if s.Number == number {
			if c.Store || c.Step != "" && c.Step != s.Offer.Body.Step {
				return quoted{}, say.Refuse("number", number, msgQuoteThere.With(s.Offer.Body.Step), msgQuoteOther.With())
			}
			return quoted{quote: s.Offer.Body, stands: s.Status, left: s.Remarks}, nil
		}
	}
	q, left, err := a.Quote(offer.Asked{Step: c.Step, Number: number, Aim: cover.Aim(c.Aim)})
	if err != nil {
		return quoted{}, err
	}
	partial := q.Step == job.QuoteRebuild && len(a.Offer().MayNeed)+len(a.Offer().Uncovered) > 0
	var before []string
	for _, s := range offered {
		before = append(before, msgQuoteBefore.With(s.Number, s.Status).String())
	}
	return quoted{q, notStored, left, partial, before}, nil
}

// quote prints a quote.
func (v *view) quote(q quoted) {
	head := headQuoteRebuild
	if q.quote.Step == job.QuoteTeardown {
		head = headQuoteTeardown
	}
	v.head(head.With(q.quote.Number))
	money := func(amount float64) string {
		m, err := quantity.MoneyOf(amount, q.quote.Currency)
		if err != nil {
			v.err = err
		}
		return m.String()
	}
	var rows [][]string
	for _, l := range q.quote.Lines {
		what := l.What
		if l.Outside {
			what = msgQuoteWork.With(l.What).Text(v.style)
		}
		rows = append(rows, []string{what, fmt.Sprint(l.Count), money(l.Price), money(l.Price * float64(l.Count)), l.Why})
	}
	for _, l := range q.quote.Labour {
		rows = append(rows, []string{procedure.Stage(l.Stage).Name().Text(v.style), "", msgQuoteHours.With(l.Hours, money(l.Rate)).Text(v.style), money(l.Hours * l.Rate), ""})
	}
	v.table("", []say.Message{headWhat.With(), headCount.With(), headEach.With(), headSum.With(), headReason.With()}, rows)
	amount, err := q.quote.Amount()
	if err != nil {
		v.err = err
		return
	}
	v.blank()
	v.say(msgQuoteSum.With(amount.String()))
	if q.quote.ValidUntil != "" {
		v.say(msgQuoteUntil.With(q.quote.ValidUntil))
	}
	if fee := q.quote.TeardownFee; fee != nil && q.quote.Step == job.QuoteRebuild {
		v.say(msgQuoteFee.With(money(*fee)))
	}
	v.list(q.left)
	if len(q.before) > 0 {
		v.say(msgQuotesBefore.With(q.before))
	}
	if q.stands != notStored {
		v.say(msgQuoteStands.With(q.stands))
	}
}

func (c *quoteCommand) pdf(env *Env, p *page, a *assess.Assessment, q job.Quote) error {
	pdf, err := report.QuotePDF(a, q, report.Options{Size: paperOf(c.Paper), Style: p.style})
	if err != nil {
		return err
	}
	if err := env.Folder.Write(c.Out, pdf); err != nil {
		return err
	}
	if !c.JSON {
		p.line(msgWritten.With(c.Out).Text(say.Style{}))
	}
	return p.err
}

func paperOf(name string) document.PageSize {
	if name == "letter" {
		return document.Letter
	}
	return document.A4
}

// store writes the quote into the job.
func (c *quoteCommand) store(env *Env, q job.Quote) error {
	if c.JSON { // standard output holds one document
		quiet := *env
		quiet.Out = env.Err
		env = &quiet
	}
	to := addTo{File: c.File, Writer: c.Writer}
	return to.store(env, job.KindQuote, quoteBody{q})
}

// quoteBody is a quote as the body of an entry.
type quoteBody struct{ job.Quote }

func (q quoteBody) body(*adding) (any, error) { return q.Quote, nil }
