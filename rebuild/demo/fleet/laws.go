package fleet

import "pumpwright/calc/life"

// Laws are what the fleet is made by. All numbers are invented.
type Laws struct {
	Services []Service
	Infant   float64 // chance that a rebuild fails within weeks
	Other    float64 // mean hours until the pump comes off for a reason of its own
	// ReadingU are the standard deviations of one reading of a bore and of an
	// outside diameter, m.
	BoreU, DiameterU float64
	// Limping is the part of the allowance between new and limit at which the
	// plant complains of lost flow.
	Limping float64
	// SpreadOfHours is how far a machine's hours a year lie from its service's,
	// at most, as a fraction.
	SpreadOfHours float64
}

// Service is one kind of duty.
type Service struct {
	Name       string // of package demo
	Liquid     string
	HoursAYear float64
	Share      float64    // of the machines
	Seal       life.Model // hours until the seal leaks
	// Wear is how much of the allowance of a bushing, between new and its
	// limit, is worn away in 1000 h: mean over parts, and standard deviation
	// between them as a fraction of it.
	Wear, WearSpread float64
	Causes           []string // of a seal that leaks, the likeliest first
}

// DefaultLaws are the laws of the demo fleet.
func DefaultLaws() Laws {
	return Laws{
		Services: []Service{
			{Name: "service-light-oil", Liquid: "demo-light-oil", HoursAYear: 6000, Share: 0.5,
				Seal: life.Model{Distribution: life.Weibull, Shape: 2.2, Scale: 16000}, Wear: 0.035, WearSpread: 0.20, Causes: []string{"C32", "C02"}},
			{Name: "service-hot-water", Liquid: "demo-water", HoursAYear: 2500, Share: 0.3,
				Seal: life.Model{Distribution: life.Weibull, Shape: 1.6, Scale: 6500}, Wear: 0.085, WearSpread: 0.25, Causes: []string{"C11", "C32", "C01"}},
			{Name: "service-molasses", Liquid: "demo-molasses", HoursAYear: 3000, Share: 0.2,
				Seal: life.Model{Distribution: life.Weibull, Shape: 1.9, Scale: 9000}, Wear: 0.05, WearSpread: 0.20, Causes: []string{"C07", "C14", "C32"}},
		},
		Infant: 0.03, Other: 60000, BoreU: 3e-6, DiameterU: 2e-6, Limping: 1.6, SpreadOfHours: 0.25,
	}
}
