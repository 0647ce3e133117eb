package calculator

import (
	"fmt"
	"math"

	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

type lifeIn struct {
	File         string    `json:"file" optional:"yes" help:"CSV file with the columns time, status (1 failed, 0 running) and, if wanted, count"`
	Rows         []lifeRow `json:"rows" optional:"yes" help:"the lives, when they do not come from a file"`
	TimeUnit     string    `json:"time_unit" default:"h" help:"unit of plain numbers, in the file or in rows, and of the log-likelihood"`
	Distribution string    `json:"distribution" default:"weibull" oneof:"weibull|lognormal|exponential" help:"life distribution"`
	Confidence   float64   `json:"confidence" default:"0.95" help:"of the two-sided bounds"`
	Beta         *float64  `json:"beta" help:"shape from experience, for few or no failures (Weibull)"`
}

type lifeRow struct {
	Time     *Any    `json:"time" help:"age at failure, or to which it has run"`
	Status   *int    `json:"status" help:"1 failed (when missing), 0 still running"`
	Count    float64 `json:"count" default:"1" help:"how many alike"`
	TimeLow  *Any    `json:"time_low" help:"last age at which it was seen good, for a failure between two looks"`
	TimeHigh *Any    `json:"time_high" help:"age at which it was found failed"`
	Entry    *Any    `json:"entry" help:"age at which watching began, when not from new"`
}

type lifeOut struct {
	Shape         float64        `json:"shape" help:"Weibull β, lognormal σ"`
	Scale         quantity.Time  `json:"scale" help:"Weibull η (63 % failed), lognormal median, exponential mean"`
	ShapeSE       float64        `json:"shape_se" help:"its standard error"`
	ScaleSE       quantity.Time  `json:"scale_se" help:"its standard error"`
	LogLikelihood float64        `json:"log_likelihood" help:"at the best fit, in time_unit"`
	ShapeLow      *float64       `json:"shape_low" help:"lower bound; absent when the data set none"`
	ShapeHigh     *float64       `json:"shape_high" help:"upper bound"`
	ScaleLow      *quantity.Time `json:"scale_low" help:"lower bound"`
	ScaleHigh     *quantity.Time `json:"scale_high" help:"upper bound"`
	B10           quantity.Time  `json:"b10" help:"age by which one in ten has failed"`
	B10Low        *quantity.Time `json:"b10_low" help:"lower bound"`
	B10High       *quantity.Time `json:"b10_high" help:"upper bound"`
	Mean          quantity.Time  `json:"mean" help:"mean life"`
	Failures      float64        `json:"failures" help:"parts that failed"`
	Suspensions   float64        `json:"suspensions" help:"parts that had not failed"`
}

var (
	msgTimeOrPair    = say.Define("calculator.time_or_pair", "a row has either time, or time_low and time_high")
	msgStatus        = say.Define("calculator.status", "the status of a part is 1 (failed) or 0 (running)")
	msgBetaWeibull   = say.Define("calculator.beta_weibull", "a given beta belongs to the Weibull distribution")
	msgWithoutBeta   = say.Define("calculator.without_beta", "leave beta out, or choose weibull")
	msgFewFailures   = say.Define("calculator.few_failures", "{n:number} failures carry a shape badly; a beta from experience may serve better")
	msgNoneFailedYet = say.Define("calculator.none_failed_yet", "none has failed; the scale stands for one failure that is about to happen, and only lower bounds exist")
	msgBetaAssumed   = say.Define("calculator.beta_assumed", "beta {beta:number} is assumed, not found; all bounds hold only if it is right")
	msgEarlyFailures = say.Define("calculator.early_failures", "shape below 1: failures come early, look at assembly and parts before shortening the interval")
)

func lifeCalculator() Calculator {
	return Define("life", "How long do these parts live?", `rows: # invented
  - {time: 3100 h}
  - {time: 5200 h}
  - {time: 6900 h}
  - {time: 8800 h}
  - {time: 4000 h, status: 0, count: 3}
  - {time: 9500 h, status: 0, count: 2}
distribution: weibull
`, runLife)
}

func runLife(env *Env, in lifeIn) (lifeOut, Notes, error) {
	unit, err := quantity.Parse(quantity.TimeDimension, "1 "+in.TimeUnit)
	if err != nil {
		return lifeOut{}, Notes{}, say.In("time_unit", err)
	}
	rows, from, err := in.rows(env, unit.SI)
	if err != nil {
		return lifeOut{}, Notes{}, err
	}
	if in.Beta != nil {
		return in.given(rows, from, unit.SI)
	}
	return in.fitted(rows, from, unit.SI)
}

func (in lifeIn) fitted(rows []life.Observation, from string, unit float64) (out lifeOut, notes Notes, err error) {
	f, err := life.Fit(rows, life.Distribution(in.Distribution))
	if err != nil {
		return out, notes, in.placed(err)
	}
	m := f.Model()
	span := func(v float64) quantity.Time { return quantity.Time(v * unit) }
	out = lifeOut{
		Shape: f.Shape, ShapeSE: f.ShapeSE, Scale: span(f.Scale), ScaleSE: span(f.ScaleSE), LogLikelihood: f.LogLikelihood,
		B10: span(m.AgeAt(0.1)), Mean: span(m.Mean()), Failures: f.Failures, Suspensions: f.Suspensions,
	}
	times := func(b life.Bounds) (low, high *quantity.Time) {
		if b.Low != nil {
			v := span(*b.Low)
			low = &v
		}
		if b.High != nil {
			v := span(*b.High)
			high = &v
		}
		return low, high
	}
	shape, err := f.Ratio(life.TheShape(), in.Confidence)
	if err != nil {
		return out, notes, err
	}
	scale, err := f.Ratio(life.TheScale(), in.Confidence)
	if err != nil {
		return out, notes, err
	}
	b10, err := f.Ratio(life.TheAge(0.1), in.Confidence)
	if err != nil {
		return out, notes, err
	}
	out.ShapeLow, out.ShapeHigh = shape.Low, shape.High
	out.ScaleLow, out.ScaleHigh = times(scale)
	out.B10Low, out.B10High = times(b10)
	if f.Failures < 5 && f.Distribution != life.Exponential {
		notes.Warn(msgFewFailures.With(f.Failures))
	}
	if f.Distribution == life.Weibull && f.Shape < 1 {
		notes.Warn(msgEarlyFailures.With())
	}
	notes.Cautions = append(notes.Cautions, cautionForecast.With())
	notes.Working = f.Working(from)
	return out, notes, nil
}

// given takes beta from experience; bounds of the scale are from χ².
func (in lifeIn) given(rows []life.Observation, from string, unit float64) (out lifeOut, notes Notes, err error) {
	if in.Distribution != string(life.Weibull) {
		return out, notes, say.Refuse("beta", fmt.Sprint(*in.Beta), msgBetaWeibull.With(), msgWithoutBeta.With())
	}
	w, err := life.Weibayes(rows, *in.Beta)
	if err != nil {
		return out, notes, in.placed(err)
	}
	one := (1 + in.Confidence) / 2
	low, err := w.Low(one)
	if err != nil {
		return out, notes, err
	}
	high, err := w.High(one)
	if err != nil {
		return out, notes, err
	}
	span := func(v float64) quantity.Time { return quantity.Time(v * unit) }
	m := w.Model()
	b10 := m.AgeAt(0.1) / w.Eta
	scaleLow, b10Low := span(low), span(low*b10)
	out = lifeOut{
		Shape: w.Beta, Scale: span(w.Eta), LogLikelihood: w.LogLikelihood,
		ScaleSE: span(w.Eta / (w.Beta * math.Sqrt(math.Max(w.Failures, 1)))), ScaleLow: &scaleLow, B10: span(m.AgeAt(0.1)), B10Low: &b10Low,
		Mean: span(m.Mean()), Failures: w.Failures, Suspensions: w.Suspensions,
	}
	if high != nil {
		scaleHigh, b10High := span(*high), span(*high*b10)
		out.ScaleHigh, out.B10High = &scaleHigh, &b10High
	}
	notes.Warn(msgBetaAssumed.With(w.Beta))
	if w.Assumed {
		notes.Warn(msgNoneFailedYet.With())
	}
	notes.Cautions = append(notes.Cautions, cautionForecast.With())
	notes.Working = w.Working(from)
	return out, notes, nil
}

// placed names the file in a problem of rows that came from one.
func (in lifeIn) placed(err error) error { return fromFile(in.File, err) }

// rows reads the lives in units of time_unit.
func (in lifeIn) rows(env *Env, unit float64) (list []life.Observation, from string, err error) {
	if (in.File == "") == (len(in.Rows) == 0) {
		return nil, "", say.Refuse("rows", "", msgOneOfTwo.With("file", "rows"), msgGiveRows.With("rows"))
	}
	if in.File != "" {
		list, err = readLives(env, in.File)
		return list, "file", say.In("file", err)
	}
	for i, r := range in.Rows {
		o, err := r.observation(unit)
		if err != nil {
			return nil, "", say.In(fmt.Sprintf("rows[%d]", i), err)
		}
		list = append(list, o)
	}
	return list, "rows", nil
}

func (r lifeRow) observation(unit float64) (o life.Observation, err error) {
	age := func(field string, a *Any) float64 {
		if a == nil || err != nil {
			return 0
		}
		if a.IsPlain() {
			return a.Number()
		}
		e, readErr := a.As(quantity.TimeDimension)
		err = say.In(field, readErr)
		return e.SI / unit
	}
	if (r.Time == nil) == (r.TimeHigh == nil && r.TimeLow == nil) || r.Time == nil && r.TimeHigh == nil {
		return o, say.Refuse("time", "", msgTimeOrPair.With(), say.Message{})
	}
	status := 1
	if r.Status != nil {
		status = *r.Status
	}
	o = life.Observation{Low: age("time", r.Time), Entry: age("entry", r.Entry), Count: r.Count}
	switch {
	case status != 0 && status != 1:
		return o, say.Refuse("status", fmt.Sprint(status), msgStatus.With(), say.Message{})
	case r.Count == 0:
		return o, say.Refuse("count", "0", msgMustBePositive.With(), msgPositiveWanted.With())
	case r.Time == nil:
		o.Low, o.High = age("time_low", r.TimeLow), age("time_high", r.TimeHigh)
	case status == 0:
		o.High = math.Inf(1)
	default:
		o.High = o.Low
	}
	return o, err
}

// readLives reads a CSV file with time, status and count.
func readLives(env *Env, name string) ([]life.Observation, error) {
	table, err := readCSV(env, name, []csvColumn{{name: "time"}, {name: "status"}, {name: "count", mayLack: true}})
	if err != nil {
		return nil, err
	}
	list := make([]life.Observation, len(table.lines))
	for i := range list {
		age, err := table.number(i, "time", msgWriteTimes.With())
		if err != nil {
			return nil, err
		}
		if !(age > 0) {
			return nil, table.onLine(i, say.Refuse("", table.text(i, "time"), msgMustBePositive.With(), msgPositiveWanted.With()))
		}
		list[i] = life.Failed(age)
		switch status := table.text(i, "status"); status {
		case "0":
			list[i] = life.Running(age)
		case "1":
		default:
			return nil, table.onLine(i, say.Refuse("", status, msgStatus.With(), say.Message{}))
		}
		if table.text(i, "count") == "" {
			continue
		}
		if list[i].Count, err = table.number(i, "count", msgPositiveWanted.With()); err != nil {
			return nil, err
		}
		if !(list[i].Count > 0) {
			return nil, table.onLine(i, say.Refuse("", table.text(i, "count"), msgMustBePositive.With(), msgPositiveWanted.With()))
		}
	}
	return list, nil
}

var msgWriteTimes = say.Define("calculator.write_times", "write plain numbers; their unit stands in the field time_unit")
