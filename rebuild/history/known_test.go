package history

import (
	"math"
	"testing"
	"time"

	"pumpwright/rebuild/record"
)

// Two runs after a rebuild, of 400 and 600 days: 500 days is 1.3689 years of
// 365.25 days; the last 600 days at 3000 hours a year are 4928.1 hours. Derived
// by hand.
func TestKnown(t *testing.T) {
	day := func(n int) record.Time {
		return record.TimeOf(time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, n))
	}
	jobs := []Summary{
		{Job: "A", Opened: day(0), Closed: day(10), HoursAYear: 3000},
		{Job: "B", Opened: day(410), Closed: day(420), HoursAYear: 3000},
	}
	k := NewMachine("S", jobs, nil, Options{AsOf: day(1020)}).Known()
	if k == nil || k.Runs != 2 || k.YearsBetween == nil || k.Hours == nil {
		t.Fatalf("%+v", k)
	}
	if math.Abs(*k.YearsBetween-1.3689) > 1e-4 || math.Abs(*k.Hours-4928.1) > 0.1 {
		t.Errorf("%v years, %v hours", *k.YearsBetween, *k.Hours)
	}
	if NewMachine("S", nil, nil, Options{AsOf: day(5)}).Known() != nil {
		t.Error("a machine that was never rebuilt has a time between rebuilds")
	}
	jobs[1].Closed = 0
	if k := NewMachine("S", jobs, nil, Options{AsOf: day(1020)}).Known(); k == nil || k.Runs != 1 || k.Hours != nil {
		t.Errorf("in work: %+v", k)
	}
}
