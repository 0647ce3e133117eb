//go:build !js

package draw

import (
	"bytes"

	"codeberg.org/go-pdf/fpdf"
)

// pdfFamily is the name under which the font is known inside a PDF.
const pdfFamily = "LiberationSans"

// UseFonts makes the font known to a PDF: call it once before text is set.
func UseFonts(pdf *fpdf.Fpdf) {
	pdf.AddUTF8FontFromBytes(pdfFamily, "", RegularFont())
	pdf.AddUTF8FontFromBytes(pdfFamily, "B", BoldFont())
}

// SetFont chooses the font in a size of millimetres.
func SetFont(pdf *fpdf.Fpdf, size float64, bold bool) {
	style := ""
	if bold {
		style = "B"
	}
	pdf.SetFont(pdfFamily, style, size/millimetresPerPoint)
}

// Put sets a line of text in a PDF, in a size of millimetres, its baseline
// beginning at (x, y).
func Put(pdf *fpdf.Fpdf, x, y float64, words string, size float64, bold bool) {
	SetFont(pdf, size, bold)
	pdf.Text(x, y, printable(words, bold))
}

// Bookmark adds an entry to the outline of a PDF.
func Bookmark(pdf *fpdf.Fpdf, words string, level int, y float64) {
	SetFont(pdf, Label.Size, true) // the library writes the entry in the encoding of the font
	pdf.Bookmark(printable(words, true), level, y)
}

// Place draws the sheet into the current page of a PDF in millimetres, with
// its left upper corner at (x, y), enlarged by scale. Lines stay lines and text
// stays text, so that it can be searched and copied. UseFonts must have been
// called.
func (d *Drawing) Place(pdf *fpdf.Fpdf, x, y, scale float64, palette Palette) {
	w := &pdfWriter{pdf: pdf, x: x - d.corner.X*scale, y: y - d.corner.Y*scale, scale: scale, palette: palette}
	pdf.SetLineJoinStyle("round")
	pdf.SetLineCapStyle("butt")
	for _, it := range d.items {
		if it.picture != nil {
			w.picture(it)
		} else if it.words != "" {
			w.text(it)
		} else {
			w.shape(it)
		}
	}
	pdf.SetDashPattern(nil, 0)
}

type pdfWriter struct {
	pdf     *fpdf.Fpdf
	x, y    float64
	scale   float64
	palette Palette
	fill    Role // last set, to keep the file small
	stroke  Role
	width   float64
	dashed  bool
}

func (w *pdfWriter) shape(it item) {
	style := ""
	if it.fill != None {
		if w.fill != it.fill {
			c := w.palette.Colour(it.fill)
			w.pdf.SetFillColor(int(c.R), int(c.G), int(c.B))
			w.fill = it.fill
		}
		style = "f*"
	}
	if it.stroke.Role != None && it.stroke.Width > 0 {
		if w.stroke != it.stroke.Role {
			c := w.palette.Colour(it.stroke.Role)
			w.pdf.SetDrawColor(int(c.R), int(c.G), int(c.B))
			w.stroke = it.stroke.Role
		}
		if width := it.stroke.Width * w.scale; w.width != width {
			w.pdf.SetLineWidth(width)
			w.width = width
		}
		if dashed := len(it.stroke.Dash) > 0; dashed || w.dashed {
			dash := make([]float64, len(it.stroke.Dash))
			for i, v := range it.stroke.Dash {
				dash[i] = v * w.scale
			}
			w.pdf.SetDashPattern(dash, 0)
			w.dashed = dashed
		}
		if style == "" {
			style = "D"
		} else {
			style = "B*"
		}
	}
	if style == "" {
		return
	}
	walk(it.path.p, w)
	w.pdf.DrawPath(style)
}

func (w *pdfWriter) text(it item) {
	size := it.set.Size * w.scale
	SetFont(w.pdf, size, it.set.Bold)
	c := w.palette.Colour(it.set.Role)
	w.pdf.SetTextColor(int(c.R), int(c.G), int(c.B))
	w.fill = None // the text colour is a fill colour of the page
	x, y := w.x+it.at.X*w.scale, w.y+it.at.Y*w.scale
	left := x
	switch width := TextWidth(it.words, size, it.set.Bold); it.set.Anchor {
	case Middle:
		left -= width / 2
	case Right:
		left -= width
	}
	if it.set.Turn != 0 {
		w.pdf.TransformBegin()
		w.pdf.TransformRotate(it.set.Turn, x, y)
		w.pdf.Text(left, y, printable(it.words, it.set.Bold))
		w.pdf.TransformEnd()
		return
	}
	w.pdf.Text(left, y, printable(it.words, it.set.Bold))
}

func (w *pdfWriter) at(x, y float64) (float64, float64) { return w.x + x*w.scale, w.y + y*w.scale }

func (w *pdfWriter) moveTo(x, y float64) { w.pdf.MoveTo(w.at(x, y)) }
func (w *pdfWriter) lineTo(x, y float64) { w.pdf.LineTo(w.at(x, y)) }
func (w *pdfWriter) closePath()          { w.pdf.ClosePath() }
func (w *pdfWriter) cubeTo(x1, y1, x2, y2, x, y float64) {
	x1, y1 = w.at(x1, y1)
	x2, y2 = w.at(x2, y2)
	x, y = w.at(x, y)
	w.pdf.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
}

func (w *pdfWriter) picture(it item) {
	if len(it.picture.JPEG) == 0 {
		return
	}
	o := fpdf.ImageOptions{ImageType: "JPG"}
	name := it.picture.Address
	if name == "" {
		name = "picture"
	}
	w.pdf.RegisterImageOptionsReader(name, o, bytes.NewReader(it.picture.JPEG))
	w.pdf.ImageOptions(name, w.x+it.box.X*w.scale, w.y+it.box.Y*w.scale, it.box.W*w.scale, it.box.H*w.scale, false, o, 0, "")
}
