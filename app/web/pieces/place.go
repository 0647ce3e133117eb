// Package pieces is the places of a job that show one matter of its report by
// itself, with the steps at which its entries are made: how the pump goes
// together, what it delivers and proves.
package pieces

import (
	"github.com/a-h/templ"

	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/progress"
)

// Place is these places.
func Place() frame.Place {
	return frame.Place{Routes: []frame.Route{
		{Pattern: "GET /job/{job}/together", Handle: show(matter{report.Together, wordTogether, []string{"torque", "alignment", "running"}, []string{"build-seal", "build-pin", "build-bore-after"}})},
		{Pattern: "GET /job/{job}/prove", Handle: show(matter{report.Proved, wordProve, []string{"test-point", "relief"}, []string{"prove-leak", "prove-signed"}})},
	}}
}

var (
	wordTogether = say.Define("pieces.together", "Putting it together")
	wordProve    = say.Define("pieces.prove", "What it delivers, and the test")
	wordEnter    = say.Define("pieces.enter", "Still to be entered")
	wordEntered  = say.Define("pieces.entered", "Steps it was entered at ({steps:count})")
)

// matter is one place: a piece of the report, and the steps whose entries
// belong to it, by what they record or by name.
type matter struct {
	piece   report.Piece
	title   say.Template
	records []string
	steps   []string
}

// has reports whether a step belongs to the matter.
func (m matter) has(s *progress.Step) bool {
	for _, r := range m.records {
		if s.Step.Records == r {
			return true
		}
	}
	for _, id := range m.steps {
		if s.Step.ID == id {
			return true
		}
	}
	return false
}

func show(m matter) func(v *frame.Visit) error {
	return func(v *frame.Visit) error {
		j, err := v.JobNamed()
		if err != nil {
			return err
		}
		var open, done []*progress.Step
		for _, s := range j.Assessment.Progress.Steps {
			switch {
			case !m.has(s):
			case s.Status == progress.Open:
				open = append(open, s)
			default:
				done = append(done, s)
			}
		}
		tree := report.BuildPiece(j.Assessment, m.piece, report.Options{Style: v.View.Style})
		tree.Title = m.title.With()
		html := tree.HTML(v.View.Style, document.HTMLOptions{ID: string(m.piece)})
		return v.Show(frame.Page{Title: m.title.With(), Job: j, Here: string(m.piece), Plain: true, Body: piecePage(v, j, m, open, done, templ.Raw(html))})
	}
}
