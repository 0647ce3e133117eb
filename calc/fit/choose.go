package fit

import (
	"fmt"
	"math"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// Measured is one part with its measured diameter.
type Measured struct {
	Name     string
	Diameter quantity.Estimate[quantity.Length]
}

// Pairing is one part tried in a measured bore.
type Pairing struct {
	Name         string
	Interference quantity.Estimate[quantity.Length] // outside less bore; negative = clearance
	Probability  float64                            // that the true interference lies in the window
}

var (
	msgNoParts    = say.Define("fit.no_parts", "no part was given to choose from")
	msgWindow     = say.Define("fit.window", "the window must have its low end below its high end")
	msgUncertain  = say.Define("fit.uncertain", "a standard uncertainty must not be below zero")
	msgUncertain2 = say.Define("fit.uncertain_is", "give the standard uncertainty of the measured diameter")
)

// Choose tries measured parts in a measured bore and ranks them by the chance
// that the interference lies in the wanted window, then by how near it comes
// to the middle (selective fit).
//
//	I = d_part − d_bore,  u² = u_part² + u_bore²
//	P = Φ((high − I)/u) − Φ((low − I)/u)
//
// Errors: no parts, a window upside down, a diameter or uncertainty that is
// not one.
// Source: JCGM 106:2012, probability of conformity for a normal distribution.
func Choose(bore quantity.Estimate[quantity.Length], parts []Measured, low, high quantity.Length) ([]Pairing, error) {
	if len(parts) == 0 {
		return nil, say.Refuse("parts", "", msgNoParts.With(), say.Message{})
	}
	if !(high > low) || math.IsInf(float64(high-low), 0) {
		return nil, say.Refuse("window", low.String()+" … "+high.String(), msgWindow.With(), say.Message{})
	}
	if err := checkMeasured("bore", bore); err != nil {
		return nil, err
	}
	list := make([]Pairing, len(parts))
	for i, part := range parts {
		if err := checkMeasured(fmt.Sprintf("parts[%d]", i), part.Diameter); err != nil {
			return nil, err
		}
		interference := part.Diameter.Value - bore.Value
		u := math.Hypot(part.Diameter.U, bore.U)
		list[i] = Pairing{part.Name, quantity.Within(interference, u), chanceWithin(float64(interference), u, float64(low), float64(high))}
	}
	middle := float64(low+high) / 2
	sort.SliceStable(list, func(i, j int) bool {
		if list[i].Probability != list[j].Probability {
			return list[i].Probability > list[j].Probability
		}
		return math.Abs(float64(list[i].Interference.Value)-middle) < math.Abs(float64(list[j].Interference.Value)-middle)
	})
	return list, nil
}

func checkMeasured(field string, e quantity.Estimate[quantity.Length]) error {
	if !(e.Value > 0) || math.IsInf(float64(e.Value), 0) {
		return say.Refuse(field, e.Value.String(), msgNotPositive.With(), say.Message{})
	}
	if !(e.U >= 0) || math.IsInf(e.U, 0) {
		return say.Refuse(field+".u", fmt.Sprint(e.U), msgUncertain.With(), msgUncertain2.With())
	}
	return nil
}

func chanceWithin(value, u, low, high float64) float64 {
	if u == 0 {
		if value >= low && value <= high {
			return 1
		}
		return 0
	}
	return cumulative((high-value)/u) - cumulative((low-value)/u)
}

func cumulative(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// TargetOutside returns the outside diameter to turn a part to, for a measured
// bore and a wanted interference.
func TargetOutside(bore, interference quantity.Length) quantity.Length { return bore + interference }

var (
	namePair     = say.Define("fit.name_pair", "interference of {name} in this bore")
	namePart     = say.Define("fit.name_part", "measured outside of the part")
	nameMeasured = say.Define("fit.name_measured", "measured bore")
)

// PairWorking tells how the interference of a pairing follows from the two
// measured diameters.
func PairWorking(bore quantity.Estimate[quantity.Length], p Pairing) *working.Node {
	part := p.Interference.Value + bore.Value
	return working.Result("fit.pair", namePair.With(p.Name), "I", p.Interference.Value, "I = d_part − d_bore, u² = u_part² + u_bore²", "JCGM 100:2008, 5.1.2",
		working.Leaf("fit.pair.part", namePart.With(), "d_part", part, refPress),
		working.Leaf("fit.pair.bore", nameMeasured.With(), "d_bore", bore.Value, refPress).WithU(bore.U)).WithU(p.Interference.U)
}
