package figure

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pumpwright/app/draw"
	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// demoTrend is an invented bushing, renewed once.
func demoTrend() Trend {
	t := Trend{Name: say.Plain("clearance of the idler bushing on its pin, diametral"), Dimension: quantity.LengthDimension, Limit: ptr(0.2e-3), Renewed: []float64{9000}, Now: 14000,
		Due: &TrendDue{At: ptr(17500.0), Words: say.Plain("That is on 2027-05-01.")}}
	for i, p := range [][2]float64{{0, 0.085}, {4000, 0.14}, {9000, 0.213}, {9000, 0.084}, {12000, 0.128}, {12500, 0.19}} {
		t.Points = append(t.Points, TrendPoint{Hours: p[0], Value: p[1] * 1e-3, U: 4e-6, Part: i / 3, BySheet: i == 0, LeftOut: i == 5, State: draw.Good})
	}
	for h := 12000.0; h <= 18000; h += 1000 {
		middle := 0.128e-3 + (h-12000)*14e-9
		t.Ahead = append(t.Ahead, TrendBand{h, middle - (h-11000)*3e-9, middle, middle + (h-11000)*3e-9})
	}
	return t
}

func demoLife() Life {
	l := Life{Name: say.Plain("shaft seal"), Setting: say.Plain("9 worn out, 3 still run, invented")}
	for i, liquid := range []string{"light oil", "water"} {
		m := life.Model{Distribution: life.Weibull, Shape: 2, Scale: 12000 / float64(i+1)}
		var rows []life.Observation
		for k := range 12 {
			age := m.AgeAt((float64(k) + 0.5) / 12)
			if k%4 == 3 {
				rows = append(rows, life.Running(age))
			} else {
				rows = append(rows, life.Failed(age))
			}
		}
		steps, err := life.KaplanMeier(rows, 0.9)
		if err != nil {
			panic(err)
		}
		l.Groups = append(l.Groups, LifeGroup{say.Plain(liquid), steps, &m})
	}
	return l
}

func demoTimeline(jobs int) Timeline {
	t := Timeline{Name: say.Plain("KX-00001"), Now: time.Date(2026, 6, 30, 0, 0, 0, 0, time.UTC)}
	day := time.Date(2014, 3, 1, 0, 0, 0, 0, time.UTC)
	for i := range jobs {
		next := day.AddDate(0, 0, 4300/jobs-i%5)
		t.Runs = append(t.Runs, TimelineRun{day, next, "P-310"})
		t.Jobs = append(t.Jobs, TimelineJob{fmt.Sprintf("J-%d", 1000+i), next, i%5 == 3})
		day = next.AddDate(0, 0, 10)
	}
	t.Due = &TimelineDue{Near: t.Now.AddDate(0, 5, 0), At: t.Now.AddDate(1, 2, 0), Far: t.Now.AddDate(9, 0, 0), Name: say.Plain("idler bushing")}
	return t
}

// A Weibull life is a straight line on its plot: ln(−ln(1 − F)) = β·ln t − β·ln η,
// from the definition of the distribution.
func TestWeibullScaleIsStraight(t *testing.T) {
	m := life.Model{Distribution: life.Weibull, Shape: 1.7, Scale: 800}
	for _, age := range []float64{20, 300, 2500} {
		if got, want := weibullScale(m.Failed(age)), 1.7*math.Log(age/800); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %v: %v, want %v", age, got, want)
		}
	}
}

// Without data there is a sheet that says so.
func TestEmptyHistoryFigures(t *testing.T) {
	for _, f := range []drawer{Trend{}, Life{}, Timeline{}, Trend{Points: []TrendPoint{{Value: math.NaN()}}}} {
		checkSheet(t, fmt.Sprintf("%T", f), f.Draw(say.Style{}))
	}
}
