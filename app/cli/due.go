package cli

import (
	"bytes"

	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// dueCommand lists what is due when.
type dueCommand struct {
	pastFiles
	Serial string `placeholder:"NUMBER" help:"Only the machine with this serial number."`
	Tag    string `placeholder:"TAG" help:"Only machines that stood at this place."`
	Owner  string `placeholder:"NAME" help:"Only machines of this owner."`
	Until  string `placeholder:"DATE" help:"Only what is expected up to this day."`
	All    bool   `help:"Every feature that wears, not only the first of each machine."`
	ICS    string `name:"ics" placeholder:"FILE" help:"Write the due dates as a calendar (RFC 5545); one that is there already is replaced."`
	JSON   bool   `name:"json" help:"Print the answer as JSON, for programs."`
	Units
}

// Help shows how it is called.
func (*dueCommand) Help() string {
	return `When the wear of each pump is expected to reach its limit, the nearest first, with the bounds between which that will lie. Parts of the same kind in the same liquid and model stand in for each other as far as their number allows. The exit status is 3 when no date can be named.

  pumpwright due . --ics pumps-due.ics
  pumpwright due J-2041.jsonl J-2057.jsonl --all
  pumpwright due . --json
`
}

var (
	headPump  = say.Define("cli.head_pump", "pump")
	msgEvents = say.Define("cli.events", "written: {file} with {n:count|date|dates}")
)

// Run lists.
func (c *dueCommand) Run(env *Env) error {
	until, err := dayOf("until", c.Until)
	if err != nil {
		return err
	}
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
	var list []history.Expected
	for _, e := range history.DueList(machines, history.NewFamily(o.machines), !c.All) {
		if (c.Owner == "" || e.Owner == c.Owner) && (until.IsZero() || e.Day() <= record.TimeOf(until)) {
			list = append(list, e)
		}
	}
	p := newPage(env, c.style())
	if c.JSON {
		p.err = writeJSON(env.Out, o.Due(list))
	} else {
		p.past(o)
		p.blank()
		p.dueList(list)
	}
	if p.err == nil && c.ICS != "" {
		p.err = c.calendar(env, p, list)
	}
	if p.err == nil && (!o.whole() || len(list) == 0) {
		return status(calculator.StatusNotYet)
	}
	return p.err
}

func (p *page) dueList(list []history.Expected) {
	if len(list) == 0 {
		p.say(msgNoDue.With())
		return
	}
	var rows [][]string
	for i := range list {
		e := &list[i]
		day, between := p.expected(e)
		rows = append(rows, []string{day, between, e.Serial, e.Tag, e.Track.Name, wordParts.With(e.Forecast.Parts).Text(p.style)})
	}
	p.table("", []say.Message{headExpected.With(), headBetween.With(), headPump.With(), headTag.With(), headWears.With(), headRests.With()}, rows)
	p.blank()
	p.say(msgAbove.With())
}

func (c *dueCommand) calendar(env *Env, p *page, list []history.Expected) error {
	var feed bytes.Buffer
	if err := transfer.WriteCalendar(&feed, list, record.TimeOf(env.Now()), p.style); err != nil {
		return err
	}
	if err := env.Folder.Write(c.ICS, feed.Bytes()); err != nil {
		return err
	}
	if !c.JSON {
		p.line(msgEvents.With(c.ICS, len(list)).Text(p.style))
	}
	return p.err
}
