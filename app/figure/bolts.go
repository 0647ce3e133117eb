package figure

import (
	"math"
	"strconv"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Bolts is a bolt circle with the order of tightening.
type Bolts struct {
	Order  []int // places in the order of tightening, counted from 1 at the top, clockwise
	Passes []BoltPass
	Asked  int // number in the order to be lit; 0: none
}

// BoltPass is one round over all bolts.
type BoltPass struct {
	Share  float64 // of the full torque, 0…1
	Torque quantity.Torque
}

var (
	titleBolts = say.Define("figure.bolts_title", "Order of tightening")
	msgBolts   = say.Define("figure.bolts", "{n:count|bolt|bolts}, places counted from 1 at the top, clockwise. Order: {order}.")
	msgPass    = say.Define("figure.bolt_pass", "Pass {n:count}: {torque} ({share:percent})")
	msgPassAll = say.Define("figure.bolt_pass_order", "Every pass in this order, crosswise.")
)

// Draw makes the picture.
func (b Bolts) Draw(style say.Style) *draw.Drawing {
	n := len(b.Order)
	if n < 2 || n > 48 || !permutation(b.Order) {
		return missing(titleBolts.With(), titleBolts.With().Text(style), style)
	}
	told := &description{style: style}
	radius := max(26, float64(n)*9.4/6.283)
	hole := 3.6
	c := draw.At(radius+10, radius+10)
	d := draw.New(2*radius+20+58, 2*radius+20)
	d.Stroke(draw.Circle(c, radius+7), draw.Outline)
	d.Stroke(draw.Circle(c, radius), draw.Centre)
	at := func(place int) draw.Point { return draw.Polar(c, radius, 90-360*float64(place-1)/float64(n)) }
	var order []string
	for i, place := range b.Order {
		order = append(order, strconv.Itoa(place))
		if i == 0 {
			continue
		}
		// the way from bolt to bolt, from rim to rim of their holes
		from, to := at(b.Order[i-1]), at(place)
		d.Pointer(toward(from, to, hole+0.6), toward(to, from, hole+0.6), draw.Leading.In(draw.Faint))
	}
	for i, place := range b.Order {
		p := at(place)
		role, fill := draw.Ink, draw.Paper
		if i+1 == b.Asked {
			role, fill = draw.Accent, draw.Tint
		}
		d.Part("bolt-"+strconv.Itoa(place), func() {
			d.Shape(draw.Circle(p, hole), fill, draw.Outline.In(role))
			d.Text(draw.At(p.X, p.Y+1.25), strconv.Itoa(i+1), draw.Value.At(draw.Middle).In(role))
		})
	}
	told.add(msgBolts.With(n, order))
	x, y := 2*radius+24, 16.0
	y = d.Paragraph(draw.At(x, y), msgPassAll.With().Text(style), 50, draw.Label.In(draw.Soft)).Bottom() + 6
	told.add(msgPassAll.With())
	for i, pass := range b.Passes {
		text := msgPass.With(i+1, quantity.Like(pass.Torque, b.Passes[len(b.Passes)-1].Torque), pass.Share).Text(style)
		box := d.Paragraph(draw.At(x, y), text, 50, draw.Label)
		y = box.Bottom() + 4
		told.add(say.Plain(text + "."))
	}
	d.Height = max(d.Height, y+2)
	d.Describe(titleBolts.With().Text(style), told.String())
	return d
}

func permutation(order []int) bool {
	seen := make([]bool, len(order)+1)
	for _, v := range order {
		if v < 1 || v > len(order) || seen[v] {
			return false
		}
		seen[v] = true
	}
	return true
}

// toward returns the point at a distance from a on the way to b.
func toward(a, b draw.Point, distance float64) draw.Point {
	dx, dy := b.X-a.X, b.Y-a.Y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return a
	}
	return draw.At(a.X+dx/n*distance, a.Y+dy/n*distance)
}
