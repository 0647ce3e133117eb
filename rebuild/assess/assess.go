package assess

import (
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
)

// Assessment is what a job means.
type Assessment struct {
	Inputs     Inputs
	Sides      sides.Sides // which way it turns, and where suction is
	Readings   *reading.Chapter
	Parts      *part.Chapter
	Clearances *clearance.Chapter
	Assembly   *assembly.Chapter
	Progress   *progress.Chapter

	Conflicts []job.Conflict
	Troubles  []job.Trouble
	Warnings  []say.Message // of all chapters and of the inputs, each once; see FurtherWarnings

	lazy  lazy
	asked asked
}

// Assess computes everything that a job means.
func Assess(in Inputs) *Assessment {
	return new(Keeper).Assess(in)
}

// gather collects the warnings of all chapters, each text once.
func (a *Assessment) gather() {
	seen := map[string]bool{}
	add := func(list []say.Message) {
		for _, m := range list {
			if key := m.String(); !seen[key] {
				seen[key] = true
				a.Warnings = append(a.Warnings, m)
			}
		}
	}
	add(a.Inputs.Remarks)
	add(a.Sides.Warnings)
	var unnamed []string
	for _, list := range [][]*reading.Feature{a.Readings.Found, a.Readings.Left} {
		for _, f := range list {
			if f.Unnamed != "" {
				unnamed = append(unnamed, f.Feature.Name)
			}
			for _, m := range f.Warnings {
				add([]say.Message{msgAbout.With(f.Feature.Name, m)})
			}
		}
	}
	if len(unnamed) > 0 {
		add([]say.Message{msgUnnamed.With(unnamed)})
	}
	add(a.Parts.Warnings)
	add(a.Clearances.Warnings)
	if a.Clearances.Stack != nil {
		add(a.Clearances.Stack.Warnings)
	}
	if a.Clearances.Turn != nil {
		add(a.Clearances.Turn.Warnings)
	}
	add(a.Assembly.Warnings)
}

var msgUnnamed = say.Define("assess.unnamed", "no instrument is named for {features:list}: usual figures for its kind stand in (rule of thumb)")

var msgAbout = say.Define("assess.about", "{feature}: {warning:message}")
