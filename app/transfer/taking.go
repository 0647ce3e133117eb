package transfer

import (
	"sort"

	"pumpwright/rebuild/record"
)

// Target is where entries go: a store, or streams in memory.
type Target interface {
	// Here returns those of the ids that the stream holds already.
	Here(stream string, ids []string) (map[string]bool, error)
	// Take takes entries of any streams, all of them or none.
	Take(entries []record.Entry) error
}

// Outcome is what taking changed.
type Outcome struct {
	Taken int
	Known int // were there already; nothing of them changed
}

// Into takes the entries of a plan, all or none. Entries that the target has
// already are left alone: reading a file twice changes nothing twice, whoever
// reads it.
func (p *Plan) Into(t Target) (Outcome, error) {
	if err := p.Ready(); err != nil {
		return Outcome{}, err
	}
	return takeNew(t, p.Entries)
}

func takeNew(t Target, entries []record.Entry) (Outcome, error) {
	byStream := map[string][]string{}
	var names []string
	for i := range entries {
		name := entries[i].Stream
		if byStream[name] == nil {
			names = append(names, name)
		}
		byStream[name] = append(byStream[name], entries[i].ID)
	}
	here := map[string]map[string]bool{}
	for _, name := range names {
		known, err := t.Here(name, byStream[name])
		if err != nil {
			return Outcome{}, err
		}
		here[name] = known
	}
	var o Outcome
	var fresh []record.Entry
	for i := range entries {
		if e := &entries[i]; here[e.Stream][e.ID] {
			o.Known++
		} else {
			fresh = append(fresh, *e)
		}
	}
	if len(fresh) > 0 {
		if err := t.Take(fresh); err != nil {
			return Outcome{Known: o.Known}, err
		}
	}
	o.Taken = len(fresh)
	return o, nil
}

// Memory is streams in memory, by name.
type Memory struct {
	streams map[string]*record.Stream
	ids     map[string]map[string]bool
}

// NewMemory makes a Memory.
func NewMemory(streams ...*record.Stream) *Memory {
	m := &Memory{streams: map[string]*record.Stream{}, ids: map[string]map[string]bool{}}
	for _, s := range streams {
		m.put(s)
	}
	return m
}

func (m *Memory) put(s *record.Stream) {
	m.streams[s.Name] = s
	ids := make(map[string]bool, len(s.Entries))
	for i := range s.Entries {
		ids[s.Entries[i].ID] = true
	}
	m.ids[s.Name] = ids
}

// Here is of Target.
func (m *Memory) Here(stream string, ids []string) (map[string]bool, error) {
	known := map[string]bool{}
	for _, id := range ids {
		if m.ids[stream][id] {
			known[id] = true
		}
	}
	return known, nil
}

// Take is of Target.
func (m *Memory) Take(entries []record.Entry) error {
	fresh := map[string]*record.Stream{}
	for i := range entries {
		e := entries[i]
		s := fresh[e.Stream]
		if s == nil {
			s = &record.Stream{Name: e.Stream}
			if old := m.streams[e.Stream]; old != nil {
				s.Entries = append(s.Entries, old.Entries...)
			}
			fresh[e.Stream] = s
		}
		sealed, err := record.Seal(e, s.Name, int64(len(s.Entries))+1, s.Head())
		if err != nil {
			return err // nothing was put in its place yet
		}
		s.Entries = append(s.Entries, sealed)
	}
	for _, s := range fresh {
		m.put(s)
	}
	return nil
}

// Streams returns the streams by name.
func (m *Memory) Streams() []*record.Stream {
	list := make([]*record.Stream, 0, len(m.streams))
	for _, s := range m.streams {
		list = append(list, s)
	}
	sort.Slice(list, func(a, b int) bool { return list[a].Name < list[b].Name })
	return list
}
