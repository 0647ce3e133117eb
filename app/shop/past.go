package shop

import (
	"context"
	"encoding/json"
	"maps"
	"sort"
	"strings"
	"sync"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Past is what the jobs of a site say of its machines over the years. Nothing
// in it may be changed: others read it too.
type Past struct {
	Machines []*history.Machine
	Fleet    *history.Fleet
	Jobs     []history.Summary
	Pumps    []*history.Pump
	AsOf     record.Time

	family *history.Family
	due    [2]func() []history.Expected // of all features, of the first of each machine: made when first asked for
	names  map[string]string            // serial → name of the pump in the shop
}

// Machine returns a machine by the name that the pump has in the shop, or nil.
func (p *Past) Machine(name string) *history.Machine {
	for _, m := range p.Machines {
		if m.Serial == name || p.names[m.Serial] == name {
			return m
		}
	}
	return nil
}

// NameOf returns the name that a machine has in the shop.
func (p *Past) NameOf(serial string) string { return pumpName(serial, "") }

// Forecasts says when each feature of a machine reaches its limit.
func (p *Past) Forecasts(m *history.Machine) ([]history.Expected, []say.Message) {
	return m.Forecasts(p.family)
}

// Due lists what is due, the nearest first; with firstOnly, the first feature
// of each machine alone.
func (p *Past) Due(firstOnly bool) []history.Expected {
	if firstOnly {
		return p.due[1]()
	}
	return p.due[0]()
}

// DueOf lists what is due of some machines, the first feature of each.
func (p *Past) DueOf(machines []*history.Machine) []history.Expected {
	return history.DueList(machines, p.family, true)
}

// pastCache keeps, by site, what was made of jobs and pumps; only what has
// moved on is made again.
type pastCache struct {
	mutex sync.Mutex
	sites map[string]*sitePast
}

type sitePast struct {
	mutex sync.Mutex
	jobs  map[string]pastJob  // by stream
	pumps map[string]pastPump // by stream
	mark  int64               // up to which entries were looked at
	day   string
	past  *Past
}

type pastJob struct {
	hash    string
	summary history.Summary
}

type pastPump struct {
	hash string
	pump *history.Pump
}

func (c *pastCache) of(site string) *sitePast {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if c.sites == nil {
		c.sites = map[string]*sitePast{}
	}
	if c.sites[site] == nil {
		c.sites[site] = &sitePast{jobs: map[string]pastJob{}, pumps: map[string]pastPump{}}
	}
	return c.sites[site]
}

// Past returns the history of the machines of a site as of today.
func (s *Shop) Past(ctx context.Context, sc Scope) (*Past, error) {
	if err := sc.need(access.ReadPumps); err != nil {
		return nil, err
	}
	return s.past(ctx, sc.Site)
}

func (s *Shop) past(ctx context.Context, site string) (*Past, error) {
	c := s.pasts.of(site)
	c.mutex.Lock()
	defer c.mutex.Unlock()
	fresh, err := s.freshPast(ctx, site, c)
	if err != nil {
		return nil, err
	}
	now := s.now().UTC()
	if day := now.Format(time.DateOnly); fresh || c.past == nil || c.day != day {
		c.past, c.day = c.make(record.TimeOf(now)), day
	}
	return c.past, nil
}

// freshPast brings the parts up to date and reports whether any moved.
func (s *Shop) freshPast(ctx context.Context, site string, c *sitePast) (moved bool, err error) {
	streams, mark, err := s.store.Since(ctx, site, c.mark)
	if err != nil {
		return false, err
	}
	if c.mark == 0 {
		if err := s.wholePast(ctx, site, c); err != nil {
			return false, err
		}
		c.mark = mark
		return true, nil
	}
	for _, name := range streams {
		switch {
		case strings.HasPrefix(name, jobPrefix):
			head, err := s.store.HeadOf(ctx, site, name)
			if err != nil {
				return moved, err
			}
			if c.jobs[name].hash == head.Hash {
				continue
			}
			rows, err := s.store.Pasts(ctx, site, name)
			if err != nil {
				return moved, err
			}
			var row store.Summary
			if len(rows) > 0 {
				row = rows[0]
			}
			if err := s.takePast(ctx, site, c, head, row); err != nil {
				return moved, err
			}
			moved = true
		case strings.HasPrefix(name, pumpPrefix):
			stream, err := s.store.Load(ctx, site, name, 0)
			if err != nil {
				return moved, err
			}
			if c.pumps[name].hash != stream.Head() {
				c.pumps[name], moved = pastPump{stream.Head(), foldPump(stream)}, true
			}
		}
	}
	c.mark = mark
	return moved, nil
}

// wholePast reads everything, once after a start.
func (s *Shop) wholePast(ctx context.Context, site string, c *sitePast) error {
	rows, err := s.store.Pasts(ctx, site, "")
	if err != nil {
		return err
	}
	byStream := make(map[string]store.Summary, len(rows))
	for _, row := range rows {
		byStream[row.Stream] = row
	}
	heads, err := s.store.Heads(ctx, site, jobPrefix)
	if err != nil {
		return err
	}
	for _, h := range heads {
		if err := s.takePast(ctx, site, c, h, byStream[h.Stream]); err != nil {
			return err
		}
	}
	pumps, err := s.store.LoadAll(ctx, site, pumpPrefix)
	if err != nil {
		return err
	}
	for _, stream := range pumps {
		c.pumps[stream.Name] = pastPump{stream.Head(), foldPump(stream)}
	}
	return nil
}

// pastForm is what pastData looks like. Whoever changes what a summary says
// counts it up: those of before are then made again.
const pastForm = 1

// pastData is what is kept of a job for the history of its machine.
type pastData struct {
	Form    int             `json:"form"`
	Summary history.Summary `json:"summary"`
}

func (s *Shop) pastText(j *Job) (string, error) {
	raw, err := json.Marshal(pastData{pastForm, s.summarise(j)})
	return string(raw), err
}

// takePast takes what is kept of a job, or makes it and keeps it.
func (s *Shop) takePast(ctx context.Context, site string, c *sitePast, head store.Head, row store.Summary) error {
	var kept pastData
	if row.Seq == head.Seq && row.Past != "" && json.Unmarshal([]byte(row.Past), &kept) == nil && kept.Form == pastForm {
		c.jobs[head.Stream] = pastJob{head.Hash, kept.Summary}
		return nil
	}
	j, err := s.peek(ctx, jobKey{site, head.Stream})
	if err != nil {
		return err
	}
	c.jobs[head.Stream] = pastJob{j.Head, s.summarise(j)}
	return s.putSummary(ctx, site, j)
}

// foldPump reads the running hours and the stays of a machine. What the shop
// knows of it besides is told by readPump.
func foldPump(stream *record.Stream) *history.Pump {
	rest := &record.Stream{Name: stream.Name}
	for _, e := range stream.Entries {
		if e.Kind != kindPump {
			rest.Entries = append(rest.Entries, e)
		}
	}
	pump := history.FoldPump(rest)
	if p, err := readPump(stream); err == nil && p.Serial != "" {
		pump.Serial = p.Serial
	}
	return pump
}

// summarise puts a job in short, as far as its sheet can be read.
func (s *Shop) summarise(j *Job) history.Summary {
	if j.Assessment != nil {
		return history.Summarise(j.Assessment.Inputs)
	}
	in, err := s.texts.FromJob(j.State, time.Time{})
	if err != nil {
		in.Job, in.Sheet = j.State, nil
	}
	sum := history.Summarise(in)
	if n := len(j.State.Sheets); sum.Model == "" && n > 0 { // it came in a table, by name only
		sum.Model = strings.TrimSuffix(j.State.Sheets[n-1].Body.Name, ".yaml")
	}
	return sum
}

func (c *sitePast) make(at record.Time) *Past {
	p := &Past{AsOf: at, names: map[string]string{}}
	for _, one := range c.jobs {
		p.Jobs = append(p.Jobs, one.summary)
		if one.summary.Serial != "" {
			p.names[one.summary.Serial] = pumpName(one.summary.Serial, "")
		}
	}
	sortSummaries(p.Jobs)
	pumps := map[string]*history.Pump{}
	byName := map[string]*history.Pump{}
	for stream, one := range c.pumps {
		p.Pumps = append(p.Pumps, one.pump)
		pumps[one.pump.Serial] = one.pump
		byName[strings.TrimPrefix(stream, pumpPrefix)] = one.pump
	}
	sortPumps(p.Pumps)
	for serial, name := range p.names { // a name may lack signs of the serial number
		if pump := byName[name]; pump != nil && pumps[serial] == nil {
			pumps[serial] = pump
		}
	}
	o := history.Options{AsOf: at}
	p.Machines = history.ByMachine(p.Jobs, pumps, o)
	p.family = history.NewFamily(p.Machines)
	for i := range p.due {
		p.due[i] = sync.OnceValue(func() []history.Expected { return history.DueList(p.Machines, p.family, i == 1) })
	}
	p.Fleet = history.NewFleet(p.Jobs, maps.Clone(pumps), o)
	return p
}

// WriteMeter writes what the running-hour meter of a machine showed, or that it
// was exchanged: a history.MeterReading or a history.MeterReset, by its kind.
func (s *Shop) WriteMeter(ctx context.Context, sc Scope, n NewFact, name, kind string, body any) error {
	if err := sc.need(access.Receive); err != nil {
		return err
	}
	stream, err := s.store.Load(ctx, sc.Site, pumpPrefix+name, 0)
	if err != nil {
		return err
	}
	if len(stream.Entries) == 0 {
		return ErrNotFound
	}
	if kind != history.KindMeter && kind != history.KindMeterReset {
		return say.Refuse("kind", kind, msgKind.With(), msgKindsAre.With([]string{history.KindMeter, history.KindMeterReset}))
	}
	raw, err := record.CanonicalOf(body)
	if err != nil {
		return err
	}
	if n.ID == "" {
		if n.ID, err = s.newID(); err != nil {
			return err
		}
	} else if !uuid.MatchString(n.ID) {
		return say.Refuse("id", n.ID, msgBadID.With(), msgUUID.With())
	}
	e := record.Entry{ID: n.ID, Stream: pumpPrefix + name, Kind: kind, Version: 1, Body: raw, By: sc.Person, At: record.TimeOf(n.At), Device: sc.Device, Received: s.stamp()}
	if e.At == 0 {
		e.At = e.Received
	}
	for i := range stream.Entries {
		if stream.Entries[i].ID == e.ID && stream.Entries[i].By == e.By { // sent again
			return nil
		}
	}
	// what the history would leave out is not taken
	tried := foldPump(&record.Stream{Name: stream.Name, Entries: append(stream.Entries[:len(stream.Entries):len(stream.Entries)], e)})
	before := troubleSet(foldPump(stream).Troubles)
	for _, t := range tried.Troubles {
		if words := t.Message.String(); before[words] == 0 {
			return say.Refuse("hours", "", t.Message, say.Message{})
		}
	}
	sealed, _, err := s.store.Append(ctx, sc.Site, store.AnyHead, e)
	if err != nil {
		return err
	}
	s.hints.publish(sc.Site, Hint{e.Stream, sealed[0].Seq})
	p, err := s.pump(ctx, sc.Site, name)
	if err != nil {
		return err
	}
	return s.putText(ctx, sc.Site, &sealed[0], p.words())
}

func troubleSet(troubles []job.Trouble) map[string]int {
	set := map[string]int{}
	for _, t := range troubles {
		set[t.Message.String()]++
	}
	return set
}

func sortSummaries(jobs []history.Summary) {
	sort.Slice(jobs, func(a, b int) bool {
		if jobs[a].Opened != jobs[b].Opened {
			return jobs[a].Opened < jobs[b].Opened
		}
		return jobs[a].Stream < jobs[b].Stream
	})
}

func sortPumps(pumps []*history.Pump) {
	sort.Slice(pumps, func(a, b int) bool { return pumps[a].Serial < pumps[b].Serial })
}
