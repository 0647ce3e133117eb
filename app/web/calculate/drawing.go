package calculate

import (
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/app/web/part"
	"pumpwright/calc/align"
	"pumpwright/calc/bolt"
	"pumpwright/calc/bushing"
	"pumpwright/calc/fit"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
)

var wordSleeve = say.Define("calculate.sleeve", "sleeve in its housing")

// drawn is a figure that can be drawn.
type drawn interface {
	Draw(style say.Style) *draw.Drawing
}

// drawingOf is the figure that shows what a calculator found, nil where no
// drawing says more than the numbers.
func drawingOf(found any) drawn {
	switch r := found.(type) {
	case calculator.Aligned:
		return figure.OfAlignment(r.Plan, r.Before, r.Plan.Valid)
	case calculator.SealSet:
		return figure.OfSetting(r.Set, r.Free, r.Force)
	case calculator.Bands:
		if f, err := figure.OfFlatness(r.Bands, r.Light); err == nil {
			return f
		}
	case align.SoftFoot:
		return figure.OfSoftFoot(r)
	case bushing.Running:
		return figure.OfFilm(nil, r)
	case bolt.Result:
		if f := figure.OfBolts(r); len(f.Order) > 1 {
			return f
		}
	case fit.PressResult:
		if f := figure.OfStroke(wordSleeve.With(), r); f != nil {
			return f
		}
	}
	return nil
}

// drawing is the answer as a drawing, "" when there is none.
func (f *form) drawing() string {
	if d := drawingOf(f.outcome.Notes.Found); d != nil {
		return part.SVG(d.Draw(f.v.View.Style), "answer")
	}
	return ""
}
