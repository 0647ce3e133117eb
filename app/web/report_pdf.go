//go:build !js

package web

import (
	"fmt"
	"net/http"
	"strconv"

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
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Length", strconv.Itoa(len(file)))
	h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", plainName(j.Name)+".pdf"))
	h.Set("Cache-Control", "no-store")
	v.ResponseWriter.WriteHeader(http.StatusOK)
	_, err = v.ResponseWriter.Write(file)
	return err
}
