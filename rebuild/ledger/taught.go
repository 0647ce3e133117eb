package ledger

import (
	"encoding/json"

	"pumpwright/rebuild/sheet"
)

// Taught is what the shop's finished jobs have taught, as an assessment takes
// it: a value that goes in with the other inputs. Make it with NewTaught; it
// is not changed afterwards.
type Taught struct {
	Compression *Compression
	Causes      map[string]int
	CauseTimes  TimesOf
	Factors     []LearnedFactor
	Medians     []LearnedHours

	version string
}

// NewTaught keeps what was learned, with a version by which two are told
// apart.
func NewTaught(t Taught) *Taught {
	t.version = ""
	text, _ := json.Marshal(t) // plain values
	t.version = sheet.Version(text)
	return &t
}

// Version tells one from another; empty for nil.
func (t *Taught) Version() string {
	if t == nil {
		return ""
	}
	return t.version
}

// With returns the shop with what was taught. Where the shop's own copy rests
// on more jobs, or on as many, it stays: a job that copied what was learned
// gives the same answer again.
func (s *Shop) With(t *Taught) *Shop {
	if t == nil {
		return s
	}
	with := Shop{}
	if s != nil {
		with = *s
	}
	if c := t.Compression; c != nil && (with.Compression == nil || with.Compression.Jobs < c.Jobs) {
		with.Compression = c
	}
	if total(t.Causes) > total(with.Causes) {
		with.Causes = t.Causes
	}
	if t.CauseTimes.Jobs() > with.CauseTimes.Jobs() {
		with.CauseTimes = t.CauseTimes
	}
	for _, f := range t.Factors {
		if old := with.FactorOf(f.Sheet, f.Factor); old == nil || old.Jobs < f.Jobs {
			with.Factors = append([]LearnedFactor{f}, with.Factors...)
		}
	}
	for _, m := range t.Medians {
		if old := with.median(m.Sheet, m.Stage); old == nil || old.Jobs < m.Jobs {
			with.Medians = append([]LearnedHours{m}, with.Medians...)
		}
	}
	return &with
}

func total(counts map[string]int) int {
	sum := 0
	for _, n := range counts {
		sum += n
	}
	return sum
}

// FactorOf returns what benches have shown of pumps of a model, nil when they
// have shown nothing. The first one counts.
func (s *Shop) FactorOf(model, factor string) *LearnedFactor {
	if s == nil {
		return nil
	}
	for i := range s.Factors {
		if f := &s.Factors[i]; f.Sheet == model && f.Factor == factor && f.Value > 0 && f.U >= 0 {
			return f
		}
	}
	return nil
}

// MedianOf returns how long a stage took in the shop's jobs with a model, else
// in all its jobs; nil when it has none.
func (s *Shop) MedianOf(model, stage string) *LearnedHours {
	if s == nil {
		return nil
	}
	if m := s.median(model, stage); m != nil {
		return m
	}
	return s.median("", stage)
}

func (s *Shop) median(model, stage string) *LearnedHours {
	for i := range s.Medians {
		if m := &s.Medians[i]; m.Sheet == model && m.Stage == stage && m.Hours >= 0 {
			return m
		}
	}
	return nil
}
