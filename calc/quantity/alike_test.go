package quantity

import (
	"strings"
	"testing"

	"pumpwright/calc/say"
)

// 15.51 kPa alone, 0.155 bar beside 1.6 bar: one unit in a column.
func TestColumn(t *testing.T) {
	small, large := PressureDifference(15510), PressureDifference(160e3)
	if got := small.Show(say.Style{}); !strings.HasSuffix(got, "kPa") {
		t.Fatalf("alone %s: this test shows nothing", got)
	}
	c := ColumnOf(small, large)
	for v, want := range map[PressureDifference]string{small: "0.16 bar", large: "1.6 bar", 0: "0 bar"} {
		got := c.Cell(v).Show(say.Style{})
		if !strings.HasSuffix(got, " bar") || v == large && got != want {
			t.Errorf("%v: %s", v, got)
		}
	}
	if got := ColumnOf[PressureDifference]().Cell(small).Show(say.Style{}); got == "" {
		t.Error("an empty column shows nothing")
	}
	if got := c.Cell(Length(0.01)).Show(say.Style{}); got != Length(0.01).Show(say.Style{}) {
		t.Errorf("a length in a column of pressures: %s", got)
	}
}
