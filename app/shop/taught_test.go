package shop

import (
	"testing"

	"pumpwright/app/access"
	"pumpwright/calc/say"
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
	if n := second.Cause().Timed; n != 1 {
		t.Errorf("%d times in service weigh in", n)
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

	// taken back after the job was closed, it teaches nothing any more
	for _, k := range first.causes(t, s) {
		add(first.Name, job.KindVoid, job.Void{Entry: k, Reason: "another pump's seal"})
	}
	if n := receive().Assessment.Cause().Learned; n != 0 {
		t.Errorf("learned from %d jobs after the cause was taken back", n)
	}
	if taken, err := s.Ledger(t.Context(), sc); err != nil || taken.Causes["C03"] != 0 {
		t.Errorf("taken back, still counted: %v %v", taken, err)
	}
}

func (j *Job) causes(t *testing.T, s *Shop) []string {
	t.Helper()
	now, err := s.Job(t.Context(), as(t, s, "odell"), j.Name)
	if err != nil || len(now.State.Causes) == 0 {
		t.Fatalf("no cause: %v", err)
	}
	var ids []string
	for _, k := range now.State.Causes {
		ids = append(ids, k.Ref)
	}
	return ids
}

// Seals and gaskets are renewed at every rebuild: only a lead keeps one, with a
// reason, and that is said.
func TestAlwaysReplaced(t *testing.T) {
	s, _ := openDemo(t)
	decide := func(roles []access.Role, reason string) error {
		sc := Scope{Site: demoSite, Person: "odell", Roles: roles, Device: "test"}
		_, err := s.Add(t.Context(), sc, "J-2057", NewEntry{Kind: job.KindDecision, Body: body(t, job.Decision{Part: "shaft-seal", Decision: "reuse", Reason: reason})})
		return err
	}
	inspector, lead := []access.Role{access.Inspector}, []access.Role{access.Lead}
	if err := decide(inspector, "runs dry"); say.AsProblem(err) == nil || say.AsProblem(err).Field != "decision" {
		t.Errorf("an inspector kept the seal: %v", err)
	}
	if err := decide(lead, " "); say.AsProblem(err) == nil || say.AsProblem(err).Field != "reason" {
		t.Errorf("kept without a reason: %v", err)
	}
	if err := decide(lead, "fitted new last week, faces looked at"); err != nil {
		t.Fatal(err)
	}
	j, err := s.Job(t.Context(), as(t, s, "odell"), "J-2057")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range j.Assessment.Offer().Needs {
		if n.Part.ID == "shaft-seal" {
			t.Error("the seal that stays is ordered")
		}
	}
	said := false
	for _, m := range j.Assessment.Parts.Warnings {
		said = said || m.ID() == "part.against_always"
	}
	if !said {
		t.Errorf("nothing is said: %v", j.Assessment.Parts.Warnings)
	}
}
