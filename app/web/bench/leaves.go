package bench

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/rebuild/sheet"
)

// Leaves of the sets that are usual at the bench. [common practice, no source]
var (
	metricLeaves = []string{"0.03", "0.04", "0.05", "0.06", "0.07", "0.08", "0.09", "0.10", "0.12", "0.13", "0.15", "0.18", "0.20", "0.25", "0.30", "0.35", "0.40", "0.45", "0.50", "0.55", "0.60", "0.65", "0.70", "0.75", "0.80", "0.90", "1.00"}
	inchLeaves   = []string{"0.0015", "0.002", "0.0025", "0.003", "0.004", "0.005", "0.006", "0.007", "0.008", "0.009", "0.010", "0.011", "0.012", "0.013", "0.014", "0.015", "0.016", "0.017", "0.018", "0.019", "0.020", "0.022", "0.024", "0.025"}
)

// mostLeaves is how many leaves stand in a row.
const mostLeaves = 14

// leavesAround returns the leaves near what is to be expected: from well below
// new to well beyond the limit.
func leavesAround(nominal *sheet.Value, inch bool, limit float64) []string {
	set, unit := metricLeaves, "mm"
	if inch {
		set, unit = inchLeaves, "in"
	}
	low, high := 0.0, math.Inf(1)
	if nominal != nil && nominal.Dimension == quantity.LengthDimension && nominal.SI > 0 {
		low, high = 0.4*nominal.SI, math.Max(3.2*nominal.SI, 1.5*limit)
	}
	var near []string
	for _, leaf := range set {
		text := leaf + " " + unit
		e, err := quantity.Parse(quantity.LengthDimension, text)
		if err == nil && e.SI >= low && e.SI <= high {
			near = append(near, text)
		}
	}
	if len(near) > mostLeaves {
		near = near[:mostLeaves]
	}
	return near
}

// Leaves returns the leaves near a clearance for other places of the job.
func Leaves(nominal *sheet.Value, inch bool) []string { return leavesAround(nominal, inch, 0) }
