package offer

import (
	"math"
	"sort"

	"pumpwright/calc/cost"
	"pumpwright/calc/say"
	"pumpwright/rebuild/ledger"
)

// rebuildCost is the price of a rebuild and the days until its parts are here.
type rebuildCost struct{ price, lead float64 }

// scales are multiples of the numbers that the comparison rests on. A price
// that several courses share moves for all of them.
type scales [factors]float64

const (
	byParts = iota
	byLabour
	byPump
	byUpgrade
	byWaiting
	byEnergy
	byOutput
	byDiscount
	factors
)

var factorNames = [factors]say.Template{
	byParts:    say.Define("offer.factor_parts", "price of parts and outside work"),
	byLabour:   say.Define("offer.factor_labour", "labour"),
	byPump:     say.Define("offer.factor_pump", "price of the new pump with its piping"),
	byUpgrade:  say.Define("offer.factor_upgrade", "price of the upgrade"),
	byWaiting:  say.Define("offer.factor_waiting", "price of a day without the pump"),
	byEnergy:   say.Define("offer.factor_energy", "price of energy"),
	byOutput:   say.Define("offer.factor_output", "price of lost output"),
	byDiscount: say.Define("offer.factor_discount", "rate of interest"),
}

func asIs() scales {
	var k scales
	for i := range k {
		k[i] = 1
	}
	return k
}

// scaled is the price of a rebuild with its parts and its labour scaled.
func (c *Chapter) scaled(price float64, k scales) float64 {
	labour := 0.0
	if c.LabourSum != nil {
		labour = c.LabourSum.Amount()
	}
	return (price-labour)*k[byParts] + labour*k[byLabour]
}

// hinges varies each number by the spread and lists what the difference
// between the two best courses becomes, the largest swing first. Costs enter
// in proportion, so the multiple at which both cost the same is exact for
// them; for the rate it is not given.
// Source: one-at-a-time sensitivity, common practice.
func (c *Chapter) hinges(in Inputs, l *Life, pump *ledger.NewPump, upgrade *ledger.Upgrade, r rebuildCost) []cost.Hinge {
	if len(l.Result.Options) < 2 {
		return nil
	}
	second := secondOf(l.Result)
	at := func(factor int, multiple float64) (float64, bool) {
		k := asIs()
		k[factor] = multiple
		result, err := cost.Compare(c.lifeInput(in, &Life{}, pump, upgrade, r, k))
		if err != nil {
			return 0, false
		}
		values := map[string]float64{}
		for _, v := range result.Options {
			values[v.Name] = v.PresentValue
		}
		return values[second] - values[l.Result.Best], true
	}
	var list []cost.Hinge
	for factor := range int(factors) {
		low, okLow := at(factor, 1-spread)
		high, okHigh := at(factor, 1+spread)
		swing := math.Abs(high - low)
		if !okLow || !okHigh || swing < 0.005 {
			continue
		}
		h := cost.Hinge{Name: factorNames[factor].With().String(), Low: low, High: high, Swing: swing, Standard: 1, InReach: low < 0 || high < 0}
		if slope := (high - low) / (2 * spread); factor != byDiscount {
			if turns := 1 - l.Result.Difference/slope; turns > 0 {
				h.Turns, h.TurnsAt = true, turns
			}
		}
		list = append(list, h)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Swing > list[j].Swing })
	return list
}

// secondOf is the name of the second best course.
func secondOf(r cost.Result) string {
	name, least := "", math.Inf(1)
	for _, v := range r.Options {
		if v.Name != r.Best && v.PresentValue < least {
			name, least = v.Name, v.PresentValue
		}
	}
	return name
}
