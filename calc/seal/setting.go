package seal

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	msgFreeShorter = say.Define("seal.free_shorter", "the working length must be shorter than the free length {free:length}")
	msgNoUnknown   = say.Define("seal.no_unknown", "none of the links has this name")
	msgLinksAre    = say.Define("seal.links_are", "the links are {names}")
	msgNoLinks     = say.Define("seal.no_links", "the chain needs at least the link that is set")
	msgLinkName    = say.Define("seal.link_name", "every link needs a name of its own")
	msgLinkValue   = say.Define("seal.link_value", "give the value with u, or low and high")
	msgLinkLimits  = say.Define("seal.link_limits", "low must be below high")
	msgNoEffect    = say.Define("seal.no_effect", "the link that is set must change the working length: its sensitivity is 0")
	msgCommonLarge = say.Define("seal.common_large", "the shared part cannot be larger than u")
	msgSetTo       = say.Define("seal.set_to", "set {link} to {position:length}")
	msgCollarCheck = say.Define("seal.collar_check", "the working length changes whenever the shaft is moved axially: ask again after the end clearance is set")
	msgChanceLow   = say.Define("seal.chance_low", "the chance that the working length lies within {tolerance:length} is only {chance:percent}: the links are not known well enough")
	msgWrongLength = say.Define("seal.wrong_length", "with {link} at {position:length} the working length is {length:length}; wanted is {wanted:length}")
)

// Spring is the spring of a seal: force = rate·(free − working length).
type Spring struct {
	FreeLength quantity.Length
	Rate       quantity.Stiffness
}

// Force returns the force of the spring at a working length. Wear of the
// faces lengthens it and so takes force away.
// Errors: *say.Problem naming free_length, rate or working_length.
// Source: Hooke's law; derived here.
func (s Spring) Force(workingLength quantity.Length) (quantity.Force, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if err := aboveZero("working_length", workingLength); err != nil {
		return 0, err
	}
	if workingLength > s.FreeLength {
		return 0, say.Refuse("working_length", workingLength.String(), msgFreeShorter.With(s.FreeLength), say.Message{})
	}
	return quantity.Force(s.Rate.SI() * (s.FreeLength - workingLength).SI()), nil
}

// WorkingLength returns the length at which the spring has a force.
// Errors: *say.Problem naming free_length, rate or spring_force.
func (s Spring) WorkingLength(force quantity.Force) (quantity.Length, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if err := notBelowZero("spring_force", force); err != nil {
		return 0, err
	}
	length := s.FreeLength - quantity.Length(force.SI()/s.Rate.SI())
	if length <= 0 {
		return 0, say.Refuse("spring_force", force.String(), msgFreeShorter.With(s.FreeLength), say.Message{})
	}
	return length, nil
}

func (s Spring) check() error {
	if err := aboveZero("free_length", s.FreeLength); err != nil {
		return err
	}
	return aboveZero("rate", s.Rate)
}

// Link is one dimension between the datum of the set position and the face of
// the seat. A link is given by value and standard uncertainty, or by limits
// between which every value is as likely as another.
type Link struct {
	Name        string
	Value       quantity.Length
	U           quantity.Length // standard uncertainty, ≥ 0
	Low, High   quantity.Length // limits; both 0 when value and U are given
	Sensitivity float64         // change of the working length per change of the link
	Group       string          // links read with one instrument
	Common      quantity.Length // part of U that the group shares
}

// Setting is the working length of a seal and the chain that makes it.
//
//	working length = Σ sensitivity·link
type Setting struct {
	WorkingLength quantity.Length // wanted
	Tolerance     quantity.Length // ± allowed, 0 = not stated
	Links         []Link
	Unknown       string // name of the link that is set
	IsSet         bool   // the link's value is where it stands now
}

// Set is what FindSetting finds.
type Set struct {
	Setting
	Position      quantity.Length                    // of the unknown link, for the wanted working length
	WorkingLength quantity.Estimate[quantity.Length] // that results: from the value of a link that is set, else the wanted one
	Chance        float64                            // of lying within the tolerance; 1 when none is stated
	Decision      string                             // "set", "move it" or "measure again"; "" without a tolerance
	Messages      []say.Message
}

// Decisions of a setting.
const (
	DecisionSet     = "set"
	DecisionMove    = "move it"
	DecisionMeasure = "measure again"
	neededChance    = 0.95
)

// FindSetting finds where the collar (or shoulder, or spacer) is set.
//
//	x = (wanted − Σ' s_i·x_i)/s_x,   u² = Σ (s_i·u_i)²
//
// Errors of links of one group share the part Common; the rest is independent.
// The working length's u counts every link; give the link that is set the U of
// the scale with which it is set.
// Errors: *say.Problem naming working_length, tolerance, datum.links[i] or
// datum.unknown.
// Source: law of propagation of uncertainty, JCGM 100:2008, linear case.
func FindSetting(s Setting) (Set, error) {
	at, err := s.check()
	if err != nil {
		return Set{}, err
	}
	var rest, variance float64
	shared := map[string]float64{}
	var groups []string // in order, so that sums do not depend on the map
	for i, link := range s.Links {
		value, u := link.estimate()
		if i != at {
			rest += link.Sensitivity * value
		}
		common := link.Common.SI()
		variance += link.Sensitivity * link.Sensitivity * (u*u - common*common)
		if common > 0 {
			if _, seen := shared[link.Group]; !seen {
				groups = append(groups, link.Group)
			}
			shared[link.Group] += link.Sensitivity * common
		}
	}
	for _, g := range groups {
		variance += shared[g] * shared[g]
	}
	unknown := s.Links[at]
	set := Set{Setting: s, Position: quantity.Length((s.WorkingLength.SI() - rest) / unknown.Sensitivity), Chance: 1}
	length := s.WorkingLength
	if s.IsSet {
		value, _ := unknown.estimate()
		length = quantity.Length(rest + unknown.Sensitivity*value)
	}
	set.WorkingLength = quantity.Within(length, math.Sqrt(max(0, variance)))
	set.judge(unknown)
	return set, nil
}

func (s Setting) check() (int, error) {
	if err := aboveZero("working_length", s.WorkingLength); err != nil {
		return 0, err
	}
	if err := notBelowZero("tolerance", s.Tolerance); err != nil {
		return 0, err
	}
	if len(s.Links) == 0 {
		return 0, say.Refuse("datum.links", "", msgNoLinks.With(), say.Message{})
	}
	at := -1
	names := make([]string, len(s.Links))
	seen := map[string]bool{}
	for i, link := range s.Links {
		names[i] = link.Name
		if err := link.check(); err != nil {
			return 0, say.In(place("datum.links", i), err)
		}
		if seen[link.Name] {
			return 0, say.In(place("datum.links", i), say.Refuse("name", link.Name, msgLinkName.With(), say.Message{}))
		}
		seen[link.Name] = true
		if link.Name == s.Unknown {
			at = i
		}
	}
	if at < 0 {
		return 0, say.Refuse("datum.unknown", s.Unknown, msgNoUnknown.With(), msgLinksAre.With(names))
	}
	if s.Links[at].Sensitivity == 0 {
		return 0, say.In(place("datum.links", at), say.Refuse("sensitivity", "0", msgNoEffect.With(), say.Message{}))
	}
	return at, nil
}

func (l Link) check() error {
	if l.Name == "" {
		return say.Refuse("name", "", msgLinkName.With(), say.Message{})
	}
	for _, c := range []struct {
		field string
		q     quantity.Length
	}{{"value", l.Value}, {"low", l.Low}, {"high", l.High}} {
		if v := c.q.SI(); math.IsNaN(v) || math.IsInf(v, 0) {
			return say.Refuse(c.field, c.q.String(), msgLinkValue.With(), say.Message{})
		}
	}
	if err := notBelowZero("u", l.U); err != nil {
		return err
	}
	if err := notBelowZero("common", l.Common); err != nil {
		return err
	}
	if (l.Low != 0 || l.High != 0) && l.Low >= l.High {
		return say.Refuse("low", l.Low.String(), msgLinkLimits.With(), say.Message{})
	}
	if _, u := l.estimate(); l.Common.SI() > u*(1+1e-12) {
		return say.Refuse("common", l.Common.String(), msgCommonLarge.With(), say.Message{})
	}
	if math.IsNaN(l.Sensitivity) || math.IsInf(l.Sensitivity, 0) {
		return say.Refuse("sensitivity", number(l.Sensitivity), msgAbove.With(), say.Message{})
	}
	return nil
}

// estimate returns the best value and its standard uncertainty; limits count
// as a rectangle.
func (l Link) estimate() (value, u float64) {
	if l.Low != 0 || l.High != 0 {
		return (l.Low + l.High).SI() / 2, (l.High - l.Low).SI() / (2 * math.Sqrt(3))
	}
	return l.Value.SI(), l.U.SI()
}

// judge gives the decision and the words.
func (s *Set) judge(unknown Link) {
	if !s.IsSet {
		s.Messages = append(s.Messages, msgSetTo.With(unknown.Name, s.Position))
	}
	if s.Tolerance > 0 {
		off, tolerance, u := (s.WorkingLength.Value - s.Setting.WorkingLength).SI(), s.Tolerance.SI(), s.WorkingLength.U
		s.Chance = chanceWithin(off, tolerance, u)
		switch {
		case s.Chance >= neededChance:
			s.Decision = DecisionSet
		case math.Abs(off) > tolerance && chanceWithin(0, tolerance, u) >= neededChance:
			s.Decision = DecisionMove
		default:
			s.Decision = DecisionMeasure
			s.Messages = append(s.Messages, msgChanceLow.With(s.Tolerance, s.Chance))
		}
		if s.IsSet && math.Abs(off) > tolerance {
			value, _ := unknown.estimate()
			s.Messages = append(s.Messages, msgWrongLength.With(unknown.Name, quantity.Length(value), s.WorkingLength.Value, s.Setting.WorkingLength),
				msgSetTo.With(unknown.Name, s.Position))
		}
	}
	s.Messages = append(s.Messages, msgCollarCheck.With())
}

// chanceWithin returns the chance that a normal value off the middle lies
// within ± tolerance.
func chanceWithin(off, tolerance, u float64) float64 {
	if u == 0 {
		if math.Abs(off) <= tolerance {
			return 1
		}
		return 0
	}
	phi := func(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
	return phi((tolerance-off)/u) - phi((-tolerance-off)/u)
}

var (
	nameWanted   = say.Define("seal.wanted_length", "working length wanted")
	nameLength   = say.Define("seal.working_length", "working length")
	namePosition = say.Define("seal.set_position", "position to set: {link}")
	nameLink     = say.Define("seal.link", "{link}")
)

// Working builds the tree of reasons.
func (s Set) Working() *working.Node {
	wanted := working.Leaf("seal.wanted_length", nameWanted.With(), "L_w", s.Setting.WorkingLength, "input working_length")
	inputs := []*working.Node{wanted}
	for i, link := range s.Links {
		if link.Name == s.Unknown && !s.IsSet {
			continue
		}
		value, u := link.estimate()
		inputs = append(inputs, working.Leaf(place("seal.datum.links", i), nameLink.With(link.Name), "", quantity.Length(value), "input "+place("datum.links", i)).WithU(u))
	}
	position := working.Result("seal.set_position", namePosition.With(s.Unknown), "x", s.Position,
		"x = (L_w − Σ s·link)/s_x over the other links", "linear chain, JCGM 100:2008", inputs...)
	return working.Result("seal.working_length", nameLength.With(), "L", s.WorkingLength.Value,
		"L = Σ s·link; u² = Σ (s·u)², shared parts added before squaring", "JCGM 100:2008, linear case", position).WithU(s.WorkingLength.U)
}
