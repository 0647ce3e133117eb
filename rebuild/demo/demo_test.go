package demo

import (
	"bytes"
	"encoding/json"
	"strconv"
	"testing"
	"time"

	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
)

// Every job of the scenario is read without trouble, every entry would be
// taken at the bench, and the whole comes out the same each time.
func TestJobs(t *testing.T) {
	for _, name := range Jobs() {
		stream, err := Job(name)
		if err != nil {
			t.Fatal(err)
		}
		var first, second bytes.Buffer
		if err := stream.Write(&first); err != nil {
			t.Fatal(err)
		}
		again, _ := Job(name)
		if err := again.Write(&second); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Errorf("%s: comes out differently", name)
		}
		_, faults, err := record.Read(&first)
		if err != nil || len(faults) > 0 {
			t.Errorf("%s: %v %v", name, faults, err)
		}
		state := job.Fold(stream)
		for _, trouble := range state.Troubles {
			t.Errorf("%s: %s %s", name, trouble.Kind, trouble.Message)
		}
		in, err := assess.FromJob(state, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		for i, e := range stream.Entries {
			before := job.Fold(&record.Stream{Name: stream.Name, Entries: stream.Entries[:i]})
			warnings, err := job.Vet(before, in.Sheet, e.Kind, e.Body)
			if err != nil || len(warnings) > 0 {
				t.Errorf("%s: entry %d (%s): %v %v", name, e.Seq, e.Kind, err, warnings)
			}
		}
		if len(stream.Entries) >= 150 {
			t.Errorf("%s takes %d entries", name, len(stream.Entries))
		}
	}
}

// The entries of the parts stock say what the shop says of its shelf.
func TestStock(t *testing.T) {
	shop, err := Shop()
	if err != nil {
		t.Fatal(err)
	}
	entries, err := Stock()
	if err != nil || len(entries) == 0 {
		t.Fatalf("%d entries: %v", len(entries), err)
	}
	stream := &record.Stream{Name: "stock:shelf"}
	for i, e := range entries {
		body, err := json.Marshal(e.Body)
		if err != nil {
			t.Fatal(err)
		}
		stream.Entries = append(stream.Entries, record.Entry{ID: strconv.Itoa(i), Kind: e.Kind, Body: body, By: e.By, At: record.TimeOf(e.On)})
	}
	stock := ledger.FoldStock(stream)
	if len(stock.Troubles) > 0 {
		t.Errorf("%v", stock.Troubles)
	}
	shelf := stock.Shelf("demo-pump-m", "")
	for name, n := range shop.Shelf {
		if shelf[name] != n {
			t.Errorf("%s: %d by the entries, %d by the shop", name, shelf[name], n)
		}
	}
}
