package bushing

import (
	"math"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNoFilm          = say.Define("bushing.no_film", "the load is too great for a film: the journal would run at an eccentricity ratio beyond {limit:number}")
	msgSommerfeldRange = say.Define("bushing.sommerfeld_range", "the Sommerfeld number must be a finite number above zero")
	msgCarryFilm       = say.Define("bushing.carry_film", "more speed, a thicker liquid, a closer clearance, a longer bushing or less load would carry it")
)

// NoFilmEccentricity is the largest eccentricity ratio of the table. Beyond
// it the film is thinner than any real surface is smooth and round.
const NoFilmEccentricity = 0.99

// leastTableRatio is the shortest bearing of the table, l/d.
const leastTableRatio = 0.1

// The quantities of the table are interpolated in a form that varies slowly:
// ln[S ε/(1−ε)], the attitude, (r/c)f √(1−ε²) over its concentric value 2π²S,
// and the flow, side flow and pressure ratios as they are.
const tableFields = 6

var shaped = shapeTable()

// shapeTable is filled once when the program starts (a few thousand numbers).
func shapeTable() (t [len(tableSlenderness)][len(tableEccentricity)][tableFields]float64) {
	for i := range tableFilm {
		for j, eps := range tableEccentricity {
			row := tableFilm[i][j]
			row[2] *= math.Sqrt(1-eps*eps) / (2 * math.Pi * math.Pi * row[0])
			row[0] = math.Log(row[0] * eps / (1 - eps))
			t[i][j] = row
		}
	}
	return t
}

var slendernessAxis = func() (axis [len(tableSlenderness)]float64) {
	for i, s := range tableSlenderness {
		axis[i] = math.Log1p(s)
	}
	return axis
}()

// stencil holds the weights of four neighbouring nodes (Lagrange, cubic).
type stencil struct {
	first  int
	weight [4]float64
}

// stencilAt places x among rising nodes; outside them it takes the end.
func stencilAt(nodes []float64, x float64) stencil {
	x = min(max(x, nodes[0]), nodes[len(nodes)-1])
	at := sort.SearchFloat64s(nodes, x)
	s := stencil{first: min(max(at-2, 0), len(nodes)-4)}
	near := nodes[s.first : s.first+4]
	for i := range near {
		w := 1.0
		for j := range near {
			if i != j {
				w *= (x - near[j]) / (near[i] - near[j])
			}
		}
		s.weight[i] = w
	}
	return s
}

// column interpolates one field of every row ε to the slenderness of s.
func column(s stencil, field int) (c [len(tableEccentricity)]float64) {
	for j := range c {
		for k, w := range s.weight {
			c[j] += w * shaped[s.first+k][j][field]
		}
	}
	return c
}

func (s stencil) of(values []float64) float64 {
	v := values[s.first : s.first+4]
	return s.weight[0]*v[0] + s.weight[1]*v[1] + s.weight[2]*v[2] + s.weight[3]*v[3]
}

// FilmAt reads the film of an eccentricity and a length ratio from the table
// of solved films. Below the first row (ε = 0.01) the limit of small
// eccentricity is used: S ε constant.
//
//	ε    eccentricity ratio     –   above 0, up to 0.99
//	l/d  length over diameter   –   ≥ 0.1, +Inf allowed
//
// Errors: *say.Problem naming eccentricity or length_ratio.
// Source: SolveFilm on a mesh of 480 x 48; between its points cubic, within
// 0.2 % of the solver, 3.5 % where l/d > 4 (TestTableBetweenNodes).
func FilmAt(eccentricity, lengthRatio float64) (Film, error) {
	if !(eccentricity > 0 && eccentricity <= NoFilmEccentricity) {
		return Film{}, say.Refuse("eccentricity", number(eccentricity), msgEccentricityRange.With(0.0, NoFilmEccentricity), say.Message{})
	}
	if !(lengthRatio >= leastTableRatio) {
		return Film{}, say.Refuse("length_ratio", number(lengthRatio), msgLengthRatioRange.With(leastTableRatio), say.Message{})
	}
	return filmAt(eccentricity, lengthRatio, stencilAt(slendernessAxis[:], math.Log1p(1/lengthRatio))), nil
}

func filmAt(eps, ratio float64, slender stencil) Film {
	at := stencilAt(tableEccentricity[:], eps)
	var v [tableFields]float64
	for a, wa := range slender.weight {
		for b, wb := range at.weight {
			w := wa * wb
			row := &shaped[slender.first+a][at.first+b]
			for f := range v {
				v[f] += w * row[f]
			}
		}
	}
	s := math.Exp(v[0]) * (1 - eps) / eps
	return Film{
		Eccentricity: eps, LengthRatio: ratio, Sommerfeld: s,
		Attitude:         quantity.Angle(v[1]),
		FrictionVariable: v[2] * 2 * math.Pi * math.Pi * s / math.Sqrt(1-eps*eps),
		FlowVariable:     v[3], SideFlowRatio: max(0, v[4]), PressureRatio: v[5],
	}
}

// FilmFor finds the film that carries a load: the eccentricity whose
// Sommerfeld number is the given one.
//
//	S    (r/c)² µN/P            –   > 0
//	l/d  length over diameter   –   ≥ 0.1, +Inf allowed
//
// S falls as the eccentricity rises, so the answer is single; it is found by
// false position between two rows of the table.
// Errors: *say.Problem naming sommerfeld (also when the load is too great for
// a film, see IsNoFilm) or length_ratio.
func FilmFor(sommerfeld, lengthRatio float64) (Film, error) {
	if !(sommerfeld > 0) || math.IsInf(sommerfeld, 1) {
		return Film{}, say.Refuse("sommerfeld", number(sommerfeld), msgSommerfeldRange.With(), say.Message{})
	}
	if !(lengthRatio >= leastTableRatio) {
		return Film{}, say.Refuse("length_ratio", number(lengthRatio), msgLengthRatioRange.With(leastTableRatio), say.Message{})
	}
	slender := stencilAt(slendernessAxis[:], math.Log1p(1/lengthRatio))
	shape := column(slender, 0)
	eps, ok := eccentricityOf(math.Log(sommerfeld), &shape)
	if !ok {
		return Film{}, say.Refuse("sommerfeld", number(sommerfeld), msgNoFilm.With(NoFilmEccentricity), msgCarryFilm.With())
	}
	return filmAt(eps, lengthRatio, slender), nil
}

// eccentricityOf finds where a column of ln[S ε/(1−ε)] has a ln S; false when
// that lies beyond the table.
func eccentricityOf(logSommerfeld float64, shape *[len(tableEccentricity)]float64) (float64, bool) {
	logit := func(eps float64) float64 { return math.Log((1 - eps) / eps) }
	last := len(tableEccentricity) - 1
	if shape[last]+logit(tableEccentricity[last]) > logSommerfeld {
		return 0, false
	}
	// The first node whose S is at or below the wanted one ends the interval.
	at := sort.Search(last, func(j int) bool { return shape[j]+logit(tableEccentricity[j]) <= logSommerfeld })
	if at == 0 { // S ε/(1−ε) keeps its value below the first node
		k := math.Exp(shape[0] - logSommerfeld)
		return k / (1 + k), true
	}
	low, high := tableEccentricity[at-1], tableEccentricity[at]
	over, under := shape[at-1]+logit(low)-logSommerfeld, shape[at]+logit(high)-logSommerfeld
	// False position; an end that stays twice counts half, so that both close in.
	for side, round := 0, 0; round < 60 && high-low > 1e-12*high && under != 0; round++ {
		mid := (low*under - high*over) / (under - over)
		value := stencilAt(tableEccentricity[:], mid).of(shape[:]) + logit(mid) - logSommerfeld
		switch {
		case value > 0:
			if math.Abs(mid-low) < 1e-13*high {
				return mid, true
			}
			low, over = mid, value
			if side == 1 {
				under /= 2
			}
			side = 1
		default:
			if math.Abs(mid-high) < 1e-13*high {
				return mid, true
			}
			high, under = mid, value
			if side == -1 {
				over /= 2
			}
			side = -1
		}
	}
	return high, true
}

// IsNoFilm reports whether an error of FilmFor means that the load is too
// great for a film, rather than a bad input.
func IsNoFilm(err error) bool {
	p := say.AsProblem(err)
	return p != nil && p.Message.ID() == msgNoFilm.ID()
}
