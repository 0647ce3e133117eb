package shop

import (
	"context"
	"time"

	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Try returns what an entry would mean, as Add would, and keeps nothing: the
// answer to a value that is still being typed. The job in the answer holds the
// entry; its sequence and head are those of the job as it is kept. Warnings
// stand alone, with the job as it is.
func (s *Shop) Try(ctx context.Context, sc Scope, name string, n NewEntry) (*Answer, error) {
	if err := n.allowed(sc); err != nil {
		return nil, err
	}
	l, err := s.enter(ctx, sc, name)
	if err != nil {
		return nil, err
	}
	defer l.mutex.Unlock()
	if n.ID, err = s.newID(); err != nil { // chapters are kept by the ids of their entries
		return nil, err
	}
	e := record.Entry{
		ID: n.ID, Stream: l.key.stream, Seq: l.job.Seq + 1, Kind: n.Kind, Version: 1, Body: n.Body,
		By: sc.Person, At: s.stamp(), Seen: n.Seen, Device: sc.Device, Hash: n.ID,
	}
	e.Received = e.At
	warnings, err := s.vet(sc, l.job, &e)
	if err != nil {
		return nil, err
	}
	if len(warnings) > 0 {
		return &Answer{Entry: e, Warnings: warnings, Job: l.job}, nil
	}
	return &Answer{Entry: e, Job: l.with(e, &s.texts)}, nil
}

// with folds and assesses the job with one entry more that nobody has kept.
func (l *liveJob) with(e record.Entry, texts *assess.Texts) *Job {
	end := len(l.stream.Entries)
	entries := append(l.stream.Entries[:end:end], e)
	j := *l.job
	j.Entries = entries
	j.State = job.Fold(&record.Stream{Name: l.stream.Name, Entries: entries})
	j.Assessment, j.NotAssessed = nil, nil
	in, err := texts.FromJob(j.State, time.Time{})
	if err != nil {
		j.NotAssessed = err
		return &j
	}
	if l.trying == nil {
		l.trying = new(assess.Keeper)
	}
	j.Assessment = l.trying.Assess(in)
	return &j
}
