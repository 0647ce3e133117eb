package cover

import (
	"fmt"
	"math"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Aim is what makes one cover better than another.
type Aim string

// Show prints the word in the language of a style.
func (v Aim) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Aim) Message() say.Message { return say.Word("cover", string(v)) }

// The aims.
const (
	Cheapest      Aim = "cheapest"        // least price
	Soonest       Aim = "soonest"         // all there first, then least price
	LeastLeftOver Aim = "least-left-over" // fewest pieces left, then least price
	LeastTotal    Aim = "least-total"     // least price plus price of waiting
)

// Offer is something that can be bought or had done.
type Offer struct {
	Name     string
	Price    float64        // of one, in the one currency of all
	LeadTime *quantity.Time // nil: not known, taken as at once
	Stock    *int           // nil: as many as wanted
	Parts    map[string]int // what one holds
}

// Input asks for a cover.
type Input struct {
	Needs         map[string]int // part to count
	Offers        []Offer
	Aim           Aim
	CostOfWaiting float64 // for each day, for LeastTotal
}

// Choice is how many of an offer to take.
type Choice struct {
	Offer string
	Count int
	Price float64 // of all of them
}

// Result is the best cover.
type Result struct {
	Input    Input
	Choose   []Choice // in the order of the offers
	Cost     float64  // Σ price
	LeadTime quantity.Time
	Waiting  float64        // cost of waiting, for LeastTotal
	LeftOver map[string]int // goes to stock
	Missing  map[string]int // no offer covers
	Nodes    int            // branches looked at
	Gap      *Gap           // nil when the answer is proved to be the best
	Warnings []say.Message
}

// Total returns price and waiting.
func (r Result) Total() float64 { return r.Cost + r.Waiting }

const (
	mostOffers = 400
	mostParts  = 400
	mostCount  = 100000
)

var (
	msgNoNeeds   = say.Define("cover.no_needs", "nothing is needed")
	msgCount     = say.Define("cover.count", "a count is a whole number, not below zero and at most {most:count}")
	msgPrice     = say.Define("cover.price", "a price is a number, not below zero")
	msgLead      = say.Define("cover.lead", "a lead time is not below zero")
	msgTooMany   = say.Define("cover.too_many", "at most {most:count} are taken at once")
	msgTwice     = say.Define("cover.twice", "two offers have the name {name}")
	msgNoName    = say.Define("cover.no_name", "every offer has a name")
	msgAim       = say.Define("cover.aim", "this aim is not known")
	msgAims      = say.Define("cover.aims", "write cheapest, soonest, least-left-over or least-total")
	warnNoLead   = say.Define("cover.warn_no_lead", "no lead time is stated for {names}: taken as at once")
	warnMissing  = say.Define("cover.warn_missing", "no offer covers {names}: find another source before the order goes out")
	warnPartOnly = say.Define("cover.warn_part_only", "of {name} the offers hold {have:count}, {need:count} are needed")
)

// Find returns the best cover.
//
// Errors: a Problem naming the field: counts and prices that are not such, a
// name used twice, over 400 parts or offers. A question that takes too much
// work is answered all the same; Gap then says how far it may be from the best.
// Source: covering in whole numbers by branch and bound with linear bounds
// (Nemhauser and Wolsey, Integer and Combinatorial Optimization); the aims are
// common practice.
// Checked by: TestAgainstEverySet, TestSmallCases.
func Find(in Input) (Result, error) {
	p, err := newProblem(in)
	if err != nil {
		return Result{}, err
	}
	r := Result{Input: in, LeftOver: map[string]int{}, Missing: p.missing}
	counts := make([]int, len(in.Offers))
	if len(p.parts) > 0 {
		counts, r.Nodes, r.Gap = p.solve(in)
	}
	r.fill(p, counts)
	if g := r.Gap; g != nil {
		r.Warnings = append(append([]say.Message{}, r.Warnings...), warnGap.With(g.What, g.Found, g.Least))
	}
	return r, nil
}

// problem is an Input made ready: parts in order, needs cut to what the offers
// can cover, one column for each useful offer.
type problem struct {
	parts    []string
	needs    []int
	columns  []column
	missing  map[string]int
	warnings []say.Message
}

type column struct {
	offer  int
	price  float64
	pieces float64 // all parts of one, needed or not
	lead   float64 // s
	limit  int
	counts []int // by row
}

func newProblem(in Input) (*problem, error) {
	if err := checkInput(in); err != nil {
		return nil, err
	}
	p := &problem{missing: map[string]int{}}
	have := map[string]float64{}
	for _, o := range in.Offers {
		for part, n := range o.Parts {
			if o.Stock == nil && n > 0 {
				have[part] = math.Inf(1)
			} else if n > 0 {
				have[part] += float64(*o.Stock) * float64(n)
			}
		}
	}
	for part := range in.Needs {
		if in.Needs[part] > 0 {
			p.parts = append(p.parts, part)
		}
	}
	sort.Strings(p.parts)
	kept := p.parts[:0]
	var none []string
	for _, part := range p.parts {
		need := in.Needs[part]
		if have[part] < float64(need) {
			p.missing[part] = need - int(have[part])
			need = int(have[part])
			if need == 0 {
				none = append(none, part)
			} else {
				p.warnings = append(p.warnings, warnPartOnly.With(part, need, in.Needs[part]))
			}
		}
		if need > 0 {
			kept = append(kept, part)
			p.needs = append(p.needs, need)
		}
	}
	p.parts = kept
	if len(none) > 0 {
		p.warnings = append(p.warnings, warnMissing.With(none))
	}
	p.addColumns(in)
	return p, nil
}

func (p *problem) addColumns(in Input) {
	var unknown []string
	for i, o := range in.Offers {
		c := column{offer: i, price: o.Price, counts: make([]int, len(p.parts))}
		useful := 0
		for row, part := range p.parts {
			if n := o.Parts[part]; n > 0 {
				c.counts[row] = n
				useful = max(useful, (p.needs[row]+n-1)/n)
			}
		}
		for _, n := range o.Parts {
			c.pieces += float64(n)
		}
		if o.Stock != nil {
			useful = min(useful, *o.Stock)
		}
		if useful == 0 {
			continue
		}
		c.limit = useful
		if o.LeadTime != nil {
			c.lead = float64(*o.LeadTime)
		} else {
			unknown = append(unknown, o.Name)
		}
		p.columns = append(p.columns, c)
	}
	if len(unknown) > 0 && (in.Aim == Soonest || in.Aim == LeastTotal) {
		p.warnings = append(p.warnings, warnNoLead.With(unknown))
	}
}

func checkInput(in Input) error {
	if len(in.Needs) == 0 {
		return say.Refuse("needs", "", msgNoNeeds.With(), say.Message{})
	}
	if len(in.Needs) > mostParts {
		return say.Refuse("needs", fmt.Sprint(len(in.Needs)), msgTooMany.With(mostParts), say.Message{})
	}
	if len(in.Offers) > mostOffers {
		return say.Refuse("offers", fmt.Sprint(len(in.Offers)), msgTooMany.With(mostOffers), say.Message{})
	}
	switch in.Aim {
	case Cheapest, Soonest, LeastLeftOver, LeastTotal:
	default:
		return say.Refuse("aim", string(in.Aim), msgAim.With(), msgAims.With())
	}
	if !(in.CostOfWaiting >= 0) || math.IsInf(in.CostOfWaiting, 0) {
		return say.Refuse("cost_of_waiting", fmt.Sprint(in.CostOfWaiting), msgPrice.With(), say.Message{})
	}
	if err := checkCounts("needs", in.Needs); err != nil {
		return err
	}
	seen := map[string]bool{}
	for i, o := range in.Offers {
		field := fmt.Sprintf("offers[%d]", i)
		switch {
		case o.Name == "":
			return say.Refuse(field+".name", "", msgNoName.With(), say.Message{})
		case seen[o.Name]:
			return say.Refuse(field+".name", o.Name, msgTwice.With(o.Name), say.Message{})
		case !(o.Price >= 0) || math.IsInf(o.Price, 0) || o.Price > 1e12:
			return say.Refuse(field+".price", fmt.Sprint(o.Price), msgPrice.With(), say.Message{})
		case o.LeadTime != nil && (!(*o.LeadTime >= 0) || math.IsInf(float64(*o.LeadTime), 0)):
			return say.Refuse(field+".lead_time", o.LeadTime.String(), msgLead.With(), say.Message{})
		case o.Stock != nil && (*o.Stock < 0 || *o.Stock > mostCount):
			return say.Refuse(field+".stock", fmt.Sprint(*o.Stock), msgCount.With(mostCount), say.Message{})
		}
		seen[o.Name] = true
		if err := checkCounts(field+".parts", o.Parts); err != nil {
			return err
		}
	}
	return nil
}

func checkCounts(field string, counts map[string]int) error {
	names := make([]string, 0, len(counts))
	for name := range counts {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		if n := counts[name]; n < 0 || n > mostCount {
			return say.Refuse(field+"."+name, fmt.Sprint(n), msgCount.With(mostCount), say.Message{})
		}
	}
	return nil
}

// fill turns counts into the result.
func (r *Result) fill(p *problem, counts []int) {
	r.Warnings = p.warnings
	covered := map[string]int{}
	for i, n := range counts {
		if n == 0 {
			continue
		}
		o := r.Input.Offers[i]
		r.Choose = append(r.Choose, Choice{o.Name, n, o.Price * float64(n)})
		r.Cost += o.Price * float64(n)
		if o.LeadTime != nil {
			r.LeadTime = max(r.LeadTime, *o.LeadTime)
		}
		for part, k := range o.Parts {
			covered[part] += n * k
		}
	}
	for part, n := range covered {
		if over := n - r.Input.Needs[part]; over > 0 {
			r.LeftOver[part] = over
		}
	}
	if r.Input.Aim == LeastTotal {
		r.Waiting = r.Input.CostOfWaiting * float64(r.LeadTime) / secondsPerDay
	}
}
