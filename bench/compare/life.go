package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"

	"pumpwright/calc/life"
)

// compareLife fits a Weibull distribution to invented lives: shape 1.7, scale
// 9000 h, about a third of them still running.
func compareLife(s sizes) (outcome, error) {
	rscript, err := program("Rscript")
	if err != nil {
		return outcome{}, err
	}
	if version(rscript, "-e", `suppressMessages(library(survival)); cat("yes")`) != "yes" {
		return outcome{}, fmt.Errorf("R package survival: %w", errMissing)
	}
	random := rand.New(rand.NewPCG(1, 2))
	rows := make([]life.Observation, s.lives)
	var file bytes.Buffer
	for i := range rows {
		age, failed := 9000*math.Pow(random.ExpFloat64(), 1/1.7), 1.0
		rows[i] = life.Failed(age)
		if end := 25000 * random.Float64(); end < age {
			age, failed = end, 0
			rows[i] = life.Running(end)
		}
		if err := binary.Write(&file, binary.LittleEndian, [2]float64{age, failed}); err != nil {
			return outcome{}, err
		}
	}
	var fitted *life.Fitted
	ours, err := best(s.repeats, func() (err error) { fitted, err = life.Fit(rows, life.Weibull); return err })
	if err != nil {
		return outcome{}, err
	}
	folder, err := os.MkdirTemp("", "compare")
	if err != nil {
		return outcome{}, err
	}
	defer os.RemoveAll(folder)
	data, script := filepath.Join(folder, "rows"), filepath.Join(folder, "life.R")
	text, err := scripts.ReadFile("reference/life.R")
	if err != nil {
		return outcome{}, err
	}
	if err := os.WriteFile(data, file.Bytes(), 0o644); err != nil {
		return outcome{}, err
	}
	if err := os.WriteFile(script, text, 0o644); err != nil {
		return outcome{}, err
	}
	var there struct {
		Version                                string
		Seconds, Shape, Scale, ShapeSE, LogLik float64
	}
	if err := askFile(&there, nil, rscript, script, data, fmt.Sprint(min(s.repeats, 3))); err != nil {
		return outcome{}, err
	}
	return outcome{
		against: there.Version, input: fmt.Sprintf("%d rows, Weibull", s.lives), ours: ours, theirs: there.Seconds,
		values: []value{
			{"shape", fitted.Shape, there.Shape, 1e-5 * there.Shape, "both iterate to their own tolerance"},
			{"scale, h", fitted.Scale, there.Scale, 1e-5 * there.Scale, "both iterate to their own tolerance"},
			{"standard error of the shape", fitted.ShapeSE, there.ShapeSE, 1e-3 * there.ShapeSE, "second derivatives"},
			{"log-likelihood", fitted.LogLikelihood, there.LogLik, 1e-8 * math.Abs(there.LogLik), "sum of so many rows"},
		},
		remark: "Fit with standard errors, without reading the rows.",
	}, nil
}
