package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Hinges shows what a choice between two courses of action hinges on: one bar
// for each number, from the difference with that number at its low end to the
// difference at its high end. A bar that crosses zero turns the choice round.
type Hinges struct {
	Difference float64 // of the second best less the best
	Currency   string
	Bars       []HingeBar // the widest first
}

// HingeBar is one number.
type HingeBar struct {
	Name      say.Shower
	Low, High float64 // difference with the number at its low and at its high end
}

var (
	titleHinges = say.Define("figure.hinges_title", "What the choice hinges on")
	msgHinges   = say.Define("figure.hinges", "Difference between the two best courses: {difference}.")
	msgHingeBar = say.Define("figure.hinge_bar", "{name}: from {low} to {high}{turns}.")
	wordTurns   = say.Define("figure.hinge_turns", ", the choice turns round")
	wordZero    = say.Define("figure.hinge_zero", "both cost the same")
)

const (
	hingeFrom, hingeTo = 66.0, 160.0
	hingeRow           = 7.5
	mostHinges         = 8
)

// Draw makes the picture.
func (h Hinges) Draw(style say.Style) *draw.Drawing {
	told := &description{style: style}
	bars := h.Bars
	if len(bars) > mostHinges {
		bars = bars[:mostHinges]
	}
	d := draw.New(sheetWidth, 20+hingeRow*float64(max(len(bars), 1)))
	low, high := math.Min(h.Difference, 0), math.Max(h.Difference, 0)
	for _, b := range bars {
		low = math.Min(low, math.Min(b.Low, b.High))
		high = math.Max(high, math.Max(b.Low, b.High))
	}
	span := high - low
	if !(span > 0) || !usable(span, h.Difference) {
		span, high, low = 1, 1, 0
	}
	at := func(v float64) float64 { return hingeFrom + (hingeTo-hingeFrom)*(v-low)/span }
	money := func(v float64) string {
		m, err := quantity.MoneyOf(math.Round(v), h.Currency)
		if err != nil {
			return ""
		}
		return m.Show(style)
	}
	told.add(msgHinges.With(money(h.Difference)))
	bottom := 10 + hingeRow*float64(len(bars))
	d.Line(draw.Thin.In(draw.Soft), draw.At(at(0), 8), draw.At(at(0), bottom+1))
	d.Text(draw.At(at(0), bottom+4.6), wordZero.With().Text(style), draw.Small.At(draw.Middle))
	d.Line(draw.Pen{Role: draw.Ink, Width: 0.4}, draw.At(at(h.Difference), 8), draw.At(at(h.Difference), bottom+1))
	d.Text(draw.At(at(h.Difference), 6), money(h.Difference), draw.Small.At(draw.Middle))
	for i, b := range bars {
		y := 10 + hingeRow*float64(i)
		from, to := math.Min(b.Low, b.High), math.Max(b.Low, b.High)
		turns := from < 0
		role, turned := draw.Shade, say.Message{}
		if turns {
			role, turned = draw.MeasureAgain.Role(), wordTurns.With()
		}
		name := draw.Wrap(words(b.Name, style), draw.Label.Size, false, hingeFrom-6)
		d.Text(draw.At(2, y+4.2), name[0], draw.Label)
		d.Shape(draw.Rectangle(at(from), y+1.2, math.Max(at(to)-at(from), 0.2), hingeRow-3), role, draw.Thin)
		told.add(msgHingeBar.With(words(b.Name, style), money(b.Low), money(b.High), turned))
	}
	d.Describe(titleHinges.With().Text(style), told.String())
	return d
}
