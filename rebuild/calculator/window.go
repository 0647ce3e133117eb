package calculator

import (
	"fmt"

	"pumpwright/calc/chain"
	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/calc/window"
	"pumpwright/rebuild/sheet"
)

// windowCalculators are those of the wanted end clearance.
func windowCalculators() []Calculator { return []Calculator{clearanceWindowCalculator()} }

type clearanceWindowIn struct {
	Sheet         string               `json:"sheet" help:"model sheet: a file, or the name of a demo sheet"`
	Liquid        LiquidInput          `json:"liquid" help:"liquid: a name, a file, or its own fields"`
	Duty          []windowDutyIn       `json:"duty" help:"what the pump must do; the first is the normal duty"`
	MinEfficiency float64              `json:"min_volumetric_efficiency" help:"volumetric efficiency that must remain at every duty, 0.85 for 85 %"`
	RunOut        quantity.Length      `json:"runout" help:"run-out of the rotor's face, total indicator reading"`
	Tilt          quantity.Length      `json:"tilt" help:"tilt of the head over the rotor's diameter"`
	ClearanceU    quantity.Length      `json:"clearance_u" help:"standard uncertainty of the cold end clearance"`
	RadialU       *quantity.Length     `json:"radial_u" help:"standard uncertainty of the radial gaps (that of the end clearance when missing)"`
	NeededGap     *quantity.Length     `json:"needed_gap" help:"gap that must remain; the larger of this and what metals, solids and roughness ask for counts"`
	MaterialPair  string               `json:"material_pair" optional:"yes" oneof:"iron-iron|iron-bronze|iron-carbon|stainless-iron|stainless-bronze|stainless-stainless" help:"rotor against head (from the sheet's materials when missing)"`
	SheetMinimum  *quantity.Length     `json:"sheet_minimum" help:"never below (from the sheet when missing)"`
	Maximum       *quantity.Length     `json:"maximum" help:"never above (0.003 of the rotor's diameter when missing, for priming)"`
	ThrustPlay    quantity.Length      `json:"thrust_play" default:"0" help:"play of the thrust bearing"`
	PushedToHead  bool                 `json:"pushed_to_head" default:"false" help:"the end clearance is read with the shaft pushed to the head, so that the play no longer closes it"`
	GasketSet     quantity.Length      `json:"gasket_set" default:"0" help:"what the gaskets still give way in service"`
	Solids        *quantity.Length     `json:"solids" help:"size of the larger solids (98 % are smaller)"`
	Roughness     *quantity.Length     `json:"roughness" help:"roughness of both faces together"`
	Ambient       quantity.Temperature `json:"ambient" default:"20 °C" help:"temperature of the surroundings"`
	WarmUp        *windowWarmUpIn      `json:"warmup" help:"how the pump is brought to temperature (the hot liquid meets a cold pump when missing)"`
	Parts         *partTemperaturesIn  `json:"part_temperatures" help:"temperatures of the parts in steady service, where they were measured"`
	Thermal       *sheet.Thermal       `json:"thermal" help:"masses and conductances (the sheet's when missing)"`
}

type windowDutyIn struct {
	Temperature quantity.Temperature        `json:"temperature" help:"pumping temperature"`
	Speed       quantity.RotationalSpeed    `json:"speed" help:"speed"`
	Pressure    quantity.PressureDifference `json:"pressure" help:"discharge less suction pressure"`
	Cold        bool                        `json:"cold" default:"false" help:"it must be done before the parts are warm"`
}

type windowWarmUpIn struct {
	Start        string                `json:"start" default:"liquid_first" oneof:"liquid_first|jacket_first|ramp" help:"what warms the pump first"`
	TimeConstant *quantity.Time        `json:"time_constant" help:"time constant with which the liquid's temperature rises at the pump (the sheet's, else 5 s)"`
	Ramp         *float64              `json:"ramp" unit:"K/min|K per minute|K per min|°C/min" help:"kelvin per minute, for a ramp"`
	Jacket       *quantity.Temperature `json:"jacket_temperature" help:"temperature of the jacket"`
}

type partTemperaturesIn struct {
	Rotor   quantity.Temperature `json:"rotor" help:"rotor and idler"`
	Shaft   quantity.Temperature `json:"shaft" help:"shaft"`
	Casing  quantity.Temperature `json:"casing" help:"casing"`
	Head    quantity.Temperature `json:"head" help:"head"`
	Bracket quantity.Temperature `json:"bracket" help:"bracket"`
}

type clearanceWindowOut struct {
	Lower          *quantity.Length   `json:"lower" help:"lower limit of the cold end clearance, guarded for its uncertainty; absent when not known"`
	Upper          *quantity.Length   `json:"upper" help:"upper limit of the cold end clearance, guarded; absent when not known or out of reach"`
	Target         *quantity.Length   `json:"target" help:"cold end clearance to aim at"`
	LossOptimum    []*quantity.Length `json:"loss_optimum" help:"running end clearance at which slip and drag lose least, of each duty; arithmetic, not a setting"`
	ChangeSteady   *quantity.Length   `json:"change_steady" help:"change of the end clearance from bench to steady service, at the duty that closes it most; negative closes"`
	ChangeWorst    *quantity.Length   `json:"change_worst" help:"the same at the worst moment of the warm-up"`
	WorstAfter     *quantity.Time     `json:"worst_after" help:"time of that moment since the start"`
	RadialOK       bool               `json:"radial_ok" help:"the radial gaps stay open when hot; no gasket changes them"`
	LowerUnguarded *quantity.Length   `json:"lower_unguarded" help:"lower limit without the uncertainty, for the choice of gaskets, which counts it itself"`
	UpperUnguarded *quantity.Length   `json:"upper_unguarded" help:"upper limit without the uncertainty, likewise"`
	RunningUpper   []*quantity.Length `json:"running_upper" help:"running end clearance at which the efficiency is used up, of each duty"`
	NeededGap      quantity.Length    `json:"needed_gap" help:"gap that must remain between the metals"`
	Manual         *manualWindowOut   `json:"manual" help:"the manual's own window for the normal duty; it wins unless a lead signs otherwise"`
	ManualHottest  *manualWindowOut   `json:"manual_hottest" help:"the manual's window at the hottest duty, when it is another row"`
	ManualBetween  []manualWindowOut  `json:"manual_between" optional:"yes" help:"neighbouring rows, when no row holds for the normal duty; a lead chooses, signed"`
	Possible       bool               `json:"possible" help:"the lower limit is not above the upper one"`
	Reasons        []say.Message      `json:"reasons" help:"why"`
}

type manualWindowOut struct {
	Low  quantity.Length `json:"low" help:"smallest cold end clearance"`
	High quantity.Length `json:"high" help:"largest cold end clearance"`
	Page string          `json:"page" help:"page of the manual"`
}

var (
	msgManualWins = say.Define("calculator.manual_wins",
		"the window of the pump's own manual stands beside this one and wins unless a lead signs otherwise; whether a pump may be started is for those who are licensed to decide")
	msgPaperSets = say.Define("calculator.paper_sets",
		"gaskets give way further when hot, paper by about 5 % of its thickness (rule of thumb); give gasket_set where that matters")
	msgPairAssumed   = say.Define("calculator.pair_assumed", "pair of metals taken from the sheet: {pair}")
	msgUnknownPair   = say.Define("calculator.pair_unknown", "the sheet does not say what rotor and head are made of")
	msgGivePair      = say.Define("calculator.give_pair", "give material_pair, one of {pairs:list}")
	msgManualDiffers = say.Define("calculator.manual_differs",
		"the manual's window, {low:length} to {high:length}, reaches beyond these limits: find out why (temperature, warm-up, duty) before either is used")
	msgNoManualRow = say.Define("calculator.no_manual_row", "no row of the manual holds for the normal duty; its neighbours are shown, and a lead chooses and signs")
)

// benchTemperature is that of measuring: ISO 1.
const benchTemperature = quantity.ZeroCelsius + 20

// defaultRise is the time constant of the liquid's rise where nothing else is
// known. Convention of this program, no source.
const defaultRise quantity.Time = 5

func clearanceWindowCalculator() Calculator {
	return Define("clearance-window", "What end clearance does this pump want for this duty?",
		`sheet: demo-pump-m
liquid: demo-light-oil
duty:
  - {temperature: 90 °C, speed: 500 rpm, pressure: 8 bar}
  - {temperature: 40 °C, speed: 500 rpm, pressure: 8 bar}
min_volumetric_efficiency: 0.75
runout: 0.03 mm
tilt: 0.02 mm
clearance_u: 0.010 mm
`, runClearanceWindow)
}

func runClearanceWindow(env *Env, in clearanceWindowIn) (clearanceWindowOut, Notes, error) {
	notes := Notes{Cautions: []say.Message{msgManualWins.With()}}
	s, remarks, err := readSheet(env, in.Sheet)
	if err != nil {
		return clearanceWindowOut{}, Notes{}, err
	}
	notes.Warn(remarks...)
	l, err := in.Liquid.read(env)
	if err != nil {
		return clearanceWindowOut{}, Notes{}, err
	}
	wanted, states, err := in.inputs(s, l, &notes)
	if err != nil {
		return clearanceWindowOut{}, Notes{}, err
	}
	r, err := window.Find(wanted)
	if err != nil {
		return clearanceWindowOut{}, Notes{}, err
	}
	notes.Warn(r.Warnings...)
	notes.Warn(slip.NoBenchPoint.With())
	notes.Working = r.Working()
	out := windowResults(r)
	in.manual(s, states, &out, &notes)
	if in.GasketSet == 0 && in.hottest() > quantity.ZeroCelsius+80 {
		notes.Warn(msgPaperSets.With())
	}
	return out, notes, nil
}

func windowResults(r *window.Result) clearanceWindowOut {
	out := clearanceWindowOut{Target: r.Target, LossOptimum: r.LossOptimum, RunningUpper: r.RunningUpper, RadialOK: r.RadialOK,
		Possible: r.Possible, Reasons: r.Reasons, NeededGap: r.Need}
	for place, l := range map[**quantity.Length]*window.Limit{&out.Lower: r.Lower, &out.Upper: r.Upper, &out.LowerUnguarded: r.LowerUnguarded, &out.UpperUnguarded: r.UpperUnguarded} {
		if l != nil {
			*place = &l.Value
		}
	}
	if r.ChangesKnown {
		out.ChangeSteady, out.ChangeWorst = &r.ChangeSteady, &r.ChangeWorst
		closest := r.Inputs.Duties[r.Governing].Service.Gaps[chain.EndGap].Closest
		if closest.Known() {
			out.WorstAfter = &closest.Time
		}
	}
	return out
}

// inputs makes the inputs of the window from the sheet, the liquid and the
// duties.
func (in clearanceWindowIn) inputs(s *sheet.Sheet, l *liquid.Liquid, notes *Notes) (window.Inputs, []*liquid.State, error) {
	pump, assumed, err := s.Pump()
	if err != nil {
		return window.Inputs{}, nil, say.In("sheet", err)
	}
	notes.Warn(assumed...)
	model, err := slip.Prepare(pump)
	if err != nil {
		return window.Inputs{}, nil, say.In("sheet", err)
	}
	w := window.Inputs{Model: model, MinEfficiency: in.MinEfficiency, NeededGap: in.NeededGap, Roughness: in.Roughness, Solids: in.Solids,
		RunOut: in.RunOut, Tilt: in.Tilt, ThrustPlay: in.ThrustPlay, PushedToHead: in.PushedToHead, GasketSet: in.GasketSet,
		U: in.ClearanceU, RadialU: in.ClearanceU, SheetMinimum: in.SheetMinimum, Maximum: in.Maximum}
	if in.RadialU != nil {
		w.RadialU = *in.RadialU
	}
	if w.SheetMinimum == nil && s.EndClearance.Minimum != nil {
		w.SheetMinimum = &s.EndClearance.Minimum.Value
	}
	if w.Pair, err = in.pair(s, notes); err != nil {
		return window.Inputs{}, nil, err
	}
	states := make([]*liquid.State, len(in.Duty))
	for i, d := range in.Duty {
		moved, state, err := slipLiquid(l, d.Temperature, notes)
		if err != nil {
			return window.Inputs{}, nil, ofDuty(i, err)
		}
		states[i] = state
		service, err := in.service(s, d.Temperature)
		if err != nil {
			return window.Inputs{}, nil, err
		}
		w.Duties = append(w.Duties, window.Duty{Liquid: moved, Lubricates: states[i].Lubricates, Cold: d.Cold, Service: service,
			Point: slip.Point{Speed: d.Speed, Pressure: d.Pressure}})
	}
	return w, states, nil
}

// ofDuty puts a refused temperature under the duty it came from.
func ofDuty(i int, err error) error {
	if p := say.AsProblem(err); p != nil && p.Field == "temperature" {
		return say.In(fmt.Sprintf("duty[%d]", i), err)
	}
	return err
}

// service works out how the gaps change on the way to a temperature.
func (in clearanceWindowIn) service(s *sheet.Sheet, t quantity.Temperature) (*chain.Service, error) {
	thermal := s.Thermal
	if in.Thermal != nil {
		thermal = in.Thermal
	}
	own := *s
	own.Thermal = thermal
	start := chain.Start{Bench: benchTemperature, Ambient: in.Ambient, Liquid: t, TimeConstant: defaultRise}
	if thermal != nil && thermal.Rise != nil {
		start.TimeConstant = thermal.Rise.Value
	}
	if w := in.WarmUp; w != nil {
		for _, kind := range []chain.StartKind{chain.LiquidFirst, chain.JacketFirst, chain.Ramp} {
			if kind.String() == w.Start {
				start.Kind = kind
			}
		}
		start.Jacket = w.Jacket
		if w.TimeConstant != nil {
			start.TimeConstant = *w.TimeConstant
		}
		if w.Ramp != nil {
			start.RatePerSecond = *w.Ramp / 60
		}
	}
	var measured *chain.Temperatures
	if p := in.Parts; p != nil {
		measured = &chain.Temperatures{chain.RotorMass: p.Rotor, chain.ShaftMass: p.Shaft, chain.CasingMass: p.Casing, chain.HeadMass: p.Head, chain.BracketMass: p.Bracket}
	}
	out, err := s.Expanding().InService(start, own.Block(), measured)
	if p := say.AsProblem(err); p != nil {
		switch p.Field {
		case "jacket_temperature", "ramp", "time_constant":
			return nil, say.In("warmup", err)
		}
	}
	return out, err
}

// pair is the pair of metals, from the input or from the sheet's materials.
func (in clearanceWindowIn) pair(s *sheet.Sheet, notes *Notes) (window.Pair, error) {
	if in.MaterialPair != "" {
		return window.Pair(in.MaterialPair), nil
	}
	pair, ok := s.MetalPair()
	if !ok {
		return "", say.Refuse("material_pair", "", msgUnknownPair.With(), msgGivePair.With(window.Pairs()))
	}
	notes.Warn(msgPairAssumed.With(pair))
	return pair, nil
}

func (in clearanceWindowIn) hottest() quantity.Temperature {
	hottest := quantity.Temperature(0)
	for _, d := range in.Duty {
		hottest = max(hottest, d.Temperature)
	}
	return hottest
}

// manual puts the manual's own window beside the result.
func (in clearanceWindowIn) manual(s *sheet.Sheet, states []*liquid.State, out *clearanceWindowOut, notes *Notes) {
	rows := s.ManualRows()
	normal := window.FromManual(rows, states[0].Kinematic, states[0].Temperature)
	if normal == nil {
		return
	}
	if normal.Row == nil {
		notes.Warn(msgNoManualRow.With())
		for _, r := range normal.Neighbours {
			out.ManualBetween = append(out.ManualBetween, *manualOf(r))
		}
	} else {
		out.Manual = manualOf(*normal.Row)
		if out.Lower != nil && out.Manual.Low < *out.Lower || out.Upper != nil && out.Manual.High > *out.Upper {
			notes.Warn(msgManualDiffers.With(out.Manual.Low, out.Manual.High))
		}
	}
	for _, state := range states {
		if state.Temperature != in.hottest() {
			continue
		}
		if hot := window.FromManual(rows, state.Kinematic, state.Temperature); hot.Row != nil && hot.Row != normal.Row {
			out.ManualHottest = manualOf(*hot.Row)
		}
	}
}

func manualOf(r window.Row) *manualWindowOut {
	return &manualWindowOut{Low: r.Low, High: r.High, Page: r.Ref}
}
