package cli

import (
	"errors"
	"strings"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// pastFiles are the files of commands that look over many jobs.
type pastFiles struct {
	Files []string `arg:"" name:"file" help:"Job files, archives, folders that hold such files, or the folder of a shop."`
	AsOf  string   `placeholder:"DATE" help:"Day up to which pumps have run (default: today, or the day of the last entry or archive when that is later)."`
}

// past is what the files say about pumps over their rebuilds.
type past struct {
	transfer.Past
	gathered *transfer.Gathered
	options  history.Options
	jobs     []history.Summary
	states   []*job.State
	pumps    map[string]*history.Pump
	machines []*history.Machine
	shop     string // name of the shop, "" when no job has it
	invented bool
}

var (
	msgNotUsed    = say.Define("cli.not_used", "{file}, {stream}: {reason}")
	msgNoSerials  = say.Define("cli.no_serials", "no job with a serial number is in these files, so no machine can be followed")
	msgGiveSerial = say.Define("cli.give_serial", "write the serial number into the job: pumpwright job new --serial, or job add JOBFILE open --json")
	msgPastFaults = say.Define("cli.past_faults", "Some entries cannot be read: {faults:count|fault|faults}. What follows rests on the others.")
	msgPastUnused = say.Define("cli.past_unused", "Left out:")
	msgAsOf       = say.Define("cli.as_of", "As of {day}: {jobs:count|job|jobs}, {machines:count|pump|pumps} known.")
	msgPastMade   = say.Define("cli.past_invented", "Invented: some of these pumps, their people and their numbers do not exist.")
)

// load reads the files and follows each machine.
func (c *pastFiles) load(env *Env, style say.Style) (*past, error) {
	asOf, err := day(c.AsOf)
	if err != nil {
		return nil, err
	}
	g, err := gather(env, c.Files)
	if err != nil {
		return nil, err
	}
	return pastOf(env, g, asOf, style), nil
}

// gather reads the streams of files, and of shops.
func gather(env *Env, names []string) (*transfer.Gathered, error) {
	g := transfer.NewGathered()
	for _, name := range names {
		read := func() error { return env.Folder.Gather(g, name) }
		if home := (shop.Home{Folder: env.Folder.Path(name)}); home.There() {
			read = func() error { return gatherShop(env, g, name, home) }
		}
		if err := read(); err != nil {
			return nil, err
		}
	}
	g.Sort()
	return g, nil
}

// gatherShop reads the streams of a shop.
func gatherShop(env *Env, g *transfer.Gathered, name string, home shop.Home) error {
	return holding(env, home, func(h *shop.Holdings) error {
		names, err := h.StreamNames()
		if err != nil {
			return err
		}
		for _, stream := range names {
			s, err := h.Stream(stream)
			if err == nil {
				err = g.Add(name, s)
			}
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// holding opens a shop for as long as do runs.
func holding(env *Env, home shop.Home, do func(*shop.Holdings) error) (err error) {
	ctx, stop := env.until()
	defer stop()
	s, err := home.Open(ctx, shop.Options{})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	h, err := s.Holdings(ctx)
	if err != nil {
		return err
	}
	return do(h)
}

// pastOf follows the machines of streams.
func pastOf(env *Env, g *transfer.Gathered, asOf time.Time, style say.Style) *past {
	p := &past{Past: transfer.Past{Style: style, Faults: g.Faults}, gathered: g, pumps: map[string]*history.Pump{}}
	last := g.Made
	var texts assess.Texts
	for _, s := range g.Streams {
		for i := range s.Entries {
			last = max(last, s.Entries[i].At)
		}
		switch {
		case strings.HasPrefix(s.Name, history.PumpStream("")):
			pump := history.FoldPump(s)
			p.pumps[pump.Serial] = pump
		case strings.HasPrefix(s.Name, "job:"):
			state := job.Fold(s)
			p.states = append(p.states, state)
			in, err := texts.FromJob(state, asOf)
			if err != nil {
				p.Unused = append(p.Unused, msgNotUsed.With(g.File(s.Name), s.Name, err))
				continue
			}
			if in.Shop != nil && in.Shop.Name != "" {
				p.shop = in.Shop.Name
			}
			one := history.Summarise(in)
			p.invented = p.invented || one.Invented || in.Sheet.Invented
			p.jobs = append(p.jobs, one)
		}
	}
	p.AsOf = record.TimeOf(asOf)
	if asOf.IsZero() {
		p.AsOf = max(last, record.TimeOf(env.Now()))
	}
	p.options = history.Options{AsOf: p.AsOf}
	p.machines = history.ByMachine(p.jobs, p.pumps, p.options)
	return p
}

// need refuses files in which nothing can be followed.
func (p *past) need() error {
	if len(p.machines) == 0 {
		return say.Refuse("file", "", msgNoSerials.With(), msgGiveSerial.With())
	}
	return nil
}

// whole reports whether everything in the files could be used.
func (p *past) whole() bool { return len(p.Faults)+len(p.Unused) == 0 }

// unused says what could not be read or used.
func (p *page) unused(o *past) {
	if len(o.Faults) > 0 {
		p.say(msgPastFaults.With(len(o.Faults)))
		for _, f := range o.Faults {
			p.item("  - ", msgFaultAt.With(f.File, f.Line, f.Message))
		}
	}
	if len(o.Unused) > 0 {
		p.say(msgPastUnused.With())
		p.list(o.Unused)
	}
}

// past says what could not be used, and what the rest is.
func (p *page) past(o *past) {
	p.unused(o)
	p.say(msgAsOf.With(o.AsOf.Day(), len(o.jobs), len(o.machines)))
	if o.invented {
		p.say(msgPastMade.With())
	}
}

// some are the machines that a serial number or a tag chooses; empty texts
// choose all.
func (p *past) some(serial, tag string) ([]*history.Machine, error) {
	if serial == "" && tag == "" {
		return p.machines, nil
	}
	var list []*history.Machine
	for _, m := range p.machines {
		if (serial == "" || m.Serial == serial) && (tag == "" || wasAt(m, tag)) {
			list = append(list, m)
		}
	}
	if len(list) == 0 {
		field, read := "serial", serial
		if serial == "" {
			field, read = "tag", tag
		}
		return nil, say.Refuse(field, read, msgNoMachine.With(), msgMachinesAre.With(p.someSerials()))
	}
	return list, nil
}

var (
	msgNoMachine   = say.Define("cli.no_machine", "no job of these files is about such a pump")
	msgMachinesAre = say.Define("cli.machines_are", "there are {list:list}")
)

// mostNamed is how many machines a refusal names.
const mostNamed = 12

func (p *past) someSerials() []string {
	var list []string
	for _, m := range p.machines {
		if len(list) == mostNamed {
			return append(list, msgMoreThings.With(float64(len(p.machines)-mostNamed)).String())
		}
		list = append(list, m.Title())
	}
	return list
}

func wasAt(m *history.Machine, tag string) bool {
	for i := range m.Jobs {
		if m.Jobs[i].Tag == tag {
			return true
		}
	}
	return false
}
