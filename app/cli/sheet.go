package cli

import (
	_ "embed"
	"fmt"
	"io"

	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/sheet"
)

// sheetCommand holds the commands about model sheets.
type sheetCommand struct {
	Check  sheetCheck  `cmd:"" help:"Check model sheets: every problem with file and line."`
	New    sheetNew    `cmd:"" help:"Write a new sheet to fill in, with a comment at every field."`
	Schema sheetSchema `cmd:"" help:"Print the JSON Schema, so that an editor completes and checks while you type."`
}

// sheetCheck checks sheets.
type sheetCheck struct {
	Files   []string `arg:"" name:"file" help:"Files to check."`
	Service bool     `help:"The files are services (what a pump is asked to do), not model sheets."`
}

// Help shows how it is called.
func (*sheetCheck) Help() string {
	return `Fields that this version does not know are kept and said; they are no mistake.

  pumpwright sheet check sheets/demo-pump-m.yaml
  pumpwright sheet check sheets/demo-pump-s.yaml sheets/demo-pump-l.yaml
  pumpwright sheet check --service services/service-light-oil.yaml
`
}

var (
	msgSheetGood = say.Define("cli.sheet_good", "{file}: good: {name}, {features:count|feature|features}, {parts:count|part|parts}, version {version}")
	msgDutyGood  = say.Define("cli.service_good", "{file}: good, version {version}")
	msgRemark    = say.Define("cli.remark", "remark: {text}")
)

// Run checks.
func (c *sheetCheck) Run(env *Env) error {
	p := newPage(env, say.Style{})
	refused := false
	for _, file := range c.Files {
		text, err := env.Folder.Read(file)
		if err != nil {
			return err
		}
		var findings sheet.Findings
		var good say.Message
		if c.Service {
			var service *sheet.Service
			service, findings = sheet.ParseService(file, text)
			good = msgDutyGood.With(file, service.Version)
		} else {
			var s *sheet.Sheet
			s, findings = sheet.Parse(file, text)
			good = msgSheetGood.With(file, s.Name, len(s.Features), len(s.Parts), s.Version)
		}
		for _, f := range findings {
			p.line(findingLine(f, p.style))
		}
		if len(findings.Problems()) > 0 {
			refused = true
			continue
		}
		p.line(good.Text(p.style))
	}
	if p.err == nil && refused {
		return status(calculator.StatusRefused)
	}
	return p.err
}

// findingLine prints a finding on one line that editors can follow.
func findingLine(f sheet.Finding, s say.Style) string {
	line := max(f.Line, 1)
	text := f.Problem.Show(s)
	if f.Remark {
		text = msgRemark.With(text).Text(s)
	}
	return fmt.Sprintf("%s:%d: %s", f.File, line, text)
}

//go:embed template/sheet.yaml
var sheetTemplate []byte

//go:embed template/service.yaml
var serviceTemplate []byte

// sheetNew writes a sheet to fill in.
type sheetNew struct {
	File    string `arg:"" optional:"" help:"New file; without one it is printed."`
	Service bool   `help:"A service (what a pump is asked to do) instead of a model sheet."`
}

// Help shows how it is called.
func (*sheetNew) Help() string {
	return `A file that is there already is left alone.

  pumpwright sheet new my-pump.yaml
  pumpwright sheet check my-pump.yaml
  pumpwright sheet new --service
`
}

var msgWritten = say.Define("cli.written", "written: {file}")

// Run writes.
func (c *sheetNew) Run(env *Env) error {
	text := sheetTemplate
	if c.Service {
		text = serviceTemplate
	}
	if c.File == "" {
		_, err := env.Out.Write(text)
		return err
	}
	if err := env.Folder.Create(c.File, text); err != nil {
		return err
	}
	p := newPage(env, say.Style{})
	p.line(msgWritten.With(c.File).Text(p.style))
	return p.err
}

// sheetSchema prints the JSON Schema.
type sheetSchema struct {
	Service bool `help:"The schema of a service instead of that of a model sheet."`
}

// Help shows how it is called.
func (*sheetSchema) Help() string {
	return `
  pumpwright sheet schema > model-sheet.schema.json
  pumpwright sheet schema --service
`
}

// Run prints.
func (c *sheetSchema) Run(env *Env) error {
	make := sheet.Schema
	if c.Service {
		make = sheet.ServiceSchema
	}
	text, err := make()
	if err != nil {
		return err
	}
	_, err = io.WriteString(env.Out, string(text)+"\n")
	return err
}
