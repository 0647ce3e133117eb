package shop

import (
	"context"
	"testing"

	"pumpwright/rebuild/job"
)

func pinReading(text string) job.Reading {
	angle := 45.0
	return job.Reading{Feature: "casing-bore", State: job.AsFound, Values: []job.Value{{Plane: "A", Angle: &angle, Text: text}}}
}

// What is tried has the answer that it would have if it were kept, and nothing
// is kept.
func TestTryKeepsNothing(t *testing.T) {
	s, _ := openDemo(t)
	sc, ctx := as(t, s, "tomas"), context.Background()
	before, err := s.Job(ctx, sc, "J-2057")
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"2.49 in", "2.4865 in"} { // one after the other: nothing of the first stays
		tried, err := s.Try(ctx, sc, "J-2057", NewEntry{Kind: job.KindReading, Body: body(t, pinReading(text))})
		if err != nil {
			t.Fatal(err)
		}
		f := tried.Job.Assessment.Readings.ByID("casing-bore", job.AsFound)
		if f.Mean == nil || f.Values[len(f.Values)-1].Text != text {
			t.Errorf("%s: the answer does not hold it: %+v", text, f.Values)
		}
		if tried.Kept || tried.Job.Head != before.Head {
			t.Errorf("%s: it looks kept", text)
		}
	}
	after, err := s.Job(ctx, sc, "J-2057")
	if err != nil {
		t.Fatal(err)
	}
	if after.Seq != before.Seq || after.Assessment.Readings.ByID("casing-bore", job.AsFound).Mean != nil {
		t.Error("something was kept")
	}
	tried, err := s.Try(ctx, sc, "J-2057", NewEntry{Kind: job.KindReading, Body: body(t, pinReading("2.4865 in"))})
	if err != nil {
		t.Fatal(err)
	}
	kept, err := s.Add(ctx, sc, "J-2057", NewEntry{Kind: job.KindReading, Body: body(t, pinReading("2.4865 in"))})
	if err != nil {
		t.Fatal(err)
	}
	one, two := tried.Job.Assessment.Readings.ByID("casing-bore", job.AsFound), kept.Job.Assessment.Readings.ByID("casing-bore", job.AsFound)
	if one.Mean.Value != two.Mean.Value || one.Mean.U != two.Mean.U || one.Word != two.Word {
		t.Errorf("tried %v %v, kept %v %v", one.Mean, one.Word, two.Mean, two.Word)
	}
}

// Trying asks for the same rights as writing.
func TestTryIsDenied(t *testing.T) {
	s, _ := openDemo(t)
	if _, err := s.Try(context.Background(), as(t, s, "ines"), "J-2057", NewEntry{Kind: job.KindDecision, Body: body(t, job.Decision{Part: "idler", Decision: "reuse"})}); err == nil {
		t.Error("the office tries a decision")
	}
}

func BenchmarkTry(b *testing.B) {
	s, _ := openDemo(b)
	sc, ctx := as(b, s, "tomas"), context.Background()
	raw := body(b, pinReading("2.4865 in"))
	for b.Loop() {
		if _, err := s.Try(ctx, sc, "J-2057", NewEntry{Kind: job.KindReading, Body: raw}); err != nil {
			b.Fatal(err)
		}
	}
}

// A depth moves the clearances, the dearest chapter.
func BenchmarkTryThatMatters(b *testing.B) {
	s, _ := openDemo(b)
	sc, ctx := as(b, s, "tomas"), context.Background()
	raw := body(b, job.Reading{Feature: "rotor-od", State: job.AsFound, Values: []job.Value{{Plane: "A", Text: "62.9 mm"}}, Confirmed: true})
	for b.Loop() {
		if _, err := s.Try(ctx, sc, "J-2057", NewEntry{Kind: job.KindReading, Body: raw}); err != nil {
			b.Fatal(err)
		}
	}
}
