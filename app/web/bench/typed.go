package bench

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/url"

	"github.com/a-h/templ"

	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// typing is what stands in a form while it is being filled in.
type typing struct {
	Kind   string            `json:"kind"`
	Seen   string            `json:"seen"`
	Fields map[string]string `json:"fields"`
}

var (
	msgNotTyped  = say.Define("bench.typed_unread", "what is being typed cannot be read: {reason}")
	wordTypedAsk = say.Define("bench.typed_ask", "Look again")
)

// answerTyped answers a value that is still being typed, from the same code
// that answers an entry, and keeps nothing. What cannot be read yet has no
// answer: the value may be half typed, and saving it says what is wrong.
func answerTyped(v *frame.Visit) error {
	var t typing
	if err := json.NewDecoder(v.Body).Decode(&t); err != nil {
		return say.Refuse("", "", msgNotTyped.With(err), say.Message{})
	}
	fields := url.Values{}
	for name, text := range t.Fields {
		fields.Set(name, text)
	}
	body, err := part.Body(fields)
	if err == nil {
		body, err = record.Canonical(body)
	}
	var tried *shop.Answer
	if err == nil {
		tried, err = v.Shop.Try(v.Context(), v.Visitor.Scope, v.PathValue("job"), shop.NewEntry{Kind: t.Kind, Seen: t.Seen, Body: body})
	}
	switch status, _ := frame.StatusOf(err); {
	case err == nil:
	case status == http.StatusUnprocessableEntity:
		return nothingYet(v)
	default:
		return err
	}
	if len(tried.Warnings) > 0 {
		return piece(v, askedAgain(v.View, tried.Warnings))
	}
	a := tried.Job.Assessment
	if a == nil {
		return nothingYet(v)
	}
	switch t.Kind {
	case job.KindReading:
		if list := featuresOf(a, &tried.Entry); len(list) > 0 {
			return piece(v, readingTyped(v.View, &frame.Job{Job: tried.Job}, list))
		}
	case job.KindMarks:
		if svg := marksTyped(v, &frame.Job{Job: tried.Job}, &tried.Entry); svg != "" {
			return piece(v, into("marked", svg))
		}
	case job.KindTestPoint:
		if points := a.Proof().Points; len(points) > 0 {
			return piece(v, pointTyped(v.View, &points[len(points)-1], curveOf(v.View, a)))
		}
	case job.KindRelief:
		if r := a.Delivery().Relief; r != nil {
			return piece(v, part.AsTyped(v.View, reliefSaid(a), r.Warnings))
		}
	case job.KindAlignment:
		if set := alignmentOf(a, &tried.Entry); set != nil {
			return piece(v, alignmentTyped(v.View, set, part.SVG(report.Alignment(set, a.Assembly.Alignment.Found).Draw(v.View.Style), "where")))
		}
	case job.KindTrial:
		if said, known := trialSaid(a); known {
			return piece(v, part.AsTyped(v.View, said, nil))
		}
	}
	return nothingYet(v)
}

// alignmentOf is the set of readings that an entry makes, as far as it can be
// worked out; nil otherwise.
func alignmentOf(a *assess.Assessment, e *record.Entry) *assembly.Alignment {
	for _, set := range []*assembly.Alignment{a.Assembly.Alignment.Found, a.Assembly.Alignment.Left, a.Assembly.Alignment.Hot} {
		if set != nil && set.Ref == e.ID && set.Plan != nil {
			return set
		}
	}
	return nil
}

func nothingYet(v *frame.Visit) error {
	v.ResponseWriter.WriteHeader(http.StatusNoContent)
	return nil
}

// piece answers with a piece of a page.
func piece(v *frame.Visit, c templ.Component) error {
	var html bytes.Buffer
	if err := c.Render(v.Context(), &html); err != nil {
		return err
	}
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	return frame.Send(v.ResponseWriter, v.Request, http.StatusOK, html.Bytes())
}

// featuresOf are the feature of a reading and those that are made with it.
func featuresOf(a *assess.Assessment, e *record.Entry) []*reading.Feature {
	r, ok := readBody[job.Reading](e)
	if !ok {
		return nil
	}
	f := a.Readings.ByID(r.Feature, r.State)
	if f == nil || f.Mean == nil {
		return nil
	}
	return append([]*reading.Feature{f}, madeWith(a, f)...)
}

// madeWith lists the features that are made of this one and another.
func madeWith(a *assess.Assessment, f *reading.Feature) []*reading.Feature {
	var list []*reading.Feature
	for _, all := range [][]*reading.Feature{a.Readings.Found, a.Readings.Left} {
		for _, other := range all {
			if d := other.Feature.Difference; d != nil && (d.Of == f.Feature.ID || d.Minus == f.Feature.ID) && other.State == f.State && other.Mean != nil {
				list = append(list, other)
			}
		}
	}
	return list
}
