package draw

// Pen is how a line is drawn.
type Pen struct {
	Role  Role
	Width float64   // mm
	Dash  []float64 // lengths drawn and left out in turn, mm; empty: unbroken
}

// The pens of a drawing sheet: two widths, 2:1, as in ISO 128-2.
var (
	Outline = Pen{Ink, 0.35, nil}
	Thin    = Pen{Ink, 0.18, nil}
	Leading = Pen{Soft, 0.18, nil}
	Centre  = Pen{Soft, 0.18, []float64{5, 1.2, 0.8, 1.2}}
	Hidden  = Pen{Soft, 0.18, []float64{1.6, 0.9}}
	Marked  = Pen{Accent, 0.5, nil}
)

// In returns the pen in another role.
func (p Pen) In(r Role) Pen { p.Role = r; return p }

// Wide returns the pen with another width.
func (p Pen) Wide(mm float64) Pen { p.Width = mm; return p }

// Anchor says which end of a line of text stands at the given point.
type Anchor uint8

// The anchors.
const (
	Left Anchor = iota
	Middle
	Right
)

// Type is how a text is set.
type Type struct {
	Size   float64 // mm, height of the em; 0 means 3
	Bold   bool
	Role   Role // None means Ink
	Anchor Anchor
	Turn   float64 // degrees against the clock; 0 or 90
	Ground bool    // cover what lies behind with paper
}

// The types of a sheet.
var (
	Label  = Type{Size: 3.0}
	Small  = Type{Size: 2.6, Role: Soft}
	Value  = Type{Size: 3.4, Bold: true}
	Header = Type{Size: 4.2, Bold: true}
)

// At returns the type with another anchor.
func (t Type) At(a Anchor) Type { t.Anchor = a; return t }

// In returns the type in another role.
func (t Type) In(r Role) Type { t.Role = r; return t }

// OnGround returns the type with paper behind it.
func (t Type) OnGround() Type { t.Ground = true; return t }

// Sized returns the type in another size, mm.
func (t Type) Sized(mm float64) Type { t.Size = mm; return t }

// Upward returns the type turned to read from below upwards.
func (t Type) Upward() Type { t.Turn = 90; return t }

// Drawing is one sheet. The zero Drawing has no size; use New.
type Drawing struct {
	Width, Height float64 // mm
	corner        Point   // left upper corner of the sheet
	title, text   string
	items         []item
	part          string
	texts         []Placed
}

// Placed is a text with the box it takes on the sheet.
type Placed struct {
	Text string
	Box  Rect
}

type item struct {
	part   string
	path   Path
	fill   Role
	stroke Pen
	words  string // a text when not empty
	at     Point
	set    Type

	picture *Picture // a photo in its box
	box     Rect
}

// New returns an empty sheet.
func New(width, height float64) *Drawing { return &Drawing{Width: width, Height: height} }

// Describe gives the sheet its title and the text that says the same as the
// picture to somebody who cannot see it.
func (d *Drawing) Describe(title, text string) { d.title, d.text = Clean(title), Clean(text) }

// Title returns the title.
func (d *Drawing) Title() string { return d.title }

// Description returns the text that says what the picture shows.
func (d *Drawing) Description() string { return d.text }

// Texts returns every text on the sheet with its box.
func (d *Drawing) Texts() []Placed { return d.texts }

// Sheet returns the box of the sheet.
func (d *Drawing) Sheet() Rect { return Rect{d.corner.X, d.corner.Y, d.Width, d.Height} }

// Parts returns the ids of the parts in the order of their first appearance.
func (d *Drawing) Parts() []string {
	var ids []string
	seen := map[string]bool{"": true}
	for _, it := range d.items {
		if !seen[it.part] {
			seen[it.part] = true
			ids = append(ids, it.part)
		}
	}
	return ids
}

// Extent returns the box around everything drawn.
func (d *Drawing) Extent() Rect {
	var all Rect
	first := true
	add := func(r Rect) {
		if first {
			all, first = r, false
			return
		}
		x, y := min(all.X, r.X), min(all.Y, r.Y)
		all = Rect{x, y, max(all.Right(), r.Right()) - x, max(all.Bottom(), r.Bottom()) - y}
	}
	for _, it := range d.items {
		if it.words == "" && !it.path.Empty() {
			add(it.path.Bounds())
		}
	}
	for _, t := range d.texts {
		add(t.Box)
	}
	return all
}

// Part draws what follows as belonging to a part, so that a page can open the
// part when its picture is touched: <g data-part="idler-pin">.
func (d *Drawing) Part(id string, paint func()) {
	outer := d.part
	d.part = id
	paint()
	d.part = outer
}

// Crop cuts the sheet to what is drawn and a margin around it.
func (d *Drawing) Crop(margin float64) {
	e := d.Extent().Grow(margin)
	d.corner, d.Width, d.Height = Point{e.X, e.Y}, e.W, e.H
}

// Fill fills an area.
func (d *Drawing) Fill(a Path, r Role) { d.add(item{path: a, fill: r}) }

// Stroke draws a line.
func (d *Drawing) Stroke(a Path, p Pen) { d.add(item{path: a, stroke: p}) }

// Shape fills an area and draws its outline.
func (d *Drawing) Shape(a Path, fill Role, p Pen) { d.add(item{path: a, fill: fill, stroke: p}) }

// Line draws a straight line through points.
func (d *Drawing) Line(p Pen, points ...Point) { d.Stroke(Polyline(points...), p) }

func (d *Drawing) add(it item) {
	if it.words == "" && it.path.Empty() {
		return
	}
	it.part = d.part
	d.items = append(d.items, it)
}

// Text sets one line of text with its baseline at a point and returns its box.
func (d *Drawing) Text(at Point, words string, t Type) Rect {
	if t.Size <= 0 {
		t.Size = Label.Size
	}
	if t.Role == None {
		t.Role = Ink
	}
	words = Clean(words)
	if words == "" {
		return Rect{at.X, at.Y, 0, 0}
	}
	box := textBox(at, words, t)
	if t.Ground {
		ground := box.Grow(0.4)
		d.Fill(Rectangle(ground.X, ground.Y, ground.W, ground.H), Paper)
	}
	d.add(item{words: words, at: at, set: t})
	d.texts = append(d.texts, Placed{words, box})
	return box
}

func textBox(at Point, words string, t Type) Rect {
	width := TextWidth(words, t.Size, t.Bold)
	f := face(t.Bold)
	up, down := f.ascent*t.Size, f.descent*t.Size
	back := 0.0
	switch t.Anchor {
	case Middle:
		back = width / 2
	case Right:
		back = width
	}
	if t.Turn == 90 {
		return Rect{at.X - up, at.Y + back - width, up + down, width}
	}
	return Rect{at.X - back, at.Y - up, width, up + down}
}

// Paragraph sets a text in lines no wider than width, the first baseline at a
// point, and returns its box.
func (d *Drawing) Paragraph(at Point, words string, width float64, t Type) Rect {
	if t.Size <= 0 {
		t.Size = Label.Size
	}
	box := Rect{at.X, at.Y, 0, 0}
	for i, line := range Wrap(words, t.Size, t.Bold, width) {
		b := d.Text(Point{at.X, at.Y + float64(i)*t.Size*LineStep}, line, t)
		if i == 0 {
			box = b
			continue
		}
		right := max(box.Right(), b.Right())
		box.X = min(box.X, b.X)
		box.W = right - box.X
		box.H = b.Bottom() - box.Y
	}
	return box
}

// LineStep is the distance of baselines as a multiple of the size.
const LineStep = 1.3
