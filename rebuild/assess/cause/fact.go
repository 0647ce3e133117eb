package cause

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
)

// Fact is something measured that stands for an item of evidence.
type Fact struct {
	Item     string // E… of the evidence, or K… for the confirming check of the cause C… of the same number
	Name     string
	Found    bool    // false: looked for and absent
	Strength float64 // with which it counts
	Chance   float64 // that the number lies beyond its mark
	Worth    float64 // how well the number stands for the item
	Number   reading.Estimate
	Mark     float64     // SI, in the dimension of the number
	Text     say.Message // the number and its mark
	Why      say.Message // what the worth rests on
	Refs     []string    // entries, or places in sheet and service
}

// The chances from which a number counts as beyond its mark, and to which it
// counts as inside it. Our own convention: between them it says nothing.
const (
	beyondFrom = 0.5
	insideTo   = 0.05
)

// detector looks through what was measured.
type detector struct {
	in        Inputs
	chapter   *Chapter
	facts     []Fact
	undecided []say.Message
}

var (
	textOver  = say.Define("cause.over", "{what}: {number}, mark {mark}")
	textNear  = say.Define("cause.near", "{what}: {number} lies too near to {mark} to say anything (chance {chance:percent})")
	wordExact = say.Define("cause.exact", "the reading is the item itself")
)

// mark is one number held against its mark.
type mark struct {
	item   string
	what   say.Message
	number reading.Estimate
	at     float64 // SI
	chance float64 // < 0: from number and mark; the number lies beyond when it is greater
	worth  float64
	why    say.Message
	refs   []string
	absent bool // staying inside counts as looked for and absent
}

// hold puts one number against its mark and keeps the fact.
func (d *detector) hold(m mark) {
	if m.chance < 0 {
		m.chance = beyond(m.number.Value, m.number.U, m.at)
	}
	if m.why.IsZero() {
		m.why = wordExact.With()
	}
	shown := reading.Estimate{Dimension: m.number.Dimension, Value: m.at}
	f := Fact{Item: m.item, Found: true, Chance: m.chance, Worth: m.worth, Strength: m.chance * m.worth,
		Number: m.number, Mark: m.at, Text: textOver.With(m.what, m.number, shown), Why: m.why, Refs: m.refs}
	switch {
	case m.chance >= beyondFrom:
	case m.chance <= insideTo && m.absent:
		f.Found, f.Strength = false, (1-m.chance)*m.worth
	case m.chance > insideTo:
		d.undecided = append(d.undecided, textNear.With(m.what, m.number, shown, m.chance))
		return
	default:
		return
	}
	d.facts = append(d.facts, f)
}

// absent keeps a fact that was looked for and is not there for another reason
// than its number.
func (d *detector) absent(item string, text, why say.Message, number reading.Estimate, refs []string) {
	d.facts = append(d.facts, Fact{Item: item, Strength: 1, Worth: 1, Number: number, Text: text, Why: why, Refs: refs})
}

// beyond returns the chance that a normal number lies above a mark.
func beyond(value, u, at float64) float64 {
	if !(u > 0) {
		if value > at {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc((at-value)/(u*math.Sqrt2))
}

func (d *detector) warn(m say.Message) {
	d.chapter.Warnings = append(d.chapter.Warnings, m)
}

// condition notes a standing condition once.
func (d *detector) condition(id string, why say.Message) {
	c, err := d.chapter.base.Condition(id)
	if err != nil {
		return // a shop may keep a list of its own
	}
	for _, s := range d.chapter.Standing {
		if s.ID == id {
			return
		}
	}
	d.chapter.Standing = append(d.chapter.Standing, Condition{ID: id, Name: c.Name, Why: why})
}

func (d *detector) found(role string) *reading.Feature {
	f := d.in.Readings.ByRole(d.in.Sheet, role, job.AsFound)
	if f == nil || f.Survey == nil || f.Mean == nil {
		return nil
	}
	return f
}

func refsOf(features ...*reading.Feature) []string {
	seen := map[string]bool{}
	var refs []string
	for _, f := range features {
		if f == nil {
			continue
		}
		for _, v := range f.Values {
			if !seen[v.Ref] {
				seen[v.Ref] = true
				refs = append(refs, v.Ref)
			}
		}
	}
	return refs
}

func length(value, u float64) reading.Estimate {
	return reading.Estimate{Dimension: quantity.LengthDimension, Value: value, U: u}
}

// asNew is the middle of the size as new and the upper end of it; false when
// the sheet does not state it.
func asNew(f *reading.Feature) (middle, upper float64, known bool) {
	s := f.Feature
	if s.Nominal == nil || s.Nominal.Dimension != quantity.LengthDimension {
		return 0, 0, false
	}
	low, high := 0.0, 0.0
	if s.Lower != nil {
		low = s.Lower.SI
	}
	if s.Upper != nil {
		high = s.Upper.SI
	}
	return s.Nominal.SI + (low+high)/2, s.Nominal.SI + high, true
}
