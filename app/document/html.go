package document

import (
	"html"
	"strconv"
	"strings"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// HTMLOptions say how a report becomes a piece of a page.
type HTMLOptions struct {
	ID    string // put in front of ids; "report" when empty
	Level int    // level of the report's own heading, 1 when 0
}

// HTML returns the report as one article element: headings in order, tables
// with scopes, figures with descriptions, drawings as inline SVG that follow
// the colours of the page. It asks for nothing from elsewhere.
func (r *Report) HTML(style say.Style, o HTMLOptions) string {
	if o.ID == "" {
		o.ID = "report"
	}
	if o.Level <= 0 {
		o.Level = 1
	}
	w := &page{style: style, o: o}
	w.raw(`<article class="report" lang="` + html.EscapeString(style.Language()) + `" aria-labelledby="` + html.EscapeString(o.ID) + `-title">`)
	w.element(heading(o.Level), `id="`+html.EscapeString(o.ID)+`-title"`, show(r.Title, style))
	if s := show(r.Subtitle, style); s != "" {
		w.element("p", `class="subtitle"`, s)
	}
	if len(r.Facts) > 0 {
		w.factList(r.Facts, "title-block")
	}
	for _, b := range r.Blocks {
		w.block(b)
	}
	w.raw("</article>")
	return w.b.String()
}

type page struct {
	b        strings.Builder
	style    say.Style
	o        HTMLOptions
	figures  int
	drawings int
	tables   int
}

func heading(level int) string { return "h" + strconv.Itoa(min(max(level, 1), 6)) }

func (w *page) raw(s string) { w.b.WriteString(s) }

func (w *page) element(name, attributes, text string) {
	w.raw("<" + name)
	if attributes != "" {
		w.raw(" " + attributes)
	}
	w.raw(">" + html.EscapeString(text) + "</" + name + ">")
}

func (w *page) block(b Block) {
	switch b := b.(type) {
	case Heading:
		w.element(heading(w.o.Level+max(b.Level, 1)), "", show(b.Text, w.style))
	case Paragraph:
		w.element("p", "", show(b.Text, w.style))
	case List:
		name := "ul"
		if b.Numbered {
			name = "ol"
		}
		w.raw("<" + name + ">")
		for _, item := range b.Items {
			w.element("li", "", show(item, w.style))
		}
		w.raw("</" + name + ">")
	case Note:
		w.apart("note", wordNote, b.Text)
	case Caution:
		w.apart("caution", wordCaution, b.Text)
	case Facts:
		w.factList(b.Items, "facts")
	case Table:
		w.table(b)
	case Figure:
		w.figure(b)
	case Signatures:
		w.signatures(b)
	case PageBreak:
		w.raw(`<div class="page-break"></div>`)
	case Group:
		w.raw(`<div class="together">`)
		for _, c := range b.Blocks {
			w.block(c)
		}
		w.raw("</div>")
	}
}

func (w *page) apart(class string, word say.Template, text Text) {
	w.raw(`<div class="` + class + `" role="note">`)
	w.element("strong", "", word.With().Text(w.style))
	w.raw(" ")
	w.element("p", "", show(text, w.style))
	w.raw("</div>")
}

func (w *page) factList(facts []Fact, class string) {
	w.raw(`<dl class="` + class + `">`)
	for _, f := range facts {
		w.raw("<div>")
		w.element("dt", "", show(f.Name, w.style))
		w.element("dd", "", show(f.Value, w.style))
		w.raw("</div>")
	}
	w.raw("</dl>")
}

func (w *page) table(t Table) {
	w.raw("<table>")
	if caption := show(t.Caption, w.style); caption != "" {
		w.tables++
		w.element("caption", "", wordTable.With(w.tables, caption).Text(w.style))
	}
	w.raw("<thead><tr>")
	for _, c := range t.Columns {
		attributes := `scope="col"`
		if c.Number {
			attributes += ` class="number"`
		}
		w.element("th", attributes, show(c.Head, w.style))
	}
	w.raw("</tr></thead><tbody>")
	for _, row := range t.Rows {
		if row.Total {
			w.raw(`<tr class="total">`)
		} else {
			w.raw("<tr>")
		}
		for j := range t.Columns {
			var c Cell
			if j < len(row.Cells) {
				c = row.Cells[j]
			}
			w.cell(c, t.Columns[j], j == 0)
		}
		w.raw("</tr>")
	}
	w.raw("</tbody></table>")
}

func (w *page) cell(c Cell, column Column, first bool) {
	name, attributes := "td", ""
	text := cellText(c, w.style)
	if first && !column.Number && c.State == nil && text != "" {
		name, attributes = "th", ` scope="row"`
	}
	switch {
	case c.State != nil:
		mark := draw.New(3, 3)
		mark.Mark(draw.At(1.5, 1.5), *c.State, 2.8)
		w.raw("<" + name + attributes + ` class="state">` + decoration(mark) + " " + html.EscapeString(text) + "</" + name + ">")
	case column.Number:
		number, unit := SplitUnit(text)
		w.raw("<" + name + attributes + ` class="number">` + html.EscapeString(number))
		if unit != "" {
			w.raw(` <span class="unit">` + html.EscapeString(unit) + "</span>")
		}
		w.raw("</" + name + ">")
	default:
		w.raw("<" + name + attributes + ">" + html.EscapeString(text) + "</" + name + ">")
	}
}

// decoration returns a drawing that a screen reader passes over: the word
// beside it says the same.
func decoration(d *draw.Drawing) string {
	svg := d.SVG(draw.SVGOptions{Width: "1em"})
	start := strings.Index(svg, "<title")
	end := strings.Index(svg, "</desc>") + len("</desc>")
	open := strings.Index(svg, ">") + 1
	return `<svg xmlns="http://www.w3.org/2000/svg" aria-hidden="true" width="1em" height="1em" viewBox="0 0 3 3">` +
		svg[open:start] + svg[end:]
}

func (w *page) figure(f Figure) {
	if f.Draw == nil {
		return
	}
	d := f.Draw(w.style)
	if d == nil {
		return
	}
	w.drawings++
	w.raw("<figure>")
	w.raw(d.SVG(draw.SVGOptions{ID: w.o.ID + "-figure-" + strconv.Itoa(w.drawings), Width: "100%"}))
	if text := show(f.Caption, w.style); text != "" {
		w.figures++
		w.element("figcaption", "", wordFigure.With(w.figures, text).Text(w.style))
	}
	w.raw("</figure>")
}

func (w *page) signatures(s Signatures) {
	w.raw(`<ul class="signatures">`)
	for _, line := range s.Lines {
		w.raw("<li>")
		w.element("strong", "", show(line.Role, w.style))
		w.raw(" ")
		w.element("span", `class="for"`, show(line.For, w.style))
		w.raw(" ")
		w.element("span", `class="signed"`, show(line.Name, w.style))
		w.raw(" ")
		w.element("span", `class="date"`, show(line.Date, w.style))
		w.raw("</li>")
	}
	w.raw("</ul>")
}
