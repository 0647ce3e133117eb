package move

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/app/transfer"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// Bounds of what waits to be looked at.
const (
	mostFile    = 30 << 20
	mostSent    = mostFile + 1<<16 // with the rest of the form
	mostWaiting = 8
	waits       = 30 * time.Minute
)

// upload is a file that waits for its columns to be said.
type upload struct {
	site, person string
	name         string
	content      []byte
	at           time.Time

	mutex sync.Mutex
	task  *task // nil before it is taken in
}

// task is a table on its way in.
type task struct {
	all, done atomic.Int64
	ready     chan struct{} // closed at the end; outcome and err hold then
	outcome   transfer.Outcome
	err       error
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

// sent reads the file of a form.
func sent(v *frame.Visit, instead say.Message) (name string, content []byte, err error) {
	file, head, err := v.FormFile("file")
	if err != nil {
		if strings.Contains(err.Error(), "too large") {
			return "", nil, say.Refuse("file", "", msgTooBig.With(mostFile>>20), instead)
		}
		return "", nil, say.Refuse("file", "", msgNoFile.With(), say.Message{})
	}
	defer file.Close() // only read
	var all bytes.Buffer
	if _, err := all.ReadFrom(file); err != nil {
		return "", nil, err
	}
	return head.Filename, all.Bytes(), nil
}

// take keeps a file until it was looked at.
func (m *mover) take(v *frame.Visit) error {
	if _, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope); err != nil {
		return err
	}
	name, content, err := sent(v, msgSplit.With())
	if problem := frame.Refusal(err); problem != nil {
		return (&desk{v: v, problem: problem}).show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	id := frame.NewID()
	m.put(id, &upload{site: v.Visitor.Site, person: v.Visitor.Person, name: name, content: content, at: time.Now()})
	return v.Go("/tables/read/" + id + "?about=" + url.QueryEscape(v.FormValue("about")))
}

func (u *upload) rows(about transfer.Subject) (*transfer.Rows, func() error, error) {
	if !bytes.HasPrefix(u.content, []byte("PK")) { // a workbook is a ZIP file
		rows, err := transfer.OpenCSV(bytes.NewReader(u.content))
		return rows, func() error { return nil }, err
	}
	from, size, sheet := bytes.NewReader(u.content), int64(len(u.content)), ""
	if names, err := transfer.Sheets(from, size); err == nil {
		for _, name := range names {
			if strings.EqualFold(name, string(about)) {
				sheet = name
			}
		}
	}
	return transfer.OpenXLSX(from, size, sheet)
}

// table is a file as it was read.
type table struct {
	v        *frame.Visit
	upload   *upload
	subject  transfer.Subject
	columns  []string
	mapping  transfer.Mapping
	plan     *transfer.Plan // nil when it cannot be read
	unlikely []say.Message
	problem  *say.Problem
}

// read reads the whole file with the columns as the form says them, guessed
// where it says nothing.
func (m *mover) read(v *frame.Visit, fields url.Values) (t *table, err error) {
	in, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope)
	if err != nil {
		return nil, err
	}
	u, err := m.get(v)
	if err != nil {
		return nil, err
	}
	t = &table{v: v, upload: u, subject: transfer.Subject(fields.Get("about"))}
	rows, closeRows, err := u.rows(t.subject)
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
	t.plan, err = transfer.Import(t.subject, rows, transfer.ImportOptions{
		Mapping: t.mapping, By: v.Visitor.Person, Device: v.Visitor.Device, Check: in.Check(&t.unlikely),
	})
	if t.problem = say.AsProblem(err); t.problem != nil {
		return t, nil
	}
	return t, err
}

func (t *table) show(status int) error {
	return t.v.Show(frame.Page{Title: title(t.subject), Plain: true, Status: status, Body: tableBody(t)})
}

func (m *mover) look(v *frame.Visit) error {
	t, err := m.read(v, v.URL.Query())
	if err != nil {
		return err
	}
	return t.show(http.StatusOK)
}

// soon is how long an answer waits for a table before it shows how far it is.
const soon = 700 * time.Millisecond

// keep takes all of it in, or nothing.
func (m *mover) keep(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	t, err := m.read(v, v.PostForm)
	if err != nil {
		return err
	}
	if t.plan != nil && len(t.unlikely) > 0 && v.PostForm.Get("confirmed") == "" {
		t.problem = say.Refuse("", "", msgUnlikely.With(), msgTick.With())
	}
	if t.plan == nil || t.plan.Wrong > 0 || t.problem != nil {
		return t.show(http.StatusUnprocessableEntity)
	}
	into, err := v.Shop.Exchange(context.WithoutCancel(v.Context()), v.Visitor.Scope) // a reload must not end it
	if err != nil {
		return err
	}
	started := t.upload.start(func(k *task) (transfer.Outcome, error) {
		k.all.Store(int64(len(t.plan.Entries)))
		return t.plan.Into(into.Told(func(n int) { k.done.Store(int64(n)) }))
	})
	select {
	case <-started.ready:
		if t.problem = frame.Refusal(started.err); t.problem != nil {
			t.upload.again()
			return t.show(http.StatusUnprocessableEntity)
		}
	case <-time.After(soon):
	}
	return v.Go("/tables/taking/" + url.PathEscape(v.PathValue("id")))
}

// start takes the file in, once: pressed twice, it is the same task.
func (u *upload) start(run func(*task) (transfer.Outcome, error)) *task {
	u.mutex.Lock()
	defer u.mutex.Unlock()
	if u.task == nil {
		k := &task{ready: make(chan struct{})}
		u.task = k
		go func() {
			defer close(k.ready)
			k.outcome, k.err = run(k)
		}()
	}
	return u.task
}

// again lets a file that was refused be tried with other columns.
func (u *upload) again() {
	u.mutex.Lock()
	defer u.mutex.Unlock()
	u.task = nil
}

// taking shows how far a table is, and leads back at its end.
func (m *mover) taking(v *frame.Visit) error {
	u, err := m.get(v)
	if err != nil {
		return err
	}
	u.mutex.Lock()
	k := u.task
	u.mutex.Unlock()
	if k == nil {
		return say.Refuse("", "", msgGone.With(), msgAnew.With())
	}
	select {
	case <-k.ready:
		if problem := frame.Refusal(k.err); problem != nil {
			u.again()
			return v.Show(frame.Page{Title: wordTaking.With(), Plain: true, Status: http.StatusUnprocessableEntity, Body: refusedBody(v, problem)})
		}
		if k.err != nil {
			return k.err
		}
		return v.Go(fmt.Sprintf("/tables?kept=%d&known=%d", k.outcome.Taken, k.outcome.Known))
	default:
	}
	v.ResponseWriter.Header().Set("Refresh", "1")
	return v.Show(frame.Page{Title: wordTaking.With(), Plain: true, Body: takingBody(v, int(k.done.Load()), int(k.all.Load()))})
}

// Rows and faults that are shown.
const (
	mostShown  = 12
	mostFaults = 50
)

// first gives the first entries that the table makes.
func (t *table) first() []record.Entry {
	return t.plan.Entries[:min(mostShown, len(t.plan.Entries))]
}

// survival is the life of the rows of a table.
func (t *table) survival() *history.Survival {
	s := &history.Survival{Part: t.upload.name}
	for i := range t.plan.Lives {
		o := t.plan.Lives[i].Observation
		s.Rows = append(s.Rows, o)
		if !math.IsInf(o.High, 1) {
			s.Failed++
		} else {
			s.Running++
		}
	}
	s.Fitting()
	return s
}

// lifeFigure is the picture of a life, "" without one.
func lifeFigure(v *frame.Visit, s *history.Survival) string {
	if len(s.Steps) == 0 {
		return ""
	}
	name := say.Plain(s.Part)
	group := figure.LifeGroup{Name: name, Steps: s.Steps}
	if s.Fit != nil {
		model := s.Fit.Model()
		group.Model = &model
	}
	life := figure.Life{Name: name, Groups: []figure.LifeGroup{group}}
	return life.Draw(v.View.Style).SVG(draw.SVGOptions{ID: "life", Width: "100%"})
}

// tenth says by when a tenth have failed, and what the fit is.
func tenth(s *history.Survival) say.Message {
	bound := func(b *float64) say.Shower {
		if b == nil {
			return wordNoBound.With()
		}
		return wordNumber.With(*b)
	}
	m := s.Fit.Model()
	return wordTenth.With(s.B10At, bound(s.B10.Low), bound(s.B10.High), m.Shape, m.Scale)
}

var wordNumber = say.Define("move.number", "{n:number}")
