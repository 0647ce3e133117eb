package due

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Segment is the readings of one part, from when it was fitted to when it came
// out: hours counted from the fitting, values and uncertainties in SI.
type Segment struct {
	Machine  string // serial of the machine, for the words
	Readings []life.Reading
}

// Running is where the part that is asked about stands.
type Running struct {
	At         time.Time // the day for which Hours holds
	Hours      float64   // of the part, up to At
	HoursAYear float64   // from then on; 0 = not known
}

// Inputs is what a forecast is made of.
type Inputs struct {
	Dimension  quantity.Dimension
	Limit      float64   // SI
	Rising     bool      // true when wear makes the number larger
	Current    Segment   // the part that runs now
	Others     []Segment // parts that sat here before, and those of sister pumps in the same service
	Running    *Running  // nil: hours only, no day
	Confidence float64   // of the bounds, two-sided; DefaultConfidence when 0
}

// DefaultConfidence is the confidence of bounds. A setting of our own, shown
// as such.
const DefaultConfidence = 0.90

// Basis says what a forecast rests on.
type Basis string

// Show prints the word in the language of a style.
func (v Basis) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Basis) Message() say.Message { return say.Word("due", string(v)) }

// The bases.
const (
	Own      Basis = "the readings of this part"
	Pooled   Basis = "the readings of this part and of parts like it"
	Sisters  Basis = "parts like it in the same service"
	OnePart  Basis = "the wear of one part before it"
	NotKnown Basis = "nothing yet"
)

// Forecast is when the limit will be reached.
type Forecast struct {
	Inputs Inputs
	Basis  Basis
	Parts  int           // parts whose rate stands behind it, this one included
	Rate   life.Rate     // wear in SI for each hour, positive toward the limit
	Start  life.Reading  // where the line is known best: the middle of this part's readings
	Line   *life.Line    // through this part's own readings; nil when they carry none
	Pool   *life.Pooled  // nil when not pooled
	Factor float64       // of the bounds
	Now    *float64      // expected value at Running.Hours
	Past   bool          // the limit was passed when last read
	Unwell say.Message   // why there is no forecast; empty when there is one
	Said   []say.Message // what the reader must know beside the numbers
	Hours  Span          // of this part, from its fitting
	Day    [3]*time.Time // near bound, expected, far bound
}

// Span is an expected number of hours with its bounds; nil is never, or not
// known.
type Span struct{ Low, At, High *float64 }

// LeastPooled is how many rates are needed before their spread tells anything.
// A setting of our own.
const LeastPooled = 3

var (
	msgConfidence   = say.Define("due.confidence", "a confidence lies between 0 and 1")
	msgLimit        = say.Define("due.limit", "a limit is a finite number")
	msgRunning      = say.Define("due.running", "hours of a part are 0 or more, hours a year from 0 to 8784")
	msgNoReading    = say.Define("due.no_reading", "nothing was read on the part that runs now, and its size as new is not known")
	msgNoRate       = say.Define("due.no_rate", "the rate of wear is not known: it takes two readings of one part at different hours, here or on a sister pump")
	msgNoWear       = say.Define("due.no_wear", "the readings do not move toward the limit")
	msgOnePart      = say.Define("due.one_part", "rests on one other part alone: how much parts differ is not known, so there are no bounds")
	msgFewParts     = say.Define("due.few_parts", "only {n:count|rate of wear stands|rates of wear stand} behind this: too few to tell how much parts differ; the bounds hold the readings' uncertainty only")
	msgNoFarBound   = say.Define("due.no_far_bound", "the wear rate is so unsure that no far bound can be named")
	msgAlreadyNear  = say.Define("due.already_near", "by the near bound it may be at its limit now")
	msgAlreadyPast  = say.Define("due.already_past", "it was past its limit when it was last read")
	msgNoHoursAYear = say.Define("due.no_hours_a_year", "the running hours a year are not known, so no day is named")
)

// Predict makes a forecast.
//
//	part i         slope b_i ± u_i from its readings
//	rate of a part ~ N(mean, between²), pooled by life.Pool
//	limit reached  x = d/b, d = limit − value at the middle of the readings
//	bounds         (d − b·x)² = k²·(u_d² + x²·u_b²)
//
// k is Student's t; its degrees of freedom are those of the spread between
// parts (n − 1), raised by the share of u_b that the part's own readings hold
// (Welch–Satterthwaite). Errors: a confidence, limit or hours that cannot be;
// readings that life.FitLine refuses, hours that run backwards among them.
// Not knowing is no error: Forecast.Unwell says why.
//
// Source: hierarchical normal model of life.Pool; the bounds are Fieller's,
// derived here.
func Predict(in Inputs) (*Forecast, error) {
	if in.Confidence == 0 {
		in.Confidence = DefaultConfidence
	}
	if err := in.check(); err != nil {
		return nil, err
	}
	f := &Forecast{Inputs: in, Basis: NotKnown}
	start, line, own, err := in.standing(in.Current)
	if err != nil {
		return nil, say.In("current", err)
	}
	if start == nil {
		f.Unwell = msgNoReading.With()
		return f, nil
	}
	f.Start, f.Line = *start, line
	var rates []life.Rate
	for i, s := range in.Others {
		_, _, r, err := in.standing(s)
		if err != nil {
			return nil, say.In(fmt.Sprintf("others[%d]", i), err)
		}
		if r != nil {
			rates = append(rates, *r)
		}
	}
	if own != nil {
		rates = append(rates, *own)
	}
	f.Parts = len(rates)
	if !f.rate(rates, own) {
		f.Unwell = msgNoRate.With()
		return f, nil
	}
	f.reach()
	f.days()
	return f, nil
}

func (in *Inputs) check() error {
	switch r := in.Running; {
	case !(in.Confidence > 0 && in.Confidence < 1):
		return say.Refuse("confidence", fmt.Sprint(in.Confidence), msgConfidence.With(), say.Message{})
	case math.IsNaN(in.Limit) || math.IsInf(in.Limit, 0):
		return say.Refuse("limit", fmt.Sprint(in.Limit), msgLimit.With(), say.Message{})
	case r != nil && !(r.Hours >= 0 && r.Hours < 1e7 && r.HoursAYear >= 0 && r.HoursAYear <= 8784):
		return say.Refuse("running", fmt.Sprint(r.Hours, " h, ", r.HoursAYear, " h a year"), msgRunning.With(), say.Message{})
	}
	return nil
}

// toward turns a value so that wear makes it grow.
func (in *Inputs) toward(v float64) float64 {
	if in.Rising {
		return v
	}
	return -v
}

// standing fits the readings of one part: where its line is known best, the
// line, and its rate. One reading alone has no rate; readings without
// uncertainty need three.
func (in *Inputs) standing(s Segment) (*life.Reading, *life.Line, *life.Rate, error) {
	turned := make([]life.Reading, len(s.Readings))
	for i, r := range s.Readings {
		turned[i] = life.Reading{Hours: r.Hours, Value: in.toward(r.Value), U: r.U}
	}
	if _, err := life.Split(turned, nil); err != nil {
		return nil, nil, nil, err
	}
	if len(turned) == 0 {
		return nil, nil, nil, nil
	}
	last := turned[len(turned)-1]
	if !spreads(turned) {
		if math.IsNaN(last.Value) || math.IsInf(last.Value, 0) || !(last.U >= 0) {
			_, err := life.FitLine(turned)
			return nil, nil, nil, err
		}
		return mean(turned), nil, nil, nil
	}
	line, err := life.FitLine(turned)
	if err != nil {
		return nil, nil, nil, err
	}
	middle := 0.0
	if line.SlopeU > 0 { // covariance = −middle·u²
		middle = -line.Covariance / (line.SlopeU * line.SlopeU)
	}
	u := math.Sqrt(math.Max(0, line.InterceptU*line.InterceptU-middle*middle*line.SlopeU*line.SlopeU))
	rate := &life.Rate{Slope: line.Slope, U: line.SlopeU}
	if !(rate.U > 0) {
		rate = nil // a perfect line claims more than anybody knows
	}
	return &life.Reading{Hours: middle, Value: line.At(middle), U: u}, line, rate, nil
}

// spreads reports whether readings can carry a line.
func spreads(list []life.Reading) bool {
	ages, stated := map[float64]bool{}, true
	for _, r := range list {
		ages[r.Hours] = true
		stated = stated && r.U > 0
	}
	return len(ages) >= 2 && (stated || len(list) >= 3)
}

// mean is the mean of readings at one age (or the last, where they lack what a
// line needs).
func mean(list []life.Reading) *life.Reading {
	last := list[len(list)-1]
	var w, wx float64
	for _, r := range list {
		if r.Hours != last.Hours || !(r.U > 0) {
			return &last
		}
		w += 1 / (r.U * r.U)
		wx += r.Value / (r.U * r.U)
	}
	return &life.Reading{Hours: last.Hours, Value: wx / w, U: math.Sqrt(1 / w)}
}

// rate finds the rate of this part; own is the last of rates when it is there.
func (f *Forecast) rate(rates []life.Rate, own *life.Rate) bool {
	half := (1 + f.Inputs.Confidence) / 2
	f.Factor = distuv.UnitNormal.Quantile(half)
	n := len(rates)
	switch {
	case n >= LeastPooled:
		pool, err := life.Pool(rates)
		if err != nil {
			return false
		}
		f.Pool, f.Basis, f.Rate = pool, Sisters, pool.Next
		ownShare := 0.0
		if own != nil {
			f.Basis, f.Rate = Pooled, pool.Shrunk[n-1]
			between := pool.Between * pool.Between
			weight := between / (between + own.U*own.U)
			ownShare = weight * weight * own.U * own.U / (f.Rate.U * f.Rate.U)
		}
		// degrees of the rest, as Welch–Satterthwaite counts them
		degrees := float64(n-1) / math.Max((1-ownShare)*(1-ownShare), 1e-9)
		if degrees < 1e6 {
			f.Factor = distuv.StudentsT{Sigma: 1, Nu: degrees}.Quantile(half)
		}
	case own != nil:
		f.Basis, f.Rate = Own, *own
		f.Factor = f.Line.Factor(f.Inputs.Confidence)
		if f.Line.N < LeastPooled {
			f.Said = append(f.Said, msgFewParts.With(n))
		}
	case n > 0:
		f.Basis, f.Rate = OnePart, rates[n-1]
		f.Said = append(f.Said, msgOnePart.With())
	default:
		return false
	}
	return true
}

// reach finds the hours at which the limit is met, and the bounds.
func (f *Forecast) reach() {
	d := f.Inputs.toward(f.Inputs.Limit) - f.Start.Value
	if r := f.Inputs.Running; r != nil {
		now := f.Inputs.toward(f.Start.Value + f.Rate.Slope*(r.Hours-f.Start.Hours))
		f.Now = &now
	}
	if last := f.Inputs.Current.Readings; f.Inputs.toward(last[len(last)-1].Value-f.Inputs.Limit) >= 0 {
		f.Past = true
		f.Said = append(f.Said, msgAlreadyPast.With())
	}
	if !(f.Rate.Slope > 0) {
		f.Unwell = msgNoWear.With()
	} else {
		f.Hours.At = f.age(d / f.Rate.Slope)
	}
	if f.Basis == OnePart {
		return
	}
	low, high := edges(d, f.Start.U, f.Rate, f.Factor)
	if low != nil {
		f.Hours.Low = f.age(*low)
	}
	if high != nil {
		f.Hours.High = f.age(*high)
	} else if f.Unwell.IsZero() {
		f.Said = append(f.Said, msgNoFarBound.With())
	}
}

// age counts from the fitting; nothing is due before it.
func (f *Forecast) age(x float64) *float64 {
	age := math.Max(0, x+f.Start.Hours)
	return &age
}

// edges solves (d − b·x)² = k²·(u² + x²·U²) for the two ages, from the middle
// of the readings: the near one where the upper edge of the band meets the
// limit, the far one where the lower edge does. nil: it never does.
//
//	x = (b·d ∓ k·√(b²u² + d²U² − k²u²U²))/(b² − k²U²)
func edges(d, u float64, rate life.Rate, k float64) (low, high *float64) {
	b := rate.Slope
	a2 := b*b - k*k*rate.U*rate.U
	a0 := d*d - k*k*u*u
	s2 := b*b*u*u + d*d*rate.U*rate.U - k*k*u*u*rate.U*rate.U
	if s2 < 0 { // the band holds the limit at any age
		now := math.Inf(-1)
		return &now, nil
	}
	root := k * math.Sqrt(s2)
	if sum := b*d + root; sum > 0 {
		near := a0 / sum // the stable form of the near root
		low = &near
		if a2 > 0 {
			far := sum / a2
			high = &far
		}
	} else if b > 0 && a2 > 0 { // the limit lies behind
		near, far := (b*d-root)/a2, sum/a2
		low, high = &near, &far
	}
	return low, high
}

const yearDays = 365.25

// days turns hours into days.
func (f *Forecast) days() {
	r := f.Inputs.Running
	if r == nil {
		return
	}
	if !(r.HoursAYear > 0) {
		f.Said = append(f.Said, msgNoHoursAYear.With())
		return
	}
	for i, h := range []*float64{f.Hours.Low, f.Hours.At, f.Hours.High} {
		if h == nil {
			continue
		}
		days := (*h - r.Hours) / r.HoursAYear * yearDays
		if days < 0 {
			days = 0
		}
		if days > farthestYears*yearDays { // a day so far off is no date
			continue
		}
		day := r.At.Add(time.Duration(days * 24 * float64(time.Hour)))
		f.Day[i] = &day
	}
	if low := f.Hours.Low; low != nil && *low <= r.Hours && !f.Past {
		f.Said = append(f.Said, msgAlreadyNear.With())
	}
}

// farthestYears is how far ahead a day is named. A setting of our own.
const farthestYears = 60
