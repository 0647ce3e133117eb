package gasket

import (
	"math"
	"sync"
)

// phiTable is the normal distribution function from a table: cubic Hermite
// pieces of step 1/64 on 0…9, off by less than 3e-10, several times faster
// than erfc.
type phiTable [tableSize]struct{ value, slope float64 } // slope times the step

const (
	tableStep = 1.0 / 64
	tableEnd  = 9
	tableSize = tableEnd*64 + 2
)

var phi = sync.OnceValue(func() *phiTable {
	var t phiTable
	for i := range t {
		z := float64(i) * tableStep
		t[i].value, t[i].slope = distribution(z), tableStep*density(z)
	}
	return &t
})

// below returns Φ(z).
func (t *phiTable) below(z float64) float64 {
	if z < 0 {
		return 1 - t.upper(-z)
	}
	return t.upper(z)
}

func (t *phiTable) upper(z float64) float64 {
	if !(z < tableEnd) {
		return 1
	}
	x := z * (1 / tableStep)
	i := int(x)
	f := x - float64(i)
	p, q := &t[i], &t[i+1]
	rise := q.value - p.value
	return p.value + f*(p.slope+f*((3*rise-2*p.slope-q.slope)+f*(p.slope+q.slope-2*rise)))
}

// distribution and density of the standard normal at full precision, for what
// is done once.
func distribution(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

func density(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }
