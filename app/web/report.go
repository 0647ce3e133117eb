package web

import (
	"github.com/a-h/templ"

	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/report"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

// reportPlace is the report of a job: the same tree as page and as PDF.
func reportPlace() frame.Place {
	return frame.Place{Routes: []frame.Route{
		{Pattern: "GET /job/{job}/report", Handle: showReport},
		{Pattern: "GET /job/{job}/report.pdf", Handle: givePDF},
	}}
}

var (
	wordReport  = say.Define("web.report", "Rebuild report")
	wordA4      = say.Define("web.report_a4", "PDF on A4")
	wordLetter  = say.Define("web.report_letter", "PDF on Letter")
	wordWorking = say.Define("web.report_working", "with the working of every number")
	wordShare   = say.Define("web.report_share", "Links for the customer")
	wordShort   = say.Define("web.report_short", "without the working")
)

// options of a report; on paper it takes the photos along.
func options(v *frame.Visit, j *frame.Job, paper bool) report.Options {
	return report.Options{
		Size: document.A4, Style: v.View.Style, Appendix: v.URL.Query().Get("working") == "yes",
		Photo: func(blob string) *draw.Picture { return v.PictureOf(j, blob, paper) },
	}
}

func showReport(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	o := options(v, j, false)
	html := report.Build(j.Assessment, o).HTML(v.View.Style, document.HTMLOptions{})
	return v.Show(frame.Page{Title: wordReport.With(), Job: j, Here: "report", Plain: true, Body: reportPage(v, j, o.Appendix, templ.Raw(html))})
}
