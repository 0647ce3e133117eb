package api

import (
	"bytes"
	"net/http"
	"slices"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/learned"
)

// ReadIn says how texts are shown.
type ReadIn struct {
	Units string `query:"units" enum:"metric,inch" default:"metric" doc:"units of the texts; values are SI"`
}

// PaperSize says on what a PDF is to be printed.
type PaperSize struct {
	ReadIn
	Size string `query:"size" enum:"a4,letter" default:"a4" doc:"size of the paper"`
}

func (p PaperSize) options() report.Options {
	o := report.Options{Size: document.A4, Style: styleOf(p.Units)}
	if p.Size == "letter" {
		o.Size = document.Letter
	}
	return o
}

// objectOut is an answer that the terminal prints too, with --json.
type objectOut struct {
	Body transfer.Object
}

// fileOut is a file.
type fileOut struct {
	Type        string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

func given(media, name string, content []byte) *fileOut {
	return &fileOut{media, `attachment; filename="` + shop.FileName(name) + `"`, content}
}

// gives describes an answer that is a file.
func gives(media ...string) map[string]*huma.Response {
	content := map[string]*huma.MediaType{}
	for _, m := range media {
		content[m] = &huma.MediaType{Schema: &huma.Schema{Type: "string", Format: "binary"}}
	}
	return map[string]*huma.Response{"200": {Description: "the file", Content: content}}
}

func printed(r *document.Report, o report.Options, name string) (*fileOut, error) {
	var file bytes.Buffer
	if err := r.PDF(&file, o.Size, o.Style); err != nil {
		return nil, err
	}
	return given("application/pdf", name+".pdf", file.Bytes()), nil
}

type fleetIn struct {
	ReadIn
	Model  string `query:"model" doc:"only this model sheet"`
	Liquid string `query:"liquid" doc:"only this liquid"`
	Site   string `query:"site" doc:"only this place"`
	Owner  string `query:"owner" doc:"only this owner"`
	Cause  string `query:"cause" doc:"only jobs with this cause"`
	Part   string `query:"part" doc:"whose life is shown; the one that failed most often when it is missing"`
}

type learnedBody struct {
	Jobs        int                `json:"jobs" doc:"finished jobs looked at"`
	Compression []learnedGasket    `json:"compression" nullable:"false" doc:"how much more gaskets give way than their sheet says"`
	Slip        []learnedFactor    `json:"slip" nullable:"false" doc:"factor on the slip of the model"`
	Drag        []learnedFactor    `json:"drag" nullable:"false" doc:"factor on the drag of the model"`
	Labour      []learnedHours     `json:"labour" nullable:"false" doc:"hours that each stage takes"`
	Causes      []learnedConfirmed `json:"causes" nullable:"false" doc:"causes that were confirmed"`
}

type learnedGasket struct {
	Material string  `json:"material,omitempty" doc:"of all, when it is missing"`
	Lot      string  `json:"lot,omitempty"`
	Extra    float64 `json:"extra" doc:"fraction of the thickness"`
	U        float64 `json:"u" doc:"standard uncertainty"`
	Spread   float64 `json:"spread" doc:"standard deviation between jobs"`
	Jobs     int     `json:"jobs"`
}

type learnedFactor struct {
	Model  string  `json:"model"`
	Factor float64 `json:"factor" doc:"median over pumps"`
	U      float64 `json:"u" doc:"standard uncertainty of its logarithm"`
	Spread float64 `json:"spread" doc:"standard deviation of the logarithm between pumps"`
	Next   float64 `json:"next" doc:"standard uncertainty of the logarithm for the next pump"`
	Jobs   int     `json:"jobs"`
}

type learnedHours struct {
	Model    string  `json:"model,omitempty" doc:"of all, when it is missing"`
	Stage    string  `json:"stage"`
	Median   float64 `json:"median"`
	Lower    float64 `json:"lower" doc:"quartile"`
	Upper    float64 `json:"upper" doc:"quartile"`
	Standard float64 `json:"standard,omitempty" doc:"hours of the model sheet"`
	Jobs     int     `json:"jobs"`
}

type learnedConfirmed struct {
	Cause string `json:"cause"`
	Jobs  int    `json:"jobs"`
}

func learnedOf(l *learned.Learned) learnedBody {
	b := learnedBody{l.Jobs, []learnedGasket{}, []learnedFactor{}, []learnedFactor{}, []learnedHours{}, []learnedConfirmed{}}
	for _, c := range l.Compression {
		b.Compression = append(b.Compression, learnedGasket{c.Material, c.Lot, c.Extra, c.U, c.Spread, c.Jobs})
	}
	for _, s := range l.Slip {
		b.Slip = append(b.Slip, learnedFactor{s.Model, s.Factor, s.U, s.Spread, s.Next, s.Jobs})
	}
	for _, s := range l.Drag {
		b.Drag = append(b.Drag, learnedFactor{s.Model, s.Factor, s.U, s.Spread, s.Next, s.Jobs})
	}
	for _, h := range l.Labour {
		b.Labour = append(b.Labour, learnedHours{h.Model, h.Stage, h.Median, h.Lower, h.Upper, h.StandardHours, h.Jobs})
	}
	for _, c := range l.Causes {
		b.Causes = append(b.Causes, learnedConfirmed{c.Cause, c.Jobs})
	}
	return b
}

type meterIn struct {
	PumpIn
	Body struct {
		Fact
		Hours  *float64 `json:"hours,omitempty" minimum:"0" doc:"what the meter shows; of the new one after an exchange"`
		Was    *float64 `json:"was,omitempty" minimum:"0" doc:"what the old meter showed at last, when it was exchanged"`
		On     string   `json:"on,omitempty" format:"date" doc:"day; today when it is missing"`
		Reason string   `json:"reason,omitempty" doc:"of the exchange"`
	}
}

type calendarIn struct {
	Body struct {
		Days int    `json:"days" minimum:"1" maximum:"3660"`
		Note string `json:"note,omitempty" doc:"for whom it is"`
	}
}

// past adds what the finished jobs say of pumps.
func (s *Server) past() {
	register(s, huma.Operation{
		OperationID: "get-pump-history", Method: http.MethodGet, Path: "/pumps/{pump}/history", Tags: []string{"history"}, Summary: "Read a pump over its rebuilds, and what is due of it",
	}, func(v *visit, in *struct {
		PumpIn
		ReadIn
	}) (*objectOut, error) {
		past, m, err := machineOf(v, in.Pump)
		if err != nil {
			return nil, err
		}
		told := transfer.Past{AsOf: past.AsOf, Style: styleOf(in.Units)}
		return &objectOut{told.Machines([]*history.Machine{m}, func(m *history.Machine) []history.Expected {
			expected, _ := past.Forecasts(m)
			return expected
		})}, nil
	})
	register(s, huma.Operation{
		OperationID: "get-pump-history-pdf", Method: http.MethodGet, Path: "/pumps/{pump}/history.pdf", Tags: []string{"history"}, Summary: "Fetch the history of a pump as PDF", Responses: gives("application/pdf"),
	}, func(v *visit, in *struct {
		PumpIn
		PaperSize
	}) (*fileOut, error) {
		past, m, err := machineOf(v, in.Pump)
		if err != nil {
			return nil, err
		}
		expected, _ := past.Forecasts(m)
		o := in.options()
		return printed(report.History(m, expected, past.AsOf, o), o, "history-"+past.NameOf(in.Pump))
	})
	register(s, huma.Operation{
		OperationID: "write-meter", Method: http.MethodPost, Path: "/pumps/{pump}/meter", Tags: []string{"history"}, Summary: "Write down what the running-hour meter shows, or that it was exchanged",
		Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, writeMeter)
	register(s, huma.Operation{
		OperationID: "get-fleet", Method: http.MethodGet, Path: "/fleet", Tags: []string{"history"}, Summary: "Look over many pumps: causes, lives of parts, costs",
	}, func(v *visit, in *fleetIn) (*objectOut, error) {
		past, err := v.shop.Past(v, v.scope)
		if err != nil {
			return nil, err
		}
		told := transfer.Past{AsOf: past.AsOf, Style: styleOf(in.Units)}
		return &objectOut{told.Fleet(past.Fleet.Page(history.Filter{Model: in.Model, Liquid: in.Liquid, Site: in.Site, Owner: in.Owner, Cause: in.Cause, Part: in.Part}))}, nil
	})
	register(s, huma.Operation{
		OperationID: "list-due", Method: http.MethodGet, Path: "/due", Tags: []string{"history"}, Summary: "List what is due, the soonest first",
	}, func(v *visit, in *struct {
		ReadIn
		All bool `query:"all" doc:"everything that wears; the first of each pump otherwise"`
	}) (*objectOut, error) {
		past, err := v.shop.Past(v, v.scope)
		if err != nil {
			return nil, err
		}
		told := transfer.Past{AsOf: past.AsOf, Style: styleOf(in.Units)}
		return &objectOut{told.Due(past.Due(!in.All))}, nil
	})
	register(s, huma.Operation{
		OperationID: "get-due-calendar", Method: http.MethodGet, Path: "/due/pumps-due.ics", Tags: []string{"history"}, Summary: "Fetch what is due as a calendar", Responses: gives("text/calendar"),
	}, func(v *visit, in *ReadIn) (*fileOut, error) {
		past, err := v.shop.Past(v, v.scope)
		if err != nil {
			return nil, err
		}
		var file bytes.Buffer
		if err := transfer.WriteCalendar(&file, past.Due(true), past.AsOf, styleOf(in.Units)); err != nil {
			return nil, err
		}
		return given("text/calendar", "pumps-due.ics", file.Bytes()), nil
	})
	register(s, huma.Operation{
		OperationID: "list-calendars", Method: http.MethodGet, Path: "/due/calendars", Tags: []string{"history"}, Summary: "List the addresses at which calendars read what is due",
	}, func(v *visit, _ *struct{}) (*listOut[linkLine], error) {
		all, err := v.shop.CalendarLinks(v, v.scope)
		return listed(all, err, linkLineOf)
	})
	register(s, huma.Operation{
		OperationID: "share-calendar", Method: http.MethodPost, Path: "/due/calendars", Tags: []string{"history"}, Summary: "Make an address at which a calendar reads what is due",
		Description: "The secret is the last part but one of the address: /calendar/{secret}/pumps-due.ics. It is ended like any other link.",
		Errors:      writeErrors, DefaultStatus: http.StatusCreated,
	}, func(v *visit, in *calendarIn) (*secretOut[linkLine], error) {
		secret, l, err := v.shop.ShareCalendar(v, v.scope, time.Duration(in.Body.Days)*24*time.Hour, in.Body.Note)
		if err != nil {
			return nil, err
		}
		out := &secretOut[linkLine]{}
		out.Body.Secret, out.Body.Kept = secret, linkLineOf(&l)
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "get-learned", Method: http.MethodGet, Path: "/learned", Tags: []string{"history"}, Summary: "Read what the shop has learned from its finished jobs",
	}, func(v *visit, _ *struct{}) (*struct{ Body learnedBody }, error) {
		l, err := v.shop.Learned(v, v.scope)
		if err != nil {
			return nil, err
		}
		return &struct{ Body learnedBody }{learnedOf(l)}, nil
	})
	register(s, huma.Operation{
		OperationID: "get-review-pdf", Method: http.MethodGet, Path: "/review.pdf", Tags: []string{"history"}, Summary: "Fetch a customer's year as PDF", Responses: gives("application/pdf"),
	}, review)
}

func machineOf(v *visit, name string) (*shop.Past, *history.Machine, error) {
	if _, _, _, err := v.shop.Pump(v, v.scope, name); err != nil {
		return nil, nil, err
	}
	past, err := v.shop.Past(v, v.scope)
	if err != nil {
		return nil, nil, err
	}
	m := past.Machine(name)
	if m == nil {
		return nil, nil, shop.ErrNotFound
	}
	return past, m, nil
}

var (
	msgMeter  = say.Define("api.meter", "neither what the meter shows nor an exchange is here")
	msgHours  = say.Define("api.hours", "write hours, with was too after an exchange")
	msgNobody = say.Define("api.nobody", "no pump of this owner was here")
)

func writeMeter(v *visit, in *meterIn) (*struct{}, error) {
	b := &in.Body
	if b.Hours == nil {
		return nil, say.Refuse("hours", "", msgMeter.With(), msgHours.With())
	}
	if b.Was != nil {
		return nil, v.shop.WriteMeter(v, v.scope, b.of(), in.Pump, history.KindMeterReset, history.MeterReset{Was: *b.Was, Now: *b.Hours, On: b.On, Reason: b.Reason})
	}
	return nil, v.shop.WriteMeter(v, v.scope, b.of(), in.Pump, history.KindMeter, history.MeterReading{Hours: *b.Hours, On: b.On})
}

func review(v *visit, in *struct {
	PaperSize
	Owner string `query:"owner" required:"true" doc:"whose pumps"`
	Year  int    `query:"year" required:"true" minimum:"1900" maximum:"2200"`
}) (*fileOut, error) {
	past, err := v.shop.Past(v, v.scope)
	if err != nil {
		return nil, err
	}
	y := report.Year{Owner: in.Owner, Year: in.Year, Fleet: past.Fleet, AsOf: past.AsOf}
	if _, _, _, owners, _, _ := past.Fleet.Words(); !slices.Contains(owners, in.Owner) {
		return nil, say.Refuse("owner", in.Owner, msgNobody.With(), say.Message{})
	}
	if settings, err := v.shop.Settings(v, v.scope); err == nil { // who may not read them gets a review without a head
		y.Shop, _ = settings["name"].(string)
	}
	for _, m := range past.Machines {
		if last := m.Last(); last != nil && last.Owner == in.Owner {
			y.Machines = append(y.Machines, m)
		}
	}
	y.Due = past.DueOf(y.Machines)
	o := in.options()
	return printed(report.Yearly(y, o), o, "review")
}
