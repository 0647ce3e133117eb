// Package fleet is the place where many pumps are asked at once: by model,
// liquid, site, owner and cause; which come in most often, which cost most, what
// fails, and how long a part lasts.
package fleet

import (
	"net/url"
	"sort"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
)

// Place is the fleet.
func Place() frame.Place {
	return frame.Place{
		Menu: wordFleet.With(), Address: "/fleet", Needs: access.ReadPumps,
		Routes: []frame.Route{{Pattern: "GET /fleet", Handle: show}},
	}
}

var (
	wordFleet    = say.Define("fleet.fleet", "The fleet")
	wordModel    = say.Define("fleet.model", "Model")
	wordLiquid   = say.Define("fleet.liquid", "Liquid")
	wordSite     = say.Define("fleet.site", "Site")
	wordOwner    = say.Define("fleet.owner", "Owner")
	wordCause    = say.Define("fleet.cause", "Cause")
	wordPart     = say.Define("fleet.part", "Part whose life is shown")
	wordThePart  = say.Define("fleet.the_part", "part")
	wordAny      = say.Define("fleet.any", "all")
	wordOften    = say.Define("fleet.often", "the one that fails most often")
	wordAsk      = say.Define("fleet.ask", "Show these")
	wordAll      = say.Define("fleet.all", "Show all")
	wordCounts   = say.Define("fleet.counts", "{machines:count|pump|pumps}, {jobs:count|rebuild|rebuilds}.")
	wordInfants  = say.Define("fleet.infants", "{n:count} of them came back within weeks: that counts against the rebuild, not as wear.")
	wordHours    = say.Define("fleet.hours", "{hours:number} h of running followed.")
	wordSpent    = say.Define("fleet.spent", "Cost: {sums:list}.")
	wordNothing  = say.Define("fleet.nothing", "No pump with a serial number fits this.")
	wordWorst    = say.Define("fleet.worst", "Come in most often")
	wordWorstSay = say.Define("fleet.worst_say", "In the order of what is sure: one rebuild in a short time says little yet.")
	wordDearest  = say.Define("fleet.dearest", "Cost most a year")
	wordCauses   = say.Define("fleet.causes", "Why they came in")
	wordParts    = say.Define("fleet.parts", "What fails")
	wordLife     = say.Define("fleet.life", "How long a part lasts")
	wordPump     = say.Define("fleet.pump", "pump")
	wordAt       = say.Define("fleet.at", "place")
	wordRebuilds = say.Define("fleet.rebuilds", "rebuilds")
	wordAYear    = say.Define("fleet.a_year", "a year")
	wordSoonBack = say.Define("fleet.soon_back", "back within weeks")
	wordCost     = say.Define("fleet.cost", "cost")
	wordCostYear = say.Define("fleet.cost_a_year", "cost a year")
	wordFailed   = say.Define("fleet.failed", "worn or damaged")
	wordRenewed  = say.Define("fleet.renewed", "renewed anyway")
	wordRuns     = say.Define("fleet.runs", "still run")
	wordRate     = say.Define("fleet.rate", "failures in 10,000 h")
	wordBounds   = say.Define("fleet.bounds", "{low:number} to {high:number}")
	wordRateIs   = say.Define("fleet.rate_is", "{rate:number}")
	wordNoCause  = say.Define("fleet.no_cause", "no cause written down")
	wordSetting  = say.Define("fleet.setting", "{part}: {failed:count} worn out, {running:count} that had not")
	wordTenth    = say.Define("fleet.tenth", "A tenth have worn out by {age:number} h.")
	wordTenthIn  = say.Define("fleet.tenth_in", "A tenth have worn out by {age:number} h (90 % bounds: {low:number} to {high:number} h).")
	wordShape    = say.Define("fleet.shape", "Shape {shape:number}: above 1 it wears out, below 1 it fails early.")
	wordNumber   = say.Define("fleet.number", "{n:number}")
)

// choice is one select of the filter.
type choice struct {
	name, chosen string
	word, none   say.Message
	words        []string
	title        func(string) string
}

type view struct {
	v       *frame.Visit
	past    *shop.Past
	page    *history.Page
	choices []choice
	life    string // the plot
}

func show(v *frame.Visit) error {
	past, err := v.Shop.Past(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	q := v.URL.Query()
	f := history.Filter{Model: q.Get("model"), Liquid: q.Get("liquid"), Site: q.Get("site"), Owner: q.Get("owner"), Cause: q.Get("cause"), Part: q.Get("part")}
	s := &view{v: v, past: past, page: past.Fleet.Page(f)}
	models, liquids, sites, owners, parts, causes := past.Fleet.Words()
	plain := func(word string) string { return word }
	s.choices = []choice{
		{"model", f.Model, wordModel.With(), wordAny.With(), models, plain},
		{"liquid", f.Liquid, wordLiquid.With(), wordAny.With(), liquids, plain},
		{"site", f.Site, wordSite.With(), wordAny.With(), sites, plain},
		{"owner", f.Owner, wordOwner.With(), wordAny.With(), owners, plain},
		{"cause", f.Cause, wordCause.With(), wordAny.With(), causes, report.CauseName},
		{"part", f.Part, wordPart.With(), wordOften.With(), parts, func(id string) string { return v.View.T(history.PartWords(id)) }},
	}
	s.plot()
	return v.Show(frame.Page{Title: wordFleet.With(), Plain: true, Body: body(s)})
}

// plot draws the life of the part that is asked about.
func (s *view) plot() {
	survival := s.page.Survival
	if survival == nil || survival.Failed == 0 {
		return // without a failure there is no curve, and the words below say so
	}
	name := history.PartWords(survival.Part)
	group := figure.LifeGroup{Name: name, Steps: survival.Steps}
	if survival.Fit != nil {
		model := survival.Fit.Model()
		group.Model = &model
	}
	life := figure.Life{Name: name, Setting: wordSetting.With(name, survival.Failed, survival.Running+survival.Infant), Groups: []figure.LifeGroup{group}}
	s.life = life.Draw(s.v.View.Style).SVG(draw.SVGOptions{ID: "life", Width: "100%"})
}

// tenth says by when a tenth have worn out.
func (s *view) tenth() []say.Message {
	v := s.page.Survival
	if v == nil {
		return nil
	}
	var list []say.Message
	switch {
	case v.B10At > 0 && v.B10.Low != nil && v.B10.High != nil:
		list = append(list, wordTenthIn.With(v.B10At, *v.B10.Low, *v.B10.High))
	case v.B10At > 0:
		list = append(list, wordTenth.With(v.B10At))
	}
	if v.Fit != nil {
		list = append(list, wordShape.With(v.Fit.Model().Shape))
	}
	if !v.Unfitted.IsZero() {
		list = append(list, v.Unfitted)
	}
	return list
}

// sums words costs by currency, in whole units.
func sums(c history.Costs) []string {
	var list []string
	for _, m := range c {
		list = append(list, m.Whole().String())
	}
	sort.Strings(list)
	return list
}

func sumText(c history.Costs) string { return strings.Join(sums(c), ", ") }

// asks reports whether anything is filtered.
func (s *view) asks() bool {
	for _, c := range s.choices {
		if c.chosen != "" {
			return true
		}
	}
	return false
}

// causeAddress is this page for one cause.
func (s *view) causeAddress(cause string) string {
	q := url.Values{}
	for _, c := range s.choices {
		if c.chosen != "" {
			q.Set(c.name, c.chosen)
		}
	}
	q.Set("cause", cause)
	return "/fleet?" + q.Encode()
}
