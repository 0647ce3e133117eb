package history

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"

	"pumpwright/calc/say"
)

// Fate is what became of a part at a rebuild.
type Fate string

// Show prints the word in the language of a style.
func (v Fate) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Fate) Message() say.Message { return say.Word("history", string(v)) }

// The fates.
const (
	Kept     Fate = "kept"    // it went on
	Failed   Fate = "failed"  // replaced or reworked because it was worn past its limit or found damaged
	Renewed  Fate = "renewed" // replaced for another reason: a matter of course, or with its pair
	NotKnown Fate = "not known"
)

// PartWords is how people read the part that model sheets call by an id: the
// history of a fleet goes over many sheets, whose names for one part differ.
func PartWords(id string) say.Message { return say.Known(strings.ReplaceAll(id, "-", " ")) }

// PartFate is what became of one part.
type PartFate struct {
	Part string `json:"part"`
	Fate Fate   `json:"fate"`
}

// Number is the number of one feature that is followed over rebuilds: the one
// that meets its governing limit, else the mean.
type Number struct {
	Feature   string             `json:"feature"`
	Name      string             `json:"name"`
	State     string             `json:"state"`
	Compare   string             `json:"compare,omitempty"` // worst, mean, taper, spread, below-unworn
	Parts     []string           `json:"parts,omitempty"`   // parts whose replacement begins it anew
	Dimension quantity.Dimension `json:"dimension"`
	Value     float64            `json:"value"` // SI
	U         float64            `json:"u"`     // standard uncertainty, SI
	Limit     *float64           `json:"limit,omitempty"`
	Rising    bool               `json:"rising,omitempty"` // wear makes it larger
	New       *float64           `json:"new,omitempty"`    // as new by the sheet
	NewU      float64            `json:"new_u,omitempty"`
	Word      string             `json:"word,omitempty"`
	Ref       string             `json:"ref,omitempty"`
}

// Cause is a cause somebody named.
type Cause struct {
	Cause     string `json:"cause"`
	Confirmed bool   `json:"confirmed,omitempty"`
}

// Fitting is a new part as it was written down.
type Fitting struct {
	Part      string `json:"part"`
	Batch     string `json:"batch,omitempty"`
	Elastomer string `json:"elastomer,omitempty"`
	Note      string `json:"note,omitempty"`
}

// Summary is one job in short.
type Summary struct {
	Stream     string             `json:"stream"`
	Job        string             `json:"job"`
	Tag        string             `json:"tag,omitempty"`    // the place
	Serial     string             `json:"serial,omitempty"` // the machine
	Owner      string             `json:"owner,omitempty"`
	Site       string             `json:"site,omitempty"` // where the place is
	Model      string             `json:"model,omitempty"`
	Service    string             `json:"service,omitempty"`
	Liquid     string             `json:"liquid,omitempty"`
	Speed      float64            `json:"speed,omitempty"` // rad/s
	HoursAYear float64            `json:"hours_a_year,omitempty"`
	Opened     record.Time        `json:"opened"`
	Closed     record.Time        `json:"closed,omitempty"` // 0: not yet
	Previous   string             `json:"previous,omitempty"`
	Complaint  string             `json:"complaint,omitempty"`
	Result     string             `json:"result,omitempty"`
	Invented   bool               `json:"invented,omitempty"`
	Numbers    []Number           `json:"numbers,omitempty"`
	Parts      []PartFate         `json:"parts,omitempty"`
	Fitted     []Fitting          `json:"fitted,omitempty"`
	Causes     []Cause            `json:"causes,omitempty"`
	Labour     map[string]float64 `json:"labour,omitempty"` // hours by stage
	Cost       quantity.Money     `json:"cost"`             // of the last quote
}

// Cause returns the cause that holds: the last one confirmed, else the last
// one named, "" when there is none.
func (s *Summary) Cause() (cause string, confirmed bool) {
	for i := len(s.Causes) - 1; i >= 0; i-- {
		if c := s.Causes[i]; c.Confirmed {
			return c.Cause, true
		}
	}
	if n := len(s.Causes); n > 0 {
		return s.Causes[n-1].Cause, false
	}
	return "", false
}

// FateOf returns what became of a part.
func (s *Summary) FateOf(id string) Fate {
	for _, p := range s.Parts {
		if p.Part == id {
			return p.Fate
		}
	}
	return NotKnown
}

// LabourHours is the time worked in all.
func (s *Summary) LabourHours() float64 {
	var sum float64
	for _, h := range s.Labour {
		sum += h
	}
	return sum
}

// Summarise puts a job in short. It reads the chapters about readings and
// parts only.
func Summarise(in assess.Inputs) Summary {
	st := in.Job
	s := Summary{Stream: st.Stream, Opened: firstTime(st)}
	if st.Open != nil {
		o := st.Open.Body
		s.Job, s.Tag, s.Serial, s.Owner, s.Site = o.Job, o.Tag, o.Serial, o.Owner, o.Place
		s.Previous, s.Complaint, s.Invented = o.Previous, o.Complaint, o.Invented
		s.Opened = st.Open.At
	}
	if st.Closed != nil {
		s.Closed, s.Result = st.Closed.At, st.Closed.Body.Result
	}
	if v := in.Service; v != nil {
		s.Service = v.Name
		if v.HoursAYear != nil {
			s.HoursAYear = *v.HoursAYear
		}
		if v.Speed != nil {
			s.Speed = v.Speed.Value.SI()
		}
		if name, ok := v.Liquid.(string); ok {
			s.Liquid = name
		} else if in.Liquid != nil {
			s.Liquid = in.Liquid.Title
		}
	}
	if in.Sheet != nil {
		s.Model = in.Sheet.Name
		readings := reading.Assess(reading.Inputs{Sheet: in.Sheet, Values: st.Values, Limits: st.Limits, Shop: in.Shop, AsOf: in.AsOf})
		parts := part.Assess(part.Inputs{Sheet: in.Sheet, Readings: readings, Decisions: st.Decisions, Shop: in.Shop})
		s.numbers(in.Sheet, readings)
		s.parts(st, parts)
	}
	for _, f := range st.Fitted {
		s.Fitted = append(s.Fitted, Fitting{Part: f.Body.Part, Batch: f.Body.Batch, Elastomer: f.Body.Elastomer, Note: f.Body.Note})
	}
	for _, c := range st.Causes {
		s.Causes = append(s.Causes, Cause{c.Body.Cause, c.Body.Confirmed})
	}
	s.Labour = Labour(st)
	s.Cost = costOf(st)
	return s
}

func firstTime(st *job.State) record.Time {
	if len(st.Sheets) > 0 {
		return st.Sheets[0].At
	}
	return st.Last
}

func (s *Summary) numbers(model *sheet.Sheet, c *reading.Chapter) {
	for _, list := range [][]*reading.Feature{c.Found, c.Left} {
		for _, f := range list {
			if f.Survey == nil && f.Mean == nil {
				continue
			}
			n := Number{Feature: f.Feature.ID, Name: f.Feature.Name, State: f.State, Compare: "mean", Dimension: f.Feature.Dimension(),
				Parts: partsOf(model, f.Feature), Word: string(f.Word)}
			switch j := follows(f); {
			case j != nil:
				n.Compare, n.Value, n.U, n.Ref = j.Compare, j.Number.Value, j.Number.U, j.Number.Ref
				n.Rising = j.Max != nil
				limit := j.Max
				if !n.Rising {
					limit = j.Min
				}
				n.Limit = &limit.SI
			case f.Mean != nil:
				n.Value, n.U, n.Ref = f.Mean.Value, f.Mean.U, f.Mean.Ref
			default:
				continue
			}
			n.New, n.NewU = asNew(model, f.Feature, n.Compare)
			s.Numbers = append(s.Numbers, n)
		}
	}
}

// follows returns the governing limit that wear runs into: one-sided, best
// that of the maker or the site. A setting with two limits wears to neither.
func follows(f *reading.Feature) *reading.Judged {
	for i := range f.Judged {
		if j := &f.Judged[i]; j.Governing && (j.Min == nil) != (j.Max == nil) && j.Rank != "rule-of-thumb" {
			return j
		}
	}
	for i := range f.Judged {
		if j := &f.Judged[i]; j.Governing && (j.Min == nil) != (j.Max == nil) {
			return j
		}
	}
	return nil
}

func partsOf(model *sheet.Sheet, f *sheet.Feature) []string {
	set := map[string]bool{f.Part: true}
	if d := f.Difference; d != nil {
		for _, id := range []string{d.Of, d.Minus} {
			if other := model.Feature(id); other != nil {
				set[other.Part] = true
			}
		}
	}
	var list []string
	for id := range set {
		if id != "" {
			list = append(list, id)
		}
	}
	sort.Strings(list)
	return list
}

// asNew is the number of a feature as new by the sheet: the middle of its
// tolerance, uniform within it. Differences between places are 0 as new.
func asNew(model *sheet.Sheet, f *sheet.Feature, compare string) (*float64, float64) {
	switch compare {
	case "taper", "spread", "below-unworn":
		zero := 0.0
		return &zero, newFormU
	}
	if d := f.Difference; d != nil {
		of, minus := model.Feature(d.Of), model.Feature(d.Minus)
		if of == nil || minus == nil {
			return nil, 0
		}
		a, ua := asNew(model, of, compare)
		b, ub := asNew(model, minus, compare)
		if a == nil || b == nil {
			return nil, 0
		}
		v, u := *a-*b, math.Hypot(ua, ub)
		if d.Half {
			v, u = v/2, u/2
		}
		return &v, u
	}
	if f.Nominal == nil || f.Lower == nil || f.Upper == nil || !(f.Upper.SI > f.Lower.SI) {
		return nil, 0 // without a tolerance nobody knows how near to nominal it was
	}
	v := f.Nominal.SI + (f.Upper.SI+f.Lower.SI)/2
	return &v, (f.Upper.SI - f.Lower.SI) / math.Sqrt(12)
}

// newFormU is how far a new part may be from round and even, as a standard
// uncertainty. [common practice, no source]
const newFormU = 2e-6

// parts says what became of each part: a replaced or reworked part failed when
// it was past a limit as found or when damage was found on it.
func (s *Summary) parts(st *job.State, c *part.Chapter) {
	damaged := map[string]bool{}
	for _, f := range st.Findings {
		if !f.Body.Absent && f.Body.Part != "" {
			damaged[f.Body.Part] = true
		}
	}
	for _, d := range c.Decisions {
		fate := Kept
		switch d.Verdict {
		case part.Replace, part.Rework:
			fate = Renewed
			if damaged[d.Part.ID] || past(d) {
				fate = Failed
			}
		case part.MeasureAgain, part.Engineering:
			fate = NotKnown
		}
		s.Parts = append(s.Parts, PartFate{d.Part.ID, fate})
	}
}

// past reports whether one of the part's own features was past its limit. What
// goes with its pair has the pair's features as its reason.
func past(d *part.Decision) bool {
	for _, f := range d.Because {
		if f.Word != reading.PastLimit {
			continue
		}
		if f.Feature.Part == d.Part.ID {
			return true
		}
	}
	return false
}

// Labour is the time worked at a job by stage, in hours: what was written as
// hours, and the time between a start and the next stop by the same person.
func Labour(st *job.State) map[string]float64 {
	sums := map[string]float64{}
	started := map[string]record.Time{}
	for _, h := range st.Hours {
		b, key := h.Body, h.Body.Stage+"\x00"+h.By
		switch {
		case b.Hours > 0:
			sums[b.Stage] += b.Hours
		case b.Started:
			started[key] = h.At
		case b.Stopped:
			if from, ok := started[key]; ok && h.At > from {
				sums[b.Stage] += hoursBetween(from, h.At)
			}
			delete(started, key)
		}
	}
	if len(sums) == 0 {
		return nil
	}
	return sums
}

// costOf reads the total of the last quote.
func costOf(st *job.State) quantity.Money {
	for i := len(st.Quotes) - 1; i >= 0; i-- {
		body, ok := st.Quotes[i].Body.(map[string]any)
		if !ok {
			continue
		}
		currency, _ := body["currency"].(string)
		amount, err := strconv.ParseFloat(fmt.Sprint(body["total"]), 64)
		if err != nil {
			if text, ok := body["total"].(string); ok {
				if m, err := quantity.ReadMoney(text); err == nil {
					return m
				}
			}
			continue
		}
		if m, err := quantity.MoneyOf(amount, currency); err == nil {
			return m
		}
	}
	return quantity.Money{}
}
