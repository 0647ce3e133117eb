package gearset

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Point is a point of the face view, in m. The rotor axis is the origin, the
// idler axis lies at (e, 0): the mesh is on +x, the crescent on −x. Angles
// count from +x to +y.
type Point struct{ X, Y float64 }

// Outline is a closed polyline; the last point joins the first.
type Outline []Point

// Area returns the area inside the outline by the shoelace rule, in m²,
// positive when it runs from +x to +y.
func (o Outline) Area() float64 {
	twice := 0.0
	for i, p := range o {
		q := o[(i+1)%len(o)]
		twice += p.X*q.Y - q.X*p.Y
	}
	return twice / 2
}

// View says what the face view needs beyond the pair. Zero values leave out
// what is not known.
type View struct {
	RotorAngle  quantity.Angle  // turn of the rotor; at 0 a rotor space is centred on the mesh
	RotorRadius quantity.Length // outside; 0: the root circle plus one module
	ToothLand   quantity.Length // land of a rotor tooth on the outside, when its spaces are open outwards; 0: a closed ring
	BoreRadius  quantity.Length // casing bore; 0: none drawn
	PinRadius   quantity.Length // idler pin; 0: none drawn
	RotorArc    quantity.Angle  // crescent seen from the rotor axis; 0: nine tenths of the largest
	IdlerArc    quantity.Angle  // crescent seen from the idler axis; 0: to match RotorArc
	FlankPoints int             // points on one flank; 0: 24
}

// Outlines are the parts of the pump seen from the face.
type Outlines struct {
	RotorTeeth []Outline // one for each tooth when the spaces are open outwards, else the toothed inside of the ring
	RotorRim   Outline   // the outside of the rotor (its disc, or the ring)
	Idler      Outline
	Crescent   Outline
	Pin        Outline // empty when not asked for
	Bore       Outline // empty when not asked for
	IdlerAngle quantity.Angle
	Center     Point // idler axis
}

var (
	msgOutside  = say.Define("gearset.outside_accepted", "a radius beyond the rotor root circle ({root:length})")
	msgLand     = say.Define("gearset.land_accepted", "less than the pitch of the teeth on the outside ({pitch:length})")
	msgNoTooth  = say.Define("gearset.no_outline", "plain involute teeth of these numbers have no outline: the flanks cross before the tip or the rotor tip lies inside its base circle")
	msgArc      = say.Define("gearset.arc_accepted", "an angle greater than 0 up to the largest arc of the crescent")
	msgManyFlat = say.Define("gearset.flank_points", "from 2 to 5000 points on a flank")
)

// Outlines returns the parts as closed polylines for one turn of the rotor.
// The rotor drives, turning from +x to +y: the idler lags by half its
// backlash, so that the driving flanks touch. Roots are plain circles with
// sharp corners, and below its base circle the idler flank is radial; the real
// root fillets are the maker's.
func (g *Geometry) Outlines(v View) (*Outlines, error) {
	s := &g.f
	if !s.involuteTip || *g.RotorTipLand <= 0 || g.IdlerTipLand <= 0 {
		return nil, say.Refuse("", "", msgNoTooth.With(), say.Message{})
	}
	n := v.FlankPoints
	if n == 0 {
		n = 24
	}
	if n < 2 || n > 5000 {
		return nil, refuseNumber("flank_points", float64(n), msgManyFlat.With())
	}
	outside := v.RotorRadius.SI()
	if outside == 0 {
		outside = s.rfr + g.Pair.Module.SI()
	}
	if !(outside > s.rfr) || !finite(outside) {
		return nil, refuseNumber("rotor_radius", outside, msgOutside.With(g.RotorRoot))
	}
	pitch := 2 * math.Pi * outside / s.zr
	if !(v.ToothLand >= 0) || v.ToothLand.SI() >= pitch {
		return nil, refuseNumber("tooth_land", v.ToothLand.SI(), msgLand.With(quantity.Length(pitch)))
	}
	o := &Outlines{Center: Point{s.e, 0}, IdlerAngle: quantity.Angle(g.idlerAngle(v.RotorAngle.SI()))}
	o.Idler = g.idlerOutline(o.IdlerAngle.SI(), n)
	o.RotorRim = circle(Point{}, outside, 8*n)
	if v.ToothLand > 0 {
		o.RotorTeeth = g.rotorTeeth(v.RotorAngle.SI(), outside, v.ToothLand.SI(), n)
	} else {
		o.RotorTeeth = []Outline{g.rotorInside(v.RotorAngle.SI(), n)}
	}
	crescent, err := g.crescent(v.RotorArc.SI(), v.IdlerArc.SI(), 4*n)
	if err != nil {
		return nil, err
	}
	o.Crescent = crescent
	if v.PinRadius > 0 {
		o.Pin = circle(o.Center, v.PinRadius.SI(), 4*n)
	}
	if v.BoreRadius > 0 {
		o.Bore = circle(Point{}, v.BoreRadius.SI(), 8*n)
	}
	return o, nil
}

// idlerAngle returns the turn of the idler when the rotor has turned by an
// angle; at 0 an idler tooth is centred on the mesh but for the lag.
func (g *Geometry) idlerAngle(rotor float64) float64 {
	return rotor*g.f.zr/g.f.zi - g.lag()
}

// lag is half the play on the working pitch circle, as an idler angle.
func (g *Geometry) lag() float64 {
	s := &g.f
	space := s.rr * halfAngle(s.rr, s.rbr, s.halfSpace, s.invA)
	tooth := s.ri * halfAngle(s.ri, s.rbi, s.halfTooth, s.invA)
	return (space - tooth) / s.ri
}

func polar(center Point, r, angle float64) Point {
	sin, cos := math.Sincos(angle)
	return Point{center.X + r*cos, center.Y + r*sin}
}

func circle(center Point, r float64, n int) Outline {
	o := make(Outline, n)
	for i := range o {
		o[i] = polar(center, r, 2*math.Pi*float64(i)/float64(n))
	}
	return o
}

// arc appends the points of an arc from one angle to another, both ends in.
func arc(o Outline, center Point, r, from, to float64, n int) Outline {
	for i := range n + 1 {
		o = append(o, polar(center, r, from+(to-from)*float64(i)/float64(n)))
	}
	return o
}

// flank appends n+1 points of a flank between two radii. side is −1 for the
// flank before the middle line (smaller angle), +1 for the one after it. The
// steps are even in √(r² − r_b²), where the involute is smooth.
func flank(o Outline, center Point, middle, side, from, to, base, atReference, invReference float64, n int) Outline {
	t := func(r float64) float64 { return math.Sqrt(math.Max(0, r*r-base*base)) }
	if from < base {
		o = append(o, polar(center, from, middle+side*halfAngle(from, base, atReference, invReference)))
	}
	t0, t1 := t(from), t(to)
	for i := range n + 1 {
		x := t0 + (t1-t0)*float64(i)/float64(n)
		r := math.Hypot(base, x)
		o = append(o, polar(center, r, middle+side*halfAngle(r, base, atReference, invReference)))
	}
	if to < base {
		o = append(o, polar(center, to, middle+side*halfAngle(to, base, atReference, invReference)))
	}
	return o
}

func (g *Geometry) idlerOutline(turn float64, n int) Outline {
	s := &g.f
	center := Point{s.e, 0}
	var o Outline
	pitch := 2 * math.Pi / s.zi
	atTip := halfAngle(s.rai, s.rbi, s.halfTooth, s.invA)
	atRoot := halfAngle(s.rfi, s.rbi, s.halfTooth, s.invA)
	for i := range g.Pair.IdlerTeeth {
		middle := turn + pitch*float64(i)
		o = flank(o, center, middle, -1, s.rfi, s.rai, s.rbi, s.halfTooth, s.invA, n)
		o = arc(o, center, s.rai, middle-atTip, middle+atTip, 4)
		o = flank(o, center, middle, +1, s.rai, s.rfi, s.rbi, s.halfTooth, s.invA, n)
		if gap := pitch - 2*atRoot; gap > 0 {
			o = arc(o, center, s.rfi, middle+atRoot, middle+atRoot+gap, 4)
		}
	}
	return o
}

// rotorInside is the toothed inside of a closed ring.
func (g *Geometry) rotorInside(turn float64, n int) Outline {
	s := &g.f
	var o Outline
	pitch := 2 * math.Pi / s.zr
	atTip := halfAngle(s.rar, s.rbr, s.halfSpace, s.invA)
	atRoot := halfAngle(s.rfr, s.rbr, s.halfSpace, s.invA)
	for i := range g.Pair.RotorTeeth {
		middle := turn + pitch*float64(i)
		o = flank(o, Point{}, middle, -1, s.rar, s.rfr, s.rbr, s.halfSpace, s.invA, n)
		o = arc(o, Point{}, s.rfr, middle-atRoot, middle+atRoot, 6)
		o = flank(o, Point{}, middle, +1, s.rfr, s.rar, s.rbr, s.halfSpace, s.invA, n)
		o = arc(o, Point{}, s.rar, middle+atTip, middle+pitch-atTip, 4)
	}
	return o
}

// rotorTeeth are single teeth that stand on the disc, with a land outside;
// between root circle and outside the flank is a straight line.
func (g *Geometry) rotorTeeth(turn, outside, land float64, n int) []Outline {
	s := &g.f
	pitch := 2 * math.Pi / s.zr
	atTip := halfAngle(s.rar, s.rbr, s.halfSpace, s.invA)
	teeth := make([]Outline, g.Pair.RotorTeeth)
	for i := range teeth {
		space := turn + pitch*float64(i)
		middle := space + pitch/2
		o := flank(nil, Point{}, space, +1, s.rfr, s.rar, s.rbr, s.halfSpace, s.invA, n)
		o = arc(o, Point{}, s.rar, space+atTip, space+pitch-atTip, 4)
		o = flank(o, Point{}, space+pitch, -1, s.rar, s.rfr, s.rbr, s.halfSpace, s.invA, n)
		o = arc(o, Point{}, outside, middle+land/(2*outside), middle-land/(2*outside), 6)
		for a, b := 0, len(o)-1; a < b; a, b = a+1, b-1 { // run from +x to +y like the others
			o[a], o[b] = o[b], o[a]
		}
		teeth[i] = o
	}
	return teeth
}

func (g *Geometry) crescent(rotorArc, idlerArc float64, n int) (Outline, error) {
	largest := g.CrescentArc.SI()
	if rotorArc == 0 {
		rotorArc = 0.9 * math.Min(largest, math.Pi*4/3)
	}
	if !(rotorArc > 0) || rotorArc > largest {
		return nil, refuseNumber("crescent_rotor_arc", rotorArc, msgArc.With())
	}
	out, in := g.CrescentOuter.SI(), g.CrescentInner.SI()
	center := Point{g.f.e, 0}
	if idlerArc == 0 { // where the ray of the outer end meets the inner circle
		end := polar(Point{}, out, math.Pi-rotorArc/2)
		idlerArc = 2 * (math.Pi - math.Atan2(end.Y, end.X-center.X))
	}
	if !(idlerArc > 0) || idlerArc >= 2*math.Pi {
		return nil, refuseNumber("crescent_idler_arc", idlerArc, msgArc.With())
	}
	o := arc(nil, Point{}, out, math.Pi-rotorArc/2, math.Pi+rotorArc/2, n)
	return arc(o, center, in, math.Pi+idlerArc/2, math.Pi-idlerArc/2, n), nil
}
