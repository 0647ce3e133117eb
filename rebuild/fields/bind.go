package fields

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgMissingField = say.Define("fields.missing_field", "this field is missing")
	msgUnknownField = say.Define("fields.unknown_field", "this field is not known")
	msgFieldsAre    = say.Define("fields.fields_are", "the fields are {names}")
	msgWantsWord    = say.Define("fields.wants_word", "this word is not known here")
	msgWordsAre     = say.Define("fields.words_are", "write one of {words}")
	msgWantsKind    = say.Define("fields.wants_kind", "wanted is {kind}")
	msgOneUnit      = say.Define("fields.one_unit", "write a plain number, or the unit {unit} behind it")
	msgWantsUnit    = say.Define("fields.wants_unit", "a plain number has no unit; wanted is {dimension}")
	msgWriteIt      = say.Define("fields.write_it", "write it like {example}")
	msgNotFinite    = say.Define("fields.not_finite", "the number must be finite")
	msgBeyond       = say.Define("fields.beyond", "no quantity of this trade is so large or so small")
	msgWithin       = say.Define("fields.within", "a number between {least} and {most}, or 0, counted in SI units")
)

// Reader fills structs. The zero Reader stops at the first problem and refuses
// fields that it does not know.
type Reader struct {
	// KeepUnknown puts fields without a place in the struct into Unknown
	// instead of refusing them.
	KeepUnknown bool
	// All goes on after a problem and puts every one into Problems.
	All bool

	Unknown  []Unknown
	Problems []*say.Problem
}

// Unknown is a field that the struct has no place for.
type Unknown struct {
	Path  string
	Value any
}

// Bind fills the struct that target points to with what YAML or JSON gave.
func (r *Reader) Bind(raw any, target any) error {
	err := r.bind("", raw, reflect.ValueOf(target).Elem(), fieldInfo{})
	if err == nil && len(r.Problems) > 0 {
		return r.Problems[0]
	}
	return err
}

// Bind fills the struct that target points to; unknown fields are refused.
func Bind(raw any, target any) error {
	var r Reader
	return r.Bind(raw, target)
}

// keep collects a problem when all are wanted.
func (r *Reader) keep(err error) error {
	if p := say.AsProblem(err); r.All && p != nil {
		r.Problems = append(r.Problems, p)
		return nil
	}
	return err
}

// fieldInfo is what the tags of a field say.
type fieldInfo struct {
	name     string
	help     string
	def      string
	optional bool
	oneOf    []string
	units    []string // units that may stand behind a plain number
	absolute bool     // an unmarked pressure is absolute by nature
}

// Name returns the name of a struct field as written, "" for none.
func Name(f reflect.StructField) string { return infoOf(f).name }

func infoOf(f reflect.StructField) fieldInfo {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	info := fieldInfo{name: name, help: f.Tag.Get("help"), def: f.Tag.Get("default"), absolute: f.Tag.Get("pressure") == "absolute"}
	info.optional = f.Type.Kind() == reflect.Pointer || f.Tag.Get("optional") == "yes" || info.def != ""
	if words := f.Tag.Get("oneof"); words != "" {
		info.oneOf = strings.Split(words, "|")
	}
	if units := f.Tag.Get("unit"); units != "" {
		info.units = strings.Split(units, "|")
	}
	return info
}

// tagged is a field with what its tags say, read once for each type.
type tagged struct {
	reflect.StructField
	fieldInfo
}

var tags sync.Map // of reflect.Type: []tagged

func taggedOf(t reflect.Type) []tagged {
	if known, ok := tags.Load(t); ok {
		return known.([]tagged)
	}
	var list []tagged
	for _, f := range Of(t) {
		list = append(list, tagged{f, infoOf(f)})
	}
	tags.Store(t, list)
	return list
}

// Of returns the fields of a struct with those of embedded structs.
func Of(t reflect.Type) []reflect.StructField {
	var list []reflect.StructField
	for _, f := range reflect.VisibleFields(t) {
		if f.Anonymous || !f.IsExported() {
			continue
		}
		if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name == "" || name == "-" {
			continue
		}
		list = append(list, f)
	}
	return list
}

// FromRaw is a type that reads itself from what YAML or JSON gave.
type FromRaw interface {
	FromInput(raw any) error
}

var quantityType = reflect.TypeFor[quantity.Quantity]()

func (r *Reader) bind(path string, raw any, target reflect.Value, info fieldInfo) error {
	if target.Kind() == reflect.Pointer {
		if raw == nil {
			return nil
		}
		fresh := reflect.New(target.Type().Elem())
		if err := r.bind(path, raw, fresh.Elem(), info); err != nil {
			return err
		}
		target.Set(fresh)
		return nil
	}
	if custom, ok := target.Addr().Interface().(FromRaw); ok {
		return r.keep(say.In(path, custom.FromInput(raw)))
	}
	switch target.Kind() {
	case reflect.Struct:
		if !isLeafStruct(target.Type()) {
			return r.bindStruct(path, raw, target)
		}
	case reflect.Slice:
		return r.bindSlice(path, raw, target, info)
	case reflect.Map:
		return r.bindMap(path, raw, target, info)
	}
	return r.keep(say.In(path, bindLeaf(raw, target, info)))
}

func bindLeaf(raw any, target reflect.Value, info fieldInfo) error {
	switch target.Interface().(type) {
	case Any:
		return bindAny(raw, target)
	case Hours:
		return bindTime(raw, target, secondsPerHour)
	case Years:
		return bindTime(raw, target, secondsPerYear)
	}
	if target.Type().Implements(quantityType) {
		return bindQuantity(raw, target, info)
	}
	switch target.Kind() {
	case reflect.String:
		return bindText(raw, target, info)
	case reflect.Bool:
		v, ok := raw.(bool)
		if !ok {
			return wants("true or false", "true", raw)
		}
		target.SetBool(v)
		return nil
	case reflect.Int:
		v, err := number(raw)
		if err != nil || v != math.Trunc(v) || math.Abs(v) > 1e15 {
			return wants("a whole number", "3", raw)
		}
		target.SetInt(int64(v))
		return nil
	case reflect.Float64:
		return bindNumber(raw, target, info)
	case reflect.Interface:
		if raw != nil {
			target.Set(reflect.ValueOf(raw))
		}
		return nil
	}
	return fmt.Errorf("fields: no way to read a %v", target.Type())
}

func (r *Reader) bindStruct(path string, raw any, target reflect.Value) error {
	given, ok := raw.(map[string]any)
	if !ok {
		return r.keep(say.In(path, wants("fields with values", "{name: value}", raw)))
	}
	fields, found := taggedOf(target.Type()), 0
	for i := range fields {
		f, info := &fields[i].StructField, fields[i].fieldInfo
		value, present := given[info.name]
		if present {
			found++
		}
		if present && value == nil && info.optional {
			present = false
		}
		if !present {
			if info.def != "" {
				value, present = defaultValue(info.def), true
			} else if info.optional {
				continue
			} else {
				if err := r.keep(say.Refuse(join(path, info.name), "", msgMissingField.With(), meaning(info, f.Type))); err != nil {
					return err
				}
				continue
			}
		}
		if err := r.bind(join(path, info.name), value, target.FieldByIndex(f.Index), info); err != nil {
			return err
		}
	}
	if found == len(given) {
		return nil
	}
	names := make([]string, len(fields))
	for i := range fields {
		names[i] = fields[i].name
	}
	var unknown []string
	for name := range given {
		if !slices.Contains(names, name) {
			unknown = append(unknown, name)
		}
	}
	sort.Strings(unknown)
	for _, name := range unknown {
		if r.KeepUnknown {
			r.Unknown = append(r.Unknown, Unknown{Path: join(path, name), Value: given[name]})
			continue
		}
		if err := r.keep(say.Refuse(join(path, name), written(given[name]), msgUnknownField.With(), msgFieldsAre.With(names))); err != nil {
			return err
		}
	}
	return nil
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func defaultValue(text string) any {
	if v, err := strconv.ParseFloat(text, 64); err == nil {
		return v
	}
	if text == "true" || text == "false" {
		return text == "true"
	}
	return text
}

func meaning(info fieldInfo, t reflect.Type) say.Message {
	return Field{Help: info.help, Kind: kindName(t)}.Meaning()
}

func (r *Reader) bindSlice(path string, raw any, target reflect.Value, info fieldInfo) error {
	list, ok := raw.([]any)
	if !ok && single(raw, target.Type().Elem()) { // one value is a list of one
		one := reflect.MakeSlice(target.Type(), 1, 1)
		if err := r.bind(path, raw, one.Index(0), info); err != nil {
			return err
		}
		target.Set(one)
		return nil
	}
	if !ok {
		return r.keep(say.In(path, wants("a list", "["+written(raw)+"]", raw)))
	}
	out := reflect.MakeSlice(target.Type(), len(list), len(list))
	for i, item := range list {
		if err := r.bind(fmt.Sprintf("%s[%d]", path, i), item, out.Index(i), info); err != nil {
			return err
		}
	}
	target.Set(out)
	return nil
}

func (r *Reader) bindMap(path string, raw any, target reflect.Value, info fieldInfo) error {
	given, ok := raw.(map[string]any)
	if !ok {
		return r.keep(say.In(path, wants("names with values", "{name: value}", raw)))
	}
	out := reflect.MakeMap(target.Type())
	names := make([]string, 0, len(given))
	for name := range given {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		value := reflect.New(target.Type().Elem()).Elem()
		if err := r.bind(join(path, name), given[name], value, info); err != nil {
			return err
		}
		out.SetMapIndex(reflect.ValueOf(name), value)
	}
	target.Set(out)
	return nil
}

// single reports whether raw is one value where a list of such values is
// wanted.
func single(raw any, element reflect.Type) bool {
	switch raw.(type) {
	case string, int, int64, uint64, float64:
	default:
		return false
	}
	switch element.Kind() {
	case reflect.Slice, reflect.Map, reflect.Interface:
		return false
	case reflect.Struct:
		return isLeafStruct(element) || reflect.PointerTo(element).Implements(reflect.TypeFor[FromRaw]())
	}
	return true
}

// written shows a raw value as it was written, short.
func written(raw any) string {
	switch v := raw.(type) {
	case nil:
		return ""
	case map[string]any:
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		sort.Strings(names)
		for i, name := range names {
			names[i] = name + ": " + written(v[name])
		}
		return "{" + strings.Join(names, ", ") + "}"
	case []any:
		items := make([]string, len(v))
		for i, item := range v {
			items[i] = written(item)
		}
		return "[" + strings.Join(items, ", ") + "]"
	}
	return fmt.Sprint(raw)
}

// Written returns what stands at a path (points[2].temperature) of what YAML or
// JSON gave, as it was written; "" when nothing is there.
func Written(raw any, path string) string {
	for _, step := range steps(path) {
		switch v := raw.(type) {
		case map[string]any:
			raw = v[step]
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(v) {
				return ""
			}
			raw = v[i]
		default:
			return ""
		}
	}
	switch raw.(type) {
	case map[string]any, []any: // the place is wrong, not one value
		return ""
	}
	return written(raw)
}

func steps(path string) []string {
	return strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' })
}

// wants refuses a value of another kind, with an example of the kind wanted.
func wants(kind, example string, raw any) error {
	return say.Refuse("", written(raw), msgWantsKind.With(kind), msgWriteIt.With(example))
}
