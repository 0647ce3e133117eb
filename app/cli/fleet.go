package cli

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"pumpwright/app/report"
	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// fleetCommand looks over many machines.
type fleetCommand struct {
	pastFiles
	Model  string `placeholder:"NAME" help:"Only this model sheet."`
	Liquid string `placeholder:"NAME" help:"Only this liquid."`
	Place  string `placeholder:"NAME" help:"Only this place."`
	Owner  string `placeholder:"NAME" help:"Only this owner."`
	Cause  string `placeholder:"ID" help:"Only jobs with this cause."`
	Part   string `placeholder:"ID" help:"Part whose life is fitted (default: the one that failed most often)."`
	From   string `placeholder:"DATE" help:"Only jobs that came in from this day on."`
	To     string `placeholder:"DATE" help:"Only jobs that came in before this day."`
	JSON   bool   `name:"json" help:"Print the answer as JSON, for programs."`
	Units
}

// Help shows how it is called.
func (*fleetCommand) Help() string {
	return `Which service eats which part, how long parts last, which pumps come in most often and what that costs. Names that a filter may take are those that the answer lists. The exit status is 3 when a file is damaged, a job could not be used, or the filter chooses nothing.

  pumpwright fleet .
  pumpwright fleet J-2041.jsonl J-2057.jsonl --liquid demo-light-oil
  pumpwright fleet . --part shaft-seal --json
`
}

var (
	headFleet      = say.Define("cli.head_fleet", "The fleet")
	headWhyIn      = say.Define("cli.head_why_in", "Why they came in")
	headLiquids    = say.Define("cli.head_liquids", "By liquid")
	headModels     = say.Define("cli.head_models", "By model")
	headPlacesOf   = say.Define("cli.head_by_place", "By place")
	headPartFates  = say.Define("cli.head_part_fates", "What became of parts")
	headOften      = say.Define("cli.head_often", "Pumps that came in most often")
	headLife       = say.Define("cli.head_life", "How long they last: {part}")
	headWorst      = say.Define("cli.head_a_year", "a year")
	headJobs       = say.Define("cli.head_jobs", "jobs")
	headBackSoon   = say.Define("cli.head_back_soon", "back within weeks")
	headRenewed    = say.Define("cli.head_renewed", "renewed otherwise")
	headRunning    = say.Define("cli.head_running", "running")
	headRate       = say.Define("cli.head_rate", "worn in 10 000 h (90 %)")
	headCostYear   = say.Define("cli.head_cost_a_year", "cost a year")
	msgFleet       = say.Define("cli.fleet", "{jobs:count|job|jobs} of {machines:count|pump|pumps}, {hours:number} h of running. Cost: {costs:list}.")
	msgFleetFree   = say.Define("cli.fleet_free", "{jobs:count|job|jobs} of {machines:count|pump|pumps}, {hours:number} h of running.")
	msgFleetNone   = say.Define("cli.fleet_none", "No job fits the filter.")
	msgFleetLife   = say.Define("cli.fleet_life", "{failed:count} worn out, {running:count} running or taken out for another reason.")
	msgFleetFit    = say.Define("cli.fleet_fit", "Weibull: shape {shape:number}{shapes}, characteristic life {scale:number} h.")
	msgFleetFew    = say.Define("cli.fleet_few", "Weibull with the shape {shape:number} assumed: characteristic life {scale:number} h.")
	msgFleetTenth  = say.Define("cli.fleet_tenth", "A tenth have worn out by {age:number} h{ages}.")
	wordRate       = say.Define("cli.rate", "{rate} ({low} to {high})")
	wordBoundRange = say.Define("cli.bound_range", "({low} to {high}, 90 %)")
	wordNoCause    = say.Define("cli.cause_unnamed", "not named")
	msgFleetNames  = say.Define("cli.fleet_names", "there are {list:list}")
	msgFleetNobody = say.Define("cli.fleet_nobody", "no job of these files has it")
)

// longList is how many lines a list of the fleet shows.
const longList = 10

// Run looks over the fleet.
func (c *fleetCommand) Run(env *Env) error {
	filter := history.Filter{Model: c.Model, Liquid: c.Liquid, Site: c.Place, Owner: c.Owner, Cause: c.Cause, Part: c.Part}
	for _, one := range []struct {
		field, text string
		to          *record.Time
	}{{"from", c.From, &filter.From}, {"to", c.To, &filter.To}} {
		at, err := dayOf(one.field, one.text)
		if err != nil {
			return err
		}
		if !at.IsZero() {
			*one.to = record.TimeOf(at)
		}
	}
	o, err := c.load(env, c.style())
	if err != nil {
		return err
	}
	if err := o.need(); err != nil {
		return err
	}
	fleet := history.NewFleet(o.jobs, o.pumps, o.options)
	if err := c.names(fleet); err != nil {
		return err
	}
	answer := fleet.Page(filter)
	p := newPage(env, c.style())
	if c.JSON {
		p.err = writeJSON(env.Out, o.Fleet(answer))
	} else {
		p.past(o)
		p.fleet(answer)
	}
	if p.err == nil && (!o.whole() || answer.Jobs == 0) {
		return status(calculator.StatusNotYet)
	}
	return p.err
}

// names refuses a filter by a word that nobody used.
func (c *fleetCommand) names(f *history.Fleet) error {
	models, liquids, sites, owners, parts, causes := f.Words()
	for _, one := range []struct {
		field, word string
		known       []string
	}{{"model", c.Model, models}, {"liquid", c.Liquid, liquids}, {"place", c.Place, sites}, {"owner", c.Owner, owners}, {"part", c.Part, parts}, {"cause", c.Cause, causes}} {
		if one.word != "" && !contains(one.known, one.word) {
			return say.Refuse(one.field, one.word, msgFleetNobody.With(), msgFleetNames.With(one.known))
		}
	}
	return nil
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

func (p *page) fleet(a *history.Page) {
	p.head(headFleet.With())
	switch hours := math.Round(a.Hours); {
	case a.Jobs == 0:
		p.say(msgFleetNone.With())
		return
	case len(a.Costs) > 0:
		p.say(msgFleet.With(a.Jobs, a.Machines, hours, costTexts(a.Costs)))
	default:
		p.say(msgFleetFree.With(a.Jobs, a.Machines, hours))
	}
	if a.Infants > 0 {
		p.say(msgCameBack.With(a.Infants))
	}
	p.counts(headWhyIn, headCauseShort, a.Causes, report.CauseName)
	as := func(word string) string { return word }
	p.counts(headLiquids, headLiquidWord, a.Liquids, as)
	p.counts(headModels, headModelWord, a.Models, as)
	p.counts(headPlacesOf, headPlaceWord, a.Sites, as)
	p.partFates(a.Parts)
	p.actors(a.Worst)
	p.life(a.Survival)
	if len(a.Remarks) > 0 {
		p.blank()
		p.list(a.Remarks)
	}
}

var (
	headLiquidWord = say.Define("cli.head_liquid", "liquid")
	headModelWord  = say.Define("cli.head_model", "model")
	headPlaceWord  = say.Define("cli.head_place", "place")
)

func (p *page) counts(title, word say.Template, list []history.Count, name func(string) string) {
	var rows [][]string
	for i, c := range list {
		if i == longList {
			break
		}
		text := wordNoCause.With().Text(p.style)
		if c.Word != "" {
			text = name(c.Word)
		}
		rows = append(rows, []string{text, strconv.Itoa(c.N), strconv.Itoa(c.Infant), strings.Join(costTexts(c.Costs), ", ")})
	}
	if len(rows) == 0 {
		return
	}
	p.head(title.With())
	p.table("", []say.Message{word.With(), headJobs.With(), headBackSoon.With(), headCost.With()}, rows)
}

func (p *page) partFates(list []history.PartCount) {
	var rows [][]string
	for _, c := range list {
		if c.Failed == 0 && c.Infant == 0 {
			continue
		}
		rate := ""
		if c.Hours > 0 {
			rate = wordRate.With(twoDigits(c.FailuresPer10000Hours), twoDigits(c.FailuresLow), twoDigits(c.FailuresHigh)).Text(p.style)
		}
		rows = append(rows, []string{c.Part, strconv.Itoa(c.Failed), strconv.Itoa(c.Infant), strconv.Itoa(c.Renewed), strconv.Itoa(c.Running), rate})
	}
	if len(rows) == 0 {
		return
	}
	p.head(headPartFates.With())
	p.table("", []say.Message{headPart.With(), headWorn.With(), headBackSoon.With(), headRenewed.With(), headRunning.With(), headRate.With()}, rows)
}

func (p *page) actors(list []history.Actor) {
	var rows [][]string
	for i, a := range list {
		if i == longList {
			break
		}
		rows = append(rows, []string{a.Serial, a.Tag, a.Site, strconv.Itoa(a.Jobs), strconv.FormatFloat(a.JobsAYear, 'f', 2, 64), strings.Join(wholeTexts(a.CostAYear), ", ")})
	}
	if len(rows) == 0 {
		return
	}
	p.head(headOften.With())
	p.table("", []say.Message{headSerial.With(), headTag.With(), headPlaceWord.With(), headJobs.With(), headWorst.With(), headCostYear.With()}, rows)
}

// wholeTexts are sums without the parts of a unit of money.
func wholeTexts(c history.Costs) []string {
	rounded := history.Costs{}
	for currency, m := range c {
		if whole, err := quantity.MoneyOf(math.Round(m.Amount()), currency); err == nil {
			rounded[currency] = whole
		}
	}
	return costTexts(rounded)
}

// life says how long a part lasts, with its bounds.
func (p *page) life(s *history.Survival) {
	if s == nil {
		return
	}
	p.head(headLife.With(s.Part))
	p.say(msgFleetLife.With(s.Failed, s.Running))
	between := func(b life.Bounds, digits int) string {
		if b.Low == nil || b.High == nil {
			return ""
		}
		return " " + wordBoundRange.With(fmt.Sprintf("%.*f", digits, *b.Low), fmt.Sprintf("%.*f", digits, *b.High)).Text(p.style)
	}
	switch {
	case s.Fit != nil:
		p.say(msgFleetFit.With(round(s.Fit.Shape, 2), between(s.Shape, 2), math.Round(s.Fit.Scale)))
		p.say(msgFleetTenth.With(math.Round(s.B10At), between(s.B10, 0)))
	case s.Few != nil:
		p.say(msgFleetFew.With(s.Few.Beta, math.Round(s.Few.Eta)))
	}
	if !s.Unfitted.IsZero() {
		p.say(s.Unfitted)
	}
}

// twoDigits shows two digits that count.
func twoDigits(v float64) string { return strconv.FormatFloat(v, 'g', 2, 64) }

func round(v float64, digits int) float64 {
	scale := math.Pow10(digits)
	return math.Round(v*scale) / scale
}

// reviewCommand writes the yearly review for a customer.
type reviewCommand struct {
	pastFiles
	Owner string `required:"" placeholder:"NAME" help:"Whose pumps."`
	Year  int    `required:"" placeholder:"YEAR" help:"Which year."`
	Out   string `placeholder:"FILE" help:"PDF to write (default: review-YEAR.pdf); one that is there already is replaced."`
	Paper string `enum:"a4,letter" default:"a4" placeholder:"a4|letter" help:"Size of the paper."`
	Units
}

// Help shows how it is called.
func (*reviewCommand) Help() string {
	return `A year of one customer's pumps as a PDF: what was done and why, what it cost, what is due. How long parts last rests on all pumps of the files, and names none of other customers.

  pumpwright review . --owner "Saltmarsh Blending (invented)" --year 2026 --out review.pdf
`
}

var (
	msgBadYear   = say.Define("cli.bad_year", "this is no year that a pump of these files has seen")
	msgWriteYear = say.Define("cli.write_year", "write a year from 1900 on, as 2026")
)

// Run writes the review.
func (c *reviewCommand) Run(env *Env) error {
	if c.Year < 1900 || c.Year > 2200 {
		return say.Refuse("year", strconv.Itoa(c.Year), msgBadYear.With(), msgWriteYear.With())
	}
	o, err := c.load(env, c.style())
	if err != nil {
		return err
	}
	fleet := history.NewFleet(o.jobs, o.pumps, o.options)
	if _, _, _, owners, _, _ := fleet.Words(); !contains(owners, c.Owner) {
		return say.Refuse("owner", c.Owner, msgFleetNobody.With(), msgFleetNames.With(owners))
	}
	y := report.Year{Shop: o.shop, Owner: c.Owner, Year: c.Year, Fleet: fleet, AsOf: o.AsOf}
	for _, m := range o.machines {
		if last := m.Last(); last != nil && last.Owner == c.Owner {
			y.Machines = append(y.Machines, m)
		}
	}
	y.Due = history.DueList(y.Machines, history.NewFamily(o.machines), true)
	p := newPage(env, c.style())
	var pdf bytes.Buffer
	if err := report.Yearly(y, report.Options{Style: p.style}).PDF(&pdf, paperOf(c.Paper), p.style); err != nil {
		return fmt.Errorf("cli: review: %w", err)
	}
	out := c.Out
	if out == "" {
		out = fmt.Sprintf("review-%d.pdf", c.Year)
	}
	if err := env.Folder.Write(out, pdf.Bytes()); err != nil {
		return err
	}
	p.past(o)
	p.line(msgWritten.With(out).Text(p.style))
	if p.err == nil && !o.whole() {
		return status(calculator.StatusNotYet)
	}
	return p.err
}
