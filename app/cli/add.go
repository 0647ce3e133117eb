package cli

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// addCommand adds an entry to a job file: the file, then the kind.
type addCommand struct {
	File addTo `arg:"" name:"jobfile" help:"Job file."`
}

// addTo is the job file with a command for each kind of entry.
type addTo struct {
	File      string `arg:"" name:"jobfile" help:"Job file."`
	JSON      string `name:"json" placeholder:"BODY" help:"The body of the entry as JSON, in place of everything else."`
	Confirmed bool   `help:"It was looked at again: take what is unlikely."`
	Writer

	Reading     addReading    `cmd:"" help:"A reading of a feature."`
	Finding     addFinding    `cmd:"" help:"Evidence seen, or looked for and not there."`
	StackFound  addStackFound `cmd:"" help:"The gaskets of the old stack, in order from casing to head."`
	Trial       addTrial      `cmd:"" help:"A trial assembly: the stack fitted and what was measured."`
	Step        addStep       `cmd:"" help:"A step done, or passed over with the reason."`
	Sign        addSign       `cmd:"" help:"A signature at a hold point."`
	Decision    addDecision   `cmd:"" help:"Reuse, rework or replace a part, with the reason."`
	Limit       addLimit      `cmd:"" help:"A limit of the customer or the site."`
	Fitted      addFitted     `cmd:"" help:"What was fitted: batch, serial number, elastomer."`
	Torque      addTorque     `cmd:"" help:"A pass of tightening."`
	Press       addBody       `cmd:"" help:"A bushing pressed in, with what the press gauge showed (--json)."`
	TestPoint   addTestPoint  `cmd:"" help:"A point of the bench test."`
	Cause       addCause      `cmd:"" help:"A cause named or confirmed."`
	Note        addNote       `cmd:"" help:"A note."`
	Void        addVoid       `cmd:"" help:"Take an entry back, with the reason."`
	Sheet       addSheet      `cmd:"" help:"Another model sheet, or another version of it."`
	Service     addService    `cmd:"" help:"What the pump is asked to do."`
	Basis       addBasis      `cmd:"" help:"What the shop has: instruments, stock, site limits."`
	Close       addClose      `cmd:"" help:"Close the job."`
	Open        addBody       `cmd:"" help:"Tag, serial number, owner, complaint (--json)."`
	Alignment   addBody       `cmd:"" help:"A set of alignment readings (--json)."`
	Running     addBody       `cmd:"" help:"Readings of the running pump (--json)."`
	Hours       addBody       `cmd:"" help:"Time worked at a stage (--json)."`
	Photo       addBody       `cmd:"" help:"A photo with what it shows (--json)."`
	Document    addBody       `cmd:"" help:"A paper kept as it is: data sheet, cleaning statement (--json)."`
	Quote       addBody       `cmd:"" help:"A quote, or the answer to it (--json)."`
	OutsideWork addBody       `cmd:"" help:"Work sent out and measured on return (--json)."`
	Relief      addBody       `cmd:"" help:"The relief valve as it was set and read on the stand (--json)."`
	Sides       addBody       `cmd:"" help:"Which way the pump turns and how its head stands (--json)."`
	Marks       addBody       `cmd:"" help:"Marks on a photo (--json)."`

	InstrumentAccepted addBody `cmd:"" help:"An instrument out of calibration used anyway, with the reason (--json)."`
}

// adding is what a command may look at while it makes its entry.
type adding struct {
	env    *Env
	state  *job.State
	sheet  *sheet.Sheet // nil while the job has none
	steps  *progress.Chapter
	stream *record.Stream
}

// maker makes the body of an entry. Refusals are say.Problems; stops keep the
// entry out until something else is done first.
type maker interface {
	body(a *adding) (any, error)
}

// stop is why an entry may not be taken now.
type stop struct{ say.Message }

func (s stop) Error() string { return s.Message.String() }

var (
	msgAdded     = say.Define("cli.added", "stored as entry {seq:count}")
	msgNotStored = say.Define("cli.not_stored", "nothing was stored")
	msgConfirm   = say.Define("cli.confirm", "nothing was stored; if it is right, give the same command with --confirmed")
	msgDamaged   = say.Define("cli.damaged", "the file has {faults:count|fault|faults} (pumpwright job verify names them); the entry would be added behind them")
	msgNeedsBody = say.Define("cli.needs_body", "the entry is empty")
	msgGiveBody  = say.Define("cli.give_body", "write --json with the body of the entry")
)

// store vets an entry and appends it.
func (to *addTo) store(env *Env, kind string, m maker) error {
	p := newPage(env, say.Style{})
	var warnings []say.Message
	added, err := env.Folder.Append(to.File, func(stream *record.Stream, faults []record.Fault) ([]record.Entry, error) {
		state := job.Fold(stream)
		a := &adding{env: env, state: state, stream: stream}
		// A job without a sheet takes entries too: they are vetted as far as
		// can be.
		if in, err := assess.FromJob(state, time.Time{}); err == nil {
			a.sheet = in.Sheet
			a.steps = assess.Assess(in).Progress
		}
		raw, err := to.raw(a, kind, m)
		if err != nil {
			return nil, err
		}
		warnings, err = job.Vet(state, a.sheet, kind, raw)
		if err != nil {
			return nil, err
		}
		if a.steps != nil {
			err := a.steps.Vet(kind, raw)
			var early *progress.NotYet
			if errors.As(err, &early) {
				return nil, stop{early.Why}
			}
			if err != nil {
				return nil, err
			}
		}
		if len(faults) > 0 {
			warnings = append(warnings, msgDamaged.With(len(faults)))
		}
		if len(warnings) > 0 && !to.Confirmed {
			return nil, status(calculator.StatusNotYet)
		}
		before, err := to.basisBefore(a, kind, m)
		if err != nil {
			return nil, err
		}
		e, err := to.entry(env, stream.Name, kind, stream.Head(), raw)
		return append(before, e), err
	})
	var held stop
	var quiet status
	switch {
	case errors.As(err, &held):
		p.item("", held.Message)
		p.say(msgNotStored.With())
		err = status(calculator.StatusNotYet)
	case errors.As(err, &quiet):
		for _, w := range warnings {
			p.item("", msgWarning.With(w))
		}
		p.say(msgConfirm.With())
	case err == nil:
		p.say(msgAdded.With(int(added[len(added)-1].Seq)))
	}
	return errors.Join(err, p.err)
}

// basisBefore copies what a signature rests on from outside the job into it,
// when the job does not hold it already: so anybody can work the answer out
// again that was signed.
func (to *addTo) basisBefore(a *adding, kind string, m maker) ([]record.Entry, error) {
	sign, ok := m.(*addSign)
	if kind != job.KindSign || !ok || sign.Shop == "" {
		return nil, nil
	}
	body, err := shopBody(a.env, sign.Shop)
	if err != nil {
		return nil, err
	}
	raw, err := record.CanonicalOf(body)
	if err != nil {
		return nil, err
	}
	if n := len(a.state.Basis); n > 0 {
		if held, err := record.CanonicalOf(a.state.Basis[n-1].Body); err == nil && string(held) == string(raw) {
			return nil, nil
		}
	}
	e, err := to.entry(a.env, a.stream.Name, job.KindBasis, a.stream.Head(), raw)
	return []record.Entry{e}, err
}

// raw returns the canonical body: the one given as JSON, or the command's own.
func (to *addTo) raw(a *adding, kind string, m maker) ([]byte, error) {
	if to.JSON != "" {
		raw, err := record.Canonical([]byte(to.JSON))
		if err != nil {
			return nil, say.Refuse("json", to.JSON, say.Plain(strings.TrimPrefix(err.Error(), "record: ")), msgGiveBody.With())
		}
		if kind == job.KindReading && to.Confirmed {
			return confirmed(raw)
		}
		return raw, nil
	}
	body, err := m.body(a)
	if err != nil {
		return nil, err
	}
	if r, ok := body.(job.Reading); ok {
		r.Confirmed = to.Confirmed
		body = r
	}
	return record.CanonicalOf(body)
}

// confirmed notes in a reading that it was looked at again.
func confirmed(raw []byte) ([]byte, error) {
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(raw, &fields); err != nil {
		return nil, say.Refuse("json", string(raw), say.Plain(err.Error()), msgGiveBody.With())
	}
	fields["confirmed"] = json.RawMessage("true")
	return record.CanonicalOf(fields)
}

// addBody takes an entry as JSON alone.
type addBody struct{}

func (addBody) body(*adding) (any, error) {
	return nil, say.Refuse("json", "", msgNeedsBody.With(), msgGiveBody.With())
}

var (
	msgMissing = say.Define("cli.missing_word", "this is missing")
	msgOneOf   = say.Define("cli.one_of", "write one of: {words}")
)

// need refuses an empty field.
func need(field, text string, accepted say.Message) error {
	if strings.TrimSpace(text) == "" {
		return say.Refuse(field, "", msgMissing.With(), accepted)
	}
	return nil
}

// addStep marks a step.
type addStep struct {
	Step    string  `arg:"" optional:"" help:"Id of the step, see pumpwright assess."`
	Skipped bool    `help:"The step is passed over; --reason says why."`
	Reason  string  `help:"Why it is passed over."`
	Minutes float64 `help:"How long it took."`
}

// Help shows how it is called.
func (*addStep) Help() string {
	return `A step is refused while something before it would be lost for ever or is not signed.

  pumpwright job add J-2063.jsonl step receive-identify --by mira
  pumpwright job add J-2063.jsonl step receive-missing --skipped --reason "the pump came in a crate, complete" --by mira
`
}

// Run stores the step.
func (c *addStep) Run(env *Env, to *addTo) error { return to.store(env, job.KindStep, c) }

func (c *addStep) body(a *adding) (any, error) {
	if c.Skipped {
		return job.Mark{Step: c.Step, Mark: "skipped", Reason: c.Reason}, nil
	}
	return job.Mark{Step: c.Step, Mark: "done", Reason: c.Reason, Amount: c.Minutes}, nil
}

// addSign signs.
type addSign struct {
	Step string `arg:"" optional:"" help:"Id of the hold point, see pumpwright assess."`
	Role string `placeholder:"ROLE" help:"In which role: lead, inspector, operations, customer, office."`
	For  string `help:"What the signature stands for."`
	Note string `help:"A note."`
	Shop string `placeholder:"FILE" help:"What the shop has now, as YAML: copied into the job beside the signature when it has changed."`
}

// Help shows how it is called.
func (*addSign) Help() string {
	return `
  pumpwright job add J-2063.jsonl sign receive-liquid --role lead --for "cleaning statement seen" --by odell
`
}

// Run stores the signature.
func (c *addSign) Run(env *Env, to *addTo) error { return to.store(env, job.KindSign, c) }

func (c *addSign) body(a *adding) (any, error) {
	return job.Sign{Step: c.Step, Role: c.Role, For: c.For, Note: c.Note}, need("role", c.Role, say.Message{})
}

// addVoid takes an entry back.
type addVoid struct {
	Entry  string `arg:"" optional:"" help:"Number of the entry, see pumpwright job entries, or its id."`
	Reason string `help:"Why it is taken back."`
}

// Help shows how it is called.
func (*addVoid) Help() string {
	return `Nothing is erased: the entry stays on record and counts no more.

  pumpwright job add J-2057.jsonl void 12 --reason "read at the wrong place" --by tomas
`
}

// Run stores the void.
func (c *addVoid) Run(env *Env, to *addTo) error { return to.store(env, job.KindVoid, c) }

var msgNoEntry = say.Define("cli.no_entry", "there is no such entry in this job")

func (c *addVoid) body(a *adding) (any, error) {
	i := slices.IndexFunc(a.stream.Entries, func(e record.Entry) bool {
		return e.ID == c.Entry || numberText(e.Seq) == strings.TrimPrefix(c.Entry, "#")
	})
	if i < 0 {
		return nil, say.Refuse("entry", c.Entry, msgNoEntry.With(), say.Message{})
	}
	return job.Void{Entry: a.stream.Entries[i].ID, Reason: c.Reason}, nil
}
