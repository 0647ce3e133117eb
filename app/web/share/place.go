// Package share is the place where a job is shown to its customer: a lead or
// the office makes a link that opens the report of one job, until a day, and
// ends it when it is not wanted any more. Whoever holds the link reads that
// report and nothing else: the page leads nowhere.
package share

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Opens begins the address of a link.
const Opens = frame.Shared

// Place is the place of the links.
func Place() frame.Place {
	return frame.Place{Routes: []frame.Route{
		{Pattern: "GET /job/{job}/share", Handle: show},
		{Pattern: "POST /job/{job}/share", Handle: add},
		{Pattern: "POST /job/{job}/share/{link}/end", Handle: end},
		{Pattern: "GET " + Opens + "{token}", Handle: open, Open: true},
		{Pattern: "GET " + Opens + "{token}/report.pdf", Handle: givePDF, Open: true},
		{Pattern: "GET " + Opens + "{token}/photo/{hash}", Handle: givePhoto, Open: true},
	}}
}

var (
	wordShare   = say.Define("share.share", "Links for the customer")
	wordSay     = say.Define("share.say", "A link opens the report of this job, as it stands at that moment, without a sign-in. Whoever has the link can read it: send it only to whom it is for.")
	wordDays    = say.Define("share.days", "Days it holds")
	wordDaysSay = say.Define("share.days_say", "1 to 366")
	wordNoDays  = say.Define("share.no_days", "this is no number of days")
	wordWhole   = say.Define("share.whole_days", "write a whole number from 1 to 366")
	wordNote    = say.Define("share.note", "For whom (only the shop sees this)")
	wordMake    = say.Define("share.make", "Make a link")
	wordMade    = say.Define("share.made", "The link. It is shown only now: what the shop keeps does not give it back.")
	wordHolds   = say.Define("share.holds", "It holds until {until}.")
	wordHere    = say.Define("share.here", "This page was opened as {address}, so the link opens only on this machine. Open it under the name by which others reach the shop, or start the server with --name, and make the link there.")
	wordLinks   = say.Define("share.links", "Links that hold")
	wordNone    = say.Define("share.none", "There is none.")
	wordLink    = say.Define("share.link", "made {day} by {who}, holds until {until}")
	wordEnd     = say.Define("share.end", "End it")
	wordEndFull = say.Define("share.end_full", "End the link made {day} for {note}")
	wordNobody  = say.Define("share.no_note", "no note")
	wordEnded   = say.Define("share.ended", "Ended: it opens nothing any more.")
	wordPast    = say.Define("share.past", "Ended and run out ({n:count})")
	wordRevoked = say.Define("share.revoked", "ended {day}")
	wordRunOut  = say.Define("share.run_out", "ran out {day}")
	wordBack    = say.Define("share.back", "To the report")
	wordQuote   = say.Define("share.quote", "Quote")
	wordReport  = say.Define("share.report", "Rebuild report")
	wordPDF     = say.Define("share.pdf", "As PDF")
	wordClosed  = say.Define("share.closed", "Nothing opens here")
)

// usualDays is how long a link holds unless somebody says otherwise.
const usualDays = "30"

// page is the page of the links of a job.
type page struct {
	v     *frame.Visit
	job   *frame.Job
	links []shop.Link
	now   record.Time
	ended bool

	days, note string // as typed
	problem    *say.Problem

	address string // of the link that was just made
	made    shop.Link
	here    bool // it opens on this machine only
}

func (p *page) show(status int) error {
	var err error
	if p.links, err = p.v.Shop.Links(p.v.Context(), p.v.Visitor.Scope, p.v.PathValue("job")); err != nil {
		return err
	}
	if p.job, err = p.v.JobNamed(); err != nil {
		return err
	}
	p.now = record.TimeOf(time.Now())
	return p.v.Show(frame.Page{Title: wordShare.With(), Job: p.job, Here: "share", Status: status, Plain: true, Body: body(p)})
}

// some lists the links that hold, or those that do not.
func (p *page) some(hold bool) []shop.Link {
	var list []shop.Link
	for _, l := range p.links {
		if hold == (l.Revoked == 0 && p.now < l.Expires) {
			list = append(list, l)
		}
	}
	return list
}

func show(v *frame.Visit) error {
	p := &page{v: v, days: usualDays, ended: v.URL.Query().Has("ended")}
	return p.show(http.StatusOK)
}

func add(v *frame.Visit) error {
	p := &page{v: v, days: strings.TrimSpace(v.FormValue("days")), note: strings.TrimSpace(v.FormValue("note"))}
	if _, err := v.JobNamed(); err != nil { // a link that opens nothing is not made
		return err
	}
	days, err := strconv.ParseInt(p.days, 10, 16)
	var token string
	if err != nil {
		err = say.Refuse("days", p.days, wordNoDays.With(), wordWhole.With())
	} else {
		token, p.made, err = v.Shop.Share(v.Context(), v.Visitor.Scope, v.PathValue("job"), time.Duration(days)*24*time.Hour, p.note)
	}
	if p.problem = frame.Refusal(err); p.problem != nil {
		return p.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	home, here := v.Home()
	p.address, p.here = home+Opens+token, here
	p.days, p.note = usualDays, ""
	return p.show(http.StatusOK)
}

func end(v *frame.Visit) error {
	name, id := v.PathValue("job"), v.PathValue("link")
	links, err := v.Shop.Links(v.Context(), v.Visitor.Scope, name)
	if err != nil {
		return err
	}
	for _, l := range links {
		if l.ID != id {
			continue
		}
		if err := v.Shop.EndLink(v.Context(), v.Visitor.Scope, id); err != nil {
			return err
		}
		return v.Go("/job/" + url.PathEscape(name) + "/share?ended")
	}
	return shop.ErrNotFound
}

// sealed is a job that its link opened.
type sealed struct {
	scope shop.Scope
	job   *shop.Job
	at    string // address of the link
}

// unseal finds the job of a link.
func unseal(v *frame.Visit) (*sealed, error) {
	h := v.ResponseWriter.Header()
	h.Set("X-Robots-Tag", "noindex, nofollow, noarchive")
	h.Set("Referrer-Policy", "no-referrer") // the address is the key
	scope, name, err := v.Shop.OpenLink(v.Context(), v.PathValue("token"))
	if err != nil {
		return nil, err
	}
	j, err := v.Shop.Job(v.Context(), scope, name)
	if err == nil && j.Assessment == nil {
		err = j.NotAssessed
	}
	return &sealed{scope, j, Opens + v.PathValue("token")}, err
}

// options of the report: with the photos, as those who made them see it.
func (s *sealed) options(v *frame.Visit, paper bool) report.Options {
	return report.Options{Size: document.A4, Style: v.View.Style, Photo: func(blob string) *draw.Picture {
		return v.PictureAt(s.scope, s.job.Name, blob, s.at+"/photo/"+blob, paper)
	}}
}

// open shows the report to whoever holds the link.
func open(v *frame.Visit) error {
	s, err := unseal(v)
	if problem := say.AsProblem(err); problem != nil {
		return send(v, http.StatusNotFound, wordClosed.With(), closed(v, problem))
	}
	if err != nil {
		return err
	}
	quote, err := quoteOf(v, s.scope, s.job)
	if err != nil {
		return err
	}
	html := report.Build(s.job.Assessment, s.options(v, false)).HTML(v.View.Style, document.HTMLOptions{})
	return send(v, http.StatusOK, wordReport.With(), opened(v, s.at+"/report.pdf", quote, templ.Raw(html)))
}

// givePDF gives the report to keep.
func givePDF(v *frame.Visit) error {
	s, err := unseal(v)
	if problem := say.AsProblem(err); problem != nil {
		return send(v, http.StatusNotFound, wordClosed.With(), closed(v, problem))
	}
	if err != nil {
		return err
	}
	o := s.options(v, true)
	if v.URL.Query().Get("size") == "letter" {
		o.Size = document.Letter
	}
	file, err := report.PDF(s.job.Assessment, o)
	if err != nil {
		return err
	}
	return v.GivePDF(s.job.Name, file)
}

// givePhoto gives a photo that stands in the report, and no other file of the
// job.
func givePhoto(v *frame.Visit) error {
	s, err := unseal(v)
	if say.AsProblem(err) != nil {
		return shop.ErrNotFound
	}
	if err != nil {
		return err
	}
	hash := v.PathValue("hash")
	if !slices.ContainsFunc(s.job.State.Photos, func(k job.Kept[job.Photo]) bool { return k.Body.Blob == hash }) {
		return shop.ErrNotFound
	}
	f, err := v.Shop.File(v.Context(), s.scope, s.job.Name, hash, false)
	if err != nil {
		return err
	}
	defer f.Content.Close()
	return v.GivePhoto(f)
}

// quoteOf is the last quote of the job that waits for an answer or was
// accepted, to be read; empty when there is none.
func quoteOf(v *frame.Visit, scope shop.Scope, j *shop.Job) (string, error) {
	list, err := v.Shop.Quotes(v.Context(), scope, j.Name)
	if err != nil {
		return "", err
	}
	for i := len(list) - 1; i >= 0; i-- {
		if s := &list[i]; s.Status == job.QuoteOffered || s.Status == job.QuoteAccepted {
			tree := report.Quote(j.Assessment, s.Offer.Body, report.Options{Style: v.View.Style, Created: s.Offer.At})
			return tree.HTML(v.View.Style, document.HTMLOptions{ID: "quote"}), nil
		}
	}
	return "", nil
}

func send(v *frame.Visit, status int, title say.Message, inside templ.Component) error {
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	var text strings.Builder
	if err := sheet(v, title, inside).Render(v.Context(), &text); err != nil {
		return err
	}
	return frame.Send(v.ResponseWriter, v.Request, status, []byte(text.String()))
}

func (p *page) noteOf(l shop.Link) string {
	if l.Note != "" {
		return l.Note
	}
	return p.v.View.T(wordNobody.With())
}
