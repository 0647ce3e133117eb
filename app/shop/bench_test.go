package shop

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"slices"
	"sync"
	"testing"
	"time"

	"pumpwright/app/store"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// fillJobs adds jobs as copies of the demo's, with summaries.
func fillJobs(tb testing.TB, s *Shop, n int) {
	tb.Helper()
	ctx := context.Background()
	j, err := s.Job(ctx, as(tb, s, "odell"), "J-2057")
	if err != nil {
		tb.Fatal(err)
	}
	row := rowOf(j)
	waits := Waits()
	for i := range n {
		row.Job = fmt.Sprintf("F-%d", i)
		row.Waits = Done
		if i%2 == 0 { // half of them open: far more than a shop has
			row.Waits = waits[i/2%len(waits)]
		}
		row.Since = record.Time(i)
		raw, err := json.Marshal(job.Open{Job: row.Job, Tag: fmt.Sprint("T-", i)})
		if err != nil {
			tb.Fatal(err)
		}
		sealed, _, err := s.store.Append(ctx, demoSite, store.AnyHead, record.Entry{ID: deriveID(day, row.Job, "fill"), Stream: StreamOf(row.Job), Kind: job.KindOpen, Version: 1, Body: raw, By: "x", At: 1})
		if err != nil {
			tb.Fatal(err)
		}
		data, err := json.Marshal(row)
		if err != nil {
			tb.Fatal(err)
		}
		sum := store.Summary{Waits: string(row.Waits), Since: row.Since, Tag: row.Tag, Serial: row.Serial, Owner: row.Owner, Data: string(data)}
		texts := []store.Text{{Stream: sealed[0].Stream, Kind: "job", Text: row.Job + " " + fmt.Sprint("T-", i) + " pump of somebody"}}
		if err := s.store.PutDerived(ctx, demoSite, store.Head{Stream: sealed[0].Stream, Seq: 1, Hash: sealed[0].Hash}, &sum, texts); err != nil {
			tb.Fatal(err)
		}
	}
}

func report(b *testing.B, times []time.Duration) {
	slices.Sort(times)
	b.ReportMetric(float64(times[len(times)/2].Microseconds())/1000, "p50-ms")
	b.ReportMetric(float64(times[len(times)*99/100].Microseconds())/1000, "p99-ms")
}

func BenchmarkListTenThousandJobs(b *testing.B) {
	s, _ := openDemo(b)
	fillJobs(b, s, 10000)
	sc := as(b, s, "odell")
	var times []time.Duration
	for b.Loop() {
		start := time.Now()
		if _, err := s.Jobs(context.Background(), sc, JobQuery{}); err != nil {
			b.Fatal(err)
		}
		times = append(times, time.Since(start))
	}
	report(b, times)
}

func BenchmarkSearchTenThousandJobs(b *testing.B) {
	s, _ := openDemo(b)
	fillJobs(b, s, 10000)
	sc := as(b, s, "odell")
	var times []time.Duration
	for i := 0; b.Loop(); i++ {
		typed := []string{"p", "t-50", "pump some", "f123"}[i%4]
		start := time.Now()
		if _, err := s.Search(context.Background(), sc, typed); err != nil {
			b.Fatal(err)
		}
		times = append(times, time.Since(start))
	}
	report(b, times)
}

// BenchmarkEntry: a reading is kept and the whole job assessed again.
func BenchmarkEntry(b *testing.B) {
	s, _ := openDemo(b)
	sc := as(b, s, "mira")
	var times []time.Duration
	name := ""
	for i := 0; b.Loop(); i++ {
		if i%100 == 0 { // a job has about as many entries
			a, err := s.Receive(context.Background(), as(b, s, "ines"), Receipt{Open: job.Open{Tag: "P"}, Sheet: "demo-pump-m", Service: "service-light-oil"})
			if err != nil {
				b.Fatal(err)
			}
			name = a.Job.Name
		}
		n := NewEntry{Kind: job.KindReading, Body: body(b, job.Reading{
			Feature: "end-play", State: job.AsFound, Values: []job.Value{{Text: fmt.Sprintf("0.04%d mm", i%10)}},
		})}
		start := time.Now()
		a, err := s.Add(context.Background(), sc, name, n)
		if err != nil || !a.Kept {
			b.Fatal(a, err)
		}
		times = append(times, time.Since(start))
	}
	report(b, times)
}

// BenchmarkEntryThatMatters: a reading that the clearances depend on, in a job
// that has all the others.
func BenchmarkEntryThatMatters(b *testing.B) {
	s, _ := openDemo(b)
	sc := as(b, s, "tomas")
	var times []time.Duration
	angle := 0.0
	for i := 0; b.Loop(); i++ {
		n := NewEntry{Kind: job.KindReading, Body: body(b, job.Reading{
			Feature: "head-boss", State: job.AsFound, Instrument: "ID-01", Values: []job.Value{{Angle: &angle, Text: fmt.Sprintf("0.144%d in", i%10)}},
		})}
		start := time.Now()
		a, err := s.Add(context.Background(), sc, "J-2057", n)
		if err != nil || !a.Kept {
			b.Fatal(a, err)
		}
		times = append(times, time.Since(start))
	}
	report(b, times)
}

// BenchmarkTwentyTablets: twenty people write to ten jobs at once.
func BenchmarkTwentyTablets(b *testing.B) {
	s, _ := openDemo(b)
	sc := as(b, s, "mira")
	names := make([]string, 10)
	for i := range names {
		a, err := s.Receive(context.Background(), as(b, s, "ines"), Receipt{Open: job.Open{Tag: "P"}, Sheet: "demo-pump-m", Service: "service-light-oil"})
		if err != nil {
			b.Fatal(err)
		}
		names[i] = a.Job.Name
	}
	var mutex sync.Mutex
	var times []time.Duration
	next := 0
	b.SetParallelism(10)
	b.RunParallel(func(pb *testing.PB) {
		for pb.Next() {
			mutex.Lock()
			next++
			i := next
			mutex.Unlock()
			n := NewEntry{Kind: job.KindReading, Body: body(b, job.Reading{Feature: "end-play", State: job.AsFound, Values: []job.Value{{Text: fmt.Sprintf("0.04%d mm", i%10)}}})}
			start := time.Now()
			if _, err := s.Add(context.Background(), sc, names[i%len(names)], n); err != nil {
				b.Error(err)
				return
			}
			mutex.Lock()
			times = append(times, time.Since(start))
			mutex.Unlock()
		}
	})
	report(b, times)
}

// BenchmarkPhoto: twelve million pixels, as a phone takes them.
func BenchmarkPhoto(b *testing.B) {
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture(4000, 3000), nil); err != nil {
		b.Fatal(err)
	}
	s := &Shop{pictures: make(chan struct{}, 1)}
	for b.Loop() {
		if _, _, err := s.develop(b.Context(), out.Bytes()); err != nil {
			b.Fatal(err)
		}
	}
}
