package api

import (
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
	"pumpwright/rebuild/identify"
)

type PersonIn struct {
	Person string `path:"person" doc:"short name"`
}

type signInLine struct {
	ID      string    `json:"id"`
	Device  string    `json:"device,omitempty" doc:"id of a tablet"`
	ByPIN   bool      `json:"by_pin,omitempty"`
	Created time.Time `json:"created"`
	Used    time.Time `json:"used"`
	Expires time.Time `json:"expires"`
}

type tabletLine struct {
	ID      string     `json:"id"`
	Name    string     `json:"name"`
	By      string     `json:"by"`
	Paired  *time.Time `json:"paired,omitempty" doc:"not there while its code waits"`
	Until   *time.Time `json:"until,omitempty" doc:"so long its code waits"`
	Revoked *time.Time `json:"revoked,omitempty"`
}

func tabletLineOf(t *shop.Tablet) tabletLine {
	return tabletLine{t.ID, t.Name, t.By, moment(t.Paired), moment(t.Until), moment(t.Revoked)}
}

// signIns adds how people come in: their secrets, their sign-ins, the tablets.
func (s *Server) signIns() {
	register(s, huma.Operation{
		OperationID: "set-password", Method: http.MethodPut, Path: "/people/{person}/password", Tags: []string{"people"}, Summary: "Set the password of a person",
		Description: "A program never sets that of the person for whom it acts.", Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, func(v *visit, in *struct {
		PersonIn
		Body struct {
			Password string `json:"password" writeOnly:"true"`
		}
	}) (*struct{}, error) {
		if _, err := v.shop.SignIns(v, v.scope, in.Person); err != nil { // who may not is told so, not asked for the old one
			return nil, err
		}
		return nil, v.shop.SetPassword(v, v.scope, in.Person, "", in.Body.Password, "api")
	})
	register(s, huma.Operation{
		OperationID: "set-pin", Method: http.MethodPut, Path: "/people/{person}/pin", Tags: []string{"people"}, Summary: "Set the PIN of a person for paired tablets; none takes it away",
		Description: "A program never sets that of the person for whom it acts.", Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, func(v *visit, in *struct {
		PersonIn
		Body struct {
			PIN string `json:"pin,omitempty" writeOnly:"true"`
		}
	}) (*struct{}, error) {
		if _, err := v.shop.SignIns(v, v.scope, in.Person); err != nil {
			return nil, err
		}
		return nil, v.shop.SetPIN(v, v.scope, in.Person, "", in.Body.PIN, "api")
	})
	register(s, huma.Operation{
		OperationID: "forget-person", Method: http.MethodDelete, Path: "/people/{person}", Tags: []string{"people"}, Summary: "Forget the name of a person for good",
		Description: "What the person wrote stays, under the short name.", Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, func(v *visit, in *PersonIn) (*struct{}, error) {
		return nil, v.shop.ForgetPerson(v, v.scope, in.Person)
	})
	register(s, huma.Operation{
		OperationID: "list-sign-ins", Method: http.MethodGet, Path: "/people/{person}/sign-ins", Tags: []string{"people"}, Summary: "List the sign-ins of a person that hold",
	}, func(v *visit, in *PersonIn) (*listOut[signInLine], error) {
		all, err := v.shop.SignIns(v, v.scope, in.Person)
		return listed(all, err, func(r *shop.SignInRow) signInLine {
			return signInLine{r.ID, r.Device, r.ByPIN, r.Created.Time(), r.Used.Time(), r.Expires.Time()}
		})
	})
	register(s, huma.Operation{
		OperationID: "end-sign-ins", Method: http.MethodDelete, Path: "/people/{person}/sign-ins", Tags: []string{"people"}, Summary: "End the sign-ins of a person, or one of them",
		Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, func(v *visit, in *struct {
		PersonIn
		ID string `query:"id" doc:"of the one; all of them when it is missing"`
	}) (*struct{}, error) {
		return nil, v.shop.EndSignIns(v, v.scope, in.Person, in.ID)
	})
	register(s, huma.Operation{
		OperationID: "list-tablets", Method: http.MethodGet, Path: "/tablets", Tags: []string{"people"}, Summary: "List the tablets of the site",
	}, func(v *visit, _ *struct{}) (*listOut[tabletLine], error) {
		all, err := v.shop.Tablets(v, v.scope)
		return listed(all, err, tabletLineOf)
	})
	register(s, huma.Operation{
		OperationID: "add-tablet", Method: http.MethodPost, Path: "/tablets", Tags: []string{"people"}, Summary: "Make a code that pairs a tablet",
		Description: "The secret is the code: it is typed on the tablet.", Errors: writeErrors, DefaultStatus: http.StatusCreated,
	}, func(v *visit, in *struct {
		Body struct {
			Name string `json:"name" example:"bench 2"`
		}
	}) (*secretOut[tabletLine], error) {
		code, t, err := v.shop.PairingCode(v, v.scope, in.Body.Name)
		if err != nil {
			return nil, err
		}
		out := &secretOut[tabletLine]{}
		out.Body.Secret, out.Body.Kept = code, tabletLineOf(&t)
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "end-tablet", Method: http.MethodDelete, Path: "/tablets/{id}", Tags: []string{"people"}, Summary: "End a tablet and every sign-in on it",
		Errors: writeErrors, DefaultStatus: http.StatusNoContent,
	}, func(v *visit, in *idIn) (*struct{}, error) { return nil, v.shop.Unpair(v, v.scope, in.ID) })
	register(s, huma.Operation{
		OperationID: "which-pump", Method: http.MethodPost, Path: "/which-pump", Tags: []string{"pumps"}, Summary: "Ask which pump it is by what was measured on it", DefaultStatus: http.StatusOK,
		Description: "Against the model sheets of the shop. What can be measured is listed when nothing is sent.",
	}, whichPump)
}

type whichIn struct {
	ReadIn
	Body struct {
		Measured map[string]string `json:"measured" doc:"by the id of what is measured: a quantity with its unit, a count, or a word"`
	}
}

type whichOut struct {
	Body struct {
		Settled    bool             `json:"settled" doc:"one of them is near enough certain"`
		None       float64          `json:"none" doc:"chance that it is none of them"`
		Candidates []whichCandidate `json:"candidates" nullable:"false" doc:"the most likely first"`
		Next       []whichNext      `json:"next" nullable:"false" doc:"what tells most for its time first"`
	}
}

type whichCandidate struct {
	Sheet       string  `json:"sheet" doc:"name of the model sheet"`
	Title       string  `json:"title"`
	Probability float64 `json:"probability"`
}

type whichNext struct {
	ID      string   `json:"id"`
	Name    string   `json:"name"`
	Words   []string `json:"words,omitempty" nullable:"false" doc:"what can be seen, for a look"`
	Minutes float64  `json:"minutes"`
	Opens   bool     `json:"opens,omitempty" doc:"the pump must be open"`
	Bits    float64  `json:"bits" doc:"expected information"`
}

var (
	msgWhat   = say.Define("api.what", "this is nothing that can be measured here")
	msgListed = say.Define("api.listed", "send none to have them listed as next")
)

func whichPump(v *visit, in *whichIn) (*whichOut, error) {
	whats := identify.Whats()
	unit := "mm"
	if in.Units == "inch" {
		unit = "in"
	}
	known := map[string]bool{}
	var measured []identify.Measurement
	for i := range whats {
		w := &whats[i]
		known[w.ID] = true
		text, there := in.Body.Measured[w.ID]
		if !there {
			continue
		}
		m, err := w.Read(text, unit)
		if err != nil {
			return nil, err
		}
		measured = append(measured, m)
	}
	for id := range in.Body.Measured {
		if !known[id] {
			return nil, say.Refuse("measured", id, msgWhat.With(), msgListed.With())
		}
	}
	r, err := v.shop.WhichPump(v, v.scope, measured)
	if err != nil {
		return nil, err
	}
	out := &whichOut{}
	b := &out.Body
	b.Settled, b.None, b.Candidates, b.Next = r.Settled, r.None, make([]whichCandidate, len(r.Candidates)), make([]whichNext, len(r.Next))
	for i, c := range r.Candidates {
		b.Candidates[i] = whichCandidate{c.Sheet.Name, c.Sheet.Title, c.Probability}
	}
	for i, n := range r.Next {
		b.Next[i] = whichNext{n.ID, n.Name.Text(styleOf(in.Units)), n.Words, n.Minutes, n.Opens, n.Bits}
	}
	return out, nil
}
