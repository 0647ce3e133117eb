package bench

import (
	"slices"
	"strconv"

	"pumpwright/app/access"
	"pumpwright/app/draw"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/record"
)

// done is the form that marks the step done.
func (n *now) done() *part.Entry {
	s := n.step.Step
	fields := []part.Field{
		{Name: "t/step", Kind: part.Hidden, Value: s.ID},
		{Name: "t/mark", Kind: part.Hidden, Value: "done"},
	}
	if s.Timer != "" {
		fields = append(fields, part.Field{Name: "n/minutes", Word: wordMinutes.With(), Kind: part.Number})
	}
	e := n.v.EntryFor(n.j, job.KindStep, "done."+s.ID, wordDone.With(), fields...)
	e.Next, e.Quiet = n.after(), n.nothingWritten()
	return e
}

// after is where a step that is done leads: to the one that follows.
func (n *now) after() string {
	if n.next != nil {
		return stepAddress(n.j, n.next.Step.ID)
	}
	return n.j.Path("/known")
}

// skip is the form that passes the step over.
func (n *now) skip() *part.Entry {
	e := n.v.EntryFor(n.j, job.KindStep, "skip."+n.step.Step.ID, wordSkipDo.With(),
		part.Field{Name: "t/step", Kind: part.Hidden, Value: n.step.Step.ID},
		part.Field{Name: "t/mark", Kind: part.Hidden, Value: "skipped"},
		part.Field{Name: "t/reason", Word: wordReason.With(), Kind: part.Line, Must: true},
	)
	e.Next, e.Quiet = n.after(), true
	return e
}

// sign is the form of the signature, nil when the person may not sign.
func (n *now) sign() *part.Entry {
	h := n.step.Step.Hold
	if h == nil {
		return nil
	}
	roles := n.v.Visitor.RolesOf(h.Who)
	if len(roles) == 0 {
		return nil
	}
	fields := []part.Field{
		{Name: "t/step", Kind: part.Hidden, Value: n.step.Step.ID},
		{Name: "t/for", Kind: part.Hidden, Value: h.For},
	}
	if len(roles) == 1 {
		fields = append(fields, part.Field{Name: "t/role", Kind: part.Hidden, Value: roles[0]})
	} else {
		field := part.Field{Name: "t/role", Word: wordSignAs.With(), Kind: part.Choice, Value: roles[0]}
		for _, r := range roles {
			field.Options = append(field.Options, part.Option{Value: r, Word: say.Plain(r)})
		}
		fields = append(fields, field)
	}
	fields = append(fields, part.Field{Name: "t/note", Word: wordRemark.With(), Kind: part.Line})
	e := n.v.EntryFor(n.j, job.KindSign, "sign."+n.step.Step.ID, wordSign.With(), fields...)
	e.Next = n.after()
	return e
}

// mayPass says why the step may not be marked done; empty when it may.
func (n *now) mayPass() say.Message { return n.a.Progress.MayPass(n.step.Step.ID) }

// held is the hold point that bars what the step writes down, or nil.
func (n *now) held() *progress.Step { return n.a.Progress.HeldBy(n.step.Step.Records) }

// first are the steps that come before this one may be passed.
func (n *now) first() []*progress.Step {
	if len(n.step.Lost) > 0 {
		return n.step.Lost
	}
	if hold := n.a.Progress.HoldBefore(n.step.Step.ID); hold != nil {
		return []*progress.Step{hold}
	}
	return nil
}

// takeBack is the form that voids an entry.
func takeBack(v *frame.Visit, j *frame.Job, ref, draft string) *part.Entry {
	e := v.EntryFor(j, job.KindVoid, "void."+draft+"."+ref, nil, part.Field{Name: "t/entry", Kind: part.Hidden, Value: ref})
	e.Quiet = true
	return e
}

// together counts the values of the feature's state that one entry holds.
func (n *now) together() int {
	count := 0
	for i := range n.j.State.Values {
		if n.j.State.Values[i].Ref == n.asked.last.Ref {
			count++
		}
	}
	return count
}

// mayNotWrite names the roles that may write what the step asks for, when the
// person has none of them.
func (n *now) mayNotWrite() []string {
	need := access.WriteBench
	switch n.step.Step.Records {
	case job.KindDecision, job.KindCause:
		need = access.Decide
	case job.KindQuote:
		need = access.Quote
	case job.KindClose:
		need = access.CloseJob
	case job.KindRunning:
		need = access.WriteNote
	}
	if n.v.Visitor.May(need) {
		return nil
	}
	roles := make([]string, len(access.Permits[need]))
	for i, r := range access.Permits[need] {
		roles[i] = string(r)
	}
	return roles
}

// working tells whether the person is at work on the stage of the step: the
// last of his entries of hours for it is a start.
func (n *now) working() bool {
	on := false
	for _, h := range n.j.State.Hours {
		if h.By == n.v.Visitor.Person && h.Body.Stage == string(n.step.Step.Stage) && (h.Body.Started || h.Body.Stopped) {
			on = h.Body.Started
		}
	}
	return on
}

// hours is the button that starts or stops the hours of the stage.
func (n *now) hours() *part.Entry {
	name, word := "b/started", wordStartWork
	if n.working() {
		name, word = "b/stopped", wordStopWork
	}
	e := n.v.EntryFor(n.j, job.KindHours, "hours", word.With(n.step.Step.Stage.Name()),
		part.Field{Name: "t/stage", Kind: part.Hidden, Value: string(n.step.Step.Stage)},
		part.Field{Name: name, Kind: part.Hidden, Value: "yes"})
	e.Quiet = true
	return e
}

// note is the form of a note, for the next shift or the record.
func (n *now) note() *part.Entry {
	e := n.v.EntryFor(n.j, job.KindNote, "note", wordKeepNote.With(), part.Field{Name: "t/text", Word: wordNoteText.With(), Kind: part.Area, Must: true})
	e.Quiet = true
	return e
}

// nothingWritten reports whether the step asks for an entry of its own and has
// none yet: then “done” is not the main thing to do.
func (n *now) nothingWritten() bool {
	switch n.step.Step.Records {
	case "", job.KindService, job.KindClose:
		return false
	case job.KindFinding:
		return len(n.j.State.Findings) == 0
	case job.KindAlignment, job.KindRunning:
		return len(n.written()) == 0
	}
	return true
}

// written lists what was written down of the kind that the step asks for and
// stands; kinds that show elsewhere on the page are left out.
func (n *now) written() []*record.Entry {
	kind := n.step.Step.Records
	switch kind {
	case "", job.KindFinding, job.KindTestPoint, job.KindDecision, job.KindTrial, job.KindService, job.KindQuote:
		return nil
	}
	var list []*record.Entry
	for i := range n.j.Entries {
		e := &n.j.Entries[i]
		if _, gone := n.j.State.Voided[e.ID]; e.Kind == kind && !gone {
			list = append(list, e)
		}
	}
	return list
}

// handover are the notes that others left since this person wrote last: what
// whoever takes over has to know first.
func (n *now) handover() []job.Kept[job.Note] {
	mine := int64(0)
	for i := range n.j.Entries {
		if n.j.Entries[i].By == n.v.Visitor.Person {
			mine = n.j.Entries[i].Seq
		}
	}
	var list []job.Kept[job.Note]
	for _, k := range n.j.State.Notes {
		if k.By != n.v.Visitor.Person && k.Seq > mine {
			list = append(list, k)
		}
	}
	return list[max(0, len(list)-2):]
}

// lastNotes are the notes that stand, the newest first.
func (n *now) lastNotes() []job.Kept[job.Note] {
	list := slices.Clone(n.j.State.Notes)
	slices.Reverse(list)
	return list[:min(len(list), 5)]
}

// stageMark is one stage of the strip.
type stageMark struct {
	stage   procedure.Stage
	here    bool
	done    bool
	address string
}

// stages is the strip of the stages with the one of this step named.
func (n *now) stages() []stageMark {
	var list []stageMark
	for _, stage := range procedure.Stages() {
		m := stageMark{stage: stage, here: n.step.Step.Stage == stage, done: true}
		for _, s := range n.a.Progress.Steps {
			if s.Step.Stage != stage {
				continue
			}
			open := s.Status != progress.Done && s.Status != progress.Skipped
			if m.address == "" || open && m.done {
				m.address = stepAddress(n.j, s.Step.ID)
			}
			m.done = m.done && !open
		}
		if m.address != "" {
			list = append(list, m)
		}
	}
	return list
}

// photos of the step.
func (n *now) photos() []job.Kept[job.Photo] {
	var list []job.Kept[job.Photo]
	for _, p := range n.j.State.Photos {
		if p.Body.Step == n.step.Step.ID {
			list = append(list, p)
		}
	}
	return list
}

// isNext reports whether the step is the one that the job stands at.
func (n *now) isNext() bool { return n.a.Progress.Next == n.step }

// statusWord is the word for where a step stands.
func statusWord(s *progress.Step) say.Message {
	switch s.Status {
	case progress.Done:
		return wordDoneStep.With()
	case progress.Skipped:
		return wordSkipStep.With()
	case progress.Waiting:
		return wordWaitStep.With()
	case progress.Stopped:
		return wordStopStep.With()
	}
	return wordOpenStep.With()
}

func statusState(s *progress.Step) draw.State {
	switch s.Status {
	case progress.Done:
		return draw.Good
	case progress.Skipped:
		return draw.Worn
	case progress.Stopped:
		return draw.PastLimit
	case progress.Waiting:
		return draw.MeasureAgain
	}
	return draw.NotRead
}

// missingHere lists what is open before the next stage: steps, signatures and
// readings of the stage in which the job stands.
func missingHere(j *frame.Job) []lacking {
	p := j.Assessment.Progress
	var list []lacking
	for _, s := range p.Steps {
		if s.Status == progress.Done || s.Status == progress.Skipped || s.Step.Stage != p.Stage && !slices.Contains(p.Holds, s) {
			continue
		}
		switch {
		case s.Step.Hold != nil:
			list = append(list, lacking{wordUnsigned.With(s.Title, say.WordList("access", s.Step.Hold.Who)), stepAddress(j, s.Step.ID)})
		case len(s.Missing) > 0:
			for _, m := range s.Missing {
				list = append(list, lacking{wordReadings.With(m.Feature.Name, len(m.Places)), readAddress(j, m.Feature.ID, m.Feature.RoleOf(), m.State)})
			}
		default:
			list = append(list, lacking{wordStillOpen.With(s.Title), stepAddress(j, s.Step.ID)})
		}
	}
	return list
}

// lacking is something that is missing, with where it is made good.
type lacking struct {
	words   say.Message
	address string
}

// seconds of the clock of a timed step: the time the seal's elastomer leaves.
func (n *now) seconds() string {
	if seal := n.a.Inputs.Sheet.Seal; n.step.Step.Timer == "seal-grip" && seal != nil && seal.GripMinutes != nil {
		return strconv.FormatFloat(*seal.GripMinutes*60, 'f', 0, 64)
	}
	return ""
}

func (n *now) gripMinutes() float64 {
	if seal := n.a.Inputs.Sheet.Seal; n.step.Step.Timer == "seal-grip" && seal != nil && seal.GripMinutes != nil {
		return *seal.GripMinutes
	}
	return 0
}
