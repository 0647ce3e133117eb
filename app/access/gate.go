package access

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"time"

	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Gate lets people in.
type Gate struct {
	store  store.People
	now    func() time.Time
	random io.Reader
	hasher *Hasher

	trying sync.Mutex // looking and counting are one step
}

// NewGate makes a gate. random must be fit for secrets.
func NewGate(people store.People, now func() time.Time, random io.Reader, hasher *Hasher) *Gate {
	return &Gate{store: people, now: now, random: random, hasher: hasher}
}

// How long things hold.
const (
	shift      = 14 * time.Hour      // a sign-in by PIN
	longest    = 30 * 24 * time.Hour // a sign-in by password
	idle       = 7 * 24 * time.Hour  // a sign-in that nobody uses
	pairing    = 10 * time.Minute    // a code for a tablet
	noteUse    = time.Minute         // how exactly the last use is kept
	forgetting = 24 * time.Hour      // failures older than this count no more
)

// longestName of a person or a site that is looked for.
const longestName = 100

// Failures that cost nothing, and the longest wait after more of them.
const (
	freePerson  = 5
	freeAddress = 20
	mostPIN     = 10 // failures after which only the password helps
	longestWait = 5 * time.Minute
)

var (
	msgWrong     = say.Define("access.wrong", "this does not fit")
	msgTryAgain  = say.Define("access.try_again", "look at the name and type again")
	msgWait      = say.Define("access.wait", "too many attempts failed; wait {seconds:count|second|seconds} and try again")
	msgPINDevice = say.Define("access.pin_device", "a PIN works only on a tablet that the shop has paired")
	msgUsePass   = say.Define("access.use_password", "sign in with the password")
	msgPINEnded  = say.Define("access.pin_ended", "the PIN failed too often")
	msgSignIn    = say.Define("access.sign_in", "sign in again: the last sign-in has ended. What was typed is kept")
	msgBadCode   = say.Define("access.bad_code", "the code does not hold, or no longer")
	msgNewCode   = say.Define("access.new_code", "ask for a new one; it holds ten minutes and pairs one tablet")
)

// Wait returns how long somebody must wait after failures before the next
// attempt: nothing for the free ones, then a second, doubled each time.
func Wait(failures, free int, last, now time.Time) time.Duration {
	if failures < free {
		return 0
	}
	wait := longestWait
	if n := failures - free; n < 10 {
		wait = min(longestWait, time.Second<<n)
	}
	return max(0, last.Add(wait).Sub(now))
}

// Attempt is what somebody shows at the gate.
type Attempt struct {
	Site, Person string
	Password     string // either this
	PIN          string // or this
	Device       string // secret of the tablet, when it has one
	Address      string // where the request came from
}

// Identity is who has come in.
type Identity struct {
	Site    string
	Person  store.Person
	Roles   []Role
	Device  string // id of the paired tablet, or of the sign-in
	Session string // id of the sign-in
	ByPIN   bool
	Expires time.Time
}

// unknown is how a name that nobody has is counted: people type their password
// where the name goes, so it is not written down. 16 bits of a hash tell it
// apart from most others and nobody what it was.
func unknown(name string) string {
	sum := sha256.Sum256([]byte(name))
	return "?" + hex.EncodeToString(sum[:2])
}

// SignIn lets somebody in and returns the token that the browser keeps.
func (g *Gate) SignIn(ctx context.Context, a Attempt) (token string, id Identity, err error) {
	now := g.now()
	if len(a.Person) > longestName || len(a.Site) > longestName {
		return "", id, say.Refuse("person", "", msgWrong.With(), msgTryAgain.With())
	}
	person, err := g.store.Person(ctx, a.Site, a.Person)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return "", id, err
	}
	counted := a.Site + "/" + a.Person
	if err != nil {
		counted = a.Site + "/" + unknown(a.Person)
	}
	names := []tried{{"person:" + counted, freePerson}, {"address:" + a.Address, freeAddress}}
	byPIN := a.Password == "" && a.PIN != ""
	device := ""
	if a.Device != "" {
		site, d, err := g.store.DeviceBySecret(ctx, Kept(a.Device))
		if err != nil && !errors.Is(err, store.ErrNotFound) {
			return "", id, err
		}
		if err == nil && site == a.Site {
			device = d.ID
		}
	}
	if byPIN {
		if device == "" {
			return "", id, say.Refuse("pin", "", msgPINDevice.With(), msgUsePass.With())
		}
		names = append(names, tried{"pin:" + counted, 1 << 20})
	}
	if err := g.begin(ctx, names, now); err != nil {
		return "", id, err
	}
	secret, kept := a.Password, person.Password
	if byPIN {
		secret, kept = a.PIN, person.PIN
	}
	right, err := g.hasher.Verify(ctx, secret, kept)
	if err != nil {
		return "", id, err
	}
	if !right || person.Away {
		return "", id, say.Refuse("person", a.Person, msgWrong.With(), msgTryAgain.With())
	}
	if !byPIN {
		names = append(names, tried{"pin:" + counted, 0})
	}
	for _, n := range names {
		if err := g.clear(ctx, n.name); err != nil {
			return "", id, err
		}
	}
	return g.open(ctx, a.Site, person, device, byPIN, now)
}

// clear forgets the failures of a name. One who gets in does not clear the way
// for guesses at others from the same address: only his own attempt is taken
// back there.
func (g *Gate) clear(ctx context.Context, name string) error {
	if strings.HasPrefix(name, "address:") {
		return g.store.NotFailed(ctx, name)
	}
	return g.store.ClearTries(ctx, name)
}

type tried struct {
	name string
	free int
}

// begin refuses whoever must wait, and counts the attempt as failed until it
// succeeds, so that many at once gain nothing.
func (g *Gate) begin(ctx context.Context, names []tried, now time.Time) error {
	g.trying.Lock()
	defer g.trying.Unlock()
	for _, n := range names {
		failures, last, err := g.store.Tries(ctx, n.name)
		if err != nil {
			return err
		}
		if strings.HasPrefix(n.name, "pin:") && failures >= mostPIN {
			return say.Refuse("pin", "", msgPINEnded.With(), msgUsePass.With())
		}
		if now.Sub(last.Time()) > forgetting {
			continue
		}
		if wait := Wait(failures, n.free, last.Time(), now); wait > 0 {
			return &TooMany{Wait: wait, Problem: say.Refuse("", "", msgWait.With(int((wait+time.Second-1)/time.Second)), say.Message{})}
		}
	}
	for _, n := range names {
		since := now.Add(-forgetting)
		if strings.HasPrefix(n.name, "pin:") {
			since = time.Unix(0, 0) // only the password clears these
		}
		if err := g.store.Failed(ctx, n.name, record.TimeOf(now), record.TimeOf(since)); err != nil {
			return err
		}
	}
	return nil
}

// TooMany says that somebody has to wait.
type TooMany struct {
	Wait    time.Duration
	Problem *say.Problem
}

func (t *TooMany) Error() string { return t.Problem.Error() }

// Unwrap gives the problem.
func (t *TooMany) Unwrap() error { return t.Problem }

func (g *Gate) open(ctx context.Context, site string, person store.Person, device string, byPIN bool, now time.Time) (string, Identity, error) {
	token, kept, err := newToken(g.random)
	if err != nil {
		return "", Identity{}, err
	}
	id, err := g.newID(now)
	if err != nil {
		return "", Identity{}, err
	}
	last := longest
	if byPIN {
		last = shift
	}
	s := store.Session{
		Token: kept, ID: id, Site: site, Person: person.ID, Device: device, ByPIN: byPIN,
		Created: record.TimeOf(now), Used: record.TimeOf(now), Expires: record.TimeOf(now.Add(last)),
	}
	if err := g.store.PutSession(ctx, s); err != nil {
		return "", Identity{}, err
	}
	return token, identity(s, person), nil
}

func (g *Gate) newID(now time.Time) (string, error) {
	var random [10]byte
	if _, err := io.ReadFull(g.random, random[:]); err != nil {
		return "", fmt.Errorf("access: id: %w", err)
	}
	return record.NewID(now, random), nil
}

func identity(s store.Session, p store.Person) Identity {
	device := s.Device
	if device == "" {
		device = s.ID
	}
	roles := make([]Role, len(p.Roles))
	for i, r := range p.Roles {
		roles[i] = Role(r)
	}
	return Identity{Site: s.Site, Person: p, Roles: roles, Device: device, Session: s.ID, ByPIN: s.ByPIN, Expires: s.Expires.Time()}
}

// Resume returns who a token belongs to, or a problem that asks to sign in
// again. It looks each time: what was ended is over at once.
func (g *Gate) Resume(ctx context.Context, token string) (Identity, error) {
	over := say.Refuse("", "", msgSignIn.With(), say.Message{})
	if token == "" {
		return Identity{}, over
	}
	s, err := g.store.SessionByToken(ctx, Kept(token))
	if errors.Is(err, store.ErrNotFound) {
		return Identity{}, over
	}
	if err != nil {
		return Identity{}, err
	}
	now := record.TimeOf(g.now())
	if s.Revoked != 0 || now >= s.Expires || now.Time().Sub(s.Used.Time()) > idle {
		return Identity{}, over
	}
	p, err := g.store.Person(ctx, s.Site, s.Person)
	if errors.Is(err, store.ErrNotFound) || err == nil && p.Away {
		return Identity{}, over
	}
	if err != nil {
		return Identity{}, err
	}
	if now.Time().Sub(s.Used.Time()) >= noteUse {
		if err := g.store.UseSession(ctx, s.Token, now); err != nil {
			return Identity{}, err
		}
	}
	return identity(s, p), nil
}

// SignOut ends a sign-in.
func (g *Gate) SignOut(ctx context.Context, token string) error {
	s, err := g.store.SessionByToken(ctx, Kept(token))
	if errors.Is(err, store.ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	return g.store.RevokeSessions(ctx, s.Site, store.Session{ID: s.ID}, record.TimeOf(g.now()))
}

// SetPassword changes a password and ends all sign-ins of the person.
func (g *Gate) SetPassword(ctx context.Context, site, person, password string) error {
	p, err := g.store.Person(ctx, site, person)
	if err != nil {
		return err
	}
	if err := CheckPassword(password, p.ID, p.Name); err != nil {
		return err
	}
	if p.Password, err = g.hasher.Hash(ctx, password, g.random); err != nil {
		return err
	}
	if err := g.store.PutPerson(ctx, site, p); err != nil {
		return err
	}
	return g.EndEverywhere(ctx, site, person)
}

// SetPIN changes a PIN; "" takes it away.
func (g *Gate) SetPIN(ctx context.Context, site, person, pin string) error {
	p, err := g.store.Person(ctx, site, person)
	if err != nil {
		return err
	}
	p.PIN = ""
	if pin != "" {
		if err := checkPIN(pin); err != nil {
			return err
		}
		if p.PIN, err = g.hasher.Hash(ctx, pin, g.random); err != nil {
			return err
		}
	}
	if err := g.store.PutPerson(ctx, site, p); err != nil {
		return err
	}
	return g.store.ClearTries(ctx, "pin:"+site+"/"+person)
}

// CheckPassword checks somebody's password without letting anybody in, as at
// a signature; failures count as at the gate.
func (g *Gate) CheckPassword(ctx context.Context, site, person, password, address string) error {
	names := []tried{{"person:" + site + "/" + person, freePerson}, {"address:" + address, freeAddress}}
	if err := g.begin(ctx, names, g.now()); err != nil {
		return err
	}
	p, err := g.store.Person(ctx, site, person)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return err
	}
	right, err := g.hasher.Verify(ctx, password, p.Password)
	if err != nil {
		return err
	}
	if !right || p.Away {
		return say.Refuse("password", "", msgWrong.With(), msgTryAgain.With())
	}
	return errors.Join(g.clear(ctx, names[0].name), g.clear(ctx, names[1].name))
}

// NewPairing makes a code that pairs one tablet within ten minutes.
func (g *Gate) NewPairing(ctx context.Context, site, name, by string) (code string, d store.Device, err error) {
	now := g.now()
	if code, err = newCode(g.random); err != nil {
		return "", d, err
	}
	if d.ID, err = g.newID(now); err != nil {
		return "", d, err
	}
	d.Name, d.By, d.Code, d.Until = name, by, keptCode(code), record.TimeOf(now.Add(pairing))
	return code, d, g.store.PutDevice(ctx, site, d)
}

// Pair turns a code into the secret that the tablet keeps.
func (g *Gate) Pair(ctx context.Context, code, address string) (secret, site string, d store.Device, err error) {
	now := g.now()
	if err := g.begin(ctx, []tried{{"pairing:" + address, freePerson}}, now); err != nil {
		return "", "", d, err
	}
	bad := say.Refuse("code", code, msgBadCode.With(), msgNewCode.With())
	kept := keptCode(code)
	if kept == "" {
		return "", "", d, bad
	}
	secret, keptSecret, err := newToken(g.random)
	if err != nil {
		return "", "", d, err
	}
	site, d, err = g.store.PairDevice(ctx, kept, keptSecret, record.TimeOf(now))
	if errors.Is(err, store.ErrNotFound) {
		return "", "", d, bad
	}
	if err != nil {
		return "", "", d, err
	}
	return secret, site, d, g.store.ClearTries(ctx, "pairing:"+address)
}

// DeviceOf returns the paired tablet of a secret.
func (g *Gate) DeviceOf(ctx context.Context, secret string) (site string, d store.Device, err error) {
	if secret == "" {
		return "", d, store.ErrNotFound
	}
	return g.store.DeviceBySecret(ctx, Kept(secret))
}

// Unpair ends a tablet and every sign-in on it.
func (g *Gate) Unpair(ctx context.Context, site, id string) error {
	devices, err := g.store.Devices(ctx, site)
	if err != nil {
		return err
	}
	for _, d := range devices {
		if d.ID != id {
			continue
		}
		d.Revoked, d.Code = record.TimeOf(g.now()), ""
		if err := g.store.PutDevice(ctx, site, d); err != nil {
			return err
		}
		return g.store.RevokeSessions(ctx, site, store.Session{Device: id}, d.Revoked)
	}
	return store.ErrNotFound
}

// NewLink makes the token of a link and what is stored of it.
func (g *Gate) NewLink() (token, kept, id string, err error) {
	if token, kept, err = newToken(g.random); err != nil {
		return "", "", "", err
	}
	id, err = g.newID(g.now())
	return token, kept, id, err
}
