package draw

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"pumpwright/calc/say"
)

const arrowLength, arrowHalf = 2.2, 0.37 // slender closed arrow, about 1 : 3 to 1 : 6

// Arrow draws a closed arrowhead with its tip at a point, coming from another.
func (d *Drawing) Arrow(from, tip Point, r Role) {
	dx, dy := tip.X-from.X, tip.Y-from.Y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return
	}
	dx, dy = dx/n, dy/n
	foot := Point{tip.X - arrowLength*dx, tip.Y - arrowLength*dy}
	d.Fill(Polygon(tip, Point{foot.X - arrowHalf*dy, foot.Y + arrowHalf*dx},
		Point{foot.X + arrowHalf*dy, foot.Y - arrowHalf*dx}), r)
}

// Flow draws a heavy arrow, for what moves: liquid, a shaft, a push.
func (d *Drawing) Flow(from, tip Point, r Role) {
	dx, dy := tip.X-from.X, tip.Y-from.Y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return
	}
	dx, dy = dx/n, dy/n
	const long, half = 3.6, 1.3
	foot := Point{tip.X - long*dx, tip.Y - long*dy}
	if n > long {
		d.Line(Pen{Role: r, Width: 0.7}, from, foot)
	}
	d.Fill(Polygon(tip, Point{foot.X - half*dy, foot.Y + half*dx}, Point{foot.X + half*dy, foot.Y - half*dx}), r)
}

// Turning draws an arc with a heavy arrowhead: the way something turns.
func (d *Drawing) Turning(centre Point, radius, from, to float64, r Role) {
	const long = 3.6
	back := long / radius * 180 / math.Pi
	if from < to {
		back = -back
	}
	d.Stroke(Arc(centre, radius, from, to+back*0.8), Pen{Role: r, Width: 0.7})
	d.Flow(Polar(centre, radius, to+back), Polar(centre, radius, to), r)
}

// Pointer draws a line with an arrowhead at its end.
func (d *Drawing) Pointer(from, tip Point, p Pen) {
	d.Line(p, from, tip)
	d.Arrow(from, tip, p.Role)
}

// Dimension draws a horizontal or vertical dimension between two points: thin
// extension lines, arrows, the text over the line. Positive offset is down or
// to the right of the points. Where the room is too small the arrows point in
// from outside and the text stands beside them.
func (d *Drawing) Dimension(a, b Point, offset float64, words string) Rect {
	return d.DimensionIn(a, b, offset, words, Leading, Label)
}

// DimensionIn is Dimension with a pen and a type of one's own.
func (d *Drawing) DimensionIn(a, b Point, offset float64, words string, pen Pen, t Type) Rect {
	upright := math.Abs(b.Y-a.Y) > math.Abs(b.X-a.X)
	gap, over := 0.8, 1.4
	if offset < 0 {
		gap, over = -gap, -over
	}
	var p, q Point
	if upright {
		if a.Y > b.Y {
			a, b = b, a
		}
		x := max(a.X, b.X) + offset
		if offset < 0 {
			x = min(a.X, b.X) + offset
		}
		p, q = Point{x, a.Y}, Point{x, b.Y}
		d.Line(pen, Point{a.X + gap, a.Y}, Point{x + over, a.Y})
		d.Line(pen, Point{b.X + gap, b.Y}, Point{x + over, b.Y})
	} else {
		if a.X > b.X {
			a, b = b, a
		}
		y := max(a.Y, b.Y) + offset
		if offset < 0 {
			y = min(a.Y, b.Y) + offset
		}
		p, q = Point{a.X, y}, Point{b.X, y}
		d.Line(pen, Point{a.X, a.Y + gap}, Point{a.X, y + over})
		d.Line(pen, Point{b.X, b.Y + gap}, Point{b.X, y + over})
	}
	length := math.Hypot(q.X-p.X, q.Y-p.Y)
	ux, uy := 0.0, 1.0
	if !upright {
		ux, uy = 1, 0
	}
	width := TextWidth(words, t.Size, t.Bold)
	if length >= 2*arrowLength+1 {
		d.Line(pen, p, q)
		d.Arrow(q, p, pen.Role)
		d.Arrow(p, q, pen.Role)
	} else {
		tail := arrowLength + 1.6
		d.Line(pen, p, q)
		d.Pointer(Point{p.X - tail*ux, p.Y - tail*uy}, p, pen)
		d.Pointer(Point{q.X + tail*ux, q.Y + tail*uy}, q, pen)
	}
	centre := Point{(p.X + q.X) / 2, (p.Y + q.Y) / 2}
	if length >= width+1 {
		if upright {
			return d.Text(Point{centre.X - 1.3, centre.Y}, words, t.At(Middle).Upward().OnGround())
		}
		return d.Text(Point{centre.X, centre.Y - 1.3}, words, t.At(Middle).OnGround())
	}
	if upright {
		return d.Text(Point{q.X + 1.4, centre.Y + 0.35*t.Size}, words, t.At(Left).OnGround())
	}
	return d.Text(Point{q.X + arrowLength + 2.2, q.Y + 0.35*t.Size}, words, t.At(Left).OnGround())
}

// Callout is a label with a line to what it names.
type Callout struct {
	Target Point
	Words  string // the name
	Second string // a second line, in bold: the number
	Role   Role   // of the second line and the leader; None means ink and soft
	State  *State // a third line; nil: none
	Part   string
}

// Callouts sets labels in a column at the left or right side of the sheet,
// in the order of their targets from top to bottom, moved apart just as far
// as needed so that none overlaps another, each with a leader that ends in a
// dot. x is where the texts begin (side Left: where they end); from and to
// are the top and bottom of the column.
func (d *Drawing) Callouts(list []Callout, side Anchor, x, from, to float64, style say.Style) {
	width := d.columnWidth(side, x)
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Callout) int { return cmp.Compare(a.Target.Y, b.Target.Y) })
	heights := make([]float64, len(list))
	wanted := make([]float64, len(list))
	for i, c := range list {
		heights[i] = c.height(width)
		wanted[i] = c.Target.Y
	}
	middles := Spread(wanted, heights, from, to)
	for i, c := range list {
		d.callout(c, side, x, middles[i], heights[i], style)
	}
}

// columnWidth returns the room of a column of labels up to the edge of the
// sheet.
func (d *Drawing) columnWidth(side Anchor, x float64) float64 {
	if side == Left {
		return x - d.corner.X - 0.8
	}
	return d.corner.X + d.Width - x - 0.8
}

// lines returns the name in lines that fit into a column, two at most.
func (c Callout) lines(width float64) []string {
	lines := Wrap(c.Words, Label.Size, false, width)
	if len(lines) > 2 {
		lines = []string{lines[0], Shorten(strings.Join(lines[1:], " "), Label.Size, false, width)}
	}
	return lines
}

func (c Callout) height(width float64) float64 {
	height := float64(len(c.lines(width)))*(Label.Size+0.6) + 0.6
	if c.Second != "" {
		height += Value.Size + 0.6
	}
	if c.State != nil {
		height += Label.Size + 0.6
	}
	return height
}

// CalloutsHeight returns the least height of a column of labels at a place.
func (d *Drawing) CalloutsHeight(list []Callout, side Anchor, x float64) float64 {
	total := 0.0
	for _, c := range list {
		total += c.height(d.columnWidth(side, x))
	}
	return total
}

func (d *Drawing) callout(c Callout, side Anchor, x, middle, height float64, style say.Style) {
	sign, anchor := -1.0, Left
	if side == Left {
		sign, anchor = 1.0, Right
	}
	role := c.Role
	leader := Leading
	if role != None {
		leader.Role = role
	}
	elbow := Point{x + sign*4.5, middle}
	d.Part(c.Part, func() {
		d.Line(leader, Point{x + sign*0.9, middle}, elbow, c.Target)
		d.Fill(Circle(c.Target, 0.55), leader.Role)
		top := middle - height/2 + 0.6
		name := Label.At(anchor).OnGround()
		if c.Second != "" {
			name.Role = Soft
		}
		y := top + 0.73*Label.Size
		for i, line := range c.lines(d.columnWidth(side, x)) {
			if i > 0 {
				y += Label.Size + 0.6
			}
			d.Text(Point{x, y}, line, name)
		}
		if c.Second != "" {
			y += 0.27*Label.Size + 0.6 + 0.73*Value.Size
			d.Text(Point{x, y}, c.Second, Value.At(anchor).In(role).OnGround())
		}
		if c.State != nil {
			d.StateLabel(Point{x, y + 0.6 + Label.Size}, *c.State, style, Label.At(anchor))
		}
	})
}

// Spread places intervals of given sizes in the order given so that none
// overlaps, each as near as possible to the middle it wants, and all between
// from and to when they fit. It returns the middles.
func Spread(wanted, sizes []float64, from, to float64) []float64 {
	type block struct {
		sum, size float64 // sum of wanted starts relative to the block's start
		count     int
	}
	n := len(wanted)
	var blocks []block
	for i := range n {
		b := block{sum: wanted[i] - sizes[i]/2, size: sizes[i], count: 1}
		blocks = append(blocks, b)
		for len(blocks) > 1 {
			last, prev := blocks[len(blocks)-1], blocks[len(blocks)-2]
			if prev.sum/float64(prev.count)+prev.size <= last.sum/float64(last.count) {
				break
			}
			// the later block's members start prev.size further on
			blocks = blocks[:len(blocks)-1]
			blocks[len(blocks)-1] = block{
				sum:   prev.sum + last.sum - float64(last.count)*prev.size,
				size:  prev.size + last.size,
				count: prev.count + last.count,
			}
		}
	}
	starts := make([]float64, 0, n)
	for _, b := range blocks {
		at := b.sum / float64(b.count)
		for range b.count {
			starts = append(starts, at)
			at += sizes[len(starts)-1]
		}
	}
	edge := from
	for i := range starts { // push down from the top edge
		starts[i] = max(starts[i], edge)
		edge = starts[i] + sizes[i]
	}
	edge = to
	for i := n - 1; i >= 0; i-- { // push up from the bottom edge
		starts[i] = min(starts[i], edge-sizes[i])
		edge = starts[i]
	}
	for i := range starts {
		starts[i] += sizes[i] / 2
	}
	return starts
}
