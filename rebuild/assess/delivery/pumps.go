package delivery

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// curvePoints is the number of places on a curve over pressure.
const curvePoints = 13

// pumps works out the three states.
func (w *worker) pumps() {
	var err error
	w.warm, err = machine.WarmTo(w.in.Sheet, machine.BenchOf(w.in.Shop), w.ambient(), w.c.Temperature)
	if err != nil {
		w.c.Unknown = msgWindowNil.With(err)
		w.c.Warnings = append(w.c.Warnings, w.c.Unknown)
		return
	}
	w.c.Notes = append(w.c.Notes, w.warm.Unknown...)
	w.c.Pressures = w.pressures()
	w.c.Found, w.c.Left, w.c.New = w.pump(machine.Found), w.pump(machine.Left), w.pump(machine.New)
	w.upgrade()
	w.beside()
}

var msgNoUpgradePart = say.Define("delivery.no_upgrade_part", "the upgrade “{name}” renews “{part}”, which the model sheet does not have; it is left out")

// upgrade works out the pump as left with what the shop's upgrade changes.
func (w *worker) upgrade() {
	u := w.in.Shop.UpgradeOf(w.in.Sheet.Name)
	if u == nil || !u.Sized() || w.c.Left.Machine == nil {
		return
	}
	set := w.c.Left.Machine.Set
	for _, part := range u.Renews {
		if w.in.Sheet.Part(part) == nil {
			w.warn(msgNoUpgradePart.With(u.Name, part))
			continue
		}
		set, _ = set.Renew(part)
	}
	if u.EndClearance != nil {
		set = set.WithEnd(quantity.Estimate[quantity.Length]{Value: *u.EndClearance})
	}
	w.c.Upgraded = w.pumpOf(set)
}

// pressures run from near nothing to somewhat above the service.
func (w *worker) pressures() []quantity.PressureDifference {
	top := 1.25 * w.c.Duty.Pressure.SI()
	list := make([]quantity.PressureDifference, curvePoints)
	for i := range list {
		list[i] = quantity.PressureDifference(top * float64(i) / (curvePoints - 1))
	}
	return list
}

func (w *worker) pump(state machine.State) *Pump {
	set := w.set(state)
	if state != machine.New && !set.AnyRead() {
		p := &Pump{State: state, Contact: msgNothing.With(state)}
		w.note(p.Contact)
		return p
	}
	return w.pumpOf(set)
}

// pumpOf works out the pump of a set of sizes.
func (w *worker) pumpOf(set machine.Set) *Pump {
	p := &Pump{State: set.State}
	m, err := machine.Assemble(w.base, set, w.warm)
	if err != nil {
		p.Contact = say.Plain(err.Error())
		w.c.Warnings = append(w.c.Warnings, p.Contact)
		return p
	}
	p.Machine, p.Contact = m, m.Contact
	for _, n := range m.Notes {
		w.note(n)
	}
	if !p.Contact.IsZero() {
		w.c.Warnings = append(w.c.Warnings, p.Contact)
		return p
	}
	for _, at := range w.c.Pressures {
		e, err := m.PredictBy(w.fit, w.c.Liquid, slip.Point{Speed: w.c.Duty.Speed, Pressure: at})
		if err != nil {
			w.c.Warnings = append(w.c.Warnings, say.Plain(err.Error()))
			p.Flow, p.Power = nil, nil
			return p
		}
		p.Flow, p.FlowU = append(p.Flow, e.Flow.Value), append(p.FlowU, e.Flow.U)
		if e.Power != nil {
			p.Power, p.PowerU = append(p.Power, e.Power.Value), append(p.PowerU, e.Power.U)
		}
	}
	if p.Duty, err = m.PredictBy(w.fit, w.c.Liquid, w.c.Duty); err != nil {
		w.c.Warnings = append(w.c.Warnings, say.Plain(err.Error()))
		return p
	}
	for _, n := range p.Duty.Result.Warnings {
		w.warn(n)
	}
	if p.Duty.Power == nil {
		w.note(p.Duty.Result.Unknown)
	}
	if r := w.c.Required; r != nil {
		chance := 0.0
		switch u := p.Duty.Flow.U; {
		case u > 0:
			chance = distuv.UnitNormal.CDF((p.Duty.Flow.Value - *r).SI() / u)
		case p.Duty.Flow.Value >= *r:
			chance = 1
		}
		p.MeetsAll = &chance
	}
	return p
}

func (w *worker) note(m say.Message) { w.c.Notes = once(w.c.Notes, m) }
func (w *worker) warn(m say.Message) { w.c.Warnings = once(w.c.Warnings, m) }

func once(list []say.Message, m say.Message) []say.Message {
	for _, have := range list {
		if have.String() == m.String() {
			return list
		}
	}
	return append(list, m)
}

// beside says what stands beside the flow: what was not read, play on the pin
// that the model does not know, a bore worn to one side.
func (w *worker) beside() {
	for _, p := range []*Pump{w.c.Found, w.c.Left} {
		if p.Machine == nil {
			continue
		}
		names, newParts := p.Machine.Set.Unread()
		if len(names) > 0 {
			w.note(msgUnread.With(p.State, names))
		}
		if len(newParts) > 0 {
			w.note(msgNewParts.With(newParts))
		}
		play, fresh := p.Machine.Model.Pump().Pin.Clearance, w.base.Pin.Clearance
		if fresh > 0 && play > 2*fresh {
			w.warn(msgPinPlay.With(p.State, play, fresh))
		}
	}
	w.bore()
}

// bore finds how far the middle of the casing bore has moved: the first
// harmonic of its readings around, of the most worn plane.
//
//	a = (2/n) Σ r cos θ,  b = (2/n) Σ r sin θ;  r = D/2 − mean
func (w *worker) bore() {
	f := w.in.Readings.ByRole(w.in.Sheet, sheet.RoleCasingBore, job.AsFound)
	rotor := w.in.Readings.ByRole(w.in.Sheet, sheet.RoleRotorOD, job.AsFound)
	if f == nil || f.Survey == nil || rotor == nil || rotor.Mean == nil {
		return
	}
	gap, moved, angle, known := oneSided(f, rotor.Mean.Value)
	if known && moved > 2*f.Mean.U {
		w.warn(msgOffPlace.With(quantity.Length(moved), math.Round(angle*180/math.Pi), quantity.Length(gap)))
	}
}

func oneSided(f *reading.Feature, rotor float64) (gap, moved, angle float64, known bool) {
	planes := map[string][]int{}
	for i, p := range f.Survey.Places {
		planes[p.Plane] = append(planes[p.Plane], i)
	}
	for _, plane := range f.Survey.Planes {
		places := planes[plane.Name]
		if len(places) < 5 {
			continue
		}
		a, b, widest := 0.0, 0.0, 0.0
		for _, i := range places {
			p := f.Survey.Places[i]
			r := (p.Mean.SI() - plane.Mean.SI()) / 2
			sin, cos := math.Sincos(p.Angle.SI())
			a, b = a+r*cos*2/float64(len(places)), b+r*sin*2/float64(len(places))
			widest = math.Max(widest, (p.Mean.SI()-rotor)/2)
		}
		if m := math.Hypot(a, b); m > moved {
			gap, moved, angle, known = widest, m, math.Mod(math.Atan2(b, a)+2*math.Pi, 2*math.Pi), true
		}
	}
	return gap, moved, angle, known
}
