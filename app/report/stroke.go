package report

import (
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/fit"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
)

var captionStroke = say.Define("report.caption_stroke", "{name}: press force over the stroke")

// Stroke fills the press force over the stroke, or returns nil when it is not
// known.
func Stroke(p *assembly.Press) *figure.Stroke {
	r := p.Result
	if r == nil {
		return nil
	}
	f := figure.OfStroke(say.Plain(p.Name), *r)
	if f == nil {
		return nil
	}
	s := p.Stroke
	if s == nil || s.Check == nil {
		return f
	}
	f.Low, f.High = (s.Check.Low / r.PressForce).SI(), (s.Check.High / r.PressForce).SI()
	f.State = draw.Good
	switch {
	case s.Doubted:
		f.State = draw.MeasureAgain
	case s.Check.Verdict != fit.StrokeAsComputed:
		f.State = draw.PastLimit
	}
	gauged, err := s.Body.Gauges()
	if err != nil {
		return f
	}
	for _, g := range gauged {
		engaged := g.Engaged
		if engaged == 0 { // the greatest of the stroke, wherever it was
			engaged = r.Stroke[len(r.Stroke)-1].Engaged
		}
		f.Read = append(f.Read, figure.StrokePoint{Engaged: engaged, Force: g.Force})
	}
	return f
}
