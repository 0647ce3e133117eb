//go:build !js

package draw

import (
	"image/png"
	"io"
	"slices"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"
)

// PNG writes the drawing as a picture with so many dots per millimetre.
func (d *Drawing) PNG(to io.Writer, dotsPerMillimetre float64, palette Palette) error {
	sheet := canvas.New(d.Width, d.Height)
	flip := canvas.Identity.ReflectYAbout(d.Height/2).Translate(-d.corner.X, -d.corner.Y)
	fill := func(a Path, r Role) {
		style := canvas.DefaultStyle
		style.Fill = canvas.Paint{Color: palette.Colour(r)}
		sheet.RenderPath(a.wound(), style, flip)
	}
	fill(Rectangle(d.corner.X, d.corner.Y, d.Width, d.Height), Paper)
	for _, it := range d.items {
		if it.words != "" {
			left := 0.0
			switch width := TextWidth(it.words, it.set.Size, it.set.Bold); it.set.Anchor {
			case Middle:
				left = -width / 2
			case Right:
				left = -width
			}
			m := canvas.Identity.Translate(it.at.X-d.corner.X, d.Height-it.at.Y+d.corner.Y).Rotate(it.set.Turn).Translate(left, 0)
			style := canvas.DefaultStyle
			style.Fill = canvas.Paint{Color: palette.Colour(it.set.Role)}
			sheet.RenderPath(outline(it.words, it.set.Size, it.set.Bold), style, m)
			continue
		}
		if it.fill != None {
			fill(it.path, it.fill)
		}
		if it.stroke.Role != None && it.stroke.Width > 0 {
			style := canvas.DefaultStyle
			style.Dashes = nil
			style.Fill = canvas.Paint{}
			style.Stroke = canvas.Paint{Color: palette.Colour(it.stroke.Role)}
			style.StrokeWidth = it.stroke.Width
			style.StrokeJoiner = canvas.RoundJoin
			for _, dash := range it.stroke.Dash { // the library counts dashes in widths of the line
				style.Dashes = append(style.Dashes, dash/it.stroke.Width)
			}
			sheet.RenderPath(it.path.p, style, flip)
		}
	}
	return png.Encode(to, rasterizer.Draw(sheet, canvas.DPMM(dotsPerMillimetre), canvas.DefaultColorSpace))
}

// wound returns the path with each line inside an odd number of others turned
// round: the rasterizer fills by winding, not by the even-odd rule.
func (a Path) wound() *canvas.Path {
	rings := a.rings(0.005)
	if len(rings) < 2 {
		return a.p
	}
	all := &canvas.Path{}
	for i, ring := range rings {
		depth := 0
		for j, other := range rings {
			if i != j && contains(other, within(ring)) {
				depth++
			}
		}
		if (shoelace(ring) < 0) != (depth%2 == 1) {
			slices.Reverse(ring)
		}
		all = all.Append(Polygon(ring...).p)
	}
	return all
}
