package sheet

import (
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/window"
)

// MetalPair returns the pair of metals that would touch, rotor against head;
// false when the sheet does not say what they are made of.
func (s *Sheet) MetalPair() (window.Pair, bool) {
	a, b := metalOf(s.Materials["rotor"].Name), metalOf(s.Materials["head"].Name)
	if a == "" || b == "" {
		return "", false
	}
	for _, pair := range window.Pairs() {
		if pair == a+"-"+b || pair == b+"-"+a {
			return window.Pair(pair), true
		}
	}
	return "", false
}

// metalOf finds the kind of metal in the name of a material.
func metalOf(name string) string {
	lower := strings.ToLower(name)
	for _, m := range []struct{ word, metal string }{{"stainless", "stainless"}, {"bronze", "bronze"}, {"carbon-graphite", "carbon"}, {"carbon graphite", "carbon"}, {"iron", "iron"}, {"steel", "iron"}, {"carbon", "carbon"}} {
		if strings.Contains(lower, m.word) {
			return m.metal
		}
	}
	return ""
}

// ManualRows returns the rows of the manual's table of end clearance.
func (s *Sheet) ManualRows() []window.Row {
	rows := make([]window.Row, len(s.EndClearance.Rows))
	for i, r := range s.EndClearance.Rows {
		rows[i] = window.Row{ViscosityFrom: valueOf(r.ViscosityFrom), ViscosityTo: valueOf(r.ViscosityTo),
			TemperatureFrom: valueOf(r.TemperatureFrom), TemperatureTo: valueOf(r.TemperatureTo), Low: r.Low.Value, High: r.High.Value, Ref: r.Low.Page}
	}
	return rows
}

func valueOf[T quantity.Of](n *Number[T]) *T {
	if n == nil {
		return nil
	}
	return &n.Value
}
