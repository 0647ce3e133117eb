package life

import (
	"math"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

func TestRefusals(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		rows        []Observation
		field, says string
	}{
		{nil, "rows", "no rows"},
		{[]Observation{Running(5), Running(7)}, "rows", "none of the 2"},
		{[]Observation{Failed(5), Failed(5), Running(3)}, "rows", "one age"},
		{[]Observation{Failed(5), Failed(-1)}, "rows[1].time", "above 0"},
		{[]Observation{{Low: 5, High: 3}}, "rows[0].time_high", "before its start"},
		{[]Observation{{Low: 5, High: 5, Entry: 9}}, "rows[0].entry", "before it was installed"},
		{[]Observation{{Low: 5, High: inf, Entry: 5}}, "rows[0].entry", "before it was installed"},
		{[]Observation{{Low: math.NaN(), High: 5}}, "rows[0].time", "finite"},
		{[]Observation{{Low: 5, High: 5, Count: -2}}, "rows[0].count", "more than 0"},
	} {
		_, err := Fit(c.rows, Weibull)
		p := say.AsProblem(err)
		if p == nil || p.Field != c.field || !strings.Contains(p.Error(), c.says) {
			t.Errorf("%v: got %v", c.rows, err)
		}
	}
	for _, c := range []struct {
		systems     []System
		field, says string
	}{
		{nil, "systems", "no systems"},
		{[]System{{[]float64{5, 4}, 10}}, "systems[0].events[1]", "backwards"},
		{[]System{{[]float64{5, 14}, 10}}, "systems[0].events[1]", "rise"},
		{[]System{{[]float64{5}, 0}}, "systems[0].end", "above 0"},
		{[]System{{[]float64{5}, 10}}, "systems", "1 failure cannot"},
	} {
		_, err := FitPowerLaw(c.systems)
		p := say.AsProblem(err)
		if p == nil || p.Field != c.field || !strings.Contains(p.Error(), c.says) {
			t.Errorf("%v: got %v", c.systems, err)
		}
	}
	if _, err := FitLine([]Reading{{1, 2, 0}, {1, 3, 0}, {1, 4, 0}}); err == nil {
		t.Error("one age was fitted")
	}
	if _, err := FitLine([]Reading{{1, 2, 0}, {2, 3, 0.1}}); err == nil {
		t.Error("two readings without u were fitted")
	}
}
