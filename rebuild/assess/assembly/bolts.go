package assembly

import (
	"math"
	"strings"
	"time"

	"pumpwright/calc/bolt"
	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Bolts is one group of bolts.
type Bolts struct {
	Fastener *sheet.Fastener
	Torque   quantity.Torque // full torque; 0 when not known
	Manual   bool            // of the manual, not computed
	Tight    *bolt.Result    // preload, proof load; nil when not known
	Order    []int           // bolts counted from 1 around the circle
	Passes   []Pass
	Complete bool // every pass was entered with its torque
	Soft     bool // a soft gasket lies between

	Reasons  []say.Message
	Notes    []say.Message
	Warnings []say.Message
	Cautions []say.Message
	Unknown  []say.Message
}

// PassState says how a pass stands.
type PassState string

// Show prints the word in the language of a style.
func (v PassState) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v PassState) Message() say.Message { return say.Word("assembly", string(v)) }

// The states of a pass.
const (
	PassOpen   PassState = "not yet entered"
	PassGood   PassState = "done"
	PassLow    PassState = "below the torque asked for"
	PassHigh   PassState = "above the torque asked for"
	PassDoubts PassState = "torque wrench out of calibration"
)

// Pass is one round over all bolts.
type Pass struct {
	Number  int
	Share   float64 // of the full torque
	Torque  quantity.Torque
	Entered *Entered // nil when nobody entered it
	State   PassState
}

// Entered is a pass as somebody entered it.
type Entered struct {
	job.Meta
	Torque     quantity.Torque
	Instrument string
}

// passBand is how far an entered torque may lie from the one asked for; usual
// wrenches are within 4 %. usualFraction is the preload where neither manual
// nor sheet says one. [common practice, no source]
const (
	passBand      = 0.05
	usualFraction = 0.75
	softFrom      = 0.03 // compression from which a gasket counts as soft
)

var (
	whatTorque  = say.Define("assembly.what_torque", "torque")
	whatPreload = say.Define("assembly.what_preload", "preload")
	whatOrder   = say.Define("assembly.what_order", "order of the bolts")

	msgManualTorque = say.Define("assembly.manual_torque", "{torque:torque} of the manual{page}")
	msgComputed     = say.Define("assembly.computed_torque", "{torque:torque} computed for {share:percent} of the proof load and a nut factor of {factor:number} ({source}); a torque of the manual comes before it")
	msgPreload      = say.Define("assembly.preload", "at a nut factor of {factor:number} that is {force:force} a bolt, {share:percent} of its proof load")
	msgOverProof    = say.Define("assembly.over_proof", "the torque of the manual would load the bolts to {share:percent} of their proof load at a nut factor of {factor:number}: check thread, grade and lubrication before tightening")
	msgOrder        = say.Define("assembly.order", "every pass crosswise in the order {order:list}, bolts counted from 1 around the circle; after the last pass once more around at full torque until none moves; turn the shaft by hand after every pass")
	msgSkipped      = say.Define("assembly.pass_skipped", "pass {later:count} was entered and pass {n:count} was not")
	msgPassLow      = say.Define("assembly.pass_low", "pass {n:count} was entered with {entered:torque}, asked for was {asked:torque}: tighten again")
	msgPassHigh     = say.Define("assembly.pass_high", "pass {n:count} was entered with {entered:torque}, asked for was {asked:torque}: bolts over their torque are slackened and tightened anew, stretched ones replaced")
	msgWrench       = say.Define("assembly.wrench", "pass {n:count} carries no decision: {standing:message}. Repeat it with a valid torque wrench, or a lead signs why not")
	msgNoWrench     = say.Define("assembly.no_wrench", "pass {n:count} names no torque wrench")
	msgNotHeld      = say.Define("assembly.wrench_unknown", "pass {n:count}: the torque wrench {id} is not in the shop's list")
	msgBadTorque    = say.Define("assembly.bad_torque", "a pass cannot be read: {reason}")
	msgSoftGasket   = say.Define("assembly.soft_gasket", "soft gaskets set: tighten again cold and without pressure after some hours and within 24 h, then measure the end clearance again; follow the gasket maker, hardened sheet may crack when it is drawn up hot")
	msgRelax        = say.Define("assembly.relax", "at {temperature:temperature} gaskets creep and bolts lose tension: check the torque cold after the first heat cycle, and the clearance with it")
	msgOneWay       = say.Define("assembly.one_way", "the sheet gives no bolt circle; the order holds for {count:count} bolts on one circle")
)

// bolts works out one group.
func (in *Inputs) bolts(f *sheet.Fastener) *Bolts {
	b := &Bolts{Fastener: f, Cautions: in.cautions("turn-by-hand")}
	b.Soft = in.soft(f)
	b.torque(in)
	b.order()
	b.passes()
	b.entered(in)
	if b.Soft {
		b.Notes = append(b.Notes, msgSoftGasket.With())
	}
	if t := in.hottest(); t > hotBolts {
		b.Notes = append(b.Notes, msgRelax.With(t))
	}
	return b
}

// hotBolts is the temperature from which the loss of tension gets serious.
// [common practice, no source]
const hotBolts quantity.Temperature = 90 + quantity.ZeroCelsius

// soft tells whether the stack under the head holds gaskets that set.
func (in *Inputs) soft(f *sheet.Fastener) bool {
	if !strings.Contains(f.ID, "head") {
		return false
	}
	for _, g := range in.Sheet.Gaskets {
		if g.Compression >= softFrom {
			return true
		}
	}
	return false
}

// torque takes the manual's figure; the preload that it gives, or the torque
// where the manual has none, comes from the grade.
func (b *Bolts) torque(in *Inputs) {
	f := b.Fastener
	if f.Torque != nil {
		b.Torque, b.Manual = f.Torque.Value, true
		b.Reasons = append(b.Reasons, msgManualTorque.With(b.Torque, pageOf(f.Torque.Page)))
	}
	what := whatTorque.With()
	if b.Manual {
		what = whatPreload.With()
	}
	thread, err := bolt.ParseThread(f.Thread)
	if err != nil {
		b.Unknown = append(b.Unknown, msgRefused.With(what, err))
		return
	}
	if f.Grade == "" {
		b.Unknown = append(b.Unknown, msgUnknown.With(what, []string{"grade of the bolts"}))
		return
	}
	grade, err := bolt.FindGrade(f.Grade)
	if err != nil {
		b.Unknown = append(b.Unknown, msgRefused.With(what, err))
		return
	}
	input := bolt.Input{Thread: thread, Grade: grade, PreloadFraction: usualFraction, Surface: bolt.Dry, Passes: []float64{1}}
	if f.Factor != nil {
		input.NutFactor = *f.Factor
	}
	if f.Fraction != nil {
		input.PreloadFraction = *f.Fraction
	}
	r, err := bolt.Tighten(input)
	if err != nil {
		b.Unknown = append(b.Unknown, msgRefused.With(what, err))
		return
	}
	if b.Manual {
		share := input.PreloadFraction * (b.Torque / r.Torque).SI()
		if share > 0.95 {
			b.Warnings = append(b.Warnings, msgOverProof.With(share, r.NutFactor))
			return
		}
		input.PreloadFraction = share
		if r, err = bolt.Tighten(input); err != nil {
			b.Unknown = append(b.Unknown, msgRefused.With(what, err))
			return
		}
		b.Reasons = append(b.Reasons, msgPreload.With(r.NutFactor, r.Preload, share))
	} else {
		b.Torque = r.Torque
		b.Reasons = append(b.Reasons, msgComputed.With(r.Torque, input.PreloadFraction, r.NutFactor, r.NutFactorSource))
	}
	b.Tight = &r
	b.Notes = append(b.Notes, r.Warnings...)
	b.Cautions = append(b.Cautions, r.Cautions...)
}

func (b *Bolts) order() {
	f := b.Fastener
	order, err := bolt.Sequence(f.Count)
	if err != nil {
		b.Unknown = append(b.Unknown, msgRefused.With(whatOrder.With(), err))
		return
	}
	b.Order = order
	b.Reasons = append(b.Reasons, msgOrder.With(placesOf(order)))
	if f.Circle == nil {
		b.Notes = append(b.Notes, msgOneWay.With(f.Count))
	}
}

func placesOf(order []int) []string {
	texts := make([]string, len(order))
	for i, n := range order {
		texts[i] = quantity.Show(quantity.NoDimension, float64(n), say.Style{})
	}
	return texts
}

func (b *Bolts) passes() {
	shares := b.Fastener.Passes
	if len(shares) == 0 {
		shares, _ = bolt.Passes(3)
	}
	for i, share := range shares {
		b.Passes = append(b.Passes, Pass{Number: i + 1, Share: share, Torque: b.Torque * quantity.Torque(share), State: PassOpen})
	}
}

// entered ticks the passes off. The last entry of a pass counts.
func (b *Bolts) entered(in *Inputs) {
	last := 0
	for i := range in.State.Torques {
		k := &in.State.Torques[i]
		n := k.Body.Pass
		if k.Body.Fastener != b.Fastener.ID || n < 1 || n > len(b.Passes) {
			continue
		}
		given, err := quantity.Read[quantity.Torque](k.Body.Torque)
		if err != nil {
			b.Warnings = append(b.Warnings, msgBadTorque.With(err))
			continue
		}
		b.Passes[n-1].Entered = &Entered{Meta: k.Meta, Torque: given.Value, Instrument: k.Body.Instrument}
		last = max(last, n)
	}
	b.Complete = len(b.Passes) > 0
	for i := range b.Passes {
		p := &b.Passes[i]
		if p.Entered == nil && p.Number < last {
			b.Warnings = append(b.Warnings, msgSkipped.With(last, p.Number))
		}
		b.judge(in, p)
		b.Complete = b.Complete && p.State == PassGood
	}
}

func (b *Bolts) judge(in *Inputs, p *Pass) {
	e := p.Entered
	if e == nil {
		return
	}
	p.State = PassGood
	if asked := p.Torque.SI(); asked > 0 {
		switch off := (e.Torque.SI() - asked) / asked; {
		case off < -passBand:
			p.State = PassLow
			b.Warnings = append(b.Warnings, msgPassLow.With(p.Number, e.Torque, p.Torque))
		case off > passBand:
			p.State = PassHigh
			b.Warnings = append(b.Warnings, msgPassHigh.With(p.Number, e.Torque, p.Torque))
		}
	}
	if standing := in.standing(e.Instrument, e.At.Time()); !standing.IsZero() {
		if p.State == PassGood {
			p.State = PassDoubts
		}
		b.Warnings = append(b.Warnings, msgWrench.With(p.Number, standing))
		return
	}
	switch {
	case e.Instrument == "":
		b.Notes = append(b.Notes, msgNoWrench.With(p.Number))
	case in.Shop.Find(e.Instrument) == nil:
		b.Notes = append(b.Notes, msgNotHeld.With(p.Number, e.Instrument))
	}
}

// standing says what is against an instrument on the day it was used, or
// since; empty when nothing is.
func (in *Inputs) standing(id string, used time.Time) say.Message {
	instrument := in.Shop.Find(id)
	if instrument == nil {
		return say.Message{}
	}
	m := instrument.Metrology()
	standing, message := m.StandingOn(used, 0)
	if standing.MayDecide() {
		// A check that failed later puts what was read before it in doubt.
		if now, failed := m.StandingOn(in.AsOf, 0); now == metrology.FailedCheck {
			return failed
		}
		return say.Message{}
	}
	return message
}

// LastPass is when the last pass was entered, zero when it was not.
func (b *Bolts) LastPass() time.Time {
	if len(b.Passes) == 0 {
		return time.Time{}
	}
	if e := b.Passes[len(b.Passes)-1].Entered; e != nil {
		return e.At.Time()
	}
	return time.Time{}
}

func (b *Bolts) working() *working.Node {
	root := b.Tight.Working()
	root.Name = nameOf.With(root.Name, b.Fastener.Name)
	if b.Manual && math.Abs((b.Torque-b.Tight.Torque).SI()) < 1e-9*math.Abs(b.Torque.SI()) {
		root.Equation += ", f chosen so that T is the torque of the manual"
	}
	return root
}
