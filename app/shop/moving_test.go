package shop

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pumpwright/app/transfer"
	"pumpwright/calc/say"
)

func plan(t testing.TB, subject transfer.Subject, table string) *transfer.Plan {
	t.Helper()
	rows, err := transfer.OpenCSV(strings.NewReader(table))
	if err != nil {
		t.Fatal(err)
	}
	p, err := transfer.Import(subject, rows, transfer.ImportOptions{By: "ines"})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A table goes in as a whole or not at all, and changes nothing the second
// time.
func TestTakeTables(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	ines := as(t, s, "ines")
	in, err := s.Exchange(ctx, ines)
	if err != nil {
		t.Fatal(err)
	}
	streams := func() int {
		t.Helper()
		names, err := in.StreamNames()
		if err != nil {
			t.Fatal(err)
		}
		return len(names)
	}
	jobs := "job,serial,tag,opened,closed,model\nO-1,QW 11/A,P-71,2024-03-01,2024-03-20,demo-pump-m\nO-2,QW 11/A,P-71,2025-03-01,,demo-pump-m\n"
	for i, want := range []transfer.Outcome{{Taken: 5}, {Known: 5}} {
		if got, err := plan(t, transfer.Jobs, jobs).Into(in); err != nil || got != want {
			t.Fatalf("%d: %+v %v", i, got, err)
		}
	}
	for i, want := range []transfer.Outcome{{Taken: 2}, {Known: 2}} {
		if got, err := plan(t, transfer.Pumps, "serial,tag,owner,hours,hours on\nQW 11/A,P-71,Quay Works,900,2025-01-01\n").Into(in); err != nil || got != want {
			t.Fatalf("%d: %+v %v", i, got, err)
		}
	}
	if p, _, _, err := s.Pump(ctx, ines, "QW-11-A"); err != nil || p.Tag != "P-71" || p.Owner != "Quay Works" {
		t.Errorf("%+v %v", p, err)
	}
	if hits, err := s.Search(ctx, ines, "QW 11"); err != nil || len(hits) == 0 {
		t.Errorf("%+v %v", hits, err)
	}
	before := streams()
	for name, c := range map[string]struct {
		subject transfer.Subject
		table   string
	}{
		"a job that is not here, after one that is": {transfer.Readings, "job,feature,value\nO-2,idler-pin-od,38.9 mm\nO-7,idler-pin-od,38.8 mm\n"},
		"a closed job":              {transfer.Readings, "job,feature,value\nO-2,idler-pin-od,38.9 mm\nJ-2041,idler-pin-od,38.8 mm\n"},
		"a job of another one":      {transfer.Jobs, "job,opened\nO-9,2026-01-01\nJ-2057,2026-01-01\n"},
		"a name that is no address": {transfer.Jobs, "job,opened\nO-8,2026-01-01\nO/8,2026-01-01\n"},
	} {
		if _, err := plan(t, c.subject, c.table).Into(in); say.AsProblem(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
		if n := streams(); n != before {
			t.Errorf("%s: %d streams, there were %d", name, n, before)
		}
		if j, err := s.Job(ctx, ines, "O-2"); (err != nil && j == nil) || len(j.State.Values) != 0 {
			t.Errorf("%s: half of it was taken", name)
		}
	}
	if got, err := plan(t, transfer.Readings, "job,feature,value\nO-2,idler-pin-od,38.9 mm\n").Into(in); err != nil || got.Taken != 1 {
		t.Errorf("%+v %v", got, err)
	}
}

// 100,000 readings of 500 jobs.
func BenchmarkTakeReadings(b *testing.B) {
	var jobs, readings strings.Builder
	jobs.WriteString("job,opened,model\n")
	readings.WriteString("job,feature,plane,angle,value,repeat\n")
	for n := range 500 {
		fmt.Fprintf(&jobs, "B-%d,2025-01-02,demo-pump-m\n", n)
		for k := range 200 {
			fmt.Fprintf(&readings, "B-%d,idler-pin-od,A,0,38.%03d mm,%d\n", n, 800+k, k+1)
		}
	}
	for b.Loop() {
		b.StopTimer()
		s, _ := openDemo(b)
		in, err := s.Exchange(b.Context(), as(b, s, "ines"))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := plan(b, transfer.Jobs, jobs.String()).Into(in); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		start := time.Now()
		if o, err := plan(b, transfer.Readings, readings.String()).Into(in); err != nil || o.Taken != 100000 {
			b.Fatalf("%+v %v", o, err)
		}
		b.ReportMetric(time.Since(start).Seconds(), "s/table")
	}
}
