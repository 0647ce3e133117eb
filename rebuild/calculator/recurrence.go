package calculator

import (
	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

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
	Time  float64  `json:"time" help:"running hours"`
	Value float64  `json:"value" help:"mean number of failures up to then"`
	Low   *float64 `json:"low" help:"lower bound; absent with one machine"`
	High  *float64 `json:"high" help:"upper bound; absent with one machine"`
}

var (
	msgWorse       = say.Define("calculator.recurrence_worse", "failures come faster with age: look for what gets worse, or plan an overhaul")
	msgBetter      = say.Define("calculator.recurrence_better", "failures come slower with age: early faults are being found")
	msgFewMachines = say.Define("calculator.recurrence_few", "{n:count|machine|machines} tell little of the spread between machines: the bounds of the mean number are unsure")
	msgNoTrend     = say.Define("calculator.recurrence_none", "no trend is proved (p above 0.05)")
)

// fewMachines is below how many machines the bounds of the mean number are
// called unsure.
const fewMachines = 5

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
			point := recurrencePoint{Time: c.Age, Value: c.Mean}
			if len(systems) > 1 {
				point.Low, point.High = &c.Low, &c.High
			}
			out.MCF = append(out.MCF, point)
		}
		if len(systems) < fewMachines {
			notes.Warn(msgFewMachines.With(len(systems)))
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
	Rate         float64       `json:"rate" unit:"1/h|/h|per hour|1/hour" help:"failures of one unit for each hour"`
	Units        int           `json:"units" help:"units fitted"`
	LeadTime     quantity.Time `json:"lead_time" help:"from order to shelf"`
	ServiceLevel float64       `json:"service_level" default:"0.95" help:"chance wanted that demand in the lead time is at most the stock"`
	Sites        []sparesSite  `json:"sites" optional:"yes" help:"further sites that draw on the same shelf"`
}

type sparesSite struct {
	Rate     float64       `json:"rate" unit:"1/h|/h|per hour|1/hour" help:"failures of one unit for each hour"`
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
