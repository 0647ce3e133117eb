package assess_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/working"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
)

// said tells whether a working says some words anywhere.
func said(roots []*working.Node, words string) bool {
	found := false
	for _, r := range roots {
		r.Walk(func(n *working.Node, _ int) {
			if strings.Contains(fmt.Sprint(n.Name, n.Source, n.Ref), words) {
				found = true
			}
		})
	}
	return found
}

// What finished jobs taught goes in as an input and is stated wherever it is
// used: gaskets, slip before the bench test, hours of the quote. Without it
// the answers stay what they were.
func TestTaught(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTrial))
	in, err := assess.FromJob(job.Fold(s), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	plain := assess.Assess(in)
	in.Taught = ledger.NewTaught(ledger.Taught{
		Compression: &ledger.Compression{Extra: 0.03, U: 0.004, Jobs: 23},
		Factors:     []ledger.LearnedFactor{{Sheet: "demo-pump-m", Factor: "slip", Value: 1.5, U: 0.2, Jobs: 17}},
		Medians:     []ledger.LearnedHours{{Stage: "measure", Hours: 40, Jobs: 19}, {Sheet: "demo-pump-m", Stage: "judge", Hours: 31, Jobs: 18}, {Stage: "judge", Hours: 5, Jobs: 60}},
	})
	taught := assess.Assess(in)

	if st := taught.Clearances.Stack; st.Solution.Problem.ExtraCompression != 0.03 || !strings.Contains(st.Compression.String(), "learned from 23 jobs") {
		t.Errorf("gaskets: %g, %s", st.Solution.Problem.ExtraCompression, st.Compression)
	}
	if !said(taught.Workings(), "learned from 23 jobs") {
		t.Error("the working does not say how many jobs stand behind the compression")
	}
	// Slip of the model grows by the factor; the spread between pumps is in the band.
	a, b := plain.Delivery(), taught.Delivery()
	was, is := a.Left.Duty, b.Left.Duty
	grown := (is.Result.Slip - is.Result.SlipAtZero).SI() / (was.Result.Slip - was.Result.SlipAtZero).SI()
	if a.Calibrated || math.Abs(grown-1.5) > 0.05 {
		t.Errorf("slip × %g, wanted 1.5", grown)
	}
	if least := 0.2 * (is.Result.Slip - is.Result.SlipAtZero).SI(); is.Flow.U < least {
		t.Errorf("u(Q) %g, the pumps alone spread by %g", is.Flow.U, least)
	}
	if !strings.Contains(b.Statement.String(), "learned from 17 jobs") || !said(b.Working(), "learned from 17 jobs") || said(a.Working(), "learned") {
		t.Errorf("statement: %s", b.Statement)
	}
	// Hours: of the model before those of all.
	hours := map[string]float64{}
	for _, l := range taught.Offer().Labour {
		hours[l.Stage] = l.Median
	}
	if hours["measure"] != 40 || hours["judge"] != 31 {
		t.Errorf("hours %v", hours)
	}
	if !said(taught.Offer().Workings(), "learned from 18 jobs") {
		t.Error("the quote does not say how many jobs stand behind its hours")
	}
	// The copy that the job made stands where it rests on as many jobs.
	in.Taught = ledger.NewTaught(ledger.Taught{Compression: &ledger.Compression{Extra: 0.09, U: 0.004, Jobs: in.Shop.Compression.Jobs}})
	if got := assess.Assess(in).Clearances.Stack.Solution.Problem.ExtraCompression; got != in.Shop.Compression.Extra {
		t.Errorf("compression %g", got)
	}
}

// A bench test of this pump speaks louder than those of others.
func TestOwnBenchBeforeTaught(t *testing.T) {
	in, err := assess.FromJob(job.Fold(stream(t, "J-2041", nil)), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	plain := assess.Assess(in).Delivery()
	in.Taught = ledger.NewTaught(ledger.Taught{Factors: []ledger.LearnedFactor{{Sheet: "demo-pump-m", Factor: "slip", Value: 1.5, U: 0.2, Jobs: 17}}})
	taught := assess.Assess(in).Delivery()
	if !plain.Calibrated || plain.Left.Duty.Flow != taught.Left.Duty.Flow || taught.Fit != nil {
		t.Errorf("%v, with others %v", plain.Left.Duty.Flow, taught.Left.Duty.Flow)
	}
}

// A keeper does not hand out what it kept for other teaching.
func TestKeeperAndTaught(t *testing.T) {
	in, err := assess.FromJob(job.Fold(stream(t, "J-2041", isKind(job.KindTrial))), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	var k assess.Keeper
	k.Assess(in)
	in.Taught = ledger.NewTaught(ledger.Taught{Compression: &ledger.Compression{Extra: 0.03, U: 0.004, Jobs: 23}})
	kept, fresh := k.Assess(in), assess.Assess(in)
	if kept.Clearances.Stack.Best().Clearance != fresh.Clearances.Stack.Best().Clearance {
		t.Error("kept for other teaching")
	}
}
