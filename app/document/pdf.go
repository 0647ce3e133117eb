//go:build !js

package document

import (
	"fmt"
	"io"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

const (
	marginLeft   = 20.0
	marginRight  = 15.0
	marginTop    = 22.0
	marginBottom = 20.0

	bodySize  = 3.5 // mm, about 10 pt
	smallSize = 2.9
	tableSize = 3.1
	lineStep  = 1.36
	blockGap  = 3.4
)

// PDF writes the report on paper of a size.
func (r *Report) PDF(to io.Writer, size PageSize, style say.Style) error {
	if size.Width <= 0 || size.Height <= 0 {
		size = A4
	}
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: size.Width, Ht: size.Height}})
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(marginLeft, marginTop, marginRight)
	draw.UseFonts(pdf)
	title := show(r.Title, style)
	r.metadata(pdf, title, style.Language())
	w := &paper{
		pdf: pdf, style: style, size: size, palette: draw.PrintPalette,
		left: marginLeft, width: size.Width - marginLeft - marginRight,
		bottom: size.Height - marginBottom,
	}
	w.newPage()
	w.titleBlock(r)
	for _, b := range r.Blocks {
		w.block(b)
	}
	w.headsAndFeet(r, title)
	if err := pdf.Output(to); err != nil {
		return fmt.Errorf("document: write %q: %w", title, err)
	}
	return nil
}

func (r *Report) metadata(pdf *fpdf.Fpdf, title, language string) {
	created := r.Created.UTC()
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(created)
	pdf.SetModificationDate(created)
	pdf.SetTitle(title, true)
	pdf.SetAuthor(draw.Clean(r.Author), true)
	pdf.SetCreator("Pumpwright", true)
	pdf.SetProducer("Pumpwright", true)
	pdf.SetLang(language)
	pdf.SetXmpMetadata([]byte(xmp(title, draw.Clean(r.Author), language, created.Format("2006-01-02T15:04:05Z"))))
}

// xmp returns the metadata packet after ISO 16684-1.
func xmp(title, author, language, created string) string {
	x := func(s string) string {
		return strings.NewReplacer("\n", " ", "&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(s)
	}
	return `<?xpacket begin="` + "\ufeff" + `" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">` + x(title) + `</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>` + x(author) + `</rdf:li></rdf:Seq></dc:creator>
<dc:language><rdf:Bag><rdf:li>` + x(language) + `</rdf:li></rdf:Bag></dc:language>
<xmp:CreateDate>` + created + `</xmp:CreateDate><xmp:ModifyDate>` + created + `</xmp:ModifyDate>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>`
}

// paper is a report being laid out, one page after the other.
type paper struct {
	pdf     *fpdf.Fpdf
	style   say.Style
	size    PageSize
	palette draw.Palette
	left    float64
	width   float64
	bottom  float64
	y       float64
	figures int
	tables  int
}

func (w *paper) newPage() {
	w.pdf.AddPage()
	w.y = marginTop
}

// room begins a new page unless so much height is left.
func (w *paper) room(height float64) {
	if w.y+height > w.bottom && w.y > marginTop+0.01 {
		w.newPage()
	}
}

func (w *paper) pen(role draw.Role, width float64) {
	c := w.palette.Colour(role)
	w.pdf.SetDrawColor(int(c.R), int(c.G), int(c.B))
	w.pdf.SetLineWidth(width)
}

func (w *paper) rule(x0, x1, y float64, role draw.Role, width float64) {
	w.pen(role, width)
	w.pdf.Line(x0, y, x1, y)
}

// put sets one line with its baseline at y; anchor as in package draw.
func (w *paper) put(x, y float64, text string, size float64, bold bool, role draw.Role, anchor draw.Anchor) {
	if text == "" {
		return
	}
	switch width := draw.TextWidth(text, size, bold); anchor {
	case draw.Middle:
		x -= width / 2
	case draw.Right:
		x -= width
	}
	c := w.palette.Colour(role)
	w.pdf.SetTextColor(int(c.R), int(c.G), int(c.B))
	draw.Put(w.pdf, x, y, text, size, bold)
}

// running sets a text in lines, over as many pages as it needs.
func (w *paper) running(x, width float64, text string, size float64, bold bool, role draw.Role) {
	step := size * lineStep
	lines := draw.Wrap(text, size, bold, width)
	for i, line := range lines {
		if i == 0 && len(lines) > 1 {
			w.room(2 * step) // no lonely first line
		} else {
			w.room(step)
		}
		w.put(x, w.y+0.78*step, line, size, bold, role, draw.Left)
		w.y += step
	}
}

func (w *paper) titleBlock(r *Report) {
	title := show(r.Title, w.style)
	if title == "" && len(r.Facts) == 0 {
		return
	}
	w.running(w.left, w.width, title, 6.6, true, draw.Ink)
	if s := show(r.Subtitle, w.style); s != "" {
		w.running(w.left, w.width, s, 4.0, false, draw.Soft)
	}
	w.y += 2
	if len(r.Facts) > 0 {
		w.factGrid(r.Facts)
	}
	w.y += blockGap
}

// factGrid draws the title block: fields with a small name over the value,
// three in a row, thin rules between.
func (w *paper) factGrid(facts []Fact) {
	const columns = 3
	field := w.width / columns
	top := w.y
	w.rule(w.left, w.left+w.width, top, draw.Ink, 0.5)
	for i := 0; i < len(facts); i += columns {
		row := facts[i:min(i+columns, len(facts))]
		height := 0.0
		for j, f := range row {
			x := w.left + float64(j)*field + 1.6
			w.put(x, w.y+3.6, draw.Shorten(show(f.Name, w.style), 2.5, false, field-3.2), 2.5, false, draw.Soft, draw.Left)
			lines := draw.Wrap(show(f.Value, w.style), bodySize, false, field-3.2)
			for k, line := range lines {
				w.put(x, w.y+8.0+float64(k)*bodySize*lineStep, line, bodySize, false, draw.Ink, draw.Left)
			}
			height = max(height, 5.2+float64(len(lines))*bodySize*lineStep)
		}
		for j := 1; j < columns; j++ {
			w.pen(draw.Faint, 0.18)
			w.pdf.Line(w.left+float64(j)*field, w.y, w.left+float64(j)*field, w.y+height)
		}
		w.y += height
		w.rule(w.left, w.left+w.width, w.y, draw.Faint, 0.18)
	}
	w.rule(w.left, w.left+w.width, w.y, draw.Ink, 0.5)
}

func (w *paper) block(b Block) {
	switch b := b.(type) {
	case Heading:
		w.heading(b)
	case Paragraph:
		w.running(w.left, w.width, show(b.Text, w.style), bodySize, false, draw.Ink)
		w.y += blockGap
	case List:
		w.list(b)
	case Note:
		w.boxed(wordNote.With().Text(w.style), show(b.Text, w.style), false)
	case Caution:
		w.boxed(wordCaution.With().Text(w.style), show(b.Text, w.style), true)
	case Facts:
		w.facts(b)
	case Table:
		w.table(b)
	case Figure:
		w.figure(b)
	case Signatures:
		w.signatures(b)
	case PageBreak:
		if w.y > marginTop+0.01 {
			w.newPage()
		}
	case Group:
		w.room(min(w.height(b.Blocks), w.bottom-marginTop))
		for _, c := range b.Blocks {
			w.block(c)
		}
	}
}

func (w *paper) heading(h Heading) {
	size := []float64{5.0, 4.2, 3.7}[min(max(h.Level, 1), 3)-1]
	if w.y > marginTop+0.01 {
		w.y += 2.2
	}
	w.room(size*lineStep + 22) // a heading takes the beginning of its text along
	text := show(h.Text, w.style)
	draw.Bookmark(w.pdf, text, min(max(h.Level, 1), 3)-1, w.y)
	w.running(w.left, w.width, text, size, true, draw.Ink)
	if h.Level <= 1 {
		w.y += 0.4
		w.rule(w.left, w.left+w.width, w.y, draw.Ink, 0.25)
		w.y += 1.0
	}
	w.y += 1.4
}

func (w *paper) list(l List) {
	for i, item := range l.Items {
		mark := "–"
		if l.Numbered {
			mark = fmt.Sprintf("%d.", i+1)
		}
		step := bodySize * lineStep
		text := show(item, w.style)
		w.room(step * float64(min(2, len(draw.Wrap(text, bodySize, false, w.width-6.5))))) // the mark goes where its text goes
		w.put(w.left+5, w.y+0.78*step, mark, bodySize, false, draw.Soft, draw.Right)
		w.running(w.left+6.5, w.width-6.5, text, bodySize, false, draw.Ink)
		w.y += 0.8
	}
	w.y += blockGap - 0.8
}

// boxed sets a note or a caution: a bar at the left, for a caution also the
// warning triangle of ISO 7010 and a frame.
func (w *paper) boxed(word, text string, caution bool) {
	inset := 5.0
	if caution {
		inset = 14
	}
	step := bodySize * lineStep
	lines := draw.Wrap(text, bodySize, false, w.width-inset-3)
	height := step + float64(len(lines))*step + 4
	if caution {
		height = max(height, 13)
	}
	w.room(height)
	role := draw.Soft
	if caution {
		role = draw.Ink
		w.pen(draw.Ink, 0.35)
		w.pdf.Rect(w.left, w.y, w.width, height, "D")
		w.triangle(w.left+7, w.y+6.6)
	}
	c := w.palette.Colour(role)
	w.pdf.SetFillColor(int(c.R), int(c.G), int(c.B))
	w.pdf.Rect(w.left, w.y, 1.2, height, "F")
	y := w.y + 2 + 0.78*step
	w.put(w.left+inset, y, word, bodySize, true, role, draw.Left)
	for i, line := range lines {
		w.put(w.left+inset, y+float64(i+1)*step, line, bodySize, false, draw.Ink, draw.Left)
	}
	w.y += height + blockGap
}

func (w *paper) triangle(x, y float64) {
	const r = 4.2
	w.pen(draw.Ink, 0.7)
	w.pdf.SetLineJoinStyle("round")
	w.pdf.Polygon([]fpdf.PointType{{X: x, Y: y - r}, {X: x + 0.866*r, Y: y + r/2}, {X: x - 0.866*r, Y: y + r/2}}, "D")
	w.put(x, y+r/2-0.9, "!", 4.6, true, draw.Ink, draw.Middle)
}

func (w *paper) facts(f Facts) {
	names := 0.0
	for _, item := range f.Items {
		names = max(names, draw.TextWidth(show(item.Name, w.style), bodySize, false))
	}
	names = min(names+5, w.width*0.45)
	step := bodySize * lineStep
	for _, item := range f.Items {
		left := draw.Wrap(show(item.Name, w.style), bodySize, false, names-3)
		right := draw.Wrap(show(item.Value, w.style), bodySize, false, w.width-names)
		n := max(len(left), len(right))
		w.room(float64(n)*step + 1)
		for i := range n {
			y := w.y + 0.78*step + float64(i)*step
			if i < len(left) {
				w.put(w.left, y, left[i], bodySize, false, draw.Soft, draw.Left)
			}
			if i < len(right) {
				w.put(w.left+names, y, right[i], bodySize, false, draw.Ink, draw.Left)
			}
		}
		w.y += float64(n)*step + 0.5
		w.rule(w.left, w.left+w.width, w.y, draw.Faint, 0.12)
		w.y += 0.5
	}
	w.y += blockGap
}

func (w *paper) figure(f Figure) {
	if f.Draw == nil {
		return
	}
	d := f.Draw(w.style)
	if d == nil || d.Width <= 0 || d.Height <= 0 {
		return
	}
	share := f.Share
	if share <= 0 || share > 1 {
		share = 1
	}
	var caption []string
	if text := show(f.Caption, w.style); text != "" {
		w.figures++
		caption = draw.Wrap(wordFigure.With(w.figures, text).Text(w.style), smallSize, false, w.width)
	}
	below := float64(len(caption))*smallSize*lineStep + 2
	scale := min(1, share*w.width/d.Width, (w.bottom-marginTop-below)/d.Height)
	w.room(d.Height*scale + below)
	d.Place(w.pdf, w.left+(w.width-d.Width*scale)/2, w.y, scale, w.palette)
	w.y += d.Height*scale + 1
	for _, line := range caption {
		w.put(w.left+w.width/2, w.y+0.78*smallSize*lineStep, line, smallSize, false, draw.Soft, draw.Middle)
		w.y += smallSize * lineStep
	}
	w.y += blockGap
}

func (w *paper) signatures(s Signatures) {
	const columns = 2
	field := (w.width - 8) / columns
	for i := 0; i < len(s.Lines); i += columns {
		w.room(24)
		for j, line := range s.Lines[i:min(i+columns, len(s.Lines))] {
			x := w.left + float64(j)*(field+8)
			w.put(x, w.y+4, draw.Shorten(show(line.Role, w.style), bodySize, true, field), bodySize, true, draw.Ink, draw.Left)
			w.put(x, w.y+8.2, draw.Shorten(show(line.For, w.style), smallSize, false, field), smallSize, false, draw.Soft, draw.Left)
			w.put(x, w.y+16.2, draw.Shorten(show(line.Name, w.style), bodySize, false, field*0.62), bodySize, false, draw.Ink, draw.Left)
			w.put(x+field*0.66, w.y+16.2, draw.Shorten(show(line.Date, w.style), bodySize, false, field*0.34), bodySize, false, draw.Ink, draw.Left)
			w.rule(x, x+field*0.62, w.y+17.4, draw.Ink, 0.25)
			w.rule(x+field*0.66, x+field, w.y+17.4, draw.Ink, 0.25)
			w.put(x, w.y+20.4, wordSigned.With().Text(w.style), 2.5, false, draw.Soft, draw.Left)
			w.put(x+field*0.66, w.y+20.4, wordDate.With().Text(w.style), 2.5, false, draw.Soft, draw.Left)
		}
		w.y += 24
	}
	w.y += blockGap
}

// headsAndFeet writes what stands on every page, once their number is known.
func (w *paper) headsAndFeet(r *Report, title string) {
	all := w.pdf.PageCount()
	mark, foot := draw.Shorten(show(r.Mark, w.style), smallSize, false, w.width/2), show(r.Foot, w.style)
	right := w.left + w.width
	for n := 1; n <= all; n++ {
		w.pdf.SetPage(n)
		draw.SetFont(w.pdf, 1, false) // so that the next choice is written into this page
		markWidth := draw.TextWidth(mark, smallSize, false)
		if n > 1 {
			w.put(w.left, 13, draw.Shorten(title, smallSize, false, w.width-markWidth-6), smallSize, false, draw.Soft, draw.Left)
		}
		w.put(right, 13, mark, smallSize, false, draw.Soft, draw.Right)
		w.rule(w.left, right, 15, draw.Soft, 0.18)
		y := w.size.Height - 10
		w.rule(w.left, right, y-4.4, draw.Soft, 0.18)
		page := wordPage.With(n, all).Text(w.style)
		w.put(w.left, y, draw.Shorten(foot, smallSize, false, w.width-draw.TextWidth(page, smallSize, false)-6), smallSize, false, draw.Soft, draw.Left)
		w.put(right, y, page, smallSize, false, draw.Soft, draw.Right)
	}
}
