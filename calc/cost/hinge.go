package cost

import (
	"fmt"
	"math"
	"sort"

	"pumpwright/calc/say"
)

// Hinge is what one number does to the choice between two options.
type Hinge struct {
	Name     string  // "pump B: energy"
	Low      float64 // difference of the present values with this number at its low end
	High     float64 // and at its high end
	Swing    float64 // |High − Low|
	TurnsAt  float64 // multiple of the number at which both options cost the same
	Turns    bool    // whether there is such a multiple above zero
	InReach  bool    // whether it lies within the range that was looked at
	Standard float64 // the number itself
}

var msgSpread = say.Define("cost.spread", "the spread is a fraction above 0 and below 1")

// Hinges varies every number of the two best options by a fraction up and down
// and lists what the difference (second best less best) becomes, the largest
// swing first: the bars of a tornado picture. The rate is varied too.
//
// A cost enters a present value in proportion, so the multiple at which the
// options cost the same is exact for costs; for the rate it is not given.
//
// Errors: those of Compare, or a spread outside 0 … 1.
// Source: one-at-a-time sensitivity, common practice.
func Hinges(in Input, spread float64) ([]Hinge, error) {
	if !(spread > 0 && spread < 1) {
		return nil, say.Refuse("spread", fmt.Sprint(spread), msgSpread.With(), say.Message{})
	}
	r, err := Compare(in)
	if err != nil || len(in.Options) < 2 {
		return nil, err
	}
	best, second := r.bestTwo()
	var list []Hinge
	for place, side := range map[int]float64{best: -1, second: +1} {
		v := r.Options[place]
		for part, present := range v.ByPart {
			if present == 0 {
				continue
			}
			h := Hinge{Name: v.Name + ": " + part, Standard: present}
			h.Low = r.Difference - side*spread*present
			h.High = r.Difference + side*spread*present
			if factor := 1 - r.Difference/(side*present); factor > 0 {
				h.Turns, h.TurnsAt = true, factor
				h.InReach = math.Abs(factor-1) <= spread
			}
			list = append(list, h)
		}
	}
	if rate, ok := rateHinge(in, spread, in.Options[best].Name, in.Options[second].Name); ok {
		list = append(list, rate)
	}
	for i := range list {
		list[i].Swing = math.Abs(list[i].High - list[i].Low)
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].Swing != list[j].Swing {
			return list[i].Swing > list[j].Swing
		}
		return list[i].Name < list[j].Name
	})
	return list, nil
}

// bestTwo returns the places of the best and the second best option.
func (r Result) bestTwo() (best, second int) {
	order := make([]int, len(r.Options))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool {
		return r.Options[order[a]].PresentValue < r.Options[order[b]].PresentValue
	})
	return order[0], order[1]
}

func rateHinge(in Input, spread float64, best, second string) (Hinge, bool) {
	at := func(factor float64) (float64, bool) {
		changed := in
		changed.Discount = in.Discount * factor
		r, err := Compare(changed)
		if err != nil {
			return 0, false
		}
		values := map[string]float64{}
		for _, v := range r.Options {
			values[v.Name] = v.PresentValue
		}
		return values[second] - values[best], true
	}
	if in.Discount == 0 {
		return Hinge{}, false
	}
	low, okLow := at(1 - spread)
	high, okHigh := at(1 + spread)
	h := Hinge{Name: "discount", Low: low, High: high, Standard: in.Discount}
	h.InReach = low < 0 || high < 0
	return h, okLow && okHigh
}
