package fleet

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

// Reviews is the yearly review of a customer's pumps.
func Reviews() frame.Place {
	return frame.Place{
		Menu: wordReview.With(), Address: "/review", Needs: access.ReadPumps,
		Routes: []frame.Route{{Pattern: "GET /review", Handle: showReview}, {Pattern: "GET /review.pdf", Handle: giveReview}},
	}
}

var (
	wordReview     = say.Define("fleet.review", "A customer's year")
	wordReviewSay  = say.Define("fleet.review_say", "What was done in a year, why, what it cost and what is due next, for one customer. How long parts last rests on all pumps of the shop, and names none of other customers.")
	wordWhose      = say.Define("fleet.whose", "Whose pumps")
	wordYear       = say.Define("fleet.year", "Year")
	wordLook       = say.Define("fleet.look", "Look at it")
	wordReviewPDF  = say.Define("fleet.review_pdf", "As PDF, A4")
	wordOnLetter   = say.Define("fleet.review_letter", "on Letter")
	wordNoOwners   = say.Define("fleet.no_owners", "No pump with an owner was here yet.")
	msgNoOwner     = say.Define("fleet.no_owner", "no pump of this owner was here")
	msgChooseOwner = say.Define("fleet.choose_owner", "choose one of the list")
	msgNoYear      = say.Define("fleet.no_year", "this is no year that the shop has seen")
	msgYearsAre    = say.Define("fleet.years_are", "choose a year from {first} to {last}")
)

// review is the page.
type review struct {
	v           *frame.Visit
	past        *shop.Past
	owners      []string
	first, last int // years of the jobs
	owner       string
	year        int
	problem     *say.Problem
}

func newReview(v *frame.Visit) (*review, error) {
	past, err := v.Shop.Past(v.Context(), v.Visitor.Scope)
	if err != nil {
		return nil, err
	}
	r := &review{v: v, past: past, owner: v.URL.Query().Get("owner"), last: past.AsOf.Time().Year()}
	_, _, _, owners, _, _ := past.Fleet.Words()
	r.owners = slices.DeleteFunc(slices.Clone(owners), func(o string) bool { return o == "" })
	r.first = r.last
	for i := range past.Jobs {
		if at := past.Jobs[i].Opened; at != 0 {
			r.first = min(r.first, at.Time().Year())
		}
	}
	r.year = r.last
	typed := strings.TrimSpace(v.URL.Query().Get("year"))
	if typed != "" {
		r.year, err = strconv.Atoi(typed)
	}
	switch {
	case err != nil || r.year < r.first || r.year > r.last:
		r.problem = say.Refuse("year", typed, msgNoYear.With(), msgYearsAre.With(strconv.Itoa(r.first), strconv.Itoa(r.last)))
	case r.owner != "" && !slices.Contains(r.owners, r.owner):
		r.problem = say.Refuse("owner", r.owner, msgNoOwner.With(), msgChooseOwner.With())
	}
	return r, nil
}

func showReview(v *frame.Visit) error {
	r, err := newReview(v)
	if err != nil {
		return err
	}
	status := http.StatusOK
	if r.problem != nil {
		status = http.StatusUnprocessableEntity
	}
	return v.Show(frame.Page{Title: wordReview.With(), Plain: true, Status: status, Body: reviewBody(r)})
}

// years lists the years from the newest.
func (r *review) years() []string {
	var years []string
	for y := r.last; y >= r.first; y-- {
		years = append(years, strconv.Itoa(y))
	}
	return years
}

func (r *review) ready() bool { return r.problem == nil && r.owner != "" }

// report makes the document.
func (r *review) report(o report.Options) *document.Report {
	y := report.Year{Owner: r.owner, Year: r.year, Fleet: r.past.Fleet, AsOf: r.past.AsOf}
	if settings, err := r.v.Shop.Settings(r.v.Context(), r.v.Visitor.Scope); err == nil {
		y.Shop, _ = settings["name"].(string)
	}
	for _, m := range r.past.Machines {
		if last := m.Last(); last != nil && last.Owner == r.owner {
			y.Machines = append(y.Machines, m)
		}
	}
	y.Due = r.past.DueOf(y.Machines)
	return report.Yearly(y, o)
}

// html is the review as the page shows it.
func (r *review) html() string {
	return r.report(report.Options{Size: document.A4, Style: r.v.View.Style}).HTML(r.v.View.Style, document.HTMLOptions{})
}

// pdf is the address of the review as PDF.
func (r *review) pdf(size string) string {
	q := url.Values{"owner": {r.owner}, "year": {strconv.Itoa(r.year)}}
	if size != "" {
		q.Set("size", size)
	}
	return "/review.pdf?" + q.Encode()
}

func giveReview(v *frame.Visit) error {
	r, err := newReview(v)
	if err != nil {
		return err
	}
	if r.problem != nil {
		return r.problem
	}
	if r.owner == "" {
		return shop.ErrNotFound
	}
	o := report.Options{Size: document.A4, Style: v.View.Style}
	if v.URL.Query().Get("size") == "letter" {
		o.Size = document.Letter
	}
	var file bytes.Buffer
	if err := r.report(o).PDF(&file, o.Size, o.Style); err != nil {
		return errors.Join(errors.New("fleet: review"), err)
	}
	return v.GivePDF(fmt.Sprintf("review-%d", r.year), file.Bytes())
}
