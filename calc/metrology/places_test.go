package metrology

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func millimetres(plane string, degrees, mm float64) Reading {
	return Reading{Plane: plane, Angle: quantity.Angle(degrees * math.Pi / 180), Value: quantity.Length(mm * 1e-3)}
}

// A bore read in three planes and two directions, one place twice; worked by
// hand.
func TestTake(t *testing.T) {
	s, err := Take([]Reading{
		millimetres("A", 0, 40.010), millimetres("A", 90, 40.030),
		millimetres("B", 0, 40.020), millimetres("B", 90, 40.026), millimetres("B", 450, 40.034), // 450° is 90° again
		millimetres("C", 0, 40.050), millimetres("C", 90, 40.060),
	})
	if err != nil {
		t.Fatal(err)
	}
	const um = 1e-6
	close(t, "mean", s.Mean.SI(), 40.0333333e-3, 1e-9)
	close(t, "taper", s.Taper.SI(), 35*um, 1e-12)
	close(t, "plane spread", s.PlaneSpread.SI(), 35*um, 1e-12)
	close(t, "out of round", s.OutOfRound.SI(), 20*um, 1e-12)
	close(t, "spread", s.Spread.SI(), 50*um, 1e-12)
	close(t, "repeat", s.Repeatability.SI(), 8*um/math.Sqrt2, 1e-12)
	if s.RepeatDOF != 1 || len(s.Places) != 6 || len(s.Planes) != 3 {
		t.Errorf("%+v", s)
	}
	if w := s.Worst(Grows); w.Plane != "C" || math.Abs(w.Angle.SI()-math.Pi/2) > 1e-9 {
		t.Errorf("worst place of a bore %+v", w)
	}
	if w := s.Worst(Shrinks); w.Plane != "A" || w.Angle != 0 {
		t.Errorf("worst place of a shaft %+v", w)
	}
	for c, want := range map[Compare]float64{CompareWorst: 40.060e-3, CompareMean: s.Mean.SI(), CompareTaper: 35 * um, CompareSpread: 50 * um, CompareOutOfRound: 20 * um} {
		got, err := s.Number(c, Grows)
		if err != nil {
			t.Fatal(err)
		}
		close(t, string(c), got.SI(), want, 1e-12)
	}
	if _, err := s.Number("best", Grows); say.AsProblem(err) == nil {
		t.Error("an unknown word was taken")
	}
	if err := s.Working().Check(); err != nil {
		t.Error(err)
	}
	if _, err := Take(nil); say.AsProblem(err) == nil {
		t.Error("no readings were taken")
	}
	if _, err := Take([]Reading{millimetres("A", 0, math.NaN())}); say.AsProblem(err) == nil {
		t.Error("NaN was taken")
	}
}

// The spread over places is wear: it changes nothing about the uncertainty of
// a place.
func TestPlaceBudgetLeavesWearOut(t *testing.T) {
	micrometer := Instrument{Name: "bore gauge", Dimension: quantity.LengthDimension, Resolution: 1e-6, CalibrationU: 1e-6}
	u := func(wear float64) float64 {
		s, err := Take([]Reading{millimetres("A", 0, 40), millimetres("A", 0, 40.004), millimetres("B", 0, 40+wear), millimetres("B", 0, 40.004+wear)})
		if err != nil {
			t.Fatal(err)
		}
		b, warnings := s.PlaceBudget(s.Worst(Grows), micrometer)
		c, err := b.Combine(0.95)
		if err != nil || len(warnings) != 0 {
			t.Fatal(err, warnings)
		}
		return c.U
	}
	// resolution 1 µm/√12, calibration 1 µm, repeat 0.004/√2 mm over √2
	close(t, "u", u(0), math.Sqrt(1.0/12+1+4)*1e-6, 1e-12)
	close(t, "u with wear", u(0.3), u(0), 1e-15)
	s, _ := Take([]Reading{millimetres("A", 0, 40)})
	if _, warnings := s.PlaceBudget(s.Places[0], micrometer); len(warnings) != 1 {
		t.Error("missing repeats are not said")
	}
	micrometer.Repeatability = 3e-6
	if b, warnings := s.PlaceBudget(s.Places[0], micrometer); len(warnings) != 0 || len(b.Parts) != 3 {
		t.Error("the stated repeatability is not used")
	}
}

// A circle whose centre has moved is found again, whatever the angles and an
// even taper; derived here.
func TestFirstHarmonic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		moved, toward := rapid.Float64Range(0.001, 1).Draw(t, "moved"), rapid.Float64Range(0, 2*math.Pi).Draw(t, "toward")
		n := rapid.IntRange(3, 12).Draw(t, "n")
		var readings []Reading
		for i := range n {
			angle := 360 * float64(i) / float64(n)
			readings = append(readings, millimetres("A", angle, 20+moved*math.Cos(angle*math.Pi/180-toward)))
		}
		s, err := Take(readings)
		if err != nil {
			t.Fatal(err)
		}
		h, err := s.FirstHarmonic()
		if err != nil {
			t.Fatal(err)
		}
		turn := math.Remainder(h.HighAngle.SI()-toward, 2*math.Pi)
		if math.Abs(h.Amplitude.SI()-moved*1e-3) > 1e-9 || math.Abs(turn) > 1e-5 || h.Residual > 1e-9 {
			t.Fatalf("%+v, want %v toward %v", h, moved, toward)
		}
	})
	s, _ := Take([]Reading{millimetres("A", 0, 1), millimetres("A", 90, 2), millimetres("B", 0, 3)})
	if _, err := s.FirstHarmonic(); say.AsProblem(err) == nil {
		t.Error("two angles were taken")
	}
}

func TestStanding(t *testing.T) {
	day := func(text string) time.Time {
		d, err := time.Parse("2006-01-02", text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	const month = 30 * 24 * time.Hour
	i := Instrument{Name: "micrometer 7", Due: day("2031-06-30")}
	failed := i
	failed.FailedOn = day("2031-05-01")
	cases := []struct {
		i      Instrument
		on     string
		want   Standing
		decide bool
	}{
		{i, "2031-04-01", InDate, true},
		{i, "2031-06-15", DueSoon, true},
		{i, "2031-06-30", DueSoon, true}, // the day itself still counts
		{i, "2031-07-01", Overdue, false},
		{failed, "2031-04-30", InDate, true},
		{failed, "2031-05-01", FailedCheck, false},
		{Instrument{Name: "new"}, "2031-05-01", Uncalibrated, false},
	}
	for _, c := range cases {
		got, message := c.i.StandingOn(day(c.on), month)
		if got != c.want || got.MayDecide() != c.decide || (got == InDate) != message.IsZero() {
			t.Errorf("on %s: %v %q, want %v", c.on, got, message, c.want)
		}
	}
}

// 100 mm of steel (11.5e-6/K) at 30 °C, read with a steel gauge at 30 °C, needs
// no correction; with a gauge at 20 °C the part is 11.5 µm long by heat.
// Source: definition of the coefficient of expansion.
func TestAtReference(t *testing.T) {
	const steel = 11.5e-6
	close(t, "same temperature", AtReference(0.1, steel, steel, 303.15, 303.15).SI(), 0.1, 1e-15)
	close(t, "warm part", AtReference(0.1, steel, steel, 303.15, 293.15).SI(), 0.1-11.5e-6, 1e-12)
	p := TemperaturePart("temperature", 0.05, steel, 2)
	close(t, "contribution", p.U*p.Sensitivity, 1.15e-6, 1e-15)
}

// Two leaves far apart beside u leave a rectangle blurred by the trying:
// mean (a + b)/2, variance (b − a)²/12 + u² (sum of independent variables,
// exact as Φ(x)Φ(y) → Φ(x) + Φ(y) − 1).
func TestFeelerLimits(t *testing.T) {
	goes, noGo := quantity.Length(0.10e-3), quantity.Length(0.20e-3)
	b, err := Feeler{Goes: &goes, NoGo: &noGo, U: 0.005e-3}.Belief(nil)
	if err != nil {
		t.Fatal(err)
	}
	e := b.Estimate()
	close(t, "mean", e.Value.SI(), 0.15e-3, 1e-9)
	close(t, "u", e.U, math.Sqrt(0.1*0.1/12+0.005*0.005)*1e-3, 1e-9)
	close(t, "between the leaves", b.Probability(goes, noGo), 1-0.0399, 0.0005) // 2·0.005·φ-integral: 2u/√(2π)/(b−a) outside
	close(t, "everything", b.Probability(-1, 1), 1, 1e-9)
	close(t, "half", b.Probability(-1, 0.15e-3), 0.5, 1e-6)
}

// One leaf sharpens a prior by half a normal: prior N(m, s), a leaf of
// thickness m that goes, u → 0, leaves the upper half: mean m + s √(2/π),
// variance s² (1 − 2/π). Source: half-normal distribution.
func TestFeelerWithPrior(t *testing.T) {
	goes := quantity.Length(0.15e-3)
	prior := quantity.Within(goes, 0.03e-3)
	b, err := Feeler{Goes: &goes, U: 0.0002e-3}.Belief(&prior)
	if err != nil {
		t.Fatal(err)
	}
	e := b.Estimate()
	close(t, "mean", e.Value.SI(), 0.15e-3+0.03e-3*math.Sqrt(2/math.Pi), 1e-7)
	close(t, "u", e.U, 0.03e-3*math.Sqrt(1-2/math.Pi), 1e-7)
	if _, err := (Feeler{Goes: &goes, U: 1e-6}).Belief(nil); say.AsProblem(err) == nil {
		t.Error("one leaf without a prior was taken")
	}
	far := quantity.Within(quantity.Length(-1e-3), 1e-6)
	if _, err := (Feeler{Goes: &goes, U: 1e-6}).Belief(&far); say.AsProblem(err) == nil {
		t.Error("a contradiction was taken")
	}
	thin := quantity.Length(0.1e-3)
	if _, err := (Feeler{Goes: &goes, NoGo: &thin, U: 1e-6}).Belief(nil); say.AsProblem(err) == nil {
		t.Error("leaves the wrong way round were taken")
	}
}
