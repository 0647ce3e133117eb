package liquid

import (
	"fmt"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgMissing      = say.Define("liquid.missing", "this field is missing")
	msgUnknownField = say.Define("liquid.unknown_field", "this field is not known")
	msgFieldsAre    = say.Define("liquid.fields_are", "the fields are {names}")
	msgWantsText    = say.Define("liquid.wants_text", "wanted is a text")
	msgWantsYesNo   = say.Define("liquid.wants_yes_no", "wanted is true or false")
	msgWantsList    = say.Define("liquid.wants_list", "wanted is a list")
	msgWantsFields  = say.Define("liquid.wants_fields", "wanted are fields with values")
	msgWantsNumber  = say.Define("liquid.wants_number", "wanted is a plain number")
	msgWantsUnit    = say.Define("liquid.wants_unit", "a plain number has no unit; wanted is {dimension}")
	msgWriteUnit    = say.Define("liquid.write_unit", "write it with its unit, like {example}")
)

// fields reads one level of a YAML document strictly: it keeps the first
// error, and close refuses what nobody asked for.
type fields struct {
	path string
	raw  map[string]any
	used map[string]bool
	err  error
}

func openFields(path string, raw any) *fields {
	f := &fields{path: path, used: map[string]bool{}}
	given, ok := raw.(map[string]any)
	if !ok {
		f.fail("", raw, msgWantsFields.With(), say.Message{})
	}
	f.raw = given
	return f
}

func (f *fields) name(field string) string {
	switch {
	case f.path == "":
		return field
	case field == "":
		return f.path
	}
	return f.path + "." + field
}

func (f *fields) fail(field string, raw any, message, accepted say.Message) {
	if f.err == nil {
		read := ""
		if raw != nil {
			read = fmt.Sprint(raw)
		}
		f.err = say.Refuse(f.name(field), read, message, accepted)
	}
}

func (f *fields) keep(err error) {
	if f.err == nil {
		f.err = err
	}
}

// take returns the raw value of a field; a null counts as missing.
func (f *fields) take(field string) (any, bool) {
	f.used[field] = true
	raw, ok := f.raw[field]
	return raw, ok && raw != nil && f.err == nil
}

func (f *fields) text(field string) string {
	raw, ok := f.take(field)
	if !ok {
		return ""
	}
	text, ok := raw.(string)
	if !ok {
		f.fail(field, raw, msgWantsText.With(), say.Message{})
	}
	return text
}

func (f *fields) yesNo(field string) bool {
	raw, ok := f.take(field)
	if !ok {
		return false
	}
	v, ok := raw.(bool)
	if !ok {
		f.fail(field, raw, msgWantsYesNo.With(), say.Message{})
	}
	return v
}

func (f *fields) number(field string) (float64, bool) {
	raw, ok := f.take(field)
	if !ok {
		return 0, false
	}
	switch v := raw.(type) {
	case float64:
		return v, true
	case int:
		return float64(v), true
	case int64:
		return float64(v), true
	case uint64:
		return float64(v), true
	case string:
		if n, err := quantity.ReadNumber(v); err == nil {
			return n, true
		}
	}
	f.fail(field, raw, msgWantsNumber.With(), say.Message{})
	return 0, false
}

// list opens the entries of a list.
func (f *fields) list(field string) []*fields {
	raw, ok := f.take(field)
	if !ok {
		return nil
	}
	entries, ok := raw.([]any)
	if !ok {
		f.fail(field, raw, msgWantsList.With(), say.Message{})
		return nil
	}
	opened := make([]*fields, len(entries))
	for i, entry := range entries {
		opened[i] = openFields(fmt.Sprintf("%s[%d]", f.name(field), i), entry)
	}
	return opened
}

// group opens the fields below a field, nil when it is missing.
func (f *fields) group(field string) *fields {
	raw, ok := f.take(field)
	if !ok {
		return nil
	}
	return openFields(f.name(field), raw)
}

// close returns the first error, or refuses a field that nobody asked for.
func (f *fields) close() error {
	if f.err != nil {
		return f.err
	}
	var unknown, known []string
	for field := range f.raw {
		if !f.used[field] {
			unknown = append(unknown, field)
		}
	}
	if len(unknown) == 0 {
		return nil
	}
	for field := range f.used {
		known = append(known, field)
	}
	sort.Strings(unknown)
	sort.Strings(known)
	return say.Refuse(f.name(unknown[0]), fmt.Sprint(f.raw[unknown[0]]), msgUnknownField.With(), msgFieldsAre.With(known))
}

// given reads a quantity with its unit.
func given[T quantity.Of](f *fields, field string, options ...quantity.Option) (T, bool) {
	var zero T
	raw, ok := f.take(field)
	if !ok {
		return zero, false
	}
	text, ok := raw.(string)
	if !ok {
		f.fail(field, raw, msgWantsUnit.With(zero.Dimension().String()),
			msgWriteUnit.With(fmt.Sprintf("%v %s", raw, quantity.UnitSymbols(zero.Dimension())[0])))
		return zero, false
	}
	e, err := quantity.Parse(zero.Dimension(), text, options...)
	if err != nil {
		f.keep(say.In(f.name(field), err))
		return zero, false
	}
	return T(e.SI), true
}

// wanted is given for a field that must be there.
func wanted[T quantity.Of](f *fields, field string, options ...quantity.Option) T {
	v, ok := given[T](f, field, options...)
	if !ok && f.err == nil {
		var zero T
		f.fail(field, nil, msgMissing.With(), msgWriteUnit.With("12.5 "+quantity.UnitSymbols(zero.Dimension())[0]))
	}
	return v
}

// optional is given as a pointer, nil when the field is missing.
func optional[T quantity.Of](f *fields, field string) *T {
	v, ok := given[T](f, field)
	if !ok {
		return nil
	}
	return &v
}
