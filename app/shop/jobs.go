package shop

import (
	"container/list"
	"context"
	"strings"
	"sync"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// jobPrefix begins the name of the stream of a job.
const jobPrefix = "job:"

// StreamOf returns the stream of a job.
func StreamOf(name string) string { return jobPrefix + name }

// Job is a job as it stands. Nothing in it may be changed: others read it too.
type Job struct {
	Name    string
	Stream  string
	Seq     int64  // entries it was made from
	Head    string // hash of the last one
	Seen    string // hash of the last one that the shop has: what a writer has seen
	Entries []record.Entry
	State   *job.State
	// Assessment is what the job means; nil, with the reason in NotAssessed,
	// as long as no model sheet can be read.
	Assessment  *assess.Assessment
	NotAssessed error
}

// keptJobs are kept in memory, ready for the next entry.
const keptJobs = 64

// jobCache keeps the jobs that were used last.
type jobCache struct {
	mutex sync.Mutex
	most  int
	order *list.List // of *liveJob, the one used last in front
	byKey map[jobKey]*list.Element
}

type jobKey struct{ site, stream string }

// liveJob is a job with what makes its next assessment fast.
type liveJob struct {
	key    jobKey
	mutex  sync.Mutex
	stream record.Stream
	keeper assess.Keeper
	trying *assess.Keeper // for entries that are tried and not kept; made when one is
	job    *Job
}

func newJobCache(most int) jobCache {
	return jobCache{most: most, order: list.New(), byKey: map[jobKey]*list.Element{}}
}

// get returns the live job of a key. One that is let go while somebody uses it
// stays right: the store alone says what the entries are.
func (c *jobCache) get(key jobKey) *liveJob {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if e, ok := c.byKey[key]; ok {
		c.order.MoveToFront(e)
		return e.Value.(*liveJob)
	}
	l := newLiveJob(key)
	c.byKey[key] = c.order.PushFront(l)
	if c.order.Len() > c.most {
		last := c.order.Back()
		c.order.Remove(last)
		delete(c.byKey, last.Value.(*liveJob).key)
	}
	return l
}

// has returns the live job of a key if it is kept.
func (c *jobCache) has(key jobKey) *liveJob {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if e, ok := c.byKey[key]; ok {
		return e.Value.(*liveJob)
	}
	return nil
}

func newLiveJob(key jobKey) *liveJob {
	return &liveJob{key: key, stream: record.Stream{Name: key.stream}}
}

// bring fetches the entries that the live job lacks and makes it anew when
// there are some. The caller holds its mutex.
func (s *Shop) bring(ctx context.Context, l *liveJob) error {
	have := int64(len(l.stream.Entries))
	head, err := s.store.HeadOf(ctx, l.key.site, l.key.stream)
	if err != nil {
		return err
	}
	if head.Seq == 0 {
		return ErrNotFound
	}
	if head.Seq > have {
		more, err := s.store.Load(ctx, l.key.site, l.key.stream, have)
		if err != nil {
			return err
		}
		l.stream.Entries = append(l.stream.Entries, more.Entries...)
		l.job = nil
	}
	if l.job == nil {
		l.make(&s.texts, s.copied)
	}
	return nil
}

// make folds and assesses.
func (l *liveJob) make(texts *assess.Texts, copied int) {
	n := len(l.stream.Entries)
	stream := &record.Stream{Name: l.stream.Name, Entries: l.stream.Entries[:n:n]}
	state := job.Fold(stream)
	j := &Job{
		Name: strings.TrimPrefix(l.key.stream, jobPrefix), Stream: l.key.stream, Seq: int64(n), Head: stream.Head(),
		Entries: stream.Entries, State: state,
	}
	j.Seen = j.Head
	if copied > 0 && n > copied {
		j.Seen = stream.Entries[copied-1].Hash
	}
	in, err := texts.FromJob(state, time.Time{})
	if err != nil {
		j.NotAssessed = err
	} else {
		j.Assessment = l.keeper.Assess(in)
	}
	l.job = j
}

// Job returns a job with its assessment.
func (s *Shop) Job(ctx context.Context, sc Scope, name string) (*Job, error) {
	if err := sc.need(access.ReadJob); err != nil {
		return nil, err
	}
	l, err := s.enter(ctx, sc, name)
	if err != nil {
		return nil, err
	}
	defer l.mutex.Unlock()
	return l.job, nil
}

// enter returns the live job, brought up to date and locked, if the scope may
// see it. One that it may not see is not found.
func (s *Shop) enter(ctx context.Context, sc Scope, name string) (*liveJob, error) {
	stream := StreamOf(name)
	if !goodName(name) || sc.Only != "" && sc.Only != stream {
		return nil, ErrNotFound
	}
	l := s.jobs.get(jobKey{sc.Site, stream})
	l.mutex.Lock()
	err := s.bring(ctx, l)
	if err == nil {
		if owner, only := sc.ownerOnly(); only && (owner == "" || l.job.State.Open == nil || l.job.State.Open.Body.Owner != owner) {
			err = ErrNotFound
		}
	}
	if err != nil {
		l.mutex.Unlock()
		return nil, err
	}
	return l, nil
}

// goodName reports whether a text can name a job, a sheet or an instrument:
// letters, digits and a few marks.
func goodName(name string) bool {
	if name == "" || len(name) > 60 {
		return false
	}
	return strings.IndexFunc(name, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_.", r))
	}) < 0
}

var (
	msgBadName = say.Define("shop.bad_name", "this cannot be a name here")
	msgNames   = say.Define("shop.names", "use letters A to Z, digits, hyphen, point and underscore, 60 at most")
)

func checkName(field, name string) error {
	if !goodName(name) {
		return say.Refuse(field, name, msgBadName.With(), msgNames.With())
	}
	return nil
}

// head returns where the live job ends.
func (l *liveJob) head() store.Head {
	return store.Head{Stream: l.key.stream, Seq: l.job.Seq, Hash: l.job.Head}
}
