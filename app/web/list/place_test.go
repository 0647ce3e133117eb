package list

import (
	"testing"

	"pumpwright/app/shop"
)

// A hit names its job once, and keeps words that only begin like the name.
func TestRestOf(t *testing.T) {
	for text, want := range map[string]string{
		"J-1 · P-310 · seal drips": "P-310 · seal drips", "J-1 J-1 P-310": "P-310", "J-1": "", "J-12 leaks": "J-12 leaks", "seal of J-1": "seal of J-1",
	} {
		if got := restOf(shop.Hit{Name: "J-1", Text: text}); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
