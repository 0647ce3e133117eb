// Package life is the life of a pump: its machine and its place, each rebuild as
// a mark on one time line, each feature's readings with the limit and the band
// to the due date, and the running-hour meter.
package life

import (
	"bytes"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
)

// Place is the pumps of the shop.
func Place() frame.Place {
	return frame.Place{
		Menu: wordPumps.With(), Address: "/pumps", Needs: access.ReadPumps,
		Routes: []frame.Route{
			{Pattern: "GET /pumps", Handle: list},
			{Pattern: "GET /pump/{name}", Handle: show},
			{Pattern: "GET /pump/{name}/history.pdf", Handle: givePDF},
			{Pattern: "POST /pump/{name}/meter", Handle: meter},
		},
	}
}

var (
	wordPumps   = say.Define("life.pumps", "Pumps")
	wordNone    = say.Define("life.none", "No pump was here yet.")
	wordMore    = say.Define("life.more", "More pumps")
	wordFirst   = say.Define("life.first", "From the first")
	wordSeek    = say.Define("life.seek", "A pump is found sooner by its serial number, tag or owner: type a few letters on the page of the shop.")
	wordJobs    = say.Define("life.jobs", "{n:count|rebuild|rebuilds}, the last {day}")
	wordNoJobs  = say.Define("life.no_jobs", "no rebuild yet")
	wordPDF     = say.Define("life.pdf", "The history as PDF")
	wordLetter  = say.Define("life.pdf_letter", "on Letter")
	wordPlace   = say.Define("life.place", "Other machines at this place")
	wordItsJobs = say.Define("life.its_jobs", "Its jobs")
	wordJob     = say.Define("life.job", "{job}, {day}, {complaint}")
	wordMeter   = say.Define("life.meter", "Running-hour meter")
	wordShown   = say.Define("life.shown", "It showed {hours:number} h on {day}.")
	wordNever   = say.Define("life.never_read", "It was never read here. Until it is, the hours a year of the service count.")
	wordHours   = say.Define("life.hours", "Hours it shows")
	wordOn      = say.Define("life.on", "Read on")
	wordOnSay   = say.Define("life.on_say", "Today when empty; a day such as 2026-09-30.")
	wordReset   = say.Define("life.reset", "The meter was exchanged or set back")
	wordWas     = say.Define("life.was", "The old one showed last")
	wordNow     = say.Define("life.now", "The new one began at")
	wordWhy     = say.Define("life.why", "Why")
	wordKeep    = say.Define("life.keep", "Keep it")
	wordKept    = say.Define("life.kept", "Kept.")
	wordNothing = say.Define("life.nothing", "It has no job with a serial number yet, so nothing can be followed.")
	msgHours    = say.Define("life.a_number", "write the hours as a number from 0 on")
)

// mostPumps stand on one page of the list.
const mostPumps = 100

func list(v *frame.Visit) error {
	after := v.URL.Query().Get("after")
	rows, err := v.Shop.Pumps(v.Context(), v.Visitor.Scope, after, mostPumps+1)
	if err != nil {
		return err
	}
	more := ""
	if len(rows) > mostPumps {
		rows = rows[:mostPumps]
		more = "/pumps?after=" + url.QueryEscape(rows[mostPumps-1].Name)
	}
	return v.Show(frame.Page{Title: wordPumps.With(), Plain: true, Body: listBody(v, rows, after != "", more)})
}

func address(name string) string { return "/pump/" + url.PathEscape(name) }

// sheet is one pump on its page.
type sheet struct {
	v        *frame.Visit
	pump     shop.Pump
	machine  []shop.Row
	place    []shop.Row
	past     *shop.Past
	m        *history.Machine // nil: nothing to follow
	expected []history.Expected
	problems []say.Message
	kept     bool
	typed    url.Values
	problem  *say.Problem
}

func load(v *frame.Visit) (*sheet, error) {
	s := &sheet{v: v, kept: v.URL.Query().Has("kept"), typed: url.Values{}}
	var err error
	if s.pump, s.machine, s.place, err = v.Shop.Pump(v.Context(), v.Visitor.Scope, v.PathValue("name")); err != nil {
		return nil, err
	}
	if s.past, err = v.Shop.Past(v.Context(), v.Visitor.Scope); err != nil {
		return nil, err
	}
	if s.m = s.past.Machine(s.pump.Name); s.m != nil {
		s.expected, s.problems = s.past.Forecasts(s.m)
	}
	return s, nil
}

func (s *sheet) title() string {
	title := s.pump.Serial
	if title == "" {
		title = s.pump.Name
	}
	if s.pump.Tag != "" && s.pump.Tag != title {
		title += ", " + s.pump.Tag
	}
	return title
}

func (s *sheet) show(status int) error {
	return s.v.Show(frame.Page{Title: say.Plain(s.title()), Plain: true, Status: status, Body: body(s)})
}

func show(v *frame.Visit) error {
	s, err := load(v)
	if err != nil {
		return err
	}
	return s.show(http.StatusOK)
}

func (s *sheet) report(o report.Options) *document.Report {
	return report.History(s.m, s.expected, s.past.AsOf, o)
}

// html is the history as the report tells it.
func (s *sheet) html() string {
	return s.report(report.Options{Size: document.A4, Style: s.v.View.Style}).HTML(s.v.View.Style, document.HTMLOptions{})
}

// meterPoint is the last reading of the meter, nil without one.
func (s *sheet) meterPoint() *history.MeterPoint {
	for _, p := range s.past.Pumps {
		if n := len(p.Meter.Points); n > 0 && (p.Serial == s.pump.Serial || p.Serial == s.pump.Name) {
			return &p.Meter.Points[n-1]
		}
	}
	return nil
}

func givePDF(v *frame.Visit) error {
	s, err := load(v)
	if err != nil {
		return err
	}
	if s.m == nil {
		return shop.ErrNotFound
	}
	o := report.Options{Size: document.A4, Style: v.View.Style}
	if v.URL.Query().Get("size") == "letter" {
		o.Size = document.Letter
	}
	var file bytes.Buffer
	if err := s.report(o).PDF(&file, o.Size, o.Style); err != nil {
		return err
	}
	return v.GivePDF("history-"+s.past.NameOf(s.pump.Name), file.Bytes())
}

// meter writes what the running-hour meter showed, or that it was exchanged.
func meter(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	get := func(name string) string { return strings.TrimSpace(v.PostForm.Get(name)) }
	var err error
	hours := func(name string) float64 {
		h, fault := strconv.ParseFloat(strings.Replace(get(name), ",", ".", 1), 64)
		if (fault != nil || !(h >= 0 && h < 1e7)) && err == nil {
			err = say.Refuse(name, get(name), msgHours.With(), say.Message{})
		}
		return h
	}
	var at time.Time
	if on := get("on"); on != "" {
		if day, fault := time.Parse(time.DateOnly, on); fault != nil {
			err = say.Refuse("on", on, wordOnSay.With(), say.Message{})
		} else {
			at = day
		}
	}
	var kind string
	var body any
	if get("kind") == history.KindMeterReset {
		kind, body = history.KindMeterReset, history.MeterReset{Was: hours("was"), Now: hours("now"), On: get("on"), Reason: get("reason")}
	} else {
		kind, body = history.KindMeter, history.MeterReading{Hours: hours("hours"), On: get("on")}
	}
	if err == nil {
		err = v.Shop.WriteMeter(v.Context(), v.Visitor.Scope, shop.NewFact{ID: get("id"), At: at}, v.PathValue("name"), kind, body)
	}
	if problem := frame.Refusal(err); problem != nil {
		s, err := load(v)
		if err != nil {
			return err
		}
		s.problem, s.typed = problem, v.PostForm
		return s.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go(address(v.PathValue("name")) + "?kept")
}
