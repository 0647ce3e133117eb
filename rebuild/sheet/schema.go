package sheet

import (
	"encoding/json"
	"reflect"

	"github.com/invopop/jsonschema"

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
