package cli

import (
	"github.com/alecthomas/kong"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

// Run stores a body that was given as JSON.
func (c *addBody) Run(env *Env, to *addTo, ctx *kong.Context) error {
	return to.store(env, ctx.Selected().Name, c)
}

// Help shows how it is called.
func (*addBody) Help() string {
	return `The fields of each kind are in the handbook.

  pumpwright job add J-2063.jsonl hours --json '{"stage": "measure", "hours": 1.5}' --by mira
  pumpwright job add J-2063.jsonl running --json '{"after": "15 min", "pressure": "7.9 bar", "leakage": 0}' --by mira
  pumpwright job add J-2063.jsonl press --json '{"part": "idler-bushing", "pressure": "44 bar", "ram_area": "30 cm2"}' --by mira
`
}

func lengthText(field, text string) (quantity.Entered, error) {
	e, err := quantity.Parse(quantity.LengthDimension, text)
	return e, say.In(field, err)
}

// addDecision decides.
type addDecision struct {
	Part     string `arg:"" optional:"" help:"Part of the model sheet."`
	Decision string `arg:"" optional:"" help:"reuse, rework, replace or \"engineering decision\"."`
	Reason   string `help:"Why."`
}

// Help shows how it is called.
func (*addDecision) Help() string {
	return `
  pumpwright job add J-2063.jsonl decision idler-pin replace --reason "worn on the load side" --by odell
`
}

// Run stores the decision.
func (c *addDecision) Run(env *Env, to *addTo) error { return to.store(env, job.KindDecision, c) }

func (c *addDecision) body(*adding) (any, error) {
	return job.Decision{Part: c.Part, Decision: c.Decision, Reason: c.Reason}, need("part", c.Part, say.Message{})
}

// addLimit adds a limit.
type addLimit struct {
	Feature string `arg:"" optional:"" help:"Feature of the model sheet."`
	Min     string `placeholder:"VALUE" help:"Smallest value that is still good."`
	Max     string `placeholder:"VALUE" help:"Largest value that is still good."`
	Compare string `enum:"worst,mean,taper,spread,below-unworn" default:"worst" placeholder:"worst|mean|taper|spread|below-unworn" help:"Which number meets the limit."`
	Rank    string `enum:"customer,site" default:"site" placeholder:"customer|site" help:"Whose limit it is."`
	Source  string `help:"Where it is written."`
}

// Help shows how it is called.
func (*addLimit) Help() string {
	return `
  pumpwright job add J-2063.jsonl limit shaft-run-out --max "0.05 mm" --rank customer --source "customer's order" --by ines
`
}

// Run stores the limit.
func (c *addLimit) Run(env *Env, to *addTo) error { return to.store(env, job.KindLimit, c) }

var msgGiveLimit = say.Define("cli.give_limit", "write --min, --max or both, with a unit")

func (c *addLimit) body(*adding) (any, error) {
	return job.Limit{Feature: c.Feature, Min: c.Min, Max: c.Max, Compare: c.Compare, Rank: c.Rank, Source: c.Source},
		need("max", c.Min+c.Max, msgGiveLimit.With())
}

// addFitted adds what was fitted.
type addFitted struct {
	Part      string `arg:"" optional:"" help:"Part of the model sheet."`
	Batch     string `help:"Batch."`
	Serial    string `help:"Serial number of the part."`
	Elastomer string `help:"Elastomer of a seal."`
	Note      string `help:"A note."`
}

// Help shows how it is called.
func (*addFitted) Help() string {
	return `
  pumpwright job add J-2063.jsonl fitted shaft-seal --batch B-77 --elastomer FKM --by mira
`
}

// Run stores it.
func (c *addFitted) Run(env *Env, to *addTo) error { return to.store(env, job.KindFitted, c) }

func (c *addFitted) body(*adding) (any, error) {
	return job.Fitted{Part: c.Part, Batch: c.Batch, Serial: c.Serial, Elastomer: c.Elastomer, Note: c.Note}, need("part", c.Part, say.Message{})
}

// addTorque adds a pass of tightening.
type addTorque struct {
	Fastener string `arg:"" optional:"" help:"Group of bolts of the model sheet."`
	Pass     int    `help:"Which pass, from 1."`
	Torque   string `placeholder:"VALUE" help:"Torque of the pass."`
	With     string `placeholder:"INSTRUMENT" help:"Number of the wrench."`
}

// Help shows how it is called.
func (*addTorque) Help() string {
	return `
  pumpwright job add J-2063.jsonl torque head-bolts --pass 1 --torque "18 N·m" --with TW-02 --by mira
`
}

// Run stores the pass.
func (c *addTorque) Run(env *Env, to *addTo) error { return to.store(env, job.KindTorque, c) }

func (c *addTorque) body(*adding) (any, error) {
	if _, err := quantity.Parse(quantity.TorqueDimension, c.Torque); err != nil {
		return nil, say.In("torque", err)
	}
	return job.Torque{Fastener: c.Fastener, Pass: c.Pass, Torque: c.Torque, Instrument: c.With}, need("fastener", c.Fastener, say.Message{})
}

// addTestPoint adds a point of the bench test.
type addTestPoint struct {
	Speed       string `placeholder:"VALUE" help:"Pump speed."`
	Pressure    string `placeholder:"VALUE" help:"Discharge minus suction pressure."`
	Flow        string `placeholder:"VALUE" help:"Flow."`
	Power       string `placeholder:"VALUE" help:"Power at the shaft."`
	FlowU       string `placeholder:"VALUE" help:"Standard uncertainty of the flow."`
	PowerU      string `placeholder:"VALUE" help:"Standard uncertainty of the power."`
	Liquid      string `help:"Test liquid."`
	Temperature string `placeholder:"VALUE" help:"Its temperature."`
	Viscosity   string `placeholder:"VALUE" help:"Its viscosity."`
	Density     string `placeholder:"VALUE" help:"Its density."`
	Note        string `help:"A note."`
}

// Help shows how it is called.
func (*addTestPoint) Help() string {
	return `
  pumpwright job add J-2063.jsonl test-point --liquid demo-light-oil --temperature "40 °C" --speed "500 rpm" --pressure "5 bar" --flow "160 L/min" --by tomas
`
}

// Run stores the point.
func (c *addTestPoint) Run(env *Env, to *addTo) error { return to.store(env, job.KindTestPoint, c) }

func (c *addTestPoint) body(*adding) (any, error) {
	return job.TestPoint{Liquid: c.Liquid, Temperature: c.Temperature, Viscosity: c.Viscosity, Density: c.Density, Speed: c.Speed,
		Pressure: c.Pressure, Flow: c.Flow, Power: c.Power, FlowU: c.FlowU, PowerU: c.PowerU, Note: c.Note}, nil
}

// addCause adds a cause.
type addCause struct {
	Cause  string `arg:"" optional:"" help:"Id of the cause."`
	Proved bool   `help:"The cause is proved, not only suspected."`
	Note   string `help:"What speaks for it."`
}

// Help shows how it is called.
func (*addCause) Help() string {
	return `
  pumpwright job add J-2063.jsonl cause C02 --note "grit in the oil; strainer to be asked" --by odell
`
}

// Run stores the cause.
func (c *addCause) Run(env *Env, to *addTo) error { return to.store(env, job.KindCause, c) }

func (c *addCause) body(*adding) (any, error) {
	return job.Cause{Cause: c.Cause, Confirmed: c.Proved, Note: c.Note}, need("cause", c.Cause, say.Message{})
}

// addNote adds a note.
type addNote struct {
	Text string `arg:"" optional:"" help:"The note."`
	Part string `help:"Part it is about."`
}

// Help shows how it is called.
func (*addNote) Help() string {
	return `
  pumpwright job add J-2063.jsonl note "plug of the jacket is missing" --part casing --by mira
`
}

// Run stores the note.
func (c *addNote) Run(env *Env, to *addTo) error { return to.store(env, job.KindNote, c) }

func (c *addNote) body(*adding) (any, error) {
	return job.Note{Text: c.Text, Part: c.Part}, need("text", c.Text, say.Message{})
}

// addSheet adds a model sheet.
type addSheet struct {
	File   string `required:"" placeholder:"NAME|FILE" help:"Model sheet: a file, or the name of a demo sheet."`
	Reason string `help:"Why the job moves to it."`
}

// Help shows how it is called.
func (*addSheet) Help() string {
	return `
  pumpwright job add J-2063.jsonl sheet --file sheets/demo-pump-l.yaml --reason "page 14 was transcribed wrong" --by odell
`
}

// Run stores the sheet.
func (c *addSheet) Run(env *Env, to *addTo) error { return to.store(env, job.KindSheet, c) }

func (c *addSheet) body(a *adding) (any, error) {
	text, err := sheetText(a.env, c.File)
	text.Reason = c.Reason
	if err == nil && len(a.state.Sheets) > 0 {
		err = need("reason", c.Reason, say.Message{})
	}
	return text, err
}

// addService adds a service.
type addService struct {
	File   string `required:"" placeholder:"FILE" help:"Service: liquid, temperature, pressure, speed."`
	Reason string `help:"Why it changes."`
}

// Help shows how it is called.
func (*addService) Help() string {
	return `
  pumpwright job add J-2063.jsonl service --file services/service-molasses.yaml --by ines
`
}

// Run stores the service.
func (c *addService) Run(env *Env, to *addTo) error { return to.store(env, job.KindService, c) }

func (c *addService) body(a *adding) (any, error) {
	text, err := serviceText(a.env, c.File)
	text.Reason = c.Reason
	return text, err
}

// addBasis adds what the shop has.
type addBasis struct {
	File string `required:"" placeholder:"FILE" help:"What the shop has, as YAML."`
}

// Help shows how it is called.
func (*addBasis) Help() string {
	return `
  pumpwright job add J-2063.jsonl basis --file shop.yaml --by ines
`
}

// Run stores it.
func (c *addBasis) Run(env *Env, to *addTo) error { return to.store(env, job.KindBasis, c) }

func (c *addBasis) body(a *adding) (any, error) { return shopBody(a.env, c.File) }

// addClose closes a job.
type addClose struct {
	Result string `help:"How it ended."`
	Note   string `help:"A note."`
}

// Help shows how it is called.
func (*addClose) Help() string {
	return `
  pumpwright job add J-2041.jsonl close --result "in service" --by odell
`
}

// Run closes the job.
func (c *addClose) Run(env *Env, to *addTo) error { return to.store(env, job.KindClose, c) }

func (c *addClose) body(*adding) (any, error) { return job.Close{Result: c.Result, Note: c.Note}, nil }
