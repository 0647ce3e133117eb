package gasket

import (
	"math"
	"sort"
)

// search enumerates the stacks whose clearance could matter.
type search struct {
	items    []item // thickest first
	most     int
	before   float64   // compressed thickness of the fitted stack
	freeU    float64   // standard uncertainty of the compression
	up, down []float64 // most that one piece of the items to come adds, and takes
	sealed   bool
	rows     [][]row
	visit    func(f *found)
	from, to float64 // of the thickness
	current  found
}

// row is what x pieces of an item do.
type row struct {
	thickness, variance, free float64
	pieces, joint             int
	seals, changed            int
}

// found is one stack. Counts stand at the items' own index.
type found struct {
	thickness float64 // compressed
	variance  float64 // of what goes in and out
	free      float64 // change of free thickness, for the compression
	pieces    int
	joint     int // of these under the head
	seals     int
	changed   int
	counts    counts
}

type counts [MostKinds]uint8

// before tells which of two comes first in the order of counts.
func (c counts) before(d counts) bool {
	for i := range c {
		if c[i] != d[i] {
			return c[i] < d[i]
		}
	}
	return false
}

func newSearch(p Problem, items []item) *search {
	s := &search{items: append([]item(nil), items...), most: p.maxPieces(), freeU: p.ExtraCompressionU, sealed: p.Sealed}
	sort.SliceStable(s.items, func(i, j int) bool { return s.items[i].thickness > s.items[j].thickness })
	s.rows = make([][]row, len(s.items))
	s.up, s.down = make([]float64, len(s.items)+1), make([]float64, len(s.items)+1)
	for i, it := range s.items {
		s.before += float64(it.before) * it.thickness
		s.rows[i] = make([]row, it.most+1)
		for x := range s.rows[i] {
			in, out := it.change(x)
			r := row{
				thickness: float64(x) * it.thickness,
				variance:  float64(in+out) * it.variance,
				free:      float64(x-it.before) * it.free,
				pieces:    x, changed: in + out,
			}
			if it.sealing {
				r.seals = x
			}
			if !it.apart {
				r.joint = x
			}
			s.rows[i][x] = r
		}
	}
	for i := len(s.items) - 1; i >= 0; i-- {
		s.up[i], s.down[i] = s.up[i+1], s.down[i+1]
		if s.items[i].most > 0 {
			s.up[i] = math.Max(s.up[i], s.items[i].thickness)
			s.down[i] = math.Min(s.down[i], s.items[i].thickness)
		}
	}
	return s
}

// run visits every stack that seals at both ends and changes the clearance by
// from…to.
func (s *search) run(from, to float64, visit func(f *found)) {
	s.from, s.to, s.visit = from+s.before, to+s.before, visit
	s.current = found{}
	s.descend(0)
}

func (s *search) descend(i int) {
	f := &s.current
	if i == len(s.items) {
		if f.thickness >= s.from && f.thickness <= s.to && (s.sealed || f.seals >= 2 || f.seals == 1 && f.joint == 1) {
			s.visit(f)
		}
		return
	}
	left := s.most - f.pieces
	if f.thickness+float64(left)*s.down[i] > s.to || f.thickness+float64(left)*s.up[i] < s.from {
		return
	}
	saved := *f
	rows := s.rows[i]
	index := s.items[i].index
	for x := 0; x < len(rows) && x <= left; x++ {
		r := &rows[x]
		f.thickness = saved.thickness + r.thickness
		// Items come by falling thickness: once they close, more pieces only take.
		if closes := s.items[i].thickness < 0; !closes && f.thickness+float64(left-x)*s.down[i+1] > s.to || closes && f.thickness < s.from {
			break
		}
		f.variance = saved.variance + r.variance
		f.free = saved.free + r.free
		f.pieces = saved.pieces + r.pieces
		f.joint = saved.joint + r.joint
		f.seals = saved.seals + r.seals
		f.changed = saved.changed + r.changed
		f.counts[index] = uint8(x)
		s.descend(i + 1)
	}
	*f = saved
}

// narrow leaves out, from now on, what changes the clearance by more or less
// than the aim ± reach.
func (s *search) narrow(aim, reach float64) {
	s.from = math.Max(s.from, aim-reach+s.before)
	s.to = math.Min(s.to, aim+reach+s.before)
}

// spread returns the standard deviation that a change of the stack adds.
func (s *search) spread(f *found) float64 {
	c := s.freeU * f.free
	return math.Sqrt(f.variance + c*c)
}

// widest returns a spread that no stack exceeds.
func (s *search) widest() float64 {
	variance, free := 0.0, 0.0
	for i := range s.items {
		most, mostFree := 0.0, 0.0
		for _, r := range s.rows[i] {
			most = math.Max(most, r.variance)
			mostFree = math.Max(mostFree, math.Abs(r.free))
		}
		variance += most
		free += mostFree
	}
	return math.Sqrt(variance + s.freeU*s.freeU*free*free)
}

// cells keeps the chance for each change of thickness and variance, so that
// stacks that come to the same are worked out once.
type cells struct {
	keys   [][2]int64
	values []float64
	used   []bool
	count  int
}

func newCells() *cells {
	const size = 1 << 10
	return &cells{keys: make([][2]int64, size), values: make([]float64, size), used: make([]bool, size)}
}

// Rounding of the keys: 1 fm and 1e-21 m², far below what a chance can feel.
const (
	perMetre       = 1e15
	perSquareMetre = 1e21
)

// slot returns the place of a key and whether it was there already.
func (c *cells) slot(thickness, variance float64) (int, bool) {
	if 2*c.count > len(c.keys) {
		c.grow()
	}
	key := [2]int64{int64(math.Round(thickness * perMetre)), int64(math.Round(variance * perSquareMetre))}
	return c.place(key)
}

func (c *cells) place(key [2]int64) (int, bool) {
	mask := len(c.keys) - 1
	h := uint64(key[0])*0x9E3779B97F4A7C15 ^ uint64(key[1])*0xC2B2AE3D27D4EB4F
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	for i := int(h>>32) & mask; ; i = (i + 1) & mask {
		if !c.used[i] {
			c.used[i] = true
			c.keys[i] = key
			c.count++
			return i, false
		}
		if c.keys[i] == key {
			return i, true
		}
	}
}

func (c *cells) grow() {
	old := *c
	size := 2 * len(old.keys)
	*c = cells{keys: make([][2]int64, size), values: make([]float64, size), used: make([]bool, size)}
	for i, used := range old.used {
		if used {
			at, _ := c.place(old.keys[i])
			c.values[at] = old.values[i]
		}
	}
}
