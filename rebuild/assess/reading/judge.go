package reading

import (
	"math"
	"sort"

	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/sheet"
)

// Confidence is the probability with which a part must conform to be reused,
// or not conform to be replaced. A setting of our own, shown as such.
const Confidence = 0.95

// ranks orders the ranks of limits, the one that governs first.
var ranks = map[string]int{"customer": 0, "site": 1, "lead": 2, "maker": 3, "shop": 4, "rule-of-thumb": 5}

var (
	msgOverdueBlocks = say.Define("reading.overdue_blocks", "the instrument is out of calibration or failed its check: the value stands, but no decision may rest on it until a lead signs why; read it again with a valid instrument")
	msgBadLimit      = say.Define("reading.bad_limit", "a limit of {rank} cannot be read: {reason}")
)

// judge holds the feature against every limit.
func (f *Feature) judge(in Inputs) {
	for i := range f.Feature.Limits {
		l := &f.Feature.Limits[i]
		f.hold(Judged{Min: entered(l.Min), Max: entered(l.Max), Page: page(l), Compare: l.Compare, Rank: l.Rank, Reason: l.Reason})
	}
	if in.Shop != nil {
		for _, l := range in.Shop.Limits {
			if l.Feature == f.Feature.ID && (l.Sheet == "" || l.Sheet == in.Sheet.Name) {
				f.hold(Judged{Min: entered(l.Min), Max: entered(l.Max), Compare: l.Compare, Rank: l.Rank, Reason: l.Source})
			}
		}
	}
	for _, l := range in.Limits {
		if l.Body.Feature != f.Feature.ID {
			continue
		}
		j := Judged{Compare: l.Body.Compare, Rank: l.Body.Rank, Reason: l.Body.Source}
		if j.Compare == "" {
			j.Compare = "worst"
		}
		var err error
		for _, side := range []struct {
			text string
			into **quantity.Entered
		}{{l.Body.Min, &j.Min}, {l.Body.Max, &j.Max}} {
			if side.text == "" {
				continue
			}
			var e quantity.Entered
			if e, err = fields.ParseAny(side.text); err == nil {
				*side.into = &e
			} else {
				f.Warnings = append(f.Warnings, msgBadLimit.With(l.Body.Rank, err))
			}
		}
		f.hold(j)
	}
	f.settle()
}

func entered(v *sheet.Value) *quantity.Entered {
	if v == nil {
		return nil
	}
	return &v.Entered
}

func page(l *sheet.Limit) string {
	for _, v := range []*sheet.Value{l.Min, l.Max} {
		if v != nil && v.Page != "" {
			return v.Page
		}
	}
	return ""
}

// hold adds a limit and, when there is a number, what it says.
func (f *Feature) hold(j Judged) {
	if j.Min == nil && j.Max == nil {
		return
	}
	number := f.number(j.Compare)
	if number != nil {
		j.Number = *number
		c := metrology.Case{Dimension: f.Feature.Dimension(), Measured: number.Value, U: number.U, Confidence: Confidence}
		if j.Min != nil {
			c.Lower = &j.Min.SI
		}
		if j.Max != nil {
			c.Upper = &j.Max.SI
		}
		decision, err := metrology.Decide(c)
		if err != nil {
			f.Warnings = append(f.Warnings, msgBadLimit.With(j.Rank, err))
			return
		}
		j.Decision = decision
	}
	f.Judged = append(f.Judged, j)
}

// number returns what meets a limit, nil when it was not read.
func (f *Feature) number(compare string) *Estimate {
	if f.Survey == nil {
		return nil
	}
	switch compare {
	case "mean":
		return f.Mean
	case "taper", "spread":
		v := f.Survey.Spread
		if compare == "taper" {
			v = f.Survey.PlaneSpread
		}
		// The difference of two readings of one instrument: its calibration
		// error cancels, what remains is √2 of one place's own scatter.
		return &Estimate{Dimension: f.Feature.Dimension(), Value: v.SI(), U: math.Sqrt2 * f.ownU, Ref: f.Worst.Ref}
	case "below-unworn":
		return f.belowUnworn()
	}
	return f.Worst
}

// belowUnworn is the mean of the unworn plane less the most worn place.
func (f *Feature) belowUnworn() *Estimate {
	for _, p := range f.Survey.Planes {
		if p.Name == f.Feature.Unworn && p.Places > 0 {
			return &Estimate{Dimension: f.Feature.Dimension(), Value: p.Mean.SI() - f.Survey.Smallest.Mean.SI(),
				U: f.ownU * math.Sqrt(1+1/float64(p.Places)), Plane: f.Survey.Smallest.Plane, Angle: f.Survey.Smallest.Angle.SI(), Ref: f.Worst.Ref}
		}
	}
	return nil
}

// settle finds the limits that govern and the state in a word. For each way to
// compare, the highest rank governs; the worst of the governing verdicts is
// the feature's.
func (f *Feature) settle() {
	sort.SliceStable(f.Judged, func(a, b int) bool { return ranks[f.Judged[a].Rank] < ranks[f.Judged[b].Rank] })
	taken := map[string]bool{}
	for i := range f.Judged {
		key := f.Judged[i].Compare
		if key == "mean" {
			key = "worst"
		}
		f.Judged[i].Governing = !taken[key]
		taken[key] = true
	}
	sort.SliceStable(f.Judged, func(a, b int) bool { return f.severity(a) > f.severity(b) })
	switch {
	case f.Survey == nil:
		f.Word = NotRead
	case len(f.Judged) == 0:
		f.Word = NoLimit
	default:
		f.Word = f.Judged[0].word()
	}
	if f.Blocked && f.Survey != nil {
		f.Warnings = append(f.Warnings, msgOverdueBlocks.With())
		if f.Word == Good || f.Word == PastLimit {
			f.Word = MeasureAgain
		}
	}
}

// severity orders the governing limits by their verdict, worst first; limits
// that do not govern come last.
func (f *Feature) severity(i int) int {
	if !f.Judged[i].Governing {
		return -1
	}
	switch f.Judged[i].word() {
	case PastLimit:
		return 3
	case MeasureAgain:
		return 2
	}
	return 1
}

// word is the verdict in a word. A rule of thumb is no limit: a number inside
// it is good, however near.
func (j *Judged) word() Word {
	w := wordOf(j.Decision.Verdict)
	if w != MeasureAgain || j.Rank != "rule-of-thumb" {
		return w
	}
	if (j.Min == nil || j.Number.Value >= j.Min.SI-1e-12) && (j.Max == nil || j.Number.Value <= j.Max.SI+1e-12) {
		return Good
	}
	return w
}

func wordOf(v metrology.Verdict) Word {
	switch v {
	case metrology.Reuse:
		return Good
	case metrology.Replace:
		return PastLimit
	case "":
		return NotRead
	}
	return MeasureAgain
}

// Governs returns the limit that decides, or nil.
func (f *Feature) Governs() *Judged {
	if len(f.Judged) == 0 || !f.Judged[0].Governing {
		return nil
	}
	return &f.Judged[0]
}
