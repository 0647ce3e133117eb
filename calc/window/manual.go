package window

import (
	"pumpwright/calc/quantity"
)

// Row is one row of a manual's table of cold end clearance. A bound that is
// nil is open.
type Row struct {
	ViscosityFrom, ViscosityTo     *quantity.KinematicViscosity
	TemperatureFrom, TemperatureTo *quantity.Temperature
	Low, High                      quantity.Length
	Ref                            string // page of the manual
}

// Manual is what a manual's table says for a liquid at a temperature.
type Manual struct {
	Row        *Row  // the row that holds, nil in a hole between rows
	Neighbours []Row // in a hole: the rows nearest below and above in viscosity, at the temperature; a lead chooses, signed
}

// FromManual picks the row of a manual's table by the low-shear kinematic
// viscosity at the pumping temperature, and by that temperature. A row holds
// above its lower bound up to and with its upper bound; where no row does, one
// that begins exactly there holds. In a hole between rows both neighbours are
// returned. Nil without rows.
func FromManual(rows []Row, viscosity quantity.KinematicViscosity, temperature quantity.Temperature) *Manual {
	if len(rows) == 0 {
		return nil
	}
	for _, closed := range []bool{false, true} {
		for i, r := range rows {
			if holds(viscosity, r.ViscosityFrom, r.ViscosityTo, closed) && holds(temperature, r.TemperatureFrom, r.TemperatureTo, closed) {
				return &Manual{Row: &rows[i]}
			}
		}
	}
	return &Manual{Neighbours: neighbours(rows, viscosity, temperature)}
}

func holds[T quantity.Of](v T, from, to *T, closed bool) bool {
	if to != nil && v > *to {
		return false
	}
	return from == nil || v > *from || closed && v == *from
}

// neighbours finds the nearest rows on either side: in viscosity among the
// rows of the temperature, else in temperature among the rows of the
// viscosity.
func neighbours(rows []Row, viscosity quantity.KinematicViscosity, temperature quantity.Temperature) []Row {
	var found []Row
	found = around(rows, found, viscosity, func(r Row) (*quantity.KinematicViscosity, *quantity.KinematicViscosity) {
		return r.ViscosityFrom, r.ViscosityTo
	},
		func(r Row) bool { return holds(temperature, r.TemperatureFrom, r.TemperatureTo, true) })
	if len(found) > 0 {
		return found
	}
	return around(rows, found, temperature, func(r Row) (*quantity.Temperature, *quantity.Temperature) { return r.TemperatureFrom, r.TemperatureTo },
		func(r Row) bool { return holds(viscosity, r.ViscosityFrom, r.ViscosityTo, true) })
}

func around[T quantity.Of](rows, found []Row, v T, bounds func(Row) (from, to *T), fits func(Row) bool) []Row {
	below, above := -1, -1
	for i, r := range rows {
		if !fits(r) {
			continue
		}
		from, to := bounds(r)
		if to != nil && *to <= v {
			if below < 0 {
				below = i
			} else if _, best := bounds(rows[below]); *to > *best {
				below = i
			}
		}
		if from != nil && *from > v {
			if above < 0 {
				above = i
			} else if best, _ := bounds(rows[above]); *from < *best {
				above = i
			}
		}
	}
	for _, i := range []int{below, above} {
		if i >= 0 {
			found = append(found, rows[i])
		}
	}
	return found
}
