package sheet

import (
	"fmt"

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
