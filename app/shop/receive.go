package shop

import (
	"context"
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Receipt is a pump that comes in.
type Receipt struct {
	ID      string // UUID made by the writer; made here when empty
	Job     string // name of the job; the next number when empty
	Open    job.Open
	Sheet   string // name of the model sheet; may be found out later
	Service string // name of the service; may be written down later
	At      time.Time
}

var (
	msgNeedTag   = say.Define("shop.need_tag", "the pump has neither a tag nor a serial number")
	msgGiveTag   = say.Define("shop.give_tag", "write what stands on it, or give it a tag of the shop")
	msgNoPaper   = say.Define("shop.no_paper", "the shop has no {kind} “{name}”")
	msgBadSheet  = say.Define("shop.bad_sheet", "the model sheet has problems: {reason}")
	msgMendSheet = say.Define("shop.mend_sheet", "mend the sheet first, or receive the pump without one")
	msgJobTaken  = say.Define("shop.job_taken", "there is a job of this name already")
)

// Receive opens a job: what came in, the sheet and the service it is done with
// and what is known of the shop today, in one step. The same receipt sent
// again gives the same job.
func (s *Shop) Receive(ctx context.Context, sc Scope, r Receipt) (*Answer, error) {
	if err := sc.need(access.Receive); err != nil {
		return nil, err
	}
	if r.ID == "" {
		id, err := s.newID()
		if err != nil {
			return nil, err
		}
		r.ID = id
	} else if !uuid.MatchString(r.ID) {
		return nil, say.Refuse("id", r.ID, msgBadID.With(), msgUUID.With())
	}
	if first, err := s.store.Entry(ctx, sc.Site, r.ID); err == nil {
		return s.received(ctx, sc, first)
	} else if !isNotFound(err) {
		return nil, err
	}
	o := r.Open
	o.Tag, o.Serial, o.Owner = strings.TrimSpace(o.Tag), strings.TrimSpace(o.Serial), strings.TrimSpace(o.Owner)
	if o.Tag == "" && o.Serial == "" {
		return nil, say.Refuse("tag", "", msgNeedTag.With(), msgGiveTag.With())
	}
	given := r.Job != ""
	if given {
		if err := checkName("job", r.Job); err != nil {
			return nil, err
		}
	}
	for {
		if !given {
			n, err := s.store.Next(ctx, sc.Site, "job")
			if err != nil {
				return nil, err
			}
			r.Job = fmt.Sprintf("J-%d", firstJob-1+n)
		}
		o.Job = r.Job
		entries, err := s.receiptEntries(ctx, sc, r, o)
		if err != nil {
			return nil, err
		}
		sealed, _, err := s.store.Append(ctx, sc.Site, store.Head{Stream: StreamOf(r.Job)}, entries...)
		if err == store.ErrMoved { // the name is taken
			if given {
				return nil, say.Refuse("job", r.Job, msgJobTaken.With(), say.Message{})
			}
			continue
		}
		if err != nil {
			return nil, err
		}
		if err := s.notePump(ctx, sc, r, o); err != nil {
			return nil, err
		}
		answer, err := s.received(ctx, sc, sealed[0])
		if err == nil {
			answer.Fresh = true
			s.kept(sc.Site, answer.Job)
		}
		return answer, err
	}
}

// firstJob is the number of the first job of a site.
const firstJob = 1001

func (s *Shop) received(ctx context.Context, sc Scope, first record.Entry) (*Answer, error) {
	l, err := s.enter(ctx, sc, strings.TrimPrefix(first.Stream, jobPrefix))
	if err != nil {
		return nil, err
	}
	defer l.mutex.Unlock()
	return &Answer{Kept: true, Entry: first, Job: l.job}, nil
}

// receiptEntries are the entries that open a job. Their ids follow from the
// receipt's.
func (s *Shop) receiptEntries(ctx context.Context, sc Scope, r Receipt, o job.Open) ([]record.Entry, error) {
	at := r.At
	if at.IsZero() {
		at = s.now()
	}
	var entries []record.Entry
	add := func(kind string, body any) error {
		raw, err := record.CanonicalOf(body)
		if err != nil {
			return err
		}
		id := r.ID
		if len(entries) > 0 {
			id = deriveID(at, r.ID, kind)
		}
		entries = append(entries, record.Entry{
			ID: id, Stream: StreamOf(r.Job), Kind: kind, Version: 1, Body: raw, By: sc.Person, At: record.TimeOf(at), Device: sc.Device, Received: s.stamp(),
		})
		return nil
	}
	if err := add(job.KindOpen, o); err != nil {
		return nil, err
	}
	for _, paper := range []struct {
		kind PaperKind
		name string
	}{{Sheets, r.Sheet}, {Services, r.Service}} {
		if paper.name == "" {
			continue
		}
		p, err := s.paper(ctx, sc.Site, paper.kind, paper.name, 0)
		if isNotFound(err) {
			return nil, say.Refuse(string(paper.kind), paper.name, msgNoPaper.With(paper.kind, paper.name), say.Message{})
		}
		if err != nil {
			return nil, err
		}
		if problems := p.Findings.Problems(); len(problems) > 0 && paper.kind == Sheets {
			return nil, say.Refuse("sheet", paper.name, msgBadSheet.With(problems[0].Show(say.Style{})), msgMendSheet.With())
		}
		if err := add(string(paper.kind), job.Text{Name: paper.name + ".yaml", Text: p.Text}); err != nil {
			return nil, err
		}
	}
	basis, err := s.basisOf(ctx, sc.Site, r.Sheet, r.Job, o.Serial, at)
	if err != nil {
		return nil, err
	}
	return entries, add(job.KindBasis, basis)
}

// deriveID makes an id that follows from another.
func deriveID(at time.Time, id, kind string) string {
	sum := sha256.Sum256([]byte(id + "\x00" + kind))
	return record.NewID(at, [10]byte(sum[:10]))
}

// Pump is a machine as the shop knows it.
type Pump struct {
	Name    string `json:"name"` // serial number, or tag
	Serial  string `json:"serial,omitempty"`
	Tag     string `json:"tag,omitempty"`
	Owner   string `json:"owner,omitempty"`
	Place   string `json:"place,omitempty"`
	Sheet   string `json:"sheet,omitempty"`
	Service string `json:"service,omitempty"`
	Note    string `json:"note,omitempty"`
	Fact    `json:"-"`
}

// pumpName is the serial number, or the tag, as it can stand in an address.
func pumpName(serial, tag string) string {
	name := serial
	if name == "" {
		name = tag
	}
	name = strings.Map(func(r rune) rune {
		if goodName(string(r)) {
			return r
		}
		return '-'
	}, name)
	return name[:min(len(name), 60)]
}

// notePump keeps where a machine is and what it does, when that is new.
func (s *Shop) notePump(ctx context.Context, sc Scope, r Receipt, o job.Open) error {
	p := Pump{Name: pumpName(o.Serial, o.Tag), Serial: o.Serial, Tag: o.Tag, Owner: o.Owner, Place: o.Place, Sheet: r.Sheet, Service: r.Service}
	was, err := s.pump(ctx, sc.Site, p.Name)
	if err != nil && !isNotFound(err) {
		return err
	}
	p.Note = was.Note
	if p.Sheet == "" {
		p.Sheet = was.Sheet
	}
	if p.Service == "" {
		p.Service = was.Service
	}
	was.Fact = Fact{}
	if was == p {
		return nil
	}
	at := r.At
	if at.IsZero() {
		at = s.now()
	}
	return s.putPump(ctx, sc, kept{deriveID(at, r.ID, kindPump), pumpPrefix + p.Name, kindPump, at}, p)
}

func (s *Shop) putPump(ctx context.Context, sc Scope, k kept, p Pump) error {
	_, err := s.keep(ctx, sc, k, p, p.words())
	return err
}
