package quantity

import (
	"math"
	"strings"

	"pumpwright/calc/say"
)

var (
	msgEmpty       = say.Define("quantity.empty", "nothing was entered")
	msgNoNumber    = say.Define("quantity.no_number", "no number was found at the start")
	msgNoUnit      = say.Define("quantity.no_unit", "the unit is missing")
	msgWriteUnit   = say.Define("quantity.write_unit", "write the unit behind the number, for example {examples}")
	msgUnknownUnit = say.Define("quantity.unknown_unit", "“{unit}” is not a unit of {dimension}")
	msgUnitsAre    = say.Define("quantity.units_are", "{dimension} can be written in {units}")
	msgOtherKind   = say.Define("quantity.other_kind", "“{unit}” is a unit of {found}, wanted is {wanted}")
	msgUnitCase    = say.Define("quantity.unit_case", "“{unit}” can be read as {units}")
	msgWriteCase   = say.Define("quantity.write_case", "write capitals and small letters as the unit has them")
	msgComma       = say.Define("quantity.comma", "“{number}” can be read as {small} or as {large}")
	msgWriteComma  = say.Define("quantity.write_comma", "write {small} or {large}")
	msgWantsMark   = say.Define("quantity.wants_mark", "“{unit}” does not say whether it counts from vacuum or from the surroundings")
	msgWriteMark   = say.Define("quantity.write_mark", "write {absolute} for a pressure counted from vacuum")
	msgIsGauge     = say.Define("quantity.is_gauge", "a gauge pressure was given where an absolute pressure is wanted")
	msgIsAbsolute  = say.Define("quantity.is_absolute", "an absolute pressure was given where a pressure difference (gauge) is wanted")
	msgWriteGauge  = say.Define("quantity.write_gauge", "write the difference, for example 10 bar or 150 psi(g)")
	msgBadNumber   = say.Define("quantity.bad_number", "“{number}” is not a number")
	msgWriteNumber = say.Define("quantity.write_number", "write it like 12.5, 12,5, 1 3/16 or 2.5e-6")
	msgParted      = say.Define("quantity.parted", "there are two numbers with only a space between them")
	msgWriteWhole  = say.Define("quantity.write_whole", "write the number without a space inside, for example 1450 or 1 3/16")
	msgFeetWith    = say.Define("quantity.feet_with", "feet are followed by inches, not by {unit}")
	msgTooCold     = say.Define("quantity.too_cold", "{temperature} is below absolute zero")
	msgBelowVacuum = say.Define("quantity.below_vacuum", "{pressure} is below vacuum")
	msgNotBelow    = say.Define("quantity.not_below", "the least that there can be is {least}")
	msgTooLarge    = say.Define("quantity.too_large", "the number is too large")
)

// Given is a quantity as somebody wrote it: the value, and beside it the text
// as typed, the unit and the worth of the last digit. The zero Given is "not
// given".
type Given[T Of] struct {
	Value      T
	Text       string  // as typed, trimmed
	Unit       string  // symbol of the unit that was read
	Resolution float64 // worth of the last digit typed, in SI units; > 0 when given
}

// IsGiven reports whether anything was written.
func (g Given[T]) IsGiven() bool { return g.Text != "" }

// Show prints the value in the units of a style.
func (g Given[T]) Show(s say.Style) string { return g.Value.Show(s) }

// String returns the text as typed.
func (g Given[T]) String() string { return g.Text }

// UnmarshalText reads what a person wrote.
func (g *Given[T]) UnmarshalText(text []byte) error {
	read, err := Read[T](string(text))
	if err != nil {
		return err
	}
	*g = read
	return nil
}

// MarshalText returns the text as typed.
func (g Given[T]) MarshalText() ([]byte, error) { return []byte(g.Text), nil }

// Entered is a Given whose dimension is known only when the program runs.
type Entered struct {
	Dimension  Dimension
	SI         float64
	Text       string
	Unit       string
	Resolution float64
}

// Read reads a quantity of type T from what a person wrote, for example
// Read[Length]("1 3/16 in"). Errors are say.Problem.
func Read[T Of](text string) (Given[T], error) {
	var zero T
	e, err := Parse(zero.Dimension(), text)
	if err != nil {
		return Given[T]{}, err
	}
	return Given[T]{Value: T(e.SI), Text: e.Text, Unit: e.Unit, Resolution: e.Resolution}, nil
}

// Option changes how Parse reads.
type Option uint8

// AbsoluteByNature reads an unmarked pressure as absolute, for quantities that
// are never anything else, such as a vapour pressure.
const AbsoluteByNature Option = 1

// Parse reads a quantity of a dimension from what a person wrote. The text
// keeps its digits and its unit; ambiguity is refused with a say.Problem.
func Parse(d Dimension, text string, options ...Option) (Entered, error) {
	clean := normalise(text)
	if clean == "" {
		return Entered{}, say.Refuse("", "", msgEmpty.With(), msgWriteUnit.With(say.Plain(examples(d))))
	}
	n, rest, err := scanNumber(clean)
	if err != nil {
		return Entered{}, refuseAs(err, text)
	}
	if d == LengthDimension {
		if e, ok, err := scanFeetInches(n, rest, text); ok || err != nil {
			return e, err
		}
	}
	name := strings.TrimSpace(rest)
	if strings.Trim(name, ".") == "" {
		return Entered{}, say.Refuse("", text, msgNoUnit.With(), msgWriteUnit.With(say.Plain(examples(d))))
	}
	unit, err := matchUnit(d, name)
	if err != nil && isDigit(name[0]) {
		return Entered{}, say.Refuse("", text, msgParted.With(), msgWriteWhole.With())
	}
	if err != nil {
		return Entered{}, refuseAs(err, text)
	}
	if err := checkMark(d, unit, options); err != nil {
		return Entered{}, refuseAs(err, text)
	}
	si, err := unit.si(n.value)
	if err != nil {
		return Entered{}, refuseAs(err, text)
	}
	e := Entered{Dimension: d, SI: si, Text: strings.TrimSpace(text), Unit: unit.symbol, Resolution: unit.step(n, si)}
	return e, refuseAs(checkValue(e), text)
}

// step returns the worth of the last digit in the SI unit.
func (u unit) step(n number, si float64) float64 {
	if u.toSI == nil {
		return n.resolution * math.Abs(u.factor)
	}
	next, err := u.toSI(n.value + n.resolution)
	if err != nil {
		return math.Abs(si) * 1e-3
	}
	return math.Abs(next - si)
}

func checkValue(e Entered) error {
	if math.IsInf(e.SI, 0) || math.IsNaN(e.SI) {
		return say.Refuse("", "", msgTooLarge.With(), msgWriteNumber.With())
	}
	if e.Dimension == TemperatureDimension && e.SI < 0 {
		return say.Refuse("", "", msgTooCold.With(e.Text), msgNotBelow.With(say.Plain("0 K")))
	}
	if e.Dimension == AbsolutePressureDimension && e.SI < 0 {
		return say.Refuse("", "", msgBelowVacuum.With(e.Text), msgNotBelow.With(say.Plain("0 bar(a)")))
	}
	return nil
}

func refuseAs(err error, text string) error {
	if p := say.AsProblem(err); p != nil && p.Read == "" {
		copied := *p
		copied.Read = strings.TrimSpace(text)
		return &copied
	}
	return err
}

func (u unit) si(v float64) (float64, error) {
	if u.toSI != nil {
		return u.toSI(v)
	}
	return v*u.factor + u.offset, nil
}

func findUnit(d Dimension, symbol string) unit {
	for _, u := range dimensions[d].units {
		if u.symbol == symbol {
			return u
		}
	}
	return unit{symbol: dimensions[d].si, factor: 1}
}

func fromSI(d Dimension, si float64, name string) (float64, error) {
	u, err := matchUnit(d, normalise(name))
	if err != nil {
		return 0, err
	}
	if u.fromSI != nil {
		return u.fromSI(si)
	}
	return (si - u.offset) / u.factor, nil
}

// matchUnit finds the unit that a person wrote: first letter by letter, then
// with capitals folded when only one unit answers.
func matchUnit(d Dimension, name string) (unit, error) {
	if u, ok := exactUnit(d, name); ok {
		return u, nil
	}
	if _, elsewhere := dimensionOf(d, name); elsewhere {
		return unit{}, unknownUnit(d, name) // “Nm” is no odd spelling of nm
	}
	folded := foldUnits(d, name)
	for _, u := range folded {
		if swapsPrefix(u, name) {
			return unit{}, say.Refuse("", "", msgUnitCase.With(name, []string{u.symbol, name}), msgWriteCase.With())
		}
	}
	switch len(folded) {
	case 1:
		return folded[0], nil
	case 0:
		return unit{}, unknownUnit(d, name)
	}
	symbols := make([]string, len(folded))
	for i, u := range folded {
		symbols[i] = u.symbol
	}
	return unit{}, say.Refuse("", "", msgUnitCase.With(name, symbols), msgWriteCase.With())
}

// Unit is a unit found by its name.
type Unit struct {
	Symbol   string // as printed
	Gauge    bool   // says that it counts from the surroundings
	Absolute bool   // says that it counts from vacuum
}

// FindUnit finds a unit of a dimension by what a person wrote. Errors are
// say.Problem.
func FindUnit(d Dimension, name string) (Unit, error) {
	u, err := matchUnit(d, normalise(name))
	if err != nil {
		return Unit{}, refuseAs(err, name)
	}
	return Unit{Symbol: u.symbol, Gauge: u.mark == gauge, Absolute: u.mark == absolute}, nil
}

func exactUnit(d Dimension, name string) (unit, bool) {
	if d == NoDimension || d >= dimensionCount {
		return unit{}, false
	}
	for _, u := range dimensions[d].units {
		if u.symbol == name {
			return u, true
		}
		for _, a := range u.aliases {
			if a == name {
				return u, true
			}
		}
	}
	return unit{}, false
}

func foldUnits(d Dimension, name string) []unit {
	if d == NoDimension || d >= dimensionCount {
		return nil
	}
	var found []unit
	key := foldUnit(name)
	for _, u := range dimensions[d].units {
		if foldUnit(u.symbol) == key {
			found = append(found, u)
			continue
		}
		for _, a := range u.aliases {
			if foldUnit(a) == key {
				found = append(found, u)
				break
			}
		}
	}
	return found
}

var foldReplacer = strings.NewReplacer(" ", "", "^", "", "*", "·", ".", "", "lbs", "lb", "gage", "gauge", "hrs", "h", "hr", "h", "sec", "s", "#", "lb")

func foldUnit(name string) string {
	return foldReplacer.Replace(strings.ToLower(name))
}

func unknownUnit(d Dimension, name string) error {
	if d == NoDimension || d >= dimensionCount {
		return say.Refuse("", "", msgUnknownUnit.With(name, say.Plain(d.String())), say.Message{})
	}
	if other, ok := dimensionOf(d, name); ok {
		return say.Refuse("", "", msgOtherKind.With(name, say.Plain(other.String()), say.Plain(d.String())), unitsAre(d))
	}
	return say.Refuse("", "", msgUnknownUnit.With(name, say.Plain(d.String())), unitsAre(d))
}

// dimensionOf finds a dimension besides d that has the unit, letter by letter.
func dimensionOf(d Dimension, name string) (Dimension, bool) {
	for _, other := range Dimensions() {
		if other == d {
			continue
		}
		if _, ok := exactUnit(other, name); ok {
			return other, true
		}
	}
	return NoDimension, false
}

// swapsPrefix reports whether a name differs from the unit only in m for M at
// the start: milli for mega, a factor of a thousand million.
func swapsPrefix(u unit, name string) bool {
	if len(u.symbol) < 2 || len(name) != len(u.symbol) || name[1:] != u.symbol[1:] {
		return false
	}
	return u.symbol[0] == 'm' && name[0] == 'M' || u.symbol[0] == 'M' && name[0] == 'm'
}

func unitsAre(d Dimension) say.Message {
	return msgUnitsAre.With(say.Plain(d.String()), UnitSymbols(d))
}

// UnitSymbols lists the symbols in which a dimension can be written.
func UnitSymbols(d Dimension) []string {
	if d >= dimensionCount {
		return nil
	}
	symbols := make([]string, len(dimensions[d].units))
	for i, u := range dimensions[d].units {
		symbols[i] = u.symbol
	}
	return symbols
}

// examples shows how a quantity of the dimension is written.
func examples(d Dimension) string {
	if d == NoDimension || d >= dimensionCount {
		return "0.25"
	}
	dim := dimensions[d]
	metric, inches := dim.metric[0].symbol, dim.inch[0].symbol
	if metric == inches {
		return "12.5 " + metric
	}
	return "12.5 " + metric + " or 0.5 " + inches
}

// selfAbsolute are units that count from vacuum unless somebody marks them.
var selfAbsolute = map[string]bool{"Pa": true, "kPa": true, "mbar": true, "atm": true, "mmHg": true}

func checkMark(d Dimension, u unit, options []Option) error {
	switch d {
	case AbsolutePressureDimension:
		if u.mark == gauge {
			return say.Refuse("", "", msgIsGauge.With(), msgWriteMark.With(say.Plain("1.013 bar(a)")))
		}
		if u.mark == unmarked && !selfAbsolute[u.symbol] && !hasOption(options, AbsoluteByNature) {
			return say.Refuse("", "", msgWantsMark.With(u.symbol), msgWriteMark.With(say.Plain(u.symbol+"(a)")))
		}
	case PressureDifferenceDimension:
		if u.mark == absolute {
			return say.Refuse("", "", msgIsAbsolute.With(), msgWriteGauge.With())
		}
	}
	return nil
}

func hasOption(options []Option, want Option) bool {
	for _, o := range options {
		if o == want {
			return true
		}
	}
	return false
}

// scanFeetInches reads 2 ft 3 1/2 in and 2' 3".
func scanFeetInches(feet number, rest, text string) (Entered, bool, error) {
	rest = strings.TrimSpace(rest)
	tail := ""
	for _, mark := range []string{"feet", "foot", "ft", "'", "′"} {
		if strings.HasPrefix(rest, mark) {
			tail = strings.TrimSpace(rest[len(mark):])
			break
		}
	}
	tail = strings.TrimLeft(strings.TrimPrefix(tail, "."), " ,")
	if after, dashed := strings.CutPrefix(tail, "-"); dashed { // 2'-3 1/2"
		tail = strings.TrimLeft(after, " ")
	}
	if tail == "" || !isDigit(tail[0]) && tail[0] != '.' {
		return Entered{}, false, nil
	}
	n, name, err := scanNumber(tail)
	if err != nil {
		return Entered{}, true, refuseAs(err, text)
	}
	if strings.TrimSpace(name) == "" {
		return Entered{}, true, say.Refuse("", text, msgNoUnit.With(), msgWriteUnit.With(say.Plain("2 ft 3 1/2 in")))
	}
	unit, err := matchUnit(LengthDimension, strings.TrimSpace(name))
	if err != nil {
		return Entered{}, true, refuseAs(err, text)
	}
	if unit.symbol != "in" { // 1'250 mm groups thousands and is no foot
		return Entered{}, true, say.Refuse("", text, msgFeetWith.With(unit.symbol), msgWriteUnit.With(say.Plain("2 ft 3 1/2 in")))
	}
	sum := math.Abs(feet.value)*foot + n.value*unit.factor
	if math.Signbit(feet.value) {
		sum = -sum
	}
	return Entered{Dimension: LengthDimension, SI: sum, Text: strings.TrimSpace(text), Unit: unit.symbol, Resolution: n.resolution * unit.factor}, true, nil
}
