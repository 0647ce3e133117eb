package cli

import (
	"path/filepath"
	"strings"

	"pumpwright/app/report"
	"pumpwright/calc/say"
)

// reportCommand writes the report of a job.
type reportCommand struct {
	File     string `arg:"" name:"jobfile" help:"Job file."`
	To       string `placeholder:"FILE" help:"PDF to write (default: the job file's name with .pdf)."`
	Paper    string `enum:"a4,letter" default:"a4" placeholder:"a4|letter" help:"Size of the paper."`
	AsOf     string `placeholder:"DATE" help:"Day for which instruments must be in date (default: the day of the last entry)."`
	Appendix bool   `help:"With the working of every number."`
	Units
}

// Help shows how it is called.
func (*reportCommand) Help() string {
	return `A report that is there already is replaced.

  pumpwright report J-2041.jsonl
  pumpwright report J-2057.jsonl --units inch --paper letter --appendix --to J-2057-inch.pdf
`
}

// Run writes the report.
func (c *reportCommand) Run(env *Env) error {
	a, faults, err := assessFile(env, c.File, c.AsOf)
	if err != nil {
		return err
	}
	p := newPage(env, c.style())
	p.faults(c.File, faults)
	pdf, err := env.Report(a, report.Options{Size: paperOf(c.Paper), Style: p.style, Appendix: c.Appendix})
	if err != nil {
		return err
	}
	to := c.To
	if to == "" {
		to = strings.TrimSuffix(c.File, filepath.Ext(c.File)) + ".pdf"
	}
	if err := env.Folder.Write(to, pdf); err != nil {
		return err
	}
	p.line(msgWritten.With(to).Text(say.Style{}))
	return p.err
}
