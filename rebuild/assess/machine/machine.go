package machine

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// State is the pump before, after, or fresh from its maker.
type State string

// Show prints the word in the language of a style.
func (v State) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v State) Message() say.Message { return say.Word("machine", string(v)) }

// The states.
const (
	Found State = "as found"
	Left  State = "as left"
	New   State = "as new"
)

// Basis is how a size is known.
type Basis string

// Show prints the word in the language of a style.
func (v Basis) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Basis) Message() say.Message { return say.Word("machine", string(v)) }

// The bases.
const (
	Read     Basis = "read"
	NotRead  Basis = "not read, taken as new"
	NewPart  Basis = "new part, not measured yet"
	AsNew    Basis = "as new by the sheet"
	Expected Basis = "expected from the advised setting"
)

// Value is one size.
type Value struct {
	Role    string
	Name    string
	Part    string // that carries it; empty when the sheet has no such feature
	Basis   Basis
	Size    quantity.Estimate[quantity.Length]
	AsNew   *quantity.Length // nil when the sheet does not say
	Ref     string
	Setting bool // set at assembly, not worn
}

// Set is the sizes of a pump in one state, in the order of roles.
type Set struct {
	State  State
	Values []Value
}

// roles that the leak paths know, with the direction in which they wear: +1
// grows, −1 shrinks.
var roles = []struct {
	role string
	wear float64
}{
	{sheet.RoleEndClearance, 1}, {sheet.RoleCasingBore, 1}, {sheet.RoleRotorOD, -1},
	{sheet.RoleCrescentOuterGap, 1}, {sheet.RoleCrescentInnerGap, 1},
	{sheet.RoleIdlerWidth, -1}, {sheet.RolePocketDepth, 1}, {sheet.RoleCrescentWidth, -1},
	{sheet.RolePinOD, -1}, {sheet.RoleIdlerBushingBore, 1}, {sheet.RoleShaftOD, -1}, {sheet.RoleShaftBushingBore, 1},
}

func wearOf(role string) float64 {
	for _, r := range roles {
		if r.role == role {
			return r.wear
		}
	}
	return 0
}

// Matters tells whether a reading of a role enters the leak paths.
func Matters(role string) bool { return wearOf(role) != 0 }

// Inputs is what a set is put together from.
type Inputs struct {
	Sheet    *sheet.Sheet
	Readings *reading.Chapter
	Replaced map[string]bool   // parts that are replaced or reworked
	Expected *reading.Estimate // end clearance of the advised setting, while it was not measured
}

// Of puts the sizes of a state together. A size that nobody knows is missing.
func Of(in Inputs, state State) Set {
	set := Set{State: state}
	for _, r := range roles {
		if v, known := valueOf(in, state, r.role); known {
			set.Values = append(set.Values, v)
		}
	}
	return set
}

func valueOf(in Inputs, state State, role string) (Value, bool) {
	v := Value{Role: role, Basis: AsNew, AsNew: asNew(in.Sheet, role), Name: role, Setting: role == sheet.RoleEndClearance}
	f := in.Sheet.ByRole(role)
	if f != nil {
		v.Name, v.Part = f.Name, f.Part
	}
	if f != nil && state != New {
		if v.read(in, state, f) {
			return v, true
		}
	}
	if v.AsNew == nil {
		return v, false
	}
	v.Size.Value = *v.AsNew
	v.Ref = "sheet:" + in.Sheet.Name + " " + role
	return v, true
}

// read takes the reading of the state; as left, a part that stays keeps what
// was found.
func (v *Value) read(in Inputs, state State, f *sheet.Feature) bool {
	take := func(e *reading.Estimate, basis Basis) bool {
		if e == nil {
			return false
		}
		v.Basis, v.Size, v.Ref = basis, quantity.Within(quantity.Length(e.Value), e.U), e.Ref
		return true
	}
	mean := func(state string) *reading.Estimate {
		if r := in.Readings.ByID(f.ID, state); r != nil && f.Dimension() == quantity.LengthDimension {
			return r.Mean
		}
		return nil
	}
	v.Basis = NotRead
	if state == Found {
		return take(mean(job.AsFound), Read)
	}
	switch {
	case take(mean(job.AsLeft), Read):
		return true
	case v.Setting:
		return take(in.Expected, Expected) || take(mean(job.AsFound), Read)
	case in.Replaced[f.Part]:
		v.Basis = NewPart
		return false
	}
	return take(mean(job.AsFound), Read)
}

// asNew is a size as the sheet gives it for a new pump.
func asNew(s *sheet.Sheet, role string) *quantity.Length {
	number := func(n *sheet.Number[quantity.Length]) *quantity.Length {
		if n == nil {
			return nil
		}
		return &n.Value
	}
	if p := s.FlowPath; p != nil {
		switch role {
		case sheet.RoleEndClearance:
			return &p.EndClearance.Value
		case sheet.RoleCrescentOuterGap:
			return &p.CrescentOuterClearance.Value
		case sheet.RoleCrescentInnerGap:
			return &p.CrescentInnerClearance.Value
		}
	}
	if v := s.Nominal(role); v != nil {
		return v
	}
	switch role {
	case sheet.RoleIdlerWidth:
		return number(s.Dimensions.IdlerWidth)
	case sheet.RolePocketDepth:
		return number(s.Dimensions.PocketDepth)
	case sheet.RoleCrescentWidth:
		return number(s.Dimensions.CrescentWidth)
	}
	return nil
}

// Value returns the size of a role, or nil.
func (s *Set) Value(role string) *Value {
	for i := range s.Values {
		if s.Values[i].Role == role {
			return &s.Values[i]
		}
	}
	return nil
}

// known returns the size of a role that was read or differs from new.
func (s *Set) known(role string) *Value {
	if v := s.Value(role); v != nil && v.Basis != AsNew && v.Basis != NotRead {
		return v
	}
	return nil
}

// Renew returns the set with the sizes of one part as new, or left as they are
// where they are better than new already. Settings do not belong to a part.
func (s Set) Renew(part string) (Set, bool) {
	out := Set{State: s.State, Values: append([]Value(nil), s.Values...)}
	changed := false
	for i := range out.Values {
		v := &out.Values[i]
		if v.Part != part || v.Setting || v.AsNew == nil || v.Basis != Read {
			continue
		}
		if worn := (v.Size.Value - *v.AsNew).SI() * wearOf(v.Role); worn > 0 {
			v.Size, v.Basis, changed = quantity.Estimate[quantity.Length]{Value: *v.AsNew}, NewPart, true
		}
	}
	return out, changed
}

// WithEnd returns the set with another end clearance.
func (s Set) WithEnd(end quantity.Estimate[quantity.Length]) Set {
	out := Set{State: s.State, Values: append([]Value(nil), s.Values...)}
	if v := out.Value(sheet.RoleEndClearance); v != nil {
		v.Size, v.Basis = end, Expected
	}
	return out
}

// Parts lists the parts of which a size was read, in the order of the sheet.
func (s *Set) Parts(in *sheet.Sheet) []*sheet.Part {
	var list []*sheet.Part
	for i := range in.Parts {
		for _, v := range s.Values {
			if v.Part == in.Parts[i].ID && v.Basis == Read && !v.Setting {
				list = append(list, &in.Parts[i])
				break
			}
		}
	}
	return list
}

// AnyRead tells whether any size was read.
func (s *Set) AnyRead() bool {
	for _, v := range s.Values {
		if v.Basis == Read {
			return true
		}
	}
	return false
}

// Unread lists the sizes that nobody read, by name.
func (s *Set) Unread() (names, newParts []string) {
	for _, v := range s.Values {
		switch v.Basis {
		case NotRead:
			names = append(names, v.Name)
		case NewPart:
			newParts = append(newParts, v.Name)
		}
	}
	return names, newParts
}

var msgClosed = say.Define("machine.closed", "{gap}: the readings leave no gap ({size:length}); one of them is wrong, or the parts touch")

// On puts the sizes into a pump, with the standard uncertainties that matter
// to its flow. A pair of readings that leaves no gap closes it, and is said.
func (s *Set) On(base slip.Pump) (slip.Pump, slip.ClearanceU, []say.Message) {
	p, u := base, slip.ClearanceU{}
	var said []say.Message
	c := base.Clearances
	if end := s.Value(sheet.RoleEndClearance); end != nil {
		c = c.WithEnd(end.Size.Value)
		u.End = quantity.Length(end.Size.U)
	}
	open := func(gap string, into *quantity.Length, size quantity.Length) {
		if size < 0 {
			said = append(said, msgClosed.With(gap, size))
			size = 0
		}
		*into = size
	}
	if gap, gapU, known := s.half(sheet.RoleCasingBore, sheet.RoleRotorOD); known {
		open("rotor radial clearance", &c.RotorRadial, gap)
		u.RotorRadial = gapU
	}
	for _, x := range []struct {
		role, name string
		gap, u     *quantity.Length
	}{{sheet.RoleCrescentOuterGap, "crescent outer clearance", &c.CrescentOuter, &u.CrescentOuter}, {sheet.RoleCrescentInnerGap, "crescent inner clearance", &c.CrescentInner, &u.CrescentInner}} {
		if v := s.Value(x.role); v != nil {
			open(x.name, x.gap, v.Size.Value)
			*x.u = quantity.Length(v.Size.U)
		}
	}
	pocket := s.Value(sheet.RolePocketDepth)
	for _, x := range []struct {
		role, name string
		gap        *quantity.Length
	}{{sheet.RoleIdlerWidth, "idler float", &c.IdlerFloat}, {sheet.RoleCrescentWidth, "crescent end gap", &c.CrescentEnd}} {
		if width := s.Value(x.role); width != nil && pocket != nil && (s.known(x.role) != nil || s.known(sheet.RolePocketDepth) != nil) {
			open(x.name, x.gap, c.End+pocket.Size.Value-width.Size.Value)
		}
	}
	c.IdlerFloat, c.CrescentEnd = max(0, c.IdlerFloat), max(0, c.CrescentEnd)
	p.Clearances = c
	if gap, _, known := s.half(sheet.RoleIdlerBushingBore, sheet.RolePinOD); known {
		open("idler bushing", &p.Pin.Clearance, gap)
	}
	if gap, _, known := s.half(sheet.RoleShaftBushingBore, sheet.RoleShaftOD); known && p.ShaftBushing != nil {
		bushing := *p.ShaftBushing
		open("shaft bushing", &bushing.Clearance, gap)
		p.ShaftBushing = &bushing
	}
	return p, u, said
}

// half is the radial gap between a bore and what turns in it; known when
// either was read and both have a size.
func (s *Set) half(bore, inside string) (gap, u quantity.Length, known bool) {
	a, b := s.Value(bore), s.Value(inside)
	if a == nil || b == nil || s.known(bore) == nil && s.known(inside) == nil {
		return 0, 0, false
	}
	return (a.Size.Value - b.Size.Value) / 2, quantity.Length(math.Hypot(a.Size.U, b.Size.U) / 2), true
}
