package calculator

import (
	"math"
	"testing"

	"pumpwright/calc/say"
)

func identified(t *testing.T, input string) (map[string]any, *Outcome) {
	t.Helper()
	c, err := Find("identify")
	if err != nil {
		t.Fatal(err)
	}
	outcome, err := c.Run(nil, []byte(input))
	if err != nil {
		t.Fatalf("%s: %v", input, err)
	}
	return outcome.Document(say.Style{}, true)["results"].(map[string]any), outcome
}

// The invented sheets told apart; a size of none of them is none of them.
func TestIdentifyCalculator(t *testing.T) {
	r, _ := identified(t, "measured: [{what: rotor_diameter, value: 6.29 in, u: 1 thou}, {what: bolt_count, value: 8}, {what: jacketed, value: no}]")
	if r["best"] != "demo-pump-m" || r["settled"] != true {
		t.Errorf("%v", r)
	}
	sum := r["none"].(float64)
	for _, c := range r["candidates"].([]any) {
		sum += c.(map[string]any)["probability"].(float64)
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("chances add to %v", sum)
	}
	r, _ = identified(t, "measured: [{what: rotor_diameter, value: 230 mm}, {what: bolt_count, value: 10}]")
	if r["best"] != "none" {
		t.Errorf("%v", r["best"])
	}
	r, outcome := identified(t, "{}")
	if r["next_measurement"] == nil || r["settled"] != false || len(outcome.Notes.Warnings) < 2 {
		t.Errorf("nothing measured: %v, %v", r["next_measurement"], outcome.Notes.Warnings)
	}
}

func TestIdentifyRefusals(t *testing.T) {
	c, err := Find("identify")
	if err != nil {
		t.Fatal(err)
	}
	for input, field := range map[string]string{
		"measured: [{what: colour, value: 3 mm}]":                  "measured[0].what",
		"measured: [{what: shaft, value: 3}]":                      "measured[0].value",
		"measured: [{what: shaft, value: 3 kg}]":                   "measured[0].value",
		"measured: [{what: shaft, value: -3 mm}]":                  "measured[0].value",
		"measured: [{what: bolt_count, value: 8 mm}]":              "measured[0].value",
		"measured: [{what: shaft_seal, value: cork}]":              "measured[0].value",
		"measured: [{what: shaft, value: 40 mm, u: 3 kg}]":         "measured[0].u",
		"sheets: [demo-pump-x]":                                    "sheets[0]",
		"none: 1.5":                                                "none",
		"{sheets: [demo-pump-m], seen: {demo-pump-m: -1}}":         "seen.demo-pump-m",
		"{measured: [{what: shaft, value: 40 mm}], colour: green}": "colour",
	} {
		_, err := c.Run(nil, []byte(input))
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v, want a refusal of %s", input, err, field)
		}
	}
}
