package api

import (
	"encoding/json"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/draw"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/calc/cover"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

type quoteRow struct {
	Number  string          `json:"number"`
	Status  string          `json:"status" doc:"offered, accepted, changed, declined, expired"`
	Until   *time.Time      `json:"until,omitempty" doc:"last day on which it holds"`
	Entry   string          `json:"entry" doc:"id of the entry that made it"`
	Offer   json.RawMessage `json:"offer" doc:"body of that entry"`
	Answer  json.RawMessage `json:"answer,omitempty" doc:"body of the customer's answer"`
	Remarks []string        `json:"remarks,omitempty" nullable:"false"`
}

func quoteOf(q *job.QuoteStanding) (quoteRow, error) {
	row := quoteRow{Number: q.Number, Status: q.Status, Entry: q.Offer.Ref, Remarks: say.Texts(q.Remarks, say.Style{})}
	if !q.Until.IsZero() {
		row.Until = &q.Until
	}
	var err error
	if row.Offer, err = record.CanonicalOf(q.Offer.Body); err == nil && q.Answer != nil {
		row.Answer, err = record.CanonicalOf(q.Answer.Body)
	}
	return row, err
}

type draftOut struct {
	Body struct {
		Quote    json.RawMessage `json:"quote" doc:"body of an entry of the kind quote: change what is to be changed and send it as such"`
		Warnings []string        `json:"warnings,omitempty" nullable:"false"`
	}
}

type shelfLine struct {
	Offer    string `json:"offer" doc:"kit or loose part of the plan"`
	Wanted   int    `json:"wanted"`
	Item     string `json:"item" doc:"of the stock"`
	OnHand   int    `json:"on_hand"`
	Free     int    `json:"free"`
	Reserved int    `json:"reserved" doc:"kept for the job"`
	Used     int    `json:"used" doc:"fitted in it"`
}

type leftLine struct {
	Part  string `json:"part"`
	Name  string `json:"name,omitempty"`
	Count int    `json:"count"`
	Put   bool   `json:"put" doc:"it was put into stock"`
}

type shelfOut struct {
	Body struct {
		Shelf []shelfLine `json:"shelf" nullable:"false"`
		Left  []leftLine  `json:"left" nullable:"false" doc:"left over of a kit"`
	}
}

// money adds reports, quotes, and what lies on the shelf for a job.
func (s *Server) money() {
	register(s, huma.Operation{
		OperationID: "get-report-pdf", Method: http.MethodGet, Path: "/jobs/{job}/report.pdf", Tags: []string{"reports"}, Summary: "Fetch the report of a job as PDF", Responses: gives("application/pdf"),
	}, func(v *visit, in *struct {
		JobIn
		PaperSize
		Working bool `query:"working" doc:"with the working of every number"`
	}) (*fileOut, error) {
		j, err := v.shop.Job(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		if j.NotAssessed != nil {
			return nil, j.NotAssessed
		}
		o := in.options()
		o.Appendix = in.Working
		o.Photo = func(hash string) *draw.Picture { return pictureOf(v, in.Job, hash) }
		file, err := report.PDF(j.Assessment, o)
		if err != nil {
			return nil, err
		}
		return given("application/pdf", j.Name+".pdf", file), nil
	})
	register(s, huma.Operation{
		OperationID: "list-quotes", Method: http.MethodGet, Path: "/jobs/{job}/quotes", Tags: []string{"reports"}, Summary: "List the quotes of a job and how each stands",
		Description: "A quote is made, changed and answered by entries of the kind quote.",
	}, func(v *visit, in *JobIn) (*listOut[quoteRow], error) {
		all, err := v.shop.Quotes(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		out := &listOut[quoteRow]{}
		out.Body.List = make([]quoteRow, len(all))
		for i := range all {
			if out.Body.List[i], err = quoteOf(&all[i]); err != nil {
				return nil, err
			}
		}
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "draft-quote", Method: http.MethodGet, Path: "/jobs/{job}/quotes/draft", Tags: []string{"reports"}, Summary: "Draft a quote from the parts and the hours; nothing is kept",
	}, func(v *visit, in *struct {
		JobIn
		Step string `query:"step" enum:"teardown,rebuild" default:"rebuild"`
		Aim  string `query:"aim" doc:"of the choice of parts; the advised one when it is missing"`
	}) (*draftOut, error) {
		q, warnings, err := v.shop.DraftQuote(v, v.scope, in.Job, offer.Asked{Step: in.Step, Aim: cover.Aim(in.Aim)})
		if err != nil {
			return nil, err
		}
		out := &draftOut{}
		out.Body.Warnings = say.Texts(warnings, say.Style{})
		out.Body.Quote, err = record.CanonicalOf(q)
		return out, err
	})
	register(s, huma.Operation{
		OperationID: "get-quote-pdf", Method: http.MethodGet, Path: "/jobs/{job}/quotes/{number}/pdf", Tags: []string{"reports"}, Summary: "Fetch a quote as PDF", Responses: gives("application/pdf"),
	}, func(v *visit, in *struct {
		JobIn
		PaperSize
		Number string `path:"number"`
	}) (*fileOut, error) {
		j, err := v.shop.Job(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		all, err := v.shop.Quotes(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		for i := range all {
			if all[i].Number != in.Number {
				continue
			}
			o := in.options()
			o.Created = all[i].Offer.At
			file, err := report.QuotePDF(j.Assessment, all[i].Offer.Body, o)
			if err != nil {
				return nil, err
			}
			return given("application/pdf", in.Number+".pdf", file), nil
		}
		return nil, shop.ErrNotFound
	})
	register(s, huma.Operation{
		OperationID: "get-job-shelf", Method: http.MethodGet, Path: "/jobs/{job}/shelf", Tags: []string{"reports"}, Summary: "Read what lies on the shelf for a job, and what is left over of its kits",
		Description: "Pieces are kept for the job and fitted in it by movements of the stock that name it.",
	}, func(v *visit, in *JobIn) (*shelfOut, error) {
		shelved, left, err := v.shop.FromShelf(v, v.scope, in.Job)
		if err != nil {
			return nil, err
		}
		out := &shelfOut{}
		out.Body.Shelf, out.Body.Left = make([]shelfLine, len(shelved)), make([]leftLine, len(left))
		for i := range shelved {
			out.Body.Shelf[i] = shelfLine(shelved[i])
		}
		for i := range left {
			out.Body.Left[i] = leftLine(left[i])
		}
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "put-left-over", Method: http.MethodPost, Path: "/jobs/{job}/left/{part}", Tags: []string{"reports"}, Summary: "Put what is left over of a kit into stock", Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, func(v *visit, in *struct {
		JobIn
		Part string `path:"part"`
	}) (*struct{}, error) {
		return nil, v.shop.PutLeftOver(v, v.scope, in.Job, in.Part)
	})
	register(s, huma.Operation{
		OperationID: "try-entry", Method: http.MethodPost, Path: "/jobs/{job}/try", Tags: []string{"entries"}, Summary: "Ask what an entry would do; nothing is kept", DefaultStatus: http.StatusOK,
	}, func(v *visit, in *addIn) (*triedOut, error) {
		a, err := v.shop.Try(v, v.scope, in.Job, shop.NewEntry{ID: in.Body.ID, Kind: in.Body.Kind, Body: in.Body.Body, At: in.Body.At, Seen: in.Body.Seen})
		if err != nil {
			return nil, err
		}
		out := &triedOut{}
		out.Body.Would, out.Body.Warnings, out.Body.Job = len(a.Warnings) == 0, say.Texts(a.Warnings, say.Style{}), stateOf(a.Job)
		return out, nil
	})
}

type triedOut struct {
	Body struct {
		Would    bool     `json:"would" doc:"false when it asks to look again"`
		Warnings []string `json:"warnings,omitempty" nullable:"false"`
		Job      jobState `json:"job" doc:"how the job would stand"`
	}
}

// pictureOf reads a photo for paper; nil leaves its place empty.
func pictureOf(v *visit, name, hash string) *draw.Picture {
	f, err := v.shop.File(v, v.scope, name, hash, false)
	if err != nil {
		return nil
	}
	defer f.Content.Close() // only read
	p, err := draw.ReadPicture(f.Content, true)
	if err != nil {
		return nil
	}
	return p
}
