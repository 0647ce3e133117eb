// Package list is the way into the jobs: every open job by what it waits for,
// and a search over pumps, jobs, findings and notes.
package list

import (
	"net/url"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/procedure"
)

// Place is the list of jobs.
func Place() frame.Place {
	return frame.Place{
		Menu: wordShop.With(), Address: "/",
		Routes: []frame.Route{
			{Pattern: "GET /{$}", Handle: show},
			{Pattern: "GET /search", Handle: search},
		},
	}
}

var (
	wordShop    = say.Define("list.shop", "The shop")
	wordNone    = say.Define("list.none", "No job is open.")
	wordNext    = say.Define("list.next", "Next: {step:message}")
	wordReceive = say.Define("list.receive", "Receive a pump")
	wordSearch  = say.Define("list.search", "Find a pump, a job, a finding, a note")
	wordFind    = say.Define("list.find", "Find")
	wordNothing = say.Define("list.nothing", "Nothing begins with “{typed}”.")
	wordStands  = say.Define("list.stands", "{stage:message}, {done:count} of {steps:count} steps")
	wordDays    = say.Define("list.days", "for {days:count|day|days}")
	wordToday   = say.Define("list.today", "since today")
	wordLacks   = say.Define("list.lacks", "{n:count|reading|readings} missing")
	wordClash   = say.Define("list.conflicts", "{n:count|conflict|conflicts} to settle")
	wordAway    = say.Define("list.away", "Away: {what}")
)

func show(v *frame.Visit) error {
	groups, err := v.Shop.Jobs(v.Context(), v.Visitor.Scope, shop.JobQuery{})
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordShop.With(), Plain: true, Body: page(v, groups)})
}

func search(v *frame.Visit) error {
	typed := strings.TrimSpace(v.URL.Query().Get("q"))
	if typed == "" {
		return v.Go("/")
	}
	hits, err := v.Shop.Search(v.Context(), v.Visitor.Scope, typed)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordSearch.With(), Plain: true, Body: hitsPage(v, typed, hits)})
}

func address(name string) string { return "/job/" + url.PathEscape(name) }

// leadsTo is the page of what was found.
func leadsTo(h shop.Hit) string {
	switch h.Kind {
	case "sheet", "service", "liquid":
		return "/papers/" + h.Kind + "/" + url.PathEscape(h.Name)
	case "stock":
		return "/stock/item?item=" + url.QueryEscape(h.Ref)
	case "instrument":
		return "/instruments/" + url.PathEscape(h.Name)
	case "pump":
		return "/pump/" + url.PathEscape(h.Name)
	}
	if h.Ref != "" {
		return address(h.Name) + "/entries"
	}
	return address(h.Name)
}

// waited is for how many days a job has waited.
func waited(r shop.Row, now time.Time) say.Message {
	if days := int(now.Sub(r.Since.Time()).Hours() / 24); days > 0 {
		return wordDays.With(days)
	}
	return wordToday.With()
}

// behind reports whether a stage lies behind the one in which the job stands.
func behind(stage, here procedure.Stage) bool {
	for _, s := range procedure.Stages() {
		if s == here {
			return false
		}
		if s == stage {
			return true
		}
	}
	return false
}

func mayReceive(v *frame.Visit) bool { return v.Visitor.May(access.Receive) }

// restOf is what was found, without the name that stands before it.
func restOf(h shop.Hit) string {
	rest := h.Text
	for {
		cut, found := strings.CutPrefix(rest, nameOf(h))
		if !found || cut != "" && !strings.HasPrefix(cut, " ") {
			return rest
		}
		rest = strings.TrimPrefix(strings.TrimSpace(cut), "· ")
	}
}

// nameOf is what was found, by its name.
func nameOf(h shop.Hit) string {
	if h.Kind == "stock" {
		return h.Ref // the stock is one, its items are many
	}
	return h.Name
}
