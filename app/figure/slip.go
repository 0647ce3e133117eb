package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Slip shows the slip by leak path as bars.
type Slip struct {
	Paths   []SlipPath
	Total   *quantity.Estimate[quantity.Flow]
	Setting say.Shower
}

// SlipPath is one path; a flow below zero is one where drag outruns pressure.
type SlipPath struct {
	Part string
	Name say.Shower
	Flow quantity.Flow
	U    float64
}

var (
	titleSlip = say.Define("figure.slip_title", "Slip by path")
	msgSlip   = say.Define("figure.slip_path", "{name}: {value}.")
	wordTotal = say.Define("figure.slip_total", "all paths together: {value}")
)

// Draw makes the picture.
func (s Slip) Draw(style say.Style) *draw.Drawing {
	told := &description{style: style}
	low, high := 0.0, 0.0
	for _, p := range s.Paths {
		if !usable(p.Flow.SI(), p.U) {
			return missing(titleSlip.With(), words(p.Name, style), style)
		}
		low, high = min(low, p.Flow.SI()-p.U), max(high, p.Flow.SI()+p.U)
	}
	if high <= low {
		return missing(titleSlip.With(), titleSlip.With().Text(style), style)
	}
	const from, to, row = 58.0, 132.0, 8.0
	top := 10.0
	d := draw.New(sheetWidth, top+row*float64(len(s.Paths))+16)
	if text := words(s.Setting, style); text != "" {
		d.Text(draw.At(2, 5), draw.Shorten(text, draw.Label.Size, false, sheetWidth-4), draw.Label.In(draw.Soft))
		told.add(say.Plain(text + "."))
	}
	x := func(v float64) float64 { return from + (v-low)/(high-low)*(to-from) }
	toUnit, symbol := inUnit(quantity.FlowDimension, high, style)
	zero := x(0)
	bottom := top + row*float64(len(s.Paths))
	step := draw.RoundStep((toUnit(high) - toUnit(low)) / 5)
	perUnit := (high - low) / (toUnit(high) - toUnit(low))
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	for k := math.Ceil(toUnit(low)/step - 1e-9); k*step <= toUnit(high)+1e-9; k++ {
		v := x(k * step * perUnit)
		d.Line(draw.Thin.In(draw.Faint), draw.At(v, top-1), draw.At(v, bottom+1))
		d.Text(draw.At(v, bottom+4.6), draw.Number(k*step, decimals, decimalMark(style)), draw.Small.At(draw.Middle))
	}
	d.Text(draw.At((from+to)/2, bottom+9), axisSlip.With(symbol).Text(style), draw.Label.At(draw.Middle).In(draw.Soft))
	for i, p := range s.Paths {
		y := top + row*(float64(i)+0.5)
		v := x(p.Flow.SI())
		d.Part(p.Part, func() {
			fill := draw.Soft
			if p.Flow < 0 {
				fill = draw.Shade
			}
			d.Shape(draw.Rectangle(min(zero, v), y-2.1, math.Abs(v-zero), 4.2), fill, draw.Thin)
			if p.U > 0 {
				a, b := x(p.Flow.SI()-p.U), x(p.Flow.SI()+p.U)
				pen := draw.Outline
				d.Line(pen, draw.At(a, y), draw.At(b, y))
				d.Line(pen, draw.At(a, y-1.2), draw.At(a, y+1.2))
				d.Line(pen, draw.At(b, y-1.2), draw.At(b, y+1.2))
			}
			d.Text(draw.At(from-3, y+1.05), draw.Shorten(words(p.Name, style), draw.Label.Size, false, from-5), draw.Label.At(draw.Right))
			text := quantity.ShowWithU(quantity.FlowDimension, p.Flow.SI(), p.U, style)
			if p.U <= 0 {
				text = show(p.Flow, style)
			}
			d.Text(draw.At(sheetWidth-2, y+1.05), text, draw.Label.At(draw.Right))
			told.add(msgSlip.With(words(p.Name, style), say.Plain(text)))
		})
	}
	d.Line(draw.Outline, draw.At(zero, top-1), draw.At(zero, bottom+1))
	if s.Total != nil {
		text := wordTotal.With(*s.Total).Text(style)
		d.Text(draw.At(sheetWidth-2, bottom+14), text, draw.Value.At(draw.Right))
		told.add(say.Plain(text + "."))
	}
	d.Describe(titleSlip.With().Text(style), told.String())
	return d
}
