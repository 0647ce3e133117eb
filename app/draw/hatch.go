package draw

import (
	"math"
	"slices"
)

// Hatching is how a cut face is hatched.
type Hatching struct {
	Degrees float64 // direction of the lines, against the clock
	Spacing float64 // mm between lines
	Pen     Pen
}

// Hatchings for neighbouring parts: they differ in direction or spacing, as
// drawing practice asks (ISO 128-3).
var (
	HatchRising  = Hatching{45, 1.8, Pen{Faint, 0.18, nil}}
	HatchFalling = Hatching{135, 1.8, Pen{Faint, 0.18, nil}}
	HatchDense   = Hatching{45, 1.1, Pen{Faint, 0.18, nil}}
	HatchCounter = Hatching{135, 1.1, Pen{Faint, 0.18, nil}}
	HatchSteep   = Hatching{60, 1.4, Pen{Faint, 0.18, nil}}
)

// In returns the hatching in another role.
func (h Hatching) In(r Role) Hatching { h.Pen.Role = r; return h }

// Hatch fills an area with parallel lines. All areas hatched alike on one
// sheet share the same set of lines, as two cuts through one part should.
func (d *Drawing) Hatch(a Path, h Hatching) {
	if h.Spacing <= 0 {
		return
	}
	s, c := math.Sincos(h.Degrees * math.Pi / 180)
	// u runs along the lines, v across them (y is down on the sheet)
	along := func(p Point) (u, v float64) { return p.X*c - p.Y*s, p.X*s + p.Y*c }
	back := func(u, v float64) Point { return Point{u*c + v*s, -u*s + v*c} }
	type edge struct{ u0, v0, u1, v1 float64 }
	var edges []edge
	low, high := math.Inf(1), math.Inf(-1)
	for _, ring := range a.rings(0.02) {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			u0, v0 := along(p)
			u1, v1 := along(q)
			edges = append(edges, edge{u0, v0, u1, v1})
			low, high = min(low, v0), max(high, v0)
		}
	}
	if len(edges) == 0 || (high-low)/h.Spacing > 1e4 {
		return
	}
	lines := Path{}
	var cuts []float64
	for k := math.Ceil(low / h.Spacing); k*h.Spacing <= high; k++ {
		v := k*h.Spacing + 1e-7 // off the corners
		cuts = cuts[:0]
		for _, e := range edges {
			if (e.v0 > v) != (e.v1 > v) {
				cuts = append(cuts, e.u0+(v-e.v0)/(e.v1-e.v0)*(e.u1-e.u0))
			}
		}
		slices.Sort(cuts)
		for i := 0; i+1 < len(cuts); i += 2 {
			if cuts[i+1]-cuts[i] > 0.05 {
				lines = lines.With(Polyline(back(cuts[i], v), back(cuts[i+1], v)))
			}
		}
	}
	d.Stroke(lines, h.Pen)
}

// Section draws a cut face: hatched, with its outline.
func (d *Drawing) Section(a Path, h Hatching) {
	d.Fill(a, Paper)
	d.Hatch(a, h)
	d.Stroke(a, Outline)
}
