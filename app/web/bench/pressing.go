package bench

import (
	"strconv"

	"pumpwright/app/web/part"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

var (
	wordPressPart     = say.Define("bench.press_part", "Bushing")
	wordPressForce    = say.Define("bench.press_force", "Greatest force, where the gauge shows force")
	wordPressHelp     = say.Define("bench.press_help", "computed: {force:force}; stop when it rises early or well above")
	wordPressPressure = say.Define("bench.press_pressure", "Greatest gauge pressure, where it shows pressure")
	wordPressRam      = say.Define("bench.press_ram", "Area of the ram")
	wordPressStroke   = say.Define("bench.press_stroke", "Readings over the stroke")
	wordPressEngaged  = say.Define("bench.press_engaged", "Length that is in, {n:count}")
	wordPressAt       = say.Define("bench.press_at", "Force at it, {n:count}")
	wordPressAtGauge  = say.Define("bench.press_at_gauge", "Gauge pressure at it, {n:count}")
)

// strokePlaces is how many readings over the stroke the form has room for.
const strokePlaces = 3

// pressing is what the press gauge showed: as a force, or as a pressure with
// the area of the ram. The bushing of the step stands first.
func (n *now) pressing(e *part.Entry) *part.Entry {
	which := part.Field{Name: "t/part", Word: wordPressPart.With(), Kind: part.Choice}
	force := n.measure("t/force", wordPressForce, quantity.ForceDimension)
	bore := n.a.Inputs.Sheet.ByRole(n.step.Step.Of)
	for _, p := range n.a.Assembly.Presses {
		which.Options = append(which.Options, part.Option{Value: p.Bushing.Part, Word: say.Plain(p.Name)})
		if bore != nil && bore.Part == p.Bushing.Part {
			which.Value = p.Bushing.Part
			if p.Result != nil && p.Result.PressForce > 0 {
				force.Help = wordPressHelp.With(p.Result.PressForce)
			}
		}
	}
	ram := n.measure("t/ram_area", wordPressRam, quantity.AreaDimension)
	if list := n.j.State.Pressings; len(list) > 0 {
		ram.Value = typedBefore(list[len(list)-1].Body, "ram_area")
	}
	tool := part.Field{Name: "t/instrument", Word: wordWith.With(), Kind: part.Choice, Options: []part.Option{{Value: "", Word: wordNoTool.With()}}}
	if shop := n.a.Inputs.Shop; shop != nil {
		for i := range shop.Instruments {
			if in := &shop.Instruments[i]; in.Kind == job.PressGauge {
				tool.Options = append(tool.Options, part.Option{Value: in.ID, Word: instrumentWords(standing(in, n.a), in.ID, in.Name, in.Due)})
				tool.Value = in.ID
			}
		}
	}
	e.Fields = []part.Field{which, force, n.measure("t/pressure", wordPressPressure, quantity.PressureDifferenceDimension), ram, tool, line("t/note", wordRemark)}
	var stroke []part.Field
	for i := range strokePlaces {
		at := func(name string) string { return part.Pointer("t", "stroke", strconv.Itoa(i), name) }
		engaged, read, gauge := n.measure(at("engaged"), wordPressEngaged, quantity.LengthDimension), n.measure(at("force"), wordPressAt, quantity.ForceDimension), n.measure(at("pressure"), wordPressAtGauge, quantity.PressureDifferenceDimension)
		engaged.Word, read.Word, gauge.Word = wordPressEngaged.With(i+1), wordPressAt.With(i+1), wordPressAtGauge.With(i+1)
		stroke = append(stroke, engaged, read, gauge)
	}
	e.Groups = []part.Group{{Word: wordPressStroke.With(), Folded: true, Fields: stroke}}
	return e
}

// typedBefore is the text of a field of the body of an earlier entry.
func typedBefore(body any, name string) string {
	if m, ok := body.(map[string]any); ok {
		text, _ := m[name].(string)
		return text
	}
	return ""
}
