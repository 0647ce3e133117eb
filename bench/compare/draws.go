package main

import (
	"fmt"
	"math"

	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
)

// compareDraws draws from the cold end clearance of an invented pump: three
// depths, one of them known by limits only, and the gaskets.
func compareDraws(s sizes) (outcome, error) {
	interpreter, err := python("numpy")
	if err != nil {
		return outcome{}, err
	}
	c := chain.Chain{Dimension: quantity.LengthDimension, Links: []chain.Link{
		{Name: "casing depth", Value: 86.02e-3, U: 6e-6, Sensitivity: 1},
		{Name: "rotor height", Value: 80.44e-3, U: 5e-6, Sensitivity: -1},
		{Name: "boss", Low: 6.01e-3, High: 6.03e-3, Shape: chain.Rectangular, Sensitivity: -1},
		{Name: "gaskets", Value: 0.57e-3, U: 10e-6, Sensitivity: 1},
	}}
	var drawn *chain.Sampled
	ours, err := best(s.repeats, func() (err error) { drawn, err = c.Sample(s.draws, 1); return err })
	if err != nil {
		return outcome{}, err
	}
	var there struct {
		Version                     string
		Seconds, Mean, U, Low, High float64
	}
	if err := ask(interpreter, "draws.py", map[string]any{"links": c.Links, "draws": s.draws, "repeats": s.repeats}, &there); err != nil {
		return outcome{}, err
	}
	exact, err := c.Solve()
	if err != nil {
		return outcome{}, err
	}
	// Standard errors of mean, spread and a 2.5 % quantile of n normal draws,
	// times five for both sides together.
	n := float64(s.draws)
	noise := func(factor float64) float64 { return 5 * math.Sqrt2 * factor * exact.U / math.Sqrt(n) }
	const why = "five standard errors of the draws"
	return outcome{
		against: there.Version, input: fmt.Sprintf("4 links, %d draws", s.draws), ours: ours, theirs: there.Seconds,
		values: []value{
			{"mean, m", drawn.Mean, there.Mean, noise(1), why},
			{"standard uncertainty, m", drawn.U, there.U, noise(1 / math.Sqrt2), why},
			{"2.5 % of the draws below, m", drawn.Low, there.Low, noise(2.7), why},
			{"2.5 % of the draws above, m", drawn.High, there.High, noise(2.7), why},
			{"standard uncertainty without drawing, m", exact.U, there.U, noise(1 / math.Sqrt2), why},
		},
	}, nil
}
