package shop

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/rebuild/job"
)

// JobQuery asks for jobs. The zero value asks for the first ones of each group
// of open jobs.
type JobQuery struct {
	Waits Wait   // one group only; Done for closed jobs
	Limit int    // rows of a group; usualRows when 0
	After string // job at the end of the page before, with Waits
}

// usualRows of a group are shown at first.
const usualRows = 25

// mostRows of a group are given at once.
const mostRows = 500

// JobGroup is the jobs that wait for the same.
type JobGroup struct {
	Waits Wait
	Count int // all of them
	Rows  []Row
}

// Jobs lists jobs by what they wait for; within a group those first that have
// waited longest.
func (s *Shop) Jobs(ctx context.Context, sc Scope, q JobQuery) ([]JobGroup, error) {
	if err := sc.need(access.ListJobs); err != nil {
		return nil, err
	}
	owner, only := sc.ownerOnly()
	if only && owner == "" {
		return nil, nil
	}
	if !only {
		owner = ""
	}
	if err := s.CatchUp(ctx, sc.Site); err != nil {
		return nil, err
	}
	counts, err := s.store.CountWaits(ctx, sc.Site, owner)
	if err != nil {
		return nil, err
	}
	ask := store.SummaryQuery{Owner: owner, Limit: usualRows}
	if q.Limit > 0 {
		ask.Limit = min(q.Limit, mostRows)
	}
	waits := Waits()
	if q.Waits != "" {
		waits = []Wait{q.Waits}
		if q.After != "" {
			if ask.After, err = s.summaryOf(ctx, sc.Site, StreamOf(q.After)); err != nil {
				return nil, err
			}
		}
	}
	var groups []JobGroup
	for _, w := range waits {
		if counts[string(w)] == 0 {
			continue
		}
		ask.Waits = string(w)
		rows, err := s.rows(ctx, sc.Site, ask)
		if err != nil {
			return nil, err
		}
		groups = append(groups, JobGroup{Waits: w, Count: counts[string(w)], Rows: rows})
	}
	return groups, nil
}

func (s *Shop) rows(ctx context.Context, site string, q store.SummaryQuery) ([]Row, error) {
	summaries, err := s.store.Summaries(ctx, site, q)
	if err != nil {
		return nil, err
	}
	rows := make([]Row, len(summaries))
	for i := range summaries {
		if err := json.Unmarshal([]byte(summaries[i].Data), &rows[i]); err != nil {
			return nil, fmt.Errorf("shop: summary of %s: %w", summaries[i].Stream, err)
		}
	}
	return rows, nil
}

// summaryOf returns where a page ended.
func (s *Shop) summaryOf(ctx context.Context, site, stream string) (*store.Summary, error) {
	list, err := s.store.Summaries(ctx, site, store.SummaryQuery{Stream: stream})
	if err != nil {
		return nil, err
	}
	if len(list) == 0 {
		return nil, ErrNotFound
	}
	return &list[0], nil
}

// lazyRow is a summary that is written when nobody waits for it.
type lazyRow struct {
	site string
	job  *Job
}

func (s *Shop) writeLazily(ctx context.Context) {
	for {
		select {
		case row := <-s.lazy:
			// What is not written here is made by the next list.
			_ = s.putSummary(ctx, row.site, row.job)
		case <-ctx.Done():
			return
		}
	}
}

func (s *Shop) putSummary(ctx context.Context, site string, j *Job) error {
	row := rowOf(j)
	data, err := json.Marshal(summaryData{row, lessonOf(j)})
	if err != nil {
		return fmt.Errorf("shop: summary of %s: %w", j.Name, err)
	}
	past, err := s.pastText(j)
	if err != nil {
		return fmt.Errorf("shop: summary of %s: %w", j.Name, err)
	}
	summary := store.Summary{
		Waits: string(row.Waits), Since: row.Since, Opened: row.Opened, Tag: row.Tag, Serial: row.Serial, Owner: row.Owner, Data: string(data), Past: past,
	}
	head := store.Head{Stream: j.Stream, Seq: j.Seq, Hash: j.Head}
	if err := s.store.PutDerived(ctx, site, head, &summary, textsOf(j)); err != nil {
		return err
	}
	return s.tellStage(ctx, site, head, &row)
}

// catchUpAtOnce is how many jobs are brought up to date in one go.
const catchUpAtOnce = 200

// CatchUp makes the summaries that are behind their entries.
func (s *Shop) CatchUp(ctx context.Context, site string) error {
	for {
		behind, err := s.store.Behind(ctx, site, jobPrefix, catchUpAtOnce)
		if err != nil || len(behind) == 0 {
			return err
		}
		for _, h := range behind {
			j, err := s.peek(ctx, jobKey{site, h.Stream})
			if err != nil {
				return err
			}
			if err := s.putSummary(ctx, site, j); err != nil {
				return err
			}
		}
	}
}

// peek returns a job without putting out of the cache those in use.
func (s *Shop) peek(ctx context.Context, key jobKey) (*Job, error) {
	l := s.jobs.has(key)
	if l == nil {
		l = newLiveJob(key)
	}
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if err := s.bring(ctx, l); err != nil {
		return nil, err
	}
	return l.job, nil
}

// Remake forgets all summaries and makes them again from the entries.
func (s *Shop) Remake(ctx context.Context, sc Scope) error {
	if err := sc.need(access.Settle); err != nil {
		return err
	}
	if err := s.store.ForgetDerived(ctx, sc.Site); err != nil {
		return err
	}
	if err := s.textsAnew(ctx, sc.Site); err != nil {
		return err
	}
	return s.CatchUp(ctx, sc.Site)
}

// textsOf gives what a job can be found by.
func textsOf(j *Job) []store.Text {
	var list []store.Text
	add := func(m job.Meta, kind string, words ...string) {
		words = slices.DeleteFunc(words, func(w string) bool { return w == "" })
		if len(words) > 0 {
			list = append(list, store.Text{Stream: j.Stream, Ref: m.Ref, Kind: kind, Text: strings.Join(words, " · "), At: m.At})
		}
	}
	if o := j.State.Open; o != nil {
		b := o.Body
		add(job.Meta{At: o.At}, "job", j.Name, b.Tag, b.Serial, b.Owner, b.Place, b.Complaint)
	}
	for _, k := range j.State.Findings {
		add(k.Meta, "finding", k.Body.Evidence, k.Body.Part, k.Body.Note)
	}
	for _, k := range j.State.Notes {
		add(k.Meta, "note", k.Body.Part, k.Body.Text)
	}
	for _, k := range j.State.Decisions {
		add(k.Meta, "decision", k.Body.Part, k.Body.Decision, k.Body.Reason)
	}
	for _, k := range j.State.Causes {
		add(k.Meta, "cause", k.Body.Cause, k.Body.Note)
	}
	for _, k := range j.State.Fitted {
		add(k.Meta, "fitted", k.Body.Part, k.Body.Batch, k.Body.Serial, k.Body.Elastomer, k.Body.Note)
	}
	for _, k := range j.State.Photos {
		add(k.Meta, "photo", k.Body.Part, k.Body.Note)
	}
	for _, k := range j.State.Documents {
		add(k.Meta, "document", k.Body.What, k.Body.Name, k.Body.Note)
	}
	return list
}

// Hit is something that was found.
type Hit struct {
	Kind string // job, finding, note …, sheet, service, liquid, instrument, pump
	Name string // of the job, the sheet …
	Ref  string // entry of the job, "" for the whole
	Text string
	At   int64 // microseconds
}

// mostHits are given.
const mostHits = 50

// Search finds jobs, pumps, findings, notes, sheets and instruments in which
// every word typed begins a word.
func (s *Shop) Search(ctx context.Context, sc Scope, typed string) ([]Hit, error) {
	if err := sc.need(access.Search); err != nil {
		return nil, err
	}
	words := store.Words(typed)
	if len(words) > 8 {
		words = words[:8]
	}
	if err := s.CatchUp(ctx, sc.Site); err != nil {
		return nil, err
	}
	texts, err := s.store.Search(ctx, sc.Site, words, mostHits)
	if err != nil {
		return nil, err
	}
	hits := make([]Hit, len(texts))
	for i, t := range texts {
		_, name, _ := strings.Cut(t.Stream, ":")
		hits[i] = Hit{Kind: t.Kind, Name: name, Ref: t.Ref, Text: t.Text, At: int64(t.At)}
	}
	rank(hits, words)
	return hits, nil
}

// rank puts first what is called as was typed (pumps before jobs before the
// rest), then what else holds the words, the newest first within each.
func rank(hits []Hit, typed []string) {
	called := func(h *Hit) int {
		names := store.Words(h.Name)
		for _, w := range typed {
			if !slices.ContainsFunc(names, func(n string) bool { return strings.HasPrefix(n, w) }) {
				return 3
			}
		}
		switch h.Kind {
		case kindPump:
			return 0
		case "job":
			return 1
		}
		return 2
	}
	slices.SortStableFunc(hits, func(a, b Hit) int { return called(&a) - called(&b) })
}
