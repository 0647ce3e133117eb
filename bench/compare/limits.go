package main

import (
	"fmt"
	"math"
	"strings"

	"pumpwright/calc/fit"
)

// published are limits in micrometres from a sample list of a check sheet of
// ISO 286-1:2010 and, where marked, from textbooks.
var published = []struct {
	zone         string
	upper, lower float64
}{
	{"25g6", -7, -20}, {"25k6", 15, 2}, {"25n6", 28, 15}, {"25p6", 35, 22}, {"25s6", 48, 35}, {"60r6", 60, 41},
	{"100s6", 93, 71}, {"120f7", -36, -71}, {"30g6", -7, -20}, {"25h6", 0, -13},
	{"25K7", 6, -15}, {"25M7", 0, -21}, {"25P7", -14, -35}, {"60R7", -30, -60}, {"25F8", 53, 20}, {"25N8", -3, -36},
	{"25K8", 10, -23}, {"5K7", 3, -9}, {"25K6", 2, -11}, {"25N6", -11, -24}, {"25H7", 21, 0}, {"60H7", 30, 0},
	// Bhandari, Design of Machine Elements, ex. 3.1 and 3.3 p. 70
	{"20H6", 13, 0}, {"20e7", -40, -61}, {"50H7", 25, 0}, {"50s6", 59, 43},
	// Jindal, Machine Design, ex. 4-2 p. 112
	{"25r6", 41, 28},
}

func compareLimits(s sizes) (outcome, error) {
	o := outcome{
		against: "ISO 286-1:2010 as published", input: fmt.Sprintf("%d zones", len(published)),
		remark: "Largest difference over all zones; only zones that differ are named.",
	}
	var err error
	if o.ours, err = best(s.repeats, func() error {
		o.values = o.values[:0]
		right := 0
		for _, row := range published {
			parse := fit.ParseShaft
			if strings.ContainsAny(row.zone, "FHKMNPR") {
				parse = fit.ParseHole
			}
			l, err := parse(row.zone)
			if err != nil {
				return err
			}
			upper, lower := float64(l.Upper)*1e6, float64(l.Lower)*1e6
			if math.Abs(upper-row.upper) < 1e-6 && math.Abs(lower-row.lower) < 1e-6 {
				right++
				continue
			}
			o.values = append(o.values, value{row.zone + " upper, µm", upper, row.upper, 1e-6, "whole micrometres"},
				value{row.zone + " lower, µm", lower, row.lower, 1e-6, "whole micrometres"})
		}
		o.values = append(o.values, value{"zones that are the same", float64(right), float64(len(published)), 0, "a table"})
		return nil
	}); err != nil {
		return outcome{}, err
	}
	return o, nil
}
