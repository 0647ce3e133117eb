package sheet

import (
	"fmt"

	"github.com/invopop/jsonschema"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

var (
	msgWantsValue = say.Define("sheet.wants_value", "wanted is a value with its unit, or value and page")
	msgWriteValue = say.Define("sheet.write_value", "write {example}, or a group of value and page")
)

// Number is a quantity of a sheet with the page of the manual it came from.
type Number[T quantity.Of] struct {
	quantity.Given[T]
	Page string // as written, "" when not stated
}

// FromInput reads a text with unit, or a group of value and page.
func (n *Number[T]) FromInput(raw any) error {
	text, page, err := valueAndPage(raw)
	if err != nil {
		return err
	}
	given, err := quantity.Read[T](text)
	if err != nil {
		return err
	}
	*n = Number[T]{Given: given, Page: page}
	return nil
}

// KindName names the dimension for help.
func (Number[T]) KindName() string {
	var zero T
	return zero.Dimension().String()
}

// JSONSchema describes both ways to write a number.
func (Number[T]) JSONSchema() *jsonschema.Schema {
	var zero T
	return numberSchema(zero.Dimension().String() + ", a number with its unit, for example " + fmt.Sprintf("%q", "12.5 "+quantity.UnitSymbols(zero.Dimension())[0]))
}

// Value is a quantity of a sheet whose dimension follows its unit.
type Value struct {
	quantity.Entered
	Page string
}

// FromInput reads a text with unit, or a group of value and page.
func (v *Value) FromInput(raw any) error {
	text, page, err := valueAndPage(raw)
	if err != nil {
		return err
	}
	e, err := fields.Any{Text: text}.Read()
	if err != nil {
		return err
	}
	*v = Value{Entered: e, Page: page}
	return nil
}

// KindName names the kind for help.
func (Value) KindName() string { return "quantity" }

// JSONSchema describes both ways to write a value.
func (Value) JSONSchema() *jsonschema.Schema {
	return numberSchema("a number with its unit, for example \"0.13 mm\" or \"5 thou\"")
}

func numberSchema(description string) *jsonschema.Schema {
	group := jsonschema.NewProperties()
	group.Set("value", &jsonschema.Schema{Type: "string", Description: description})
	group.Set("page", &jsonschema.Schema{Type: "string", Description: "page of the manual"})
	return &jsonschema.Schema{
		Description: description,
		OneOf: []*jsonschema.Schema{
			{Type: "string"},
			{Type: "object", Properties: group, Required: []string{"value"}},
		},
	}
}

func valueAndPage(raw any) (text, page string, err error) {
	switch v := raw.(type) {
	case string:
		return v, "", nil
	case map[string]any:
		text, ok := v["value"].(string)
		if !ok {
			return "", "", say.Refuse("value", fmt.Sprint(v["value"]), msgWantsValue.With(), msgWriteValue.With(`"0.13 mm"`))
		}
		if p, ok := v["page"]; ok {
			page = fmt.Sprint(p)
		}
		for name := range v {
			if name != "value" && name != "page" {
				return "", "", say.Refuse(name, fmt.Sprint(v[name]), msgWantsValue.With(), msgWriteValue.With(`"0.13 mm"`))
			}
		}
		return text, page, nil
	}
	return "", "", say.Refuse("", fmt.Sprint(raw), msgWantsValue.With(), msgWriteValue.With(fmt.Sprintf("\"%v mm\"", raw)))
}
