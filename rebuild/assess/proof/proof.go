package proof

import (
	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/calc/working"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet    *sheet.Sheet
	Service  *sheet.Service // may be nil
	Liquid   *liquid.Liquid // of the service; may be nil
	Readings *reading.Chapter
	Replaced map[string]bool
	Expected *reading.Estimate // end clearance of the advised setting while it was not measured
	Shop     *ledger.Shop      // may be nil
	Points   []job.Kept[job.TestPoint]
	Running  []job.Kept[any]
	// LeftFrom is the number of the first entry that belongs to the pump as
	// left: readings of the running pump before it show the pump as found. 0:
	// there is none yet.
	LeftFrom int64
}

// Verdict is what the bench test shows.
type Verdict string

// Show prints the word in the language of a style.
func (v Verdict) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Verdict) Message() say.Message { return say.Word("proof", string(v)) }

// The verdicts.
const (
	Accepted  Verdict = "accepted"
	Refused   Verdict = "refused"
	NotShown  Verdict = "not shown"
	NotTested Verdict = "not tested"
)

const (
	acceptFrom = 0.95
	refuseTo   = 0.05
)

// Chapter is what the bench test is worth.
type Chapter struct {
	Planned []Planned
	Points  []Point
	Usable  int // points that are evidence

	Calibration *slip.Calibration // nil when nothing was fitted
	Simple      *slip.Simple      // two-number model of a pump without tooth data
	Missing     []Missing         // flow that is not slip
	Curve       *Curve            // the pump on the stand; nil without a model, or with neither points nor a plan

	// Duty is the service point and what is predicted there from the bench
	// test; the flow of the two-number model stands in SimpleFlow.
	Duty         *slip.Point
	Temperature  quantity.Temperature
	Prediction   *slip.Prediction
	SimpleFlow   *quantity.Estimate[quantity.Flow]
	Requirements []Requirement
	Verdict      Verdict

	Statements []say.Message // what the points can and cannot tell
	Reasons    []say.Message // behind the verdict
	Asks       []say.Message // what a bench point would settle
	Warnings   []say.Message
	Unknown    say.Message // why there is no model of paths

	bench bench
}

// bench is what the points are held against.
type bench struct {
	in     Inputs
	base   slip.Pump
	known  bool                 // base is there
	shop   quantity.Temperature // of the bench and around the stand
	models map[key]*machine.Assembled
	stand  *stand // as planned; nil when no points are planned
}

type key struct {
	state   machine.State
	t       quantity.Temperature
	ambient quantity.Temperature
}

var (
	msgFigures  = say.Define("proof.figures", "flow and power of the stand hold for its liquid, temperature and speed; they are no figures of the service")
	msgNoFlow   = say.Define("proof.no_model", "no readings can be expected beforehand and no slip by path is known: {reason}")
	msgTemplate = say.Define("proof.ask", "a bench point is asked for: {why:message}")
)

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{Verdict: NotTested}
	c.bench = bench{in: in, models: map[key]*machine.Assembled{}, shop: machine.BenchOf(in.Shop)}
	base, _, err := in.Sheet.Pump() // what it assumes is said beside the delivery
	if err != nil {
		c.Unknown = msgNoFlow.With(err)
		c.Warnings = append(c.Warnings, c.Unknown)
	} else {
		c.bench.base, c.bench.known = base, true
	}
	c.plan()
	c.read()
	c.look()
	c.running()
	c.fit()
	c.curve()
	c.predict()
	c.judge()
	if c.Usable > 0 {
		c.Statements = append(c.Statements, msgFigures.With())
	}
	if c.bench.known && (c.Calibration == nil || !c.Calibration.Accepted) {
		c.Asks = append(c.Asks, msgTemplate.With(slip.NoBenchPoint.With()))
	}
	return c
}

// at returns the pump on the stand, with its clearances at a temperature.
func (b *bench) at(state machine.State, t quantity.Temperature) (*machine.Assembled, error) {
	return b.kept(state, b.shop, t)
}

// onSite returns the pump where it works.
func (b *bench) onSite(state machine.State, t quantity.Temperature) (*machine.Assembled, error) {
	return b.kept(state, b.site(), t)
}

// site is the temperature around the pump in service.
func (b *bench) site() quantity.Temperature {
	if s := b.in.Service; s != nil && s.Ambient != nil {
		return s.Ambient.Value
	}
	return machine.Bench
}

func (b *bench) kept(state machine.State, ambient, t quantity.Temperature) (*machine.Assembled, error) {
	k := key{state, t, ambient}
	if m, there := b.models[k]; there {
		return m, nil
	}
	m, err := b.assemble(state, ambient, t)
	if err == nil {
		b.models[k] = m
	}
	return m, err
}

func (b *bench) assemble(state machine.State, ambient, t quantity.Temperature) (*machine.Assembled, error) {
	set := machine.Of(machine.Inputs{Sheet: b.in.Sheet, Readings: b.in.Readings, Replaced: b.in.Replaced, Expected: b.in.Expected}, state)
	warm, err := machine.WarmTo(b.in.Sheet, b.shop, ambient, t)
	if err != nil {
		return nil, err
	}
	return machine.Assemble(b.base, set, warm)
}

// Accepts reports whether a calibration was accepted.
func (c *Chapter) Accepts() bool { return c.Calibration != nil && c.Calibration.Accepted }

// Working returns the trees of reasons behind the fit and the prediction.
func (c *Chapter) Working() []*working.Node {
	var list []*working.Node
	if c.Calibration != nil {
		list = append(list, c.Calibration.Working())
	}
	if c.Simple != nil {
		list = append(list, c.Simple.Working())
	}
	if c.Prediction != nil {
		n := c.Prediction.Result.Working("readings and sheet:" + c.bench.in.Sheet.Name)
		list = append(list, n)
	}
	return list
}
