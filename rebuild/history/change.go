package history

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Upgrade is something that was changed for good at a rebuild.
type Upgrade struct {
	Job  string
	At   int // place in Machine.Jobs
	What say.Message
}

var (
	msgUpModel   = say.Define("history.up_model", "model sheet {before} became {after}")
	msgUpLiquid  = say.Define("history.up_liquid", "liquid {before} became {after}")
	msgUpSpeed   = say.Define("history.up_speed", "speed {before:rotational_speed} became {after:rotational_speed}")
	msgUpPlace   = say.Define("history.up_place", "it moved from {before} to {after}")
	msgUpElastic = say.Define("history.up_elastomer", "{part}: elastomer {before} became {after}")
)

// Upgrades finds what was changed from one job to the next: model, liquid,
// speed, place, elastomers.
func (m *Machine) Upgrades() []Upgrade {
	var list []Upgrade
	elastomer := map[string]string{}
	for i := range m.Jobs {
		s := &m.Jobs[i]
		add := func(what say.Message) { list = append(list, Upgrade{s.Job, i, what}) }
		if i > 0 {
			b := &m.Jobs[i-1]
			if differ(b.Model, s.Model) {
				add(msgUpModel.With(b.Model, s.Model))
			}
			if differ(b.Liquid, s.Liquid) {
				add(msgUpLiquid.With(b.Liquid, s.Liquid))
			}
			if differ(b.Tag, s.Tag) {
				add(msgUpPlace.With(b.Tag, s.Tag))
			}
			if b.Speed > 0 && s.Speed > 0 && math.Abs(s.Speed/b.Speed-1) > 0.02 {
				add(msgUpSpeed.With(quantity.RotationalSpeed(b.Speed), quantity.RotationalSpeed(s.Speed)))
			}
		}
		for _, f := range s.Fitted {
			if f.Elastomer == "" {
				continue
			}
			if before := elastomer[f.Part]; differ(before, f.Elastomer) {
				add(msgUpElastic.With(f.Part, before, f.Elastomer))
			}
			elastomer[f.Part] = f.Elastomer
		}
	}
	return list
}

func differ(a, b string) bool { return a != "" && b != "" && a != b }

// Change is how one thing went before and after a job.
type Change struct {
	Feature       string // "" for the run between rebuilds
	Name          string
	Dimension     quantity.Dimension
	Before, After life.Rate // wear for each hour toward the limit, or hours between rebuilds
	Parts         [2]int    // how many stand behind each
	P             float64   // chance of such a difference by accident; 0 when not known
}

// ChangesAt compares wear rates before and after a job, for each feature with
// a rate on both sides.
//
//	z = (after − before)/√(u² + u²)
//
// u of a mean of parts holds their scatter where there are several. Source:
// two-sample test, normal; common practice.
func (m *Machine) ChangesAt(at int) []Change {
	if at < 0 || at >= len(m.Jobs) {
		return nil
	}
	end := m.Jobs[at].Closed
	if end == 0 {
		end = m.Jobs[at].Opened
	}
	var list []Change
	for _, id := range m.Features() {
		t := m.TrackOf(id)
		var sides [2][]life.Rate
		for i := range t.Stretches {
			line, err := life.FitLine(t.Readings(i))
			if err != nil || !(line.SlopeU > 0) {
				continue
			}
			side := 0
			if t.Stretches[i].From >= end {
				side = 1
			}
			rate := life.Rate{Slope: line.Slope, U: line.SlopeU}
			if !t.Rising {
				rate.Slope = -rate.Slope
			}
			sides[side] = append(sides[side], rate)
		}
		if len(sides[0]) == 0 || len(sides[1]) == 0 {
			continue
		}
		c := Change{Feature: id, Name: t.Name, Dimension: t.Dimension, Before: meanRate(sides[0]), After: meanRate(sides[1]),
			Parts: [2]int{len(sides[0]), len(sides[1])}}
		z := math.Abs(c.After.Slope-c.Before.Slope) / math.Hypot(c.Before.U, c.After.U)
		c.P = 2 * distuv.UnitNormal.Survival(z)
		list = append(list, c)
	}
	return list
}

func meanRate(rates []life.Rate) life.Rate {
	if p, err := life.Pool(rates); err == nil {
		return life.Rate{Slope: p.Mean, U: p.MeanU}
	}
	return rates[0]
}
