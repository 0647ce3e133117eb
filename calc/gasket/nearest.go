package gasket

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// unreachable finds the nearest stack and what is missing.
func (r *run) unreachable(solution *Solution) error {
	aim := (r.low+r.high)/2 - r.p.Belief.mean
	nearest, tight := r.nearest(aim)
	if nearest == nil {
		return say.Refuse("kinds", "", msgNoStack.With(), msgNoStackHint.With())
	}
	st := r.stack(nearest)
	solution.Nearest = &st
	if expected := float64(st.Clearance.Value); expected < r.low {
		solution.Misses = quantity.Length(expected - r.low)
	} else {
		solution.Misses = quantity.Length(expected - r.high)
	}
	if tight != nil {
		solution.MissingGasket = quantity.Length(math.Abs(aim - (tight.thickness - r.s.before)))
	}
	r.shortages(solution)
	return nil
}

// nearest returns the stack whose expected clearance comes nearest to the
// aim, and the nearest one that is too tight and has room for one piece more;
// too wide where every piece closes.
func (r *run) nearest(aim float64) (nearest, tight *found) {
	all := math.Abs(aim) + r.high - r.low // farther than any stack
	for _, it := range r.s.items {
		all += float64(max(it.most, it.before)) * math.Abs(it.thickness)
	}
	nearest = r.closest(aim, all, all, func(*found) bool { return true })
	if r.s.up[0] == 0 && r.s.down[0] < 0 {
		return nearest, r.closest(aim, 0, all, func(f *found) bool { return f.pieces < r.s.most && f.thickness-r.s.before > aim })
	}
	tight = r.closest(aim, all, 0, func(f *found) bool { return f.pieces < r.s.most && f.thickness-r.s.before < aim })
	return nearest, tight
}

// closest looks for the stack nearest to the aim, at most under below it and
// over above it, first close by and then ever farther out; what is found
// narrows the search at once.
func (r *run) closest(aim, under, over float64, which func(*found) bool) *found {
	for reach := r.high - r.low; ; reach *= 2 {
		var best *candidate
		r.s.run(aim-math.Min(reach, under), aim+math.Min(reach, over), func(f *found) {
			if !which(f) {
				return
			}
			c := candidate{*f, -math.Abs(f.thickness - r.s.before - aim)}
			if nearer(&c, best) {
				best = &c
				r.s.narrow(aim, -c.chance+2*sameChance)
			}
		})
		if best != nil {
			return &best.found
		}
		if reach > under && reach > over {
			return nil
		}
	}
}

// nearer compares by distance (the chance field holds its negative), then by
// the rule of choice.
func nearer(a, b *candidate) bool {
	if b == nil {
		return true
	}
	if math.Abs(a.chance-b.chance) > sameChance {
		return a.chance > b.chance
	}
	return better(a, b)
}

// shortages finds out whether a full shelf would have done, and of which
// kinds it holds too few.
func (r *run) shortages(solution *Solution) {
	full := r.p
	full.Kinds = append([]Kind(nil), r.p.Kinds...)
	for i := range full.Kinds {
		full.Kinds[i].Stock = full.maxPieces()
	}
	items := full.items()
	if countStacks(items, full.maxPieces()) > mostStacks {
		return
	}
	other := &run{p: full, s: newSearch(full, items), cells: newCells(), phi: r.phi, low: r.low, high: r.high}
	other.collect(r.low-full.Belief.mean, r.high-full.Belief.mean, nil)
	if len(other.found) == 0 {
		return
	}
	var would Solution
	other.choose(&would)
	for i, n := range would.Best.In {
		if short := n - r.p.Kinds[i].Stock; short > 0 {
			solution.Shortages = append(solution.Shortages, Shortage{Kind: i, Short: short})
		}
	}
}
