package frame

import (
	"context"
	"crypto/rand"
	"net/url"
	"time"

	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Returned is an entry that was not taken: its page is shown again with what
// was typed and why.
type Returned struct {
	Draft   string
	Typed   url.Values
	Problem say.Shower
	Ask     []say.Message
}

type returnedKey struct{}

// WithReturned puts what came back into the context of the page's request.
func WithReturned(ctx context.Context, r *Returned) context.Context {
	return context.WithValue(ctx, returnedKey{}, r)
}

// ReturnedTo returns what came back for a form, or nil.
func (v *Visit) ReturnedTo(draft string) *Returned {
	r, _ := v.Context().Value(returnedKey{}).(*Returned)
	if r == nil || r.Draft != draft {
		return nil
	}
	return r
}

// NewID makes the id of a new entry.
func NewID() string {
	var random [10]byte
	_, _ = rand.Read(random[:]) // never fails, see crypto/rand
	return record.NewID(time.Now(), random)
}

// EntryFor makes the form of an entry to a job. The draft names it among the
// forms of the site: the same form has the same draft each time it is shown.
func (v *Visit) EntryFor(j *Job, kind, draft string, word say.Shower, fields ...part.Field) *part.Entry {
	draft = j.Name + "." + draft
	e := &part.Entry{
		Address: "/job/" + url.PathEscape(j.Name) + "/entry", Kind: kind, ID: NewID(), Seen: j.Seen, Draft: draft,
		From: v.Here(), Next: v.Here(), Word: word, Fields: fields,
	}
	if r := v.ReturnedTo(draft); r != nil {
		e.Typed, e.Problem, e.Ask = r.Typed, r.Problem, r.Ask
	}
	return e
}

// Here returns the address of the page.
func (v *Visit) Here() string { return v.URL.RequestURI() }
