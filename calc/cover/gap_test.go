package cover

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// measure is what an aim makes least, of an answer.
func measure(r Result) (what, price float64) {
	switch r.Input.Aim {
	case LeastLeftOver:
		for _, n := range r.LeftOver {
			what += float64(n)
		}
		return what, r.Cost
	case LeastTotal:
		return r.Total(), r.Cost
	}
	return r.Cost, r.Cost
}

// A search that is stopped says so: its answer covers, its bound is not above
// the best answer of a search that was not stopped, and the same question gets
// the same answer again. A search with enough effort has no gap.
func TestStoppedSearch(t *testing.T) {
	for seed := uint64(1); seed <= 12; seed++ {
		for _, equal := range []bool{false, true} {
			in := hard(rand.New(rand.NewPCG(seed, 21)), 16, 26, 0.25, equal, 3)
			p, err := newProblem(in)
			if err != nil {
				t.Fatal(err)
			}
			all := make([]bool, len(p.columns))
			for j := range all {
				all[j] = true
			}
			pieces := func(c column) float64 { return c.pieces }
			for name, weight := range map[string]func(column) float64{"price": price, "pieces": pieces} {
				x, _, least := p.minimise(all, weight, math.Inf(1), nil, &effort{math.MaxInt})
				best := p.sum(x, weight)
				if math.Abs(least-best) > 1e-6*best {
					t.Errorf("%d %s: proved %g, bound %g", seed, name, best, least)
				}
				for _, left := range []int{0, 1, 2000, 20_000, 100_000} {
					x, _, least := p.minimise(all, weight, math.Inf(1), nil, &effort{left})
					again, _, _ := p.minimise(all, weight, math.Inf(1), nil, &effort{left})
					if x == nil || !reflect.DeepEqual(x, again) {
						t.Fatalf("%d %s %d: %v, again %v", seed, name, left, x, again)
					}
					for row, need := range p.needs {
						for j, n := range x {
							need -= n * p.columns[j].counts[row]
						}
						if need > 0 {
							t.Fatalf("%d %s %d: row %d is short", seed, name, left, row)
						}
					}
					if found := p.sum(x, weight); found < best-1e-6 || least > best+1e-6 {
						t.Errorf("%d %s %d: found %g, bound %g, best %g", seed, name, left, found, least, best)
					}
				}
			}
		}
	}
}

// The hardest random questions come to an end, and say where they stand.
func TestHardQuestions(t *testing.T) {
	stopped := 0
	for seed := uint64(1); seed <= 4; seed++ {
		for _, aim := range []Aim{Cheapest, Soonest, LeastLeftOver, LeastTotal} {
			in := hard(rand.New(rand.NewPCG(seed, 4)), 40, 60, 0.2, false, 4)
			in.Aim = aim
			r, err := Find(in)
			if err != nil {
				t.Fatal(err)
			}
			what, cost := measure(r)
			switch {
			case r.Gap == nil:
			case r.Gap.What.ID() == gapAmong.ID():
				stopped++
				if math.Abs(cost-r.Gap.Found) > 1e-6 || r.Gap.Least > cost {
					t.Errorf("%d %s: price %g, gap %+v", seed, aim, cost, r.Gap)
				}
			default:
				stopped++
				if math.Abs(what-r.Gap.Found) > 1e-6 || r.Gap.Least > what || !(r.Gap.Least > 0) {
					t.Errorf("%d %s: %g, gap %+v", seed, aim, what, r.Gap)
				}
			}
			if (r.Gap != nil) != (len(r.Warnings) > 0) {
				t.Errorf("%d %s: gap %v, warnings %v", seed, aim, r.Gap, r.Warnings)
			}
			if err := r.Working().Check(); err != nil {
				t.Error(err)
			}
		}
	}
	if stopped == 0 {
		t.Error("no search was stopped: this test shows nothing")
	}
	// What shops ask is proved.
	for seed := uint64(1); seed <= 16; seed++ {
		for _, aim := range []Aim{Cheapest, Soonest, LeastLeftOver, LeastTotal} {
			in := realistic(rand.New(rand.NewPCG(seed, 1)), 40, 60)
			in.Aim = aim
			if r, err := Find(in); err != nil || r.Gap != nil {
				t.Errorf("%d %s: %+v %v", seed, aim, r.Gap, err)
			}
		}
	}
}
