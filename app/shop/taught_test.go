package shop

import (
	"testing"

	"pumpwright/app/access"
	"pumpwright/rebuild/job"
)

// A cause that was confirmed in a closed job weighs in the next one; hours
// worked there make the median; the machine's earlier job tells how long it ran.
func TestLearnsFromClosedJobs(t *testing.T) {
	s, _ := openDemo(t)
	sc := Scope{Site: demoSite, Person: "odell", Roles: access.Roles(), Device: "test"}
	add := func(name, kind string, v any) {
		t.Helper()
		if a, err := s.Add(t.Context(), sc, name, NewEntry{Kind: kind, Body: body(t, v)}); err != nil || !a.Kept {
			t.Fatalf("%s %s: %v %v", name, kind, err, a)
		}
	}
	receive := func() *Job {
		t.Helper()
		a, err := s.Receive(t.Context(), sc, Receipt{Open: job.Open{Tag: "P-310", Serial: "KQ-0187"}, Sheet: "demo-pump-m", Service: "service-light-oil"})
		if err != nil {
			t.Fatal(err)
		}
		return a.Job
	}
	first := receive()
	before := first.Assessment
	if before.Cause().Learned != 0 {
		t.Fatalf("learned from %d jobs before any confirmed a cause", before.Cause().Learned)
	}
	add(first.Name, job.KindHours, job.Hours{Stage: "measure", Hours: 7.5})
	add(first.Name, job.KindCause, job.Cause{Cause: "C03", Confirmed: true})
	add(first.Name, job.KindClose, job.Close{Result: "rebuilt"})
	if err := s.CatchUp(t.Context(), demoSite); err != nil {
		t.Fatal(err)
	}

	second := receive().Assessment
	if n := second.Cause().Learned; n != 1 {
		t.Errorf("learned from %d jobs", n)
	}
	chance := func(id string) float64 {
		for _, c := range second.Cause().Causes {
			if c.ID == id {
				return c.Probability
			}
		}
		return 0
	}
	if !(chance("C03") > chance("C04")) { // alike but for the confirmed one
		t.Errorf("starved suction %v, air %v", chance("C03"), chance("C04"))
	}
	median := 0.0
	for _, l := range second.Offer().Labour {
		if l.Stage == "measure" {
			median = l.Median
		}
	}
	if median == 0 {
		t.Error("no median of the hours worked")
	}
	if m := second.Inputs.Shop.Machine; m == nil || m.Runs == 0 || m.YearsBetween == nil {
		t.Errorf("machine: %+v", m)
	}
	if taken, err := s.Ledger(t.Context(), sc); err != nil || taken.Causes["C03"] != 1 {
		t.Errorf("%v %v", taken, err)
	}
}
