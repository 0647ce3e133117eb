// Package learned is the page of what the shop has learned from its closed
// jobs: how its gaskets give way, how its pumps slip, how long its work takes
// and what its causes were, each with how many jobs stand behind it.
package learned

import (
	"math"
	"net/url"

	"pumpwright/app/access"
	"pumpwright/app/report"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/learned"
	"pumpwright/rebuild/procedure"
)

// Place is what the shop has learned.
func Place() frame.Place {
	return frame.Place{
		Menu: wordLearned.With(), Address: "/learned", Needs: access.ReadPumps,
		Routes: []frame.Route{{Pattern: "GET /learned", Handle: show}},
	}
}

var (
	wordLearned  = say.Define("learned.learned", "What the shop has learned")
	wordSay      = say.Define("learned.say", "Worked out from {n:count|closed job|closed jobs}. A new job copies these values when the pump is received, and again at each signature, so that its answers can be computed again. The sheet's own values, and the maker's manual, come first.")
	wordNothing  = say.Define("learned.nothing", "Nothing yet: it is learned from jobs that are closed.")
	wordNone     = say.Define("learned.none", "Nothing yet.")
	wordGaskets  = say.Define("learned.gaskets", "How gaskets give way")
	wordGaskSay  = say.Define("learned.gaskets_say", "How much more they are compressed than their sheet says, as a share of their thickness, from trial assemblies.")
	wordMaterial = say.Define("learned.material", "material and lot")
	wordAll      = say.Define("learned.all", "all together")
	wordLot      = say.Define("learned.lot", "{material}, lot {lot}")
	wordMore     = say.Define("learned.more", "gives way more by")
	wordUnsure   = say.Define("learned.unsure", "± (standard uncertainty)")
	wordBetween  = say.Define("learned.between", "differs between jobs by")
	wordJobs     = say.Define("learned.jobs", "jobs behind it")
	wordShare    = say.Define("learned.share", "{x:percent}")
	wordSlip     = say.Define("learned.slip", "How pumps slip against the model of leak paths")
	wordSlipSay  = say.Define("learned.slip_say", "A factor of 1 is what the sheet's clearances and the liquid say; from bench tests. The range is where the next pump of the model is expected, nine times in ten.")
	wordModel    = say.Define("learned.model", "model")
	wordFactor   = say.Define("learned.factor", "slip, factor")
	wordDrag     = say.Define("learned.drag", "torque lost, factor")
	wordRange    = say.Define("learned.range", "{x:number} ({low:number} to {high:number}), {n:count|job|jobs}")
	wordLabour   = say.Define("learned.labour", "How long the work takes")
	wordLabSay   = say.Define("learned.labour_say", "Hours of a stage: the median, and the quarters below and above which a job lies.")
	wordStage    = say.Define("learned.stage", "stage")
	wordMedian   = say.Define("learned.median", "median, h")
	wordQuarters = say.Define("learned.quarters", "half of the jobs, h")
	wordFromTo   = say.Define("learned.from_to", "{low:number} to {high:number}")
	wordStandard = say.Define("learned.standard", "sheet says, h")
	wordCauses   = say.Define("learned.causes", "Causes that were confirmed")
	wordCauseSay = say.Define("learned.causes_say", "They weigh in when the causes of the next failure are ranked.")
	wordCause    = say.Define("learned.cause", "cause")
	wordNumber   = say.Define("learned.number", "{x:number}")
)

// view is the page.
type view struct {
	v *frame.Visit
	l *learned.Learned
}

func show(v *frame.Visit) error {
	l, err := v.Shop.Learned(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordLearned.With(), Plain: true, Body: body(&view{v, l})})
}

func (s *view) material(c *learned.Compression) say.Shower {
	switch {
	case c.Material == "" && c.Lot == "":
		return wordAll.With()
	case c.Lot != "":
		return wordLot.With(c.Material, c.Lot)
	}
	return say.Plain(c.Material)
}

// ninety is the half width, in standard uncertainties, that holds nine in ten.
const ninety = 1.645

// factor words a factor with the range of the next pump.
func (s *view) factor(list []learned.Slip, model string) string {
	for i := range list {
		if f := &list[i]; f.Model == model {
			return s.v.View.T(wordRange.With(f.Factor, f.Factor*math.Exp(-ninety*f.Next), f.Factor*math.Exp(ninety*f.Next), f.Jobs))
		}
	}
	return ""
}

// models are those with a factor of slip or of torque lost.
func (s *view) models() []string {
	var models []string
	seen := map[string]bool{}
	for _, list := range [][]learned.Slip{s.l.Slip, s.l.Drag} {
		for i := range list {
			if m := list[i].Model; !seen[m] {
				seen[m] = true
				models = append(models, m)
			}
		}
	}
	return models
}

func (s *view) stage(id string) string { return s.v.View.T(procedure.Stage(id).Name()) }

func (s *view) number(x float64) string { return s.v.View.T(wordNumber.With(x)) }

func (s *view) percent(x float64) string { return s.v.View.T(wordShare.With(x)) }

// ofCause leads to the pumps that came in for a cause.
func ofCause(id string) (name, address string) {
	return report.CauseName(id), "/fleet?" + url.Values{"cause": {id}}.Encode()
}
