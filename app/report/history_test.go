package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"pumpwright/app/document"
	"pumpwright/calc/say"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/history"
)

type machines struct {
	fleet  *fleet.Fleet
	all    []*history.Machine
	family *history.Family
}

func simulated(t *testing.T) machines {
	t.Helper()
	f, err := fleet.Simulate(fleet.Options{Jobs: 300, Seed: 12})
	if err != nil {
		t.Fatal(err)
	}
	m := machines{fleet: f, all: history.ByMachine(f.Summaries(), f.Pumps(), f.Options())}
	m.family = history.NewFamily(m.all)
	return m
}

func render(t *testing.T, r *document.Report, style say.Style) string {
	t.Helper()
	var a, b bytes.Buffer
	if err := r.PDF(&a, document.A4, style); err != nil {
		t.Fatal(err)
	}
	if err := r.PDF(&b, document.A4, style); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Errorf("the same report gave two files: %v", err)
	}
	if !bytes.HasPrefix(a.Bytes(), []byte("%PDF-")) {
		t.Error("no PDF")
	}
	return r.HTML(style, document.HTMLOptions{})
}

// A pump's history names its jobs, its due dates and its trends, in both unit
// systems.
func TestHistoryReport(t *testing.T) {
	m := simulated(t)
	var pump *history.Machine
	for _, c := range m.all {
		if n := len(c.Intervals); len(c.Jobs) >= 4 && n > 0 && c.Intervals[n-1].Ending == history.StillRuns {
			pump = c
			break
		}
	}
	if pump == nil {
		t.Fatal("no machine with four jobs")
	}
	list, problems := pump.Forecasts(m.family)
	if len(problems) > 0 || len(list) == 0 {
		t.Fatalf("%v, %v", list, problems)
	}
	for _, style := range []say.Style{{}, {Units: say.Inch}} {
		text := render(t, History(pump, list, m.fleet.AsOf, Options{}), style)
		for _, want := range []string{pump.Serial, pump.Jobs[0].Job, pump.Jobs[3].Job, "When again", "Rebuilds", list[0].Track.Name, "do not exist"} {
			if !strings.Contains(text, want) {
				t.Errorf("%q is missing", want)
			}
		}
	}
	for i := range list {
		if f := TrendFigure(&list[i]); len(f.Points) != len(list[i].Track.Points) || list[i].Forecast.Hours.At != nil && len(f.Ahead) == 0 {
			t.Errorf("%+v", f)
		}
	}
	empty := history.NewMachine("S", nil, nil, m.fleet.Options())
	if text := render(t, History(empty, nil, m.fleet.AsOf, Options{}), say.Style{}); !strings.Contains(text, "No due date") {
		t.Error("an empty history says nothing")
	}
}

// A customer's year shows the customer's pumps and nobody else's.
func TestYearlyReport(t *testing.T) {
	m := simulated(t)
	const owner = "Tarn Lubricants (invented)"
	y := Year{Shop: "shop", Owner: owner, Year: 2024, Fleet: history.NewFleet(m.fleet.Summaries(), m.fleet.Pumps(), m.fleet.Options()), AsOf: m.fleet.AsOf}
	var own, foreign []string
	for _, c := range m.all {
		last := c.Last()
		if last != nil && last.Owner == owner {
			y.Machines = append(y.Machines, c)
		}
		for i := range c.Jobs {
			if s := &c.Jobs[i]; s.Opened.Time().Year() == 2024 {
				if s.Owner == owner {
					own = append(own, s.Job)
				} else {
					foreign = append(foreign, s.Job, s.Serial)
				}
			}
		}
	}
	y.Due = history.DueList(y.Machines, m.family, true)
	if len(own) == 0 || len(foreign) == 0 {
		t.Fatal("nothing to tell apart")
	}
	text := render(t, Yearly(y, Options{}), say.Style{})
	for _, job := range own {
		if !strings.Contains(text, job) {
			t.Errorf("job %s is missing", job)
		}
	}
	for _, word := range foreign {
		if strings.Contains(text, word) {
			t.Errorf("%s belongs to somebody else", word)
		}
	}
	for _, want := range []string{owner, "What was done", "What is due next", "How long parts last", fmt.Sprint(len(own), " rebuilds in 2024")} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing", want)
		}
	}
	y.Year = 1999
	if text := render(t, Yearly(y, Options{}), say.Style{}); !strings.Contains(text, "No pump was rebuilt in 1999") {
		t.Error("an empty year says nothing")
	}
}
