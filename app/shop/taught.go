package shop

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/learned"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
)

// summaryData is what is kept of a job in short: its row, and what it teaches
// once it is closed.
type summaryData struct {
	Row
	Lesson *learned.Lesson `json:"lesson,omitempty"`
}

// Learned returns what the closed jobs of a site have taught, with how many
// stand behind each value.
func (s *Shop) Learned(ctx context.Context, sc Scope) (*learned.Learned, error) {
	if err := sc.need(access.ReadPumps); err != nil {
		return nil, err
	}
	if err := s.CatchUp(ctx, sc.Site); err != nil {
		return nil, err
	}
	l, _, err := s.learnedBut(ctx, sc.Site, "")
	return l, err
}

// Warm reads what the closed jobs of every site teach, so that the first pump
// that is received after a start does not wait for it. What fails here is told
// to whoever asks.
func (s *Shop) Warm(ctx context.Context) {
	sites, err := s.store.Sites(ctx)
	for i := 0; err == nil && i < len(sites); i++ {
		if err = s.CatchUp(ctx, sites[i].ID); err == nil {
			_, _, err = s.learnedBut(ctx, sites[i].ID, "")
		}
	}
}

// learnedBut returns what the closed jobs of a site teach, all but one job, and
// how many lessons there are. Nothing of it may be changed: others read it too.
func (s *Shop) learnedBut(ctx context.Context, site, job string) (*learned.Learned, int, error) {
	s.taught.mutex.Lock()
	defer s.taught.mutex.Unlock()
	at, err := s.lessons(ctx, site)
	if err != nil {
		return nil, 0, err
	}
	if _, teaches := at.byJob[StreamOf(job)]; teaches {
		return learned.From(at.sorted, job), len(at.sorted), nil
	}
	if at.all == nil {
		at.all = learned.From(at.sorted)
	}
	return at.all, len(at.sorted), nil
}

// lessonOf is what a job teaches; nil while it is open.
func lessonOf(j *Job) *learned.Lesson {
	if j.State.Closed == nil || j.Assessment == nil {
		return nil
	}
	l, ok := learned.Of(&assess.Assessment{Inputs: j.Assessment.Inputs})
	if !ok {
		return nil
	}
	return &l
}

// taughtCache keeps, by site, the lessons of the closed jobs.
type taughtCache struct {
	mutex sync.Mutex
	sites map[string]*taughtAt
}

type taughtAt struct {
	mark   int64 // up to which entries were looked at
	byJob  map[string]taughtJob
	sorted []learned.Lesson
	all    *learned.Learned // from all of them; nil when not asked for yet
}

type taughtJob struct {
	closed record.Time // its last entry
	lesson learned.Lesson
}

// lessons returns what the closed jobs of a site teach, by the time of their
// last entries. Jobs that did not change since the last question are not read
// again. The caller holds the lock.
func (s *Shop) lessons(ctx context.Context, site string) (*taughtAt, error) {
	at := s.taught.sites[site]
	if at == nil {
		at = &taughtAt{byJob: map[string]taughtJob{}}
	}
	streams, mark, err := s.store.Since(ctx, site, at.mark)
	if err != nil {
		return nil, err
	}
	changed := at.mark == 0
	if changed {
		if err := s.allLessons(ctx, site, at); err != nil {
			return nil, err
		}
	}
	for _, name := range streams {
		if !strings.HasPrefix(name, jobPrefix) {
			continue
		}
		moved, err := s.lessonAnew(ctx, site, name, at)
		if err != nil {
			return nil, err
		}
		changed = changed || moved
	}
	if changed {
		at.sort()
	}
	at.mark = mark
	if s.taught.sites == nil {
		s.taught.sites = map[string]*taughtAt{}
	}
	s.taught.sites[site] = at
	return at, nil
}

func (at *taughtAt) sort() {
	at.all = nil
	names := slices.SortedFunc(maps.Keys(at.byJob), func(a, b string) int {
		return cmp.Or(cmp.Compare(at.byJob[a].closed, at.byJob[b].closed), cmp.Compare(a, b))
	})
	at.sorted = make([]learned.Lesson, len(names))
	for i, name := range names {
		at.sorted[i] = at.byJob[name].lesson
	}
}

// allLessons reads the summaries of all closed jobs.
func (s *Shop) allLessons(ctx context.Context, site string, at *taughtAt) error {
	behind, err := s.store.Behind(ctx, site, jobPrefix, 1<<30)
	if err != nil {
		return err
	}
	for _, h := range behind {
		if _, err := s.lessonAnew(ctx, site, h.Stream, at); err != nil {
			return err
		}
	}
	late := make(map[string]bool, len(behind))
	for _, h := range behind {
		late[h.Stream] = true
	}
	q := store.SummaryQuery{Waits: string(Done), Limit: mostRows}
	for {
		page, err := s.store.Summaries(ctx, site, q)
		if err != nil {
			return err
		}
		for i := range page {
			var one summaryData
			if err := json.Unmarshal([]byte(page[i].Data), &one); err != nil {
				return err
			}
			if one.Lesson != nil && !late[page[i].Stream] {
				at.byJob[page[i].Stream] = taughtJob{page[i].Since, *one.Lesson}
			}
		}
		if len(page) < mostRows {
			return nil
		}
		q.After = &page[len(page)-1]
	}
}

// lessonAnew looks again at a job that got entries.
func (s *Shop) lessonAnew(ctx context.Context, site, name string, at *taughtAt) (moved bool, err error) {
	head, err := s.store.HeadOf(ctx, site, name)
	if err != nil {
		return false, err
	}
	rows, err := s.store.Summaries(ctx, site, store.SummaryQuery{Stream: name})
	if err != nil {
		return false, err
	}
	var lesson *learned.Lesson
	var closed record.Time
	if len(rows) > 0 && rows[0].Seq == head.Seq {
		var one summaryData
		if err := json.Unmarshal([]byte(rows[0].Data), &one); err != nil {
			return false, err
		}
		lesson, closed = one.Lesson, rows[0].Since
	} else { // of its own: the caller holds a job, and another one may wait for it
		l := newLiveJob(jobKey{site, name})
		if err := s.bring(ctx, l); err != nil {
			return false, err
		}
		lesson, closed = lessonOf(l.job), l.job.State.Last
	}
	_, was := at.byJob[name]
	delete(at.byJob, name)
	if lesson != nil {
		at.byJob[name] = taughtJob{closed, *lesson}
	}
	return was || lesson != nil, nil
}

// learnedInto puts into a basis what the closed jobs of the site have taught,
// all but the job itself. What the shop has written down by hand stays where it
// rests on as many jobs.
func (s *Shop) learnedInto(ctx context.Context, site, name string, basis map[string]any) error {
	taught, lessons, err := s.learnedBut(ctx, site, name)
	if err != nil || lessons == 0 {
		return err
	}
	own, err := shopOf(basis)
	if err != nil {
		return nil // the settings are refused where they are written
	}
	with := own.With(taught.Taught())
	for key, value := range map[string]any{"compression": with.Compression, "causes": with.Causes, "cause_times": with.CauseTimes, "learned_factors": with.Factors, "learned_hours": with.Medians} {
		raw, err := json.Marshal(value)
		if err != nil {
			return err
		}
		if text := string(raw); text != "null" && text != "[]" && text != "{}" {
			basis[key] = json.RawMessage(raw)
		}
	}
	return nil
}

func shopOf(basis map[string]any) (*ledger.Shop, error) {
	raw, err := record.CanonicalOf(basis)
	if err != nil {
		return nil, err
	}
	var fields any
	if err := json.Unmarshal(raw, &fields); err != nil {
		return nil, err
	}
	return ledger.Read(fields)
}

// mostRuns bounds how many earlier jobs of a machine are looked at.
const mostRuns = 40

// machineInto puts into a basis what the shop knows of the machine over its
// earlier jobs, up to the day on which this job was opened: how long it ran
// since the last one, and how long it runs between rebuilds.
func (s *Shop) machineInto(ctx context.Context, site, name, serial string, opened time.Time, basis map[string]any) error {
	if serial == "" {
		return nil
	}
	rows, err := s.rows(ctx, site, store.SummaryQuery{Serial: serial, Limit: mostRuns})
	if err != nil {
		return err
	}
	var earlier []history.Summary
	for i := range rows {
		if rows[i].Job == name || rows[i].Opened >= record.TimeOf(opened) {
			continue
		}
		// of its own: the caller holds a job, and another one may wait for it
		l := newLiveJob(jobKey{site, StreamOf(rows[i].Job)})
		if err := s.bring(ctx, l); err != nil {
			return err
		}
		earlier = append(earlier, s.summarise(l.job))
	}
	if len(earlier) == 0 {
		return nil
	}
	stream, err := s.store.Load(ctx, site, pumpPrefix+pumpName(serial, ""), 0)
	if err != nil {
		return err
	}
	m := history.NewMachine(serial, earlier, foldPump(stream), history.Options{AsOf: record.TimeOf(opened)})
	if known := m.Known(); known != nil {
		basis["machine"] = known
	}
	return nil
}

// openedAt is when a job was opened, and of which machine.
func openedAt(state *job.State) (serial string, at time.Time) {
	if state.Open == nil {
		return "", time.Time{}
	}
	return state.Open.Body.Serial, state.Open.At.Time()
}
