package transfer

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"pumpwright/calc/life"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
)

// ImportOptions say how a table is read.
type ImportOptions struct {
	Mapping  Mapping // Guess when nil
	By       string  // id of the person
	Device   string
	Stock    string // stream of the stock; "stock:shelf" when empty
	Progress func(rows int)
	// Check looks at an entry before it is taken, with what the sheet of the
	// job knows; an error is the row's. May be nil.
	Check func(stream, kind string, body []byte) error
}

// RowProblem is what is wrong with one cell.
type RowProblem struct {
	Line    int
	Column  string
	Problem *say.Problem
}

// LifeRow is one row of life data.
type LifeRow struct {
	life.Observation
	Mode, Group, Part, Serial string
}

// Plan is a table as it was read: what would be taken, and what is wrong.
// Nothing is taken before Into, and nothing at all while there is a problem.
type Plan struct {
	Subject  Subject
	Mapping  Mapping
	Unused   []string // columns of the file that mean nothing here
	Rows     int
	Entries  []record.Entry // without place and hash
	Lives    []LifeRow
	Twice    int // rows that say what a row before said; taken once
	Problems []RowProblem
	Wrong    int // problems in all; Problems holds the first ones
}

// mostProblems is how many problems a plan names.
const mostProblems = 1000

// mostRows is how many rows a table may have.
const mostRows = 5_000_000

// progressRows is after how many rows progress is told.
const progressRows = 5000

var (
	msgNoSubject   = say.Define("transfer.no_subject", "this program knows no table of “{name}”")
	msgSubjectsAre = say.Define("transfer.subjects_are", "it knows tables of {names:list}")
	msgNoColumn    = say.Define("transfer.no_column", "no column holds “{name}” ({help:message})")
	msgColumnsAre  = say.Define("transfer.columns_are", "the columns are {names:list}; say which one it is")
	msgNotThere    = say.Define("transfer.not_there", "the file has no column of this name")
	msgClosedFirst = say.Define("transfer.closed_first", "the job is closed before it was opened")
	msgDayNeeded   = say.Define("transfer.day_needed", "a meter reading needs the day it was read, or the day of installation")
	msgNegative    = say.Define("transfer.negative", "this is 0 or more")
	msgAgeAbove    = say.Define("transfer.age_above", "an age is above 0")
	msgHighBelow   = say.Define("transfer.high_below", "the end of the interval lies before its start")
	msgEntryAfter  = say.Define("transfer.entry_after", "the part failed, or was last seen, before it was watched")
	msgManyRows    = say.Define("transfer.many_rows", "the table has more than {most:count} rows")
	msgSplitTable  = say.Define("transfer.split_table", "split it")
	msgNotReady    = say.Define("transfer.not_ready", "{n:count|cell is|cells are} wrong; nothing was taken. The first: {first}")
	msgPutRight    = say.Define("transfer.put_right", "put the file right and read it again: what is right already is taken once only")
	msgSameID      = say.Define("transfer.same_id", "two rows give one entry with different content")
	msgCannotWrite = say.Define("transfer.cannot_write", "the row cannot be written: {reason}")
)

// Import reads a table to its end. Only a file that cannot be read, a missing
// column, or a table too long is an error; what is wrong with cells stands in
// the plan.
func Import(s Subject, rows *Rows, o ImportOptions) (*Plan, error) {
	p, err := newPlan(s, rows, &o)
	if err != nil {
		return nil, err
	}
	w := planner{plan: p, o: o, seen: map[string][32]byte{}}
	c := cells{subject: s, place: places(rows.Columns, p.Mapping), sheet: rows.sheet}
	for {
		row, err := rows.Next()
		if errors.Is(err, io.EOF) {
			return p, nil
		}
		if err != nil {
			return nil, err
		}
		if p.Rows++; p.Rows > mostRows {
			return nil, say.Refuse("rows", "", msgManyRows.With(mostRows), msgSplitTable.With())
		}
		c.row, c.problems = row, c.problems[:0]
		w.take(&c)
		p.Wrong += len(c.problems)
		if room := mostProblems - len(p.Problems); room > 0 {
			p.Problems = append(p.Problems, c.problems[:min(room, len(c.problems))]...)
		}
		if o.Progress != nil && p.Rows%progressRows == 0 {
			o.Progress(p.Rows)
		}
	}
}

func newPlan(s Subject, rows *Rows, o *ImportOptions) (*Plan, error) {
	list, known := columns[s]
	if !known {
		var names []string
		for _, k := range Subjects() {
			names = append(names, string(k))
		}
		return nil, say.Refuse("subject", string(s), msgNoSubject.With(s), msgSubjectsAre.With(names))
	}
	if o.Mapping == nil {
		o.Mapping = Guess(s, rows.Columns)
	}
	if o.Stock == "" {
		o.Stock = "stock:shelf"
	}
	p := &Plan{Subject: s, Mapping: o.Mapping}
	there := map[string]bool{}
	for _, name := range rows.Columns {
		there[name] = true
	}
	used := map[string]bool{}
	for _, c := range list {
		name := o.Mapping[c.Name]
		switch {
		case name == "" && c.Needed:
			return nil, say.Refuse("mapping."+c.Name, "", msgNoColumn.With(c.Name, c.Help), msgColumnsAre.With(rows.Columns))
		case name != "" && !there[name]:
			return nil, say.Refuse("mapping."+c.Name, name, msgNotThere.With(), msgColumnsAre.With(rows.Columns))
		}
		used[name] = true
	}
	for _, name := range rows.Columns {
		if name != "" && !used[name] {
			p.Unused = append(p.Unused, name)
		}
	}
	return p, nil
}

func places(names []string, m Mapping) map[string]int {
	at := map[string]int{}
	for ours, theirs := range m {
		for i, name := range names {
			if theirs != "" && name == theirs {
				at[ours] = i
			}
		}
	}
	return at
}

// Preview reads the first rows only.
func Preview(s Subject, rows *Rows, o ImportOptions, most int) (*Plan, error) {
	n := 0
	head := &Rows{Columns: rows.Columns, sheet: rows.sheet, next: func() (Row, error) {
		if n++; n > most {
			return Row{}, io.EOF
		}
		return rows.Next()
	}}
	return Import(s, head, o)
}

// Ready returns a Problem while something is wrong.
func (p *Plan) Ready() error {
	if p.Wrong == 0 {
		return nil
	}
	first := p.Problems[0]
	return say.Refuse(fmt.Sprintf("line %d", first.Line), "", msgNotReady.With(p.Wrong, first.Problem), msgPutRight.With())
}

// planner makes entries of rows.
type planner struct {
	plan *Plan
	o    ImportOptions
	seen map[string][32]byte // id → hash of the content
}

func (w *planner) take(c *cells) {
	switch w.plan.Subject {
	case Pumps:
		w.pump(c)
	case Readings:
		w.reading(c)
	case Jobs:
		w.job(c)
	case Stock:
		w.stock(c)
	case Lives:
		w.life(c)
	}
}

// add makes an entry. Its id comes from what it says: the same row read again
// gives the same entry. salt tells apart what is meant to be said twice.
func (w *planner) add(c *cells, column, stream, kind string, at record.Time, salt string, body any) {
	if len(c.problems) > 0 {
		return
	}
	raw, err := record.CanonicalOf(body)
	if err != nil {
		c.refuse(column, "", msgCannotWrite.With(err), say.Message{})
		return
	}
	if w.o.Check != nil {
		if err := w.o.Check(stream, kind, raw); err != nil {
			c.wrong(column, err)
			return
		}
	}
	hash := sha256.Sum256([]byte(strings.Join([]string{stream, kind, fmt.Sprint(int64(at)), salt, string(raw)}, "\x00")))
	var random [10]byte
	copy(random[:], hash[:])
	id := record.NewID(at.Time(), random)
	if before, there := w.seen[id]; there {
		if before != hash {
			c.refuse(column, "", msgSameID.With(), say.Message{})
			return
		}
		w.plan.Twice++
		return
	}
	w.seen[id] = hash
	w.plan.Entries = append(w.plan.Entries, record.Entry{ID: id, Stream: stream, Kind: kind, Version: 1, Body: raw, By: w.o.By, At: at, Device: w.o.Device})
}

func dayText(at record.Time) string {
	if at == 0 {
		return ""
	}
	return at.Time().Format(time.DateOnly)
}

func (w *planner) pump(c *cells) {
	serial := c.needed("serial")
	stream := history.PumpStream(serial)
	installed, read := c.day("installed"), c.day("hours on")
	b := history.Installed{Tag: c.text("tag"), Place: c.text("place"), Owner: c.text("owner"), Sheet: c.text("model"), New: c.yes("new"), On: dayText(installed)}
	if v, ok := c.number("hours a year"); ok {
		if v < 0 || v > 8784 {
			c.refuse("hours a year", c.text("hours a year"), msgNegative.With(), say.Message{})
		}
		b.HoursAYear = v
	}
	hours, metered := c.number("hours")
	if metered && hours < 0 {
		c.refuse("hours", c.text("hours"), msgNegative.With(), say.Message{})
	}
	if read == 0 {
		read = installed
	}
	if metered && read == 0 {
		c.refuse("hours on", "", msgDayNeeded.With(), say.Message{})
	}
	w.add(c, "serial", stream, history.KindInstalled, installed, "", b)
	if metered {
		w.add(c, "hours", stream, history.KindMeter, read, "", history.MeterReading{Hours: hours, On: dayText(read)})
	}
}

func (w *planner) reading(c *cells) {
	name, feature := c.needed("job"), c.needed("feature")
	value := c.measured("value", "unit")
	value.Plane = c.text("plane")
	if v, ok := c.number("angle"); ok {
		value.Angle = &v
	}
	r := job.Reading{Feature: feature, State: c.word("state", stateWords), Values: []job.Value{value}, Instrument: c.text("instrument"), Note: c.text("note")}
	day, salt := c.day("day"), ""
	if n, ok := c.count("repeat"); ok && n > 0 {
		salt = fmt.Sprint(n)
	}
	w.add(c, "value", "job:"+name, job.KindReading, day, salt, r)
}

func (w *planner) job(c *cells) {
	name := c.needed("job")
	c.needed("opened")
	opened, closed := c.day("opened"), c.day("closed")
	if closed != 0 && opened != 0 && closed < opened {
		c.refuse("closed", c.text("closed"), msgClosedFirst.With(), say.Message{})
	}
	open := job.Open{Job: name, Tag: c.text("tag"), Serial: c.text("serial"), Owner: c.text("owner"), Place: c.text("place"), Complaint: c.text("complaint")}
	model, cause, confirmed, currency, result := c.text("model"), c.text("cause"), c.yes("confirmed"), c.text("currency"), c.text("result")
	cost, priced := c.number("cost")
	last := closed
	if last == 0 {
		last = opened
	}
	stream := "job:" + name
	w.add(c, "job", stream, job.KindOpen, opened, "", open)
	if model != "" {
		w.add(c, "model", stream, job.KindSheet, opened, "", job.Text{Name: model})
	}
	if cause != "" {
		w.add(c, "cause", stream, job.KindCause, last, "", job.Cause{Cause: cause, Confirmed: confirmed})
	}
	if priced {
		w.add(c, "cost", stream, job.KindQuote, last, "", map[string]any{"total": cost, "currency": currency})
	}
	if closed != 0 {
		w.add(c, "closed", stream, job.KindClose, closed, "", job.Close{Result: result})
	}
}

func (w *planner) stock(c *cells) {
	item := c.needed("item")
	c.needed("count")
	count, _ := c.count("count")
	minimum, _ := c.count("minimum")
	b := ledger.StockItem{Item: item, Name: c.text("name"), Sheet: c.text("model"), Part: c.text("part"), Minimum: minimum, Currency: c.text("currency"), Place: c.text("place")}
	if v, ok := c.number("price"); ok {
		if v < 0 {
			c.refuse("price", c.text("price"), msgNegative.With(), say.Message{})
		}
		b.Price = &v
	}
	day := c.day("day")
	w.add(c, "item", w.o.Stock, ledger.KindStockItem, day, "", b)
	w.add(c, "count", w.o.Stock, ledger.KindStockCounted, day, "", ledger.StockMove{Item: item, Count: count})
}

// life reads a row of life data. Rows that say the same are not one: parts
// alike fail alike.
func (w *planner) life(c *cells) {
	c.needed("time")
	at, ok := c.number("time")
	if !ok {
		return
	}
	row := LifeRow{Observation: life.Failed(at), Mode: strings.Clone(c.text("mode")), Group: strings.Clone(c.text("group")), Part: strings.Clone(c.text("part")), Serial: strings.Clone(c.text("serial"))}
	high, interval := c.number("time high")
	switch {
	case interval:
		row.High = high
		if high < at {
			c.refuse("time high", c.text("time high"), msgHighBelow.With(), say.Message{})
		}
		if at < 0 || high <= 0 {
			c.refuse("time", c.text("time"), msgAgeAbove.With(), say.Message{})
		}
	case !(at > 0):
		c.refuse("time", c.text("time"), msgAgeAbove.With(), say.Message{})
	case !failedWord(c):
		row.Observation = life.Running(at)
	}
	if v, ok := c.number("entry"); ok {
		row.Entry = v
		if v < 0 || v >= at && v > 0 && !(interval && v <= at) {
			c.refuse("entry", c.text("entry"), msgEntryAfter.With(), say.Message{})
		}
	}
	if v, ok := c.number("count"); ok {
		row.Count = v
		if !(v > 0) {
			c.refuse("count", c.text("count"), msgNegative.With(), say.Message{})
		}
	}
	if len(c.problems) == 0 {
		w.plan.Lives = append(w.plan.Lives, row)
	}
}

func failedWord(c *cells) bool {
	switch text := strings.ToLower(c.text("status")); text {
	case "", "1", "f", "failed", "yes", "true":
		return true
	case "0", "s", "r", "running", "suspended", "censored", "no", "false":
		return false
	default:
		c.refuse("status", text, msgBadWord.With(), msgWordsAre.With(statusWords))
		return true
	}
}
