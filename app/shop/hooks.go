package shop

import (
	"context"
	"encoding/json"
	"errors"
	"net/url"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/record"
)

// Hook is an address that is told when a job comes to another stage.
type Hook struct {
	ID      string
	Address string
	By      string
	Created record.Time
}

// Delivery is a message to a hook.
type Delivery struct {
	ID      string
	Body    string
	Tries   int
	Due     record.Time // next attempt
	Done    record.Time // arrived or given up
	Note    string
	Created record.Time
}

// StageChange is what a hook is told. It names no person and no content: who
// is let in may ask for the job.
type StageChange struct {
	ID    string          `json:"id"`
	Event string          `json:"event"` // "stage"
	Job   string          `json:"job"`
	Stage procedure.Stage `json:"stage,omitempty"` // "" as long as no model sheet is known
	Waits Wait            `json:"waits"`
	Seq   int64           `json:"seq"` // entry of the job at which it stood so
	At    time.Time       `json:"at"`
}

const mostHooks = 20

var (
	msgHookAddress = say.Define("shop.hook_address", "this is no address that can be told")
	msgHookLike    = say.Define("shop.hook_like", "write it like https://host/path, without a name or password")
	msgHooksFull   = say.Define("shop.hooks_full", "the site tells as many addresses as it may")
)

// AddHook adds an address. The secret with which messages are signed is shown
// once.
func (s *Shop) AddHook(ctx context.Context, sc Scope, address string) (secret string, h Hook, err error) {
	if err := sc.need(access.WriteHooks); err != nil {
		return "", h, err
	}
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Hostname() == "" || u.User != nil || len(address) > 500 {
		return "", h, say.Refuse("address", address, msgHookAddress.With(), msgHookLike.With())
	}
	hooks, err := s.store.Hooks(ctx, sc.Site)
	if err != nil {
		return "", h, err
	}
	if len(hooks) >= mostHooks {
		return "", h, say.Refuse("address", address, msgHooksFull.With(), say.Message{})
	}
	secret, _, id, err := s.gate.NewLink()
	if err != nil {
		return "", h, err
	}
	if len(hooks) == 0 {
		if err := s.noteStages(ctx, sc.Site); err != nil {
			return "", h, err
		}
	}
	row := store.Hook{ID: id, Site: sc.Site, Address: address, Secret: secret, Person: sc.Person, Created: s.stamp()}
	return secret, hookOf(row), s.store.PutHook(ctx, row)
}

func hookOf(h store.Hook) Hook {
	return Hook{ID: h.ID, Address: h.Address, By: h.Person, Created: h.Created}
}

// noteStages notes where the open jobs stand before the first hook is told of
// changes: what was so already is no change.
func (s *Shop) noteStages(ctx context.Context, site string) error {
	if err := s.CatchUp(ctx, site); err != nil {
		return err
	}
	for _, wait := range Waits() {
		if wait == Done {
			continue
		}
		rows, err := s.rows(ctx, site, store.SummaryQuery{Waits: string(wait)})
		if err != nil {
			return err
		}
		for i := range rows {
			if _, err := s.store.Stage(ctx, site, store.Head{Stream: StreamOf(rows[i].Job), Seq: rows[i].Seq}, stageOf(&rows[i]), nil); err != nil {
				return err
			}
		}
	}
	return nil
}

// stageOf names where a job stands.
func stageOf(r *Row) string {
	if r.Waits == Done {
		return "closed"
	}
	return string(r.Stage)
}

// Hooks lists the addresses.
func (s *Shop) Hooks(ctx context.Context, sc Scope) ([]Hook, error) {
	if err := sc.need(access.WriteHooks); err != nil {
		return nil, err
	}
	rows, err := s.store.Hooks(ctx, sc.Site)
	hooks := make([]Hook, len(rows))
	for i := range rows {
		hooks[i] = hookOf(rows[i])
	}
	return hooks, err
}

// DropHook takes an address away; what was still to be sent is not.
func (s *Shop) DropHook(ctx context.Context, sc Scope, id string) error {
	if err := sc.need(access.WriteHooks); err != nil {
		return err
	}
	return s.store.DropHook(ctx, sc.Site, id)
}

// Deliveries lists the last messages to an address.
func (s *Shop) Deliveries(ctx context.Context, sc Scope, hook string) ([]Delivery, error) {
	if err := sc.need(access.WriteHooks); err != nil {
		return nil, err
	}
	rows, err := s.store.Deliveries(ctx, sc.Site, hook, 100)
	list := make([]Delivery, len(rows))
	for i, d := range rows {
		list[i] = Delivery{d.ID, d.Body, d.Tries, d.Due, d.Done, d.Note, d.Created}
	}
	return list, err
}

// tellStage keeps a message for each hook when a job has come to another
// stage than was told last.
func (s *Shop) tellStage(ctx context.Context, site string, head store.Head, r *Row) error {
	hooks, err := s.store.Hooks(ctx, site)
	if err != nil || len(hooks) == 0 {
		return err
	}
	var list []store.Delivery
	for _, h := range hooks {
		id, err := s.newID()
		if err != nil {
			return err
		}
		body, err := json.Marshal(StageChange{ID: id, Event: "stage", Job: r.Job, Stage: r.Stage, Waits: r.Waits, Seq: r.Seq, At: r.Since.Time().UTC()})
		if err != nil {
			return err
		}
		list = append(list, store.Delivery{ID: id, Site: site, Hook: h.ID, Body: string(body), Due: s.stamp(), Created: s.stamp()})
	}
	told, err := s.store.Stage(ctx, site, head, stageOf(r), list)
	if told {
		select {
		case s.sending <- struct{}{}:
		default: // it is known already
		}
	}
	return err
}

// Post sends a signed message to an address.
type Post func(ctx context.Context, address, id, hook, secret string, body []byte) error

// retries are the waits after an attempt that failed; after the last one the
// message is given up.
var retries = []time.Duration{
	10 * time.Second, time.Minute, 5 * time.Minute, 30 * time.Minute, 2 * time.Hour, 6 * time.Hour, 12 * time.Hour, 24 * time.Hour,
}

const (
	sendAtOnce = 20
	sendBeat   = 5 * time.Second // how often what is due, or was left by another process, is looked for
	sendWithin = 2 * time.Minute // after so long another process may try
)

// SendHooks sends what is due until the context ends. tell hears what stops it
// from looking; an address that does not answer is no such thing.
func (s *Shop) SendHooks(ctx context.Context, post Post, tell func(error)) {
	ticker := time.NewTicker(sendBeat)
	defer ticker.Stop()
	for {
		if _, err := s.sendDue(ctx, post); err != nil && ctx.Err() == nil {
			tell(err)
		}
		select {
		case <-s.sending:
		case <-ticker.C:
		case <-ctx.Done():
			return
		}
	}
}

// sendDue makes one attempt at each message that is due.
func (s *Shop) sendDue(ctx context.Context, post Post) (sent int, err error) {
	due, err := s.store.ClaimDeliveries(ctx, s.stamp(), record.TimeOf(s.now().Add(sendWithin)), sendAtOnce)
	if err != nil {
		return 0, err
	}
	hooks := map[string][]store.Hook{}
	for _, d := range due {
		if hooks[d.Site] == nil {
			if hooks[d.Site], err = s.store.Hooks(ctx, d.Site); err != nil {
				return sent, err
			}
		}
		for _, h := range hooks[d.Site] {
			if h.ID != d.Hook {
				continue
			}
			fault := post(ctx, h.Address, d.ID, h.ID, h.Secret, []byte(d.Body))
			if ctx.Err() != nil { // stopped on the way: it counts as not tried
				fault, d.Tries = errors.Join(fault, ctx.Err()), d.Tries-1
			}
			d.Tries++
			d.Note = "arrived"
			switch {
			case fault == nil:
				d.Done = s.stamp()
				sent++
			case d.Tries > len(retries):
				d.Note, d.Done = "given up: "+fault.Error(), s.stamp()
			default:
				d.Note, d.Due = fault.Error(), record.TimeOf(s.now().Add(retries[max(0, d.Tries-1)]))
			}
			if err := s.store.PutDelivery(context.WithoutCancel(ctx), d); err != nil {
				return sent, err
			}
		}
	}
	return sent, nil
}
