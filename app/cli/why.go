package cli

import (
	"pumpwright/app/transfer"
	"pumpwright/rebuild/calculator"
)

// whyCommand says why a pump failed.
type whyCommand struct {
	File string `arg:"" name:"jobfile" help:"Job file."`
	JSON bool   `name:"json" help:"Print the answer as JSON, for programs: every cause, not only the first three."`
	AsOf string `placeholder:"DATE" help:"Day for which instruments must be in date (default: the day of the last entry)."`
	Units
}

// Help shows how it is called.
func (*whyCommand) Help() string {
	return `The likeliest causes with what speaks for and against each, what brought what about, and the next look that tells most per minute. The exit status is 3 when the file is damaged or nothing tells.

  pumpwright why J-2057.jsonl
  pumpwright why J-2041.jsonl --json
`
}

// Run says why.
func (c *whyCommand) Run(env *Env) error {
	a, faults, err := assessFile(env, c.File, c.AsOf)
	p := newPage(env, c.style())
	if !c.JSON {
		p.faults(c.File, faults)
	}
	if err != nil {
		return err
	}
	if c.JSON {
		err = writeJSON(env.Out, transfer.Causes(a, faults, c.style()))
	} else {
		v := view{page: p, a: a}
		v.heading()
		v.cause()
		err = p.err
	}
	if err == nil && (len(faults) > 0 || len(a.Cause().Causes) == 0) {
		return status(calculator.StatusNotYet)
	}
	return err
}
