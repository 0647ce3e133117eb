package shop

import (
	"slices"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/record"
)

// Wait is what a job waits for.
type Wait string

// Show prints the word in the language of a style.
func (v Wait) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Wait) Message() say.Message { return say.Word("shop", string(v)) }

// What jobs wait for, in the order in which a shop reads them.
const (
	WaitHand      Wait = "hand"
	WaitSignature Wait = "signature"
	WaitParts     Wait = "parts"
	WaitCustomer  Wait = "customer"
	OnTest        Wait = "test"
	Ready         Wait = "ready"
	Done          Wait = "done" // closed
)

// Waits lists what open jobs wait for, in order.
func Waits() []Wait {
	return []Wait{WaitHand, WaitSignature, WaitParts, WaitCustomer, OnTest, Ready}
}

var (
	msgWaitHand      = say.Define("shop.wait_hand", "needs a hand now")
	msgWaitSignature = say.Define("shop.wait_signature", "waits for a signature")
	msgWaitParts     = say.Define("shop.wait_parts", "waits for parts or work outside")
	msgWaitCustomer  = say.Define("shop.wait_customer", "waits for the customer")
	msgOnTest        = say.Define("shop.on_test", "on test")
	msgReady         = say.Define("shop.ready", "ready to go")
	msgDone          = say.Define("shop.done", "closed")
)

// Title says it in words.
func (w Wait) Title() say.Message {
	switch w {
	case WaitHand:
		return msgWaitHand.With()
	case WaitSignature:
		return msgWaitSignature.With()
	case WaitParts:
		return msgWaitParts.With()
	case WaitCustomer:
		return msgWaitCustomer.With()
	case OnTest:
		return msgOnTest.With()
	case Ready:
		return msgReady.With()
	case Done:
		return msgDone.With()
	}
	return w.Message()
}

// waitOf tells what a job waits for.
//
//   - the customer: the next step is a hold point that the customer signs;
//   - a signature: the next step is a hold point that others sign;
//   - parts: work was sent out and is not back;
//   - on test and ready to go: by the stage of the next step;
//   - a hand: anything else.
func waitOf(j *Job) Wait {
	if j.State.Closed != nil {
		return Done
	}
	if j.Assessment == nil {
		return WaitHand
	}
	c := j.Assessment.Progress
	if c.Next == nil {
		return Ready
	}
	if c.Next.Status == progress.Waiting && c.Next.Step.Hold != nil {
		if slices.Contains(c.Next.Step.Hold.Who, "customer") {
			return WaitCustomer
		}
		return WaitSignature
	}
	if len(awayOf(j)) > 0 {
		return WaitParts
	}
	switch c.Stage {
	case procedure.Prove:
		return OnTest
	case procedure.Return, procedure.FollowUp:
		return Ready
	}
	return WaitHand
}

// awayOf says what is out of the shop, with whom and until when.
func awayOf(j *Job) []string {
	var list []string
	for _, a := range j.State.Outsides() {
		if a.Back != nil {
			continue
		}
		o := a.Sent.Body
		name := o.Subject()
		if as := j.Assessment; as != nil {
			if p := as.Inputs.Sheet.Part(o.Part); p != nil {
				name = p.Name
			}
		}
		words := msgAway.With(name, o.Work, o.To)
		if o.By != "" {
			words = msgAwayBy.With(name, o.Work, o.To, o.By)
		}
		list = append(list, words.String())
	}
	return list
}

var (
	msgAway   = say.Define("shop.away", "{what}: {work}, with {to}")
	msgAwayBy = say.Define("shop.away_by", "{what}: {work}, with {to}, promised for {by}")
)

// Row is a job in a list.
type Row struct {
	Job       string           `json:"job"`
	Tag       string           `json:"tag,omitempty"`
	Serial    string           `json:"serial,omitempty"`
	Owner     string           `json:"owner,omitempty"`
	Place     string           `json:"place,omitempty"`
	Complaint string           `json:"complaint,omitempty"`
	Invented  bool             `json:"invented,omitempty"`
	Sheet     string           `json:"sheet,omitempty"` // name of the model sheet
	Model     string           `json:"model,omitempty"` // its title
	Waits     Wait             `json:"waits"`
	Since     record.Time      `json:"since"` // last entry: so long it has waited
	Opened    record.Time      `json:"opened"`
	By        string           `json:"by,omitempty"` // who wrote last
	Stage     procedure.Stage  `json:"stage,omitempty"`
	Next      string           `json:"next,omitempty"`       // id of the next step
	NextWords string           `json:"next_words,omitempty"` // its title as the procedure words it
	Signers   []string         `json:"signers,omitempty"`    // roles that may sign it, for a hold point
	Done      int              `json:"done"`
	Steps     int              `json:"steps"`
	Missing   int              `json:"missing"` // readings still to be made
	Conflicts int              `json:"conflicts,omitempty"`
	Warnings  int              `json:"warnings,omitempty"`
	Result    string           `json:"result,omitempty"` // of a closed job
	Previous  string           `json:"previous,omitempty"`
	Away      []string         `json:"away,omitempty"` // work outside that is not back
	Seq       int64            `json:"seq"`
	Stages    []StageOfProcess `json:"stages,omitempty"`
}

// StageOfProcess is one stage of the strip of stages: its steps and how many
// are done or passed over.
type StageOfProcess struct {
	Stage procedure.Stage `json:"stage"`
	Steps int             `json:"steps"`
	Done  int             `json:"done"`
}

// NextTitle says the next step, in the reader's language.
func (r *Row) NextTitle() say.Message {
	if r.Next == "" {
		return say.Message{}
	}
	return say.Worded("procedure.title_"+r.Next, r.NextWords)
}

// rowOf makes the row of a job.
func rowOf(j *Job) Row {
	r := Row{Job: j.Name, Waits: waitOf(j), Since: j.State.Last, Seq: j.Seq, Away: awayOf(j)}
	if n := len(j.Entries); n > 0 {
		r.By = j.Entries[n-1].By
		r.Opened = j.Entries[0].At
	}
	if o := j.State.Open; o != nil {
		b := o.Body
		r.Tag, r.Serial, r.Owner, r.Place, r.Complaint, r.Invented, r.Previous = b.Tag, b.Serial, b.Owner, b.Place, b.Complaint, b.Invented, b.Previous
		r.Opened = o.At
	}
	if c := j.State.Closed; c != nil {
		r.Result = c.Body.Result
	}
	r.Conflicts = len(j.State.Conflicts)
	a := j.Assessment
	if a == nil {
		return r
	}
	r.Sheet, r.Model = a.Inputs.Sheet.Name, a.Inputs.Sheet.Title
	r.Warnings = len(a.Warnings)
	p := a.Progress
	r.Stage, r.Done, r.Steps, r.Missing = p.Stage, p.Done+len(p.Skipped), len(p.Steps), len(p.Missing)
	if p.Next != nil {
		r.Next, r.NextWords = p.Next.Step.ID, p.Next.Step.Title
		if p.Next.Step.Hold != nil {
			r.Signers = p.Next.Step.Hold.Who
		}
	}
	for _, stage := range procedure.Stages() {
		one := StageOfProcess{Stage: stage}
		for _, step := range p.Steps {
			if step.Step.Stage == stage {
				one.Steps++
				if step.Status == progress.Done || step.Status == progress.Skipped {
					one.Done++
				}
			}
		}
		if one.Steps > 0 {
			r.Stages = append(r.Stages, one)
		}
	}
	return r
}
