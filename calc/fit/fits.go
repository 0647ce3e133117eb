package fit

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// Kind tells a clearance fit from a transition and an interference fit.
type Kind string

// Show prints the word in the language of a style.
func (v Kind) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Kind) Message() say.Message { return say.Word("fit", string(v)) }

// The kinds of fits of ISO 286-1:2010.
const (
	ClearanceFit    Kind = "clearance"
	TransitionFit   Kind = "transition"
	InterferenceFit Kind = "interference"
)

// Fit is a bore and a shaft of one nominal size. Clearances are negative for
// an interference.
type Fit struct {
	Nominal                    quantity.Length
	Hole, Shaft                Limits
	ClearanceMax, ClearanceMin quantity.Length
	Kind                       Kind
	Class                      string
}

// Combine makes a fit of two parts.
//
//	C_max = ES − ei,  C_min = EI − es
//
// Source: ISO 286-1:2010.
func Combine(hole, shaft Limits) Fit {
	f := Fit{
		Nominal: hole.Nominal, Hole: hole, Shaft: shaft,
		ClearanceMax: hole.Upper + hole.Nominal - shaft.Lower - shaft.Nominal,
		ClearanceMin: hole.Lower + hole.Nominal - shaft.Upper - shaft.Nominal,
		Class:        hole.Zone + "/" + shaft.Zone,
	}
	if hole.Nominal == shaft.Nominal {
		f.ClearanceMax, f.ClearanceMin = hole.Upper-shaft.Lower, hole.Lower-shaft.Upper
	}
	const touch = 1e-12 // m; limits are whole tenths of a micrometre
	switch {
	case float64(f.ClearanceMin) >= -touch:
		f.Kind = ClearanceFit
	case float64(f.ClearanceMax) <= touch:
		f.Kind = InterferenceFit
	default:
		f.Kind = TransitionFit
	}
	return f
}

var (
	msgFitFormat = say.Define("fit.fit_format", "write a fit like “50 H7/s6” (mm unless a unit is written) or, of inch classes, “2 in FN2”")
	msgNotAFit   = say.Define("fit.not_a_fit", "“{text}” is no fit")
	msgNotOne    = say.Define("fit.not_one", "“{text}” is no size with one tolerance zone")
	msgOneFormat = say.Define("fit.one_format", "write it like “25 p6” or “1 in H7” (mm unless a unit is written)")
	msgNoClass   = say.Define("fit.no_class", "there is no published table of class {class} here")
	msgClasses   = say.Define("fit.classes", "the classes are {names}")
	msgNoInch    = say.Define("fit.no_inch", "class {class} is not at hand for {size:length}")
	msgInchSizes = say.Define("fit.inch_sizes", "at hand are sizes over {ranges}")
)

var (
	zonePattern  = regexp.MustCompile(`^(.*?)\s*([A-Za-z]{1,2}\s?\d{1,2})\s*[/\-–\s]\s*([A-Za-z]{1,2}\s?\d{1,2})$`)
	onePattern   = regexp.MustCompile(`^(.*?)\s*([A-Za-z]{1,2}\s?\d{1,2})$`)
	classPattern = regexp.MustCompile(`^(.*?)\s*((?i:RC|LC|LT|LN|FN)\s?\d)$`)
)

// Parse reads a fit as the trade writes it: "50 H7/s6", "Ø 50 mm H7-s6",
// "2 in FN2". A size without a unit is in millimetres.
func Parse(text string) (Fit, error) {
	clean := strings.TrimSpace(text)
	if m := classPattern.FindStringSubmatch(clean); m != nil {
		nominal, err := readSize(m[1])
		if err != nil {
			return Fit{}, say.Refuse("", text, msgNotAFit.With(clean), msgFitFormat.With())
		}
		return InchClass(nominal, strings.ToUpper(strings.ReplaceAll(m[2], " ", "")))
	}
	m := zonePattern.FindStringSubmatch(clean)
	if m == nil {
		return Fit{}, say.Refuse("", text, msgNotAFit.With(clean), msgFitFormat.With())
	}
	nominal, err := readSize(m[1])
	if err != nil {
		return Fit{}, say.Refuse("", text, msgNotAFit.With(clean), msgFitFormat.With())
	}
	hole, err := Hole(nominal, m[2])
	if err != nil {
		return Fit{}, unnamed(err, text)
	}
	shaft, err := Shaft(nominal, m[3])
	if err != nil {
		return Fit{}, unnamed(err, text)
	}
	return Combine(hole, shaft), nil
}

// ParseHole reads a bore such as "25 K7".
func ParseHole(text string) (Limits, error) { return parseOne(text, Hole) }

// ParseShaft reads a shaft such as "25p6".
func ParseShaft(text string) (Limits, error) { return parseOne(text, Shaft) }

func parseOne(text string, limits func(quantity.Length, string) (Limits, error)) (Limits, error) {
	clean := strings.TrimSpace(text)
	m := onePattern.FindStringSubmatch(clean)
	if m == nil {
		return Limits{}, say.Refuse("", text, msgNotOne.With(clean), msgOneFormat.With())
	}
	nominal, err := readSize(m[1])
	if err != nil {
		return Limits{}, say.Refuse("", text, msgNotOne.With(clean), msgOneFormat.With())
	}
	l, err := limits(nominal, m[2])
	return l, unnamed(err, text)
}

// readSize reads a nominal size, in mm when no unit is written.
func readSize(text string) (quantity.Length, error) {
	clean := strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(text), "Øø⌀"))
	if v, err := quantity.ReadNumber(clean); err == nil {
		return quantity.Length(v * millimetre), nil
	}
	given, err := quantity.Read[quantity.Length](clean)
	return given.Value, err
}

// unnamed takes the inner field name off a Problem and shows the whole text.
func unnamed(err error, text string) error {
	p := say.AsProblem(err)
	if p == nil {
		return err
	}
	return say.Refuse("", text, p.Message, p.Accepted)
}

// InchClass returns the limits of a class of ANSI B4.1-1967 for a size, as far
// as a published table was at hand. Whatever is not there is refused.
//
// Source: Machinery's Handbook 31st ed., Tables 8a and 12; 27th ed., Table 11.
func InchClass(nominal quantity.Length, class string) (Fit, error) {
	const inch, thou = 0.0254, 0.0254e-3
	names := make([]string, len(inchClasses))
	for i, c := range inchClasses {
		names[i] = c.name
		if c.name != class {
			continue
		}
		ranges := make([]string, len(c.rows))
		for k, r := range c.rows {
			if size := float64(nominal) / inch; size > r.over*(1+1e-12) && size <= r.to*(1+1e-12) {
				zones := strings.SplitN(c.zones, "/", 2)
				hole := Limits{nominal, zones[0], quantity.Length(r.holeUpper * thou), 0, c.source}
				shaft := Limits{nominal, class + " shaft", quantity.Length(r.shaftUpper * thou), quantity.Length(r.shaftLower * thou), c.source}
				if len(zones) == 2 {
					shaft.Zone = zones[1]
				}
				f := Combine(hole, shaft)
				f.Class = class
				return f, nil
			}
			ranges[k] = fmt.Sprintf("%g to %g in", r.over, r.to)
		}
		return Fit{}, say.Refuse("", fmt.Sprintf("%s %s", nominal, class), msgNoInch.With(class, nominal), msgInchSizes.With(ranges))
	}
	return Fit{}, say.Refuse("", class, msgNoClass.With(class), msgClasses.With(names))
}

var (
	nameMaxClearance = say.Define("fit.name_clearance_max", "largest clearance")
	nameMinClearance = say.Define("fit.name_clearance_min", "smallest clearance")
	nameHoleUpper    = say.Define("fit.name_hole_upper", "upper limit of the hole")
	nameHoleLower    = say.Define("fit.name_hole_lower", "lower limit of the hole")
	nameShaftUpper   = say.Define("fit.name_shaft_upper", "upper limit of the shaft")
	nameShaftLower   = say.Define("fit.name_shaft_lower", "lower limit of the shaft")
	nameFit          = say.Define("fit.name_fit", "fit {class}")
)

// Working tells how the clearances follow from the limits.
func (f Fit) Working() *working.Node {
	es := working.Leaf("fit.hole_upper", nameHoleUpper.With(), "ES", f.Hole.Upper, "").From(f.Hole.Source)
	ei := working.Leaf("fit.hole_lower", nameHoleLower.With(), "EI", f.Hole.Lower, "").From(f.Hole.Source)
	shaftUpper := working.Leaf("fit.shaft_upper", nameShaftUpper.With(), "es", f.Shaft.Upper, "").From(f.Shaft.Source)
	shaftLower := working.Leaf("fit.shaft_lower", nameShaftLower.With(), "ei", f.Shaft.Lower, "").From(f.Shaft.Source)
	return &working.Node{
		ID: "fit", Name: nameFit.With(f.Class), Text: string(f.Kind), Equation: "clearance when C_min ≥ 0, interference when C_max ≤ 0, else transition", Source: "ISO 286-1:2010",
		Inputs: []*working.Node{
			working.Result("fit.clearance_max", nameMaxClearance.With(), "C_max", f.ClearanceMax, "C_max = ES − ei", "ISO 286-1:2010", es, shaftLower),
			working.Result("fit.clearance_min", nameMinClearance.With(), "C_min", f.ClearanceMin, "C_min = EI − es", "ISO 286-1:2010", ei, shaftUpper),
		},
	}
}

// Working tells where the limits of one part come from.
func (l Limits) Working() *working.Node {
	return &working.Node{
		ID: "fit.part", Name: nameFit.With(l.Zone), Text: l.Zone, Equation: "limits of the zone at this size", Source: l.Source,
		Inputs: []*working.Node{
			working.Leaf("fit.part_upper", namePartUpper.With(), "", l.Upper, "").From(l.Source),
			working.Leaf("fit.part_lower", namePartLower.With(), "", l.Lower, "").From(l.Source),
		},
	}
}

var (
	namePartUpper = say.Define("fit.name_part_upper", "upper limit deviation")
	namePartLower = say.Define("fit.name_part_lower", "lower limit deviation")
)

// InterferenceBasis splits a wished band of interference over a bore and a
// shaft of equal tolerance, the bore starting at the nominal size (hole basis).
//
//	T = (I_max − I_min)/2,  hole 0 … +T,  shaft I_min + T … I_max
//
// Errors: a band that is not 0 ≤ I_min < I_max.
// Source: Sharma, A Textbook of Production Engineering, ch. 9.
func InterferenceBasis(nominal, interferenceMin, interferenceMax quantity.Length) (Fit, error) {
	if !(nominal > 0) || math.IsInf(float64(nominal), 0) {
		return Fit{}, say.Refuse("nominal", nominal.String(), msgNotPositive.With(), say.Message{})
	}
	if !(interferenceMin >= 0) || !(interferenceMax > interferenceMin) || math.IsInf(float64(interferenceMax), 0) {
		return Fit{}, say.Refuse("interference_max", interferenceMax.String(), msgBand.With(), say.Message{})
	}
	t := (interferenceMax - interferenceMin) / 2
	const source = "equal tolerances, hole basis: Sharma, A Textbook of Production Engineering, ch. 9"
	return Combine(
		Limits{nominal, "hole", t, 0, source},
		Limits{nominal, "shaft", interferenceMax, interferenceMin + t, source},
	), nil
}

var (
	msgNotPositive = say.Define("fit.not_positive", "this must be more than zero")
	msgBand        = say.Define("fit.band", "the largest interference must be more than the smallest, and the smallest not below zero")
)
