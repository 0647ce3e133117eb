// Package move takes tables in and gives everything out: CSV or a workbook, the
// columns said by hand where their names do not fit, everything looked at before
// anything is kept; tables, and the whole shop as one file.
package move

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Place is where tables come in and go out.
func Place() frame.Place {
	m := &mover{kept: map[string]*upload{}}
	return frame.Place{
		Menu: wordMove.With(), Address: "/tables", Needs: access.Exchange,
		Routes: []frame.Route{
			{Pattern: "GET /tables", Handle: show},
			{Pattern: "POST /tables/upload", Handle: m.take},
			{Pattern: "GET /tables/read/{id}", Handle: m.look},
			{Pattern: "POST /tables/read/{id}", Handle: m.keep},
			{Pattern: "GET /tables/out/{file}", Handle: out},
			{Pattern: "GET /tables/archive.zip", Handle: archive},
		},
	}
}

var (
	wordMove     = say.Define("move.move", "Tables in and out")
	wordIn       = say.Define("move.in", "Take a table in")
	wordWhat     = say.Define("move.what", "What it is about")
	wordFile     = say.Define("move.file", "File: CSV or a workbook (XLSX), its first row the names of the columns")
	wordRead     = say.Define("move.read", "Look at it")
	wordSay      = say.Define("move.say", "Nothing is kept before you have seen what it means. Then all of it is, or nothing; the same table taken in again changes nothing twice.")
	wordOut      = say.Define("move.out", "Give out")
	wordCSV      = say.Define("move.csv", "{table} as CSV")
	wordBook     = say.Define("move.book", "{table} as a workbook")
	wordArchive  = say.Define("move.archive", "The whole shop as one file")
	wordArchSay  = say.Define("move.archive_say", "Every entry, photo and paper, checked when it is put back with pumpwright unpack. It holds no people and nothing to sign in with.")
	wordColumns  = say.Define("move.columns", "Which column is which")
	wordNone     = say.Define("move.none", "none")
	wordNeeded   = say.Define("move.needed", "{name} (needed)")
	wordAgain    = say.Define("move.again", "Read it again")
	wordFound    = say.Define("move.found", "{rows:count|row|rows} of {file}: {entries:count|entry|entries} to keep.")
	wordTwice    = say.Define("move.twice", "{n:count|row says|rows say} what a row before said: kept once.")
	wordUnused   = say.Define("move.unused", "Not used: {names:list}.")
	wordWrong    = say.Define("move.wrong", "{n:count|cell is|cells are} wrong. Nothing can be kept until the file is put right.")
	wordLine     = say.Define("move.line", "line {line:count}, {column}: {what}")
	wordMore     = say.Define("move.more", "and {n:count} more")
	wordFirst    = say.Define("move.first", "What it says")
	wordKeep     = say.Define("move.keep", "Keep all of it")
	wordTaken    = say.Define("move.taken", "Kept {n:count|entry|entries}; {known:count} were here already.")
	wordBack     = say.Define("move.back", "to the tables")
	wordSideways = say.Define("move.sideways", "The first rows as they were read")

	msgNoFile = say.Define("move.no_file", "no file was chosen")
	msgTooBig = say.Define("move.too_big", "the file is larger than {most:count} MB")
	msgSplit  = say.Define("move.split", "split it")
	msgGone   = say.Define("move.gone", "the file is no longer here: it is kept for half an hour, and for whoever sent it")
	msgAnew   = say.Define("move.anew", "choose it again")
)

// what can be taken in. Lives of parts come from jobs, and only go out.
var subjects = []transfer.Subject{transfer.Pumps, transfer.Jobs, transfer.Readings, transfer.Stock}

// Bounds of what waits to be looked at.
const (
	mostBytes   = 24 << 20
	mostWaiting = 8
	waits       = 30 * time.Minute
)

// upload is a file that waits for its columns to be said.
type upload struct {
	site, person string
	name         string
	content      []byte
	at           time.Time
}

// mover holds the files that wait, in memory: what is not kept is gone.
type mover struct {
	mutex sync.Mutex
	kept  map[string]*upload
}

func (m *mover) put(id string, u *upload) {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.kept[id] = u
	for len(m.kept) > mostWaiting {
		oldest := ""
		for id, one := range m.kept {
			if oldest == "" || one.at.Before(m.kept[oldest].at) {
				oldest = id
			}
		}
		delete(m.kept, oldest)
	}
}

func (m *mover) get(v *frame.Visit) (*upload, error) {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	u := m.kept[v.PathValue("id")]
	if u == nil || u.site != v.Visitor.Site || u.person != v.Visitor.Person || time.Since(u.at) > waits {
		return nil, say.Refuse("", "", msgGone.With(), msgAnew.With())
	}
	return u, nil
}

type desk struct {
	v       *frame.Visit
	problem *say.Problem
	taken   bool
	n, was  int
}

func show(v *frame.Visit) error {
	if !v.Visitor.May(access.Exchange) {
		_, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope) // says who may
		return err
	}
	q := v.URL.Query()
	d := &desk{v: v, taken: q.Has("kept")}
	d.n, _ = strconv.Atoi(q.Get("kept"))
	d.was, _ = strconv.Atoi(q.Get("known"))
	return d.show(http.StatusOK)
}

func (d *desk) show(status int) error {
	return d.v.Show(frame.Page{Title: wordMove.With(), Plain: true, Status: status, Body: deskBody(d)})
}

func (m *mover) take(v *frame.Visit) error {
	if _, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope); err != nil {
		return err
	}
	refuse := func(err error) error {
		return (&desk{v: v, problem: say.AsProblem(err)}).show(http.StatusUnprocessableEntity)
	}
	file, head, err := v.FormFile("file")
	if err != nil {
		if strings.Contains(err.Error(), "too large") {
			return refuse(say.Refuse("file", "", msgTooBig.With(mostBytes>>20), msgSplit.With()))
		}
		return refuse(say.Refuse("file", "", msgNoFile.With(), say.Message{}))
	}
	defer file.Close()
	var content bytes.Buffer
	if _, err := content.ReadFrom(file); err != nil {
		return err
	}
	id := frame.NewID()
	m.put(id, &upload{site: v.Visitor.Site, person: v.Visitor.Person, name: head.Filename, content: content.Bytes(), at: time.Now()})
	return v.Go("/tables/read/" + id + "?about=" + url.QueryEscape(v.FormValue("about")))
}

func (u *upload) rows() (*transfer.Rows, func() error, error) {
	if bytes.HasPrefix(u.content, []byte("PK")) { // a workbook is a ZIP file
		return transfer.OpenXLSX(bytes.NewReader(u.content), int64(len(u.content)), "")
	}
	rows, err := transfer.OpenCSV(bytes.NewReader(u.content))
	return rows, func() error { return nil }, err
}

// table is a file as it was read.
type table struct {
	v       *frame.Visit
	upload  *upload
	subject transfer.Subject
	columns []string
	mapping transfer.Mapping
	plan    *transfer.Plan // nil when it cannot be read
	problem *say.Problem
}

// read reads the whole file with the columns as the form says them, guessed
// where it says nothing.
func (m *mover) read(v *frame.Visit, fields url.Values) (t *table, err error) {
	if _, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope); err != nil {
		return nil, err
	}
	u, err := m.get(v)
	if err != nil {
		return nil, err
	}
	t = &table{v: v, upload: u, subject: transfer.Subject(fields.Get("about"))}
	rows, closeRows, err := u.rows()
	if t.problem = say.AsProblem(err); t.problem != nil {
		return t, nil
	}
	if err != nil {
		return nil, err
	}
	defer func() {
		if fault := closeRows(); err == nil {
			err = fault
		}
	}()
	t.columns = rows.Columns
	t.mapping = transfer.Guess(t.subject, rows.Columns)
	if fields.Has("said") {
		for _, c := range transfer.Columns(t.subject) {
			t.mapping[c.Name] = fields.Get("column " + c.Name)
		}
	}
	t.plan, err = transfer.Import(t.subject, rows, transfer.ImportOptions{Mapping: t.mapping, By: v.Visitor.Person, Device: v.Visitor.Device})
	if t.problem = say.AsProblem(err); t.problem != nil {
		return t, nil
	}
	return t, err
}

func (t *table) show(status int) error {
	return t.v.Show(frame.Page{Title: wordMove.With(), Plain: true, Status: status, Body: tableBody(t)})
}

func (m *mover) look(v *frame.Visit) error {
	t, err := m.read(v, v.URL.Query())
	if err != nil {
		return err
	}
	return t.show(http.StatusOK)
}

// keep takes all of it in, or nothing.
func (m *mover) keep(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	t, err := m.read(v, v.PostForm)
	if err != nil {
		return err
	}
	if t.plan == nil || t.plan.Wrong > 0 {
		return t.show(http.StatusUnprocessableEntity)
	}
	into, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	o, err := t.plan.Into(into)
	if t.problem = frame.Refusal(err); t.problem != nil {
		return t.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go(fmt.Sprintf("/tables?kept=%d&known=%d", o.Taken, o.Known))
}

// mostShown rows and faults are shown.
const (
	mostShown  = 12
	mostFaults = 50
)

// first gives the first entries that the table makes, in words.
func (t *table) first() []record.Entry {
	return t.plan.Entries[:min(mostShown, len(t.plan.Entries))]
}

// tableOf makes a table to give out.
func tableOf(v *frame.Visit, subject transfer.Subject) (*transfer.Table, error) {
	past, err := v.Shop.Past(v.Context(), v.Visitor.Scope)
	if err != nil {
		return nil, err
	}
	switch subject {
	case transfer.Pumps:
		return transfer.PumpTable(past.Pumps), nil
	case transfer.Jobs:
		return transfer.JobTable(past.Jobs), nil
	case transfer.Lives:
		return transfer.LifeTable(past.Fleet.PartLives(history.Filter{})), nil
	case transfer.Stock:
		stock, err := v.Shop.Stock(v.Context(), v.Visitor.Scope)
		if err != nil {
			return nil, err
		}
		return transfer.StockTable(stock), nil
	case transfer.Readings:
		states := make([]*job.State, 0, len(past.Jobs))
		for i := range past.Jobs {
			j, err := v.Shop.Job(v.Context(), v.Visitor.Scope, past.Jobs[i].Job)
			if err != nil {
				return nil, err
			}
			states = append(states, j.State)
		}
		return transfer.ReadingTable(states), nil
	}
	return nil, shop.ErrNotFound
}

func out(v *frame.Visit) error {
	if _, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope); err != nil {
		return err
	}
	name, ending, _ := strings.Cut(v.PathValue("file"), ".")
	t, err := tableOf(v, transfer.Subject(name))
	if err != nil {
		return err
	}
	var file bytes.Buffer
	media := "text/csv; charset=utf-8"
	switch ending {
	case "csv":
		err = t.WriteCSV(&file)
	case "xlsx":
		media = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
		err = transfer.WriteXLSX(&file, t)
	default:
		return shop.ErrNotFound
	}
	if err != nil {
		return err
	}
	return send(v, media, name+"."+ending, file.Bytes())
}

func send(v *frame.Visit, media, name string, content []byte) error {
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", media)
	h.Set("Content-Length", strconv.Itoa(len(content)))
	h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	h.Set("Cache-Control", "no-store")
	_, err := v.ResponseWriter.Write(content)
	return err
}

// archive gives the whole shop out.
func archive(v *frame.Visit) error {
	from, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	var file bytes.Buffer
	if _, err := transfer.WriteArchive(&file, from, "", record.TimeOf(time.Now())); err != nil {
		return err
	}
	return send(v, "application/zip", "shop.zip", file.Bytes())
}
