package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/life"
	"pumpwright/calc/say"
)

// Life shows how long a part lasts on a Weibull plot: the share that has
// failed over the age, both axes drawn so that a Weibull life is a straight
// line.
type Life struct {
	Name    say.Shower
	Groups  []LifeGroup
	Setting say.Shower // how many failed and run, in words
}

// LifeGroup is one set of parts: its steps without a distribution, and a
// fitted life.
type LifeGroup struct {
	Name  say.Shower
	Steps []life.Step
	Model *life.Model
}

var (
	titleLife   = say.Define("figure.life_title", "How long {name} lasts")
	wordLife    = say.Define("figure.life_name", "life of a part")
	axisAge     = say.Define("figure.axis_age", "age, running hours")
	axisFailed  = say.Define("figure.axis_failed", "share worn out, %")
	wordLifeKey = say.Define("figure.life_key", "Steps: counted, with parts that still run. Straight lines: fitted Weibull lives.")
	msgLifeAt   = say.Define("figure.life_at", "{name}: a tenth by {tenth:number} h, half by {half:number} h.")
)

// lifeShares are the marks of the upright axis.
var lifeShares = []float64{0.001, 0.01, 0.05, 0.1, 0.2, 0.5, 0.9, 0.99}

// weibullScale is the height of a share failed on a Weibull plot.
func weibullScale(share float64) float64 { return math.Log(-math.Log1p(-share)) }

// Draw makes the picture.
func (l Life) Draw(style say.Style) *draw.Drawing {
	name := words(l.Name, style)
	told := &description{style: style}
	c := draw.Chart{X: draw.Axis{Words: axisAge.With().Text(style), Min: math.Inf(1), Max: math.Inf(-1), Log: true, Decimal: decimalMark(style)},
		Y: draw.Axis{Words: axisFailed.With().Text(style), Min: weibullScale(0.01), Max: weibullScale(0.9), Decimal: decimalMark(style)}}
	pens := []draw.Pen{{Role: draw.Accent, Width: 0.5}, {Role: draw.Ink, Width: 0.4}, {Role: draw.Ink, Width: 0.4, Dash: []float64{3, 1.2}}, {Role: draw.Ink, Width: 0.4, Dash: []float64{0.9, 0.9}}}
	for i, g := range l.Groups {
		pen := pens[min(i, len(pens)-1)]
		steps := draw.Curve{Pen: draw.Pen{Role: pen.Role, Width: 0.25, Dash: pen.Dash}}
		before := 0.0
		for _, s := range g.Steps {
			failed := 1 - s.Survival
			if !(s.Age > 0) || !(failed > 0 && failed < 1) {
				continue
			}
			c.X.Min, c.X.Max = min(c.X.Min, s.Age), max(c.X.Max, s.Age)
			c.Y.Min, c.Y.Max = min(c.Y.Min, weibullScale(failed)), max(c.Y.Max, weibullScale(failed))
			if before > 0 {
				steps.Points = append(steps.Points, draw.XY{X: s.Age, Y: weibullScale(before)})
			}
			steps.Points = append(steps.Points, draw.XY{X: s.Age, Y: weibullScale(failed)})
			before = failed
		}
		if len(steps.Points) > 1 {
			c.Curves = append(c.Curves, steps)
		}
	}
	if !(c.X.Max > 0) {
		return missing(wordLife.With(), name, style)
	}
	c.X.Min, c.X.Max = c.X.Min/1.3, c.X.Max*1.3
	for i, g := range l.Groups {
		if g.Model == nil {
			continue
		}
		pen := pens[min(i, len(pens)-1)]
		line := draw.Curve{Words: words(g.Name, style), Pen: pen}
		if len(l.Groups) == 1 {
			line.Words = ""
		}
		const places = 60
		for k := range places + 1 {
			age := c.X.Min * math.Pow(c.X.Max/c.X.Min, float64(k)/places)
			share := g.Model.Failed(age)
			if !(share > 0 && share < 1) {
				continue
			}
			if y := weibullScale(share); y >= c.Y.Min && y <= c.Y.Max {
				line.Points = append(line.Points, draw.XY{X: age, Y: y})
			}
		}
		if len(line.Points) > 1 {
			c.Curves = append(c.Curves, line)
		}
		told.add(msgLifeAt.With(words(g.Name, style), g.Model.AgeAt(0.1), g.Model.AgeAt(0.5)))
	}
	for _, share := range lifeShares {
		if y := weibullScale(share); y >= c.Y.Min && y <= c.Y.Max {
			decimals := 0
			if share < 0.01 {
				decimals = 1
			}
			c.Y.Ticks = append(c.Y.Ticks, draw.Tick{Value: y, Words: draw.Number(100*share, decimals, decimalMark(style))})
		}
	}
	d := draw.New(sheetWidth, 98)
	if s := words(l.Setting, style); s != "" {
		d.Text(draw.At(2, 5), draw.Shorten(s, draw.Label.Size, false, sheetWidth-4), draw.Label.In(draw.Soft))
		told.add(say.Plain(s + "."))
	}
	d.Chart(draw.Rect{X: 2, Y: 8, W: sheetWidth - 4, H: 82}, c)
	d.Text(draw.At(2, 95.6), wordLifeKey.With().Text(style), draw.Small)
	told.add(wordLifeKey.With())
	d.Describe(titleLife.With(name).Text(style), told.String())
	return d
}
