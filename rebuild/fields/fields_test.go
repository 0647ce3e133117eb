package fields

import (
	"strings"
	"testing"

	"pumpwright/calc/quantity"
)

type part struct {
	Bore  quantity.Length  `json:"bore" help:"bore"`
	Count int              `json:"count" default:"2" help:"how many"`
	Grade *string          `json:"grade" help:"grade"`
	Kind  string           `json:"kind" default:"pin" oneof:"pin|bush" help:"kind"`
	Far   *quantity.Length `json:"far" help:"far"`
}

type whole struct {
	Parts []part         `json:"parts" help:"parts"`
	Named map[string]int `json:"named" optional:"yes" help:"counts by name"`
}

// Every refusal names its path; with All the reader goes on and keeps what it
// could read, with KeepUnknown it keeps what it has no place for.
func TestReader(t *testing.T) {
	raw := map[string]any{
		"colour": "red",
		"parts": []any{
			map[string]any{"bore": "30 mm"},
			map[string]any{"bore": "30 bar", "kind": "wing"},
			map[string]any{"count": 3, "extra": 1},
		},
		"named": map[string]any{"a": "x"},
	}
	var w whole
	r := Reader{All: true, KeepUnknown: true}
	if err := r.Bind(raw, &w); err == nil {
		t.Fatal("nothing was refused")
	}
	var paths []string
	for _, p := range r.Problems {
		paths = append(paths, p.Field)
	}
	if got := strings.Join(paths, " "); got != "parts[1].bore parts[1].kind parts[2].bore named.a" {
		t.Errorf("problems at %s", got)
	}
	if len(r.Unknown) != 2 || r.Unknown[0].Path != "parts[2].extra" || r.Unknown[1].Path != "colour" {
		t.Errorf("unknown: %+v", r.Unknown)
	}
	if len(w.Parts) != 3 || w.Parts[0].Bore != 0.030 || w.Parts[0].Count != 2 || w.Parts[0].Kind != "pin" || w.Parts[0].Far != nil {
		t.Errorf("what could be read was not kept: %+v", w)
	}
	if err := Bind(raw, &whole{}); err == nil {
		t.Error("an unknown field was taken")
	}
}
