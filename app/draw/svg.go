package draw

import (
	"html"
	"strconv"
	"strings"
)

// SVGOptions say how a drawing becomes SVG.
type SVGOptions struct {
	// ID is put in front of the ids of title and description, so that several
	// drawings can stand on one page. Empty means "drawing".
	ID string
	// Palette fixes the colours, for a file of its own. Nil leaves them to the
	// CSS variables of the page, with PaperPalette where there are none.
	Palette *Palette
	// Ground paints the sheet; without it the page shows through.
	Ground bool
	// Width is the width attribute, such as "160mm" or "100%". Empty means the
	// size of the sheet in mm.
	Width string
}

// SVG returns the drawing as one svg element with title and description, text
// as text, and a group with data-part for each part.
func (d *Drawing) SVG(o SVGOptions) string {
	w := &svgWriter{palette: o.Palette}
	id := o.ID
	if id == "" {
		id = "drawing"
	}
	width := o.Width
	if width == "" {
		width = short(d.Width, 2) + "mm"
	}
	w.raw(`<svg xmlns="http://www.w3.org/2000/svg" role="img" width="` + html.EscapeString(width) + `" viewBox="` +
		short(d.corner.X, 2) + ` ` + short(d.corner.Y, 2) + ` ` + short(d.Width, 2) + ` ` + short(d.Height, 2) + `" font-family="'` + FontName + `', Arimo, Arial, Helvetica, sans-serif"`)
	w.raw(` aria-labelledby="` + html.EscapeString(id) + `-title ` + html.EscapeString(id) + `-text" stroke-linejoin="round">`)
	w.raw(`<title id="` + html.EscapeString(id) + `-title">` + html.EscapeString(d.title) + `</title>`)
	w.raw(`<desc id="` + html.EscapeString(id) + `-text">` + html.EscapeString(d.text) + `</desc>`)
	if o.Ground {
		w.shape(item{path: Rectangle(d.corner.X, d.corner.Y, d.Width, d.Height), fill: Paper})
	}
	part := ""
	for _, it := range d.items {
		if it.part != part {
			if part != "" {
				w.raw("</g>")
			}
			if part = it.part; part != "" {
				w.raw(`<g data-part="` + html.EscapeString(part) + `">`)
			}
		}
		if it.picture != nil {
			w.picture(it)
		} else if it.words != "" {
			w.text(it)
		} else {
			w.shape(it)
		}
	}
	if part != "" {
		w.raw("</g>")
	}
	w.raw("</svg>")
	return w.b.String()
}

type svgWriter struct {
	b       strings.Builder
	palette *Palette
}

func (w *svgWriter) raw(s string) { w.b.WriteString(s) }

func (w *svgWriter) colour(r Role) string {
	if r == None {
		return "none"
	}
	if w.palette != nil {
		return hex(w.palette.Colour(r))
	}
	return "var(--draw-" + r.String() + "," + hex(PaperPalette.Colour(r)) + ")"
}

func (w *svgWriter) shape(it item) {
	w.raw(`<path d="`)
	walk(it.path.p, w)
	w.raw(`" fill="` + w.colour(it.fill) + `"`)
	if it.fill != None {
		w.raw(` fill-rule="evenodd"`)
	}
	if it.stroke.Role != None && it.stroke.Width > 0 {
		w.raw(` stroke="` + w.colour(it.stroke.Role) + `" stroke-width="` + short(it.stroke.Width, 3) + `"`)
		if len(it.stroke.Dash) > 0 {
			w.raw(` stroke-dasharray="`)
			for i, dash := range it.stroke.Dash {
				if i > 0 {
					w.raw(" ")
				}
				w.raw(short(dash, 2))
			}
			w.raw(`"`)
		}
	}
	w.raw("/>")
}

func (w *svgWriter) text(it item) {
	w.raw(`<text x="` + short(it.at.X, 2) + `" y="` + short(it.at.Y, 2) + `" font-size="` + short(it.set.Size, 2) +
		`" fill="` + w.colour(it.set.Role) + `"`)
	if it.set.Bold {
		w.raw(` font-weight="700"`)
	}
	switch it.set.Anchor {
	case Middle:
		w.raw(` text-anchor="middle"`)
	case Right:
		w.raw(` text-anchor="end"`)
	}
	if it.set.Turn != 0 {
		w.raw(` transform="rotate(` + short(-it.set.Turn, 1) + ` ` + short(it.at.X, 2) + ` ` + short(it.at.Y, 2) + `)"`)
	}
	w.raw(">" + html.EscapeString(it.words) + "</text>")
}

func (w *svgWriter) moveTo(x, y float64) { w.raw("M" + short(x, 3) + " " + short(y, 3)) }
func (w *svgWriter) lineTo(x, y float64) { w.raw("L" + short(x, 3) + " " + short(y, 3)) }
func (w *svgWriter) closePath()          { w.raw("z") }
func (w *svgWriter) cubeTo(x1, y1, x2, y2, x, y float64) {
	w.raw("C" + short(x1, 3) + " " + short(y1, 3) + " " + short(x2, 3) + " " + short(y2, 3) + " " + short(x, 3) + " " + short(y, 3))
}

// short prints a number with at most so many decimals and no idle zeros.
func short(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.IndexByte(s, '.') >= 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
