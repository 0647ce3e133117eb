package calculator

import (
	"math"
	"strings"

	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

var (
	msgDifferentStudy = say.Define("calculator.study_different", "the two methods can disagree on the number of categories: name the method with the verdict")
)

type gaugeStudyIn struct {
	File      string     `json:"file" optional:"yes" help:"CSV file with the columns part, operator (or appraiser), trial and value"`
	Rows      []studyRow `json:"rows" optional:"yes" help:"the readings, when they do not come from a file"`
	Unit      string     `json:"unit" optional:"yes" help:"unit of the values (plain numbers when missing)"`
	Tolerance *Any       `json:"tolerance" help:"width between the limits, in the unit of the values or with its own"`
	Method    string     `json:"method" default:"anova" oneof:"anova|range" help:"analysis of variance, or averages and ranges"`
}

type studyRow struct {
	Part     string  `json:"part" help:"which part was read"`
	Operator string  `json:"operator" help:"who read it"`
	Trial    string  `json:"trial" optional:"yes" help:"which time"`
	Value    float64 `json:"value" help:"what was read"`
}

type gaugeStudyOut struct {
	Method          string      `json:"method" help:"the method used; the two can give different verdicts on the same readings"`
	ANOVA           []anovaLine `json:"anova" optional:"yes" help:"table of the analysis of variance"`
	Pooled          *bool       `json:"pooled" help:"the interaction of part and person is pooled into the repeatability"`
	Repeatability   AnyResult   `json:"repeatability" help:"standard deviation of one person reading one part"`
	Reproducibility AnyResult   `json:"reproducibility" help:"standard deviation between people, with the interaction where it is kept"`
	GRR             AnyResult   `json:"grr" help:"both together"`
	PartVariation   AnyResult   `json:"part_variation" help:"standard deviation between the parts"`
	TotalVariation  AnyResult   `json:"total_variation" help:"all together"`
	Percent         float64     `json:"percent" help:"grr in percent of all variation"`
	PercentOfLimits *float64    `json:"percent_of_tolerance" help:"six times grr in percent of the tolerance"`
	Categories      int         `json:"categories" help:"groups of parts that can be told apart, cut down to a whole number"`
	CategoriesExact float64     `json:"categories_exact" help:"the same before it is cut down"`
}

type anovaLine struct {
	Source string   `json:"source" help:"part, operator, interaction, repeatability or total"`
	DOF    float64  `json:"dof" help:"degrees of freedom"`
	SS     float64  `json:"ss" help:"sum of squares (SI unit of the values, squared)"`
	MS     float64  `json:"ms" help:"mean square"`
	F      *float64 `json:"f" help:"ratio of mean squares"`
	P      *float64 `json:"p" help:"chance of such a ratio by accident"`
}

func gaugeStudyCalculator() Calculator {
	return Define("gauge-study", "How much of what we read comes from the gauge and the people?", `method: anova
unit: mm
tolerance: 0.2 mm
rows: # invented
  - {part: "1", operator: Ann, trial: "1", value: 40.012}
  - {part: "1", operator: Ann, trial: "2", value: 40.014}
  - {part: "2", operator: Ann, trial: "1", value: 40.051}
  - {part: "2", operator: Ann, trial: "2", value: 40.049}
  - {part: "3", operator: Ann, trial: "1", value: 40.082}
  - {part: "3", operator: Ann, trial: "2", value: 40.085}
  - {part: "1", operator: Ben, trial: "1", value: 40.015}
  - {part: "1", operator: Ben, trial: "2", value: 40.018}
  - {part: "2", operator: Ben, trial: "1", value: 40.053}
  - {part: "2", operator: Ben, trial: "2", value: 40.055}
  - {part: "3", operator: Ben, trial: "1", value: 40.089}
  - {part: "3", operator: Ben, trial: "2", value: 40.086}
`, runGaugeStudy)
}

func runGaugeStudy(env *Env, in gaugeStudyIn) (gaugeStudyOut, Notes, error) {
	study, err := in.study(env)
	if err != nil {
		return gaugeStudyOut{}, Notes{}, err
	}
	r, err := study.By(in.Method)
	if err != nil {
		return gaugeStudyOut{}, Notes{}, fromFile(in.File, err)
	}
	result := func(v float64) AnyResult { return AnyResult{Dimension: study.Dimension, SI: v} }
	out := gaugeStudyOut{
		Method: r.Method, Repeatability: result(r.Repeatability), Reproducibility: result(r.Reproducibility),
		GRR: result(r.GRR), PartVariation: result(r.PartSD), TotalVariation: result(r.Total),
		Percent: r.Percent, PercentOfLimits: r.PercentOfLimits,
		Categories: int(math.Min(r.Categories, 1e6)), CategoriesExact: r.Categories,
	}
	if r.Method == "anova" {
		out.Pooled = &r.Pooled
	}
	for _, row := range r.ANOVA {
		out.ANOVA = append(out.ANOVA, anovaLine(row))
	}
	return out, Notes{Warnings: append(r.Notes, msgDifferentStudy.With()), Working: r.Working()}, nil
}

// study reads the rows or the file and brings the values into the SI unit.
func (in gaugeStudyIn) study(env *Env) (metrology.Study, error) {
	rows := in.Rows
	if (in.File == "") == (len(rows) == 0) {
		return metrology.Study{}, say.Refuse("file", in.File, msgOneOfTwo.With("file", "rows"), msgGiveRows.With("rows"))
	}
	if in.File != "" {
		var err error
		if rows, err = readStudyFile(env, in.File); err != nil {
			return metrology.Study{}, say.In("file", err)
		}
	}
	dimension, scale, err := studyUnit(in.Unit)
	if err != nil {
		return metrology.Study{}, say.In("unit", err)
	}
	study := metrology.Study{Dimension: dimension}
	for _, r := range rows {
		study.Observations = append(study.Observations, metrology.Observation{Part: r.Part, Operator: r.Operator, Value: r.Value * scale})
	}
	if in.Tolerance == nil {
		return study, nil
	}
	if in.Tolerance.IsPlain() {
		study.Tolerance = in.Tolerance.Number() * scale
	} else {
		e, err := in.Tolerance.As(dimension)
		if err != nil {
			return metrology.Study{}, say.In("tolerance", err)
		}
		study.Tolerance = e.SI
	}
	if !(study.Tolerance > 0) {
		return metrology.Study{}, say.Refuse("tolerance", in.Tolerance.Text, msgMustBePositive.With(), msgPositiveWanted.With())
	}
	return study, nil
}

// studyUnit returns the dimension and the SI worth of a unit. The study looks
// at differences only, so that the zero of a scale does not matter.
func studyUnit(name string) (quantity.Dimension, float64, error) {
	if strings.TrimSpace(name) == "" {
		return quantity.NoDimension, 1, nil
	}
	e, err := readDifference(Any{Text: "1 " + name})
	if err != nil {
		return 0, 0, err
	}
	return fields.Difference(e.Dimension), e.SI, nil
}

// readStudyFile reads a CSV file with the readings of a study.
func readStudyFile(env *Env, name string) ([]studyRow, error) {
	table, err := readCSV(env, name, []csvColumn{{name: "part"}, {name: "operator", aliases: []string{"appraiser"}}, {name: "trial", mayLack: true}, {name: "value"}})
	if err != nil {
		return nil, err
	}
	rows := make([]studyRow, len(table.lines))
	for i := range rows {
		v, err := table.number(i, "value", msgWriteNumbers.With())
		if err != nil {
			return nil, err
		}
		rows[i] = studyRow{Part: table.text(i, "part"), Operator: table.text(i, "operator"), Trial: table.text(i, "trial"), Value: v}
	}
	return rows, nil
}
