package api

import (
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

// paper is a version of a model sheet, a service or a liquid.
type paper struct {
	Name     string    `json:"name"`
	Title    string    `json:"title"`
	Invented bool      `json:"invented,omitempty"`
	Version  int64     `json:"version" doc:"counted from 1"`
	Reason   string    `json:"reason,omitempty" doc:"why it was changed"`
	By       string    `json:"by,omitempty"`
	At       time.Time `json:"at"`
	Text     string    `json:"text,omitempty" doc:"YAML; not in lists"`
	Findings []finding `json:"findings,omitempty" nullable:"false" doc:"problems and remarks that the text has now"`
}

type finding struct {
	Line   int    `json:"line,omitempty"`
	Remark bool   `json:"remark,omitempty" doc:"true when the text can be used as it is"`
	Text   string `json:"text"`
}

func sheetOf(p *shop.Paper) paper {
	one := paper{Name: p.Name, Title: p.Title, Invented: p.Invented, Version: p.Version, Reason: p.Reason, By: p.By, At: p.At.Time(), Text: p.Text}
	for _, f := range p.Findings {
		line := finding{Line: f.Line, Remark: f.Remark}
		if f.Problem != nil {
			line.Text = f.Problem.Show(say.Style{})
		}
		one.Findings = append(one.Findings, line)
	}
	return one
}

type papersOut struct {
	Body struct {
		List []paper `json:"list" nullable:"false"`
	}
}

type paperIn struct {
	Unless
	Name    string `path:"name"`
	Version int64  `query:"version" minimum:"0" doc:"0, or none: the one that holds now"`
}

type paperOut struct {
	ETag string `header:"ETag"`
	Body paper
}

type checkPaperIn struct {
	Name string `path:"name"`
	Body struct {
		Text string `json:"text" minLength:"1" doc:"YAML"`
	}
}

type savePaperIn struct {
	Name string `path:"name"`
	Body struct {
		WriterID
		Text   string    `json:"text" minLength:"1" doc:"YAML"`
		Reason string    `json:"reason,omitempty"`
		At     time.Time `json:"at,omitzero"`
	}
}

// papers adds the same routes for each kind of text that the shop keeps in
// versions.
func (s *Server) papers() {
	for _, kind := range []struct {
		kind      shop.PaperKind
		many, one string
	}{{shop.Sheets, "sheets", "model sheet"}, {shop.Services, "services", "service"}, {shop.Liquids, "liquids", "liquid"}} {
		path, tags := "/"+kind.many, []string{kind.many}
		register(s, huma.Operation{
			OperationID: "list-" + kind.many, Method: http.MethodGet, Path: path, Tags: tags, Summary: "List each " + kind.one,
		}, func(v *visit, _ *struct{}) (*papersOut, error) {
			all, err := v.shop.Papers(v, v.scope, kind.kind)
			if err != nil {
				return nil, err
			}
			out := &papersOut{}
			out.Body.List = make([]paper, len(all))
			for i := range all {
				out.Body.List[i] = sheetOf(&all[i])
			}
			return out, nil
		})
		register(s, huma.Operation{
			OperationID: "get-" + string(kind.kind), Method: http.MethodGet, Path: path + "/{name}", Tags: tags, Summary: "Read a " + kind.one + " in one of its versions",
		}, func(v *visit, in *paperIn) (*paperOut, error) {
			p, err := v.shop.Paper(v, v.scope, kind.kind, in.Name, in.Version)
			if err != nil {
				return nil, err
			}
			etag := tag(p.Entry, s.config.Version) // another version may find more
			if in.unchanged(etag) {
				return nil, notModified(etag)
			}
			return &paperOut{etag, sheetOf(&p)}, nil
		})
		register(s, huma.Operation{
			OperationID: "list-" + string(kind.kind) + "-versions", Method: http.MethodGet, Path: path + "/{name}/versions", Tags: tags, Summary: "List the versions of a " + kind.one,
		}, func(v *visit, in *struct {
			Name string `path:"name"`
		}) (*papersOut, error) {
			all, err := v.shop.PaperVersions(v, v.scope, kind.kind, in.Name)
			if err != nil {
				return nil, err
			}
			out := &papersOut{}
			out.Body.List = make([]paper, len(all))
			for i := range all {
				out.Body.List[i] = sheetOf(&all[i])
				out.Body.List[i].Text = ""
			}
			return out, nil
		})
		register(s, huma.Operation{
			OperationID: "check-" + string(kind.kind), Method: http.MethodPost, Path: path + "/{name}/check", Tags: tags, Summary: "Look at the text of a " + kind.one + "; nothing is kept",
			DefaultStatus: http.StatusOK,
		}, func(v *visit, in *checkPaperIn) (*struct{ Body paper }, error) {
			p, err := v.shop.CheckPaper(v.scope, kind.kind, in.Name, in.Body.Text)
			return &struct{ Body paper }{sheetOf(&p)}, err
		})
		register(s, huma.Operation{
			OperationID: "save-" + string(kind.kind), Method: http.MethodPut, Path: path + "/{name}", Tags: tags, Summary: "Keep a new version of a " + kind.one,
			Errors: writeErrors,
		}, func(v *visit, in *savePaperIn) (*paperOut, error) {
			p, err := v.shop.SavePaper(v, v.scope, shop.NewPaper{ID: in.Body.ID, Kind: kind.kind, Name: in.Name, Text: in.Body.Text, Reason: in.Body.Reason, At: in.Body.At})
			if err != nil {
				return nil, err
			}
			return &paperOut{tag(p.Entry, s.config.Version), sheetOf(&p)}, nil
		})
	}
}
