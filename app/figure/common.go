package figure

import (
	"math"
	"strings"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// sheetWidth is the width of most figures: the text width of a page.
const sheetWidth = 174.0

// description gathers the sentences that say what a figure shows.
type description struct {
	style say.Style
	parts []string
}

func (d *description) add(m say.Message) {
	if text := m.Text(d.style); text != "" {
		d.parts = append(d.parts, text)
	}
}

func (d *description) String() string { return strings.Join(d.parts, " ") }

func words(s say.Shower, style say.Style) string {
	if s == nil {
		return ""
	}
	return s.Show(style)
}

func show[T quantity.Of](v T, style say.Style) string { return v.Show(style) }

// millimetres returns a length in mm.
func millimetres(l quantity.Length) float64 { return l.SI() * 1e3 }

// inUnit returns an SI value in the unit of a style, chosen for a reference
// value so that all numbers of one axis have one unit.
func inUnit(d quantity.Dimension, reference float64, style say.Style) (factor func(si float64) float64, symbol string) {
	symbol = quantity.ShowUnit(d, reference, style)
	return func(si float64) float64 {
		v, err := quantity.InUnit(quantity.Entered{Dimension: d, SI: si}, symbol)
		if err != nil {
			return math.NaN()
		}
		return v
	}, symbol
}

func decimalMark(style say.Style) string {
	if style.Catalogue == nil {
		return "."
	}
	return style.Catalogue.Decimal()
}

func usable(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

func positive(l quantity.Length) bool { return l > 0 && usable(l.SI()) }

// or returns the length, or another when it is not known.
func or(l, otherwise quantity.Length) quantity.Length {
	if positive(l) {
		return l
	}
	return otherwise
}

var (
	msgGapsWidened = say.Define("figure.gaps_widened", "Parts are to scale; clearances and gaskets are drawn wider than they are.")
	msgProportion  = say.Define("figure.proportion", "Outlines without a dimension on the sheet are drawn in proportion.")
	msgIncomplete  = say.Define("figure.incomplete", "Not drawn: a dimension is missing or cannot be drawn ({what}).")
	titleSection   = say.Define("figure.section_title", "Pump cut along the shaft")
	titleFace      = say.Define("figure.face_title", "Pump seen from the head side")
	msgNamedState  = say.Define("figure.named_state", "{name}: {value}, {state}.")
	msgNamed       = say.Define("figure.named", "{name}: {value}.")
)

// missing returns a sheet that says why there is no picture.
func missing(title say.Message, what string, style say.Style) *draw.Drawing {
	d := draw.New(sheetWidth, 24)
	text := msgIncomplete.With(what).Text(style)
	d.Paragraph(draw.At(4, 12), text, sheetWidth-8, draw.Label.In(draw.Soft))
	d.Stroke(draw.Rectangle(1, 1, sheetWidth-2, 22), draw.Hidden)
	d.Describe(title.Text(style), text)
	return d
}

// scaleBar draws a bar of a round length in the unit of the person, its left
// end at a point; perMillimetre is the scale of the drawing.
func scaleBar(d *draw.Drawing, at draw.Point, perMillimetre, room float64, style say.Style) {
	toSheet := func(v float64) float64 { return v * perMillimetre }
	unit := 1.0 // mm
	symbol := "mm"
	if style.Units == say.Inch {
		unit, symbol = 25.4, "in"
	}
	step := draw.RoundStep(room / perMillimetre / unit / 2)
	length := toSheet(step * unit)
	if !usable(length) || length <= 0 || length > 2*room {
		return
	}
	half := length / 2
	d.Shape(draw.Rectangle(at.X, at.Y, half, 1.2), draw.Ink, draw.Thin.Wide(0.18))
	d.Shape(draw.Rectangle(at.X+half, at.Y, half, 1.2), draw.Paper, draw.Thin.Wide(0.18))
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	d.Text(draw.At(at.X+length+1.5, at.Y+1.6), draw.Number(step, decimals, decimalMark(style))+" "+symbol, draw.Small)
}
