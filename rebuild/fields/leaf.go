package fields

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func bindText(raw any, target reflect.Value, info fieldInfo) error {
	text, ok := raw.(string)
	if !ok {
		switch raw.(type) {
		case int, int64, uint64, float64:
			text = fmt.Sprint(raw)
		default:
			return wants("a text", "text", raw)
		}
	}
	if len(info.oneOf) > 0 {
		word, found := sameWord(info.oneOf, text)
		if !found {
			return say.Refuse("", text, msgWantsWord.With(), msgWordsAre.With(info.oneOf))
		}
		text = word
	}
	target.SetString(text)
	return nil
}

func bindQuantity(raw any, target reflect.Value, info fieldInfo) error {
	dimension := target.Interface().(quantity.Quantity).Dimension()
	text, ok := raw.(string)
	if !ok {
		v, err := number(raw)
		if p := say.AsProblem(err); p != nil && beyond(p) {
			return err
		}
		if err != nil {
			return wants(dimension.String(), "12 "+quantity.UnitSymbols(dimension)[0], raw)
		}
		vacuum := dimension == quantity.AbsolutePressureDimension && !info.absolute // 0 may be a gauge pressure there
		if v == 0 && dimension != quantity.TemperatureDimension && !vacuum {
			target.SetFloat(0)
			return nil
		}
		unit := quantity.UnitSymbols(dimension)[0]
		switch {
		case dimension == quantity.ExpansionDimension && math.Abs(v) < 1e-3:
			unit = "1/K"
		case dimension == quantity.TimeDimension:
			unit = "h"
		}
		return say.Refuse("", fmt.Sprint(raw), msgWantsUnit.With(dimension.String()), msgWriteIt.With(fmt.Sprintf("%v %s", raw, unit)))
	}
	var options []quantity.Option
	if info.absolute {
		options = append(options, quantity.AbsoluteByNature)
	}
	e, err := quantity.Parse(dimension, text, options...)
	if err != nil {
		return err
	}
	target.SetFloat(e.SI)
	return InReach(text, e.SI)
}

// Beyond these no quantity of the trade lies; squares, cubes and their
// reciprocals stay far from the ends of the numbers of a machine.
const (
	leastNumber = 1e-30
	mostNumber  = 1e30
)

// InReach refuses a number that no quantity of the trade has.
func InReach(read string, v float64) error {
	if a := math.Abs(v); v != 0 && !(a >= leastNumber && a <= mostNumber) {
		return say.Refuse("", read, msgBeyond.With(), msgWithin.With("1e-30", "1e30"))
	}
	return nil
}

func bindAny(raw any, target reflect.Value) error {
	if text, ok := raw.(string); ok {
		if v, err := quantity.ReadNumber(text); err == nil {
			target.Set(reflect.ValueOf(Any{Text: text, number: v, plain: true}))
			return InReach(text, v)
		}
		a := Any{Text: text}
		e, err := a.Read()
		if err != nil {
			return err
		}
		target.Set(reflect.ValueOf(a))
		return InReach(text, e.SI)
	}
	v, err := number(raw)
	if p := say.AsProblem(err); p != nil && beyond(p) {
		return err
	}
	if err != nil {
		return wants("a quantity with its unit or a plain number", "0.15 mm", raw)
	}
	target.Set(reflect.ValueOf(AnyNumber(v)))
	return nil
}

func bindTime(raw any, target reflect.Value, secondsPer float64) error {
	v, err := number(raw)
	if err == nil {
		target.SetFloat(v)
		return nil
	}
	if p := say.AsProblem(err); p != nil && beyond(p) {
		return err
	}
	text, ok := raw.(string)
	if !ok {
		return wants("a number or a time", "1200 h", raw)
	}
	e, err := quantity.Parse(quantity.TimeDimension, text)
	if err != nil {
		return err
	}
	target.SetFloat(e.SI / secondsPer)
	return InReach(text, e.SI)
}

func number(raw any) (float64, error) {
	var v float64
	switch n := raw.(type) {
	case float64:
		v = n
	case int:
		v = float64(n)
	case int64:
		v = float64(n)
	case uint64:
		v = float64(n)
	case string:
		read, err := quantity.ReadNumber(n)
		if err != nil {
			return 0, err
		}
		v = read
	default:
		return 0, fmt.Errorf("not a number")
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, say.Refuse("", fmt.Sprint(raw), msgNotFinite.With(), msgWithin.With("1e-30", "1e30"))
	}
	return v, InReach(fmt.Sprint(raw), v)
}

// beyond tells a number that is out of reach from what is no number at all.
func beyond(p *say.Problem) bool {
	return p.Message.ID() == msgBeyond.With().ID() || p.Message.ID() == msgNotFinite.With().ID()
}

// bindNumber reads a plain number. A text may carry a percent sign, or the
// unit that the field is stated in.
func bindNumber(raw any, target reflect.Value, info fieldInfo) error {
	text, isText := raw.(string)
	if isText {
		trimmed := strings.TrimSpace(text)
		for _, unit := range info.units {
			if bare, ok := strings.CutSuffix(trimmed, unit); ok {
				raw = strings.TrimSpace(bare)
				break
			}
		}
		if bare, ok := strings.CutSuffix(trimmed, "%"); ok && len(info.units) == 0 {
			v, err := number(strings.TrimSpace(bare))
			if err == nil {
				target.SetFloat(v / 100)
				return nil
			}
		}
	}
	v, err := number(raw)
	p := say.AsProblem(err)
	switch {
	case err == nil:
		target.SetFloat(v)
		return nil
	case p != nil && beyond(p):
		return err
	case isText && len(info.units) > 0:
		return say.Refuse("", text, msgWantsKind.With("a plain number"), msgOneUnit.With(info.units[0]))
	case isText:
		if read, ok := leadingNumber(text); ok {
			return wants("a plain number", read, text)
		}
	}
	return wants("a plain number", "0.15", raw)
}

// leadingNumber returns the number that a text begins with, for the hint of
// what would be accepted.
func leadingNumber(text string) (string, bool) {
	word, _, _ := strings.Cut(strings.TrimSpace(text), " ")
	_, err := quantity.ReadNumber(word)
	return word, err == nil
}

// sameWord finds a word whatever its case, with - _ and space alike.
func sameWord(words []string, text string) (string, bool) {
	plain := strings.NewReplacer("_", "-", " ", "-")
	for _, word := range words {
		if strings.EqualFold(plain.Replace(word), plain.Replace(strings.TrimSpace(text))) {
			return word, true
		}
	}
	return "", false
}
