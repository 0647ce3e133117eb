package figure

import (
	"math"
	"strconv"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// The shapes of marks on a photo.
const (
	MarkCircle = "circle"
	MarkArrow  = "arrow"
	MarkNumber = "number"
)

// Mark is a mark on a photo; places are parts of its width and height. A
// circle stands around At and reaches to End, an arrow points to At and comes
// from End, a number stands at At.
type Mark struct {
	Shape   string
	At, End draw.Point
	Text    string
}

// Photo is a photo with the marks on it. The marks are numbered in their
// order; what each shows stands under the picture.
type Photo struct {
	Picture *draw.Picture
	Note    string
	Marks   []Mark
	Bare    bool // without the list under it
}

var (
	titlePhoto = say.Define("figure.photo_title", "Photo")
	photoMark  = say.Define("figure.photo_mark", "{n:count}: {text}")
	photoDesc  = say.Define("figure.photo_desc", "Mark {n:count}, {shape}, at {x:percent} from the left and {y:percent} from the top. {text}")
)

const mostPhotoHigh = 150.0

// Draw makes the picture.
func (p Photo) Draw(style say.Style) *draw.Drawing {
	title := p.Note
	if title == "" {
		title = titlePhoto.With().Text(style)
	}
	if p.Picture == nil || p.Picture.Wide <= 0 || p.Picture.High <= 0 {
		return missing(titlePhoto.With(), title, style)
	}
	box := draw.Rect{W: sheetWidth, H: sheetWidth * float64(p.Picture.High) / float64(p.Picture.Wide)}
	if box.H > mostPhotoHigh {
		box = draw.Rect{X: (sheetWidth - box.W*mostPhotoHigh/box.H) / 2, W: box.W * mostPhotoHigh / box.H, H: mostPhotoHigh}
	}
	d := draw.New(sheetWidth, box.H+0.5)
	if p.Bare {
		d = draw.New(box.W, box.H)
		box.X = 0
	}
	d.Picture(box, p.Picture)
	told := &description{style: style}
	for i, m := range p.Marks {
		p.mark(d, box, i+1, m)
		told.add(photoDesc.With(i+1, m.Shape, m.At.X, m.At.Y, m.Text))
	}
	if !p.Bare {
		y := box.H + 5
		for i, m := range p.Marks {
			if m.Text == "" {
				continue
			}
			b := d.Paragraph(draw.At(box.X, y), photoMark.With(i+1, m.Text).Text(style), box.W, draw.Label)
			y = b.Bottom() + 3.2
			d.Height = b.Bottom() + 1
		}
	}
	d.Describe(title, told.String())
	return d
}

// mark draws one mark: paper under ink, so that it stands out on any picture.
func (p Photo) mark(d *draw.Drawing, box draw.Rect, n int, m Mark) {
	to := func(q draw.Point) draw.Point { return draw.At(box.X+q.X*box.W, box.Y+q.Y*box.H) }
	at, end := to(m.At), to(m.End)
	big := 1.0
	if p.Bare { // on a page, down to the width of a phone
		big = 1.8
	}
	width := 0.7 * big
	twice := func(path draw.Path) {
		d.Stroke(path, draw.Pen{Role: draw.Paper, Width: width + 0.9*big})
		d.Stroke(path, draw.Pen{Role: draw.Alarm, Width: width})
	}
	tag := at
	switch m.Shape {
	case MarkCircle:
		r := max(2*big, math.Hypot(end.X-at.X, end.Y-at.Y))
		twice(draw.Circle(at, r))
		tag = draw.At(at.X+r*0.72, at.Y-r*0.72)
	case MarkArrow:
		length := math.Hypot(end.X-at.X, end.Y-at.Y)
		if length < 1 { // no way to come from
			end, length = draw.At(at.X-8, at.Y-8), 8*math.Sqrt2
		}
		ux, uy := (end.X-at.X)/length, (end.Y-at.Y)/length
		head := draw.Polyline(draw.At(at.X+big*(4*ux-1.8*uy), at.Y+big*(4*uy+1.8*ux)), at, draw.At(at.X+big*(4*ux+1.8*uy), at.Y+big*(4*uy-1.8*ux)))
		twice(draw.Polyline(end, at))
		twice(head)
		tag = end
	}
	d.Shape(draw.Circle(tag, 2.9*big), draw.Paper, draw.Pen{Role: draw.Alarm, Width: width})
	d.Text(draw.At(tag.X, tag.Y+1.2*big), strconv.Itoa(n), draw.Label.At(draw.Middle).Sized(3.3*big))
}
