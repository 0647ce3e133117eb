//go:build !js

package sheet

import (
	"encoding/json"
	"fmt"
	"reflect"

	"github.com/invopop/jsonschema"

	"pumpwright/calc/quantity"
	"pumpwright/rebuild/fields"
)

// Schema returns the JSON Schema (2020-12) of model sheets, so that editors
// complete and check them while they are typed.
func Schema() ([]byte, error) {
	return schemaOf(reflect.TypeFor[Sheet](), "Model sheet of a rotary pump")
}

// ServiceSchema returns the JSON Schema of a service.
func ServiceSchema() ([]byte, error) {
	return schemaOf(reflect.TypeFor[Service](), "Service of a rotary pump")
}

func schemaOf(t reflect.Type, title string) ([]byte, error) {
	schema := groupSchema(t)
	schema.Version = jsonschema.Version
	schema.Title = title
	return json.MarshalIndent(schema, "", "  ")
}

// groupSchema follows the tags that the reader follows, so that the schema
// accepts what Parse accepts. Fields that it does not know are allowed: Parse
// keeps and says them.
func groupSchema(t reflect.Type) *jsonschema.Schema {
	properties := jsonschema.NewProperties()
	schema := &jsonschema.Schema{Type: "object", Properties: properties}
	for _, f := range fields.Of(t) {
		d := fields.DescribeOne(f)
		property := typeSchema(f.Type)
		if len(d.Words) > 0 {
			for _, w := range d.Words {
				property.Enum = append(property.Enum, w)
			}
		}
		if d.Help != "" {
			property.Description = d.Help
		}
		if d.Default != "" {
			property.Default = fields.DefaultValue(d.Default)
		}
		properties.Set(d.Name, property)
		if d.Required {
			schema.Required = append(schema.Required, d.Name)
		}
	}
	return schema
}

type selfDescribing interface{ JSONSchema() *jsonschema.Schema }

func typeSchema(t reflect.Type) *jsonschema.Schema {
	if t.Kind() == reflect.Pointer {
		return typeSchema(t.Elem())
	}
	if self, ok := reflect.New(t).Interface().(selfDescribing); ok {
		return self.JSONSchema()
	}
	switch t.Kind() {
	case reflect.Struct:
		return groupSchema(t)
	case reflect.Slice:
		return &jsonschema.Schema{Type: "array", Items: typeSchema(t.Elem())}
	case reflect.Map:
		return &jsonschema.Schema{Type: "object", AdditionalProperties: typeSchema(t.Elem())}
	case reflect.Bool:
		return &jsonschema.Schema{Type: "boolean"}
	case reflect.Int:
		return &jsonschema.Schema{Type: "integer"}
	case reflect.Float64:
		return &jsonschema.Schema{Type: "number"}
	case reflect.String:
		return &jsonschema.Schema{Type: "string"}
	}
	return &jsonschema.Schema{}
}

// JSONSchema describes both ways to write a number.
func (Number[T]) JSONSchema() *jsonschema.Schema {
	var zero T
	return numberSchema(zero.Dimension().String() + ", a number with its unit, for example " + fmt.Sprintf("%q", "12.5 "+quantity.UnitSymbols(zero.Dimension())[0]))
}

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

// JSONSchema describes both ways to write a material.
func (Material) JSONSchema() *jsonschema.Schema {
	group := jsonschema.NewProperties()
	for name, description := range map[string]string{"name": "name", "expansion": "expansion with unit, for example 11e-6/K", "youngs_modulus": "modulus with unit", "page": "page of the manual"} {
		group.Set(name, &jsonschema.Schema{Type: "string", Description: description})
	}
	group.Set("poisson", &jsonschema.Schema{Type: "number", Description: "Poisson's ratio"})
	return &jsonschema.Schema{OneOf: []*jsonschema.Schema{{Type: "string"}, {Type: "object", Properties: group}}}
}
