package cli

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// importCommand takes a table in.
type importCommand struct {
	Subject string            `arg:"" enum:"pumps,readings,jobs,stock,lives,entries" help:"What the table is about: pumps, readings, jobs, stock, lives; entries for JSON Lines."`
	File    string            `arg:"" optional:"" help:"CSV file or workbook (.xlsx); without one the columns are listed."`
	Sheet   string            `placeholder:"NAME" help:"Sheet of the workbook (default: the one named as the subject, else the first)."`
	Map     map[string]string `placeholder:"OURS=THEIRS" mapsep:"none" help:"In which column of the file one of ours stands; may be given several times. What is not given is guessed by its name."`
	Preview bool              `help:"Read everything, take nothing: show the columns, the first entries and what is wrong."`
	To      string            `placeholder:"FILE" help:"File of entries to take them into, made when it is not there (default: the shop)."`
	homeFlags
	Confirmed bool `help:"It was looked at again: take what is unlikely."`
	JSON      bool `name:"json" help:"Print the answer as JSON, for programs."`
	Writer
}

// Help shows how it is called.
func (*importCommand) Help() string {
	return `All rows or none: one wrong cell, named by its line and column, and nothing is taken. A table that is read again changes nothing twice. A formula is never taken for a value. The exit status is 2 when something is wrong, 3 when a reading is unlikely and nobody confirmed it.

  pumpwright import readings
  pumpwright export readings J-2041.jsonl --out readings.csv
  pumpwright import readings readings.csv --to J-2041.jsonl --preview --by mira
  pumpwright export all . --out shop.xlsx
  pumpwright import jobs shop.xlsx --to jobs.jsonl --map place=place --by mira
`
}

var (
	headColumn       = say.Define("cli.head_column", "column")
	headTheirs       = say.Define("cli.head_theirs", "in the file")
	headHolds        = say.Define("cli.head_holds", "what it holds")
	headLine         = say.Define("cli.head_line", "line")
	headRead         = say.Define("cli.head_read", "read")
	headWrong        = say.Define("cli.head_wrong", "what is wrong")
	headStream       = say.Define("cli.head_stream", "stream")
	msgImportRows    = say.Define("cli.import_rows", "{file}: {rows:count|row|rows} of {subject}.")
	msgImportColumns = say.Define("cli.import_columns", "Columns of {subject}; those with a star must be there.")
	msgImportUnused  = say.Define("cli.import_unused", "Not used: {list:list}.")
	msgImportFirst   = say.Define("cli.import_first", "The first entries:")
	msgImportWrong   = say.Define("cli.import_wrong", "{n:count|cell is|cells are} wrong; nothing was taken.")
	msgImportMore    = say.Define("cli.import_more", "and {n:count} more")
	msgImportReady   = say.Define("cli.import_ready", "{n:count|entry|entries} would be taken; {twice:count|row says|rows say} what a row before said.")
	msgImportTaken   = say.Define("cli.import_taken", "Taken: {n:count|entry|entries}; {known:count} were there already.")
	msgImportUnlike  = say.Define("cli.import_unlikely", "line {line:count}: {warning:message}")
	msgImportAgain   = say.Define("cli.import_again", "Nothing was taken; if it is right, give the same command with --confirmed.")
	msgImportLives   = say.Define("cli.import_lives", "{n:count|life|lives} can be read. Lives are computed with, not kept: pumpwright calc life reads such a file.")
	msgNoShop        = say.Define("cli.no_shop", "no shop is kept there")
	msgGiveShop      = say.Define("cli.give_shop", "name its folder with --data, or a file of entries with --to")
	msgMapOurs       = say.Define("cli.map_ours", "tables of {subject} have no such column")
	msgMapAre        = say.Define("cli.map_are", "the columns are {list:list}")
	msgLinesFault    = say.Define("cli.lines_fault", "line {line:count}: {fault:message}")
	msgJobClosed     = say.Define("cli.job_closed", "the job is closed: a table changes nothing of it any more")
	msgJobOpened     = say.Define("cli.job_opened", "there is a job of this number already, opened otherwise")
	msgTakeThemOut   = say.Define("cli.take_them_out", "take its rows out of the table, or put them right; nothing was taken")
	msgNoJobHere     = say.Define("cli.no_job_here", "there is no such job here")
	msgJobsFirst     = say.Define("cli.jobs_first", "take the jobs in first, or put the number right")
	wordMustBe       = say.Define("cli.column_needed", "{name} *")
	wordOfKind       = say.Define("cli.column_kind", "{help:message} ({kind})")
)

// firstRows is how many entries and problems are shown.
const firstRows = 20

// destination is where entries go.
type destination interface {
	transfer.Target
	Stream(name string) (*record.Stream, error)
}

// Run takes the table in.
func (c *importCommand) Run(env *Env) error {
	p := newPage(env, say.Style{})
	if c.File == "" {
		p.columns(transfer.Subject(c.Subject))
		return p.err
	}
	if c.Subject == "entries" {
		return c.into(env, func(d destination) error { return c.lines(env, p, d) })
	}
	if c.Subject == string(transfer.Lives) {
		plan, err := c.plan(env, nil)
		if err != nil {
			return err
		}
		return c.report(p, plan, nil, nil)
	}
	return c.into(env, func(d destination) error {
		var unlikely []say.Message
		plan, err := c.plan(env, c.check(d, &unlikely))
		if err != nil {
			return err
		}
		if c.Preview || plan.Wrong > 0 || len(unlikely) > 0 && !c.Confirmed {
			return c.report(p, plan, nil, unlikely)
		}
		for i := range plan.Entries {
			if plan.Entries[i].At == 0 {
				plan.Entries[i].At = record.TimeOf(env.Now())
			}
		}
		if err := freshOnly(d, plan.Entries); err != nil {
			return err
		}
		o, err := plan.Into(d)
		if err != nil {
			return err
		}
		return c.report(p, plan, &o, nil)
	})
}

// into opens the place where entries go.
func (c *importCommand) into(env *Env, do func(destination) error) error {
	if c.To != "" {
		return env.Folder.TakeInto(c.To, func(m *transfer.Memory) error { return do(m) })
	}
	home := c.home(env)
	if !home.There() {
		return say.Refuse("data", c.named(), msgNoShop.With(), msgGiveShop.With())
	}
	return holding(env, home, func(h *shop.Holdings) error {
		if c.Subject == "entries" {
			return do(h)
		}
		return do(h.ForTables())
	})
}

// plan reads the table whole.
func (c *importCommand) plan(env *Env, check func(stream, kind string, body []byte) error) (*transfer.Plan, error) {
	by, err := c.id(env)
	if err != nil && c.Subject != string(transfer.Lives) {
		return nil, err
	}
	rows, done, err := c.open(env)
	if err != nil {
		return nil, err
	}
	subject := transfer.Subject(c.Subject)
	mapping := transfer.Guess(subject, rows.Columns)
	for ours, theirs := range c.Map {
		if !slices.ContainsFunc(transfer.Columns(subject), func(k transfer.Column) bool { return k.Name == ours }) {
			return nil, errors.Join(say.Refuse("map."+ours, theirs, msgMapOurs.With(c.Subject), msgMapAre.With(columnNames(subject))), done())
		}
		for other, was := range mapping {
			if was == theirs {
				delete(mapping, other) // a guess gives way
			}
		}
		mapping[ours] = theirs
	}
	o := transfer.ImportOptions{Mapping: mapping, By: by, Device: c.Device, Check: check}
	if env.Keyboard {
		o.Progress = func(n int) { fmt.Fprintf(env.Err, "\r%d …", n) }
	}
	plan, err := transfer.Import(subject, rows, o)
	return plan, errors.Join(err, done())
}

// open opens a CSV file or a workbook, by how it begins. Of a workbook, the
// sheet that is named as the subject comes before the first one.
func (c *importCommand) open(env *Env) (*transfer.Rows, func() error, error) {
	content, err := env.Folder.Read(c.File)
	if err != nil {
		return nil, nil, err
	}
	var rows *transfer.Rows
	done := func() error { return nil }
	if bytes.HasPrefix(content, []byte("PK")) {
		from, size, name := bytes.NewReader(content), int64(len(content)), c.Sheet
		if sheets, err := transfer.Sheets(from, size); err == nil && name == "" && slices.Contains(sheets, c.Subject) {
			name = c.Subject
		}
		rows, done, err = transfer.OpenXLSX(from, size, name)
	} else {
		rows, err = transfer.OpenCSV(bytes.NewReader(content))
	}
	if err != nil {
		return nil, nil, say.In(filepath.Base(c.File), err)
	}
	return rows, done, nil
}

// check looks at each reading with what the sheet of its job knows. What is
// unlikely is gathered and not refused.
func (c *importCommand) check(d destination, unlikely *[]say.Message) func(stream, kind string, body []byte) error {
	type known struct {
		state *job.State
		sheet *sheet.Sheet
	}
	jobs := map[string]known{}
	var texts assess.Texts
	return func(stream, kind string, body []byte) error {
		if kind != job.KindReading {
			return nil
		}
		k, there := jobs[stream]
		if !there {
			s, err := d.Stream(stream)
			if err != nil {
				return err
			}
			if len(s.Entries) == 0 {
				return say.Refuse("job", strings.TrimPrefix(stream, "job:"), msgNoJobHere.With(), msgJobsFirst.With())
			}
			k.state = job.Fold(s)
			if in, err := texts.FromJob(k.state, time.Time{}); err == nil {
				k.sheet = in.Sheet
			}
			jobs[stream] = k
		}
		warnings, err := job.Vet(k.state, k.sheet, kind, body)
		*unlikely = append(*unlikely, warnings...)
		return err
	}
}

// freshOnly keeps new rows from a job that is closed, and perhaps signed,
// without them, and a second opening from a job that is there.
func freshOnly(d destination, entries []record.Entry) error {
	ids := map[string][]string{}
	for i := range entries {
		ids[entries[i].Stream] = append(ids[entries[i].Stream], entries[i].ID)
	}
	here, states := map[string]map[string]bool{}, map[string]*job.State{}
	for i := range entries {
		e := &entries[i]
		name, ok := strings.CutPrefix(e.Stream, "job:")
		if !ok {
			continue
		}
		if states[name] == nil {
			s, err := d.Stream(e.Stream)
			if err != nil {
				return err
			}
			if here[e.Stream], err = d.Here(e.Stream, ids[e.Stream]); err != nil {
				return err
			}
			states[name] = job.Fold(s)
		}
		switch state := states[name]; {
		case here[e.Stream][e.ID]:
		case state.ClosedHere():
			return say.Refuse("job", name, msgJobClosed.With(), msgTakeThemOut.With())
		case e.Kind == job.KindOpen && state.Count > 0:
			return say.Refuse("job", name, msgJobOpened.With(), msgTakeThemOut.With())
		}
	}
	return nil
}

// lines takes entries as they are, with their places and hashes.
func (c *importCommand) lines(env *Env, p *page, d destination) error {
	content, err := env.Folder.Read(c.File)
	if err != nil {
		return err
	}
	streams, faults, err := transfer.ReadLines(bytes.NewReader(content))
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return say.Refuse(c.File, "", msgLinesFault.With(faults[0].Line, faults[0].Message), say.Message{})
	}
	plan := &transfer.Plan{Subject: "entries"}
	for _, s := range streams {
		plan.Rows += len(s.Entries)
		plan.Entries = append(plan.Entries, s.Entries...)
	}
	if c.Preview {
		return c.report(p, plan, nil, nil)
	}
	o, err := transfer.TakeLines(streams, d)
	if err != nil {
		return err
	}
	return c.report(p, plan, &o, nil)
}

// report says what was read, and what was taken of it.
func (c *importCommand) report(p *page, plan *transfer.Plan, taken *transfer.Outcome, unlikely []say.Message) error {
	code := calculator.StatusDone
	switch {
	case plan.Wrong > 0:
		code = calculator.StatusRefused
	case len(unlikely) > 0 && !c.Confirmed:
		code = calculator.StatusNotYet
	}
	if c.JSON {
		p.err = writeJSON(p.out, transfer.Imported(c.File, plan, taken, unlikely, p.style))
	} else {
		p.plan(c, plan)
		switch {
		case plan.Wrong > 0:
			p.say(msgImportWrong.With(plan.Wrong))
		case plan.Subject == transfer.Lives:
			p.say(msgImportLives.With(len(plan.Lives)))
		case taken != nil:
			p.say(msgImportTaken.With(taken.Taken, taken.Known))
		default:
			p.list(unlikely)
			p.say(msgImportReady.With(len(plan.Entries), plan.Twice))
			if len(unlikely) > 0 && !c.Preview {
				p.say(msgImportAgain.With())
			}
		}
	}
	if p.err == nil && code != calculator.StatusDone {
		return status(code)
	}
	return p.err
}

// plan shows the columns, the first entries of a preview and what is wrong.
func (p *page) plan(c *importCommand, plan *transfer.Plan) {
	p.say(msgImportRows.With(c.File, plan.Rows, plan.Subject))
	if c.Preview || plan.Wrong > 0 {
		var rows [][]string
		for _, k := range transfer.Columns(plan.Subject) {
			if theirs := plan.Mapping[k.Name]; theirs != "" {
				rows = append(rows, []string{k.Name, theirs, k.Help.Text(p.style)})
			}
		}
		p.table("  ", []say.Message{headColumn.With(), headTheirs.With(), headHolds.With()}, rows)
	}
	if len(plan.Unused) > 0 {
		p.say(msgImportUnused.With(plan.Unused))
	}
	if c.Preview && plan.Wrong == 0 && len(plan.Entries) > 0 {
		p.say(msgImportFirst.With())
		var rows [][]string
		for i := range plan.Entries {
			if i == firstRows {
				break
			}
			e := &plan.Entries[i]
			day := ""
			if e.At != 0 {
				day = e.At.Day().Show(p.style)
			}
			rows = append(rows, []string{e.Stream, day, e.Kind, bodyText(e.Body)})
		}
		p.table("  ", []say.Message{headStream.With(), headDay.With(), headKind.With(), headBody.With()}, rows)
	}
	var rows [][]string
	for i, w := range plan.Problems {
		if i == firstRows {
			break
		}
		what := w.Problem.Message.Text(p.style)
		if !w.Problem.Accepted.IsZero() {
			what += "; " + w.Problem.Accepted.Text(p.style)
		}
		rows = append(rows, []string{fmt.Sprint(w.Line), w.Column, w.Problem.Read, what})
	}
	p.table("  ", []say.Message{headLine.With(), headColumn.With(), headRead.With(), headWrong.With()}, rows)
	if n := plan.Wrong - len(rows); n > 0 {
		p.item("  ", msgImportMore.With(n))
	}
}

func columnNames(s transfer.Subject) []string {
	var list []string
	for _, k := range transfer.Columns(s) {
		list = append(list, k.Name)
	}
	return list
}

// columns lists the columns of a subject.
func (p *page) columns(s transfer.Subject) {
	p.say(msgImportColumns.With(s))
	var rows [][]string
	for _, k := range transfer.Columns(s) {
		name := k.Name
		if k.Needed {
			name = wordMustBe.With(name).Text(p.style)
		}
		rows = append(rows, []string{name, wordOfKind.With(k.Help, k.Kind).Text(p.style)})
	}
	p.table("  ", []say.Message{headColumn.With(), headHolds.With()}, rows)
}
