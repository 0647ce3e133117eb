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
	Points     []wearPoint `json:"points" help:"readings of one feature over running hours"`
	Limit      Any         `json:"limit" help:"value at which the part must go"`
	Confidence float64     `json:"confidence" default:"0.90" help:"of the two-sided bands"`
	At         []Hours     `json:"at" optional:"yes" help:"hours at which a reading is predicted"`
	Replaced   []Hours     `json:"replaced" optional:"yes" help:"hours at which the part was replaced: the trend starts anew, hours stay those of the place"`
}

type wearPoint struct {
	Hours Hours `json:"hours" help:"running hours at the reading"`
	Value Any   `json:"value" help:"what was read"`
	U     *Any  `json:"u" help:"its standard uncertainty; the line is weighted only when all have one"`
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
	dimension, readings, err := in.readings()
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

// readings brings the points to one dimension, that of the first.
func (in wearTrendIn) readings() (quantity.Dimension, []life.Reading, error) {
	var dimension quantity.Dimension
	var list []life.Reading
	for i, p := range in.Points {
		at := fmt.Sprintf("points[%d]", i)
		if i == 0 {
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

type recurrenceIn struct {
	Systems    []recurrenceSystem `json:"systems" help:"machines that are repaired and run on"`
	Confidence float64            `json:"confidence" default:"0.95" help:"of the two-sided bounds"`
}

type recurrenceSystem struct {
	Events []Hours `json:"events" help:"running hours at each failure, rising; an empty list for none"`
	End    Hours   `json:"end" help:"running hours to which it was watched; the last event when watching stopped at it"`
}

type recurrenceOut struct {
	Beta           float64           `json:"beta" help:"exponent of N(t) = λ·t^β: above 1 it gets worse, below 1 better"`
	Lambda         float64           `json:"lambda" help:"λ, with hours"`
	BetaLow        *float64          `json:"beta_low" help:"lower bound of beta (one system)"`
	BetaHigh       *float64          `json:"beta_high" help:"upper bound of beta (one system)"`
	MCF            []recurrencePoint `json:"mcf" help:"mean cumulative number of failures for one machine, without a model"`
	TrendP         float64           `json:"trend_p" help:"chance of such a trend by accident (χ² test of MIL-HDBK-189, two-sided)"`
	TrendStatistic float64           `json:"trend_statistic" help:"its χ²"`
	LaplaceU       float64           `json:"laplace_u" help:"Laplace's statistic: above 0 it gets worse"`
	LaplaceP       float64           `json:"laplace_p" help:"its two-sided p-value"`
	Intensity      float64           `json:"intensity" help:"failures for each hour at the end"`
	MTBF           quantity.Time     `json:"mtbf" help:"mean time between failures at the end"`
}

type recurrencePoint struct {
	Time  float64 `json:"time" help:"running hours"`
	Value float64 `json:"value" help:"mean number of failures up to then"`
	Low   float64 `json:"low" help:"lower bound"`
	High  float64 `json:"high" help:"upper bound"`
}

var (
	msgWorse   = say.Define("calculator.recurrence_worse", "failures come faster with age: look for what gets worse, or plan an overhaul")
	msgBetter  = say.Define("calculator.recurrence_better", "failures come slower with age: early faults are being found")
	msgNoTrend = say.Define("calculator.recurrence_none", "no trend is proved (p above 0.05)")
)

func recurrenceCalculator() Calculator {
	return Define("recurrence", "Does this machine fail more and more often?", `systems: # invented
  - {events: [410, 1650, 2390, 2980, 3420, 3710], end: 4000}
  - {events: [890, 2100, 2750, 3300], end: 3600}
`, func(_ *Env, in recurrenceIn) (out recurrenceOut, notes Notes, err error) {
		systems := make([]life.System, len(in.Systems))
		for i, s := range in.Systems {
			systems[i].End = float64(s.End)
			for _, e := range s.Events {
				systems[i].Events = append(systems[i].Events, float64(e))
			}
		}
		p, err := life.FitPowerLaw(systems)
		if err != nil {
			return out, notes, err
		}
		points, err := life.MeanCumulative(systems, in.Confidence)
		if err != nil {
			return out, notes, err
		}
		out = recurrenceOut{
			Beta: p.Beta, Lambda: p.Lambda, TrendP: p.TrendP, TrendStatistic: p.TrendStatistic, LaplaceU: p.Laplace, LaplaceP: p.LaplaceP,
			Intensity: p.Intensity, MTBF: quantity.Time(p.MTBF * secondsPerHour),
		}
		if len(systems) == 1 && p.TrendDegrees > 0 {
			low, high, err := p.BetaBounds(in.Confidence)
			if err != nil {
				return out, notes, err
			}
			out.BetaLow, out.BetaHigh = &low, &high
		}
		for _, c := range points {
			out.MCF = append(out.MCF, recurrencePoint{Time: c.Age, Value: c.Mean, Low: c.Low, High: c.High})
		}
		switch {
		case p.TrendP > 0.05:
			notes.Warn(msgNoTrend.With())
		case p.Beta > 1:
			notes.Warn(msgWorse.With())
		default:
			notes.Warn(msgBetter.With())
		}
		notes.Working = p.Working("systems")
		return out, notes, nil
	})
}

const secondsPerHour = 3600

type sparesIn struct {
	Rate         float64       `json:"rate" help:"failures of one unit for each hour"`
	Units        int           `json:"units" help:"units fitted"`
	LeadTime     quantity.Time `json:"lead_time" help:"from order to shelf"`
	ServiceLevel float64       `json:"service_level" default:"0.95" help:"chance wanted that demand in the lead time is at most the stock"`
	Sites        []sparesSite  `json:"sites" optional:"yes" help:"further sites that draw on the same shelf"`
}

type sparesSite struct {
	Rate     float64       `json:"rate" help:"failures of one unit for each hour"`
	Units    int           `json:"units" help:"units fitted"`
	LeadTime quantity.Time `json:"lead_time" help:"from order to shelf"`
}

type sparesOut struct {
	Stock         int     `json:"stock" help:"parts to hold"`
	Achieved      float64 `json:"achieved" help:"chance that demand in the lead time is at most the stock"`
	MeanDemand    float64 `json:"mean_demand" help:"mean demand in the lead time"`
	NoWait        float64 `json:"no_wait" help:"chance that a part is left on the shelf at any moment"`
	ExpectedShort float64 `json:"expected_short" help:"mean number missing"`
}

var msgSteadyRate = say.Define("calculator.spares_steady", "failures are taken to come at a steady rate; parts that wear out together need more")

func sparesCalculator() Calculator {
	return Define("spares", "How many spares must lie on the shelf?",
		"rate: 0.0001\nunits: 20\nlead_time: 90 d\nservice_level: 0.95\n",
		func(_ *Env, in sparesIn) (out sparesOut, notes Notes, err error) {
			sites := []life.Demand{{Rate: in.Rate, Units: float64(in.Units), LeadTime: float64(in.LeadTime) / secondsPerHour}}
			for _, s := range in.Sites {
				sites = append(sites, life.Demand{Rate: s.Rate, Units: float64(s.Units), LeadTime: float64(s.LeadTime) / secondsPerHour})
			}
			s, err := life.Stock(in.ServiceLevel, sites...)
			if err != nil {
				return out, notes, err
			}
			out = sparesOut{Stock: s.Stock, Achieved: s.Achieved, MeanDemand: s.MeanDemand, NoWait: s.NoWait, ExpectedShort: s.ExpectedShort}
			notes.Warn(msgSteadyRate.With())
			notes.Working = s.Working("rate, units, lead_time")
			return out, notes, nil
		})
}
