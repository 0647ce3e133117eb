package draw

import (
	"math"

	"github.com/tdewolff/canvas"
)

// Point is a place on the sheet, millimetres, x to the right, y down.
type Point struct{ X, Y float64 }

// At returns a Point.
func At(x, y float64) Point { return Point{x, y} }

// Polar returns the point at a distance and an angle from a centre. The angle
// is in degrees, counted from the x axis against the clock, as seen.
func Polar(centre Point, radius, degrees float64) Point {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return Point{centre.X + radius*c, centre.Y - radius*s}
}

// Rect is a box: its left upper corner and its size.
type Rect struct{ X, Y, W, H float64 }

// Right returns the x of the right edge.
func (r Rect) Right() float64 { return r.X + r.W }

// Bottom returns the y of the lower edge.
func (r Rect) Bottom() float64 { return r.Y + r.H }

// Centre returns the middle of the box.
func (r Rect) Centre() Point { return Point{r.X + r.W/2, r.Y + r.H/2} }

// Grow returns the box with a margin on every side.
func (r Rect) Grow(m float64) Rect { return Rect{r.X - m, r.Y - m, r.W + 2*m, r.H + 2*m} }

// Overlaps reports whether two boxes share an area.
func (r Rect) Overlaps(o Rect) bool {
	return r.X < o.Right() && o.X < r.Right() && r.Y < o.Bottom() && o.Y < r.Bottom()
}

// Inside reports whether the box lies within another.
func (r Rect) Inside(o Rect) bool {
	const tolerance = 1e-6
	return r.X >= o.X-tolerance && r.Y >= o.Y-tolerance &&
		r.Right() <= o.Right()+tolerance && r.Bottom() <= o.Bottom()+tolerance
}

// Path is an outline of one or more closed or open lines. Areas follow the
// even-odd rule: a line inside another makes a hole.
type Path struct{ p *canvas.Path }

// Rectangle returns a closed rectangle.
func Rectangle(x, y, w, h float64) Path {
	return Polygon(Point{x, y}, Point{x + w, y}, Point{x + w, y + h}, Point{x, y + h})
}

// Polygon returns a closed line through points.
func Polygon(points ...Point) Path {
	path := Polyline(points...)
	path.p.Close()
	return path
}

// Polyline returns an open line through points.
func Polyline(points ...Point) Path {
	p := &canvas.Path{}
	for i, q := range points {
		if i == 0 {
			p.MoveTo(q.X, q.Y)
		} else {
			p.LineTo(q.X, q.Y)
		}
	}
	return Path{p}
}

// Circle returns a circle.
func Circle(centre Point, radius float64) Path {
	return Path{canvas.Circle(radius).Translate(centre.X, centre.Y)}
}

// Arc returns an open arc from one angle to another, degrees as in Polar.
func Arc(centre Point, radius, from, to float64) Path {
	start := Polar(centre, radius, from)
	p := &canvas.Path{}
	p.MoveTo(start.X, start.Y)
	p.Arc(radius, radius, 0, -from, -to)
	return Path{p}
}

// Ring returns the area between two circles about one centre.
func Ring(centre Point, inner, outer float64) Path {
	return Circle(centre, outer).With(Circle(centre, inner))
}

// Sector returns the closed area between two radii and two angles.
func Sector(centre Point, inner, outer, from, to float64) Path {
	p := Arc(centre, outer, from, to).p
	in := Polar(centre, inner, to)
	p.LineTo(in.X, in.Y)
	p.Arc(inner, inner, 0, -to, -from)
	p.Close()
	return Path{p}
}

// With returns both lines as one path.
func (a Path) With(b ...Path) Path {
	p := a.copy()
	for _, q := range b {
		p = p.Append(q.copy())
	}
	return Path{p}
}

// Cut returns the area of a without that of b.
func (a Path) Cut(b Path) Path { return Path{a.copy().Not(b.copy())} }

// Common returns the area that a and b share.
func (a Path) Common(b Path) Path { return Path{a.copy().And(b.copy())} }

// Join returns the area of a and b together.
func (a Path) Join(b Path) Path { return Path{a.copy().Or(b.copy())} }

// Move returns the path shifted.
func (a Path) Move(dx, dy float64) Path { return Path{a.copy().Translate(dx, dy)} }

// Mirror returns the path mirrored on the horizontal line at y.
func (a Path) Mirror(y float64) Path {
	return Path{a.copy().Transform(canvas.Identity.ReflectYAbout(y))}
}

// Turn returns the path turned about a centre, degrees against the clock.
func (a Path) Turn(centre Point, degrees float64) Path {
	return Path{a.copy().Transform(canvas.Identity.RotateAbout(-degrees, centre.X, centre.Y))}
}

// Bounds returns the box around the path.
func (a Path) Bounds() Rect {
	if a.p == nil || a.p.Empty() {
		return Rect{}
	}
	b := a.p.Bounds()
	return Rect{b.X0, b.Y0, b.X1 - b.X0, b.Y1 - b.Y0}
}

// Empty reports whether the path has no line.
func (a Path) Empty() bool { return a.p == nil || a.p.Empty() }

// Area returns the area inside the path under the even-odd rule, by the
// shoelace formula over the flattened outline. Lines must not cross.
func (a Path) Area() float64 {
	rings := a.rings(0.001)
	total := 0.0
	for i, ring := range rings {
		area := math.Abs(shoelace(ring))
		depth := 0
		for j, other := range rings {
			if i != j && contains(other, within(ring)) {
				depth++
			}
		}
		if depth%2 == 1 {
			area = -area
		}
		total += area
	}
	return total
}

// Contains reports whether a point lies inside the path.
func (a Path) Contains(q Point) bool {
	inside := false
	for _, ring := range a.rings(0.01) {
		if contains(ring, q) {
			inside = !inside
		}
	}
	return inside
}

func (a Path) copy() *canvas.Path {
	if a.p == nil {
		return &canvas.Path{}
	}
	return a.p.Copy()
}

// rings returns the flattened lines of the path.
func (a Path) rings(tolerance float64) [][]Point {
	if a.p == nil {
		return nil
	}
	var rings [][]Point
	for _, part := range a.p.Flatten(tolerance).Split() {
		coords := part.Coords()
		ring := make([]Point, 0, len(coords))
		for _, c := range coords {
			ring = append(ring, Point{c.X, c.Y})
		}
		if len(ring) > 1 {
			rings = append(rings, ring)
		}
	}
	return rings
}

func shoelace(ring []Point) float64 {
	sum := 0.0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += a.X*b.Y - b.X*a.Y
	}
	return sum / 2
}

// within returns a point just inside a ring, at the middle of its first edge.
func within(ring []Point) Point {
	const step = 1e-4
	a, b := ring[0], ring[1%len(ring)]
	dx, dy := b.X-a.X, b.Y-a.Y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return a
	}
	if shoelace(ring) < 0 {
		dx, dy = -dx, -dy
	}
	return Point{(a.X+b.X)/2 - dy/n*step, (a.Y+b.Y)/2 + dx/n*step}
}

func contains(ring []Point, q Point) bool {
	inside := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}

// pen movements of a path, with arcs and quadratic curves as cubic ones.
type walker interface {
	moveTo(x, y float64)
	lineTo(x, y float64)
	cubeTo(x1, y1, x2, y2, x, y float64)
	closePath()
}

func walk(p *canvas.Path, w walker) {
	if p == nil {
		return
	}
	s := p.ReplaceArcs().Scanner()
	for s.Scan() {
		start, end := s.Start(), s.End()
		switch s.Cmd() {
		case canvas.MoveToCmd:
			w.moveTo(end.X, end.Y)
		case canvas.LineToCmd:
			w.lineTo(end.X, end.Y)
		case canvas.QuadToCmd:
			c := s.CP1()
			w.cubeTo(start.X+2*(c.X-start.X)/3, start.Y+2*(c.Y-start.Y)/3,
				end.X+2*(c.X-end.X)/3, end.Y+2*(c.Y-end.Y)/3, end.X, end.Y)
		case canvas.CubeToCmd:
			a, b := s.CP1(), s.CP2()
			w.cubeTo(a.X, a.Y, b.X, b.Y, end.X, end.Y)
		case canvas.CloseCmd:
			w.closePath()
		}
	}
}
