package job

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/knowledge"
	"pumpwright/rebuild/sheet"
)

var (
	msgNoFeature   = say.Define("job.no_feature", "the model sheet has no feature “{feature}”")
	msgFeaturesAre = say.Define("job.features_are", "the features are {features}")
	msgNoSuchPart  = say.Define("job.no_part", "the model sheet has no part “{part}”")
	msgPartsAre    = say.Define("job.parts_are", "the parts are {parts}")
	msgWrongKind   = say.Define("job.wrong_dimension", "{found} was entered, {feature} is measured as {wanted}")
	msgWriteLike   = say.Define("job.write_like", "write it like {nominal}")
	msgState       = say.Define("job.state", "the state must be as-found or as-left")
	msgLeaves      = say.Define("job.leaves", "the leaf that goes must be thinner than the leaf that does not")
	msgFarOff      = say.Define("job.far_off", "{feature}: {intention:message}. The nominal of the sheet is {nominal}. Nothing is lost: confirm it, or enter it again.")
	msgNoReason    = say.Define("job.no_reason", "a reason in writing is missing")
	msgGiveReason  = say.Define("job.give_reason", "write why, in a few words")
	msgDecisions   = say.Define("job.decisions", "a decision is reuse, rework, replace or engineering decision")
	msgAlways      = say.Define("job.always", "{part} is renewed at every rebuild; to keep it takes a reason in writing")
	msgNoEntry     = say.Define("job.no_entry", "there is no such entry in this job")
	msgNoGasket    = say.Define("job.no_gasket", "the sheet has no gasket “{name}”")
	msgGasketsAre  = say.Define("job.gaskets_are", "the gaskets are {names}")
	msgBadBody     = say.Define("job.bad_body", "the entry cannot be read: {reason}")
	msgStrength    = say.Define("job.strength", "how sure a finding is lies between 0 and 1")
	msgMark        = say.Define("job.mark", "a step is done or skipped")

	msgRotation     = say.Define("job.rotation", "the rotation is clockwise or anticlockwise, seen from the drive end")
	msgPass         = say.Define("job.pass", "passes are counted from 1")
	msgNoFastener   = say.Define("job.no_fastener", "the model sheet has no group of bolts “{name}”")
	msgFastenersAre = say.Define("job.fasteners_are", "the groups are {names}")
)

// Vet looks at a new entry before it is taken: it refuses what cannot be
// right, and warns of what is unlikely. sheet may be nil while the job has
// none.
func Vet(state *State, s *sheet.Sheet, kind string, body []byte) ([]say.Message, error) {
	switch kind {
	case KindReading:
		return vetBody(body, func(r Reading) ([]say.Message, error) { return vetReading(s, r) })
	case KindTrial:
		return vetBody(body, func(t Trial) ([]say.Message, error) { return nil, vetTrial(s, t) })
	case KindDecision:
		return vetBody(body, func(d Decision) ([]say.Message, error) { return nil, vetDecision(s, d) })
	case KindFinding:
		return vetBody(body, func(f Finding) ([]say.Message, error) { return nil, vetFinding(s, f) })
	case KindCause:
		return vetBody(body, func(c Cause) ([]say.Message, error) { return nil, vetCause(c) })
	case KindVoid:
		return vetBody(body, func(v Void) ([]say.Message, error) { return nil, vetVoid(state, v) })
	case KindStep:
		return vetBody(body, func(m Mark) ([]say.Message, error) { return nil, vetMark(m) })
	case KindTestPoint:
		return vetBody(body, func(p TestPoint) ([]say.Message, error) { return nil, vetTestPoint(p) })
	case KindTorque:
		return vetBody(body, func(t Torque) ([]say.Message, error) { return nil, vetTorque(s, t) })
	case KindSides:
		return vetBody(body, func(x Sides) ([]say.Message, error) { return nil, vetSides(x) })
	case KindPress:
		return nil, vetPressing(s, body)
	case KindAlignment:
		return nil, vetFields(body, &Alignment{})
	case KindRunning:
		return nil, vetFields(body, &Running{})
	case KindLimit:
		return vetBody(body, func(l Limit) ([]say.Message, error) { return nil, vetLimit(s, l) })
	case KindQuote:
		return vetQuoteBody(state, body)
	case KindOutside:
		return vetBody(body, func(o Outside) ([]say.Message, error) { return nil, vetOutside(state, s, o) })
	case KindRelief:
		return nil, vetRelief(body)
	case KindMarks:
		return vetBody(body, func(m Marks) ([]say.Message, error) { return nil, vetMarks(state, m) })
	case KindAccepted:
		return vetBody(body, func(a Accepted) ([]say.Message, error) { return nil, vetAccepted(a) })
	}
	return nil, nil
}

func vetBody[T any](body []byte, check func(T) ([]say.Message, error)) ([]say.Message, error) {
	var b T
	decoder := json.NewDecoder(strings.NewReader(string(body)))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&b); err != nil {
		return nil, say.Refuse("", "", msgBadBody.With(err), say.Message{})
	}
	return check(b)
}

// vetFields reads a body as a form is read; unknown fields are refused.
func vetFields(body []byte, target any) error {
	var raw any
	if err := json.Unmarshal(body, &raw); err != nil {
		return say.Refuse("", "", msgBadBody.With(err), say.Message{})
	}
	return fields.Bind(raw, target)
}

func vetSides(x Sides) error {
	if x.Rotation != "clockwise" && x.Rotation != "anticlockwise" {
		return say.Refuse("rotation", x.Rotation, msgRotation.With(), say.Message{})
	}
	return nil
}

func vetTorque(s *sheet.Sheet, t Torque) error {
	if _, err := quantity.Parse(quantity.TorqueDimension, t.Torque); err != nil {
		return say.In("torque", err)
	}
	if t.Pass < 1 {
		return say.Refuse("pass", fmt.Sprint(t.Pass), msgPass.With(), say.Message{})
	}
	if s == nil {
		return nil
	}
	ids := make([]string, len(s.Fasteners))
	for i, f := range s.Fasteners {
		if f.ID == t.Fastener {
			return nil
		}
		ids[i] = f.ID
	}
	return say.Refuse("fastener", t.Fastener, msgNoFastener.With(t.Fastener), msgFastenersAre.With(ids))
}

// vetQuoteBody binds a quote strictly, with its defaults.
func vetQuoteBody(state *State, body []byte) ([]say.Message, error) {
	var raw any
	if err := json.Unmarshal(body, &raw); err != nil {
		return nil, say.Refuse("", "", msgBadBody.With(err), say.Message{})
	}
	var q Quote
	if err := fields.Bind(raw, &q); err != nil {
		return nil, err
	}
	return vetQuote(state, q)
}

func featureOf(s *sheet.Sheet, id string) (*sheet.Feature, error) {
	if s == nil {
		return nil, nil
	}
	if f := s.Feature(id); f != nil {
		return f, nil
	}
	ids := make([]string, len(s.Features))
	for i := range s.Features {
		ids[i] = s.Features[i].ID
	}
	return nil, say.Refuse("feature", id, msgNoFeature.With(id), msgFeaturesAre.With(ids))
}

func vetReading(s *sheet.Sheet, r Reading) ([]say.Message, error) {
	f, err := featureOf(s, r.Feature)
	if err != nil {
		return nil, err
	}
	if r.State != AsFound && r.State != AsLeft {
		return nil, say.Refuse("state", r.State, msgState.With(), say.Message{})
	}
	if len(r.Values) == 0 {
		return nil, say.Refuse("values", "", msgNoValue.With(), say.Message{})
	}
	var warnings []say.Message
	for i, v := range r.Values {
		at := fmt.Sprintf("values[%d]", i)
		read, err := ReadValue(r, v)
		if err != nil {
			return nil, say.In(at, err)
		}
		if read.Goes != nil && read.NoGo != nil && read.Goes.SI >= read.NoGo.SI {
			return nil, say.Refuse(at+".no_go", v.NoGo, msgLeaves.With(), say.Message{})
		}
		if f == nil {
			continue
		}
		if read.Value.Dimension != f.Dimension() {
			nominal := "0.15 mm"
			if f.Nominal != nil {
				nominal = f.Nominal.Text
			}
			return nil, say.Refuse(at+".text", v.Text, msgWrongKind.With(read.Value.Dimension.String(), f.Name, f.Dimension().String()), msgWriteLike.With(nominal))
		}
		if w := farOff(f, read.Value); !w.IsZero() && !r.Confirmed {
			warnings = append(warnings, w)
		}
	}
	return warnings, nil
}

// farOff warns of a value that the wear of a pump does not explain: another
// unit, a slipped decimal point.
func farOff(f *sheet.Feature, e quantity.Entered) say.Message {
	if f.Nominal == nil {
		return say.Message{}
	}
	nominal := f.Nominal.SI
	span := plausibleSpan(f)
	if math.Abs(e.SI-nominal) <= span {
		return say.Message{}
	}
	intention := quantity.Intended(e, nominal, span)
	return msgFarOff.With(f.Name, intention.Message, f.Nominal.Text)
}

// plausibleSpan is how far a reading may lie from nominal before it is asked
// about: five times the way to the farthest limit or tolerance, at least 1 % of
// the nominal; a small feature such as a clearance may be several times its
// nominal. [common practice, no source]
func plausibleSpan(f *sheet.Feature) float64 {
	nominal := math.Abs(f.Nominal.SI)
	span := 0.01 * nominal
	if f.Lower == nil && f.Upper == nil && len(f.Limits) == 0 { // a setting, not a fit
		span = 0.25 * nominal
	}
	for _, v := range []*sheet.Value{f.Lower, f.Upper} {
		if v != nil {
			span = math.Max(span, 5*math.Abs(v.SI))
		}
	}
	for _, l := range f.Limits {
		if l.Compare != "worst" && l.Compare != "mean" {
			continue
		}
		for _, v := range []*sheet.Value{l.Min, l.Max} {
			if v != nil {
				span = math.Max(span, 5*math.Abs(v.SI-f.Nominal.SI))
			}
		}
	}
	if f.Dimension() != quantity.LengthDimension {
		return math.Max(span, 5*nominal)
	}
	if nominal < 1e-3 { // a gap, a play, a depth of wear
		span = math.Max(span, math.Max(4*nominal, 0.3e-3))
	}
	return span
}

func vetTrial(s *sheet.Sheet, t Trial) error {
	if s != nil {
		names := make([]string, len(s.Gaskets))
		known := map[string]bool{}
		for i, g := range s.Gaskets {
			names[i] = g.Name
			known[g.Name] = true
		}
		for name := range t.Counts {
			if !known[name] {
				return say.Refuse("counts", name, msgNoGasket.With(name), msgGasketsAre.With(names))
			}
		}
	}
	for field, text := range map[string]string{"measured": t.Measured, "u": t.U, "goes": t.Goes, "no_go": t.NoGo, "float": t.Float} {
		if text == "" {
			continue
		}
		if _, err := quantity.Parse(quantity.LengthDimension, text); err != nil {
			return say.In(field, err)
		}
	}
	return nil
}

func partOf(s *sheet.Sheet, id string) error {
	if s == nil || s.Part(id) != nil {
		return nil
	}
	ids := make([]string, len(s.Parts))
	for i := range s.Parts {
		ids[i] = s.Parts[i].ID
	}
	return say.Refuse("part", id, msgNoSuchPart.With(id), msgPartsAre.With(ids))
}

func vetDecision(s *sheet.Sheet, d Decision) error {
	switch d.Decision {
	case "reuse", "rework", "replace", "engineering decision":
	default:
		return say.Refuse("decision", d.Decision, msgDecisions.With(), say.Message{})
	}
	if err := partOf(s, d.Part); err != nil {
		return err
	}
	if KeepsAlways(s, d) && strings.TrimSpace(d.Reason) == "" {
		return say.Refuse("reason", "", msgAlways.With(s.Part(d.Part).Name), msgGiveReason.With())
	}
	return nil
}

// KeepsAlways reports whether a decision keeps a part that is renewed at every
// rebuild: seals, gaskets and rings are, unless a lead signs otherwise.
func KeepsAlways(s *sheet.Sheet, d Decision) bool {
	if s == nil || d.Decision == "replace" {
		return false
	}
	p := s.Part(d.Part)
	return p != nil && p.Always
}

// vetFinding looks the evidence up by its id and refuses one that nobody knows,
// with those near it. K… is the outcome of the check that settles the cause C…
// of the same number.
func vetFinding(s *sheet.Sheet, f Finding) error {
	base, err := knowledge.Embedded()
	if err != nil {
		return err
	}
	if number, check := strings.CutPrefix(f.Evidence, "K"); check {
		_, err = base.Cause("C" + number)
	} else {
		_, err = base.Item(f.Evidence)
	}
	if err != nil {
		return at("evidence", err)
	}
	if f.Strength < 0 || f.Strength > 1 {
		return say.Refuse("strength", fmt.Sprint(f.Strength), msgStrength.With(), say.Message{})
	}
	if f.Part == "" {
		return nil
	}
	return partOf(s, f.Part)
}

func vetCause(c Cause) error {
	base, err := knowledge.Embedded()
	if err != nil {
		return err
	}
	_, err = base.Cause(c.Cause)
	return at("cause", err)
}

// at names the field of a problem that another reader found.
func at(field string, err error) error {
	p := say.AsProblem(err)
	if p == nil {
		return err
	}
	named := *p
	named.Field = field
	return &named
}

func vetVoid(state *State, v Void) error {
	if strings.TrimSpace(v.Reason) == "" {
		return say.Refuse("reason", "", msgNoReason.With(), msgGiveReason.With())
	}
	if state != nil && v.Entry == "" {
		return say.Refuse("entry", v.Entry, msgNoEntry.With(), say.Message{})
	}
	return nil
}

func vetMark(m Mark) error {
	switch m.Mark {
	case "done":
		return nil
	case "skipped":
		if strings.TrimSpace(m.Reason) == "" {
			return say.Refuse("reason", "", msgNoReason.With(), msgGiveReason.With())
		}
		return nil
	}
	return say.Refuse("mark", m.Mark, msgMark.With(), say.Message{})
}

func vetTestPoint(p TestPoint) error {
	for field, want := range map[string]struct {
		text string
		dim  quantity.Dimension
	}{
		"speed":    {p.Speed, quantity.RotationalSpeedDimension},
		"pressure": {p.Pressure, quantity.PressureDifferenceDimension},
		"flow":     {p.Flow, quantity.FlowDimension},
	} {
		if _, err := quantity.Parse(want.dim, want.text); err != nil {
			return say.In(field, err)
		}
	}
	for field, want := range map[string]struct {
		text string
		dim  quantity.Dimension
	}{
		"temperature": {p.Temperature, quantity.TemperatureDimension},
		"power":       {p.Power, quantity.PowerDimension},
		"flow_u":      {p.FlowU, quantity.FlowDimension},
		"power_u":     {p.PowerU, quantity.PowerDimension},
		"density":     {p.Density, quantity.DensityDimension},
	} {
		if want.text == "" {
			continue
		}
		if _, err := quantity.Parse(want.dim, want.text); err != nil {
			return say.In(field, err)
		}
	}
	return nil
}

func vetLimit(s *sheet.Sheet, l Limit) error {
	if _, err := featureOf(s, l.Feature); err != nil {
		return err
	}
	for field, text := range map[string]string{"min": l.Min, "max": l.Max} {
		if text == "" {
			continue
		}
		if _, err := fields.ParseAny(text); err != nil {
			return say.In(field, err)
		}
	}
	return nil
}
