package fields

import (
	"reflect"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Field describes one input or result, for help, forms and documents.
type Field struct {
	Name     string
	Kind     string // dimension in trade words, or what else is written there
	Default  string
	Required bool
	Words    []string // the words a text field takes
	Help     string
	Fields   []Field // of a list or a group
	Depth    int
}

var msgMeaning = say.Define("fields.meaning", "{help:message} ({kind:message})")

// Meaning says what is wanted in the field.
func (f Field) Meaning() say.Message {
	kind := say.Known(f.Kind)
	if len(f.Words) > 0 {
		kind = say.Plain(strings.Join(f.Words, ", "))
	}
	return msgMeaning.With(say.Known(f.Help), kind)
}

// At finds the field that a path (points[2].temperature) leads to, or the
// deepest one on the way.
func At(list []Field, path string) (Field, bool) {
	var found Field
	ok := false
	for _, step := range steps(path) {
		for _, f := range list {
			if f.Name == step {
				found, ok = f, true
				list = f.Fields
				break
			}
		}
	}
	return found, ok
}

// Describe lists the fields of a struct type, with those inside them.
func Describe(t reflect.Type) []Field { return describe(t, 0) }

func describe(t reflect.Type, depth int) []Field {
	var list []Field
	if depth > 5 {
		return nil
	}
	for _, f := range Of(t) {
		field := DescribeOne(f)
		field.Depth = depth
		if inner := elementStruct(f.Type); inner != nil {
			field.Fields = describe(inner, depth+1)
		}
		list = append(list, field)
	}
	return list
}

// elementStruct finds the struct inside lists, maps and pointers, unless the
// type reads itself.
func elementStruct(t reflect.Type) reflect.Type {
	for {
		if reflect.PointerTo(t).Implements(reflect.TypeFor[FromRaw]()) {
			return nil
		}
		switch t.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Map:
			t = t.Elem()
			continue
		case reflect.Struct:
			if isLeafStruct(t) {
				return nil
			}
			return t
		}
		return nil
	}
}

func isLeafStruct(t reflect.Type) bool {
	switch reflect.Zero(t).Interface().(type) {
	case Any, AnyResult:
		return true
	}
	_, estimate := EstimateDimension(t)
	return estimate
}

// EstimateDimension recognises quantity.Estimate[T].
func EstimateDimension(t reflect.Type) (quantity.Dimension, bool) {
	if t.Kind() != reflect.Struct || t.NumField() != 2 || t.Field(0).Name != "Value" || t.Field(1).Name != "U" {
		return 0, false
	}
	if !t.Field(0).Type.Implements(quantityType) {
		return 0, false
	}
	return reflect.Zero(t.Field(0).Type).Interface().(quantity.Quantity).Dimension(), true
}

type kindNamed interface{ KindName() string }

func kindName(t reflect.Type) string {
	if t.Kind() == reflect.Pointer {
		return kindName(t.Elem())
	}
	zero := reflect.New(t).Interface()
	if named, ok := zero.(kindNamed); ok {
		return named.KindName()
	}
	switch reflect.Zero(t).Interface().(type) {
	case Any:
		return "quantity or number"
	case AnyResult:
		return "as the input"
	case Hours:
		return "hours or a time"
	case Years:
		return "years or a time"
	}
	if t.Implements(quantityType) {
		return reflect.Zero(t).Interface().(quantity.Quantity).Dimension().String()
	}
	if d, ok := EstimateDimension(t); ok {
		return d.String()
	}
	switch t.Kind() {
	case reflect.Slice:
		return "list of " + kindName(t.Elem())
	case reflect.Map:
		return "by name: " + kindName(t.Elem())
	case reflect.Struct:
		return "group"
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "text"
	}
	return "number"
}

// DescribeOne describes one struct field.
func DescribeOne(f reflect.StructField) Field {
	info := infoOf(f)
	return Field{Name: info.name, Kind: kindName(f.Type), Default: info.def, Required: !info.optional, Words: info.oneOf, Help: info.help}
}

// DefaultValue returns a default as YAML would have given it.
func DefaultValue(text string) any { return defaultValue(text) }
