package cli

import (
	"time"

	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// assessCommand says what a job means.
type assessCommand struct {
	File    string `arg:"" name:"jobfile" help:"Job file."`
	JSON    bool   `name:"json" help:"Print the answer as JSON, for programs."`
	AsOf    string `placeholder:"DATE" help:"Day for which instruments must be in date (default: the day of the last entry)."`
	Working bool   `help:"Show the working: equations, sources and the entries behind every number."`
	Units
}

// Help shows how it is called.
func (*assessCommand) Help() string {
	return `Nothing is stored: everything is computed from the entries of the file. The exit status is 3 while something is missing or not decided.

  pumpwright assess J-2057.jsonl
  pumpwright assess J-2041.jsonl --units inch
  pumpwright assess J-2057.jsonl --as-of 2026-07-01 --json
  pumpwright assess J-2041.jsonl --working
`
}

var (
	msgBadDate   = say.Define("cli.bad_date", "this is no day")
	msgWriteDate = say.Define("cli.write_date", "write the day as 2026-09-30")
)

// day reads the day of --as-of; the zero time when it is not given.
func day(text string) (time.Time, error) { return dayOf("as-of", text) }

func dayOf(field, text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	at, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return at, say.Refuse(field, text, msgBadDate.With(), msgWriteDate.With())
	}
	return at, nil
}

// assessFile reads a job file and computes what it means.
func assessFile(env *Env, file, asOf string) (*assess.Assessment, []record.Fault, error) {
	on, err := day(asOf)
	if err != nil {
		return nil, nil, err
	}
	stream, faults, err := env.Folder.ReadStream(file)
	if err != nil {
		return nil, nil, err
	}
	in, err := assess.FromJob(job.Fold(stream), on)
	if err != nil {
		return nil, faults, err
	}
	return assess.Assess(in), faults, nil
}

// Run assesses.
func (c *assessCommand) Run(env *Env) error {
	a, faults, err := assessFile(env, c.File, c.AsOf)
	if c.JSON {
		if err != nil {
			return err
		}
		err = writeJSON(env.Out, transfer.Assessment(a, faults, c.style(), c.Working))
	} else {
		p := newPage(env, c.style())
		p.faults(c.File, faults)
		if err != nil {
			return err
		}
		v := view{page: p, a: a}
		v.all()
		if c.Working {
			for _, n := range a.Workings() {
				p.working(n)
			}
		}
		err = p.err
	}
	if err == nil && (len(faults) > 0 || transfer.Open(a)) {
		return status(calculator.StatusNotYet)
	}
	return err
}

var msgFileDamaged = say.Define("cli.file_damaged", "This job file is damaged: {faults:count|fault|faults}. What follows rests on the entries that can be read.")

// faults says first what is wrong with the file.
func (p *page) faults(file string, faults []record.Fault) {
	if len(faults) == 0 {
		return
	}
	p.say(msgFileDamaged.With(len(faults)))
	for _, f := range faults {
		p.item("  - ", msgFaultAt.With(file, f.Line, f.Message))
	}
	p.blank()
}
