package cli

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"pumpwright/app/report"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// historyCommand follows pumps over their rebuilds.
type historyCommand struct {
	pastFiles
	Serial string `placeholder:"NUMBER" help:"Only the machine with this serial number."`
	Tag    string `placeholder:"TAG" help:"Only machines that stood at this place."`
	Out    string `placeholder:"FILE" help:"Write the history of one machine as a PDF; one that is there already is replaced."`
	Paper  string `enum:"a4,letter" default:"a4" placeholder:"a4|letter" help:"Size of the paper."`
	JSON   bool   `name:"json" help:"Print the answer as JSON, for programs."`
	Units
}

// Help shows how it is called.
func (*historyCommand) Help() string {
	return `A tag is a place, a serial number is a machine: the machine is followed, wherever it stood. Its runs between rebuilds, causes, costs, wear toward each limit, and what an upgrade changed. The exit status is 3 when a file is damaged or a job could not be used.

  pumpwright history J-2041.jsonl
  pumpwright history J-2041.jsonl J-2057.jsonl J-2063.jsonl
  pumpwright history . --serial KQ-0187 --out KQ-0187.pdf
  pumpwright history . --tag P-22B --json
`
}

var (
	headDueAgain    = say.Define("cli.head_due_again", "When again")
	headRuns        = say.Define("cli.head_runs", "Rebuilds")
	headUpgrades    = say.Define("cli.head_upgrades", "What was changed for good")
	headMisfits     = say.Define("cli.head_misfits", "What does not fit together")
	headJob         = say.Define("cli.head_job", "job")
	headIn          = say.Define("cli.head_in", "came in")
	headOut         = say.Define("cli.head_out", "went out")
	headRan         = say.Define("cli.head_ran", "had run, h")
	headCauseShort  = say.Define("cli.head_cause_short", "cause")
	headWorn        = say.Define("cli.head_worn", "worn or damaged")
	headCost        = say.Define("cli.head_cost", "cost")
	headWears       = say.Define("cli.head_wears", "what wears")
	headNow         = say.Define("cli.head_now", "now")
	headLimit       = say.Define("cli.head_limit", "limit")
	headExpected    = say.Define("cli.head_expected", "expected")
	headBetween     = say.Define("cli.head_between", "between (90 %)")
	headRests       = say.Define("cli.head_rests", "rests on")
	headSerial      = say.Define("cli.head_serial", "serial")
	headTag         = say.Define("cli.head_tag", "tag")
	headOwner       = say.Define("cli.head_owner", "owner")
	headRebuilds    = say.Define("cli.head_rebuilds", "rebuilds")
	headLast        = say.Define("cli.head_last", "last")
	headNextDue     = say.Define("cli.head_next_due", "next due")
	msgRuns         = say.Define("cli.runs", "{hours:number} h followed (by {basis}).")
	msgSpent        = say.Define("cli.spent", "Cost so far: {costs:list}.")
	msgCameBack     = say.Define("cli.came_back", "{n:count|rebuild|rebuilds} came back within weeks: that counts against the rebuild, not as wear.")
	msgStoodWhere   = say.Define("cli.stood_where", "{list:list}.")
	msgUpgrade      = say.Define("cli.upgrade", "{job}: {what:message}")
	msgAboutFeature = say.Define("cli.about_feature", "{features}: {what:message}")
	msgChanged      = say.Define("cli.changed", "{what}: {before} before and {after} after, in 1000 h; chance of such a difference by accident {p:percent}")
	msgRunsChanged  = say.Define("cli.runs_changed", "running hours between rebuilds: {before:number} before, {after:number} after; chance of such a difference by accident {p:percent}")
	msgNoDue        = say.Define("cli.no_due", "No due date can be named yet.")
	msgChooseOne    = say.Define("cli.choose_one", "Choose one with --serial or --tag to see it whole.")
	msgManyForPDF   = say.Define("cli.many_for_pdf", "a PDF holds the history of one machine, and there are {n:count}")
	wordBetween     = say.Define("cli.between", "{near} … {far}")
	wordPastLimit   = say.Define("cli.past_limit", "past its limit when last read")
	wordByNow       = say.Define("cli.by_now", "by now")
	wordParts       = say.Define("cli.parts_behind", "{n:count|part|parts}")
	wordRestsOn     = say.Define("cli.rests_on", "{basis} ({n:count|part|parts})")
	wordConfirmed   = say.Define("cli.cause_confirmed", "{cause}, confirmed")
	wordBackSoon    = say.Define("cli.back_soon", "{hours:number}, back within weeks")
	wordNotKnown    = say.Define("cli.not_known", "not known")
	wordHours       = say.Define("cli.hours", "{hours:number}")
)

// mostWhole is up to how many machines are shown whole.
const mostWhole = 5

// Run follows the machines.
func (c *historyCommand) Run(env *Env) error {
	o, err := c.load(env, c.style())
	if err != nil {
		return err
	}
	if err := o.need(); err != nil {
		return err
	}
	machines, err := o.some(c.Serial, c.Tag)
	if err != nil {
		return err
	}
	family := history.NewFamily(o.machines)
	forecasts := func(m *history.Machine) []history.Expected {
		list, problems := m.Forecasts(family)
		m.Troubles = append(m.Troubles[:len(m.Troubles):len(m.Troubles)], problems...)
		return list
	}
	p := newPage(env, c.style())
	switch {
	case c.JSON:
		p.err = writeJSON(env.Out, o.Machines(machines, forecasts))
	case len(machines) > mostWhole:
		p.past(o)
		p.machines(machines, history.DueList(machines, family, true))
	default:
		p.past(o)
		for _, m := range machines {
			p.machine(m, forecasts(m))
		}
	}
	if p.err == nil && c.Out != "" {
		p.err = c.pdf(env, p, o, machines, family)
	}
	if p.err == nil && !o.whole() {
		return status(calculator.StatusNotYet)
	}
	return p.err
}

func (c *historyCommand) pdf(env *Env, p *page, o *past, machines []*history.Machine, family *history.Family) error {
	if len(machines) != 1 {
		return say.Refuse("out", c.Out, msgManyForPDF.With(len(machines)), msgChooseOne.With())
	}
	expected, _ := machines[0].Forecasts(family)
	var pdf bytes.Buffer
	if err := report.History(machines[0], expected, o.AsOf, report.Options{Style: p.style}).PDF(&pdf, paperOf(c.Paper), p.style); err != nil {
		return fmt.Errorf("cli: history: %w", err)
	}
	if err := env.Folder.Write(c.Out, pdf.Bytes()); err != nil {
		return err
	}
	if !c.JSON {
		p.line(msgWritten.With(c.Out).Text(p.style))
	}
	return p.err
}

// machines lists many machines in short.
func (p *page) machines(machines []*history.Machine, due []history.Expected) {
	next := map[string]string{}
	for i := range due {
		next[due[i].Serial] = p.dayOrNot(due[i].Day())
	}
	var rows [][]string
	for _, m := range machines {
		last := m.Last()
		if last == nil {
			continue
		}
		rows = append(rows, []string{m.Serial, last.Tag, last.Owner, fmt.Sprint(len(m.Jobs)), last.Opened.Day().Show(p.style), next[m.Serial]})
	}
	p.blank()
	p.table("", []say.Message{headSerial.With(), headTag.With(), headOwner.With(), headRebuilds.With(), headLast.With(), headNextDue.With()}, rows)
	p.blank()
	p.say(msgChooseOne.With())
}

func (p *page) dayOrNot(at record.Time) string {
	if at == 0 {
		return wordNotKnown.With().Text(p.style)
	}
	return at.Day().Show(p.style)
}

// machine tells the history of one machine.
func (p *page) machine(m *history.Machine, due []history.Expected) {
	p.head(say.Plain(m.Title()))
	if last := m.Last(); last != nil {
		var what []string
		for _, text := range []string{last.Tag, last.Owner, last.Site, last.Model, last.Liquid} {
			if text != "" {
				what = append(what, text)
			}
		}
		if len(what) > 0 {
			p.say(msgStoodWhere.With(what))
		}
	}
	hours, bases, spent := 0.0, []string{}, history.Costs{}
	for _, v := range m.Intervals {
		hours += v.Hours
		if basis := string(v.Basis); !slices.Contains(bases, basis) {
			bases = append(bases, basis)
		}
	}
	for i := range m.Jobs {
		spent.Add(m.Jobs[i].Cost)
	}
	if len(bases) > 0 {
		p.say(msgRuns.With(math.Round(hours), names(bases)))
	}
	if len(spent) > 0 {
		p.say(msgSpent.With(costTexts(spent)))
	}
	if n := len(m.Infants()); n > 0 {
		p.say(msgCameBack.With(n))
	}
	p.head(headRuns.With())
	p.jobs(m)
	p.head(headDueAgain.With())
	p.due(due)
	p.upgrades(m)
	if len(m.Troubles) > 0 {
		p.head(headMisfits.With())
		p.list(m.Troubles)
	}
}

func costTexts(c history.Costs) []string {
	var list []string
	for _, m := range c {
		list = append(list, m.String())
	}
	slices.Sort(list)
	return list
}

func (p *page) jobs(m *history.Machine) {
	var rows [][]string
	for i := range m.Jobs {
		s := &m.Jobs[i]
		ran := wordNotKnown.With()
		for _, v := range m.Intervals {
			if v.Before != i || v.Basis == history.NoHours {
				continue
			}
			ran = wordHours.With(math.Round(v.Hours))
			if v.Ending == history.InfantReturn {
				ran = wordBackSoon.With(math.Round(v.Hours))
			}
		}
		id, confirmed := s.Cause()
		cause := report.CauseName(id)
		if confirmed {
			cause = wordConfirmed.With(cause).Text(p.style)
		}
		var worn []string
		for _, f := range s.Parts {
			if f.Fate == history.Failed {
				worn = append(worn, history.PartWords(f.Part).Text(p.style))
			}
		}
		cost := ""
		if s.Cost.Parts != 0 {
			cost = s.Cost.String()
		}
		rows = append(rows, []string{s.Job, s.Tag, s.Opened.Day().Show(p.style), p.dayOrNot(s.Closed), ran.Text(p.style), cause, strings.Join(worn, ", "), cost})
	}
	p.table("", []say.Message{headJob.With(), headTag.With(), headIn.With(), headOut.With(), headRan.With(), headCauseShort.With(), headWorn.With(), headCost.With()}, rows)
}

// due says when the features of one machine reach their limits.
func (p *page) due(list []history.Expected) {
	var rows [][]string
	var notes remarks
	for i := range list {
		e := &list[i]
		if !e.Forecast.Unwell.IsZero() {
			notes.add(e.Track.Name, e.Forecast.Unwell)
			continue
		}
		for _, m := range e.Forecast.Said {
			notes.add(e.Track.Name, m)
		}
		now, limit := "", ""
		if v := e.Forecast.Now; v != nil {
			now = quantity.Show(e.Track.Dimension, *v, p.style)
		}
		if v := e.Track.Limit; v != nil {
			limit = quantity.Show(e.Track.Dimension, *v, p.style)
		}
		day, between := p.expected(e)
		rows = append(rows, []string{e.Track.Name, now, limit, day, between, p.rests(e)})
	}
	if len(rows) == 0 {
		p.say(msgNoDue.With())
	}
	p.table("", []say.Message{headWears.With(), headNow.With(), headLimit.With(), headExpected.With(), headBetween.With(), headRests.With()}, rows)
	for _, m := range notes.said {
		p.item("  - ", msgAboutFeature.With(names(notes.about[m.String()]), m))
	}
}

// remarks are said once of all the features that they are about.
type remarks struct {
	said  []say.Message
	about map[string][]string // features by what is said of them
}

func (r *remarks) add(feature string, m say.Message) {
	text := m.String()
	if r.about == nil {
		r.about = map[string][]string{}
	}
	if r.about[text] == nil {
		r.said = append(r.said, m)
	}
	r.about[text] = append(r.about[text], feature)
}

func (p *page) rests(e *history.Expected) string {
	return wordRestsOn.With(e.Forecast.Basis, e.Forecast.Parts).Text(p.style)
}

// expected says the day of a forecast and its bounds.
func (p *page) expected(e *history.Expected) (day, between string) {
	day = p.dayOrNot(e.Day())
	switch running := e.Forecast.Inputs.Running; {
	case e.Forecast.Past:
		day = wordPastLimit.With().Text(p.style)
	case running != nil && e.Day() != 0 && e.Day() <= record.TimeOf(running.At):
		day = wordByNow.With().Text(p.style)
	}
	near, far := p.dayOrNot(e.NearDay()), p.dayOrNot(e.FarDay())
	return day, wordBetween.With(near, far).Text(p.style)
}

func (p *page) upgrades(m *history.Machine) {
	list := m.Upgrades()
	if len(list) == 0 {
		return
	}
	p.head(headUpgrades.With())
	for _, u := range list {
		p.item("", msgUpgrade.With(u.Job, u.What))
		for _, c := range m.ChangesAt(u.At) {
			if c.Feature == "" {
				p.item("  - ", msgRunsChanged.With(math.Round(c.Before.Slope), math.Round(c.After.Slope), c.P))
				continue
			}
			wear := func(slope, u float64) string { return quantity.ShowWithU(c.Dimension, 1000*slope, 1000*u, p.style) }
			p.item("  - ", msgChanged.With(c.Name, wear(c.Before.Slope, c.Before.U), wear(c.After.Slope, c.After.U), c.P))
		}
	}
}
