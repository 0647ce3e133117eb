package metrology

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

func handbookStudy(t *testing.T) Study {
	var s Study
	for _, row := range readCSV(t, "grr_aiag_10x3x3.csv") {
		v, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		s.Observations = append(s.Observations, Observation{Operator: row[0], Part: row[2], Value: v})
	}
	if len(s.Observations) != 90 {
		t.Fatalf("%d readings", len(s.Observations))
	}
	return s
}

// 10 parts, 3 people, 3 trials. Source: AIAG, Measurement Systems Analysis,
// 4th edition, example data; results as in public test files that quote the
// manual and McNeese (2015), Three ways to analyze a gage R&R study; all
// recomputed with R 4.2.2.
func TestStudyByRange(t *testing.T) {
	r, err := handbookStudy(t).ByRange()
	if err != nil {
		t.Fatal(err)
	}
	g, _ := r.Study.grid()
	byOperator, byPart, _, _ := g.means()
	for i, want := range []float64{0.190333, 0.068333, -0.254333} {
		close(t, "mean of a person", byOperator[i], want, 1e-6)
	}
	close(t, "X-diff", rangeOf(byOperator), 0.444667, 1e-6)
	close(t, "part range", rangeOf(byPart), 3.511111, 1e-6)
	close(t, "mean range", r.Repeatability/0.5908, 0.341667, 1e-6)
	close(t, "EV", r.Repeatability, 0.201857, 2e-5)
	close(t, "AV", r.Reproducibility, 0.229667, 2e-5)
	close(t, "GRR", r.GRR, 0.305766, 2e-5)
	close(t, "PV", r.PartSD, 1.104596, 2e-5)
	close(t, "TV", r.Total, 1.146135, 2e-5)
	close(t, "% EV", 100*r.Repeatability/r.Total, 17.612, 0.01)
	close(t, "% AV", 100*r.Reproducibility/r.Total, 20.038, 0.01)
	close(t, "% GRR", r.Percent, 26.678, 0.01)
	close(t, "% PV", 100*r.PartSD/r.Total, 96.376, 0.01)
	close(t, "categories", r.Categories, 5.0937, 1e-3)
}

func TestStudyByANOVA(t *testing.T) {
	s := handbookStudy(t)
	r, err := s.ByANOVA()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ dof, ss float64 }{{9, 88.361934}, {2, 3.167262}, {18, 0.358982}, {60, 2.758933}, {89, 94.647112}} {
		close(t, "SS "+r.ANOVA[i].Source, r.ANOVA[i].SS, want.ss, 1e-6)
		close(t, "dof "+r.ANOVA[i].Source, r.ANOVA[i].DOF, want.dof, 0)
	}
	close(t, "F interaction", *r.ANOVA[2].F, 0.433721, 1e-6)
	close(t, "p interaction", *r.ANOVA[2].P, 0.974106, 1e-6)
	close(t, "F part", *r.ANOVA[0].F, 492.2914, 1e-4)
	close(t, "F person", *r.ANOVA[1].F, 79.40605, 1e-4)
	if !r.Pooled || len(r.Notes) == 0 {
		t.Error("the interaction is not pooled, or it is not said")
	}
	close(t, "variance repeat", r.Repeatability*r.Repeatability, 0.0399733, 1e-7)
	close(t, "variance person", r.Reproducibility*r.Reproducibility, 0.0514553, 1e-7)
	close(t, "variance part", r.PartSD*r.PartSD, 1.0864466, 1e-7)
	close(t, "variance GRR", r.GRR*r.GRR, 0.0914285, 1e-7)
	close(t, "variance total", r.Total*r.Total, 1.1778751, 1e-7)
	close(t, "EV", r.Repeatability, 0.199933, 1e-5)
	close(t, "AV", r.Reproducibility, 0.226838, 1e-5)
	close(t, "GRR", r.GRR, 0.302372, 1e-5)
	close(t, "PV", r.PartSD, 1.042327, 1e-5)
	close(t, "TV", r.Total, 1.085300, 1e-5)
	close(t, "% GRR", r.Percent, 27.8607, 1e-3)
	close(t, "categories", r.Categories, 4.875, 1e-3)
	if err := r.Working().Check(); err != nil {
		t.Error(err)
	}

	s.KeepAll = true
	kept, err := s.ByANOVA()
	if err != nil {
		t.Fatal(err)
	}
	close(t, "not pooled: variance repeat", kept.Repeatability*kept.Repeatability, 0.0459822, 1e-6)
	close(t, "not pooled: variance person", kept.Reproducibility*kept.Reproducibility, 0.0521229, 1e-6)
	close(t, "not pooled: interaction", kept.Interaction, 0, 0)
	close(t, "not pooled: variance part", kept.PartSD*kept.PartSD, 1.0886721, 1e-6)
	close(t, "not pooled: % GRR", kept.Percent, 28.7516, 1e-3)
}

// A design that can be worked by hand: part (10, 20, 30) + person (0, +5, −5)
// + interaction + trial (−1, +1). By definition; checked in R 4.2.2.
func handStudy() Study {
	interaction := [3][3]float64{{4, -4, 0}, {-4, 0, 4}, {0, 4, -4}}
	var s Study
	for o, person := range []float64{0, 5, -5} {
		for p, part := range []float64{10, 20, 30} {
			for _, trial := range []float64{-1, 1} {
				s.Observations = append(s.Observations, Observation{strconv.Itoa(p), strconv.Itoa(o), part + person + interaction[o][p] + trial})
			}
		}
	}
	return s
}

func TestStudyByHand(t *testing.T) {
	s := handStudy()
	s.Tolerance = 60
	r, err := s.ByANOVA()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ dof, ss float64 }{{2, 1200}, {2, 300}, {4, 192}, {9, 18}} {
		close(t, r.ANOVA[i].Source, r.ANOVA[i].SS, want.ss, 1e-9)
		close(t, r.ANOVA[i].Source, r.ANOVA[i].DOF, want.dof, 0)
	}
	close(t, "repeat", r.Repeatability*r.Repeatability, 2, 1e-9)
	close(t, "interaction", r.Interaction*r.Interaction, 23, 1e-9)
	close(t, "person and interaction", r.Reproducibility*r.Reproducibility, 17+23, 1e-9)
	close(t, "part", r.PartSD*r.PartSD, 92, 1e-9)
	close(t, "GRR", r.GRR*r.GRR, 42, 1e-9)
	close(t, "total", r.Total*r.Total, 134, 1e-9)
	close(t, "F", *r.ANOVA[2].F, 24, 1e-9)
	close(t, "p", *r.ANOVA[2].P, 8.0821e-05, 1e-8)
	close(t, "% GRR", r.Percent, 55.9851, 1e-4)
	close(t, "categories", r.Categories, 2.0931, 1e-4)
	close(t, "% of limits", *r.PercentOfLimits, 100*6*math.Sqrt(42)/60, 1e-9)
	if r.Pooled {
		t.Error("an interaction with p = 8e-5 was pooled")
	}
}

func TestStudyRefuses(t *testing.T) {
	whole := handStudy()
	same := Study{}
	for _, o := range whole.Observations {
		o.Value = 1
		same.Observations = append(same.Observations, o)
	}
	bad := handStudy()
	bad.Observations[3].Value = math.NaN()
	tolerance := handStudy()
	tolerance.Tolerance = -1
	for name, s := range map[string]Study{
		"empty": {}, "uneven": {Observations: whole.Observations[1:]}, "one person": {Observations: whole.Observations[:6]},
		"no spread": same, "not a number": bad, "tolerance": tolerance,
	} {
		for _, method := range []string{"anova", "range"} {
			if _, err := s.By(method); say.AsProblem(err) == nil {
				t.Errorf("%s by %s: %v", name, method, err)
			}
		}
	}
	if _, err := whole.By("guess"); say.AsProblem(err) == nil {
		t.Error("an unknown method was taken")
	}
}

// Laws: sums of squares add up; a shift of all readings changes nothing; a
// scale scales all standard deviations and no percentage.
func TestStudyLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts, people, trials := rapid.IntRange(2, 5).Draw(t, "parts"), rapid.IntRange(2, 3).Draw(t, "people"), rapid.IntRange(2, 3).Draw(t, "trials")
		scale, shift := rapid.Float64Range(0.1, 10).Draw(t, "scale"), rapid.Float64Range(-5, 5).Draw(t, "shift")
		var a, b Study
		mean := 0.0
		for p := range parts {
			for o := range people {
				for range trials {
					v := rapid.Float64Range(-1, 1).Draw(t, "value")
					a.Observations = append(a.Observations, Observation{strconv.Itoa(p), strconv.Itoa(o), v})
					b.Observations = append(b.Observations, Observation{strconv.Itoa(p), strconv.Itoa(o), scale*v + shift})
					mean += v
				}
			}
		}
		mean /= float64(len(a.Observations))
		total := 0.0
		for _, o := range a.Observations {
			total += (o.Value - mean) * (o.Value - mean)
		}
		ra, errA := a.ByANOVA()
		rb, errB := b.ByANOVA()
		if errA != nil || errB != nil {
			t.Skip() // all readings equal
		}
		if math.Abs(ra.ANOVA[4].SS-total) > 1e-9*(1+total) {
			t.Fatalf("sum of squares %v, want %v", ra.ANOVA[4].SS, total)
		}
		if math.Abs(rb.GRR-scale*ra.GRR) > 1e-6*(1+rb.GRR) || math.Abs(rb.Percent-ra.Percent) > 1e-4*100 {
			t.Fatalf("%v and %v after scaling by %v", ra.GRR, rb.GRR, scale)
		}
	})
}
