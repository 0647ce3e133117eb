package fit

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const (
	sourceISO  = "ISO 286-1:2010, tables of standard tolerances and fundamental deviations"
	micrometre = 1e-6
	millimetre = 1e-3

	largestISO  = 500 * millimetre
	finestGrade = 1
	roughGrade  = 14
)

var (
	msgSizeRange  = say.Define("fit.size_range", "the size {size:length} is outside the table")
	msgSizesAre   = say.Define("fit.sizes_are", "sizes over 0 up to 500 mm are in the table")
	msgNoZone     = say.Define("fit.no_zone", "“{zone}” is no tolerance zone of the table")
	msgZonesAre   = say.Define("fit.zones_are", "holes are written {holes}, shafts {shafts}, each with a grade from {finest:count} to {coarsest:count}, such as H7 or p6")
	msgNoGrade    = say.Define("fit.no_grade", "the table has no {zone} for this size")
	msgGradesAre  = say.Define("fit.grades_are", "{zone} exists for {range}")
	msgZoneFormat = say.Define("fit.zone_format", "write the zone as a letter and a grade, such as H7 or p6")
)

// Limits are the limit deviations of one part from the nominal size.
type Limits struct {
	Nominal      quantity.Length
	Zone         string // H7, p6
	Upper, Lower quantity.Length
	Source       string
}

// Tolerance returns the difference of the two limits.
func (l Limits) Tolerance() quantity.Length { return l.Upper - l.Lower }

// StandardTolerance returns the standard tolerance IT of a grade.
//
//	nominal   m   over 0 up to and including 0.5
//	grade     –   1 … 14
//
// Errors: a size or grade outside the table.
// Source: ISO 286-1:2010, table of standard tolerance grades.
func StandardTolerance(nominal quantity.Length, grade int) (quantity.Length, error) {
	if err := checkSize(nominal); err != nil {
		return 0, err
	}
	if grade < finestGrade || grade > roughGrade {
		return 0, say.Refuse("grade", strconv.Itoa(grade), msgNoZone.With(fmt.Sprintf("IT%d", grade)), zonesAre())
	}
	return quantity.Length(tolerance(nominal, grade) * micrometre), nil
}

// Hole returns the limits of a bore of a zone such as "H7".
//
// A … H: EI = −es of the shaft of the same letter. K, M, N up to IT8 and P … U
// up to IT7: ES = −ei of the shaft + Δ, Δ = IT(n) − IT(n−1), Δ = 0 up to 3 mm.
// Special case of the standard: M6 over 250 up to 315 mm has ES = −9 µm.
//
// Errors: a size, letter or grade outside the table.
// Source: ISO 286-1:2010.
func Hole(nominal quantity.Length, zone string) (Limits, error) {
	letter, grade, err := splitZone(zone, holeLetters)
	if err != nil {
		return Limits{}, err
	}
	if err := checkSize(nominal); err != nil {
		return Limits{}, err
	}
	it := tolerance(nominal, grade)
	shaft := strings.ToLower(letter)
	step := stepOf(nominal, deviationSteps[:])
	limits := func(upper float64) (Limits, error) {
		return Limits{nominal, letter + strconv.Itoa(grade), quantity.Length(upper * micrometre), quantity.Length((upper - it) * micrometre), sourceISO}, nil
	}
	if es, ok := upperDeviation[shaft]; ok {
		return limits(es[step] + it)
	}
	small := nominal <= 3*millimetre
	delta := 0.0
	if !small && grade >= 3 {
		delta = it - tolerance(nominal, grade-1)
	}
	switch letter {
	case "JS":
		return limits(it / 2)
	case "J":
		if grade < 6 || grade > 8 {
			return Limits{}, refuseGrade(letter, zone, "J6, J7 and J8")
		}
		return limits(holeJ[stepOf(nominal, gradeSteps[:])][grade-6])
	case "K", "M", "N":
		ei := lowerDeviation[shaft][step]
		if grade <= 8 {
			if grade < 3 {
				return Limits{}, refuseGrade(letter, zone, "grades from 3")
			}
			if letter == "M" && grade == 6 && nominal > 250*millimetre && nominal <= 315*millimetre {
				return limits(-9)
			}
			return limits(-ei + delta)
		}
		switch {
		case letter == "K" && !small:
			return Limits{}, refuseGrade(letter, zone, "grades up to 8 above 3 mm")
		case letter == "N" && !small:
			return limits(0)
		case letter == "N" && nominal <= 1*millimetre:
			return Limits{}, refuseGrade(letter, zone, "grades up to 8 up to 1 mm")
		}
		return limits(-ei)
	}
	ei := lowerDeviation[shaft][step]
	if ei == none {
		return Limits{}, refuseGrade(letter, zone, "sizes over 24 mm")
	}
	if grade > 7 {
		delta = 0
	} else if grade < 3 {
		return Limits{}, refuseGrade(letter, zone, "grades from 3")
	}
	return limits(-ei + delta)
}

// Shaft returns the limits of a shaft of a zone such as "p6".
//
// c … h: es is the fundamental deviation. k: ei for IT4 … IT7, else 0. m … u:
// ei is the fundamental deviation of all grades. js: ± IT/2.
//
// Errors: a size, letter or grade outside the table.
// Source: ISO 286-1:2010.
func Shaft(nominal quantity.Length, zone string) (Limits, error) {
	letter, grade, err := splitZone(zone, shaftLetters)
	if err != nil {
		return Limits{}, err
	}
	if err := checkSize(nominal); err != nil {
		return Limits{}, err
	}
	it := tolerance(nominal, grade)
	step := stepOf(nominal, deviationSteps[:])
	limits := func(lower float64) (Limits, error) {
		return Limits{nominal, letter + strconv.Itoa(grade), quantity.Length((lower + it) * micrometre), quantity.Length(lower * micrometre), sourceISO}, nil
	}
	if es, ok := upperDeviation[letter]; ok {
		return limits(-es[step] - it)
	}
	switch letter {
	case "js":
		return limits(-it / 2)
	case "j":
		row := shaftJ[stepOf(nominal, gradeSteps[:])]
		switch {
		case grade == 5 || grade == 6:
			return limits(row[0])
		case grade == 7:
			return limits(row[1])
		case grade == 8 && nominal <= 3*millimetre:
			return limits(-6)
		}
		return Limits{}, refuseGrade(letter, zone, "j5, j6 and j7, and j8 up to 3 mm")
	case "k":
		if grade < 4 || grade > 7 {
			return limits(0)
		}
	}
	ei := lowerDeviation[letter][step]
	if ei == none {
		return Limits{}, refuseGrade(letter, zone, "sizes over 24 mm")
	}
	return limits(ei)
}

func tolerance(nominal quantity.Length, grade int) float64 {
	return grades[stepOf(nominal, gradeSteps[:])][grade-1]
}

// stepOf finds the size step: over the step before, up to and including.
func stepOf(nominal quantity.Length, steps []float64) int {
	for i, upper := range steps {
		if float64(nominal) <= upper*millimetre*(1+1e-12) {
			return i
		}
	}
	return len(steps) - 1
}

func checkSize(nominal quantity.Length) error {
	if !(nominal > 0) || float64(nominal) > largestISO*(1+1e-12) || math.IsInf(float64(nominal), 0) {
		return say.Refuse("nominal", nominal.String(), msgSizeRange.With(nominal), msgSizesAre.With())
	}
	return nil
}

// splitZone parts a letter and a grade. Capital letters are holes.
func splitZone(zone string, letters []string) (letter string, grade int, err error) {
	text := strings.TrimSpace(zone)
	end := 0
	for end < len(text) && (text[end] >= 'a' && text[end] <= 'z' || text[end] >= 'A' && text[end] <= 'Z') {
		end++
	}
	letter = text[:end]
	grade, numberErr := strconv.Atoi(strings.TrimSpace(text[end:]))
	if end == 0 || numberErr != nil {
		return "", 0, say.Refuse("zone", zone, msgNoZone.With(text), msgZoneFormat.With())
	}
	if strings.EqualFold(letter, "js") && letter[:1] == strings.ToUpper(letter[:1]) {
		letter = "JS"
	}
	for _, known := range letters {
		if known == letter && grade >= finestGrade && grade <= roughGrade {
			return letter, grade, nil
		}
	}
	return "", 0, say.Refuse("zone", zone, msgNoZone.With(text), zonesAre())
}

func zonesAre() say.Message {
	return msgZonesAre.With(holeLetters, shaftLetters, finestGrade, roughGrade)
}

func refuseGrade(letter, zone, exists string) error {
	return say.Refuse("zone", zone, msgNoGrade.With(zone), msgGradesAre.With(letter, exists))
}
