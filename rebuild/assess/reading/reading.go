package reading

import (
	"math"
	"time"

	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// Word is the state of a feature in a word.
type Word string

// Show prints the word in the language of a style.
func (v Word) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Word) Message() say.Message { return say.Word("reading", string(v)) }

// The words.
const (
	Good         Word = "good"
	PastLimit    Word = "past limit"
	MeasureAgain Word = "measure again"
	NotRead      Word = "not yet read"
	NoLimit      Word = "no limit known"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet  *sheet.Sheet
	Values []job.PlaceValue
	Limits []job.Kept[job.Limit]
	Shop   *ledger.Shop
	AsOf   time.Time

	// Accepted are the instruments out of calibration whose readings may carry
	// decisions all the same.
	Accepted []job.Kept[job.Accepted]
}

// Chapter is what is known of every feature.
type Chapter struct {
	Found []*Feature // as found, in the order of the sheet
	Left  []*Feature // as left

	found map[string]*Feature
	left  map[string]*Feature
}

// Feature is one feature in one state.
type Feature struct {
	Feature  *sheet.Feature
	State    string
	Values   []job.PlaceValue
	Survey   *metrology.Survey // nil when nothing was read
	Mean     *Estimate         // mean over places, for chains and fits
	Worst    *Estimate         // the most worn place
	Judged   []Judged          // by every limit, the governing one first
	Word     Word
	Missing  []PlaceName // places of the sheet that were not read
	Warnings []say.Message
	Blocked  bool // an instrument out of calibration: no decision may rest on it
	Interval bool // read with feeler leaves

	BlockedBy string // the instrument that blocks it
	Goes      *quantity.Length
	NoGo      *quantity.Length

	// Unnamed is the kind of instrument whose usual figures stand in because
	// the readings name none.
	Unnamed string

	ownU float64 // of a place without the calibration, which differences lose
}

// Estimate is a number with its standard uncertainty, in the dimension of the
// feature, with where it came from.
type Estimate struct {
	Dimension quantity.Dimension
	Value, U  float64 // SI
	Plane     string
	Angle     float64
	Ref       string
}

// Show prints the estimate.
func (e Estimate) Show(s say.Style) string {
	return quantity.ShowWithU(e.Dimension, e.Value, e.U, s)
}

// PlaceName names a place of the sheet.
type PlaceName struct {
	Plane  string
	Angle  float64
	Around bool
}

// Judged is one limit with what it says.
type Judged struct {
	Min, Max  *quantity.Entered
	Page      string
	Compare   string
	Rank      string
	Reason    string
	Number    Estimate
	Decision  metrology.Decision
	Governing bool
}

// ByID returns a feature as found or as left, or nil when the sheet has none.
func (c *Chapter) ByID(id, state string) *Feature {
	if state == job.AsLeft {
		return c.left[id]
	}
	return c.found[id]
}

// ByRole returns the feature of a role in a state.
func (c *Chapter) ByRole(s *sheet.Sheet, role, state string) *Feature {
	f := s.ByRole(role)
	if f == nil {
		return nil
	}
	return c.ByID(f.ID, state)
}

// Latest returns the feature as left where that was read, else as found.
func (c *Chapter) Latest(s *sheet.Sheet, role string) *Feature {
	if f := c.ByRole(s, role, job.AsLeft); f != nil && f.Survey != nil {
		return f
	}
	return c.ByRole(s, role, job.AsFound)
}

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{found: map[string]*Feature{}, left: map[string]*Feature{}}
	byFeature := map[string][]job.PlaceValue{}
	for _, v := range in.Values {
		byFeature[v.Feature+"\x00"+v.State] = append(byFeature[v.Feature+"\x00"+v.State], v)
	}
	for _, state := range []string{job.AsFound, job.AsLeft} {
		for i := range in.Sheet.Features {
			f := &in.Sheet.Features[i]
			if !f.Only.Holds(in.Sheet.Build) {
				continue
			}
			one := &Feature{Feature: f, State: state, Values: byFeature[f.ID+"\x00"+state], Word: NotRead}
			if f.Difference == nil {
				one.survey(in)
			}
			c.put(one)
		}
		for _, one := range c.list(state) {
			if d := one.Feature.Difference; d != nil {
				one.difference(c.ByID(d.Of, state), c.ByID(d.Minus, state), d.Half)
			}
		}
	}
	for _, list := range [][]*Feature{c.Found, c.Left} {
		for _, one := range list {
			one.judge(in)
		}
	}
	return c
}

func (c *Chapter) put(f *Feature) {
	if f.State == job.AsLeft {
		c.Left = append(c.Left, f)
		c.left[f.Feature.ID] = f
		return
	}
	c.Found = append(c.Found, f)
	c.found[f.Feature.ID] = f
}

func (c *Chapter) list(state string) []*Feature {
	if state == job.AsLeft {
		return c.Left
	}
	return c.Found
}

var (
	msgSurvey = say.Define("reading.survey", "the readings could not be put together: {reason}")
)

func missingPlaces(f *sheet.Feature, values []job.PlaceValue) []PlaceName {
	planes, angles := f.Planes, f.Angles
	if len(planes) == 0 {
		planes = []string{""}
	}
	var missing []PlaceName
	for _, plane := range planes {
		if len(angles) == 0 {
			if !readAt(values, plane, 0, false) {
				missing = append(missing, PlaceName{Plane: plane})
			}
			continue
		}
		for _, angle := range angles {
			if !readAt(values, plane, angle, true) {
				missing = append(missing, PlaceName{Plane: plane, Angle: angle, Around: true})
			}
		}
	}
	return missing
}

func readAt(values []job.PlaceValue, plane string, angle float64, around bool) bool {
	for i := range values {
		v := &values[i]
		if v.Plane != plane {
			continue
		}
		if !around || v.Angle != nil && math.Abs(math.Mod(*v.Angle-angle+540, 360)-180) < 0.5 {
			return true
		}
	}
	return false
}

// Complete reports whether every place that the sheet asks for was read.
func (f *Feature) Complete() bool { return f.Survey != nil && len(f.Missing) == 0 }

// difference makes the feature out of two others.
func (f *Feature) difference(of, minus *Feature, half bool) {
	if of == nil || minus == nil || of.Mean == nil || minus.Mean == nil {
		return
	}
	scale := 1.0
	if half {
		scale = 0.5
	}
	join := func(a, b *Estimate) *Estimate {
		return &Estimate{Dimension: f.Feature.Dimension(), Value: scale * (a.Value - b.Value), U: scale * math.Hypot(a.U, b.U), Ref: a.Ref}
	}
	f.Survey = of.Survey
	f.Mean = join(of.Mean, minus.Mean)
	f.Worst = join(of.Worst, minus.Worst)
	f.ownU = scale * math.Hypot(of.ownU, minus.ownU)
	f.Blocked = of.Blocked || minus.Blocked
	if f.BlockedBy = of.BlockedBy; f.BlockedBy == "" {
		f.BlockedBy = minus.BlockedBy
	}
}

var (
	nameReading = say.Define("reading.one", "reading")
	nameMean    = say.Define("reading.mean", "{feature}, mean {state}")
	nameAngle   = say.Define("reading.place_angle", "reading at {angle:number}°")
	nameBoth    = say.Define("reading.place_both", "reading at plane {plane}, {angle:number}°")
	namePlane   = say.Define("reading.place_plane", "reading at plane {plane}")
)

// Working returns the tree behind the number that is judged.
func (f *Feature) Working() *working.Node {
	if f.Mean == nil {
		return nil
	}
	node := &working.Node{
		ID: "reading." + f.State + "." + f.Feature.ID, Name: nameMean.With(f.Feature.Name, f.State), Symbol: "x̄",
		Dimension: f.Feature.Dimension(), Value: f.Mean.Value, U: f.Mean.U,
		Equation: "x̄ = Σx/n; u² = s²/n + r²/12 + u_cal²", Source: "JCGM 100:2008, 4.2 and F.2.2.1",
	}
	for i := range f.Values {
		v := f.Values[i]
		node.Inputs = append(node.Inputs, &working.Node{ID: node.ID + "." + v.Ref, Name: placeWords(&v), Dimension: v.Value.Dimension, Value: v.Value.SI, Text: v.Text, Ref: v.Ref})
	}
	if len(node.Inputs) == 0 {
		node.Ref = f.Mean.Ref
		node.Equation = ""
	}
	return node
}

// placeWords names a reading by its place.
func placeWords(v *job.PlaceValue) say.Message {
	switch {
	case v.Angle != nil && v.Plane != "":
		return nameBoth.With(v.Plane, *v.Angle)
	case v.Angle != nil:
		return nameAngle.With(*v.Angle)
	case v.Plane != "":
		return namePlane.With(v.Plane)
	}
	return nameReading.With()
}
