package draw

import (
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// plotWords measures the words of a chart as all other words of a drawing are
// measured, so that the plot library needs no font of its own.
type plotWords struct{}

// Height of a line of Liberation Sans, em: what its file says.
const (
	lineAscent  = 1854.0 / 2048
	lineDescent = 434.0 / 2048
	lineHeight  = 2355.0 / 2048
)

// useWords makes a plot measure its words here.
func useWords(p *plot.Plot) {
	p.TextHandler = plotWords{}
	for _, style := range []*text.Style{&p.Title.TextStyle, &p.Legend.TextStyle, &p.X.Label.TextStyle, &p.X.Tick.Label, &p.Y.Label.TextStyle, &p.Y.Tick.Label} {
		style.Handler = plotWords{}
	}
}

func (plotWords) Cache() *font.Cache { return nil }

func (plotWords) Extents(f font.Font) font.Extents {
	return font.Extents{Ascent: f.Size * lineAscent, Descent: f.Size * lineDescent, Height: f.Size * lineHeight}
}

func (plotWords) Lines(words string) []string {
	return strings.Split(strings.TrimRight(words, "\n"), "\n")
}

func (plotWords) Box(words string, f font.Font) (width, height, depth vg.Length) {
	return vg.Length(TextWidth(words, float64(f.Size), false)), f.Size * lineAscent, f.Size * lineDescent
}

// Draw puts each line with its baseline where the style aligns it.
func (w plotWords) Draw(c vg.Canvas, words string, style text.Style, at vg.Point) {
	words = strings.TrimRight(words, "\n")
	if words == "" {
		return
	}
	c.SetColor(style.Color)
	if style.Rotation != 0 {
		c.Push()
		defer c.Pop()
		c.Rotate(style.Rotation)
	}
	s, k := math.Sincos(style.Rotation)
	sin, cos := vg.Length(s), vg.Length(k)
	at.X, at.Y = at.Y*sin+at.X*cos, at.Y*cos-at.X*sin
	lines := w.Lines(words)
	at.Y += style.Height(words)*vg.Length(style.YAlign) - w.Extents(style.Font).Ascent
	for i, line := range lines {
		width, _, _ := w.Box(line, style.Font)
		c.FillString(font.Face{Font: style.Font}, at.Add(vg.Point{X: vg.Length(style.XAlign) * width, Y: vg.Length(len(lines)-i) * style.Font.Size}), line)
	}
}
