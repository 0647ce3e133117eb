package figure

import (
	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Stroke is the press force over the length that is in, with what the press
// gauge showed.
type Stroke struct {
	Name     say.Shower
	Computed []StrokePoint // from the first touch to the end of the stroke
	Low      float64       // force at the end of the stroke, as parts of the computed one: where
	High     float64       // ordinary friction lets it lie; both 0: no band
	Capacity quantity.Force
	Read     []StrokePoint // of the gauge
	State    draw.State    // of the readings
}

// StrokePoint is the force at a length that is in.
type StrokePoint struct {
	Engaged quantity.Length
	Force   quantity.Force
}

var (
	titleStroke   = say.Define("figure.stroke_title", "Press force over the stroke")
	axisEngaged   = say.Define("figure.axis_engaged", "length that is in, {unit}")
	axisForce     = say.Define("figure.axis_force", "press force, {unit}")
	wordComputed  = say.Define("figure.stroke_computed", "computed")
	msgStroke     = say.Define("figure.stroke", "{name}: computed, the force rises to {force} at {length}. Press to take: {capacity}.")
	msgStrokeBand = say.Define("figure.stroke_band", "The band is where ordinary friction lets it lie.")
	msgStrokeRead = say.Define("figure.stroke_read", "Read: {force} at {length}; {state}.")
)

// Draw makes the picture.
func (s Stroke) Draw(style say.Style) *draw.Drawing {
	n := len(s.Computed)
	if n < 2 || !positive(s.Computed[n-1].Engaged) || !usable(s.Computed[n-1].Force.SI()) {
		return missing(titleStroke.With(), words(s.Name, style), style)
	}
	end := s.Computed[n-1]
	top := max(end.Force.SI(), end.Force.SI()*s.High)
	for _, p := range s.Read {
		top = max(top, p.Force.SI())
	}
	toX, unitX := inUnit(quantity.LengthDimension, end.Engaged.SI(), style)
	toY, unitY := inUnit(quantity.ForceDimension, top, style)
	chart := draw.Chart{
		X: draw.Axis{Words: axisEngaged.With(unitX).Text(style), Max: toX(end.Engaged.SI()), Decimal: decimalMark(style)},
		Y: draw.Axis{Words: axisForce.With(unitY).Text(style), Max: toY(top) * 1.08, Decimal: decimalMark(style)},
	}
	curve := draw.Curve{Words: wordComputed.With().Text(style), Pen: draw.Pen{Role: draw.Accent, Width: 0.6}}
	band := draw.Band{Role: draw.Tint}
	for _, p := range s.Computed {
		x, y := toX(p.Engaged.SI()), toY(p.Force.SI())
		curve.Points = append(curve.Points, draw.XY{X: x, Y: y})
		band.X, band.Low, band.High = append(band.X, x), append(band.Low, y*s.Low), append(band.High, y*s.High)
	}
	chart.Curves = []draw.Curve{curve}
	told := &description{style: style}
	told.add(msgStroke.With(words(s.Name, style), end.Force, end.Engaged, s.Capacity))
	if s.High > s.Low {
		chart.Bands = []draw.Band{band}
		told.add(msgStrokeBand.With())
	}
	for _, p := range s.Read {
		chart.Spots = append(chart.Spots, draw.Spot{At: draw.XY{X: toX(p.Engaged.SI()), Y: toY(p.Force.SI())}, State: s.State, Role: s.State.Role()})
		told.add(msgStrokeRead.With(p.Force, p.Engaged, s.State.Word()))
	}
	d := draw.New(sheetWidth, 76)
	d.Text(draw.At(2, 5), draw.Shorten(words(s.Name, style), draw.Label.Size, false, sheetWidth-4), draw.Label.In(draw.Soft))
	d.Chart(draw.Rect{X: 2, Y: 8, W: sheetWidth - 4, H: 62}, chart)
	if s.High > s.Low {
		d.Text(draw.At(2, 74), msgStrokeBand.With().Text(style), draw.Small)
	}
	d.Describe(titleStroke.With().Text(style), told.String())
	return d
}
