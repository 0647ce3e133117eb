package calculator

import (
	"math"
	"reflect"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/fields"
)

// Exit statuses of the command, see the contract of the calculators.
const (
	StatusDone    = 0
	StatusFault   = 1
	StatusRefused = 2
	StatusNotYet  = 3
	StatusFile    = 4
)

// Document returns the outcome as plain maps, lists, texts and numbers for
// JSON: quantities as value, unit, u and text.
func (o *Outcome) Document(s say.Style, withWorking bool) map[string]any {
	doc := map[string]any{
		"calculator": o.Calculator,
		"results":    plain(reflect.ValueOf(o.Out), s),
		"warnings":   say.Texts(o.Notes.Warnings, s),
		"cautions":   say.Texts(o.Notes.Cautions, s),
	}
	if withWorking && o.Notes.Working != nil {
		doc["working"] = WorkingDocument(o.Notes.Working, s)
	}
	return doc
}

// WorkingDocument returns a working as plain maps for JSON.
func WorkingDocument(n *working.Node, s say.Style) map[string]any {
	doc := map[string]any{"id": n.ID, "name": n.Name.Text(s), "text": n.Show(s)}
	if n.Text == "" {
		doc["value"] = jsonNumber(n.Value)
		if n.Dimension != quantity.NoDimension {
			doc["unit"] = n.Dimension.SIUnit()
		}
	}
	if n.U > 0 {
		doc["u"] = n.U
	}
	for key, text := range map[string]string{"symbol": n.Symbol, "equation": n.Equation, "source": n.Source, "ref": n.Ref} {
		if text != "" {
			doc[key] = text
		}
	}
	if len(n.Inputs) > 0 {
		list := make([]any, len(n.Inputs))
		for i, in := range n.Inputs {
			list[i] = WorkingDocument(in, s)
		}
		doc["inputs"] = list
	}
	return doc
}

// Status returns the exit status of the outcome: 0, or 3 when the answer is a
// no or a not yet.
func (o *Outcome) Status() int {
	if o.Notes.OutsideRange || saysNo(reflect.ValueOf(o.Out)) {
		return StatusNotYet
	}
	return StatusDone
}

// saysNo looks at the fields which the contract names: reachable, possible,
// valid, accepted; decision; missing.
func saysNo(v reflect.Value) bool {
	for v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return false
		}
		v = v.Elem()
	}
	if v.Kind() != reflect.Struct {
		return false
	}
	for _, f := range fields.Of(v.Type()) {
		value := v.FieldByIndex(f.Index)
		for value.Kind() == reflect.Pointer && !value.IsNil() {
			value = value.Elem()
		}
		switch fields.Name(f) {
		case "reachable", "possible", "valid", "accepted":
			if value.Kind() == reflect.Bool && !value.Bool() {
				return true
			}
		case "decision":
			if value.Kind() == reflect.String && value.String() == "measure again" {
				return true
			}
		case "missing":
			if (value.Kind() == reflect.Slice || value.Kind() == reflect.Map) && value.Len() > 0 {
				return true
			}
		}
	}
	return false
}

func quantityDocument(d quantity.Dimension, si, u float64, text string) any {
	doc := map[string]any{"value": jsonNumber(si), "unit": d.SIUnit(), "text": text}
	if u > 0 {
		doc["u"] = u
	}
	return doc
}

func jsonNumber(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v
}

// plain turns a result into maps, lists and numbers; nil pointers and missing
// values are left out.
func plain(v reflect.Value, s say.Style) any {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			return nil
		}
		return plain(v.Elem(), s)
	}
	switch r := v.Interface().(type) {
	case say.Message:
		return r.Text(s)
	case AnyResult:
		if r.Dimension == quantity.NoDimension && r.U == 0 {
			return jsonNumber(r.SI)
		}
		if r.Dimension == quantity.NoDimension {
			return map[string]any{"value": jsonNumber(r.SI), "unit": "", "u": r.U, "text": r.Show(s)}
		}
		return quantityDocument(r.Dimension, r.SI, r.U, r.Show(s))
	case quantity.Quantity:
		return quantityDocument(r.Dimension(), r.SI(), 0, r.Show(s))
	}
	if d, ok := fields.EstimateDimension(v.Type()); ok {
		si, u := v.Field(0).Float(), v.Field(1).Float()
		return quantityDocument(d, si, u, quantity.ShowWithU(d, si, u, s))
	}
	switch v.Kind() {
	case reflect.Struct:
		return plainStruct(v, s)
	case reflect.Slice, reflect.Array:
		list := make([]any, v.Len())
		for i := range list {
			list[i] = plain(v.Index(i), s)
		}
		return list
	case reflect.Map:
		doc := map[string]any{}
		for _, key := range v.MapKeys() {
			doc[key.String()] = plain(v.MapIndex(key), s)
		}
		return doc
	case reflect.Float64:
		return jsonNumber(v.Float())
	}
	return v.Interface()
}

func plainStruct(v reflect.Value, s say.Style) any {
	doc := map[string]any{}
	for _, f := range fields.Of(v.Type()) {
		value := v.FieldByIndex(f.Index)
		if value.Kind() == reflect.Pointer && value.IsNil() {
			continue
		}
		if (value.Kind() == reflect.Slice || value.Kind() == reflect.Map) && value.IsNil() && f.Tag.Get("optional") == "yes" {
			continue
		}
		doc[fields.Name(f)] = plain(value, s)
	}
	return doc
}
