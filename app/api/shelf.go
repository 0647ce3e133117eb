package api

import (
	"encoding/json"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

type instrument struct {
	ID     string         `json:"id"`
	Fields map[string]any `json:"fields" doc:"kind, resolution, calibration … as it was written down"`
}

type instrumentsOut struct {
	Body struct {
		Instruments []instrument `json:"instruments" nullable:"false"`
	}
}

// Fact is who wrote something, when, and under which id.
type Fact struct {
	WriterID
	At time.Time `json:"at,omitzero" doc:"by the writer's clock; now when it is missing"`
}

func (f Fact) of() shop.NewFact { return shop.NewFact{ID: f.ID, At: f.At} }

type fieldsIn struct {
	Body struct {
		Fact
		Fields map[string]any `json:"fields" doc:"what is known, as the file of the shop writes it"`
	}
}

type settingsOut struct {
	Body struct {
		Settings map[string]any `json:"settings"`
	}
}

type stockMoveIn struct {
	Body struct {
		Fact
		Kind      string          `json:"kind" example:"stock-in" doc:"stock-item, stock-in, stock-out, stock-reserved, stock-released, stock-used, stock-counted"`
		Body      json.RawMessage `json:"body" doc:"what is written down, as its kind wants it"`
		Confirmed bool            `json:"confirmed,omitempty" doc:"it was looked at again"`
	}
}

type stockItem struct {
	Item     string         `json:"item"`
	Name     string         `json:"name,omitempty"`
	Sheet    string         `json:"sheet,omitempty"`
	Part     string         `json:"part,omitempty"`
	Place    string         `json:"place,omitempty"`
	Minimum  int            `json:"minimum,omitempty"`
	OnHand   int            `json:"on_hand" doc:"on the shelf, kept pieces too"`
	Reserved map[string]int `json:"reserved,omitempty" doc:"kept, by job"`
	Used     map[string]int `json:"used,omitempty" doc:"fitted, by job"`
}

type stockOut struct {
	Body struct {
		Items []stockItem `json:"items" nullable:"false"`
	}
}

type person struct {
	ID       string   `json:"id"`
	Name     string   `json:"name"`
	Roles    []string `json:"roles" nullable:"false"`
	Owner    string   `json:"owner,omitempty" doc:"whose pumps a customer may see"`
	Units    string   `json:"units,omitempty" doc:"metric or inch"`
	Language string   `json:"language,omitempty"`
	Away     bool     `json:"away,omitempty" doc:"may not sign in"`
}

type peopleOut struct {
	Body struct {
		People []person `json:"people" nullable:"false"`
	}
}

type savePersonIn struct {
	Person string `path:"person" doc:"short name"`
	Body   struct {
		Name     string   `json:"name"`
		Roles    []string `json:"roles" nullable:"false"`
		Owner    string   `json:"owner,omitempty"`
		Units    string   `json:"units,omitempty"`
		Language string   `json:"language,omitempty"`
		Away     bool     `json:"away,omitempty"`
	}
}

type linkLine struct {
	ID      string     `json:"id"`
	Job     string     `json:"job"`
	By      string     `json:"by"`
	Note    string     `json:"note,omitempty"`
	Created time.Time  `json:"created"`
	Expires time.Time  `json:"expires"`
	Revoked *time.Time `json:"revoked,omitempty"`
}

func linkLineOf(l *shop.Link) linkLine {
	return linkLine{l.ID, l.Job, l.By, l.Note, l.Created.Time(), l.Expires.Time(), moment(l.Revoked)}
}

type linksOut struct {
	Body struct {
		Links []linkLine `json:"links" nullable:"false"`
	}
}

type backupOut struct {
	Body struct {
		Kept     bool       `json:"kept" doc:"false where the database is backed up with its own tools"`
		LastGood *time.Time `json:"last_good,omitempty"`
		Last     *time.Time `json:"last,omitempty" doc:"also one that failed"`
		Warning  string     `json:"warning,omitempty"`
	}
}

func (s *Server) shelf() {
	register(s, huma.Operation{
		OperationID: "list-instruments", Method: http.MethodGet, Path: "/instruments", Tags: []string{"shop"}, Summary: "List the instruments",
	}, func(v *visit, _ *struct{}) (*instrumentsOut, error) {
		list, err := v.shop.Instruments(v, v.scope)
		out := &instrumentsOut{}
		out.Body.Instruments = make([]instrument, len(list))
		for i := range list {
			out.Body.Instruments[i] = instrument{list[i].ID, list[i].Fields}
		}
		return out, err
	})
	register(s, huma.Operation{
		OperationID: "save-instrument", Method: http.MethodPost, Path: "/instruments", Tags: []string{"shop"}, Summary: "Keep what is known of an instrument", Errors: writeErrors, DefaultStatus: http.StatusOK,
	}, func(v *visit, in *fieldsIn) (*struct{ Body instrument }, error) {
		kept, err := v.shop.SaveInstrument(v, v.scope, in.Body.of(), in.Body.Fields)
		return &struct{ Body instrument }{instrument{kept.ID, kept.Fields}}, err
	})
	register(s, huma.Operation{
		OperationID: "get-stock", Method: http.MethodGet, Path: "/stock", Tags: []string{"shop"}, Summary: "Read what lies on the shelf",
	}, func(v *visit, _ *struct{}) (*stockOut, error) {
		stock, err := v.shop.Stock(v, v.scope)
		if err != nil {
			return nil, err
		}
		out := &stockOut{}
		out.Body.Items = []stockItem{}
		for _, h := range stock.Holdings {
			out.Body.Items = append(out.Body.Items, stockItem{h.Item, h.Name, h.Sheet, h.Part, h.Place, h.Minimum, h.OnHand, h.Reserved, h.Used})
		}
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "move-stock", Method: http.MethodPost, Path: "/stock", Tags: []string{"shop"}, Summary: "Write down what came, went or was counted", Errors: writeErrors, DefaultStatus: http.StatusNoContent,
		Description: "409: it looks wrong, and nothing was kept; send it again with \"confirmed\": true.",
	}, func(v *visit, in *stockMoveIn) (*struct{}, error) {
		a, err := v.shop.MoveStock(v, v.scope, in.Body.of(), in.Body.Kind, in.Body.Body, in.Body.Confirmed)
		if err == nil && !a.Kept {
			return nil, &lookAgain{a.Warnings}
		}
		return nil, err
	})
	register(s, huma.Operation{
		OperationID: "get-settings", Method: http.MethodGet, Path: "/settings", Tags: []string{"shop"}, Summary: "Read the settings of the site",
	}, func(v *visit, _ *struct{}) (*settingsOut, error) {
		settings, err := v.shop.Settings(v, v.scope)
		out := &settingsOut{}
		out.Body.Settings = settings
		return out, err
	})
	register(s, huma.Operation{
		OperationID: "save-settings", Method: http.MethodPut, Path: "/settings", Tags: []string{"shop"}, Summary: "Change settings of the site", Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, func(v *visit, in *fieldsIn) (*struct{}, error) {
		return nil, v.shop.SaveSettings(v, v.scope, in.Body.of(), in.Body.Fields)
	})
	register(s, huma.Operation{
		OperationID: "get-backup", Method: http.MethodGet, Path: "/backup", Tags: []string{"shop"}, Summary: "Read how the backups stand",
	}, func(v *visit, _ *struct{}) (*backupOut, error) {
		state, err := v.shop.BackupState(v, v.scope)
		out := &backupOut{}
		out.Body.Kept, out.Body.LastGood, out.Body.Last, out.Body.Warning = state.Kept, moment(state.LastGood), moment(state.Last), state.Warning.Text(say.Style{})
		return out, err
	})
}

func (s *Server) people() {
	register(s, huma.Operation{
		OperationID: "list-people", Method: http.MethodGet, Path: "/people", Tags: []string{"people"}, Summary: "List the people of the site",
	}, func(v *visit, _ *struct{}) (*peopleOut, error) {
		list, err := v.shop.People(v, v.scope)
		out := &peopleOut{}
		out.Body.People = make([]person, len(list))
		for i, p := range list {
			out.Body.People[i] = person{p.ID, p.Name, texts(p.Roles), p.Owner, p.Units, p.Language, p.Away}
		}
		return out, err
	})
	register(s, huma.Operation{
		OperationID: "save-person", Method: http.MethodPut, Path: "/people/{person}", Tags: []string{"people"}, Summary: "Add or change a person", Errors: writeErrors, DefaultStatus: http.StatusNoContent,
		Description: "Away: the person may not sign in. A password is set by a route of its own.",
	}, func(v *visit, in *savePersonIn) (*struct{}, error) {
		b := &in.Body
		roles := make([]access.Role, len(b.Roles))
		for i, r := range b.Roles {
			roles[i] = access.Role(r)
		}
		return nil, v.shop.SavePerson(v, v.scope, shop.Person{ID: in.Person, Name: b.Name, Roles: roles, Owner: b.Owner, Units: b.Units, Language: b.Language, Away: b.Away})
	})
	register(s, huma.Operation{
		OperationID: "list-links", Method: http.MethodGet, Path: "/jobs/{job}/links", Tags: []string{"people"}, Summary: "List the links that let others read a job",
	}, func(v *visit, in *JobIn) (*linksOut, error) {
		list, err := v.shop.Links(v, v.scope, in.Job)
		out := &linksOut{}
		out.Body.Links = make([]linkLine, len(list))
		for i := range list {
			out.Body.Links[i] = linkLineOf(&list[i])
		}
		return out, err
	})
	register(s, huma.Operation{
		OperationID: "share-job", Method: http.MethodPost, Path: "/jobs/{job}/links", Tags: []string{"people"}, Summary: "Let somebody without a sign-in read a job", Errors: writeErrors, DefaultStatus: http.StatusCreated,
	}, func(v *visit, in *struct {
		JobIn
		Body struct {
			Days int    `json:"days" minimum:"1" maximum:"3660"`
			Note string `json:"note,omitempty"`
		}
	}) (*secretOut[linkLine], error) {
		secret, l, err := v.shop.Share(v, v.scope, in.Job, time.Duration(in.Body.Days)*24*time.Hour, in.Body.Note)
		out := &secretOut[linkLine]{}
		out.Body.Secret, out.Body.Kept = secret, linkLineOf(&l)
		return out, err
	})
	register(s, huma.Operation{
		OperationID: "end-link", Method: http.MethodDelete, Path: "/links/{link}", Tags: []string{"people"}, Summary: "End a link", Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, func(v *visit, in *struct {
		Link string `path:"link"`
	}) (*struct{}, error) {
		return nil, v.shop.EndLink(v, v.scope, in.Link)
	})
}
