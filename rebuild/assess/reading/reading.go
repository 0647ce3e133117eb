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
	Goes     *quantity.Length
	NoGo     *quantity.Length

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

// survey puts the readings of the feature together.
func (f *Feature) survey(in Inputs) {
	f.Missing = missingPlaces(f.Feature, f.Values)
	if len(f.Values) == 0 {
		return
	}
	readings := make([]metrology.Reading, len(f.Values))
	for i, v := range f.Values {
		readings[i] = metrology.Reading{Plane: v.Plane, Value: quantity.Length(v.Value.SI), Ref: v.Ref}
		if v.Angle != nil {
			readings[i].Angle = quantity.Angle(*v.Angle * math.Pi / 180)
		}
		f.Interval = f.Interval || v.Interval
	}
	// Surveys are of lengths; other dimensions pass through as numbers and are
	// labelled with their own dimension again below.
	survey, err := metrology.Take(readings)
	if err != nil {
		f.Warnings = append(f.Warnings, msgSurvey.With(err))
		return
	}
	f.Survey = &survey
	instrument := f.instrument(in)
	f.Mean = f.mean(&survey, instrument)
	worst := survey.Worst(f.wear())
	f.Worst = f.place(&survey, worst, instrument)
	own := instrument
	own.CalibrationU = 0
	f.ownU = f.place(&survey, worst, own).U
	f.leaves()
}

// leaves joins the feeler readings: the feature is at least the thickest leaf
// that went, and below the thinnest that did not, at the tightest place.
func (f *Feature) leaves() {
	for _, v := range f.Values {
		if v.Goes != nil && (f.Goes == nil || v.Goes.SI < f.Goes.SI()) {
			goes := quantity.Length(v.Goes.SI)
			f.Goes = &goes
		}
		if v.NoGo != nil && (f.NoGo == nil || v.NoGo.SI < f.NoGo.SI()) {
			noGo := quantity.Length(v.NoGo.SI)
			f.NoGo = &noGo
		}
	}
}

// instrument returns the instrument of the first reading that names one, else
// the usual figures of the kind that the sheet asks for, and warns.
func (f *Feature) instrument(in Inputs) metrology.Instrument {
	for _, v := range f.Values {
		named := in.Shop.Find(v.Instrument)
		if named == nil {
			continue
		}
		m := named.Metrology()
		standing, message := m.StandingOn(in.AsOf, 30*24*time.Hour)
		if !standing.MayDecide() {
			f.Blocked = true
		}
		if standing != metrology.InDate && !message.IsZero() {
			f.Warnings = append(f.Warnings, message)
		}
		if m.Resolution == 0 {
			m.Resolution = f.typedResolution()
		}
		if m.Repeatability == 0 {
			usual, _ := ledger.Usual(named.Kind)
			m.Repeatability = usual.Repeatability
		}
		return m
	}
	usual, known := ledger.Usual(f.Feature.Instrument)
	if known && f.Feature.Dimension() == quantity.LengthDimension {
		f.Unnamed = f.Feature.Instrument
	} else {
		usual = metrology.Instrument{Name: f.Feature.Instrument, Dimension: f.Feature.Dimension()}
	}
	usual.Resolution = math.Max(usual.Resolution, f.typedResolution())
	return usual
}

// typedResolution is the worth of the last digit typed; a feeler reading has
// its leaves instead.
func (f *Feature) typedResolution() float64 {
	least := 0.0
	for _, v := range f.Values {
		if !v.Interval {
			least = math.Max(least, v.Value.Resolution)
		}
	}
	return least
}

// place returns the uncertainty of one place: repeats, resolution,
// calibration; for a feeler the step between its leaves besides.
func (f *Feature) place(s *metrology.Survey, p metrology.Place, in metrology.Instrument) *Estimate {
	budget, _ := s.PlaceBudget(p, in)
	u2 := 0.0
	for _, part := range budget.Parts {
		u2 += part.U * part.U * part.Sensitivity * part.Sensitivity
	}
	if step := f.leafStep(); step > 0 {
		u2 += step * step / 12
	}
	return &Estimate{Dimension: f.Feature.Dimension(), Value: p.Mean.SI(), U: math.Sqrt(u2), Plane: p.Plane, Angle: p.Angle.SI(), Ref: p.Ref}
}

func (f *Feature) leafStep() float64 {
	step := 0.0
	for _, v := range f.Values {
		if v.Goes != nil && v.NoGo != nil {
			step = math.Max(step, v.NoGo.SI-v.Goes.SI)
		}
	}
	return step
}

// mean returns the mean over the places for chains and fits:
//
//	u² = s²/n + res²/12 + u_cal²       three places or more
//	u² = (range/2)²/n + res²/12 + …    fewer, range at least one step
//
// Source: JCGM 100:2008, 4.2 and F.2.2.1; for fewer than three readings common
// practice.
func (f *Feature) mean(s *metrology.Survey, in metrology.Instrument) *Estimate {
	n := float64(len(s.Places))
	var scatter float64
	if len(s.Places) >= 3 {
		sum := 0.0
		for _, p := range s.Places {
			d := (p.Mean - s.Mean).SI()
			sum += d * d
		}
		scatter = sum / (n - 1) / n
	} else {
		half := math.Max(s.Spread.SI(), in.Resolution) / 2
		scatter = half * half / n
	}
	u2 := scatter + metrology.OfResolution(in.Resolution)*metrology.OfResolution(in.Resolution) + in.CalibrationU*in.CalibrationU
	if step := f.leafStep(); step > 0 {
		u2 += step * step / 12
	}
	return &Estimate{Dimension: f.Feature.Dimension(), Value: s.Mean.SI(), U: math.Sqrt(u2), Ref: f.Values[len(f.Values)-1].Ref}
}

// wear tells which way the feature wears: a limit below only means that it
// shrinks, as does the loss below an unworn end.
func (f *Feature) wear() metrology.Wear {
	for _, l := range f.Feature.Limits {
		switch {
		case l.Compare == "below-unworn":
			return metrology.Shrinks
		case l.Max != nil && (l.Compare == "worst" || l.Compare == "mean"):
			return metrology.Grows
		case l.Min != nil && l.Max == nil:
			return metrology.Shrinks
		}
	}
	return metrology.Grows
}

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
