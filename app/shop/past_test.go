package shop

import (
	"reflect"
	"testing"

	"pumpwright/app/transfer"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// What is kept of closed jobs says the same as the jobs themselves, and only
// what moves is made again.
func TestKeptPast(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	ines := as(t, s, "ines")
	f, err := fleet.Simulate(fleet.Options{Jobs: 60, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	in, err := s.Exchange(ctx, ines)
	if err != nil {
		t.Fatal(err)
	}
	var all []record.Entry
	if err := f.Streams(func(stream *record.Stream) error {
		for _, e := range stream.Entries {
			e.Seq, e.Prev, e.Hash = 0, "", ""
			all = append(all, e)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if err := in.Take(all); err != nil {
		t.Fatal(err)
	}
	if err := s.CatchUp(ctx, ines.Site); err != nil { // what is kept is read, not made again
		t.Fatal(err)
	}
	kept, err := s.Past(ctx, ines)
	if err != nil || len(kept.Jobs) < 60 {
		t.Fatalf("%d jobs, %v", len(kept.Jobs), err)
	}
	for i := range kept.Jobs {
		j, err := s.peek(ctx, jobKey{ines.Site, kept.Jobs[i].Stream})
		if err != nil {
			t.Fatal(err)
		}
		if fresh := s.summarise(j); !reflect.DeepEqual(blank(fresh), blank(kept.Jobs[i])) {
			t.Errorf("%s: kept\n%+v\nits entries say\n%+v", kept.Jobs[i].Job, kept.Jobs[i], fresh)
		}
	}
	again, err := s.Past(ctx, ines)
	if err != nil || again != kept {
		t.Errorf("nothing moved, and it was made again: %v", err)
	}
	if _, err := plan(t, transfer.Pumps, "serial,tag,hours,hours on\nQW-77,P-77,900,2025-01-01\n").Into(in); err != nil {
		t.Fatal(err)
	}
	if again, err = s.Past(ctx, ines); err != nil || again == kept || len(again.Pumps) != len(kept.Pumps)+1 {
		t.Errorf("a pump came, and nothing was made again: %v", err)
	}
}

// blank makes empty lists equal, whether they are nil or not.
func blank(s history.Summary) history.Summary {
	if len(s.Labour) == 0 {
		s.Labour = nil
	}
	if len(s.Numbers) == 0 {
		s.Numbers = nil
	}
	if len(s.Parts) == 0 {
		s.Parts = nil
	}
	if len(s.Fitted) == 0 {
		s.Fitted = nil
	}
	if len(s.Causes) == 0 {
		s.Causes = nil
	}
	return s
}
