package progress

import (
	"encoding/json"
	"slices"

	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

var (
	msgHoldSigned = say.Define("progress.hold_signed", "“{step:message}” is a hold point: it is signed, not marked")
	msgNotPassed  = say.Define("progress.not_passed", "not yet: {reason:message}")
	msgNoHold     = say.Define("progress.no_hold", "there is no hold point “{step}” for this pump")
	msgHoldsAre   = say.Define("progress.holds_are", "the hold points are {steps:list}")
	msgStepsAre   = say.Define("progress.steps_are", "the steps are {steps:list}")
	msgMayNotSign = say.Define("progress.may_not_sign", "the role “{role}” may not sign this hold point")
	msgMaySign    = say.Define("progress.may_sign", "it takes {roles:list}")
	msgUnread     = say.Define("progress.unread", "the entry cannot be read: {reason}")
)

// NotYet refuses a step or a signature whose turn has not come.
type NotYet struct {
	Problem *say.Problem
	Why     say.Message // what comes first
}

func (n *NotYet) Error() string { return n.Problem.Error() }

// Unwrap gives the problem.
func (n *NotYet) Unwrap() error { return n.Problem }

func notYet(step string, why say.Message) error {
	return &NotYet{say.Refuse("step", step, msgNotPassed.With(why), say.Message{}), why}
}

// Vet looks at an entry against the steps of the job before it is taken, for
// whoever writes it: a hold point is passed by its signature alone, given in a
// role that may sign it and in its turn; no step is marked done behind one that
// is not signed, nor while something before it would be lost for ever.
func (c *Chapter) Vet(kind string, body []byte) error {
	switch kind {
	case job.KindSign:
		var sign job.Sign
		if err := json.Unmarshal(body, &sign); err != nil {
			return say.Refuse("body", "", msgUnread.With(err), say.Message{})
		}
		return c.vetSign(sign)
	case job.KindStep:
		var mark job.Mark
		if err := json.Unmarshal(body, &mark); err != nil {
			return say.Refuse("body", "", msgUnread.With(err), say.Message{})
		}
		return c.vetMark(mark)
	}
	if hold := c.HeldBy(kind); hold != nil {
		return notYet("", hold.unsigned()) // the entry names no step
	}
	return nil
}

// work are the kinds of entries that say that a step was carried out on the
// pump.
var work = []string{job.KindPress, job.KindTorque, job.KindTestPoint, job.KindRelief, job.KindRunning}

// Find returns a step by its id, or nil.
func (c *Chapter) Find(id string) *Step {
	for _, s := range c.Steps {
		if s.Step.ID == id {
			return s
		}
	}
	return nil
}

func (c *Chapter) ids(hold bool) []string {
	var list []string
	for _, s := range c.Steps {
		if !hold || s.Step.Hold != nil {
			list = append(list, s.Step.ID)
		}
	}
	return list
}

func (c *Chapter) vetSign(sign job.Sign) error {
	s := c.Find(sign.Step)
	if s == nil || s.Step.Hold == nil {
		return say.Refuse("step", sign.Step, msgNoHold.With(sign.Step), msgHoldsAre.With(c.ids(true)))
	}
	if !MayHold(s.Step.Hold, sign.Role) {
		return say.Refuse("role", sign.Role, msgMayNotSign.With(sign.Role), msgMaySign.With(say.WordList("access", s.Step.Hold.Who)))
	}
	if why := c.MayPass(sign.Step); !why.IsZero() {
		return notYet(sign.Step, why)
	}
	return nil
}

func (c *Chapter) vetMark(mark job.Mark) error {
	s := c.Find(mark.Step)
	if s == nil {
		return say.Refuse("step", mark.Step, msgNoStep.With(mark.Step), msgStepsAre.With(c.ids(false)))
	}
	if s.Step.Hold != nil {
		return say.Refuse("step", mark.Step, msgHoldSigned.With(s.Title), msgMaySign.With(say.WordList("access", s.Step.Hold.Who)))
	}
	if why := c.MayPass(mark.Step); !why.IsZero() && mark.Mark != "skipped" {
		return notYet(mark.Step, why)
	}
	return nil
}

// HeldBy finds the unsigned hold point before the first step that work of a
// kind is about; nil when none bars it, or when the kind tells no work.
func (c *Chapter) HeldBy(kind string) *Step {
	if !slices.Contains(work, kind) {
		return nil
	}
	for _, s := range c.Steps {
		if s.Step.Records == kind {
			return c.HoldBefore(s.Step.ID)
		}
	}
	return nil
}
