package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"sort"
)

// Canonical returns the canonical bytes of a JSON text: keys sorted, no white
// space, numbers as written, characters not escaped beyond need.
func Canonical(raw []byte) ([]byte, error) {
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.UseNumber()
	var value any
	if err := decoder.Decode(&value); err != nil {
		return nil, fmt.Errorf("record: body is not JSON: %w", err)
	}
	if _, err := decoder.Token(); err != io.EOF {
		return nil, fmt.Errorf("record: body has text after its JSON")
	}
	var out bytes.Buffer
	if err := writeCanonical(&out, value); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// CanonicalOf returns the canonical bytes of a Go value.
func CanonicalOf(value any) ([]byte, error) {
	raw, err := json.Marshal(value)
	if err != nil {
		return nil, fmt.Errorf("record: body cannot be written: %w", err)
	}
	return Canonical(raw)
}

func writeCanonical(out *bytes.Buffer, value any) error {
	switch v := value.(type) {
	case map[string]any:
		keys := make([]string, 0, len(v))
		for key := range v {
			keys = append(keys, key)
		}
		sort.Strings(keys)
		out.WriteByte('{')
		for i, key := range keys {
			if i > 0 {
				out.WriteByte(',')
			}
			if err := writeText(out, key); err != nil {
				return err
			}
			out.WriteByte(':')
			if err := writeCanonical(out, v[key]); err != nil {
				return err
			}
		}
		out.WriteByte('}')
	case []any:
		out.WriteByte('[')
		for i, item := range v {
			if i > 0 {
				out.WriteByte(',')
			}
			if err := writeCanonical(out, item); err != nil {
				return err
			}
		}
		out.WriteByte(']')
	case string:
		return writeText(out, v)
	case json.Number:
		out.WriteString(v.String())
	case bool:
		fmt.Fprint(out, v)
	case nil:
		out.WriteString("null")
	default:
		return fmt.Errorf("record: no canonical form for %T", value)
	}
	return nil
}

func writeText(out *bytes.Buffer, text string) error {
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(text); err != nil {
		return err
	}
	out.Truncate(out.Len() - 1) // the encoder's line end
	return nil
}
