package delivery

import (
	"math"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/sheet"
)

// Share is what one worn part costs: the pump as found with this part alone as
// new, less the pump as found.
type Share struct {
	Part       string
	Name       string
	Flow       quantity.Flow // gained at the service point
	U          float64
	Slip       quantity.Flow   // pressure-driven slip that goes away; never below zero
	Power      *quantity.Power // more (or less) power at the shaft; nil when not known
	Efficiency float64         // volumetric, with this part alone as new
	AYear      *float64        // what it is worth a year; nil without prices
	Replaced   bool            // it is replaced or reworked in this job
	Radial     bool            // no gasket changes what it does
}

// ShareOf returns what a part costs, so that a decision to reuse or replace it
// shows what it buys; nil when it costs nothing that is known.
func (c *Chapter) ShareOf(part string) *Share {
	for i := range c.Shares {
		if c.Shares[i].Part == part {
			return &c.Shares[i]
		}
	}
	return nil
}

// Money is what the lost flow and the energy cost in a year, against the pump
// as new.
type Money struct {
	State    machine.State
	LostFlow quantity.Estimate[quantity.Flow]
	Output   *float64 // lost output
	Energy   *float64 // more energy for the same volume
	U        *float64 // of both together
}

var (
	nameSetting  = say.Define("delivery.setting", "end clearance, set anew")
	msgGaskets   = say.Define("delivery.gaskets", "gaskets cannot cure all of it: setting the end clearance anew brings back {setting:flow} of the {lost:flow} that wear costs at the service point; {radial:flow} belong to gaps that no gasket changes ({parts:list})")
	msgWornBore  = say.Define("delivery.worn_bore", "a worn bore cannot be cured by gaskets: setting the end clearance anew brings back {setting:flow} of the {lost:flow} that wear costs at the service point; {radial:flow} belong to gaps that no gasket changes ({parts:list})")
	msgHopeless  = say.Define("delivery.hopeless", "the service asks for {required:flow}. With the end clearance alone set anew the pump as found would give {flow:flow}: without {parts:list} it is not reached")
	msgShareNote = say.Define("delivery.share_note", "each part's share is the pump as found with that part alone as new; shares do not add up to the whole, because leaks in series share a pressure")
	msgAYear     = say.Define("delivery.a_year", "a year counts {hours:number} hours; lost output counts at its price only where the pump limits the output; energy is counted for the volume that is delivered, with {efficiency:percent} for motor and gearbox")
)

// radialRoles are those of gaps that no gasket changes.
var radialRoles = map[string]bool{
	sheet.RoleCasingBore: true, sheet.RoleRotorOD: true, sheet.RoleCrescentOuterGap: true, sheet.RoleCrescentInnerGap: true,
	sheet.RolePinOD: true, sheet.RoleIdlerBushingBore: true,
}

// driveEfficiency is that of motor and gearbox where the service states none.
// Convention of this program, no source.
const driveEfficiency = 0.9

// nothing is the part of the theoretical flow below which a share is none.
const nothing = 1e-4

// shares replaces each worn part alone in the model.
func (w *worker) shares() {
	found := w.c.Found
	if found == nil || found.Duty == nil {
		return
	}
	var radial quantity.Flow
	var names []string
	set := found.Machine.Set
	for _, part := range set.Parts(w.in.Sheet) {
		renewed, worn := set.Renew(part.ID)
		if !worn {
			continue
		}
		share, known := w.share(renewed)
		if !known || math.Max(math.Abs(share.Flow.SI()), share.Slip.SI()) < nothing*found.Duty.Result.TheoreticalFlow.SI() {
			continue
		}
		share.Part, share.Name, share.Replaced = part.ID, part.Name, w.in.Replaced[part.ID]
		for _, v := range set.Values {
			share.Radial = share.Radial || v.Part == part.ID && radialRoles[v.Role] && v.Basis == machine.Read
		}
		if share.Radial && share.Flow > 0 {
			radial += share.Flow
			names = append(names, part.Name)
		}
		w.c.Shares = append(w.c.Shares, share)
	}
	sort.SliceStable(w.c.Shares, func(a, b int) bool { return w.c.Shares[a].Flow > w.c.Shares[b].Flow })
	if len(w.c.Shares) > 0 {
		w.note(msgShareNote.With())
	}
	w.setting()
	w.gaskets(radial, names)
}

// share works out a pump as found with some sizes changed.
func (w *worker) share(set machine.Set) (Share, bool) {
	m, err := machine.Assemble(w.base, set, w.warm)
	if err != nil || !m.Contact.IsZero() {
		return Share{}, false
	}
	k := w.fit.Factors()
	r, err := m.Model.At(w.c.Liquid, w.c.Duty, k)
	if err != nil {
		return Share{}, false
	}
	was := &w.c.Found.Duty.Result
	s := Share{Flow: r.Flow - was.Flow, Efficiency: r.VolumetricEfficiency, Slip: (was.Slip - was.SlipAtZero) - (r.Slip - r.SlipAtZero)}
	s.U = w.modelShare() * math.Abs(s.Slip.SI())
	if r.Power != nil && was.Power != nil {
		more := r.Power.Total - was.Power.Total
		s.Power = &more
		if output, energy := w.yearly(was, &r); output != nil || energy != nil {
			sum := 0.0
			for _, v := range []*float64{output, energy} {
				if v != nil {
					sum += *v
				}
			}
			s.AYear = &sum
		}
	}
	return s, true
}

func (w *worker) modelShare() float64 {
	if w.c.Calibrated {
		return slip.ModelShareCalibrated
	}
	return slip.ModelShareUncalibrated
}

// setting is the pump as found with the end clearance as left, or at the
// target of the window.
func (w *worker) setting() {
	set := w.c.Found.Machine.Set
	var end quantity.Estimate[quantity.Length]
	left := w.set(machine.Left)
	now := set.Value(sheet.RoleEndClearance)
	switch v := left.Value(sheet.RoleEndClearance); {
	case v != nil && (v.Basis == machine.Expected || v.Basis == machine.Read && now != nil && v.Ref != now.Ref):
		end = v.Size
	case w.in.Clearances.Window.Target != nil:
		end.Value = *w.in.Clearances.Window.Target
	default:
		return
	}
	s, known := w.share(set.WithEnd(end))
	if !known {
		return
	}
	s.Name = nameSetting.With().String()
	w.c.Setting = &s
}

// gaskets says what no gasket cures.
func (w *worker) gaskets(radial quantity.Flow, names []string) {
	if w.c.Setting == nil || w.c.New == nil || w.c.New.Duty == nil {
		return
	}
	lost := w.c.New.Duty.Result.Flow - w.c.Found.Duty.Result.Flow
	if lost > 0 && radial.SI() > 0.25*lost.SI() {
		words := msgGaskets
		for _, v := range w.c.Found.Machine.Set.Values {
			if v.Role == sheet.RoleCasingBore && v.Basis == machine.Read && v.AsNew != nil && v.Size.Value > *v.AsNew {
				words = msgWornBore
			}
		}
		w.warn(words.With(w.c.Setting.Flow, lost, radial, names))
	}
	if r := w.c.Required; r != nil && len(names) > 0 {
		if flow := w.c.Found.Duty.Result.Flow + w.c.Setting.Flow; flow < *r {
			w.warn(msgHopeless.With(*r, flow, names))
		}
	}
}

// yearly is what the worse of two results costs more in a year.
//
//	output = (Q_better − Q)·hours·price
//	energy = (P/Q − P_better/Q_better)·Q·hours·price/η_drive
func (w *worker) yearly(worse, better *slip.Result) (output, energy *float64) {
	v := w.in.Service
	if v.HoursAYear == nil {
		return nil, nil
	}
	hours := *v.HoursAYear
	if v.OutputPrice != nil {
		lost := (better.Flow - worse.Flow).SI() * hours * 3600 * *v.OutputPrice
		output = &lost
	}
	if v.EnergyPrice != nil && worse.Power != nil && better.Power != nil && worse.Flow > 0 && better.Flow > 0 {
		each := worse.Power.Total.SI()/worse.Flow.SI() - better.Power.Total.SI()/better.Flow.SI() // J/m³
		cost := each * worse.Flow.SI() * hours / 1000 * *v.EnergyPrice / w.driveEfficiency()
		energy = &cost
	}
	return output, energy
}

func (w *worker) driveEfficiency() float64 {
	if d := w.in.Service.Drive; d != nil && d.Efficiency != nil && *d.Efficiency > 0 {
		return *d.Efficiency
	}
	return driveEfficiency
}

// money sets found and left against new.
func (w *worker) money() {
	if w.c.New == nil || w.c.New.Duty == nil {
		return
	}
	better := &w.c.New.Duty.Result
	for _, p := range []*Pump{w.c.Found, w.c.Left} {
		if p.Duty == nil {
			continue
		}
		worse := &p.Duty.Result
		m := Money{State: p.State}
		m.LostFlow = quantity.Within(better.Flow-worse.Flow, w.lostU(p, better))
		m.Output, m.Energy = w.yearly(worse, better)
		if m.Output != nil && w.in.Service.OutputPrice != nil {
			u := m.LostFlow.U * *w.in.Service.HoursAYear * 3600 * *w.in.Service.OutputPrice
			m.U = &u
		}
		w.c.Money = append(w.c.Money, m)
	}
	if h := w.in.Service.HoursAYear; h != nil {
		w.note(msgAYear.With(*h, w.driveEfficiency()))
	}
}

// lostU is the uncertainty of a difference of flows: the model's part goes
// with the difference of slip, for both pumps share it; of the clearances
// those of the worn pump count.
func (w *worker) lostU(p *Pump, better *slip.Result) float64 {
	driven := func(r *slip.Result) float64 { return (r.Slip - r.SlipAtZero).SI() }
	u := w.modelShare() * (driven(&p.Duty.Result) - driven(better))
	square := u * u
	for _, s := range p.Duty.Shares {
		switch s.Name.ID() {
		case "slip.share_end", "slip.share_radial", "slip.share_outer", "slip.share_inner":
			square += s.Flow.SI() * s.Flow.SI()
		}
	}
	return math.Sqrt(square)
}
