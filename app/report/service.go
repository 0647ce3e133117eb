package report

import (
	"time"

	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/align"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
)

var (
	colSet      = say.Define("report.col_set", "read")
	colShift    = say.Define("report.col_shift", "largest offset")
	colAngle    = say.Define("report.col_angle", "largest angle")
	colClosure  = say.Define("report.col_closure", "does not close by")
	colTable    = say.Define("report.col_table", "published table")
	colLimits   = say.Define("report.col_limits", "acceptable")
	colWhenRead = say.Define("report.col_when_read", "when")
	colReading  = say.Define("report.col_reading", "reading")
	colExpected = say.Define("report.col_expected", "expected")
	colFrom     = say.Define("report.col_from", "from")
	colCheck    = say.Define("report.col_check", "check")
	colDue      = say.Define("report.col_due", "due")
	colDone     = say.Define("report.col_done", "done")

	setWords    = say.Define("report.set", "{state}, {day}")
	limitsWords = say.Define("report.limits", "{offset:length}, {angle}")
	gradeWords  = say.Define("report.grade", "{grade}")
	moveHeads   = say.Define("report.moves", "Moves of the feet, {state}")
	stricter    = say.Define("report.stricter", "Where the tables disagree the stricter one rules unless a lead signs otherwise.")
	baseWords   = say.Define("report.base_line", "{when:message} (baseline)")
	overdueWord = say.Define("report.overdue", "overdue")
	doneWord    = say.Define("report.done", "done")
	openWord    = say.Define("report.open", "open")
	nothingSet  = say.Define("report.nothing_expected", "nothing is expected yet")
)

func (b *builder) alignment(a *assembly.Alignments, said map[string]bool) {
	b.heading(headAlignment)
	b.dangers(a.Cautions, said)
	b.alignmentTable(a)
	b.warnings(a.Warnings)
	if a.Change != nil {
		b.points(a.Change.Words)
	}
	b.points(a.Reasons, a.Unknown)
	if a.Feet != nil {
		b.points(a.Feet.Notes)
		if f := a.Feet.SoftFoot; f != nil {
			b.add(document.Figure{Caption: captionFeet.With(), Draw: figure.OfSoftFoot(*f).Draw, Share: 0.7})
		}
	}
	// The set that stands now is drawn; an earlier one only while it is alone.
	set := a.Left
	if set == nil {
		set = a.Found
	}
	if set == nil {
		return
	}
	lines := set.Moves
	if !set.Hold.IsZero() {
		lines = []say.Message{set.Hold}
	}
	b.add(document.Heading{Level: 2, Text: moveHeads.With(set.Body.State)})
	b.points(lines, set.Notes)
	// What stands now carries the line of before, to one scale.
	for _, drawn := range []*assembly.Alignment{a.Found, a.Left, a.Hot} {
		if drawn != nil && drawn.Plan != nil && b.a.Inputs.Sheet.Build.Mounting != "vertical" {
			b.add(document.Figure{Caption: captionAlign.With(drawn.Body.State), Draw: Alignment(drawn, a.Found).Draw})
		}
	}
}

func (b *builder) alignmentTable(a *assembly.Alignments) {
	table := document.Table{Columns: []document.Column{
		{Head: colSet.With()}, {Head: colShift.With(), Number: true}, {Head: colAngle.With(), Number: true}, {Head: colClosure.With(), Number: true},
		{Head: colTable.With()}, {Head: colLimits.With()}, {Head: colState.With()},
	}}
	for _, set := range []*assembly.Alignment{a.Found, a.Left, a.Hot} {
		if set == nil || set.Plan == nil {
			continue
		}
		p := set.Plan
		first := []document.Cell{document.Words(setWords.With(set.Body.State, set.At.Day())), document.Words(p.Shift), document.Words(align.PerLength(p.Angle)),
			document.Words(lengthDash(p.Position.Closure > 0, p.Position.Closure))}
		if len(p.Verdicts) == 0 {
			table.Rows = append(table.Rows, document.Row{Cells: append(first, document.Words(dash), document.Words(dash), document.Words(dash))})
		}
		for i, v := range p.Verdicts {
			cells := first
			if i > 0 {
				cells = []document.Cell{document.Words(say.Message{}), document.Words(say.Message{}), document.Words(say.Message{}), document.Words(say.Message{})}
			}
			state := draw.Good
			switch {
			case !p.Valid:
				state = draw.MeasureAgain
			case !v.Within:
				state = draw.PastLimit
			}
			table.Rows = append(table.Rows, document.Row{Cells: append(cells[:4:4], document.Words(say.Plain(v.Table)),
				document.Words(limitsWords.With(v.AcceptableShift, align.PerLength(v.AcceptableAngle))), inState(gradeWords.With(v.Grade), state))})
		}
	}
	if len(table.Rows) > 0 {
		b.add(table, document.Note{Text: stricter.With()})
	}
}

// inService lists the readings after the start and the checks that follow.
func (b *builder) inService(s *assembly.Service, said map[string]bool) {
	b.heading(headRunning)
	b.dangers(s.Cautions, said)
	table := document.Table{Columns: []document.Column{
		{Head: colWhenRead.With()}, {Head: colReading.With()}, {Head: colReadValue.With(), Number: true}, {Head: colExpected.With(), Number: true}, {Head: colFrom.With()},
	}}
	for _, run := range s.Runs {
		for i, l := range run.Lines {
			when := run.When()
			switch {
			case i > 0:
				when = say.Message{}
			case run.Baseline:
				when = baseWords.With(when)
			}
			expected, from := say.Shower(dash), say.Shower(nothingSet.With())
			if l.Expected != nil {
				expected, from = l.Expected, l.From
			}
			name := document.Words(l.Name)
			if l.Odd {
				state := draw.MeasureAgain
				name.State = &state
			}
			table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(when), name, document.Words(l.Read), document.Words(expected), document.Words(from)}})
		}
	}
	if len(table.Rows) > 0 {
		b.add(table)
	}
	b.warnings(s.Warnings)
	b.points(s.Reasons, s.Unknown)
	b.rechecks(s)
}

func (b *builder) rechecks(s *assembly.Service) {
	table := document.Table{Columns: []document.Column{{Head: colCheck.With()}, {Head: colDue.With()}, {Head: colDone.With()}}}
	for _, r := range s.Rechecks {
		due := say.Shower(r.After)
		if !r.Due.IsZero() {
			due = say.Plain(r.Due.Format("2006-01-02 15:04"))
		}
		done := document.Words(openWord.With())
		switch {
		case r.Done:
			done = inState(doneWords(r.DoneAt), draw.Good)
		case r.Overdue:
			done = inState(overdueWord.With(), draw.PastLimit)
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(r.What), document.Words(due), done}})
	}
	b.add(table)
}

func doneWords(at time.Time) say.Shower {
	if at.IsZero() {
		return doneWord.With()
	}
	return say.Plain(at.Format(time.DateOnly))
}
