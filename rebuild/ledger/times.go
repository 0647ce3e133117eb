package ledger

import "sort"

// TimeBands are the upper ends of the bands in which the shop counts times in
// service, in running hours: half decades; the last band has no end. Our own
// convention.
var TimeBands = []float64{100, 316, 1000, 3162, 10_000}

// TimeBand returns the band of a time in service.
func TimeBand(hours float64) int { return sort.SearchFloat64s(TimeBands, hours) }

// TimesOf are the finished jobs whose confirmed cause and time in service are
// known: by cause, how many fell into each band.
type TimesOf map[string][]int

// Jobs returns how many jobs are counted.
func (t TimesOf) Jobs() int {
	sum := 0
	for _, bands := range t {
		for _, n := range bands {
			sum += n
		}
	}
	return sum
}
