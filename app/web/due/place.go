// Package due is the list of what wears out next, on which day and between which
// bounds, and the calendar that carries it elsewhere.
package due

import (
	"bytes"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// Place is the list of due dates.
func Place() frame.Place {
	return frame.Place{
		Menu: wordDue.With(), Address: "/due", Needs: access.ReadPumps,
		Routes: []frame.Route{
			{Pattern: "GET /due", Handle: show},
			{Pattern: "GET /due/pumps-due.ics", Handle: download},
			{Pattern: "POST /due/calendar", Handle: share},
			{Pattern: "POST /due/calendar/{id}/end", Handle: end},
			{Pattern: "GET " + frame.Calendar + "{token}/pumps-due.ics", Handle: feed, Open: true},
		},
	}
}

var (
	wordDue      = say.Define("due.due", "When again")
	wordSay      = say.Define("due.say", "A part is expected to reach its limit on the day named, and nine times in ten between the two bounds. The maker's manual and the site's rules come first.")
	wordNone     = say.Define("due.none", "No day can be named yet: it takes readings as left and as found, and the running hours between them.")
	wordPast     = say.Define("due.past", "Limit passed when last read")
	wordSoon     = say.Define("due.soon", "Within three months")
	wordLater    = say.Define("due.later", "Later")
	wordBetween  = say.Define("due.between", "{near} to {far}")
	wordNow      = say.Define("due.now", "by now")
	wordBothNow  = say.Define("due.both_now", "both bounds have passed")
	wordUnknown  = say.Define("due.unknown", "not known")
	wordRests    = say.Define("due.rests", "rests on {basis}, {n:count|rate|rates} of wear")
	wordFirst    = say.Define("due.first", "the first of each pump")
	wordAll      = say.Define("due.all", "everything that wears")
	wordShow     = say.Define("due.show", "What is shown")
	wordCalendar = say.Define("due.calendar", "In a calendar")
	wordDownload = say.Define("due.download", "The calendar as a file")
	wordFeedSay  = say.Define("due.feed_say", "A calendar program that reads an address asks for it again by itself, and moves what has moved. Whoever has the address reads the due dates, and nothing else of the shop.")
	wordForWhom  = say.Define("due.for_whom", "For whom it is")
	wordDays     = say.Define("due.days", "Days it holds")
	wordMake     = say.Define("due.make", "Make an address")
	wordMade     = say.Define("due.made", "Put this address into the calendar program. It is shown this once.")
	wordHolds    = say.Define("due.holds", "{note}, until {day}")
	wordEnded    = say.Define("due.ended", "{note}, ended")
	wordEnd      = say.Define("due.end", "End it")
	wordNoName   = say.Define("due.no_name", "without a name")
	msgDays      = say.Define("due.whole_days", "write a whole number of days")
)

type list struct {
	v       *frame.Visit
	past    *shop.Past
	groups  []group
	all     bool
	address string // of a new calendar, once
	links   []shop.Link
	note    string
	days    string
	problem *say.Problem
}

type group struct {
	word say.Message
	rows []history.Expected
}

// soon is how far ahead a due date is looked at now.
const soon = 92 * 24 * time.Hour

// mostDue are shown on one page.
const mostDue = 200

func show(v *frame.Visit) error { return (&list{v: v, days: "365"}).show(http.StatusOK) }

func (l *list) show(status int) error {
	v := l.v
	past, err := v.Shop.Past(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	l.past, l.all = past, v.URL.Query().Get("show") == "all"
	until := record.TimeOf(past.AsOf.Time().Add(soon))
	groups := []group{{word: wordPast.With()}, {word: wordSoon.With()}, {word: wordLater.With()}}
	due := past.Due(!l.all)
	for _, e := range due[:min(len(due), mostDue)] {
		at := 2
		switch {
		case e.Forecast.Past:
			at = 0
		case e.Day() <= until:
			at = 1
		}
		groups[at].rows = append(groups[at].rows, e)
	}
	l.groups = groups
	if v.Visitor.May(access.Share) {
		if l.links, err = v.Shop.CalendarLinks(v.Context(), v.Visitor.Scope); err != nil {
			return err
		}
	}
	return v.Show(frame.Page{Title: wordDue.With(), Plain: true, Status: status, Body: body(l)})
}

// day words a day; one that has come already is no longer worth a date.
func (l *list) day(at record.Time) say.Shower {
	switch {
	case at == 0:
		return wordUnknown.With()
	case at <= l.past.AsOf:
		return wordNow.With()
	}
	return at.Day().Message()
}

// between words the two bounds.
func (l *list) between(e *history.Expected) say.Message {
	if far := e.FarDay(); far != 0 && far <= l.past.AsOf {
		return wordBothNow.With()
	}
	return wordBetween.With(l.day(e.NearDay()), l.day(e.FarDay()))
}

func noteOf(l shop.Link) say.Shower {
	if l.Note == "" {
		return wordNoName.With()
	}
	return say.Plain(l.Note)
}

func send(v *frame.Visit, past *shop.Past) error {
	var out bytes.Buffer
	if err := transfer.WriteCalendar(&out, past.Due(true), past.AsOf, v.View.Style); err != nil {
		return err
	}
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `attachment; filename="pumps-due.ics"`)
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Length", strconv.Itoa(out.Len()))
	_, err := v.ResponseWriter.Write(out.Bytes())
	return err
}

func download(v *frame.Visit) error {
	past, err := v.Shop.Past(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	return send(v, past)
}

// feed answers a calendar program that has the address and no sign-in.
func feed(v *frame.Visit) error {
	past, err := v.Shop.OpenCalendar(v.Context(), v.PathValue("token"))
	if err != nil {
		return err
	}
	return send(v, past)
}

func share(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	l := &list{v: v, note: v.PostForm.Get("note"), days: v.PostForm.Get("days")}
	days, err := strconv.Atoi(l.days)
	if err != nil {
		err = say.Refuse("days", l.days, msgDays.With(), say.Message{})
	}
	token := ""
	if err == nil {
		token, _, err = v.Shop.ShareCalendar(v.Context(), v.Visitor.Scope, time.Duration(min(days, 10000))*24*time.Hour, l.note)
	}
	if l.problem = frame.Refusal(err); l.problem != nil {
		return l.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	scheme := "http://"
	if v.Secure {
		scheme = "https://"
	}
	l.address = scheme + v.Host + frame.Calendar + url.PathEscape(token) + "/pumps-due.ics"
	l.note, l.days = "", "365"
	return l.show(http.StatusOK)
}

func end(v *frame.Visit) error {
	if err := v.Shop.EndLink(v.Context(), v.Visitor.Scope, v.PathValue("id")); err != nil {
		return err
	}
	return v.Go("/due")
}
