package calculator

import (
	"pumpwright/calc/align"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

type alignOut struct {
	OffsetVertical   quantity.Length `json:"offset_vertical" help:"movable shaft above the fixed one at the movable rim, cold, as read"`
	AngleVertical    quantity.Angle  `json:"angle_vertical" help:"slope of the movable shaft, positive rising away from the coupling, cold, as read"`
	OffsetHorizontal quantity.Length `json:"offset_horizontal" help:"movable shaft to the right of the fixed one at the movable rim"`
	AngleHorizontal  quantity.Angle  `json:"angle_horizontal" help:"slope sideways, positive to the right away from the coupling"`
	Slopes           []say.Message   `json:"slopes" help:"both angles in words, as the trade reads them"`
	RunningVertical  alignRunning    `json:"running_vertical" help:"the same with growth"`
	Growth           alignGrowth     `json:"growth" help:"growth that was counted"`
	Feet             alignFeet       `json:"feet" help:"moves: positive up, and to the right as seen from the back of the movable machine"`
	ClosureError     quantity.Length `json:"closure_error" help:"by how much top + bottom and left + right differ"`
	Valid            bool            `json:"valid" help:"the readings close"`
	Verdicts         []alignVerdict  `json:"verdicts" help:"against each published table, running; empty without a speed"`
	WithinAll        *bool           `json:"within_all" help:"within every table: the stricter one rules"`
	Moves            []say.Message   `json:"moves" help:"the moves in words"`
	Change           []say.Message   `json:"change" optional:"yes" help:"as found against now"`
	Shims            *alignShims     `json:"shims" help:"packs for feet that are raised, from the stock"`
	Drawing          alignDrawing    `json:"drawing" help:"the shaft at rims and feet, for a drawing to scale"`
}

type alignRunning struct {
	Offset quantity.Length `json:"offset" help:"offset at the movable rim, running"`
	Angle  quantity.Angle  `json:"angle" help:"slope, running"`
}

type alignFeet struct {
	Near alignMove `json:"near" help:"near feet"`
	Far  alignMove `json:"far" help:"far feet"`
}

type alignMove struct {
	Vertical   quantity.Length `json:"vertical" help:"positive: raise"`
	Horizontal quantity.Length `json:"horizontal" help:"positive: to the right"`
}

type alignVerdict struct {
	Table       string                   `json:"table" help:"published table"`
	Speed       quantity.RotationalSpeed `json:"speed" help:"speed looked up"`
	OffsetLimit quantity.Length          `json:"offset_limit" help:"acceptable offset"`
	AngleLimit  quantity.Angle           `json:"angle_limit" help:"acceptable angle between the shafts"`
	Grade       string                   `json:"grade" help:"excellent, acceptable or outside"`
	Within      bool                     `json:"within" help:"acceptable or better"`
	Source      string                   `json:"source" help:"where it is published"`
}

type alignShims struct {
	Near *alignPack `json:"near" help:"near feet"`
	Far  *alignPack `json:"far" help:"far feet"`
}

type alignPack struct {
	Shims     []alignShim     `json:"shims" help:"thickest first"`
	Pieces    int             `json:"pieces" help:"shims in the pack"`
	Thickness quantity.Length `json:"thickness" help:"of the pack"`
	Error     quantity.Length `json:"error" help:"pack less what was wanted"`
}

type alignDrawing struct {
	Side  []alignStation `json:"side" help:"seen from the side, positive up"`
	Above []alignStation `json:"above" help:"seen from above, positive to the right"`
}

type alignStation struct {
	At      quantity.Length `json:"at" help:"along the shaft from the movable rim towards the feet"`
	Cold    quantity.Length `json:"cold" help:"offset as read"`
	Running quantity.Length `json:"running" help:"with growth"`
	Target  quantity.Length `json:"target" help:"where it should lie cold"`
}

func alignResults(plan align.Plan) alignOut {
	p := plan.Position
	out := alignOut{OffsetVertical: p.Vertical.Offset, AngleVertical: p.Vertical.Slope, OffsetHorizontal: p.Horizontal.Offset, AngleHorizontal: p.Horizontal.Slope,
		Slopes: p.Slopes(), RunningVertical: alignRunning{plan.RunningVertical.Offset, plan.RunningVertical.Slope},
		Growth:       alignGrowth{plan.Growth.Near, plan.Growth.Far},
		Feet:         alignFeet{alignMove{plan.Near.Vertical, plan.Near.Horizontal}, alignMove{plan.Far.Vertical, plan.Far.Horizontal}},
		ClosureError: p.Closure, Valid: plan.Valid, Verdicts: []alignVerdict{}, Moves: plan.Words}
	for _, v := range plan.Verdicts {
		out.Verdicts = append(out.Verdicts, alignVerdict{Table: v.Table, Speed: v.Speed, OffsetLimit: v.AcceptableShift, AngleLimit: v.AcceptableAngle,
			Grade: string(v.Grade), Within: v.Within, Source: v.Source})
	}
	if len(plan.Verdicts) > 0 {
		out.WithinAll = &plan.Within
	}
	d := plan.Drawing()
	out.Drawing = alignDrawing{Side: stationsOut(d.Side), Above: stationsOut(d.Above)}
	return out
}

func stationsOut(list []align.Station) []alignStation {
	out := make([]alignStation, len(list))
	for i, s := range list {
		out[i] = alignStation(s)
	}
	return out
}
