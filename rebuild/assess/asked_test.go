package assess_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

func stateOf(t testing.TB, name string, entries int) *job.State {
	t.Helper()
	stream, err := demo.Job(name)
	if err != nil {
		t.Fatal(err)
	}
	return job.Fold(&record.Stream{Name: stream.Name, Entries: stream.Entries[:min(entries, len(stream.Entries))]})
}

// told prints what the two chapters say.
func told(a *assess.Assessment) string {
	c, o := a.Cause(), a.Offer()
	text := fmt.Sprint(c.Level, c.Certainty, c.Warnings, c.Conflicts, c.Undecided)
	for i, k := range c.Causes {
		text += fmt.Sprintf("\n%s %.9f", k.ID, k.Probability)
		if i < 3 {
			for _, r := range append(k.For, k.Against...) {
				text += " " + r.Text.String()
			}
		}
	}
	for _, p := range o.Plans {
		text += fmt.Sprint("\n", p.Aim, p.Describe(), p.Price, p.Lead)
	}
	text += fmt.Sprint("\n", o.Sum, o.SumHigh, o.Warnings, len(o.Quotes))
	if o.Life != nil {
		text += fmt.Sprint("\n", o.Life.Words)
	}
	return text
}

// A keeper that grows with the job says at every entry what a fresh assessment
// says; sampled, for each takes its time.
func TestAskedAreKept(t *testing.T) {
	keeper := new(assess.Keeper)
	stream, err := demo.Job("J-2041")
	if err != nil {
		t.Fatal(err)
	}
	for n := 5; n <= len(stream.Entries); n += 4 {
		in, err := assess.FromJob(stateOf(t, "J-2041", n), time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		kept := keeper.Assess(in)
		if n%12 != 0 && n+4 <= len(stream.Entries) {
			kept.Cause() // make something to be kept
			continue
		}
		if a, b := told(kept), told(assess.Assess(in)); a != b {
			t.Fatalf("after %d entries kept says\n%s\nfresh says\n%s", n, a, b)
		}
	}
}

// A finding leaves the offer as it stands, a quote the diagnosis.
func TestAskedFollowTheirInputs(t *testing.T) {
	keeper := new(assess.Keeper)
	state := stateOf(t, "J-2041", 1000)
	in, err := assess.FromJob(state, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	first := keeper.Assess(in)
	cause, offer := first.Cause(), first.Offer()
	state.Findings = append(state.Findings, job.Kept[job.Finding]{Meta: job.Meta{Ref: "new"}, Body: job.Finding{Evidence: "E42"}})
	second := keeper.Assess(in)
	if second.Offer() != offer {
		t.Error("a finding made a new offer")
	}
	if second.Cause() == cause {
		t.Error("a finding made no new diagnosis")
	}
	cause = second.Cause()
	state.Quotes = append(state.Quotes, job.Kept[any]{Meta: job.Meta{Ref: "quote"}, Body: map[string]any{"number": "Q-9", "total": 5}})
	third := keeper.Assess(in)
	if third.Cause() != cause || third.Offer() == offer {
		t.Error("a quote belongs to the offer alone")
	}
}

// Several places may ask at once.
func TestAskedAtOnce(t *testing.T) {
	in, err := assess.FromJob(stateOf(t, "J-2041", 1000), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	a := assess.Assess(in)
	var all sync.WaitGroup
	for range 8 {
		all.Add(1)
		go func() {
			defer all.Done()
			if a.Cause().First() == nil || a.Offer().Advised == nil {
				t.Error("nothing was told")
			}
		}()
	}
	all.Wait()
	if (&assess.Assessment{}).Cause().First() != nil || (&assess.Assessment{}).Offer().Advised != nil {
		t.Error("an empty assessment tells something")
	}
}
