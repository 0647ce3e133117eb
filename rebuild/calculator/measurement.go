package calculator

import (
	"math"
	"strconv"
	"strings"

	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

// measurementCalculators are those of readings and decisions.
func measurementCalculators() []Calculator {
	return []Calculator{budgetCalculator(), decideCalculator(), gaugeStudyCalculator()}
}

var (
	msgOneOfTwo       = say.Define("calculator.one_of_two", "give either {first} or {second}")
	msgOneIsEnough    = say.Define("calculator.one_is_enough", "{first} for a standard uncertainty, {second} with a shape for limits")
	msgSensitivity    = say.Define("calculator.sensitivity", "the sensitivity cannot be read")
	msgWriteSensitive = say.Define("calculator.write_sensitivity", "write a plain number, or units of the result per unit of this part, for example 0.575 µm/K")
	msgMixedResults   = say.Define("calculator.mixed_results", "this part changes {found}, the parts before it change {wanted}")
	msgSameResult     = say.Define("calculator.same_result", "all parts must lead to one result; give a sensitivity where the unit differs")
)

type budgetIn struct {
	Parts      []budgetPartIn `json:"parts" help:"what the result is uncertain by"`
	Confidence float64        `json:"confidence" default:"0.95" help:"two-sided coverage of the expanded uncertainty"`
}

type budgetPartIn struct {
	Name        string   `json:"name" help:"what it comes from"`
	U           *Any     `json:"u" help:"standard uncertainty of this part"`
	HalfWidth   *Any     `json:"half_width" help:"or half the width between its limits"`
	Shape       string   `json:"shape" default:"rectangular" oneof:"rectangular|triangular|arcsine|normal" help:"shape between the limits; normal: an expanded uncertainty with k = 2"`
	Sensitivity string   `json:"sensitivity" default:"1" help:"change of the result per change of this part: a plain number, or with units like 0.575 µm/K"`
	DOF         *float64 `json:"dof" help:"degrees of freedom (readings less one); missing: well known"`
}

type budgetOut struct {
	U             AnyResult         `json:"u" help:"combined standard uncertainty"`
	DOF           *float64          `json:"dof" help:"effective degrees of freedom, not cut down; absent when every part is well known"`
	DOFUsed       *float64          `json:"dof_used" help:"the same cut down to a whole number, as used for k"`
	K             float64           `json:"k" help:"coverage factor"`
	Expanded      AnyResult         `json:"expanded" help:"expanded uncertainty, k times u"`
	Contributions []contributionOut `json:"contributions" help:"each part with its share"`
}

type contributionOut struct {
	Name  string    `json:"name" help:"name of the part"`
	U     AnyResult `json:"u" help:"what it adds, in units of the result"`
	Share float64   `json:"share" help:"share of the variance; all add to 1"`
}

func budgetCalculator() Calculator {
	return Define("budget", "How uncertain is this reading, all together?", `parts:
  - {name: calibration, u: 0.001 mm}
  - {name: step of the display, half_width: 0.005 mm}
  - {name: mean of three repeats, u: 0.0023 mm, dof: 2}
  - {name: temperature, half_width: 2 K, sensitivity: 0.575 µm/K}
`, runBudget)
}

func runBudget(_ *Env, in budgetIn) (budgetOut, Notes, error) {
	var b metrology.Budget
	for i, p := range in.Parts {
		part, dimension, err := p.read()
		if err == nil && i > 0 && dimension != b.Dimension {
			err = say.Refuse("", "", msgMixedResults.With(dimension.String(), b.Dimension.String()), msgSameResult.With())
		}
		if err != nil {
			return budgetOut{}, Notes{}, say.In("parts["+strconv.Itoa(i)+"]", err)
		}
		b.Dimension = dimension
		b.Parts = append(b.Parts, part)
	}
	c, err := b.Combine(in.Confidence)
	if err != nil {
		return budgetOut{}, Notes{}, err
	}
	out := budgetOut{
		U:        AnyResult{Dimension: b.Dimension, SI: c.U},
		K:        c.K,
		Expanded: AnyResult{Dimension: b.Dimension, SI: c.Expanded},
	}
	if !math.IsInf(c.DOF, 1) {
		out.DOF = &c.DOF
	}
	if !math.IsInf(c.DOFUsed, 1) {
		out.DOFUsed = &c.DOFUsed
	}
	for i, p := range b.Parts {
		out.Contributions = append(out.Contributions, contributionOut{p.Name, AnyResult{Dimension: b.Dimension, SI: c.Contributions[i]}, c.Shares[i]})
	}
	return out, Notes{Warnings: c.Warnings, Working: c.Working()}, nil
}

// read makes a part of a budget and says which dimension of the result it
// changes.
func (p budgetPartIn) read() (metrology.Part, quantity.Dimension, error) {
	if (p.U == nil) == (p.HalfWidth == nil) {
		return metrology.Part{}, 0, say.Refuse("u", "", msgOneOfTwo.With("u", "half_width"), msgOneIsEnough.With("u", "half_width"))
	}
	part := metrology.Part{Name: p.Name}
	field, given := "u", p.U
	if given == nil {
		field, given = "half_width", p.HalfWidth
	}
	e, err := readDifference(*given)
	if err != nil {
		return metrology.Part{}, 0, say.In(field, err)
	}
	part.U = e.SI
	if p.HalfWidth != nil {
		if part.U, err = metrology.OfHalfWidth(e.SI, metrology.Shape(p.Shape)); err != nil {
			return metrology.Part{}, 0, err
		}
	}
	if p.DOF != nil {
		if !(*p.DOF >= 1) {
			return metrology.Part{}, 0, say.Refuse("dof", strconv.FormatFloat(*p.DOF, 'g', -1, 64), msgDOFOne.With(), msgDOFWrite.With())
		}
		part.DOF = *p.DOF
	}
	dimension := e.Dimension
	part.Sensitivity, dimension, err = readSensitivity(p.Sensitivity, e.Dimension)
	if err != nil {
		return metrology.Part{}, 0, say.In("sensitivity", err)
	}
	return part, dimension, nil
}

var (
	msgDOFOne   = say.Define("calculator.dof_one", "degrees of freedom must be 1 or more")
	msgDOFWrite = say.Define("calculator.dof_write", "write the number of readings less one, or leave it out")
)

// readDifference reads a difference of whatever dimension its unit has: 2 °C
// is a difference of two kelvin here.
func readDifference(a Any) (quantity.Entered, error) {
	e, err := a.Read()
	if err != nil {
		return quantity.Entered{}, err
	}
	if d := fields.Difference(e.Dimension); d != e.Dimension {
		return a.As(d)
	}
	return e, nil
}

// readSensitivity reads a plain number, or a number with units of the result
// per unit of the part. Units have slashes of their own (L/min), so every
// slash is tried as the one that parts the two.
func readSensitivity(text string, of quantity.Dimension) (float64, quantity.Dimension, error) {
	if v, err := quantity.ReadNumber(text); err == nil {
		return v, of, nil
	}
	if of != quantity.NoDimension {
		for i, r := range text {
			if r != '/' {
				continue
			}
			below, err := quantity.Parse(of, "1 "+strings.Trim(text[i+1:], " ()"))
			if err != nil || below.SI == 0 {
				continue
			}
			above, err := readDifference(Any{Text: text[:i]})
			if err == nil {
				return above.SI / below.SI, above.Dimension, nil
			}
		}
		if v, d, ok := sensitivityTimes(text, of); ok {
			return v, d, nil
		}
	} else if e, err := readDifference(Any{Text: text}); err == nil { // a length per plain number
		return e.SI, e.Dimension, nil
	}
	return 0, 0, say.Refuse("", text, msgSensitivity.With(), msgWriteSensitive.With())
}

// sensitivityTimes reads a sensitivity to something that is counted per unit:
// 575 mm·K for an expansion in 1/K.
func sensitivityTimes(text string, of quantity.Dimension) (float64, quantity.Dimension, bool) {
	for i, r := range text {
		if !strings.ContainsRune("·*× ", r) || i == 0 {
			continue
		}
		unit := strings.Trim(text[i:], " ·*×()")
		per, err := quantity.Parse(of, "1 1/"+unit)
		if err != nil || per.SI == 0 {
			continue
		}
		if above, err := readDifference(Any{Text: text[:i]}); err == nil {
			return above.SI / per.SI, above.Dimension, true
		}
	}
	return 0, 0, false
}

type decideIn struct {
	Measured   Any     `json:"measured" help:"what was read: a quantity with its unit or a plain number"`
	U          Any     `json:"u" help:"its standard uncertainty"`
	Float      *Any    `json:"float" help:"bearing float inside a dial reading; it is taken off before anything else"`
	Lower      *Any    `json:"lower" help:"lower limit"`
	Upper      *Any    `json:"upper" help:"upper limit"`
	Confidence float64 `json:"confidence" default:"0.95" help:"chance of being right that is wanted before a part is reused or replaced"`
}

type decideOut struct {
	Decision        string        `json:"decision" help:"reuse, replace, measure again, or a better instrument"`
	Probability     float64       `json:"probability_conforming" help:"chance that the true value meets the limits"`
	AcceptanceLower *AnyResult    `json:"acceptance_lower" help:"least reading with which the part may be reused; absent when there is none"`
	AcceptanceUpper *AnyResult    `json:"acceptance_upper" help:"greatest reading with which the part may be reused; absent when there is none"`
	SettlingU       *AnyResult    `json:"settling_u" help:"standard uncertainty that would settle it for a reading like this one; absent when it is settled, or when none would"`
	Reasons         []say.Message `json:"reasons" help:"why it is not settled"`
}

var msgDecideCaution = say.Define("calculator.decide_caution", "the chance covers this reading only: cracks, wear elsewhere and the maker's manual are judged by the people licensed to decide")

func decideCalculator() Calculator {
	return Define("decide", "Does this reading let the part be reused, or not?", `measured: 50.018 mm
u: 0.004 mm
lower: 50.000 mm
upper: 50.020 mm
`, runDecide)
}

func runDecide(_ *Env, in decideIn) (decideOut, Notes, error) {
	dimension, err := in.dimension()
	if err != nil {
		return decideOut{}, Notes{}, err
	}
	c, err := in.as(dimension)
	if err != nil {
		return decideOut{}, Notes{}, err
	}
	d, err := metrology.Decide(c)
	if err != nil {
		return decideOut{}, Notes{}, err
	}
	out := decideOut{
		Decision: string(d.Verdict), Probability: d.Probability, Reasons: d.Reasons,
		AcceptanceLower: optionalResult(d.AcceptanceLower, c.Dimension),
		AcceptanceUpper: optionalResult(d.AcceptanceUpper, c.Dimension),
		SettlingU:       optionalResult(d.SettlingU, fields.Difference(c.Dimension)),
	}
	return out, Notes{Cautions: []say.Message{msgDecideCaution.With()}, Working: d.Working()}, nil
}

// dimension finds the dimension in which the reading and its limits meet: that
// of the first one with a unit, or another one that all of them have (12 lb and
// 5 kg meet as masses).
func (in decideIn) dimension() (quantity.Dimension, error) {
	given := []struct {
		field string
		value *Any
	}{{"measured", &in.Measured}, {"lower", in.Lower}, {"upper", in.Upper}}
	for _, g := range given {
		if g.value == nil || g.value.IsPlain() {
			continue
		}
		e, err := g.value.Read()
		if err != nil {
			return 0, say.In(g.field, err)
		}
		if _, err := in.as(e.Dimension); err == nil {
			return e.Dimension, nil
		}
		for _, d := range quantity.Dimensions() {
			if _, err := in.as(d); err == nil {
				return d, nil
			}
		}
		return e.Dimension, nil // as says what does not fit
	}
	return quantity.NoDimension, nil
}

// as reads everything in one dimension; bearing float is taken off first.
func (in decideIn) as(d quantity.Dimension) (metrology.Case, error) {
	c := metrology.Case{Dimension: d, Confidence: in.Confidence}
	measured, err := in.Measured.As(d)
	if err != nil {
		return c, say.In("measured", err)
	}
	u, err := in.U.As(fields.Difference(d))
	if err != nil {
		return c, say.In("u", err)
	}
	c.Measured, c.U = measured.SI, u.SI
	if in.Float != nil {
		float, err := in.Float.As(fields.Difference(d))
		if err != nil {
			return c, say.In("float", err)
		}
		c.Measured -= float.SI
	}
	if c.Lower, err = optionalLimit(in.Lower, d); err != nil {
		return c, say.In("lower", err)
	}
	if c.Upper, err = optionalLimit(in.Upper, d); err != nil {
		return c, say.In("upper", err)
	}
	return c, nil
}

func optionalLimit(a *Any, d quantity.Dimension) (*float64, error) {
	if a == nil {
		return nil, nil
	}
	e, err := a.As(d)
	if err != nil {
		return nil, err
	}
	return &e.SI, nil
}

func optionalResult(v *float64, d quantity.Dimension) *AnyResult {
	if v == nil {
		return nil
	}
	return &AnyResult{Dimension: d, SI: *v}
}
