package api

import (
	"encoding/json"
	"net/http"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// entry is one entry of a job as it is kept.
type entry struct {
	ID       string          `json:"id" doc:"UUID made by the writer"`
	Seq      int64           `json:"seq" doc:"place in the job, from 1"`
	Kind     string          `json:"kind" example:"reading"`
	Version  int             `json:"v"`
	Body     json.RawMessage `json:"body" doc:"what was written down"`
	By       string          `json:"by" doc:"id of a person"`
	At       time.Time       `json:"at" doc:"by the writer's clock"`
	Seen     string          `json:"seen,omitempty" doc:"hash of the last entry the writer had"`
	Received *time.Time      `json:"received,omitempty"`
	Device   string          `json:"device,omitempty"`
	Prev     string          `json:"prev,omitempty" doc:"hash of the entry before"`
	Hash     string          `json:"hash"`
}

func entryOf(e *record.Entry) entry {
	return entry{ID: e.ID, Seq: e.Seq, Kind: e.Kind, Version: e.Version, Body: e.Body, By: e.By, At: e.At.Time(), Seen: e.Seen,
		Received: moment(e.Received), Device: e.Device, Prev: e.Prev, Hash: e.Hash}
}

// WriterID is the id that a writer gives to what it writes.
type WriterID struct {
	ID string `json:"id,omitempty" format:"uuid" doc:"UUID version 7 made by the writer: sent again it is kept once. Without one, each request is another entry."`
}

type entriesIn struct {
	JobIn
	Unless
	After int64 `query:"after" minimum:"0" doc:"only entries behind this seq"`
	Limit int   `query:"limit" minimum:"1" maximum:"1000" default:"200"`
}

type entriesOut struct {
	ETag string `header:"ETag"`
	Body struct {
		Seq     int64   `json:"seq" doc:"how many entries the job has"`
		Head    string  `json:"head"`
		Entries []entry `json:"entries" nullable:"false"`
		More    int64   `json:"more,omitempty" doc:"ask again with this as after"`
	}
}

// OnlyIf makes an entry depend on the end of the stream.
type OnlyIf struct {
	IfMatch string `header:"If-Match" doc:"entity tag of the job: the entry is kept only if nobody wrote since, else the answer is 412"`
}

// expect gives the head that the entry must follow.
func (i OnlyIf) expect() string {
	return strings.Trim(strings.TrimSpace(i.IfMatch), `"`)
}

type addIn struct {
	JobIn
	OnlyIf
	Body struct {
		WriterID
		Kind string          `json:"kind" doc:"kind of the entry" example:"note"`
		Body json.RawMessage `json:"body" doc:"what is written down, as its kind wants it"`
		At   time.Time       `json:"at,omitzero" doc:"by the writer's clock; now when it is missing"`
		Seen string          `json:"seen,omitempty" doc:"head of the job that the writer had before it"`
	}
}

type kept struct {
	Fresh    bool     `json:"fresh" doc:"false when it was kept before"`
	Entry    entry    `json:"entry"`
	Job      jobState `json:"job" doc:"how the job stands now"`
	Warnings []string `json:"warnings,omitempty" nullable:"false"`
}

type keptOut struct {
	Status   int
	ETag     string `header:"ETag" doc:"end of the job's stream"`
	Location string `header:"Location"`
	Body     kept
}

// answered is what a program hears of an entry.
func answered(a *shop.Answer, err error) (*keptOut, error) {
	if err != nil {
		return nil, err
	}
	if !a.Kept {
		return nil, &lookAgain{a.Warnings}
	}
	out := &keptOut{Status: http.StatusOK, ETag: tag(a.Job.Head), Location: Root + "/jobs/" + a.Job.Name,
		Body: kept{Fresh: a.Fresh, Entry: entryOf(&a.Entry), Job: stateOf(a.Job), Warnings: say.Texts(a.Warnings, say.Style{})}}
	if a.Fresh {
		out.Status = http.StatusCreated
	}
	return out, nil
}

// writeErrors may answer what writes.
var writeErrors = []int{http.StatusUnauthorized, http.StatusForbidden, http.StatusNotFound, http.StatusConflict, http.StatusPreconditionFailed,
	http.StatusRequestEntityTooLarge, http.StatusUnprocessableEntity, http.StatusTooManyRequests}

func (s *Server) entries() {
	register(s, huma.Operation{
		OperationID: "list-entries", Method: http.MethodGet, Path: "/jobs/{job}/entries", Tags: []string{"entries"}, Summary: "Read what was written down",
		Description: "In the order in which the shop kept it. Each entry carries the hash of the one before, so that anybody can check that nothing was taken out or changed.",
	}, func(v *visit, in *entriesIn) (*entriesOut, error) {
		j, err := v.shop.Job(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		if in.unchanged(tag(j.Head)) {
			return nil, notModified(tag(j.Head))
		}
		out := &entriesOut{ETag: tag(j.Head)}
		out.Body.Seq, out.Body.Head, out.Body.Entries = j.Seq, j.Head, []entry{}
		from := min(in.After, int64(len(j.Entries)))
		to := min(from+int64(in.Limit), int64(len(j.Entries)))
		for i := from; i < to; i++ {
			out.Body.Entries = append(out.Body.Entries, entryOf(&j.Entries[i]))
		}
		if to < int64(len(j.Entries)) {
			out.Body.More = to
		}
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "add-entry", Method: http.MethodPost, Path: "/jobs/{job}/entries", Tags: []string{"entries"}, DefaultStatus: http.StatusCreated,
		Summary: "Write an entry down", Errors: writeErrors,
		Description: "201: it is kept. 200: it was kept before. 409: it looks wrong, and nothing was kept; send it again with \"confirmed\": true in the body, or with another value.",
	}, func(v *visit, in *addIn) (*keptOut, error) {
		return answered(v.shop.Add(v, v.scope, in.Job, shop.NewEntry{
			ID: in.Body.ID, Kind: in.Body.Kind, Body: in.Body.Body, At: in.Body.At, Seen: in.Body.Seen, Expect: in.expect(),
		}))
	})
	register(s, huma.Operation{
		OperationID: "void-entry", Method: http.MethodPost, Path: "/jobs/{job}/entries/{entry}/void", Tags: []string{"entries"}, DefaultStatus: http.StatusCreated,
		Summary: "Take an entry back, with a reason", Description: "It stays on record, struck out.", Errors: writeErrors,
	}, func(v *visit, in *struct {
		JobIn
		OnlyIf
		Entry string `path:"entry" doc:"id of the entry"`
		Body  struct {
			WriterID
			Reason string `json:"reason" minLength:"1"`
		}
	}) (*keptOut, error) {
		body, err := json.Marshal(job.Void{Entry: in.Entry, Reason: in.Body.Reason})
		if err != nil {
			return nil, err
		}
		return answered(v.shop.Add(v, v.scope, in.Job, shop.NewEntry{ID: in.Body.ID, Kind: job.KindVoid, Body: body, Expect: in.expect()}))
	})
}

type receiveIn struct {
	Body struct {
		WriterID
		Job       string    `json:"job,omitempty" doc:"name of the job; the next number when it is missing"`
		Tag       string    `json:"tag,omitempty" doc:"place where the pump stands" example:"P-204"`
		Serial    string    `json:"serial,omitempty" doc:"number of the machine"`
		Owner     string    `json:"owner,omitempty"`
		Place     string    `json:"place,omitempty"`
		Complaint string    `json:"complaint,omitempty"`
		Previous  string    `json:"previous,omitempty" doc:"job of the last rebuild"`
		Removed   bool      `json:"removed_by_us,omitempty" doc:"the shop took it off its base"`
		Hours     *float64  `json:"hours_since_rebuild,omitempty" minimum:"0" doc:"running hours, as the owner says"`
		Sheet     string    `json:"sheet,omitempty" doc:"name of the model sheet; may be found out later"`
		Service   string    `json:"service,omitempty" doc:"name of the service; may be written down later"`
		At        time.Time `json:"at,omitzero"`
	}
}

func receive(v *visit, in *receiveIn) (*keptOut, error) {
	b := &in.Body
	return answered(v.shop.Receive(v, v.scope, shop.Receipt{ID: b.ID, Job: b.Job, Sheet: b.Sheet, Service: b.Service, At: b.At, Open: job.Open{
		Tag: b.Tag, Serial: b.Serial, Owner: b.Owner, Place: b.Place, Complaint: b.Complaint, Previous: b.Previous, Removed: b.Removed, Hours: b.Hours,
	}}))
}
