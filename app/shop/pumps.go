package shop

import (
	"context"
	"encoding/json"
	"sort"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

func (s *Shop) pump(ctx context.Context, site, name string) (Pump, error) {
	stream, err := s.store.Load(ctx, site, pumpPrefix+name, 0)
	if err != nil {
		return Pump{}, err
	}
	return readPump(stream)
}

// readPump gives what is kept of a machine: its last entry of kind pump, which
// others follow, such as the running-hour meter. One that came in a table has
// none: then it is where it was put.
func readPump(stream *record.Stream) (Pump, error) {
	for i := len(stream.Entries) - 1; i >= 0; i-- {
		e := &stream.Entries[i]
		if e.Kind != kindPump {
			continue
		}
		var p Pump
		err := json.Unmarshal(e.Body, &p)
		p.Fact = factOf(e)
		return p, err
	}
	if len(stream.Entries) == 0 {
		return Pump{}, ErrNotFound
	}
	name := strings.TrimPrefix(stream.Name, pumpPrefix)
	p := Pump{Name: name, Serial: name, Fact: factOf(&stream.Entries[len(stream.Entries)-1])}
	if stays := history.FoldPump(stream).Stays; len(stays) > 0 {
		last := &stays[len(stays)-1]
		p.Tag, p.Owner, p.Place, p.Sheet = last.Tag, last.Owner, last.Place, last.Sheet
	}
	return p, nil
}

// SavePump keeps what is known of a machine.
func (s *Shop) SavePump(ctx context.Context, sc Scope, n NewFact, p Pump) error {
	if err := sc.need(access.Receive); err != nil {
		return err
	}
	if p.Name == "" {
		p.Name = pumpName(p.Serial, p.Tag)
	}
	if err := checkName("name", p.Name); err != nil {
		return err
	}
	return s.putPump(ctx, sc, kept{n.ID, pumpPrefix + p.Name, kindPump, n.At}, p)
}

// Pumps lists the machines by name.
func (s *Shop) Pumps(ctx context.Context, sc Scope, after string, limit int) ([]PumpRow, error) {
	if err := sc.need(access.ReadPumps); err != nil {
		return nil, err
	}
	if err := s.CatchUp(ctx, sc.Site); err != nil {
		return nil, err
	}
	streams, err := s.store.LoadSome(ctx, sc.Site, pumpPrefix, pumpPrefix+after, limit)
	if err != nil {
		return nil, err
	}
	pumps := make([]PumpRow, 0, len(streams))
	for _, stream := range streams {
		p, err := readPump(stream)
		if err != nil {
			return nil, err
		}
		row := PumpRow{Pump: p}
		if p.Serial != "" {
			jobs, err := s.rows(ctx, sc.Site, store.SummaryQuery{Serial: p.Serial, Limit: mostHistory})
			if err != nil {
				return nil, err
			}
			if row.Jobs = len(jobs); row.Jobs > 0 {
				row.Last = jobs[0].Opened
			}
		}
		pumps = append(pumps, row)
	}
	return pumps, nil
}

// PumpRow is a machine in a list.
type PumpRow struct {
	Pump
	Jobs int         // of its serial number, as far as they are shown
	Last record.Time // when the last of them was opened
}

// pumpTexts makes the words by which machines are found.
func (s *Shop) pumpTexts(ctx context.Context, site string) error {
	streams, err := s.store.LoadAll(ctx, site, pumpPrefix)
	if err != nil {
		return err
	}
	for _, stream := range streams {
		p, err := readPump(stream)
		if err != nil {
			return err
		}
		h := store.Head{Stream: stream.Name, Seq: int64(len(stream.Entries)), Hash: stream.Head()}
		text := store.Text{Stream: h.Stream, Kind: kindPump, Text: p.words(), At: p.At}
		if err := s.store.PutDerived(ctx, site, h, nil, []store.Text{text}); err != nil {
			return err
		}
	}
	return nil
}

// words are those by which a machine is found.
func (p *Pump) words() string {
	return strings.Join([]string{p.Name, p.Serial, p.Tag, p.Owner, p.Place, p.Note}, " ")
}

// mostHistory is how many jobs of a machine or a place are given.
const mostHistory = 200

// Pump returns a machine and its jobs, the newest first: those of its serial
// number, and those of its place when it has another machine's number or none.
func (s *Shop) Pump(ctx context.Context, sc Scope, name string) (p Pump, machine, place []Row, err error) {
	if err := sc.need(access.ReadPumps); err != nil {
		return p, nil, nil, err
	}
	if p, err = s.pump(ctx, sc.Site, name); err != nil {
		return p, nil, nil, err
	}
	if err := s.CatchUp(ctx, sc.Site); err != nil {
		return p, nil, nil, err
	}
	machine, place, err = s.history(ctx, sc.Site, p.Serial, p.Tag)
	return p, machine, place, err
}

// Earlier lists the jobs of a serial number and of a tag, the newest first,
// each once: whether a pump has come back.
func (s *Shop) Earlier(ctx context.Context, sc Scope, serial, tag string) (machine, place []Row, err error) {
	if err := sc.need(access.ReadPumps); err != nil {
		return nil, nil, err
	}
	if err := s.CatchUp(ctx, sc.Site); err != nil {
		return nil, nil, err
	}
	return s.history(ctx, sc.Site, serial, tag)
}

func (s *Shop) history(ctx context.Context, site, serial, tag string) (machine, place []Row, err error) {
	seen := map[string]bool{}
	if serial != "" {
		if machine, err = s.rows(ctx, site, store.SummaryQuery{Serial: serial, Limit: mostHistory}); err != nil {
			return nil, nil, err
		}
		for _, r := range machine {
			seen[r.Job] = true
		}
	}
	if tag != "" {
		all, err := s.rows(ctx, site, store.SummaryQuery{Tag: tag, Limit: mostHistory})
		if err != nil {
			return nil, nil, err
		}
		for _, r := range all {
			if !seen[r.Job] {
				place = append(place, r)
			}
		}
	}
	sort.SliceStable(place, func(i, j int) bool { return place[i].Opened > place[j].Opened })
	return machine, place, nil
}
