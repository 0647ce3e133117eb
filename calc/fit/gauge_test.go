package fit

import (
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// bronzeInIron is the second row of TestPressCases: 9.867 kN over 45 mm for a
// friction of 0.12, computed with numpy 1.24.2.
func bronzeInIron(t testing.TB) PressResult {
	r, err := Press(PressInput{MatingDiameter: mm(40), Interference: mm(0.030), SleeveBore: mm(30), HousingOuter: mm(80), Length: mm(45),
		Sleeve: own(t, "bronze", 100, 0.34, 18), Housing: own(t, "iron", 100, 0.26, 11.4), Friction: 0.12, Bench: celsius(20)})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func gauge(engaged, kN float64) GaugeReading {
	return GaugeReading{mm(engaged), quantity.Within(quantity.Force(kN*1e3), 0)}
}

// The verdicts follow from F(x) = F x/L and a friction between 0.05 and 0.2
// (common practice, no source): 4.111 kN to 16.445 kN for this fit.
func TestStrokeCases(t *testing.T) {
	r := bronzeInIron(t)
	for _, row := range []struct {
		name     string
		readings []GaugeReading
		want     StrokeVerdict
	}{
		{"as computed", []GaugeReading{gauge(0, 9.9)}, StrokeAsComputed},
		{"well lubricated", []GaugeReading{gauge(0, 4.3)}, StrokeAsComputed},
		{"dry", []GaugeReading{gauge(0, 16.2)}, StrokeAsComputed},
		{"over size", []GaugeReading{gauge(0, 17)}, StrokeAbove},
		{"under size", []GaugeReading{gauge(0, 3.9)}, StrokeBelow},
		{"straight", []GaugeReading{gauge(11.25, 2.4), gauge(22.5, 5), gauge(45, 9.9)}, StrokeAsComputed},
		{"cocked", []GaugeReading{gauge(11.25, 7), gauge(22.5, 8), gauge(45, 9.9)}, StrokeEarly},
		{"cocked, peak without a place", []GaugeReading{gauge(11.25, 7), gauge(0, 9.9)}, StrokeEarly},
		{"stuck at the entry", []GaugeReading{gauge(5, 30)}, StrokeAbove},
	} {
		c, err := r.CheckStroke(row.readings, 0)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		if c.Verdict != row.want || c.Message.IsZero() {
			t.Errorf("%s: %s (%s), want %s", row.name, c.Verdict, c.Message, row.want)
		}
		within(t, "least", float64(c.Low)/1e3, 9.867*0.05/0.12, 0.001)
		within(t, "most", float64(c.High)/1e3, 9.867*0.2/0.12, 0.001)
		for _, n := range c.Workings() {
			if err := n.Check(); err != nil {
				t.Error(err)
			}
		}
	}
	// A doubtful interference widens the band, a doubtful gauge does not tell.
	if c, err := r.CheckStroke([]GaugeReading{gauge(0, 17)}, mm(0.003)); err != nil || c.Verdict != StrokeAsComputed {
		t.Errorf("interference ± 0.006 mm: %s %v", c.Verdict, err)
	}
	unsure := GaugeReading{0, quantity.Within(quantity.Force(17e3), 500)}
	if c, err := r.CheckStroke([]GaugeReading{unsure}, 0); err != nil || c.Verdict != StrokeAsComputed {
		t.Errorf("gauge ± 1 kN: %s %v", c.Verdict, err)
	}
}

func TestStrokeRefusals(t *testing.T) {
	r := bronzeInIron(t)
	short := r
	short.PressForce, short.Input.Length = 0, 0
	for _, row := range []struct {
		field    string
		r        PressResult
		readings []GaugeReading
	}{
		{"force", r, nil},
		{"force", r, []GaugeReading{gauge(0, 0)}},
		{"force", r, []GaugeReading{gauge(0, -3)}},
		{"engaged", r, []GaugeReading{gauge(46, 3)}},
		{"engaged", r, []GaugeReading{gauge(-1, 3)}},
		{"length", short, []GaugeReading{gauge(0, 3)}},
	} {
		_, err := row.r.CheckStroke(row.readings, 0)
		if p := say.AsProblem(err); p == nil || p.Field != row.field {
			t.Errorf("%v: %v, want the field %s", row.readings, err, row.field)
		}
	}
}

// A stroke in proportion to the length never rises early, whatever its
// friction; the verdict on its height goes only one way as the force grows.
func TestStrokeLaws(t *testing.T) {
	r := bronzeInIron(t)
	rank := map[StrokeVerdict]int{StrokeBelow: 0, StrokeAsComputed: 1, StrokeAbove: 2}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "n")
		scale := rapid.Float64Range(0.01, 10).Draw(t, "scale")
		stroke := func(scale float64) []GaugeReading {
			var list []GaugeReading
			for i := 1; i <= n; i++ {
				share := float64(i) / float64(n)
				list = append(list, GaugeReading{mm(45 * share), quantity.Within(r.PressForce*quantity.Force(scale*share), 0)})
			}
			return list
		}
		low, err := r.CheckStroke(stroke(scale), 0)
		if err != nil {
			t.Fatal(err)
		}
		high, err := r.CheckStroke(stroke(scale*1.3), 0)
		if err != nil {
			t.Fatal(err)
		}
		if low.EarlyAt != nil || rank[low.Verdict] > rank[high.Verdict] {
			t.Errorf("%g: %s, then %s (%v)", scale, low.Verdict, high.Verdict, low.EarlyAt)
		}
	})
}

func BenchmarkStroke(b *testing.B) {
	r := bronzeInIron(b)
	readings := []GaugeReading{gauge(11.25, 2.4), gauge(22.5, 5), gauge(45, 9.9)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.CheckStroke(readings, mm(0.001)); err != nil {
			b.Fatal(err)
		}
	}
}
