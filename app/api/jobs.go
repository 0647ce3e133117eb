package api

import (
	"net/http"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// jobRow is a job in a list.
type jobRow struct {
	Job       string    `json:"job" doc:"name of the job" example:"J-2057"`
	Tag       string    `json:"tag,omitempty" doc:"place where the pump stands"`
	Serial    string    `json:"serial,omitempty" doc:"number of the machine"`
	Owner     string    `json:"owner,omitempty"`
	Place     string    `json:"place,omitempty"`
	Complaint string    `json:"complaint,omitempty"`
	Invented  bool      `json:"invented,omitempty" doc:"true for the invented scenario"`
	Sheet     string    `json:"sheet,omitempty" doc:"name of the model sheet"`
	Model     string    `json:"model,omitempty" doc:"title of the model sheet"`
	Waits     string    `json:"waits" doc:"what the job waits for" enum:"hand,signature,parts,customer,test,ready,done"`
	Since     time.Time `json:"since" doc:"so long it has waited"`
	Opened    time.Time `json:"opened"`
	Stage     string    `json:"stage,omitempty" doc:"where it stands in the procedure"`
	Next      string    `json:"next,omitempty" doc:"next step"`
	Signers   []string  `json:"signers,omitempty" nullable:"false" doc:"roles that may sign it, for a hold point"`
	Done      int       `json:"done" doc:"steps done or passed over"`
	Steps     int       `json:"steps" doc:"steps in all"`
	Missing   int       `json:"missing" doc:"readings still to be made"`
	Conflicts int       `json:"conflicts,omitempty"`
	Warnings  int       `json:"warnings,omitempty"`
	Result    string    `json:"result,omitempty" doc:"of a closed job"`
	Previous  string    `json:"previous,omitempty" doc:"job of the last rebuild"`
	Seq       int64     `json:"seq" doc:"entries it was made from"`
}

func rowOf(r *shop.Row) jobRow {
	return jobRow{
		Job: r.Job, Tag: r.Tag, Serial: r.Serial, Owner: r.Owner, Place: r.Place, Complaint: r.Complaint, Invented: r.Invented,
		Sheet: r.Sheet, Model: r.Model, Waits: string(r.Waits), Since: r.Since.Time(), Opened: r.Opened.Time(),
		Stage: string(r.Stage), Next: r.Next, Signers: r.Signers, Done: r.Done, Steps: r.Steps, Missing: r.Missing, Conflicts: r.Conflicts,
		Warnings: r.Warnings, Result: r.Result, Previous: r.Previous, Seq: r.Seq,
	}
}

func rowsOf(rows []shop.Row) []jobRow {
	list := make([]jobRow, len(rows))
	for i := range rows {
		list[i] = rowOf(&rows[i])
	}
	return list
}

type jobGroup struct {
	Waits string   `json:"waits" doc:"what these jobs wait for"`
	Count int      `json:"count" doc:"all of them"`
	Jobs  []jobRow `json:"jobs" nullable:"false"`
	More  string   `json:"more,omitempty" doc:"where the next page begins: ask again with this as after, and with waits"`
}

type jobsIn struct {
	Waits string `query:"waits" doc:"one group only; done for closed jobs" enum:"hand,signature,parts,customer,test,ready,done"`
	Limit int    `query:"limit" minimum:"1" maximum:"500" default:"25" doc:"jobs of a group"`
	After string `query:"after" doc:"job at the end of the page before, with waits"`
}

type jobsOut struct {
	Body struct {
		Groups []jobGroup `json:"groups" nullable:"false"`
	}
}

// JobIn names a job in the address.
type JobIn struct {
	Job string `path:"job" example:"J-2057" doc:"name of the job"`
}

// Unless answers 304 while nothing changed.
type Unless struct {
	IfNoneMatch string `header:"If-None-Match" doc:"entity tag of what the program has: the answer is 304 while nothing changed"`
}

// tag is the entity tag of what follows from an end of a stream.
func tag(parts ...string) string { return `"` + strings.Join(parts, ".") + `"` }

// unchanged reports whether a list of entity tags names this one.
func (i Unless) unchanged(tag string) bool { return names(i.IfNoneMatch, tag) }

func names(list, tag string) bool {
	for one := range strings.SplitSeq(list, ",") {
		one = strings.TrimSpace(one)
		if one == "*" || strings.TrimPrefix(one, "W/") == tag {
			return true
		}
	}
	return false
}

type jobState struct {
	Job         string     `json:"job" example:"J-2057"`
	Tag         string     `json:"tag,omitempty"`
	Serial      string     `json:"serial,omitempty"`
	Owner       string     `json:"owner,omitempty"`
	Place       string     `json:"place,omitempty"`
	Complaint   string     `json:"complaint,omitempty"`
	Previous    string     `json:"previous,omitempty"`
	Invented    bool       `json:"invented,omitempty"`
	Sheet       string     `json:"sheet,omitempty" doc:"name of the model sheet that holds"`
	Service     string     `json:"service,omitempty" doc:"name of the service that holds"`
	Opened      *time.Time `json:"opened,omitempty"`
	Closed      *time.Time `json:"closed,omitempty"`
	Result      string     `json:"result,omitempty"`
	Seq         int64      `json:"seq" doc:"how many entries the job has"`
	Head        string     `json:"head" doc:"hash of the last entry: what a writer has seen"`
	Assessed    bool       `json:"assessed" doc:"whether there is an assessment"`
	NotAssessed string     `json:"not_assessed,omitempty" doc:"why there is none"`
	Photos      int        `json:"photos"`
	Papers      int        `json:"papers"`
	Conflicts   int        `json:"conflicts"`
	Troubles    int        `json:"troubles" doc:"entries that could not be understood"`
}

func stateOf(j *shop.Job) jobState {
	s := jobState{Job: j.Name, Seq: j.Seq, Head: j.Head, Assessed: j.Assessment != nil,
		Photos: len(j.State.Photos), Papers: len(j.State.Documents), Conflicts: len(j.State.Conflicts), Troubles: len(j.State.Troubles)}
	if o := j.State.Open; o != nil {
		s.Tag, s.Serial, s.Owner, s.Place = o.Body.Tag, o.Body.Serial, o.Body.Owner, o.Body.Place
		s.Complaint, s.Previous, s.Invented = o.Body.Complaint, o.Body.Previous, o.Body.Invented
		s.Opened = moment(o.At)
	}
	if n := len(j.State.Sheets); n > 0 {
		s.Sheet = strings.TrimSuffix(j.State.Sheets[n-1].Body.Name, ".yaml")
	}
	if n := len(j.State.Services); n > 0 {
		s.Service = strings.TrimSuffix(j.State.Services[n-1].Body.Name, ".yaml")
	}
	if c := j.State.Closed; c != nil {
		s.Closed, s.Result = moment(c.At), c.Body.Result
	}
	if j.NotAssessed != nil {
		s.NotAssessed = wordsOf(j.NotAssessed)
	}
	return s
}

// wordsOf words an error that a person caused; others are not told.
func wordsOf(err error) string {
	if p := say.AsProblem(err); p != nil {
		return p.Show(say.Style{})
	}
	return msgBroken.With().String()
}

func moment(t record.Time) *time.Time {
	if t == 0 {
		return nil
	}
	at := t.Time()
	return &at
}

type jobOut struct {
	ETag string `header:"ETag" doc:"end of the job's stream"`
	Body jobState
}

type assessmentIn struct {
	JobIn
	Unless
	Units   string `query:"units" enum:"metric,inch" default:"metric" doc:"units of the texts; values are SI"`
	Working bool   `query:"working" doc:"with the tree of reasons behind every number"`
}

type assessmentOut struct {
	ETag string `header:"ETag"`
	Body transfer.Object
}

func styleOf(units string) say.Style {
	if units == "inch" {
		return say.Style{Units: say.Inch}
	}
	return say.Style{}
}

func (s *Server) jobs() {
	register(s, huma.Operation{
		OperationID: "list-jobs", Method: http.MethodGet, Path: "/jobs", Tags: []string{"jobs"}, Summary: "List jobs by what they wait for",
		Description: "Within a group those come first that have waited longest. Without waits the first page of each group of open jobs is given.",
	}, func(v *visit, in *jobsIn) (*jobsOut, error) {
		groups, err := v.shop.Jobs(v, v.scope, shop.JobQuery{Waits: shop.Wait(in.Waits), Limit: in.Limit, After: in.After})
		if err != nil {
			return nil, err
		}
		out := &jobsOut{}
		out.Body.Groups = make([]jobGroup, 0, len(groups))
		for _, g := range groups {
			one := jobGroup{Waits: string(g.Waits), Count: g.Count, Jobs: rowsOf(g.Rows)}
			if n := len(g.Rows); n == in.Limit && n < g.Count {
				one.More = g.Rows[n-1].Job
			}
			out.Body.Groups = append(out.Body.Groups, one)
		}
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "get-job", Method: http.MethodGet, Path: "/jobs/{job}", Tags: []string{"jobs"}, Summary: "Read how a job stands",
	}, func(v *visit, in *struct {
		JobIn
		Unless
	}) (*jobOut, error) {
		j, err := v.shop.Job(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		if in.unchanged(tag(j.Head)) {
			return nil, notModified(tag(j.Head))
		}
		return &jobOut{ETag: tag(j.Head), Body: stateOf(j)}, nil
	})
	register(s, huma.Operation{
		OperationID: "get-assessment", Method: http.MethodGet, Path: "/jobs/{job}/assessment", Tags: []string{"jobs"},
		Summary:     "Compute what a job means",
		Description: "Everything that the pages and the report show, as one object; nothing of it is stored. The command “assess --json” prints the same.",
	}, func(v *visit, in *assessmentIn) (*assessmentOut, error) {
		j, err := v.shop.Job(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		if j.NotAssessed != nil {
			return nil, j.NotAssessed
		}
		working := "plain"
		if in.Working {
			working = "working"
		}
		etag := tag(j.Head, s.config.Version, in.Units, working) // another version may compute more
		if in.unchanged(etag) {
			return nil, notModified(etag)
		}
		return &assessmentOut{ETag: etag, Body: transfer.Assessment(j.Assessment, nil, styleOf(in.Units), in.Working)}, nil
	})
	register(s, huma.Operation{
		OperationID: "receive-pump", Method: http.MethodPost, Path: "/jobs", Tags: []string{"jobs"}, DefaultStatus: http.StatusCreated,
		Summary: "Receive a pump: open a job", Description: "The same receipt sent again (same id) gives the same job.",
	}, receive)
}

// notModified answers a conditional request.
func notModified(etag string) error {
	return huma.ErrorWithHeaders(huma.Status304NotModified(), http.Header{"Etag": {etag}})
}
