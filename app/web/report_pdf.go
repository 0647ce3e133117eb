//go:build !js

package web

import (
	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/web/frame"
)

func givePDF(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	o := options(v, j, true)
	if v.URL.Query().Get("size") == "letter" {
		o.Size = document.Letter
	}
	file, err := report.PDF(j.Assessment, o)
	if err != nil {
		return err
	}
	return v.GivePDF(j.Name, file)
}
