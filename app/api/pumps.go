package api

import (
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/shop"
)

// pump is a machine as the shop knows it.
type pump struct {
	Name    string `json:"name" doc:"serial number, or tag" example:"G-1187"`
	Serial  string `json:"serial,omitempty"`
	Tag     string `json:"tag,omitempty" doc:"place where it stands"`
	Owner   string `json:"owner,omitempty"`
	Place   string `json:"place,omitempty"`
	Sheet   string `json:"sheet,omitempty" doc:"name of its model sheet"`
	Service string `json:"service,omitempty" doc:"name of its service"`
	Note    string `json:"note,omitempty"`
	Version int64  `json:"version"`
}

func pumpOf(p *shop.Pump) pump {
	return pump{p.Name, p.Serial, p.Tag, p.Owner, p.Place, p.Sheet, p.Service, p.Note, p.Version}
}

type pumpsIn struct {
	Limit int    `query:"limit" minimum:"1" maximum:"1000" default:"200"`
	After string `query:"after" doc:"name at the end of the page before"`
}

type pumpsOut struct {
	Body struct {
		Pumps []pump `json:"pumps" nullable:"false"`
		More  string `json:"more,omitempty" doc:"ask again with this as after"`
	}
}

type PumpIn struct {
	Pump string `path:"pump" doc:"name of the pump"`
}

type pumpOut struct {
	Body struct {
		Pump  pump     `json:"pump"`
		Jobs  []jobRow `json:"jobs" nullable:"false" doc:"of this machine, the newest first"`
		Place []jobRow `json:"place" nullable:"false" doc:"of other machines at its place"`
	}
}

type savePumpIn struct {
	PumpIn
	Body struct {
		WriterID
		Serial  string    `json:"serial,omitempty"`
		Tag     string    `json:"tag,omitempty"`
		Owner   string    `json:"owner,omitempty"`
		Place   string    `json:"place,omitempty"`
		Sheet   string    `json:"sheet,omitempty"`
		Service string    `json:"service,omitempty"`
		Note    string    `json:"note,omitempty"`
		At      time.Time `json:"at,omitzero"`
	}
}

type hit struct {
	Kind string    `json:"kind" doc:"job, finding, note, sheet, pump …"`
	Name string    `json:"name" doc:"of the job, the sheet …"`
	Ref  string    `json:"ref,omitempty" doc:"entry of the job"`
	Text string    `json:"text"`
	At   time.Time `json:"at"`
}

type hitsOut struct {
	Body struct {
		Hits []hit `json:"hits" nullable:"false"`
	}
}

func (s *Server) pumps() {
	register(s, huma.Operation{
		OperationID: "list-pumps", Method: http.MethodGet, Path: "/pumps", Tags: []string{"pumps"}, Summary: "List the machines by name",
	}, func(v *visit, in *pumpsIn) (*pumpsOut, error) {
		all, err := v.shop.Pumps(v, v.scope, in.After, in.Limit+1)
		if err != nil {
			return nil, err
		}
		out := &pumpsOut{}
		out.Body.Pumps = []pump{}
		for i := range all {
			if len(out.Body.Pumps) == in.Limit {
				out.Body.More = out.Body.Pumps[in.Limit-1].Name
				break
			}
			out.Body.Pumps = append(out.Body.Pumps, pumpOf(&all[i].Pump))
		}
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "get-pump", Method: http.MethodGet, Path: "/pumps/{pump}", Tags: []string{"pumps"}, Summary: "Read a machine and its jobs",
	}, func(v *visit, in *PumpIn) (*pumpOut, error) {
		p, machine, place, err := v.shop.Pump(v, v.scope, in.Pump)
		if err != nil {
			return nil, err
		}
		out := &pumpOut{}
		out.Body.Pump, out.Body.Jobs, out.Body.Place = pumpOf(&p), rowsOf(machine), rowsOf(place)
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "save-pump", Method: http.MethodPut, Path: "/pumps/{pump}", Tags: []string{"pumps"}, Summary: "Keep what is known of a machine", Errors: writeErrors,
	}, func(v *visit, in *savePumpIn) (*struct{}, error) {
		b := &in.Body
		return nil, v.shop.SavePump(v, v.scope, shop.NewFact{ID: b.ID, At: b.At}, shop.Pump{
			Name: in.Pump, Serial: b.Serial, Tag: b.Tag, Owner: b.Owner, Place: b.Place, Sheet: b.Sheet, Service: b.Service, Note: b.Note,
		})
	})
	register(s, huma.Operation{
		OperationID: "search", Method: http.MethodGet, Path: "/search", Tags: []string{"pumps"}, Summary: "Find jobs, pumps, findings, notes, sheets and instruments",
		Description: "Every word typed must begin a word of what is found.",
	}, func(v *visit, in *struct {
		Words string `query:"words" required:"true" minLength:"1" maxLength:"200"`
	}) (*hitsOut, error) {
		hits, err := v.shop.Search(v, v.scope, in.Words)
		if err != nil {
			return nil, err
		}
		out := &hitsOut{}
		out.Body.Hits = make([]hit, len(hits))
		for i, h := range hits {
			out.Body.Hits[i] = hit{h.Kind, h.Name, h.Ref, h.Text, time.UnixMicro(h.At).UTC()}
		}
		return out, nil
	})
}
