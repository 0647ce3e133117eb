package progress

import (
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/sheet"
)

// Status is where a step stands.
type Status string

// Show prints the word in the language of a style.
func (v Status) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Status) Message() say.Message { return say.Word("progress", string(v)) }

// The statuses.
const (
	Done    Status = "done"
	Skipped Status = "skipped"
	Open    Status = "open"
	Stopped Status = "stopped" // something before it would be lost for ever
	Waiting Status = "waits for a signature"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet     *sheet.Sheet
	Procedure *procedure.Procedure
	State     *job.State
	Readings  *reading.Chapter
}

// Step is one step of the job.
type Step struct {
	Step    *procedure.Step
	Title   say.Message
	Do      say.Message
	Status  Status
	Missing []Missing // readings that it still asks for
	Lost    []*Step   // steps that must come first, for a stopped step
	Reason  string    // why it was skipped
	Meta    job.Meta  // who did, skipped or signed it
	Caution []say.Message
}

// Missing is a reading that is still to be made.
type Missing struct {
	Feature *sheet.Feature
	State   string
	Places  []reading.PlaceName
	Step    string
}

// Chapter is where the job stands.
type Chapter struct {
	Steps   []*Step
	Stage   procedure.Stage // of the next step
	Next    *Step           // nil when all is done
	Holds   []*Step         // hold points of this stage and earlier that nobody signed
	Missing []Missing       // in the order in which the bench needs them
	Skipped []*Step
	Done    int
}

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{}
	for _, p := range in.Procedure.For(in.Sheet.Build) {
		s := &Step{Step: p, Title: in.Procedure.TitleOf(p), Do: in.Procedure.DoOf(p), Status: Open}
		for _, id := range p.Cautions {
			s.Caution = append(s.Caution, in.Procedure.Caution(id))
		}
		s.stand(in)
		c.Steps = append(c.Steps, s)
	}
	c.stop()
	for _, s := range c.Steps {
		switch s.Status {
		case Done:
			c.Done++
		case Skipped:
			c.Skipped = append(c.Skipped, s)
		default:
			if c.Next == nil {
				c.Next = s
				c.Stage = s.Step.Stage
			}
			c.Missing = append(c.Missing, s.Missing...)
		}
	}
	if c.Next == nil {
		c.Stage = procedure.FollowUp
	}
	c.holds()
	return c
}

// stand finds where a step stands from what was written.
func (s *Step) stand(in Inputs) {
	p := s.Step
	if mark, ok := in.State.Marks[p.ID]; ok && mark.Body.Mark == "skipped" && p.Hold == nil { // a hold point has its signature or none
		s.Status, s.Reason, s.Meta = Skipped, mark.Body.Reason, mark.Meta
		return
	}
	s.reads(in)
	if p.Hold != nil {
		if sign, ok := in.State.Signs[p.ID]; ok && mayHave(p.Hold.Who, sign.Body.Role) {
			s.Status, s.Meta = Done, sign.Meta
			return
		}
		s.Status = Waiting
		return
	}
	mark, marked := in.State.Marks[p.ID]
	recorded, at := s.recorded(in)
	switch {
	case len(s.Missing) > 0:
		s.Status = Open
	case marked:
		s.Status, s.Meta = Done, mark.Meta
	case len(p.Reads) > 0 && p.Records == "" && s.readAny(in):
		s.Status = Done
	case recorded:
		s.Status, s.Meta = Done, at
	}
}

func mayHave(who []string, role string) bool {
	for _, w := range who {
		if w == role {
			return true
		}
	}
	return false
}

// MayHold reports whether a role may sign a hold point.
func MayHold(h *procedure.Hold, role string) bool { return h != nil && mayHave(h.Who, role) }

// reads finds the readings that the step still asks for.
func (s *Step) reads(in Inputs) {
	for _, role := range s.Step.Reads {
		f := in.Sheet.ByRole(role)
		if f == nil || !f.Only.Holds(in.Sheet.Build) {
			continue
		}
		if s.Step.State == job.AsLeft && !s.wantedAsLeft(in, f) {
			continue
		}
		r := in.Readings.ByID(f.ID, s.Step.State)
		if r == nil || len(r.Missing) == 0 {
			continue
		}
		s.Missing = append(s.Missing, Missing{Feature: f, State: s.Step.State, Places: r.Missing, Step: s.Step.ID})
	}
}

// wantedAsLeft: an as-left reading is asked where the sheet asks for it, and
// for every part that is new.
func (s *Step) wantedAsLeft(in Inputs, f *sheet.Feature) bool {
	if f.When == "both" || f.When == job.AsLeft && !pressFit(f.RoleOf()) {
		return true
	}
	if in.State.LeftFromOutside(f.Part) > 0 { // it was away: measured on return
		return true
	}
	d := in.State.DecisionOf(f.Part)
	return d != nil && (d.Body.Decision == "replace" || d.Body.Decision == "rework")
}

// pressFit tells the roles of a bushing and its seat, which are read only where
// a new bushing goes in.
func pressFit(role string) bool {
	switch role {
	case sheet.RoleIdlerBushingOD, sheet.RoleIdlerBore, sheet.RoleShaftBushingOD, sheet.RoleBracketBore:
		return true
	}
	return false
}

func (s *Step) readAny(in Inputs) bool {
	for _, role := range s.Step.Reads {
		if f := in.Sheet.ByRole(role); f != nil {
			if r := in.Readings.ByID(f.ID, s.Step.State); r != nil && r.Survey != nil {
				return true
			}
		}
	}
	return false
}

// recorded tells whether the kind of entry that the step asks for is there.
func (s *Step) recorded(in Inputs) (bool, job.Meta) {
	st := in.State
	switch s.Step.Records {
	case "service":
		if n := len(st.Services); n > 0 {
			return true, st.Services[n-1].Meta
		}
	case "stack-found":
		if s.Step.Of == "shims" {
			return s.shims(in)
		}
		if n := len(st.Stacks); n > 0 {
			return true, st.Stacks[n-1].Meta
		}
	case "trial":
		if n := len(st.Trials); n > 0 {
			return true, st.Trials[n-1].Meta
		}
	case "test-point":
		if n := len(st.TestPoints); n > 0 {
			return true, st.TestPoints[n-1].Meta
		}
	case "cause":
		if n := len(st.Causes); n > 0 {
			return true, st.Causes[n-1].Meta
		}
	case "quote":
		if n := len(st.Quotes); n > 0 {
			return true, st.Quotes[n-1].Meta
		}
	case "fitted":
		if n := len(st.Fitted); n > 0 {
			return true, st.Fitted[n-1].Meta
		}
	case "decision":
		if n := len(st.Decisions); n > 0 {
			return true, st.Decisions[n-1].Meta
		}
	case "torque":
		if n := len(st.Torques); n > 0 {
			return true, st.Torques[n-1].Meta
		}
	case job.KindSides:
		if n := len(st.Sides); n > 0 {
			return true, st.Sides[n-1].Meta
		}
	case job.KindPress:
		return s.pressed(in)
	case job.KindRelief:
		if n := len(st.Reliefs); n > 0 {
			return true, st.Reliefs[n-1].Meta
		}
	case "close":
		if st.Closed != nil {
			return true, st.Closed.Meta
		}
	}
	return false, job.Meta{}
}

// shims looks for an entry of the old stack that names a shim.
func (s *Step) shims(in Inputs) (bool, job.Meta) {
	for i := len(in.State.Stacks) - 1; i >= 0; i-- {
		for _, p := range in.State.Stacks[i].Body.Pieces {
			if k := in.Sheet.GasketIndex(p.Kind); k >= 0 && in.Sheet.Gaskets[k].Shim {
				return true, in.State.Stacks[i].Meta
			}
		}
	}
	return false, job.Meta{}
}

// pressed looks for a pressing of the bushing that the step is about.
func (s *Step) pressed(in Inputs) (bool, job.Meta) {
	bore := in.Sheet.ByRole(s.Step.Of)
	for i := len(in.State.Pressings) - 1; i >= 0; i-- {
		k := &in.State.Pressings[i]
		if p, err := job.ReadPressing(k.Body); err == nil && (bore == nil || bore.Part == p.Part) {
			return true, k.Meta
		}
	}
	return false, job.Meta{}
}

// stop stands the steps that lose something for ever behind what they would
// lose.
func (c *Chapter) stop() {
	for i, s := range c.Steps {
		if s.Status == Done || s.Status == Skipped || !s.Step.Opens && !s.Step.OpensSeal {
			continue
		}
		for _, before := range c.Steps[:i] {
			asked := s.Step.Opens && before.Step.BeforeLoss || s.Step.OpensSeal && before.Step.BeforeSeal
			if asked && before.Status != Done && before.Status != Skipped {
				s.Lost = append(s.Lost, before)
			}
		}
		if len(s.Lost) > 0 {
			s.Status = Stopped
		}
	}
}

// holds lists the open hold points up to the stage in which the job stands.
func (c *Chapter) holds() {
	order := map[procedure.Stage]int{}
	for i, st := range procedure.Stages() {
		order[st] = i
	}
	for _, s := range c.Steps {
		if s.Status == Waiting && order[s.Step.Stage] <= order[c.Stage] {
			c.Holds = append(c.Holds, s)
		}
	}
}

// MayPass tells whether a step may be marked done now, and if not, why.
func (c *Chapter) MayPass(id string) say.Message {
	for _, s := range c.Steps {
		if s.Step.ID != id {
			continue
		}
		if len(s.Lost) > 0 {
			names := make([]say.Message, len(s.Lost))
			for j, l := range s.Lost {
				names[j] = l.Title
			}
			return msgLost.With(names)
		}
		if hold := c.HoldBefore(id); hold != nil {
			return hold.unsigned()
		}
		return say.Message{}
	}
	return msgNoStep.With(id)
}

// HoldBefore finds the first hold point before a step that nobody signed.
func (c *Chapter) HoldBefore(id string) *Step {
	for _, s := range c.Steps {
		if s.Step.ID == id {
			return nil
		}
		if s.Status == Waiting {
			return s
		}
	}
	return nil
}

func (s *Step) unsigned() say.Message { return msgUnsigned.With(s.Title, say.Known(s.Step.Hold.For)) }

var (
	msgLost     = say.Define("progress.lost", "this would be lost for ever: {steps:list}. Do it first, or write why it cannot be done")
	msgUnsigned = say.Define("progress.unsigned", "the hold point “{step:message}” is not signed yet ({for})")
	msgNoStep   = say.Define("progress.no_step", "there is no step “{step}” for this pump")
)
