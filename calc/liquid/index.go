package liquid

import (
	"math"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgIndexUndefined = say.Define("liquid.index_undefined", "the viscosity index is not defined below 2 mm2/s at 100 °C")
	msgIndexNoReach   = say.Define("liquid.index_no_reach", "no viscosity at 100 °C gives this viscosity index")
	msgIndexUsual     = say.Define("liquid.index_usual", "lubricants lie between about 0 and 200")
)

// Index returns the viscosity index of a lubricant.
//
//	VI ≤ 100:  VI = 100 (L − U)/(L − H)
//	VI ≥ 100:  VI = (10^N − 1)/0.00715 + 100,  N = (log H − log U)/log Y
//
//	U     viscosity at 40 °C    mm²/s
//	Y     viscosity at 100 °C   mm²/s   ≥ 2
//	L, H  from the table for Y by linear interpolation, above 70 mm²/s
//	      L = 0.8353 Y² + 14.67 Y − 216,  H = 0.1684 Y² + 11.85 Y − 97
//
// Refuses Y below 2 mm²/s, for which the index is not defined.
// Source: ASTM D2270-10(2016), equations as given in the documentation of the
// Python library chemicals; table as transcribed in a public repository.
func Index(at40, at100 quantity.KinematicViscosity) (float64, error) {
	if err := positive("viscosity at 40 °C", at40.SI()); err != nil {
		return 0, err
	}
	if err := positive("viscosity at 100 °C", at100.SI()); err != nil {
		return 0, err
	}
	u, y := at40.SI()*1e6, at100.SI()*1e6
	if y < 2*(1-1e-9) {
		return 0, say.Refuse("viscosity at 100 °C", "", msgIndexUndefined.With(), say.Message{})
	}
	if u <= y {
		return 0, say.Refuse("viscosity at 40 °C", "", msgNotFalling.With(), msgCheckPoints.With())
	}
	return index(u, y), nil
}

func index(u, y float64) float64 {
	l, h := indexLH(y)
	if u >= h {
		return 100 * (l - u) / (l - h)
	}
	n := (math.Log10(h) - math.Log10(u)) / math.Log10(y)
	return (math.Pow(10, n)-1)/0.00715 + 100
}

// indexLH returns L and H, the viscosities at 40 °C of the two reference
// series that have the viscosity y at 100 °C.
func indexLH(y float64) (l, h float64) {
	last := len(indexTable) - 1
	if y > indexTable[last].y {
		return 0.8353*y*y + 14.67*y - 216, 0.1684*y*y + 11.85*y - 97
	}
	i := sort.Search(last, func(i int) bool { return indexTable[i+1].y >= y })
	a, b := indexTable[i], indexTable[i+1]
	share := (y - a.y) / (b.y - a.y)
	return a.l + share*(b.l-a.l), a.h + share*(b.h-a.h)
}

// HotViscosity returns the viscosity at 100 °C of a lubricant known by its
// viscosity at 40 °C and its viscosity index: the inverse of Index, by
// bisection.
func HotViscosity(at40 quantity.KinematicViscosity, viscosityIndex float64) (quantity.KinematicViscosity, error) {
	if err := positive("viscosity at 40 °C", at40.SI()); err != nil {
		return 0, err
	}
	if math.IsNaN(viscosityIndex) || math.IsInf(viscosityIndex, 0) {
		return 0, say.Refuse("viscosity_index", "", msgNotFinite.With(), say.Message{})
	}
	u := at40.SI() * 1e6
	low, high := 2.0, u*(1-1e-9)
	if high <= low || index(u, low) > viscosityIndex || index(u, high) < viscosityIndex {
		return 0, say.Refuse("viscosity_index", "", msgIndexNoReach.With(), msgIndexUsual.With())
	}
	for range 200 {
		mid := 0.5 * (low + high)
		if mid == low || mid == high {
			break
		}
		if index(u, mid) < viscosityIndex {
			low = mid
		} else {
			high = mid
		}
	}
	return quantity.KinematicViscosity(high * 1e-6), nil
}

// Grade returns the two points (40 °C and 100 °C) of an ISO 3448 viscosity
// grade at the middle of its class: the number of the grade in mm²/s at 40 °C.
func Grade(isoVG, viscosityIndex float64) ([]Point, error) {
	if err := positive("iso_vg", isoVG); err != nil {
		return nil, err
	}
	cold := quantity.KinematicViscosity(isoVG * 1e-6)
	hot, err := HotViscosity(cold, viscosityIndex)
	if err != nil {
		return nil, err
	}
	return []Point{{fortyCelsius, cold}, {hundredCelsius, hot}}, nil
}

const (
	fortyCelsius   = quantity.ZeroCelsius + 40
	hundredCelsius = quantity.ZeroCelsius + 100
)
