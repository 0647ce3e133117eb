package draw

import (
	"image/png"
	"io"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"
)

// PNG writes the drawing as a picture with so many dots per millimetre.
func (d *Drawing) PNG(to io.Writer, dotsPerMillimetre float64, palette Palette) error {
	sheet := canvas.New(d.Width, d.Height)
	flip := canvas.Identity.ReflectYAbout(d.Height / 2)
	fill := func(p *canvas.Path, r Role, m canvas.Matrix) {
		style := canvas.DefaultStyle
		style.Fill = canvas.Paint{Color: palette.Colour(r)}
		style.FillRule = canvas.EvenOdd
		sheet.RenderPath(p, style, m)
	}
	fill(Rectangle(0, 0, d.Width, d.Height).p, Paper, flip)
	for _, it := range d.items {
		if it.words != "" {
			left := 0.0
			switch width := TextWidth(it.words, it.set.Size, it.set.Bold); it.set.Anchor {
			case Middle:
				left = -width / 2
			case Right:
				left = -width
			}
			m := canvas.Identity.Translate(it.at.X, d.Height-it.at.Y).Rotate(it.set.Turn).Translate(left, 0)
			style := canvas.DefaultStyle
			style.Fill = canvas.Paint{Color: palette.Colour(it.set.Role)}
			sheet.RenderPath(outline(it.words, it.set.Size, it.set.Bold), style, m)
			continue
		}
		if it.fill != None {
			fill(it.path.p, it.fill, flip)
		}
		if it.stroke.Role != None && it.stroke.Width > 0 {
			style := canvas.DefaultStyle
			style.Fill = canvas.Paint{}
			style.Stroke = canvas.Paint{Color: palette.Colour(it.stroke.Role)}
			style.StrokeWidth = it.stroke.Width
			style.StrokeJoiner = canvas.RoundJoin
			style.Dashes = it.stroke.Dash
			sheet.RenderPath(it.path.p, style, flip)
		}
	}
	return png.Encode(to, rasterizer.Draw(sheet, canvas.DPMM(dotsPerMillimetre), canvas.DefaultColorSpace))
}
