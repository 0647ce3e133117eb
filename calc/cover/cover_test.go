package cover

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func days(d float64) *quantity.Time { t := quantity.Time(d * secondsPerDay); return &t }

func number(n int) *int { return &n }

// every tries every set of counts: the check from outside the algorithm.
func every(in Input) (best [3]float64, found bool) {
	limits := make([]int, len(in.Offers))
	for i, o := range in.Offers {
		for part, need := range in.Needs {
			if n := o.Parts[part]; n > 0 && need > 0 {
				limits[i] = max(limits[i], (need+n-1)/n)
			}
		}
		if o.Stock != nil {
			limits[i] = min(limits[i], *o.Stock)
		}
	}
	counts := make([]int, len(in.Offers))
	for {
		if value, ok := worth(in, counts); ok && (!found || less(value, best)) {
			best, found = value, true
		}
		i := 0
		for ; i < len(counts); i++ {
			if counts[i] < limits[i] {
				counts[i]++
				break
			}
			counts[i] = 0
		}
		if i == len(counts) {
			return best, found
		}
	}
}

func less(a, b [3]float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-7 {
			return a[i] < b[i]
		}
	}
	return false
}

// worth returns what the aim compares, or false when a need is not covered.
func worth(in Input, counts []int) ([3]float64, bool) {
	price, pieces, lead := 0.0, 0.0, 0.0
	have := map[string]int{}
	for i, n := range counts {
		if n == 0 {
			continue
		}
		o := in.Offers[i]
		price += o.Price * float64(n)
		if o.LeadTime != nil {
			lead = max(lead, float64(*o.LeadTime))
		}
		for part, k := range o.Parts {
			have[part] += n * k
			pieces += float64(n * k)
		}
	}
	for part, need := range in.Needs {
		if have[part] < need {
			return [3]float64{}, false
		}
	}
	switch in.Aim {
	case Soonest:
		return [3]float64{lead, price}, true
	case LeastLeftOver:
		return [3]float64{pieces, price}, true
	case LeastTotal:
		return [3]float64{price + in.CostOfWaiting*lead/secondsPerDay}, true
	}
	return [3]float64{price}, true
}

func countsOf(in Input, r Result) []int {
	counts := make([]int, len(in.Offers))
	for i, o := range in.Offers {
		for _, c := range r.Choose {
			if c.Offer == o.Name {
				counts[i] = c.Count
			}
		}
	}
	return counts
}

func TestAgainstEverySet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.IntRange(1, 5).Draw(t, "parts")
		offers := rapid.IntRange(1, 7).Draw(t, "offers")
		in := Input{Needs: map[string]int{}, CostOfWaiting: float64(rapid.IntRange(0, 20).Draw(t, "waiting"))}
		for p := 0; p < parts; p++ {
			in.Needs[fmt.Sprint("p", p)] = rapid.IntRange(0, 3).Draw(t, "need")
		}
		for o := 0; o < offers; o++ {
			offer := Offer{Name: fmt.Sprint("o", o), Price: float64(rapid.IntRange(0, 60).Draw(t, "price")) / rapid.SampledFrom([]float64{1, 3}).Draw(t, "of"), Parts: map[string]int{}}
			for p := 0; p < parts; p++ {
				if n := rapid.IntRange(0, 5).Draw(t, "count"); n > 2 {
					offer.Parts[fmt.Sprint("p", p)] = n - 2
				}
			}
			if rapid.Bool().Draw(t, "led") {
				offer.LeadTime = days(float64(rapid.IntRange(0, 6).Draw(t, "lead")))
			}
			if rapid.Bool().Draw(t, "limited") {
				offer.Stock = number(rapid.IntRange(0, 3).Draw(t, "stock"))
			}
			in.Offers = append(in.Offers, offer)
		}
		for _, aim := range []Aim{Cheapest, Soonest, LeastLeftOver, LeastTotal} {
			in.Aim = aim
			r, err := Find(in)
			if err != nil {
				t.Fatal(err)
			}
			reduced := in
			reduced.Needs = map[string]int{}
			for part, need := range in.Needs {
				reduced.Needs[part] = need - r.Missing[part]
			}
			want, found := every(reduced)
			got, ok := worth(reduced, countsOf(in, r))
			if !found || !ok {
				t.Fatalf("%s: found %v, covers %v: %+v", aim, found, ok, r)
			}
			if less(want, got) || less(got, want) {
				t.Fatalf("%s: %v, best is %v", aim, got, want)
			}
			for part, missing := range r.Missing {
				most := 0
				for _, o := range in.Offers {
					if o.Parts[part] > 0 && o.Stock == nil {
						t.Fatalf("%s is called missing, but %s has it without limit", part, o.Name)
					}
					if o.Stock != nil {
						most += *o.Stock * o.Parts[part]
					}
				}
				if missing != in.Needs[part]-most {
					t.Fatalf("missing %d of %s, want %d", missing, part, in.Needs[part]-most)
				}
			}
		}
	})
}

// Invented demo numbers, the answers by hand.
func TestSmallCases(t *testing.T) {
	needs := map[string]int{"seal": 1, "head gasket": 2, "bushing": 1, "pin": 1}
	offers := []Offer{
		{Name: "seal kit", Price: 210, LeadTime: days(3), Parts: map[string]int{"seal": 1, "head gasket": 3, "o-ring": 2}},
		{Name: "minor kit", Price: 390, LeadTime: days(10), Parts: map[string]int{"seal": 1, "head gasket": 3, "bushing": 1, "pin": 1}},
		{Name: "seal", Price: 170, LeadTime: days(2), Parts: map[string]int{"seal": 1}},
		{Name: "gasket", Price: 12, LeadTime: days(1), Stock: number(1), Parts: map[string]int{"head gasket": 1}},
		{Name: "bushing", Price: 95, LeadTime: days(4), Parts: map[string]int{"bushing": 1}},
		{Name: "pin", Price: 120, LeadTime: days(5), Parts: map[string]int{"pin": 1}},
		{Name: "grind pin and sleeve bore", Price: 260, LeadTime: days(2), Parts: map[string]int{"pin": 1, "bushing": 1}},
	}
	for _, row := range []struct {
		aim       Aim
		waiting   float64
		cost      float64
		lead      float64
		leftOver  int
		wantOffer string
	}{
		{Cheapest, 0, 390, 10, 1, "minor kit"},                          // 210+95+120 = 425, 390
		{Soonest, 0, 470, 3, 3, "seal kit"},                             // seal kit + grinding at 3 d
		{LeastLeftOver, 0, 390, 10, 1, "minor kit"},                     // one gasket over; the seal kit leaves three
		{LeastTotal, 20, 425 + 20*5, 5, 3, "seal kit"},                  // 390+200 = 590, 425+100 = 525, 470+60 = 530
		{LeastTotal, 30, 470 + 30*3, 3, 3, "grind pin and sleeve bore"}, // 425+150 = 575, 470+90 = 560
	} {
		r, err := Find(Input{Needs: needs, Offers: offers, Aim: row.aim, CostOfWaiting: row.waiting})
		if err != nil {
			t.Fatal(err)
		}
		over := 0
		for _, n := range r.LeftOver {
			over += n
		}
		found := false
		for _, c := range r.Choose {
			found = found || c.Offer == row.wantOffer
		}
		if math.Abs(r.Total()-row.cost) > 1e-9 || float64(r.LeadTime) != row.lead*secondsPerDay || over != row.leftOver || !found || len(r.Missing) != 0 {
			t.Errorf("%s: total %g, lead %v, over %v, %v", row.aim, r.Total(), r.LeadTime, r.LeftOver, r.Choose)
		}
	}
	r, err := Find(Input{Needs: map[string]int{"crescent": 1, "gasket": 3}, Offers: []Offer{{Name: "gasket", Price: 5, Stock: number(2), Parts: map[string]int{"gasket": 1}}}, Aim: Cheapest})
	if err != nil || r.Missing["crescent"] != 1 || r.Missing["gasket"] != 1 || r.Cost != 10 || len(r.Warnings) != 2 {
		t.Errorf("missing: %+v %v", r, err)
	}
}

func TestRefusals(t *testing.T) {
	ok := Input{Needs: map[string]int{"a": 1}, Offers: []Offer{{Name: "x", Price: 1, Parts: map[string]int{"a": 1}}}, Aim: Cheapest}
	for field, change := range map[string]func(*Input){
		"needs":               func(i *Input) { i.Needs = nil },
		"needs.a":             func(i *Input) { i.Needs = map[string]int{"a": -1} },
		"aim":                 func(i *Input) { i.Aim = "best" },
		"cost_of_waiting":     func(i *Input) { i.CostOfWaiting = math.NaN() },
		"offers[0].price":     func(i *Input) { i.Offers = []Offer{{Name: "x", Price: -1}} },
		"offers[0].name":      func(i *Input) { i.Offers = []Offer{{Price: 1}} },
		"offers[1].name":      func(i *Input) { i.Offers = append(i.Offers[:1:1], i.Offers[0]) },
		"offers[0].stock":     func(i *Input) { i.Offers = []Offer{{Name: "x", Stock: number(-1)}} },
		"offers[0].parts.a":   func(i *Input) { i.Offers = []Offer{{Name: "x", Parts: map[string]int{"a": -2}}} },
		"offers[0].lead_time": func(i *Input) { i.Offers = []Offer{{Name: "x", LeadTime: days(-1)}} },
	} {
		in := ok
		change(&in)
		_, err := Find(in)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// realistic makes kits that nest, loose parts for each need and some work.
func realistic(r *rand.Rand, parts, offers int) Input {
	in := Input{Needs: map[string]int{}, Aim: Cheapest, CostOfWaiting: 40}
	loose := make([]float64, parts)
	for p := range loose {
		in.Needs[fmt.Sprintf("part %02d", p)] = 1 + r.IntN(4)
		loose[p] = math.Round(1000+r.Float64()*30000) / 100
	}
	for o := 0; o < offers; o++ {
		offer := Offer{Name: fmt.Sprintf("offer %02d", o), LeadTime: days(float64(r.IntN(30))), Parts: map[string]int{}}
		if o < parts {
			offer.Parts[fmt.Sprintf("part %02d", o)] = 1
			offer.Price = loose[o]
		} else {
			start, size := r.IntN(parts), 3+r.IntN(14)
			for k := 0; k < size; k++ {
				p := (start + k) % parts
				n := 1 + r.IntN(3)
				offer.Parts[fmt.Sprintf("part %02d", p)] = n
				offer.Price += 0.6 * loose[p] * float64(n)
			}
			offer.Price = math.Round(offer.Price)
		}
		if r.IntN(3) == 0 {
			offer.Stock = number(1 + r.IntN(4))
		}
		in.Offers = append(in.Offers, offer)
	}
	return in
}

// hard makes sets without structure: the nastiest are those with equal prices.
func hard(r *rand.Rand, parts, offers int, density float64, equal bool, most int) Input {
	in := Input{Needs: map[string]int{}, Aim: Cheapest, CostOfWaiting: 40}
	for p := 0; p < parts; p++ {
		in.Needs[fmt.Sprintf("part %02d", p)] = 1 + r.IntN(most)
	}
	for o := 0; o < offers; o++ {
		offer := Offer{Name: fmt.Sprintf("offer %02d", o), Price: 1, LeadTime: days(float64(r.IntN(30))), Parts: map[string]int{}}
		if !equal {
			offer.Price = math.Round(1000+r.Float64()*9000) / 100
		}
		for p := 0; p < parts; p++ {
			if r.Float64() < density {
				offer.Parts[fmt.Sprintf("part %02d", p)] = 1 + r.IntN(most)
			}
		}
		in.Offers = append(in.Offers, offer)
	}
	return in
}

func BenchmarkCover(b *testing.B) {
	for _, c := range []struct {
		name string
		make func(seed uint64) Input
	}{
		{"realistic", func(seed uint64) Input { return realistic(rand.New(rand.NewPCG(seed, 1)), 40, 60) }},
		{"random 10 %", func(seed uint64) Input { return hard(rand.New(rand.NewPCG(seed, 2)), 40, 60, 0.10, false, 1) }},
		{"random 25 %", func(seed uint64) Input { return hard(rand.New(rand.NewPCG(seed, 3)), 40, 60, 0.25, false, 1) }},
		{"random 20 % counts", func(seed uint64) Input { return hard(rand.New(rand.NewPCG(seed, 4)), 40, 60, 0.20, false, 4) }},
		{"equal 10 %", func(seed uint64) Input { return hard(rand.New(rand.NewPCG(seed, 5)), 40, 60, 0.10, true, 1) }},
		{"equal 20 %", func(seed uint64) Input { return hard(rand.New(rand.NewPCG(seed, 6)), 40, 60, 0.20, true, 1) }},
		{"equal 20 % counts", func(seed uint64) Input { return hard(rand.New(rand.NewPCG(seed, 7)), 40, 60, 0.20, true, 4) }},
	} {
		for _, aim := range []Aim{Cheapest, LeastTotal, LeastLeftOver} {
			b.Run(c.name+"/"+string(aim), func(b *testing.B) {
				inputs := make([]Input, 16)
				for i := range inputs {
					inputs[i] = c.make(uint64(i + 1))
					inputs[i].Aim = aim
				}
				nodes, i := 0, 0
				b.ReportAllocs()
				for b.Loop() {
					r, err := Find(inputs[i%len(inputs)])
					if err != nil {
						b.Fatal(err)
					}
					nodes += r.Nodes
					i++
				}
				b.ReportMetric(float64(nodes)/float64(i), "nodes/op")
			})
		}
	}
}

// With few parts and many offers the states of what is covered can be counted
// through: an exact answer by another method than the one under test.
func TestAgainstCountingStates(t *testing.T) {
	for seed := uint64(1); seed <= 60; seed++ {
		r := rand.New(rand.NewPCG(seed, 9))
		in := hard(r, 4, 60, 0.5, false, 6)
		for i := range in.Offers {
			if r.IntN(2) == 0 {
				in.Offers[i].Stock = number(1 + r.IntN(3))
			}
		}
		got, err := Find(in)
		if err != nil {
			t.Fatal(err)
		}
		if want := countStates(in); math.Abs(got.Cost-want) > 1e-7 {
			t.Errorf("seed %d: %g, want %g", seed, got.Cost, want)
		}
	}
}

// countStates finds the least price by dynamic programming over the counts
// still open, one offer after the other, one piece of it at a time.
func countStates(in Input) float64 {
	names := []string{"part 00", "part 01", "part 02", "part 03"}
	size, step := 1, make([]int, len(names))
	for i, name := range names {
		step[i] = size
		size *= in.Needs[name] + 1
	}
	best := make([]float64, size) // by what is covered
	for i := range best {
		best[i] = math.Inf(1)
	}
	best[0] = 0
	for _, o := range in.Offers {
		most := 6
		if o.Stock != nil {
			most = *o.Stock
		}
		for piece := 0; piece < most; piece++ {
			next := append([]float64(nil), best...)
			for state, price := range best {
				if math.IsInf(price, 1) {
					continue
				}
				to := 0
				for i, name := range names {
					have := state / step[i] % (in.Needs[name] + 1)
					to += step[i] * min(in.Needs[name], have+o.Parts[name])
				}
				next[to] = min(next[to], price+o.Price)
			}
			best = next
		}
	}
	return best[size-1]
}
