package api

import (
	std "context"
	"encoding/json"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

type context = std.Context

// The kinds of problems, as references that stay when words change.
const (
	typeGone    = Root + "#not-found"
	typeDenied  = Root + "#denied"
	typeToken   = Root + "#token"
	typeRefused = Root + "#refused"
	typeLook    = Root + "#look-again"
	typeMoved   = Root + "#moved"
	typeMany    = Root + "#too-many"
	typeBroken  = Root + "#broken"
)

var (
	msgGone   = say.Define("api.gone", "there is no such thing, or it is not yours to see")
	msgBroken = say.Define("api.broken", "something went wrong here; it has been noted")
	msgToken  = say.Define("api.token", "show a token that holds: Authorization: Bearer …")
	msgMoved  = say.Define("api.moved", "somebody wrote to the job since: read it again")
	msgLook   = say.Define("api.look_again", "nothing was kept: look again, then send it with \"confirmed\": true in the body, or another value")
	msgMany   = say.Define("api.too_many", "too many requests; wait {seconds:count|second|seconds}")
	msgLong   = say.Define("api.long", "the request is longer than it may be here")
)

func problemOf(status int, kind string, detail string) *huma.ErrorModel {
	return &huma.ErrorModel{Type: kind, Status: status, Title: http.StatusText(status), Detail: detail}
}

func gone() *huma.ErrorModel {
	return problemOf(http.StatusNotFound, typeGone, msgGone.With().String())
}
func broken() *huma.ErrorModel {
	return problemOf(http.StatusInternalServerError, typeBroken, msgBroken.With().String())
}

// errMoved: an entry was to follow an end of the stream that is no longer.
var errMoved = shop.ErrMoved

// lookAgain: an entry was not kept because it is odd.
type lookAgain struct{ warnings []say.Message }

func (l *lookAgain) Error() string { return msgLook.With().String() }

// problem tells what was wrong; what is ours to know is noted, not told.
func (s *Server) problem(ctx context, err error) error {
	var (
		denied *shop.Denied
		look   *lookAgain
		told   huma.StatusError
		long   *http.MaxBytesError
	)
	switch {
	case errors.As(err, &told):
		return told
	case errors.As(err, &denied):
		return problemOf(http.StatusForbidden, typeDenied, denied.Problem.Show(say.Style{}))
	case errors.As(err, &look):
		p := problemOf(http.StatusConflict, typeLook, look.Error())
		for _, w := range look.warnings {
			p.Errors = append(p.Errors, &huma.ErrorDetail{Message: w.Text(say.Style{}), Location: "body.body"})
		}
		return p
	case errors.Is(err, errMoved):
		return problemOf(http.StatusPreconditionFailed, typeMoved, msgMoved.With().String())
	case errors.As(err, &long):
		return problemOf(http.StatusRequestEntityTooLarge, typeRefused, msgLong.With().String())
	case errors.Is(err, shop.ErrNotFound):
		return gone()
	}
	if refused := say.AsProblem(err); refused != nil {
		p := problemOf(http.StatusUnprocessableEntity, typeRefused, refused.Show(say.Style{}))
		if refused.Field != "" {
			d := &huma.ErrorDetail{Message: refused.Message.Text(say.Style{}), Location: refused.Field}
			if refused.Read != "" {
				d.Value = refused.Read
			}
			p.Errors = append(p.Errors, d)
		}
		return p
	}
	if ctx.Err() == nil {
		s.config.Log.Error("request failed", "error", err)
	}
	return broken()
}

// writeProblem answers outside a route.
func writeProblem(w http.ResponseWriter, p *huma.ErrorModel) {
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(p.Status)
	_ = json.NewEncoder(w).Encode(p) // nobody to tell when the caller is gone
}
