package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"

	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// jobCommand holds the commands about job files.
type jobCommand struct {
	New     jobNew     `cmd:"" help:"Start a job file."`
	Add     addCommand `cmd:"" help:"Add an entry to a job file."`
	Entries jobEntries `cmd:"" help:"List the entries of a job file."`
	Verify  jobVerify  `cmd:"" help:"Check that a job file is whole and unchanged."`
}

// Writer is who writes an entry.
type Writer struct {
	By     string `placeholder:"ID" help:"Who writes this (default: PUMPWRIGHT_BY, else the login name)."`
	Device string `default:"terminal" help:"Where it is written."`
}

var (
	msgNobody  = say.Define("cli.nobody", "nobody is named as the writer")
	msgNameOne = say.Define("cli.name_one", "write --by with the id of a person, or set PUMPWRIGHT_BY")
)

func (w *Writer) id(env *Env) (string, error) {
	for _, id := range []string{w.By, env.Getenv("PUMPWRIGHT_BY"), env.Getenv("USER"), env.Getenv("USERNAME")} {
		if id = strings.TrimSpace(id); id != "" {
			return id, nil
		}
	}
	return "", say.Refuse("by", "", msgNobody.With(), msgNameOne.With())
}

// entry makes an entry of a body; its place and hash come when it is stored.
func (w *Writer) entry(env *Env, stream, kind, seen string, body []byte) (record.Entry, error) {
	id, err := env.newID()
	if err != nil {
		return record.Entry{}, err
	}
	by, err := w.id(env)
	return record.Entry{ID: id, Stream: stream, Kind: kind, Version: 1, Body: body, By: by, At: record.TimeOf(env.Now()), Device: w.Device, Seen: seen}, err
}

// jobNew starts a job file.
type jobNew struct {
	File      string `arg:"" name:"jobfile" help:"New job file, for example J-2101.jsonl."`
	Sheet     string `required:"" placeholder:"NAME|FILE" help:"Model sheet: a file, or the name of a demo sheet."`
	Service   string `placeholder:"FILE" help:"Service: liquid, temperature, pressure, speed."`
	Shop      string `placeholder:"FILE" help:"What the shop has: instruments, stock, site limits."`
	Job       string `placeholder:"NUMBER" help:"Number of the job (default: the name of the file)."`
	Tag       string `help:"Tag: the place of the pump."`
	Serial    string `help:"Serial number: the machine."`
	Owner     string `help:"Whose pump it is."`
	Place     string `help:"Where it stands and what it does."`
	Complaint string `help:"What is wrong, in the operator's own words."`
	Previous  string `placeholder:"NUMBER" help:"Job of the last rebuild."`
	Writer
}

// Help shows how it is called.
func (*jobNew) Help() string {
	return `The job keeps a copy of the sheet, the service and what the shop has, so that anybody can compute its answers again later.

  pumpwright job new J-2101.jsonl --sheet sheets/demo-pump-m.yaml --service services/service-light-oil.yaml --shop shop.yaml --tag P-101 --serial 4711 --owner "a customer" --by mira
`
}

// Run starts the job.
func (c *jobNew) Run(env *Env) error {
	number := c.Job
	if number == "" {
		number = strings.TrimSuffix(filepath.Base(c.File), filepath.Ext(c.File))
	}
	stream := &record.Stream{}
	add := func(kind string, body any) error {
		raw, err := record.CanonicalOf(body)
		if err != nil {
			return err
		}
		e, err := c.entry(env, "job:"+number, kind, stream.Head(), raw)
		if err != nil {
			return err
		}
		_, err = stream.Append(e)
		return err
	}
	open := job.Open{Job: number, Tag: c.Tag, Serial: c.Serial, Owner: c.Owner, Place: c.Place, Complaint: c.Complaint, Previous: c.Previous}
	if err := add(job.KindOpen, open); err != nil {
		return err
	}
	text, err := sheetText(env, c.Sheet)
	if err != nil {
		return err
	}
	if err := add(job.KindSheet, text); err != nil {
		return err
	}
	if c.Service != "" {
		if text, err = serviceText(env, c.Service); err != nil {
			return err
		}
		if err := add(job.KindService, text); err != nil {
			return err
		}
	}
	if c.Shop != "" {
		shop, err := shopBody(env, c.Shop)
		if err != nil {
			return err
		}
		if err := add(job.KindBasis, shop); err != nil {
			return err
		}
	}
	if err := env.Folder.CreateStream(c.File, stream); err != nil {
		return err
	}
	p := newPage(env, say.Style{})
	p.line(msgWritten.With(c.File).Text(p.style))
	return p.err
}

// sheetText reads a sheet that a person names: a file, or a demo sheet.
func sheetText(env *Env, named string) (job.Text, error) {
	text, err := readNamed(env, named, sheet.DemoText)
	if err != nil {
		return job.Text{}, say.In("sheet", err)
	}
	_, findings := sheet.Parse(named, text)
	if len(findings.Problems()) > 0 {
		return job.Text{}, findings
	}
	return job.Text{Name: fileName(named), Text: string(text)}, nil
}

// serviceText reads a service that a person names.
func serviceText(env *Env, named string) (job.Text, error) {
	text, err := readNamed(env, named, demo.ServiceText)
	if err != nil {
		return job.Text{}, say.In("service", err)
	}
	_, findings := sheet.ParseService(named, text)
	if len(findings.Problems()) > 0 {
		return job.Text{}, findings
	}
	return job.Text{Name: fileName(named), Text: string(text)}, nil
}

// readNamed reads a file, or what comes with the program under a plain name.
func readNamed(env *Env, named string, shipped func(string) ([]byte, error)) ([]byte, error) {
	text, err := env.Folder.Read(named)
	if errors.Is(err, fs.ErrNotExist) && !strings.ContainsAny(named, `./\`) {
		return shipped(named)
	}
	return text, err
}

func fileName(named string) string {
	base := filepath.Base(named)
	if filepath.Ext(base) == "" {
		base += ".yaml"
	}
	return base
}

// shopBody reads what the shop has, as it is copied into a job.
func shopBody(env *Env, file string) (any, error) {
	text, err := env.Folder.Read(file)
	if err != nil {
		return nil, err
	}
	var raw any
	if err := yaml.Unmarshal(text, &raw); err != nil {
		reason, _, _ := strings.Cut(err.Error(), "\n")
		return nil, say.Refuse("shop", file, say.Plain(reason), say.Message{})
	}
	if _, err := ledger.Read(raw); err != nil {
		return nil, say.In("shop", err)
	}
	return raw, nil
}

// jobVerify checks a job file.
type jobVerify struct {
	File string `arg:"" name:"jobfile" help:"Job file."`
	JSON bool   `name:"json" help:"Print the answer as JSON, for programs."`
}

// Help shows how it is called.
func (*jobVerify) Help() string {
	return `Every entry carries a fingerprint of itself and of the one before it: a file that was cut, edited or reordered says so, with the entry and the reason. What can be read is read all the same.

  pumpwright job verify J-2041.jsonl
`
}

var (
	msgWhole   = say.Define("cli.whole", "{file}: whole and unchanged: {entries:count|entry|entries}, last fingerprint {head}")
	msgFaulty  = say.Define("cli.faulty", "{file}: {faults:count|fault|faults}; {entries:count|entry|entries} can be read")
	msgFaultAt = say.Define("cli.fault_at", "{file}:{line:count}: {fault:message}")
	msgTrouble = say.Define("cli.trouble", "entry {seq:count} ({kind}): {text:message}")
)

// Run checks.
func (c *jobVerify) Run(env *Env) error {
	stream, faults, err := env.Folder.ReadStream(c.File)
	if err != nil {
		return err
	}
	p := newPage(env, say.Style{})
	if c.JSON {
		list := []any{}
		for _, f := range faults {
			list = append(list, map[string]any{"line": f.Line, "entry": f.Seq, "id": f.ID, "message": f.Message.Text(p.style)})
		}
		p.err = writeJSON(env.Out, map[string]any{"file": c.File, "whole": len(faults) == 0, "entries": len(stream.Entries), "head": stream.Head(), "faults": list})
	} else {
		c.print(p, stream, faults)
	}
	if p.err == nil && len(faults) > 0 {
		return status(calculator.StatusRefused)
	}
	return p.err
}

func (c *jobVerify) print(p *page, stream *record.Stream, faults []record.Fault) {
	for _, f := range faults {
		p.line(msgFaultAt.With(c.File, f.Line, f.Message).Text(p.style))
	}
	if len(faults) > 0 {
		p.line(msgFaulty.With(c.File, len(faults), len(stream.Entries)).Text(p.style))
	} else {
		head := stream.Head()
		p.line(msgWhole.With(c.File, len(stream.Entries), head[:min(12, len(head))]).Text(p.style))
	}
	for _, t := range job.Fold(stream).Troubles {
		p.line(msgTrouble.With(int(t.Seq), t.Kind, t.Message).Text(p.style))
	}
}

// jobEntries lists entries.
type jobEntries struct {
	File string `arg:"" name:"jobfile" help:"Job file."`
	Kind string `help:"Only entries of this kind."`
}

// Help shows how it is called.
func (*jobEntries) Help() string {
	return `The number in front is what job add JOBFILE void takes.

  pumpwright job entries J-2041.jsonl --kind reading
`
}

var (
	headEntry = say.Define("cli.head_entry", "entry")
	headDay   = say.Define("cli.head_day", "day")
	headBy    = say.Define("cli.head_by", "by")
	headKind  = say.Define("cli.head_kind", "kind")
	headBody  = say.Define("cli.head_body", "what was written")
	wordVoid  = say.Define("cli.voided", "VOIDED: {reason}")
)

// mostShown cuts the long texts (sheets) that a job carries.
const mostShown = 300

// Run lists.
func (c *jobEntries) Run(env *Env) error {
	stream, _, err := env.Folder.ReadStream(c.File)
	if err != nil {
		return err
	}
	p := newPage(env, say.Style{})
	voided := job.Fold(stream).Voided
	var rows [][]string
	for _, e := range stream.Entries {
		if c.Kind != "" && e.Kind != c.Kind {
			continue
		}
		text := bodyText(e.Body)
		if v, gone := voided[e.ID]; gone {
			text = wordVoid.With(v.Body.Reason).Text(p.style) + "; " + text
		}
		rows = append(rows, []string{strconv.FormatInt(e.Seq, 10), e.At.Day().Show(p.style), e.By, e.Kind, text})
	}
	p.table("", []say.Message{headEntry.With(), headDay.With(), headBy.With(), headKind.With(), headBody.With()}, rows)
	return p.err
}

// bodyText writes a body on one line, its fields in order.
func bodyText(body []byte) string {
	decoder := json.NewDecoder(bytes.NewReader(body))
	decoder.UseNumber()
	var value any
	if err := decoder.Decode(&value); err != nil {
		return string(body)
	}
	text := []rune(strings.Join(strings.Fields(plainText(value)), " "))
	if len(text) > mostShown {
		return string(text[:mostShown]) + " …"
	}
	return string(text)
}

func plainText(value any) string {
	switch v := value.(type) {
	case map[string]any:
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		slices.Sort(names)
		parts := make([]string, len(names))
		for i, name := range names {
			parts[i] = name + ": " + plainText(v[name])
		}
		return strings.Join(parts, ", ")
	case []any:
		parts := make([]string, len(v))
		for i, item := range v {
			parts[i] = plainText(item)
		}
		return "[" + strings.Join(parts, "; ") + "]"
	case string:
		return v
	case json.Number:
		return v.String()
	case bool:
		return strconv.FormatBool(v)
	}
	return "–"
}
