package transfer

import (
	"time"

	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/window"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// Object is one JSON object.
type Object map[string]any

// set puts a value under a name unless there is nothing to say.
func (o Object) set(name string, value any) {
	switch v := value.(type) {
	case nil:
		return
	case string:
		if v == "" {
			return
		}
	case Object:
		if len(v) == 0 {
			return
		}
	case []string:
		if len(v) == 0 {
			return
		}
	}
	o[name] = value
}

// Assessment returns what a job means as JSON. The names of the fields stay;
// a quantity is {value, unit, u, text} with the value in SI units.
func Assessment(a *assess.Assessment, faults []record.Fault, s say.Style, withWorking bool) Object {
	w := writer{s}
	doc := w.heading(a)
	doc["faults"] = w.faults(faults)
	w.progress(doc, a.Progress)
	doc["readings"] = append(w.readings(a.Readings.Found), w.readings(a.Readings.Left)...)
	doc["parts"] = w.parts(a)
	w.clearances(doc, a.Clearances)
	doc["assembly"] = w.assembly(a.Assembly)
	doc["delivery"] = w.delivery(a.Delivery())
	doc["bench_test"] = w.proof(a.Proof())
	doc["causes"] = w.cause(a.Cause())
	doc["offers"] = w.offer(a.Offer())
	doc["conflicts"] = w.conflicts(a.Conflicts)
	doc["troubles"] = w.troubles(a.Troubles)
	doc["warnings"] = say.Texts(a.Warnings, s)
	if withWorking {
		list := []any{}
		for _, n := range a.Workings() {
			list = append(list, calculator.WorkingDocument(n, s))
		}
		doc["working"] = list
	}
	return doc
}

// Causes returns why the pump of a job failed as JSON: the heading, the
// faults of the file and the same causes as in Assessment.
func Causes(a *assess.Assessment, faults []record.Fault, s say.Style) Object {
	w := writer{s}
	doc := w.heading(a)
	doc["faults"] = w.faults(faults)
	doc["causes"] = w.cause(a.Cause())
	return doc
}

// writer turns values into JSON in one style.
type writer struct{ style say.Style }

func (w writer) quantity(q quantity.Quantity) Object {
	return Object{"value": q.SI(), "unit": q.Dimension().SIUnit(), "text": q.Show(w.style)}
}

func (w writer) length(e quantity.Estimate[quantity.Length]) Object {
	return w.estimate(&reading.Estimate{Dimension: quantity.LengthDimension, Value: e.Value.SI(), U: e.U})
}

// estimate writes a number with its uncertainty, nil for none.
func (w writer) estimate(e *reading.Estimate) Object {
	if e == nil {
		return nil
	}
	doc := Object{"value": e.Value, "unit": e.Dimension.SIUnit(), "text": e.Show(w.style)}
	if e.U > 0 {
		doc["u"] = e.U
	} else {
		doc["text"] = quantity.Show(e.Dimension, e.Value, w.style)
	}
	doc.set("ref", e.Ref)
	return doc
}

func (w writer) entered(e *quantity.Entered) Object {
	if e == nil {
		return nil
	}
	return Object{"value": e.SI, "unit": e.Dimension.SIUnit(), "text": quantity.Show(e.Dimension, e.SI, w.style), "entered": e.Text}
}

func (w writer) text(m say.Message) string { return m.Text(w.style) }

func (w writer) heading(a *assess.Assessment) Object {
	doc := Object{"stream": a.Inputs.Job.Stream, "entries": a.Inputs.Job.Count, "head": a.Inputs.Job.Head, "as_of": a.Inputs.AsOf.UTC().Format(time.DateOnly)}
	if k := a.Inputs.Job.Open; k != nil {
		o := Object{"number": k.Body.Job}
		for name, text := range map[string]string{"tag": k.Body.Tag, "serial": k.Body.Serial, "owner": k.Body.Owner, "place": k.Body.Place, "complaint": k.Body.Complaint, "previous": k.Body.Previous} {
			o.set(name, text)
		}
		doc["job"] = o
	}
	if s := a.Inputs.Sheet; s != nil {
		doc["sheet"] = Object{"name": s.Name, "title": s.Title, "version": s.Version, "invented": s.Invented}
	}
	if s := a.Inputs.Service; s != nil {
		doc["service"] = Object{"name": s.Name, "version": s.Version}
	}
	return doc
}

func (w writer) faults(faults []record.Fault) []any {
	list := []any{}
	for _, f := range faults {
		list = append(list, Object{"line": f.Line, "entry": f.Seq, "message": w.text(f.Message)})
	}
	return list
}

func (w writer) progress(doc Object, c *progress.Chapter) {
	doc["stage"] = string(c.Stage)
	doc["steps_done"] = c.Done
	steps, holds, missing := []any{}, []any{}, []any{}
	for _, s := range c.Steps {
		steps = append(steps, w.step(s))
	}
	for _, s := range c.Holds {
		holds = append(holds, Object{"step": s.Step.ID, "title": w.text(s.Title), "for": s.Step.Hold.For, "who": s.Step.Hold.Who})
	}
	for _, m := range c.Missing {
		missing = append(missing, w.missing(m))
	}
	doc["steps"], doc["holds"], doc["missing"] = steps, holds, missing
	if c.Next != nil {
		doc["next"] = w.step(c.Next)
	}
}

func (w writer) step(s *progress.Step) Object {
	doc := Object{"id": s.Step.ID, "stage": string(s.Step.Stage), "stage_name": w.text(s.Step.Stage.Name()), "title": w.text(s.Title), "do": w.text(s.Do), "status": string(s.Status)}
	doc.set("cautions", say.Texts(s.Caution, w.style))
	doc.set("tools", s.Step.Tools)
	doc.set("photo", s.Step.Photo)
	doc.set("records", s.Step.Records)
	doc.set("reason", s.Reason)
	doc.set("by", s.Meta.By)
	if s.Step.Hold != nil {
		doc["hold"] = Object{"for": s.Step.Hold.For, "who": s.Step.Hold.Who}
	}
	var lost []string
	for _, l := range s.Lost {
		lost = append(lost, l.Step.ID)
	}
	doc.set("first", lost)
	return doc
}

func (w writer) missing(m progress.Missing) Object {
	return Object{"step": m.Step, "feature": m.Feature.ID, "name": m.Feature.Name, "state": m.State, "places": w.places(m.Places)}
}

func (w writer) places(places []reading.PlaceName) []any {
	list := []any{}
	for _, p := range places {
		o := Object{}
		o.set("plane", p.Plane)
		if p.Around {
			o["angle"] = p.Angle
		}
		list = append(list, o)
	}
	return list
}

func (w writer) readings(features []*reading.Feature) []any {
	list := []any{}
	for _, f := range features {
		if f.Survey == nil && f.State == job.AsLeft {
			continue
		}
		doc := Object{"feature": f.Feature.ID, "name": f.Feature.Name, "part": f.Feature.Part, "state": f.State, "word": string(f.Word), "blocked": f.Blocked, "missing": w.places(f.Missing)}
		doc.set("mean", w.estimate(f.Mean))
		doc.set("worst", w.estimate(f.Worst))
		if f.Goes != nil {
			doc["goes"] = w.quantity(*f.Goes)
		}
		if f.NoGo != nil {
			doc["no_go"] = w.quantity(*f.NoGo)
		}
		limits := []any{}
		for i := range f.Judged {
			limits = append(limits, w.judged(&f.Judged[i], f.Survey != nil))
		}
		doc["limits"] = limits
		doc["warnings"] = say.Texts(f.Warnings, w.style)
		list = append(list, doc)
	}
	return list
}

func (w writer) judged(j *reading.Judged, read bool) Object {
	doc := Object{"compare": j.Compare, "rank": j.Rank, "governing": j.Governing}
	doc.set("min", w.entered(j.Min))
	doc.set("max", w.entered(j.Max))
	doc.set("page", j.Page)
	doc.set("reason", j.Reason)
	if read && j.Decision.Verdict != "" {
		doc["number"] = w.estimate(&j.Number)
		doc["decision"] = string(j.Decision.Verdict)
		doc["probability_conforming"] = j.Decision.Probability
	}
	return doc
}

func (w writer) parts(a *assess.Assessment) []any {
	list := []any{}
	for _, d := range a.Parts.Decisions {
		doc := Object{"part": d.Part.ID, "name": d.Part.Name, "count": d.Part.Count, "decision": string(d.Verdict), "advice": string(d.Advice), "against_readings": d.Against, "reasons": say.Texts(d.Reasons, w.style)}
		if d.By != nil {
			doc["decided_by"] = d.By.By
		}
		list = append(list, doc)
	}
	return list
}

func (w writer) clearances(doc Object, c *clearance.Chapter) {
	end := Object{}
	if c.AsFound != nil {
		end.set("as_found", w.estimate(c.AsFound.Mean))
	}
	if c.AsLeft != nil {
		end.set("as_left", w.estimate(c.AsLeft.Mean))
	}
	if c.Bare.Known() {
		end["without_gaskets"] = w.length(c.Bare.Estimate)
	}
	lacks := []any{}
	for _, l := range c.Lacks {
		lacks = append(lacks, Object{"role": l.Role, "name": l.Name, "use": l.Use, "new_part": l.New})
	}
	end["lacks"] = lacks
	doc["end_clearance"] = end
	gaps := []any{}
	for _, l := range c.Gaps {
		gaps = append(gaps, w.gap(l, c.Hot != nil))
	}
	doc["clearances"] = gaps
	doc["window"] = w.window(c.Window)
	if c.Stack != nil {
		doc["gasket_stack"] = w.stack(c.Stack)
	}
	if c.Turn != nil && c.Turn.Turn != nil {
		doc["housing_turn"] = w.turn(c.Turn)
	}
	doc.set("no_advice", w.text(c.Unknown))
}

func (w writer) gap(l clearance.Line, hot bool) Object {
	doc := Object{"gap": l.Gap.String(), "contact": l.Contact}
	doc.set("cold", w.estimate(l.Cold))
	doc.set("steady", w.estimate(l.Steady))
	doc.set("worst", w.estimate(l.Worst))
	doc.set("unknown", w.text(l.Unknown))
	if !hot {
		return doc
	}
	if l.Change.Known() {
		doc["change_steady"] = w.quantity(l.Change.Length)
		doc["change_steady_low"] = w.quantity(l.Band.Low)
		doc["change_steady_high"] = w.quantity(l.Band.High)
	}
	if l.Closest.Known() {
		doc["change_worst"] = w.quantity(l.Closest.Length)
		doc["worst_after"] = w.quantity(l.Closest.Time)
	}
	return doc
}

func (w writer) window(v clearance.Window) Object {
	doc := Object{"known": v.Known, "reasons": say.Texts(v.Reasons, w.style)}
	doc.set("unknown", w.text(v.Unknown))
	if v.Viscosity != nil {
		doc["viscosity"] = w.quantity(*v.Viscosity)
	}
	if v.Minimum != nil {
		doc["minimum"] = w.quantity(*v.Minimum)
	}
	if v.Known {
		doc["low"], doc["high"] = w.quantity(v.Low), w.quantity(v.High)
		doc["rank"] = v.Rank
		doc.set("page", v.Page)
		doc.set("signed_by", v.SignedBy)
		if v.Target != nil {
			doc["target"] = w.quantity(*v.Target)
		}
	}
	doc.set("computed", w.computed(v.Computed))
	doc.set("not_computed", w.text(v.NoComputed))
	doc.set("row", w.row(v.Row))
	doc.set("row_at_highest_temperature", w.row(v.Hottest))
	between := []any{}
	for _, r := range v.Between {
		between = append(between, w.row(r))
	}
	doc["neighbouring_rows"] = between
	return doc
}

// computed is the window out of liquid, temperature and slip; the limits
// without a guard are those that the stack is chosen by.
func (w writer) computed(r *window.Result) Object {
	if r == nil {
		return nil
	}
	doc := Object{"possible": r.Possible, "needed_gap": w.quantity(r.Need), "reasons": say.Texts(r.Reasons, w.style)}
	for name, limit := range map[string]*window.Limit{"lower": r.Lower, "upper": r.Upper, "lower_unguarded": r.LowerUnguarded, "upper_unguarded": r.UpperUnguarded} {
		if limit != nil {
			doc[name] = w.quantity(limit.Value)
		}
	}
	if r.Target != nil {
		doc["target"] = w.quantity(*r.Target)
	}
	if r.RadialKnown {
		doc["radial_ok"] = r.RadialOK
	}
	return doc
}

func (w writer) row(r *sheet.WindowRow) Object {
	if r == nil {
		return nil
	}
	doc := Object{"low": w.quantity(r.Low.Value), "high": w.quantity(r.High.Value)}
	doc.set("page", r.Low.Page)
	if r.ViscosityFrom != nil {
		doc["viscosity_from"] = w.quantity(r.ViscosityFrom.Value)
	}
	if r.ViscosityTo != nil {
		doc["viscosity_to"] = w.quantity(r.ViscosityTo.Value)
	}
	if r.TemperatureFrom != nil {
		doc["temperature_from"] = w.quantity(r.TemperatureFrom.Value)
	}
	if r.TemperatureTo != nil {
		doc["temperature_to"] = w.quantity(r.TemperatureTo.Value)
	}
	return doc
}

func (w writer) stack(s *clearance.Stack) Object {
	doc := Object{"basis": string(s.Basis), "trials": s.Trials, "present_clearance": w.length(s.Belief)}
	doc.set("measured", w.estimate(s.Measured))
	if s.Landed != nil {
		doc["last_trial_in_window"] = *s.Landed
	}
	if s.Learned != nil {
		doc["learned_compression"] = Object{"extra": s.Learned.ExtraCompression, "u": s.Learned.ExtraCompressionU}
	}
	solution := s.Solution
	if solution == nil {
		return doc
	}
	doc["reachable"] = solution.Reachable
	if solution.Best != nil {
		for name, value := range w.oneStack(s.Kinds, solution.Best) {
			doc[name] = value
		}
	}
	if solution.Nearest != nil {
		doc["nearest"] = w.oneStack(s.Kinds, solution.Nearest)
		doc["misses"] = w.quantity(solution.Misses)
	}
	alternatives := []any{}
	for i := range solution.RunnersUp {
		alternatives = append(alternatives, w.oneStack(s.Kinds, &solution.RunnersUp[i]))
	}
	doc["alternatives"] = alternatives
	return doc
}

func (w writer) oneStack(kinds []gasket.Kind, s *gasket.Stack) Object {
	counts := Object{}
	for i, n := range s.Counts {
		if n > 0 {
			counts[kinds[i].Name] = n
		}
	}
	doc := Object{"stack": s.Order, "counts": counts, "expected_clearance": w.length(s.Clearance), "probability": s.Probability,
		"probability_below": s.ProbabilityBelow, "pieces": s.Pieces, "added": s.Added, "removed": s.Removed}
	if len(s.Pack) > 0 {
		doc["pack"] = s.Pack
	}
	return doc
}

func (w writer) turn(h *clearance.Housing) Object {
	t := h.Turn
	return Object{"present_clearance": w.length(h.From), "angle": w.quantity(t.Angle), "notches": t.Notches, "direction": w.text(t.Direction),
		"expected_clearance": w.length(t.Clearance), "probability": t.Probability, "probability_below": t.Below, "reachable": t.Reachable,
		"warnings": say.Texts(h.Warnings, w.style)}
}

func (w writer) conflicts(conflicts []job.Conflict) []any {
	list := []any{}
	for _, c := range conflicts {
		place := Object{"feature": c.Place.Feature, "state": c.Place.State}
		place.set("plane", c.Place.Plane)
		if c.Place.Around {
			place["angle"] = c.Place.Angle
		}
		list = append(list, Object{"place": place,
			"first":  Object{"entry": c.First.Seq, "by": c.First.By, "text": c.FirstText},
			"second": Object{"entry": c.Second.Seq, "by": c.Second.By, "text": c.SecondText}})
	}
	return list
}

func (w writer) troubles(troubles []job.Trouble) []any {
	list := []any{}
	for _, t := range troubles {
		list = append(list, Object{"entry": t.Seq, "kind": t.Kind, "message": w.text(t.Message)})
	}
	return list
}

// Open reports whether something of a job is missing or not decided yet: a
// step, a reading, a signature, a part to be measured, a clearance that no
// stack reaches, two values in conflict. A part on which there is nothing to
// measure is judged by eye, and the signature under the decisions covers it.
func Open(a *assess.Assessment) bool {
	if len(a.Progress.Missing)+len(a.Progress.Holds)+len(a.Conflicts) > 0 || !a.Clearances.Window.Known || a.Progress.Next != nil {
		return true
	}
	for _, d := range a.Parts.Decisions {
		if d.Verdict == part.MeasureAgain || d.Verdict == part.NotMeasured && len(d.Missing) > 0 {
			return true
		}
	}
	s := a.Clearances.Stack
	return s != nil && s.Solution != nil && !s.Solution.Reachable
}
