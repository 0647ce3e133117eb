package main

import (
	"fmt"

	"pumpwright/calc/bushing"
)

// compareFilm solves one bearing, eccentricity 0.6, as long as it is wide.
func compareFilm(s sizes) (outcome, error) {
	interpreter, err := python("numpy", "scipy")
	if err != nil {
		return outcome{}, err
	}
	const eccentricity, lengthRatio = 0.6, 1.0
	grid := bushing.Grid{Around: s.around, Along: s.along}
	var film bushing.Film
	ours, err := best(s.repeats, func() (err error) { film, err = bushing.SolveFilm(eccentricity, lengthRatio, grid); return err })
	if err != nil {
		return outcome{}, err
	}
	var there struct {
		Version                                 string
		Seconds, Sommerfeld, Attitude, Friction float64
	}
	input := map[string]any{"eccentricity": eccentricity, "ratio": lengthRatio, "around": s.around, "along": s.along, "repeats": s.repeats}
	if err := ask(interpreter, "film.py", input, &there); err != nil {
		return outcome{}, err
	}
	const why = "1 %: even steps there, denser ones at the narrowest gap here"
	return outcome{
		against: there.Version, input: fmt.Sprintf("%d × %d steps", s.around, s.along), ours: ours, theirs: there.Seconds,
		values: []value{
			{"Sommerfeld number", film.Sommerfeld, there.Sommerfeld, 0.01 * there.Sommerfeld, why},
			{"attitude, rad", float64(film.Attitude), there.Attitude, 0.01 * there.Attitude, why},
			{"friction variable", film.FrictionVariable, there.Friction, 0.01 * there.Friction, why},
		},
	}, nil
}
