package part

import (
	"math"
	"strings"
	"sync"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	verdict "pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/reading"
)

// Sentence says in one sentence what a feature's readings mean.
func Sentence(f *reading.Feature) say.Message {
	if f == nil {
		return say.Message{}
	}
	name := capital(f.Feature.Name)
	j := f.Governs()
	switch {
	case f.Mean == nil:
		return sayNotRead.With(name)
	case f.Blocked:
		return sayBlocked.With(name, *f.Worst)
	case j == nil:
		return sayNoLimit.With(name, *f.Worst)
	}
	limit := verdict.LimitText(j)
	if j.Compare == "below-unworn" {
		switch f.Word {
		case reading.PastLimit:
			return sayBelow.With(name, j.Number, limit)
		case reading.Good:
			return sayBelowOK.With(name, j.Number, limit)
		}
	}
	subject := say.Plain(name)
	if j.Compare != "worst" {
		subject = sayCompared.With(name, verdict.CompareText(j.Compare))
	}
	switch f.Word {
	case reading.PastLimit:
		return sayPast.With(subject, j.Number, limit)
	case reading.Good:
		return sayGood.With(subject, j.Number, limit)
	case reading.NotRead:
		return sayNotRead.With(subject)
	}
	return sayAgain.With(subject, j.Number, limit)
}

// Said is an answer in words, with the state that it is given.
type Said struct {
	Sentence say.Message
	State    draw.State
	Becomes  say.Message // what becomes of the part; may be empty
}

// SaidOf is the answer of a feature's own limits.
func SaidOf(f *reading.Feature, becomes say.Message) Said {
	return Said{Sentence(f), StateOf(f), becomes}
}

// Capital begins a name with a capital letter.
func Capital(name string) string { return capital(name) }

func capital(name string) string {
	for i, r := range name {
		return strings.ToUpper(string(r)) + name[i+len(string(r)):]
	}
	return name
}

// Reasons says what stands behind the sentence: whose limit, how sure, mean
// and spread.
func Reasons(f *reading.Feature) []say.Message {
	var list []say.Message
	if f == nil || f.Mean == nil {
		return nil
	}
	if j := f.Governs(); j != nil {
		page := say.Message{}
		if j.Page != "" {
			page = sayPage.With(j.Page)
		}
		list = append(list, sayWhose.With(verdict.RankText(j.Rank), page))
		list = append(list, sayChance.With(j.Decision.Probability))
		if j.Reason != "" {
			list = append(list, say.Plain(j.Reason))
		}
	}
	if f.Survey != nil && len(f.Survey.Places) > 1 && f.Feature.Difference == nil {
		list = append(list, sayMean.With(*f.Mean, reading.Estimate{Dimension: f.Feature.Dimension(), Value: f.Survey.Spread.SI()}))
	}
	return list
}

// VerdictWord is the word for what becomes of a part.
func VerdictWord(v verdict.Verdict) say.Message {
	switch v {
	case verdict.Reuse:
		return verdictReuse.With()
	case verdict.Replace:
		return verdictReplace.With()
	case verdict.Rework:
		return verdictRework.With()
	case verdict.MeasureAgain:
		return verdictAgain.With()
	case verdict.Engineering:
		return verdictLead.With()
	}
	return verdictNotRead.With()
}

// Becomes says what becomes of a part in a sentence; what wears as a pair is
// named together.
func Becomes(d *verdict.Decision, c *verdict.Chapter) say.Message {
	if d == nil || d.Verdict == verdict.NotMeasured {
		return say.Message{}
	}
	if d.Verdict == verdict.Replace && !d.Part.Always {
		names := []string{d.Part.Name}
		for _, id := range d.Part.With {
			if other := c.Of(id); other != nil && other.Verdict == verdict.Replace {
				names = append(names, other.Part.Name)
			}
		}
		if len(names) > 1 {
			return verdictTogether.With(names)
		}
	}
	return sayPart.With(capital(d.Part.Name), VerdictWord(d.Verdict))
}

// StateOfPart is the state of a part for its shape and word; false where the
// verdict rests on no reading.
func StateOfPart(d *verdict.Decision) draw.State {
	switch d.Verdict {
	case verdict.Reuse:
		return draw.Good
	case verdict.Replace, verdict.Rework:
		if d.Part.Always {
			return draw.Worn
		}
		return draw.PastLimit
	case verdict.MeasureAgain, verdict.Engineering:
		return draw.MeasureAgain
	}
	return draw.NotRead
}

var marks = sync.OnceValue(func() map[draw.State]string {
	all := map[draw.State]string{}
	for _, s := range []draw.State{draw.NotRead, draw.Good, draw.Worn, draw.PastLimit, draw.MeasureAgain} {
		d := draw.New(3, 3)
		d.Mark(draw.At(1.5, 1.5), s, 2.8)
		all[s] = decoration(d, "mark")
	}
	return all
})

// mark returns the shape of a state; the word stands beside it.
func mark(s draw.State) string { return marks()[s] }

// decoration returns a drawing that a screen reader passes over.
func decoration(d *draw.Drawing, class string) string {
	svg := d.SVG(draw.SVGOptions{Width: "1em"})
	open, title, end := strings.Index(svg, ">")+1, strings.Index(svg, "<title"), strings.Index(svg, "</desc>")+len("</desc>")
	box := svg[strings.Index(svg, "viewBox="):]
	box = box[:strings.Index(box[9:], `"`)+10]
	return `<svg class="` + class + `" aria-hidden="true" focusable="false" ` + box + `>` + svg[open:title] + svg[end:]
}

// WearBar is how far a feature has gone from new to its limit.
type WearBar struct {
	Share  float64 // of the way from new to the limit, may be over 1
	Spread float64 // its standard uncertainty on the same scale
	Limit  say.Message
	State  draw.State
	Number reading.Estimate
}

// BarOf returns the bar of a feature, nil where there is no limit or no
// reading.
func BarOf(f *reading.Feature) *WearBar {
	if f == nil || f.Mean == nil || f.Feature.Nominal == nil {
		return nil
	}
	j := f.Governs()
	if j == nil || j.Number.Dimension != f.Feature.Dimension() {
		return nil
	}
	nominal := f.Feature.Nominal.SI
	if j.Compare != "worst" && j.Compare != "mean" {
		nominal = 0 // taper, spread and loss are nothing when new
	}
	limit := farther(j.Min, j.Max, nominal, j.Number.Value)
	if limit == nominal || math.IsNaN(limit) {
		return nil
	}
	return &WearBar{
		Share: (j.Number.Value - nominal) / (limit - nominal), Spread: math.Abs(j.Number.U / (limit - nominal)),
		Limit: verdict.LimitText(j), State: StateOf(f), Number: j.Number,
	}
}

// farther picks the limit on the side to which the reading lies.
func farther(low, high *quantity.Entered, nominal, value float64) float64 {
	switch {
	case low != nil && high != nil:
		if value < nominal {
			return low.SI
		}
		return high.SI
	case high != nil:
		return high.SI
	case low != nil:
		return low.SI
	}
	return math.NaN()
}

// the bar runs over 100 units to the limit and 25 beyond.
func (b *WearBar) at(share float64) float64 { return 100 * min(max(share, 0), 1.25) }
