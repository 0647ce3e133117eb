package shop

import (
	"context"
	"encoding/json"
	"sync"
	"time"

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

// taughtCache keeps, by site, the lessons of the closed jobs until another
// number of jobs is closed.
type taughtCache struct {
	mutex sync.Mutex
	sites map[string]taughtAt
}

type taughtAt struct {
	closed  int
	lessons []learned.Lesson
}

// lessons returns what the closed jobs of a site teach.
func (s *Shop) lessons(ctx context.Context, site string) ([]learned.Lesson, error) {
	s.taught.mutex.Lock()
	defer s.taught.mutex.Unlock()
	counts, err := s.store.CountWaits(ctx, site, "")
	if err != nil {
		return nil, err
	}
	if kept, there := s.taught.sites[site]; there && kept.closed == counts[string(Done)] {
		return kept.lessons, nil
	}
	kept := taughtAt{closed: counts[string(Done)]}
	q := store.SummaryQuery{Waits: string(Done), Limit: mostRows}
	for {
		page, err := s.store.Summaries(ctx, site, q)
		if err != nil {
			return nil, err
		}
		for i := range page {
			var one struct{ Lesson *learned.Lesson }
			if err := json.Unmarshal([]byte(page[i].Data), &one); err != nil {
				return nil, err
			}
			if one.Lesson != nil {
				kept.lessons = append(kept.lessons, *one.Lesson)
			}
		}
		if len(page) < mostRows {
			break
		}
		q.After = &page[len(page)-1]
	}
	if s.taught.sites == nil {
		s.taught.sites = map[string]taughtAt{}
	}
	s.taught.sites[site] = kept
	return kept.lessons, nil
}

// learnedInto puts into a basis what the closed jobs of the site have taught,
// all but the job itself. What the shop has written down by hand stays where it
// rests on as many jobs.
func (s *Shop) learnedInto(ctx context.Context, site, name string, basis map[string]any) error {
	lessons, err := s.lessons(ctx, site)
	if err != nil || len(lessons) == 0 {
		return err
	}
	own, err := shopOf(basis)
	if err != nil {
		return nil // the settings are refused where they are written
	}
	with := own.With(learned.From(lessons, name).Taught())
	for key, value := range map[string]any{"compression": with.Compression, "causes": with.Causes, "learned_factors": with.Factors, "learned_hours": with.Medians} {
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
