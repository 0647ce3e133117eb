package shop

import (
	"context"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/record"
)

// NewEntry is what somebody writes down.
type NewEntry struct {
	ID   string // UUID version 7 made by the writer; made here when empty
	Kind string
	Body json.RawMessage
	At   time.Time // by the writer's clock; now when zero
	Seen string    // Job.Head that the writer had before him
	Sent time.Time // by the same clock, when it was sent; zero when that is not known
	// Expect, when it is not empty, is the Job.Head that an entry must follow:
	// ErrMoved if somebody wrote since.
	Expect string
}

// Answer is what an entry does to a job.
type Answer struct {
	// Kept tells whether the entry is kept. It is not when Warnings ask to
	// look again: send it with the same id and "confirmed" in the body, or
	// another value.
	Kept     bool
	Fresh    bool // false when it was kept before
	Entry    record.Entry
	Warnings []say.Message
	Job      *Job
	After    string // Job.Head that a fresh entry followed
	// ClockOff is how far the clock of the device is ahead of ours, 0 when that
	// is too little to matter.
	ClockOff time.Duration
}

// kindNeeds names the operation that a kind of entry is.
var kindNeeds = map[string]access.Operation{
	job.KindReading: access.WriteBench, job.KindFinding: access.WriteBench, job.KindStackFound: access.WriteBench, job.KindTrial: access.WriteBench,
	job.KindStep: access.MarkStep, job.KindFitted: access.WriteBench, job.KindTestPoint: access.WriteBench, job.KindAlignment: access.WriteBench,
	job.KindTorque: access.WriteBench, job.KindPress: access.WriteBench, job.KindSides: access.WriteBench, job.KindHours: access.WriteBench, job.KindOutside: access.WriteBench,
	job.KindRelief: access.WriteBench, job.KindMarks: access.WriteNote, job.KindAccepted: access.Decide,
	job.KindRunning: access.WriteNote, job.KindNote: access.WriteNote, job.KindPhoto: access.WriteNote, job.KindDocument: access.WriteNote,
	job.KindDecision: access.Decide, job.KindCause: access.Decide, job.KindLimit: access.Decide,
	job.KindQuote: access.Quote, job.KindSign: access.Sign, job.KindClose: access.CloseJob, job.KindVoid: access.VoidOwn,
	job.KindSheet: access.ChangeBasis, job.KindService: access.ChangeBasis, job.KindBasis: access.ChangeBasis,
}

// afterClose are the kinds that a closed job still takes.
var afterClose = []string{job.KindNote, job.KindRunning, job.KindPhoto, job.KindMarks, job.KindDocument, job.KindVoid}

// Sizes that a body may have, in bytes.
const (
	mostBody = 64 << 10
	mostText = 512 << 10 // sheets and services carry their text
)

var (
	msgKind       = say.Define("shop.kind", "entries of this kind are not written here")
	msgKindsAre   = say.Define("shop.kinds_are", "write one of {kinds:list}")
	msgBodySize   = say.Define("shop.body_size", "the entry is too long ({size:count} bytes)")
	msgBodyMost   = say.Define("shop.body_most", "at most {most:count} bytes; papers and photos are added as files")
	msgBodyJSON   = say.Define("shop.body_json", "the entry is not a JSON object")
	msgBadID      = say.Define("shop.bad_id", "this is no id of an entry")
	msgUUID       = say.Define("shop.uuid", "write a UUID, or none")
	msgClosed     = say.Define("shop.closed", "the job is closed")
	msgClosedMore = say.Define("shop.closed_more", "a closed job takes notes, photos, papers and readings of the running pump; receive the pump again for more")
	msgNotYours   = say.Define("shop.not_your_role", "you do not have the role “{role}”")
	msgNoHold     = say.Define("shop.no_hold", "there is no hold point “{step}” for this pump")
	msgNoSuch     = say.Define("shop.no_such_entry", "there is no such entry in this job")
	msgVoidTwice  = say.Define("shop.void_twice", "the entry is voided already")
	msgOpenStays  = say.Define("shop.open_stays", "the entry that opens the job cannot be voided")
	msgWhySheet   = say.Define("shop.why_sheet", "a job moves to another sheet only with a reason in writing")
	msgAlways     = say.Define("shop.always", "{part} is renewed at every rebuild, unless a lead signs otherwise")
	msgBusy       = say.Define("shop.busy", "others write to this job all the time; nothing was kept")
	msgSendAgain  = say.Define("shop.send_again", "send it again")
)

var uuid = regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$`)

// Add takes an entry into a job and returns what it means. The same entry
// sent again is kept once.
func (s *Shop) Add(ctx context.Context, sc Scope, name string, n NewEntry) (*Answer, error) {
	if err := n.allowed(sc); err != nil {
		return nil, err
	}
	l, err := s.enter(ctx, sc, name)
	if err != nil {
		return nil, err
	}
	defer l.mutex.Unlock()
	return s.addLocked(ctx, sc, l, n)
}

// allowed refuses what the scope may not write, and what is no entry.
func (n *NewEntry) allowed(sc Scope) error {
	need, known := kindNeeds[n.Kind]
	if !known {
		kinds := make([]string, 0, len(kindNeeds))
		for k := range kindNeeds {
			kinds = append(kinds, k)
		}
		slices.Sort(kinds)
		return say.Refuse("kind", n.Kind, msgKind.With(), msgKindsAre.With(kinds))
	}
	if err := sc.need(need); err != nil {
		return err
	}
	if err := sc.need(access.ReadJob); err != nil {
		return err
	}
	return n.check()
}

func (n *NewEntry) check() error {
	most := mostBody
	if n.Kind == job.KindSheet || n.Kind == job.KindService || n.Kind == job.KindBasis {
		most = mostText
	}
	if len(n.Body) > most {
		return say.Refuse("body", "", msgBodySize.With(len(n.Body)), msgBodyMost.With(most))
	}
	var object map[string]json.RawMessage
	if err := json.Unmarshal(n.Body, &object); err != nil || object == nil {
		return say.Refuse("body", "", msgBodyJSON.With(), say.Message{})
	}
	if n.ID != "" && !uuid.MatchString(n.ID) {
		return say.Refuse("id", n.ID, msgBadID.With(), msgUUID.With())
	}
	return nil
}

// mostMoves is how often an entry is looked at again because another process
// wrote to the same job in between. Before each try it waits a little longer,
// by chance, so that two processes do not keep passing each other.
const mostMoves = 40

func (s *Shop) stepAside(ctx context.Context, tries int) error {
	select {
	case <-time.After(rand.N(time.Duration(tries+1) * 2 * time.Millisecond)):
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (s *Shop) addLocked(ctx context.Context, sc Scope, l *liveJob, n NewEntry) (*Answer, error) {
	if n.ID == "" {
		id, err := s.newID()
		if err != nil {
			return nil, err
		}
		n.ID = id
	}
	for tries := range mostMoves {
		e := record.Entry{
			ID: n.ID, Stream: l.key.stream, Kind: n.Kind, Version: 1, Body: n.Body, By: sc.Person, At: record.TimeOf(n.At),
			Seen: n.Seen, Device: sc.Device, Received: s.stamp(),
		}
		if e.At == 0 {
			e.At = e.Received
		}
		if s.copied > 0 {
			e.Received = 0
		}
		kept := l.find(n.ID)
		if kept != nil && kept.By == e.By { // sent again, perhaps after a new sign-in
			e.Device = kept.Device
			if n.At.IsZero() {
				e.At = kept.At
			}
		}
		if kept == nil && n.Expect != "" && n.Expect != l.job.Head {
			return nil, ErrMoved
		}
		if kept == nil {
			warnings, err := s.vet(sc, l.job, &e)
			if err != nil {
				return nil, err
			}
			if len(warnings) > 0 {
				return &Answer{Entry: e, Warnings: warnings, Job: l.job}, nil
			}
		}
		entries := []record.Entry{e}
		off := s.clockOff(n.Sent)
		if kept == nil && off != 0 {
			note, err := clockNote(l.job, &e, off)
			if err != nil {
				return nil, err
			}
			entries = append(note, e)
		}
		if kept == nil && n.Kind == job.KindSign {
			basis, err := s.basisBefore(ctx, sc.Site, l.job, &e)
			if err != nil {
				return nil, err
			}
			entries = append(basis, entries...)
		}
		sealed, fresh, err := s.store.Append(ctx, sc.Site, l.head(), entries...)
		if errors.Is(err, store.ErrMoved) {
			if err := s.stepAside(ctx, tries); err != nil {
				return nil, err
			}
			if err := s.bring(ctx, l); err != nil {
				return nil, err
			}
			continue
		}
		if err != nil {
			return nil, err
		}
		if fresh > 0 {
			l.stream.Entries = append(l.stream.Entries, sealed...)
			l.make(&s.texts, s.copied)
			s.kept(sc.Site, l.job)
		}
		return &Answer{Kept: true, Fresh: fresh > 0, Entry: sealed[len(sealed)-1], Job: l.job, After: sealed[0].Prev, ClockOff: off}, nil
	}
	return nil, say.Refuse("", "", msgBusy.With(), msgSendAgain.With())
}

// basisBefore gives the entry that copies what a signature rests on from
// outside the job (instruments, stock, limits), when the job does not hold it
// already: so anybody can work the answer out again that was signed.
func (s *Shop) basisBefore(ctx context.Context, site string, j *Job, sign *record.Entry) ([]record.Entry, error) {
	sheet := ""
	if n := len(j.State.Sheets); n > 0 {
		sheet = strings.TrimSuffix(j.State.Sheets[n-1].Body.Name, ".yaml")
	}
	serial, opened := openedAt(j.State)
	basis, err := s.basisOf(ctx, site, sheet, j.Name, serial, opened)
	if err != nil {
		return nil, err
	}
	raw, err := record.CanonicalOf(basis)
	if err != nil {
		return nil, err
	}
	if n := len(j.State.Basis); n > 0 {
		last := j.State.Basis[n-1].Ref
		for i := range j.Entries {
			if j.Entries[i].ID == last && string(j.Entries[i].Body) == string(raw) {
				return nil, nil
			}
		}
	}
	e := *sign
	e.ID, e.Kind, e.Body = deriveID(sign.At.Time(), sign.ID, job.KindBasis), job.KindBasis, raw
	return []record.Entry{e}, nil
}

// kept tells everybody, and has the summary written when nobody waits.
func (s *Shop) kept(site string, j *Job) {
	s.hints.publish(site, Hint{j.Stream, j.Seq})
	select {
	case s.lazy <- lazyRow{site, j}:
	default: // the next list makes it
	}
}

func (l *liveJob) find(id string) *record.Entry {
	for i := len(l.stream.Entries) - 1; i >= 0; i-- {
		if l.stream.Entries[i].ID == id {
			return &l.stream.Entries[i]
		}
	}
	return nil
}

// vet looks at an entry before it is kept.
func (s *Shop) vet(sc Scope, j *Job, e *record.Entry) ([]say.Message, error) {
	if j.State.Closed != nil && !slices.Contains(afterClose, e.Kind) {
		return nil, say.Refuse("", "", msgClosed.With(), msgClosedMore.With())
	}
	var chapter *progress.Chapter
	warnings, err := []say.Message(nil), error(nil)
	if a := j.Assessment; a != nil {
		chapter = a.Progress
		warnings, err = job.Vet(j.State, a.Inputs.Sheet, e.Kind, e.Body)
	} else {
		warnings, err = job.Vet(j.State, nil, e.Kind, e.Body)
	}
	if err != nil {
		return nil, err
	}
	switch e.Kind {
	case job.KindSign:
		return warnings, vetSign(sc, chapter, e.Body)
	case job.KindStep:
		return warnings, vetStep(sc, chapter, e.Body)
	case job.KindAccepted:
		return warnings, vetAccepted(sc, e.Body)
	case job.KindVoid:
		return warnings, vetVoid(sc, j, e.Body)
	case job.KindDecision:
		return warnings, vetDecision(sc, j, e.Body)
	case job.KindSheet:
		var t job.Text
		if err := json.Unmarshal(e.Body, &t); err != nil || strings.TrimSpace(t.Reason) == "" && len(j.State.Sheets) > 0 {
			return nil, say.Refuse("reason", "", msgWhySheet.With(), say.Message{})
		}
	default:
		if chapter != nil {
			return warnings, chapter.Vet(e.Kind, e.Body)
		}
	}
	return warnings, nil
}

// vetDecision: what is renewed at every rebuild stays only when a lead says so.
func vetDecision(sc Scope, j *Job, body []byte) error {
	var d job.Decision
	if err := json.Unmarshal(body, &d); err != nil || j.Assessment == nil {
		return nil // job.Vet has looked at it
	}
	sheet := j.Assessment.Inputs.Sheet
	if job.KeepsAlways(sheet, d) && !slices.Contains(sc.Roles, access.Lead) {
		return say.Refuse("decision", d.Decision, msgAlways.With(sheet.Part(d.Part).Name), msgRolesOf.With([]string{string(access.Lead)}))
	}
	return nil
}

// vetSign: a signature is given in a role that the person has and that may
// sign the hold point.
func vetSign(sc Scope, c *progress.Chapter, body []byte) error {
	var sign job.Sign
	if err := json.Unmarshal(body, &sign); err != nil {
		return say.Refuse("body", "", msgBodyJSON.With(), say.Message{})
	}
	if !slices.Contains(sc.Roles, access.Role(sign.Role)) {
		return say.Refuse("role", sign.Role, msgNotYours.With(sign.Role), say.Message{})
	}
	if c == nil {
		return say.Refuse("step", sign.Step, msgNoHold.With(sign.Step), say.Message{})
	}
	return c.Vet(job.KindSign, body)
}

// vetAccepted: an instrument is accepted in a role that the person has.
func vetAccepted(sc Scope, body []byte) error {
	var a job.Accepted
	if err := json.Unmarshal(body, &a); err != nil {
		return say.Refuse("body", "", msgBodyJSON.With(), say.Message{})
	}
	if a.Role != "" && !slices.Contains(sc.Roles, access.Role(a.Role)) {
		return say.Refuse("role", a.Role, msgNotYours.With(a.Role), say.Message{})
	}
	return nil
}

// stagesOf names the stages in which those who do no bench work mark steps.
var stagesOf = map[access.Role][]procedure.Stage{
	access.Office:     {procedure.Receive, procedure.Quote},
	access.Operations: {procedure.MakeSafe, procedure.Return, procedure.FollowUp},
}

// mayMark reports whether the scope may mark steps of a stage.
func (sc Scope) mayMark(stage procedure.Stage) bool {
	if sc.May(access.WriteBench) {
		return true
	}
	for _, role := range sc.Roles {
		if slices.Contains(stagesOf[role], stage) {
			return true
		}
	}
	return false
}

// vetStep: a step is marked by those who work at its stage, and none is done
// behind a hold point that nobody signed.
func vetStep(sc Scope, c *progress.Chapter, body []byte) error {
	var mark job.Mark
	if err := json.Unmarshal(body, &mark); err != nil {
		return say.Refuse("body", "", msgBodyJSON.With(), say.Message{})
	}
	if c == nil {
		return sc.need(access.WriteBench)
	}
	if step := c.Find(mark.Step); step != nil && !sc.mayMark(step.Step.Stage) {
		return denied(access.WriteBench)
	}
	return c.Vet(job.KindStep, body)
}

// vetVoid: everybody takes back his own entries, a few those of others.
func vetVoid(sc Scope, j *Job, body []byte) error {
	var v job.Void
	if err := json.Unmarshal(body, &v); err != nil {
		return say.Refuse("body", "", msgBodyJSON.With(), say.Message{})
	}
	for i := range j.Entries {
		e := &j.Entries[i]
		if e.ID != v.Entry {
			continue
		}
		if _, gone := j.State.Voided[e.ID]; gone {
			return say.Refuse("entry", v.Entry, msgVoidTwice.With(), say.Message{})
		}
		if e.Kind == job.KindOpen {
			return say.Refuse("entry", v.Entry, msgOpenStays.With(), say.Message{})
		}
		if e.By != sc.Person {
			return sc.need(access.VoidAny)
		}
		return nil
	}
	return say.Refuse("entry", v.Entry, msgNoSuch.With(), say.Message{})
}

// Void takes an entry of a job back, with a reason.
func (s *Shop) Void(ctx context.Context, sc Scope, name string, id, entry, reason, seen string) (*Answer, error) {
	return s.addBody(ctx, sc, name, NewEntry{ID: id, Kind: job.KindVoid, Seen: seen}, job.Void{Entry: entry, Reason: reason})
}

// Sign signs a hold point in a role of the person.
func (s *Shop) Sign(ctx context.Context, sc Scope, name string, id string, sign job.Sign, seen string) (*Answer, error) {
	return s.addBody(ctx, sc, name, NewEntry{ID: id, Kind: job.KindSign, Seen: seen}, sign)
}

func (s *Shop) addBody(ctx context.Context, sc Scope, name string, n NewEntry, body any) (*Answer, error) {
	raw, err := record.CanonicalOf(body)
	if err != nil {
		return nil, err
	}
	n.Body = raw
	return s.Add(ctx, sc, name, n)
}
