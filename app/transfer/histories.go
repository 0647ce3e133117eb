package transfer

import (
	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// Past writes what history says as JSON: of machines with their jobs and what
// is due, of due dates alone, or of a fleet.
type Past struct {
	AsOf  record.Time
	Style say.Style
	// Faults of the files, and jobs that could not be used.
	Faults []FileFault
	Unused []say.Message
}

func (p *Past) head() Object {
	faults := []any{}
	for _, f := range p.Faults {
		faults = append(faults, Object{"file": f.File, "line": f.Line, "message": f.Message.Text(p.Style)})
	}
	return Object{"as_of": p.AsOf.Day(), "faults": faults, "unused": say.Texts(p.Unused, p.Style)}
}

// Machines writes machines with what is due of each.
func (p *Past) Machines(machines []*history.Machine, due func(*history.Machine) []history.Expected) Object {
	list := []any{}
	for _, m := range machines {
		jobs, runs, upgrades := []any{}, []any{}, []any{}
		for i := range m.Jobs {
			jobs = append(jobs, p.job(&m.Jobs[i]))
		}
		for _, v := range m.Intervals {
			one := Object{"from": v.From.Day(), "to": v.To.Day(), "ending": string(v.Ending), "basis": string(v.Basis)}
			if v.Basis != history.NoHours {
				one["hours"] = v.Hours
			}
			one.set("tag", v.Tag)
			runs = append(runs, one)
		}
		for _, u := range m.Upgrades() {
			upgrades = append(upgrades, Object{"job": u.Job, "text": u.What.Text(p.Style)})
		}
		list = append(list, Object{"serial": m.Serial, "jobs": jobs, "runs": runs, "upgrades": upgrades,
			"due": p.expected(due(m)), "troubles": say.Texts(m.Troubles, p.Style)})
	}
	doc := p.head()
	doc["machines"] = list
	return doc
}

func (p *Past) job(s *history.Summary) Object {
	worn := []string{}
	for _, f := range s.Parts {
		if f.Fate == history.Failed {
			worn = append(worn, f.Part)
		}
	}
	o := Object{"job": s.Job, "opened": s.Opened.Day(), "worn": worn, "invented": s.Invented}
	for name, text := range map[string]string{"tag": s.Tag, "owner": s.Owner, "place": s.Site, "model": s.Model, "liquid": s.Liquid, "complaint": s.Complaint, "result": s.Result} {
		o.set(name, text)
	}
	if s.Closed != 0 {
		o["closed"] = s.Closed.Day()
	}
	if cause, confirmed := s.Cause(); cause != "" {
		o["cause"], o["confirmed"] = cause, confirmed
	}
	if s.Cost.Parts != 0 {
		o["cost"], o["currency"] = s.Cost.Amount(), s.Cost.Currency
	}
	return o
}

// Due writes due dates.
func (p *Past) Due(list []history.Expected) Object {
	doc := p.head()
	doc["due"] = p.expected(list)
	return doc
}

func (p *Past) expected(list []history.Expected) []any {
	out := []any{}
	for i := range list {
		e := &list[i]
		f := e.Forecast
		o := Object{"serial": e.Serial, "feature": e.Track.Feature, "name": e.Track.Name, "basis": string(f.Basis), "rates": f.Parts, "past": f.Past}
		for name, text := range map[string]string{"tag": e.Tag, "place": e.Site, "owner": e.Owner, "model": e.Model, "liquid": e.Liquid, "unknown": f.Unwell.Text(p.Style)} {
			o.set(name, text)
		}
		for name, at := range map[string]record.Time{"day": e.Day(), "near": e.NearDay(), "far": e.FarDay()} {
			if at != 0 {
				o[name] = at.Day()
			}
		}
		for name, hours := range map[string]*float64{"hours": f.Hours.At, "hours_low": f.Hours.Low, "hours_high": f.Hours.High} {
			if hours != nil {
				o[name] = *hours
			}
		}
		for name, v := range map[string]*float64{"limit": e.Track.Limit, "now": f.Now} {
			if v != nil {
				o[name] = Object{"value": *v, "unit": e.Track.Dimension.SIUnit(), "text": quantity.Show(e.Track.Dimension, *v, p.Style)}
			}
		}
		o.set("notes", say.Texts(f.Said, p.Style))
		out = append(out, o)
	}
	return out
}

// Fleet writes the answer to one filter.
func (p *Past) Fleet(page *history.Page) Object {
	doc := p.head()
	doc["machines"], doc["jobs"], doc["came_back"], doc["hours"] = page.Machines, page.Jobs, page.Infants, page.Hours
	doc["cost"] = costs(page.Costs)
	for name, list := range map[string][]history.Count{"causes": page.Causes, "liquids": page.Liquids, "places": page.Sites, "models": page.Models} {
		counts := []any{}
		for _, c := range list {
			counts = append(counts, Object{"word": c.Word, "jobs": c.N, "came_back": c.Infant, "cost": costs(c.Costs)})
		}
		doc[name] = counts
	}
	parts := []any{}
	for _, c := range page.Parts {
		parts = append(parts, Object{"part": c.Part, "worn": c.Failed, "came_back": c.Infant, "renewed": c.Renewed, "running": c.Running, "hours": c.Hours,
			"worn_per_10000_h": c.FailuresPer10000Hours, "low": c.FailuresLow, "high": c.FailuresHigh})
	}
	doc["parts"] = parts
	for name, list := range map[string][]history.Actor{"worst": page.Worst, "dearest": page.Dearest} {
		actors := []any{}
		for _, a := range list {
			actors = append(actors, Object{"serial": a.Serial, "tag": a.Tag, "place": a.Site, "owner": a.Owner, "jobs": a.Jobs, "came_back": a.Infants,
				"years": a.Years, "jobs_a_year": a.JobsAYear, "cost": costs(a.Costs), "cost_a_year": costs(a.CostAYear)})
		}
		doc[name] = actors
	}
	if s := page.Survival; s != nil {
		doc["life"] = p.life(s)
	}
	doc["remarks"] = say.Texts(page.Remarks, p.Style)
	return doc
}

func costs(c history.Costs) Object {
	o := Object{}
	for currency, m := range c {
		o[currency] = m.Amount()
	}
	return o
}

// life writes how long a part lasts; the words say what it rests on.
func (p *Past) life(s *history.Survival) Object {
	o := Object{"part": s.Part, "worn": s.Failed, "running": s.Running, "came_back": s.Infant}
	bounds := func(name string, b life.Bounds) {
		if b.Low != nil {
			o[name+"_low"] = *b.Low
		}
		if b.High != nil {
			o[name+"_high"] = *b.High
		}
	}
	switch {
	case s.Fit != nil:
		o["distribution"], o["shape"], o["scale_hours"], o["b10_hours"] = "weibull", s.Fit.Shape, s.Fit.Scale, s.B10At
		bounds("b10", s.B10)
		bounds("shape", s.Shape)
	case s.Few != nil:
		o["distribution"], o["shape"], o["shape_assumed"], o["scale_hours"] = "weibull", s.Few.Beta, true, s.Few.Eta
	}
	o.set("not_fitted", s.Unfitted.Text(p.Style))
	return o
}
