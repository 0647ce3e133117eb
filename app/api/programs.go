package api

import (
	"encoding/json"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/access"
	"pumpwright/app/shop"
)

type whoOut struct {
	Body struct {
		Site   string   `json:"site"`
		Person string   `json:"person" doc:"id of the person for whom the program acts"`
		Roles  []string `json:"roles" nullable:"false" doc:"of the person"`
		Token  string   `json:"token,omitempty" doc:"id of the token"`
		Grants []string `json:"grants" nullable:"false" doc:"what the token was given"`
	}
}

type tokenLine struct {
	ID      string     `json:"id"`
	Name    string     `json:"name" doc:"which program it is"`
	Person  string     `json:"person" doc:"for whom the program acts"`
	Grants  []string   `json:"grants" nullable:"false"`
	Created time.Time  `json:"created"`
	Expires *time.Time `json:"expires,omitempty"`
	Revoked *time.Time `json:"revoked,omitempty"`
}

func tokenLineOf(t *shop.Token) tokenLine {
	return tokenLine{t.ID, t.Name, t.Person, texts(t.Grants), t.Created.Time(), moment(t.Expires), moment(t.Revoked)}
}

func texts[T ~string](list []T) []string {
	texts := make([]string, len(list))
	for i, t := range list {
		texts[i] = string(t)
	}
	return texts
}

type addTokenIn struct {
	Body struct {
		Name   string   `json:"name" doc:"which program it is" example:"balancing bench"`
		Person string   `json:"person" doc:"for whom the program acts"`
		Grants []string `json:"grants" nullable:"false" doc:"read, enter, sign, keep, manage"`
		Days   int      `json:"days,omitempty" minimum:"0" maximum:"3660" doc:"0: until it is revoked"`
	}
}

type secretOut[T any] struct {
	Body struct {
		Secret string `json:"secret" doc:"shown once: what is kept does not give it back"`
		Kept   T      `json:"kept"`
	}
}

type hookLine struct {
	ID      string    `json:"id"`
	Address string    `json:"address"`
	By      string    `json:"by"`
	Created time.Time `json:"created"`
}

func hookLineOf(h *shop.Hook) hookLine { return hookLine{h.ID, h.Address, h.By, h.Created.Time()} }

type delivery struct {
	ID      string          `json:"id"`
	Body    json.RawMessage `json:"body" doc:"what is told"`
	Tries   int             `json:"tries"`
	Due     time.Time       `json:"due" doc:"next attempt"`
	Done    *time.Time      `json:"done,omitempty" doc:"when it arrived or was given up"`
	Note    string          `json:"note,omitempty" doc:"how the last attempt went"`
	Created time.Time       `json:"created"`
}

type listOut[T any] struct {
	Body struct {
		List []T `json:"list" nullable:"false"`
	}
}

type idIn struct {
	ID string `path:"id"`
}

func (s *Server) programs() {
	register(s, huma.Operation{
		OperationID: "who-am-i", Method: http.MethodGet, Path: "/me", Tags: []string{"programs"}, Summary: "Read what the token may do",
	}, func(v *visit, _ *struct{}) (*whoOut, error) {
		out := &whoOut{}
		b := &out.Body
		b.Site, b.Person, b.Roles, b.Token, b.Grants = v.scope.Site, v.scope.Person, texts(v.scope.Roles), v.scope.Program, texts(v.scope.Grants)
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "list-tokens", Method: http.MethodGet, Path: "/tokens", Tags: []string{"programs"}, Summary: "List the tokens of the site",
	}, func(v *visit, _ *struct{}) (*listOut[tokenLine], error) {
		all, err := v.shop.Tokens(v, v.scope)
		return listed(all, err, tokenLineOf)
	})
	register(s, huma.Operation{
		OperationID: "add-token", Method: http.MethodPost, Path: "/tokens", Tags: []string{"programs"}, DefaultStatus: http.StatusCreated,
		Summary: "Make a token for a program", Description: "A program hands on no more than it was given.", Errors: writeErrors,
	}, func(v *visit, in *addTokenIn) (*secretOut[tokenLine], error) {
		grants := make([]access.Grant, len(in.Body.Grants))
		for i, g := range in.Body.Grants {
			grants[i] = access.Grant(g)
		}
		secret, t, err := v.shop.AddToken(v, v.scope, in.Body.Name, in.Body.Person, grants, time.Duration(in.Body.Days)*24*time.Hour)
		if err != nil {
			return nil, err
		}
		out := &secretOut[tokenLine]{}
		out.Body.Secret, out.Body.Kept = secret, tokenLineOf(&t)
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "end-token", Method: http.MethodDelete, Path: "/tokens/{id}", Tags: []string{"programs"}, Summary: "End a token at once",
	}, func(v *visit, in *idIn) (*struct{}, error) { return nil, v.shop.EndToken(v, v.scope, in.ID) })
	register(s, huma.Operation{
		OperationID: "list-hooks", Method: http.MethodGet, Path: "/hooks", Tags: []string{"webhooks"}, Summary: "List the addresses that are told of stage changes",
	}, func(v *visit, _ *struct{}) (*listOut[hookLine], error) {
		all, err := v.shop.Hooks(v, v.scope)
		return listed(all, err, hookLineOf)
	})
	register(s, huma.Operation{
		OperationID: "add-hook", Method: http.MethodPost, Path: "/hooks", Tags: []string{"webhooks"}, DefaultStatus: http.StatusCreated,
		Summary: "Add an address that is told of stage changes", Errors: writeErrors,
	}, func(v *visit, in *struct {
		Body struct {
			Address string `json:"address" example:"https://host.example/pumps"`
		}
	}) (*secretOut[hookLine], error) {
		secret, h, err := v.shop.AddHook(v, v.scope, in.Body.Address)
		if err != nil {
			return nil, err
		}
		out := &secretOut[hookLine]{}
		out.Body.Secret, out.Body.Kept = secret, hookLineOf(&h)
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "drop-hook", Method: http.MethodDelete, Path: "/hooks/{id}", Tags: []string{"webhooks"}, Summary: "Take an address away",
	}, func(v *visit, in *idIn) (*struct{}, error) { return nil, v.shop.DropHook(v, v.scope, in.ID) })
	register(s, huma.Operation{
		OperationID: "list-deliveries", Method: http.MethodGet, Path: "/hooks/{id}/deliveries", Tags: []string{"webhooks"}, Summary: "List the last messages to an address",
	}, func(v *visit, in *idIn) (*listOut[delivery], error) {
		all, err := v.shop.Deliveries(v, v.scope, in.ID)
		return listed(all, err, func(d *shop.Delivery) delivery {
			return delivery{d.ID, json.RawMessage(d.Body), d.Tries, d.Due.Time(), moment(d.Done), d.Note, d.Created.Time()}
		})
	})
}

func listed[S, T any](all []S, err error, of func(*S) T) (*listOut[T], error) {
	if err != nil {
		return nil, err
	}
	out := &listOut[T]{}
	out.Body.List = make([]T, len(all))
	for i := range all {
		out.Body.List[i] = of(&all[i])
	}
	return out, nil
}
