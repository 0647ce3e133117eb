package calculator

import (
	"fmt"
	"math"

	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

// lifeCalculators are those of wear, life, recurrence and spares.
func lifeCalculators() []Calculator {
	return []Calculator{wearTrendCalculator(), lifeCalculator(), recurrenceCalculator(), sparesCalculator()}
}

type wearTrendIn struct {
	Points     []wearPoint  `json:"points" help:"readings of one feature over running hours"`
	Limit      Any          `json:"limit" help:"value at which the part must go"`
	Confidence float64      `json:"confidence" default:"0.90" help:"of the two-sided bands"`
	At         []Hours      `json:"at" optional:"yes" help:"hours at which a reading is predicted"`
	Sisters    []wearSister `json:"sisters" optional:"yes" help:"readings of the same feature of sister pumps, with the same duty: their rates steady this one"`
	Replaced   []Hours      `json:"replaced" optional:"yes" help:"hours at which the part was replaced: the trend starts anew, hours stay those of the place"`
}

type wearPoint struct {
	Hours Hours `json:"hours" help:"running hours at the reading"`
	Value Any   `json:"value" help:"what was read"`
	U     *Any  `json:"u" help:"its standard uncertainty; the line is weighted only when all have one"`
}

type wearSister struct {
	Points []wearPoint `json:"points" help:"readings of its part, at least three (two with u)"`
}

type wearPooled struct {
	Slope        AnyResult `json:"slope" help:"rate of this part, drawn towards the family's as far as its readings are unsure, for each hour"`
	Family       AnyResult `json:"family" help:"mean rate of the family, for each hour"`
	Between      AnyResult `json:"between" help:"standard deviation of the rates between pumps"`
	HoursAtLimit *float64  `json:"hours_at_limit" help:"hours at which the line with that rate reaches the limit"`
	HoursLow     *float64  `json:"hours_low" help:"hours from which a reading may lie beyond the limit"`
	HoursHigh    *float64  `json:"hours_high" help:"hours after which every reading lies beyond it"`
	AlikeP       float64   `json:"alike_p" help:"chance of such differences between pumps by accident"`
}

type wearTrendOut struct {
	Slope        AnyResult       `json:"slope" help:"change for each hour"`
	SlopeU       AnyResult       `json:"slope_u" help:"its standard uncertainty, for each hour"`
	Per1000      AnyResult       `json:"per_1000_hours" help:"change in 1000 hours"`
	Intercept    AnyResult       `json:"intercept" help:"value of the line at hours 0 (of the part)"`
	ResidualSD   AnyResult       `json:"residual_sd" help:"scatter of the readings about the line"`
	HoursAtLimit *float64        `json:"hours_at_limit" help:"hours at which the line reaches the limit; absent when it does not move towards it"`
	HoursLow     *float64        `json:"hours_low" help:"hours from which a reading may lie beyond the limit"`
	HoursHigh    *float64        `json:"hours_high" help:"hours after which every reading lies beyond it; absent when the readings do not set it"`
	Predictions  []wearPredicted `json:"predictions" help:"readings to be expected"`
	Pooled       *wearPooled     `json:"pooled" help:"with the rates of sister pumps"`
	Weighted     bool            `json:"weighted" help:"the readings were weighted by their uncertainties"`
}

type wearPredicted struct {
	Hours float64   `json:"hours" help:"running hours"`
	Value AnyResult `json:"value" help:"the line there"`
	Low   AnyResult `json:"low" help:"lower end of the band for one new reading"`
	High  AnyResult `json:"high" help:"upper end of that band"`
}

var (
	msgTrendAway     = say.Define("calculator.trend_away", "the readings do not move towards the limit, so no hours can be given")
	msgTrendUnsure   = say.Define("calculator.trend_unsure", "the readings do not prove that there is wear: the slope is less than its band")
	msgTrendFar      = say.Define("calculator.trend_far", "the limit lies {times:number} times as far as the readings reach: a guess, take another reading on the way")
	msgTrendReached  = say.Define("calculator.trend_reached", "the line has reached the limit already")
	msgTrendRaised   = say.Define("calculator.trend_raised", "the readings scatter more than their uncertainties say; these were raised by the factor {factor:number}")
	msgTrendMixed    = say.Define("calculator.trend_mixed", "some readings state no uncertainty, so none was used")
	msgTrendStraight = say.Define("calculator.trend_straight", "a straight line is assumed; running-in and a worn-through hard layer are not straight")
	msgPartsBefore   = say.Define("calculator.parts_before", "{n:count|reading|readings} of earlier parts left out")
	cautionForecast  = say.Define("calculator.caution_forecast", "A forecast is no proof that a part lasts. Keep the inspections that the maker's manual and the site's rules ask for.")
)

func wearTrendCalculator() Calculator {
	return Define("wear-trend", "How fast does it wear, and when does it reach the limit?", `points: # invented
  - {hours: 0, value: 0.062 mm, u: 0.006 mm}
  - {hours: 2100, value: 0.081 mm, u: 0.006 mm}
  - {hours: 4300, value: 0.096 mm, u: 0.006 mm}
  - {hours: 6250, value: 0.118 mm, u: 0.006 mm}
limit: 0.150 mm
at: [8000]
`, runWearTrend)
}

func runWearTrend(_ *Env, in wearTrendIn) (out wearTrendOut, notes Notes, err error) {
	dimension, readings, err := wearReadings(in.Points, "points", quantity.NoDimension)
	if err != nil {
		return out, notes, err
	}
	difference := fields.Difference(dimension)
	limit, err := in.Limit.As(dimension)
	if err != nil {
		return out, notes, say.In("limit", err)
	}
	part, start, err := in.part(readings)
	if err != nil {
		return out, notes, err
	}
	if left := len(readings) - len(part); left > 0 {
		notes.Warn(msgPartsBefore.With(left))
	}
	line, err := life.FitLine(part)
	if err != nil {
		return out, notes, err
	}
	reach, err := line.Reach(limit.SI, in.Confidence, false)
	if err != nil {
		return out, notes, err
	}
	value := func(v float64) AnyResult { return AnyResult{Dimension: dimension, SI: v} }
	change := func(v float64) AnyResult { return AnyResult{Dimension: difference, SI: v} }
	out = wearTrendOut{
		Slope: change(line.Slope), SlopeU: change(line.SlopeU), Per1000: AnyResult{Dimension: difference, SI: 1000 * line.Slope, U: 1000 * line.SlopeU}, ResidualSD: change(line.ResidualSD),
		Intercept: value(line.Intercept), Weighted: line.Weighted, Predictions: []wearPredicted{},
	}
	in.judge(&out, &notes, line, reach, part, start)
	if out.Pooled, err = in.pooled(line, dimension, limit.SI, start); err != nil {
		return out, notes, err
	}
	for i, at := range in.At {
		h := float64(at) - start
		if h < 0 {
			return out, notes, say.Refuse(fmt.Sprintf("at[%d]", i), fmt.Sprint(float64(at)), msgMustBePositive.With(), say.Message{})
		}
		half := line.HalfWidth(h, in.Confidence)
		v := line.At(h)
		out.Predictions = append(out.Predictions, wearPredicted{Hours: float64(at), Value: value(v), Low: value(v - half), High: value(v + half)})
	}
	notes.Cautions = append(notes.Cautions, cautionForecast.With())
	notes.Working = line.Working(dimension, difference, "points")
	return out, notes, nil
}

// part returns the readings of the part that runs now, with the hours at which
// it was put in. Without replacements the readings may come in any order.
func (in wearTrendIn) part(readings []life.Reading) (part []life.Reading, start float64, err error) {
	if len(in.Replaced) == 0 {
		return readings, 0, nil
	}
	replaced := make([]float64, len(in.Replaced))
	for i, h := range in.Replaced {
		replaced[i] = float64(h)
	}
	parts, err := life.Split(readings, replaced)
	if err != nil {
		return nil, 0, err
	}
	return parts[len(replaced)], replaced[len(replaced)-1], nil
}

// judge sets the hours at the limit and says what they are worth.
func (in wearTrendIn) judge(out *wearTrendOut, notes *Notes, line *life.Line, reach life.Crossing, part []life.Reading, start float64) {
	first, last := part[0].Hours, part[0].Hours
	for _, r := range part {
		first, last = min(first, r.Hours), max(last, r.Hours)
	}
	shift := func(p *float64) *float64 {
		if p == nil {
			return nil
		}
		v := *p + start
		return &v
	}
	switch {
	case reach.At == nil || *reach.At < first:
		notes.Warn(msgTrendAway.With())
	default:
		out.HoursAtLimit, out.HoursLow, out.HoursHigh = shift(reach.At), shift(reach.Low), shift(reach.High)
		if *reach.At <= last {
			notes.Warn(msgTrendReached.With())
		}
		if times := (*reach.At - first) / (last - first); times > 2 {
			notes.Warn(msgTrendFar.With(times))
		}
	}
	if math.Abs(line.Slope) < line.Factor(in.Confidence)*line.SlopeU {
		notes.Warn(msgTrendUnsure.With())
	}
	if line.Scale > 1 {
		notes.Warn(msgTrendRaised.With(line.Scale))
	}
	stated := 0
	for _, r := range part {
		if r.U > 0 {
			stated++
		}
	}
	if stated > 0 && !line.Weighted {
		notes.Warn(msgTrendMixed.With())
	}
	notes.Warn(msgTrendStraight.With())
}

// pooled steadies the rate of the part by those of sister pumps.
func (in wearTrendIn) pooled(line *life.Line, dimension quantity.Dimension, limit, start float64) (*wearPooled, error) {
	if len(in.Sisters) == 0 {
		return nil, nil
	}
	rates := []life.Rate{{Slope: line.Slope, U: line.SlopeU}}
	for i, sister := range in.Sisters {
		at := fmt.Sprintf("sisters[%d]", i)
		_, readings, err := wearReadings(sister.Points, at+".points", dimension)
		if err != nil {
			return nil, err
		}
		l, err := life.FitLine(readings)
		if err != nil {
			return nil, say.In(at, err)
		}
		rates = append(rates, life.Rate{Slope: l.Slope, U: l.SlopeU})
	}
	p, err := life.Pool(rates)
	if err != nil {
		return nil, say.In("sisters", err)
	}
	own := p.Shrunk[0]
	reach, err := line.WithRate(own).Reach(limit, in.Confidence, false)
	if err != nil {
		return nil, err
	}
	change := func(v, u float64) AnyResult {
		return AnyResult{Dimension: fields.Difference(dimension), SI: v, U: u}
	}
	out := &wearPooled{Slope: change(own.Slope, own.U), Family: change(p.Mean, p.MeanU), Between: change(p.Between, 0), AlikeP: p.QP}
	for _, pair := range []struct {
		to   **float64
		from *float64
	}{{&out.HoursAtLimit, reach.At}, {&out.HoursLow, reach.Low}, {&out.HoursHigh, reach.High}} {
		if pair.from != nil && *pair.from+start >= 0 {
			v := *pair.from + start
			*pair.to = &v
		}
	}
	return out, nil
}

// wearReadings brings points to one dimension: that of the first when the
// dimension is NoDimension.
func wearReadings(points []wearPoint, path string, dimension quantity.Dimension) (quantity.Dimension, []life.Reading, error) {
	var list []life.Reading
	for i, p := range points {
		at := fmt.Sprintf("%s[%d]", path, i)
		if i == 0 && dimension == quantity.NoDimension {
			e, err := p.Value.Read()
			if err != nil {
				return 0, nil, say.In(at+".value", err)
			}
			dimension = e.Dimension
		}
		e, err := p.Value.As(dimension)
		if err != nil {
			return 0, nil, say.In(at+".value", err)
		}
		r := life.Reading{Hours: float64(p.Hours), Value: e.SI}
		if p.U != nil {
			u, err := p.U.As(fields.Difference(dimension))
			if err != nil {
				return 0, nil, say.In(at+".u", err)
			}
			if !(u.SI > 0) {
				return 0, nil, say.Refuse(at+".u", p.U.Text, msgMustBePositive.With(), msgPositiveWanted.With())
			}
			r.U = u.SI
		}
		list = append(list, r)
	}
	return dimension, list, nil
}
