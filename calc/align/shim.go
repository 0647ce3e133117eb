package align

import (
	"math"
	"slices"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Shim is one thickness of the shim stock.
type Shim struct {
	Thickness quantity.Length
	Count     int // on the shelf, for this foot
}

// ShimPack is a set of shims for one foot.
type ShimPack struct {
	Shims     []Shim // thickest first
	Pieces    int
	Thickness quantity.Length
	Error     quantity.Length // thickness less wanted
	Reached   bool            // within the tolerance asked for
}

var (
	msgShimThickness = say.Define("align.shim_thickness", "a shim is between 0.01 mm and 50 mm thick")
	msgShimCount     = say.Define("align.shim_count", "the count must be 0 or more")
	msgShimWanted    = say.Define("align.shim_wanted", "the pack wanted must be between 0 and 50 mm")
	msgShimTolerance = say.Define("align.shim_tolerance", "the tolerance must be between 0 and 1 mm")
	msgShimPieces    = say.Define("align.shim_pieces", "{pieces:count} shims under one foot are springy: use fewer, thicker ones (usual limit five)")
	msgShimShort     = say.Define("align.shim_short", "the stock reaches {have:length} where {want:length} is wanted")
)

// MostShims is the usual limit of pieces under a foot (common practice).
const MostShims = 5

// shimStep is the step in which thicknesses are counted.
const shimStep = 1e-6

// ChooseShims finds the pack of fewest shims within a tolerance of a wanted
// thickness; among equals the closest. When the stock reaches no such pack it
// returns the closest there is, of fewest pieces, with Reached false.
//
// It is exact: every sum of the stock up to the wanted thickness and the
// tolerance is reached with its least number of pieces (thicknesses counted
// in micrometres).
// Errors: *say.Problem naming stock[i].thickness, stock[i].count, wanted or
// tolerance.
func ChooseShims(wanted, tolerance quantity.Length, stock []Shim) (ShimPack, error) {
	if w := wanted.SI(); !(w >= 0 && w <= 0.05) {
		return ShimPack{}, say.Refuse("wanted", wanted.String(), msgShimWanted.With(), say.Message{})
	}
	if t := tolerance.SI(); !(t >= 0 && t <= 1e-3) {
		return ShimPack{}, say.Refuse("tolerance", tolerance.String(), msgShimTolerance.With(), say.Message{})
	}
	sorted := append([]Shim(nil), stock...)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Thickness > sorted[j].Thickness })
	thickest := 0
	for i, s := range stock {
		if t := s.Thickness.SI(); !(t >= 1e-5 && t <= 0.05) {
			return ShimPack{}, say.In(place("stock", i), say.Refuse("thickness", s.Thickness.String(), msgShimThickness.With(), say.Message{}))
		}
		if s.Count < 0 {
			return ShimPack{}, say.In(place("stock", i), say.Refuse("count", "", msgShimCount.With(), say.Message{}))
		}
		if s.Count > 0 {
			thickest = max(thickest, steps(s.Thickness))
		}
	}
	// Every sum is a multiple of the greatest common divisor of the thicknesses.
	grain := 0
	for _, s := range sorted {
		if s.Count > 0 {
			grain = commonDivisor(grain, steps(s.Thickness))
		}
	}
	grain = max(grain, 1)
	// Sums beyond the wanted thickness plus one shim, or twice the wanted one
	// (no shim at all is as close), are never the closest.
	reach := (steps(wanted)+max(steps(tolerance), min(thickest, steps(wanted))))/grain + 1
	fewest, used := leastPieces(sorted, reach, grain)
	best := bestSum(fewest, steps(wanted), steps(tolerance), grain)
	pack := ShimPack{}
	sum := best
	for kind := len(sorted) - 1; kind >= 0; kind-- {
		if n := used[kind*(reach+1)+sum]; n > 0 {
			pack.Shims = append(pack.Shims, Shim{sorted[kind].Thickness, int(n)})
			pack.Pieces += int(n)
			sum -= int(n) * (steps(sorted[kind].Thickness) / grain)
		}
	}
	slices.Reverse(pack.Shims)
	pack.Thickness = quantity.Length(float64(best*grain) * shimStep)
	pack.Error = pack.Thickness - wanted
	pack.Reached = math.Abs(pack.Error.SI()) <= tolerance.SI()+0.51*shimStep
	return pack, nil
}

func steps(l quantity.Length) int { return int(math.Round(l.SI() / shimStep)) }

const unreachable = math.MaxInt32

func commonDivisor(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// leastPieces returns for each sum (in grains, up to the reach) the least
// number of pieces, and for each kind and sum how many of that kind the best
// pack of the kinds up to it holds.
func leastPieces(stock []Shim, reach, grain int) (fewest, used []int32) {
	fewest, next := make([]int32, reach+1), make([]int32, reach+1)
	for i := range fewest {
		fewest[i] = unreachable
	}
	fewest[0] = 0
	used = make([]int32, len(stock)*(reach+1))
	for kind, s := range stock {
		if s.Count == 0 {
			continue
		}
		t := steps(s.Thickness) / grain
		copy(next, fewest)
		taken := used[kind*(reach+1):][:reach+1]
		for n := 1; n <= s.Count && n*t <= reach; n++ {
			to, from, of := next[n*t:], fewest[:reach+1-n*t], taken[n*t:]
			for i, before := range from {
				if before != unreachable && before+int32(n) < to[i] {
					to[i], of[i] = before+int32(n), int32(n)
				}
			}
		}
		fewest, next = next, fewest
	}
	return fewest, used
}

// bestSum picks the sum, in grains: within the tolerance the fewest pieces, then the
// closest; else the closest, then the fewest.
func bestSum(fewest []int32, wanted, tolerance, grain int) int {
	best := 0
	better := func(a, b int) bool {
		da, db := abs(a*grain-wanted), abs(b*grain-wanted)
		ia, ib := da <= tolerance, db <= tolerance
		if ia != ib {
			return ia
		}
		if ia && fewest[a] != fewest[b] {
			return fewest[a] < fewest[b]
		}
		if da != db {
			return da < db
		}
		return fewest[a] < fewest[b]
	}
	for sum, pieces := range fewest {
		if pieces != unreachable && better(sum, best) {
			best = sum
		}
	}
	return best
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// Says returns what is to be said of a pack that was wanted.
func (p ShimPack) Says(wanted quantity.Length) []say.Message {
	var messages []say.Message
	if !p.Reached {
		messages = append(messages, msgShimShort.With(p.Thickness, wanted))
	}
	if p.Pieces > MostShims {
		messages = append(messages, msgShimPieces.With(p.Pieces))
	}
	return messages
}

// SoftFootLimit is the published limit of a foot's rise when its bolt alone
// is loosened, any speed: 0.06 mm in the metric column of the table of short
// flexible couplings (2 mils in its inch column; 0.05 mm is often asked).
const SoftFootLimit quantity.Length = 0.06e-3

// SoftFoot is one machine's check: each foot's rise when its bolt alone is
// loosened, in the order near left, near right, far left, far right.
type SoftFoot struct {
	Rise    [4]quantity.Length
	Limit   quantity.Length
	Over    [4]bool
	Within  bool
	Rocking bool // the two worst feet lie across a diagonal: the machine rocks
	Says    []say.Message
}

var (
	msgRiseRange   = say.Define("align.rise_range", "the rise must be 0 or more")
	msgSoft        = say.Define("align.soft", "{foot}: rises {rise:length}, limit {limit:length}; clean under it, read again, then shim about that much")
	msgRocks       = say.Define("align.rocks", "the machine rocks over two opposite feet: shim one of them only, then read all four again")
	msgSoftFine    = say.Define("align.soft_fine", "no foot rises more than {limit:length}")
	msgNearLeft    = say.Define("align.near_left", "near left foot")
	msgNearRight   = say.Define("align.near_right", "near right foot")
	msgFarLeft     = say.Define("align.far_left", "far left foot")
	msgFarRight    = say.Define("align.far_right", "far right foot")
	footNames      = [4]say.Template{msgNearLeft, msgNearRight, msgFarLeft, msgFarRight}
	oppositeCorner = [4]int{3, 2, 1, 0}
)

// CheckSoftFoot judges the rises of the four feet. A limit of zero means
// SoftFootLimit.
// Errors: *say.Problem naming rise[i] or limit.
// Source: limit of the published table; what to do is common practice.
func CheckSoftFoot(rise [4]quantity.Length, limit quantity.Length) (SoftFoot, error) {
	if limit == 0 {
		limit = SoftFootLimit
	}
	if err := above("limit", limit); err != nil {
		return SoftFoot{}, err
	}
	s := SoftFoot{Rise: rise, Limit: limit, Within: true}
	worst := 0
	for i, r := range rise {
		if v := r.SI(); !(v >= 0 && v < 0.05) {
			return SoftFoot{}, say.Refuse(place("rise", i), r.String(), msgRiseRange.With(), say.Message{})
		}
		if r > rise[worst] {
			worst = i
		}
		if r > limit+lengthTolerance {
			s.Over[i], s.Within = true, false
			s.Says = append(s.Says, msgSoft.With(footNames[i].With(), r, limit))
		}
	}
	opposite := oppositeCorner[worst]
	s.Rocking = s.Over[worst] && s.Over[opposite]
	for i := range rise {
		if i != worst && i != opposite && rise[i] > rise[opposite]/2 {
			s.Rocking = false
		}
	}
	switch {
	case s.Within:
		s.Says = append(s.Says, msgSoftFine.With(limit))
	case s.Rocking:
		s.Says = append(s.Says, msgRocks.With())
	}
	return s, nil
}
