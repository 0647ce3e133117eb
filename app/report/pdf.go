//go:build !js

package report

import (
	"bytes"
	"fmt"

	"pumpwright/app/document"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// PDF returns the report of a job as a PDF.
func PDF(a *assess.Assessment, o Options) ([]byte, error) {
	var out bytes.Buffer
	if err := Build(a, o).PDF(&out, o.Size, o.Style); err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	return out.Bytes(), nil
}

// CardPDF returns the blank bench card of a model as a PDF.
func CardPDF(s *sheet.Sheet, p *procedure.Procedure, size document.PageSize, style say.Style, created record.Time) ([]byte, error) {
	var out bytes.Buffer
	r := Card(s, p, style)
	r.Created = created.Time()
	if err := r.PDF(&out, size, style); err != nil {
		return nil, fmt.Errorf("report: bench card: %w", err)
	}
	return out.Bytes(), nil
}

// QuotePDF returns a quote as a PDF.
func QuotePDF(a *assess.Assessment, q job.Quote, o Options) ([]byte, error) {
	var out bytes.Buffer
	if err := Quote(a, q, o).PDF(&out, o.Size, o.Style); err != nil {
		return nil, fmt.Errorf("report: quote: %w", err)
	}
	return out.Bytes(), nil
}
