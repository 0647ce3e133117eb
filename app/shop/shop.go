package shop

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/record"
)

// Shop does the work of one or more sites over one store.
type Shop struct {
	store   store.Store
	gate    *access.Gate
	now     func() time.Time
	copied  int
	random  io.Reader
	site    string // that the owner of the machine means
	backups string // folder, "" when there are none

	texts    assess.Texts
	jobs     jobCache
	pasts    pastCache
	taught   taughtCache
	hints    hub
	pictures chan struct{} // one photo is decoded at a time

	sending chan struct{} // there is something to send to a webhook
	lazy    chan lazyRow  // summaries to write when nobody waits
	stop    context.CancelFunc
	working sync.WaitGroup
}

// Options are what a shop needs from outside. The zero value takes the clock
// and the random numbers of the machine.
type Options struct {
	Now     func() time.Time
	Random  io.Reader
	Backups string // folder for backups; beside the data when empty
	Hasher  *access.Hasher
	Site    string // that the owner of the machine means, where there are several
	// Copied is set for the copy of one job on a tablet without network: so many
	// entries of it came from the shop, which has not received what follows.
	Copied int
}

// New makes a shop over a store, which it closes when it is closed.
func New(s store.Store, o Options) *Shop {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Random == nil {
		o.Random = rand.Reader
	}
	if o.Hasher == nil {
		o.Hasher = access.NewHasher()
	}
	ctx, stop := context.WithCancel(context.Background())
	shop := &Shop{
		store: s, gate: access.NewGate(s, o.Now, o.Random, o.Hasher), now: o.Now, copied: o.Copied, random: o.Random, backups: o.Backups, site: o.Site,
		jobs: newJobCache(keptJobs), pictures: make(chan struct{}, 1), lazy: make(chan lazyRow, 256), sending: make(chan struct{}, 1), stop: stop,
	}
	shop.working.Go(func() { shop.writeLazily(ctx) })
	shop.working.Go(func() {
		s.Watch(ctx, func(n store.Notice) { shop.hints.hear(n.Site, Hint{n.Stream, n.Seq}) })
	})
	return shop
}

// Close ends the work that goes on by itself and closes the store. What was
// not written yet is made again from the entries when it is asked for.
func (s *Shop) Close() error {
	s.stop()
	s.working.Wait()
	s.hints.close()
	return s.store.Close()
}

// ErrNotFound: there is no such thing, or not for this person.
var ErrNotFound = store.ErrNotFound

// ErrMoved: an entry was to follow another one than the last.
var ErrMoved = store.ErrMoved

// Scope is who does something, and where.
type Scope struct {
	Site   string
	Person string
	Roles  []access.Role
	Device string
	Owner  string // whose pumps a customer may see
	Only   string // stream that a link opens, "" for people

	// Program is the id of the token of a program that acts for the person,
	// and Grants what it was given of what the person may do.
	Program string
	Grants  []access.Grant
}

// Denied says that somebody may not do something.
type Denied struct {
	Operation access.Operation
	Problem   *say.Problem
}

func (d *Denied) Error() string { return d.Problem.Error() }

// Unwrap gives the problem.
func (d *Denied) Unwrap() error { return d.Problem }

var (
	msgDenied     = say.Define("shop.denied", "your role may not do this: {operation}")
	msgRolesOf    = say.Define("shop.roles_of", "it takes {roles:list}")
	msgNotGranted = say.Define("shop.not_granted", "the token was not given this: {operation}")
	msgNobody     = say.Define("shop.nobody", "nobody may do this: {operation}")
)

// linkMay is what somebody with a link may do with the one job it opens.
var linkMay = map[access.Operation]bool{access.ReadJob: true, access.ReadPapers: true}

// need refuses an operation that the scope may not do.
func (sc Scope) need(do access.Operation) error {
	if sc.Site == "" || sc.Only != "" && !linkMay[do] || sc.Only == "" && !access.May(sc.Roles, do) {
		return denied(do)
	}
	if sc.Program != "" && !access.Within(sc.Grants, do) {
		return &Denied{do, say.Refuse("", "", msgNotGranted.With(do), say.Message{})}
	}
	return nil
}

func denied(do access.Operation) error {
	roles := make([]string, len(access.Permits[do]))
	for i, r := range access.Permits[do] {
		roles[i] = string(r)
	}
	if len(roles) == 0 {
		return &Denied{do, say.Refuse("", "", msgNobody.With(do), say.Message{})}
	}
	return &Denied{do, say.Refuse("", "", msgDenied.With(do), msgRolesOf.With(roles))}
}

// May reports whether the scope may do something at all.
func (sc Scope) May(do access.Operation) bool { return sc.need(do) == nil }

// ownerOnly returns the owner whose jobs alone may be seen, and whether there
// is such a limit.
func (sc Scope) ownerOnly() (string, bool) {
	return sc.Owner, sc.Only == "" && access.OwnJobsOnly(sc.Roles)
}

// newID makes an id for an entry that came without one.
func (s *Shop) newID() (string, error) {
	var random [10]byte
	if _, err := io.ReadFull(s.random, random[:]); err != nil {
		return "", fmt.Errorf("shop: id: %w", err)
	}
	return record.NewID(s.now(), random), nil
}

// stamp returns the moment as entries keep it.
func (s *Shop) stamp() record.Time { return record.TimeOf(s.now()) }

func isNotFound(err error) bool { return errors.Is(err, store.ErrNotFound) }
