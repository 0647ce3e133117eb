package draw

import (
	"image"
	"image/color"
	"math"

	"github.com/tdewolff/canvas"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// plotSheet lets the plot library draw into a box of a Drawing: it takes
// points of a page (y up, 1/72 in) and leaves lines and texts on the sheet.
type plotSheet struct {
	d     *Drawing
	box   Rect
	state plotState
	stack []plotState
}

type plotState struct {
	matrix canvas.Matrix
	pen    Pen
}

func newPlotSheet(d *Drawing, box Rect) *plotSheet {
	return &plotSheet{d: d, box: box, state: plotState{matrix: canvas.Identity, pen: Pen{Ink, millimetresPerPoint, nil}}}
}

// Size returns the size of the box in points.
func (s *plotSheet) Size() (vg.Length, vg.Length) {
	return vg.Length(s.box.W / millimetresPerPoint), vg.Length(s.box.H / millimetresPerPoint)
}

// at takes a point of the plot to the sheet.
func (s *plotSheet) at(p vg.Point) Point {
	q := s.state.matrix.Dot(canvas.Point{X: float64(p.X), Y: float64(p.Y)})
	return Point{s.box.X + q.X*millimetresPerPoint, s.box.Bottom() - q.Y*millimetresPerPoint}
}

func (s *plotSheet) SetLineWidth(w vg.Length) { s.state.pen.Width = float64(w) * millimetresPerPoint }

func (s *plotSheet) SetLineDash(pattern []vg.Length, _ vg.Length) {
	s.state.pen.Dash = nil
	for _, v := range pattern {
		s.state.pen.Dash = append(s.state.pen.Dash, float64(v)*millimetresPerPoint)
	}
}

func (s *plotSheet) SetColor(c color.Color) {
	s.state.pen.Role = Ink
	if r, ok := c.(Role); ok {
		s.state.pen.Role = r
	}
}

func (s *plotSheet) Rotate(rad float64) {
	s.state.matrix = s.state.matrix.Rotate(rad * 180 / math.Pi)
}

func (s *plotSheet) Translate(p vg.Point) {
	s.state.matrix = s.state.matrix.Translate(float64(p.X), float64(p.Y))
}

func (s *plotSheet) Scale(x, y float64) { s.state.matrix = s.state.matrix.Scale(x, y) }

func (s *plotSheet) Push() { s.stack = append(s.stack, s.state) }

func (s *plotSheet) Pop() {
	if n := len(s.stack); n > 0 {
		s.state, s.stack = s.stack[n-1], s.stack[:n-1]
	}
}

func (s *plotSheet) Stroke(p vg.Path) {
	if s.state.pen.Width > 0 {
		s.d.Stroke(s.path(p), s.state.pen)
	}
}

func (s *plotSheet) Fill(p vg.Path) { s.d.Fill(s.path(p), s.state.pen.Role) }

func (s *plotSheet) path(in vg.Path) Path {
	p := &canvas.Path{}
	for _, c := range in {
		at := s.at(c.Pos)
		switch c.Type {
		case vg.MoveComp:
			p.MoveTo(at.X, at.Y)
		case vg.LineComp:
			p.LineTo(at.X, at.Y)
		case vg.ArcComp:
			r := float64(c.Radius) * millimetresPerPoint
			start := Polar(at, r, c.Start*180/math.Pi)
			if p.Empty() {
				p.MoveTo(start.X, start.Y)
			} else {
				p.LineTo(start.X, start.Y)
			}
			p.Arc(r, r, 0, -c.Start*180/math.Pi, -(c.Start+c.Angle)*180/math.Pi)
		case vg.CurveComp:
			first := s.at(c.Control[0])
			if len(c.Control) == 1 {
				p.QuadTo(first.X, first.Y, at.X, at.Y)
			} else {
				second := s.at(c.Control[1])
				p.CubeTo(first.X, first.Y, second.X, second.Y, at.X, at.Y)
			}
		case vg.CloseComp:
			p.Close()
		}
	}
	return Path{p}
}

func (s *plotSheet) FillString(f font.Face, p vg.Point, words string) {
	along := s.state.matrix.Dot(canvas.Point{X: 1}).Sub(s.state.matrix.Dot(canvas.Point{}))
	turn := 0.0
	if math.Abs(along.Y) > math.Abs(along.X) {
		turn = 90
	}
	s.d.Text(s.at(p), words, Type{Size: float64(f.Font.Size) * millimetresPerPoint, Role: s.state.pen.Role, Turn: turn})
}

// DrawImage does nothing: a drawing holds lines and text only.
func (s *plotSheet) DrawImage(vg.Rectangle, image.Image) {}
