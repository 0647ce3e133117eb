package access

import (
	"context"
	"errors"
	"math/rand"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"pumpwright/app/store"
	"pumpwright/calc/say"
)

// cheap makes tests fast; the method is the same.
var cheap = cost{passes: 1, kibibytes: 8, lanes: 1}

type world struct {
	*Gate
	store *store.DB
	at    time.Time
}

func newWorld(t *testing.T) *world {
	t.Helper()
	db, err := store.OpenMemory(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	w := &world{store: db, at: time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC)}
	w.Gate = NewGate(db, func() time.Time { return w.at }, rand.New(rand.NewSource(1)), newHasher(cheap))
	for _, site := range []string{"a", "b"} {
		if err := db.AddSite(t.Context(), store.Site{ID: site}); err != nil {
			t.Fatal(err)
		}
	}
	for _, id := range []string{"mira", "odell"} {
		if err := db.PutPerson(t.Context(), "a", store.Person{ID: id, Name: "Name of " + id, Roles: []string{"technician"}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.SetPassword(t.Context(), "a", "mira", "correct horse"); err != nil {
		t.Fatal(err)
	}
	return w
}

func (w *world) password(t *testing.T, person, password string) (string, error) {
	t.Helper()
	token, _, err := w.SignIn(t.Context(), Attempt{Site: "a", Person: person, Password: password, Address: "10.0.0.1"})
	return token, err
}

func (w *world) tablet(t *testing.T) string {
	t.Helper()
	code, _, err := w.NewPairing(t.Context(), "a", "bench", "odell")
	if err != nil {
		t.Fatal(err)
	}
	secret, site, _, err := w.Pair(t.Context(), strings.ToLower(" "+code+" "), "10.0.0.1")
	if err != nil || site != "a" {
		t.Fatal(site, err)
	}
	return secret
}

func TestSignIn(t *testing.T) {
	w := newWorld(t)
	token, err := w.password(t, "mira", "correct horse")
	if err != nil {
		t.Fatal(err)
	}
	id, err := w.Resume(t.Context(), token)
	if err != nil || id.Person.ID != "mira" || id.Site != "a" || !slices.Equal(id.Roles, []Role{Technician}) || id.Device == "" {
		t.Errorf("%+v %v", id, err)
	}
	for name, try := range map[string]func() (string, error){
		"wrong":       func() (string, error) { return w.password(t, "mira", "correct hors") },
		"nobody":      func() (string, error) { return w.password(t, "nobody", "correct horse") },
		"no password": func() (string, error) { return w.password(t, "odell", "correct horse") },
		"empty":       func() (string, error) { return w.password(t, "odell", "") },
		"other site": func() (string, error) {
			token, _, err := w.SignIn(t.Context(), Attempt{Site: "b", Person: "mira", Password: "correct horse"})
			return token, err
		},
	} {
		if token, err := try(); say.AsProblem(err) == nil || token != "" {
			t.Errorf("%s: %q %v", name, token, err)
		}
	}
	if err := w.SignOut(t.Context(), token); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Resume(t.Context(), token); say.AsProblem(err) == nil {
		t.Errorf("signed out, still in: %v", err)
	}
	for _, bad := range []string{"", "x", Kept(token)} {
		if _, err := w.Resume(t.Context(), bad); say.AsProblem(err) == nil {
			t.Errorf("token %q gets in: %v", bad, err)
		}
	}
}

func TestSignInEnds(t *testing.T) {
	w := newWorld(t)
	ctx := t.Context()
	for name, end := range map[string]func(){
		"idle":         func() { w.at = w.at.Add(idle + time.Hour) },
		"new password": func() { must(t, w.SetPassword(ctx, "a", "mira", "correct horse")) },
		"away": func() {
			p, _ := w.store.Person(ctx, "a", "mira")
			p.Away = true
			must(t, w.store.PutPerson(ctx, "a", p))
		},
	} {
		t.Run(name, func(t *testing.T) {
			p, _ := w.store.Person(ctx, "a", "mira")
			p.Away = false
			must(t, w.store.PutPerson(ctx, "a", p))
			token, err := w.password(t, "mira", "correct horse")
			must(t, err)
			end()
			if _, err := w.Resume(ctx, token); say.AsProblem(err) == nil {
				t.Errorf("still in: %v", err)
			}
		})
	}
	p, _ := w.store.Person(ctx, "a", "mira")
	p.Away = false
	must(t, w.store.PutPerson(ctx, "a", p))
	token, err := w.password(t, "mira", "correct horse")
	must(t, err)
	for range 5 { // used every few days it holds on, but not for ever
		w.at = w.at.Add(6 * 24 * time.Hour)
		_, err = w.Resume(ctx, token)
	}
	if say.AsProblem(err) == nil {
		t.Errorf("after 30 days still in: %v", err)
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestPIN(t *testing.T) {
	w := newWorld(t)
	ctx := t.Context()
	must(t, w.SetPIN(ctx, "a", "odell", "2758"))
	secret := w.tablet(t)
	pin := func(person, pin, device string) (string, error) {
		token, _, err := w.SignIn(ctx, Attempt{Site: "a", Person: person, PIN: pin, Device: device, Address: "10.0.0.2"})
		return token, err
	}
	token, err := pin("odell", "2758", secret)
	must(t, err)
	id, err := w.Resume(ctx, token)
	must(t, err)
	if id.Expires.Sub(w.at) != shift {
		t.Errorf("a sign-in by PIN holds %v", id.Expires.Sub(w.at))
	}
	for name, device := range map[string]string{"no tablet": "", "a foreign tablet": "nonsense"} {
		if _, err := pin("odell", "2758", device); say.AsProblem(err) == nil || say.AsProblem(err).Field != "pin" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := pin("mira", "2758", secret); say.AsProblem(err) == nil {
		t.Errorf("another's PIN: %v", err)
	}
	devices, err := w.store.Devices(ctx, "a")
	must(t, err)
	must(t, w.Unpair(ctx, "a", devices[0].ID))
	if _, err := w.Resume(ctx, token); say.AsProblem(err) == nil {
		t.Errorf("the tablet is gone, the sign-in is not: %v", err)
	}
	if _, err := pin("odell", "2758", secret); say.AsProblem(err) == nil {
		t.Errorf("a tablet that is gone takes a PIN: %v", err)
	}
}

// After ten wrong PINs only the password helps, however long one waits.
func TestPINEnds(t *testing.T) {
	w := newWorld(t)
	ctx := t.Context()
	must(t, w.SetPIN(ctx, "a", "mira", "2758"))
	secret := w.tablet(t)
	try := func(pin string) error {
		w.at = w.at.Add(2 * forgetting)
		_, _, err := w.SignIn(ctx, Attempt{Site: "a", Person: "mira", PIN: pin, Device: secret})
		return err
	}
	for range mostPIN {
		if err := try("1111"); say.AsProblem(err) == nil {
			t.Fatal(err)
		}
	}
	if err := try("2758"); say.AsProblem(err) == nil {
		t.Errorf("the right PIN after %d wrong ones: %v", mostPIN, err)
	}
	_, err := w.password(t, "mira", "correct horse")
	must(t, err)
	must(t, try("2758"))
}

// TestThrottle counts how many guesses a day one gets.
func TestThrottle(t *testing.T) {
	w := newWorld(t)
	guesses, end := 0, w.at.Add(24*time.Hour)
	for w.at.Before(end) {
		_, err := w.password(t, "mira", "guess")
		var wait *TooMany
		switch {
		case errors.As(err, &wait):
			if wait.Wait <= 0 || wait.Wait > longestWait {
				t.Fatalf("waits %v", wait.Wait)
			}
			w.at = w.at.Add(wait.Wait)
		case say.AsProblem(err) != nil:
			guesses++
		default:
			t.Fatal(err)
		}
	}
	if guesses > 320 || guesses < 20 {
		t.Errorf("%d guesses in a day", guesses)
	}
	w.at = w.at.Add(longestWait)
	if _, err := w.password(t, "mira", "correct horse"); err != nil {
		t.Errorf("the right one after the wait: %v", err)
	}
}

// Many guesses at once gain nothing.
func TestThrottleAtOnce(t *testing.T) {
	w := newWorld(t)
	var group sync.WaitGroup
	var mutex sync.Mutex
	tried := 0
	for range 60 {
		group.Go(func() {
			_, _, err := w.SignIn(context.Background(), Attempt{Site: "a", Person: "mira", Password: "guess", Address: "10.0.0.9"})
			var wait *TooMany
			if !errors.As(err, &wait) {
				mutex.Lock()
				tried++
				mutex.Unlock()
			}
		})
	}
	group.Wait()
	if tried > freePerson {
		t.Errorf("%d guesses were looked at", tried)
	}
}

// One who switches all day on one tablet is never made to wait; one who
// guesses at many people from one address is.
func TestAddress(t *testing.T) {
	w := newWorld(t)
	for range 3 * freeAddress {
		if _, err := w.password(t, "mira", "correct horse"); err != nil {
			t.Fatal(err)
		}
	}
	var wait *TooMany
	for n := range freeAddress + 1 {
		_, err := w.password(t, "person"+strings.Repeat("x", n), "guess")
		if got := errors.As(err, &wait); got != (n >= freeAddress) {
			t.Fatalf("guess %d: %v", n, err)
		}
	}
}

func TestPairing(t *testing.T) {
	w := newWorld(t)
	ctx := t.Context()
	code, d, err := w.NewPairing(ctx, "a", "bench", "odell")
	must(t, err)
	if d.Code == code || strings.Contains(d.Code, code) {
		t.Error("the code is kept as it is")
	}
	w.at = w.at.Add(pairing + time.Second)
	if _, _, _, err := w.Pair(ctx, code, "x"); say.AsProblem(err) == nil {
		t.Errorf("an old code pairs: %v", err)
	}
	code, _, err = w.NewPairing(ctx, "a", "bench", "odell")
	must(t, err)
	_, _, _, err = w.Pair(ctx, code, "y")
	must(t, err)
	for n := range freePerson {
		if _, _, _, err := w.Pair(ctx, code, "z"); say.AsProblem(err) == nil {
			t.Errorf("try %d: a code pairs twice: %v", n, err)
		}
	}
	var wait *TooMany
	if _, _, _, err := w.Pair(ctx, code, "z"); !errors.As(err, &wait) {
		t.Errorf("codes may be guessed: %v", err)
	}
}

func TestSecretsRefused(t *testing.T) {
	w := newWorld(t)
	ctx := t.Context()
	for _, password := range []string{"", "short", "Name of mira", "NAME OF MIRA", strings.Repeat("x", 201)} {
		if err := w.SetPassword(ctx, "a", "mira", password); say.AsProblem(err) == nil || say.AsProblem(err).Field != "password" {
			t.Errorf("password %q: %v", password, err)
		}
	}
	for _, pin := range []string{"123", "1234", "9876", "0000", "12345678", "123456789", "12a4", "١٢٣٤"} {
		if err := w.SetPIN(ctx, "a", "mira", pin); say.AsProblem(err) == nil || say.AsProblem(err).Field != "pin" {
			t.Errorf("PIN %q: %v", pin, err)
		}
	}
	p, err := w.store.Person(ctx, "a", "mira")
	must(t, err)
	if strings.Contains(p.Password, "correct") || !strings.HasPrefix(p.Password, "$argon2id$") {
		t.Errorf("kept as %q", p.Password)
	}
}

func TestHash(t *testing.T) {
	h := newHasher(cheap)
	random := rand.New(rand.NewSource(2))
	rapid.Check(t, func(t *rapid.T) {
		secret, other := rapid.String().Draw(t, "secret"), rapid.String().Draw(t, "other")
		kept, err := h.Hash(context.Background(), secret, random)
		if err != nil {
			t.Fatal(err)
		}
		for _, try := range []string{secret, other} {
			if ok, err := h.Verify(context.Background(), try, kept); err != nil || ok != (try == secret) {
				t.Fatalf("%q against %q: %v %v", try, secret, ok, err)
			}
		}
	})
	for _, bad := range []string{"x", "$argon2id$v=19$m=99999999,t=1,p=1$c2FsdHNhbHQ$a2V5a2V5a2V5a2V5a2V5", "$argon2id$v=19$m=8,t=0,p=1$c2FsdHNhbHQ$a2V5a2V5a2V5a2V5a2V5", "$argon2i$v=19$m=8,t=1,p=1$c2FsdHNhbHQ$a2V5a2V5a2V5a2V5a2V5"} {
		if ok, err := h.Verify(context.Background(), "x", bad); ok || err == nil {
			t.Errorf("%q: %v %v", bad, ok, err)
		}
	}
	if ok, err := h.Verify(context.Background(), "", ""); ok || err != nil {
		t.Errorf("nothing against nothing: %v %v", ok, err)
	}
}

// Only one hash is made at a time, and whoever goes away does not wait.
func TestOneAtATime(t *testing.T) {
	h := newHasher(cheap)
	done, err := h.wait(t.Context())
	must(t, err)
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	if _, err := h.Verify(ctx, "x", ""); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("two at a time: %v", err)
	}
	done()
	if _, err := h.Verify(t.Context(), "x", ""); err != nil {
		t.Error(err)
	}
}

// Nobody may do what the table does not name, and every operation of the
// table is somebody's.
func TestPermits(t *testing.T) {
	if May(Roles(), "something new") || May(nil, ListJobs) || May([]Role{"owner of the world"}, ListJobs) {
		t.Error("something is allowed that the table does not name")
	}
	for do, roles := range Permits {
		if len(roles) == 0 {
			t.Errorf("%s is nobody's", do)
		}
		for _, r := range roles {
			if !slices.Contains(Roles(), r) {
				t.Errorf("%s names the role %s", do, r)
			}
		}
		for _, r := range Roles() {
			if May([]Role{r}, do) != slices.Contains(roles, r) {
				t.Errorf("%s for %s", do, r)
			}
		}
	}
	for _, r := range []Role{Reader, Customer} { // who looks on changes nothing
		for do, roles := range Permits {
			if reads := strings.HasPrefix(string(do), "read") || do == ListJobs || do == Search; !reads && slices.Contains(roles, r) && !(r == Customer && do == Sign) {
				t.Errorf("a %s may %s", r, do)
			}
		}
	}
	for _, c := range []struct {
		roles []Role
		want  bool
	}{{nil, true}, {[]Role{Customer}, true}, {[]Role{Customer, Operations}, false}, {[]Role{Lead}, false}} {
		if OwnJobsOnly(c.roles) != c.want {
			t.Errorf("%v: %v", c.roles, !c.want)
		}
	}
}

func BenchmarkVerify(b *testing.B) {
	h := NewHasher()
	kept, err := h.Hash(b.Context(), "correct horse", rand.New(rand.NewSource(1)))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if ok, err := h.Verify(b.Context(), "correct horse", kept); !ok || err != nil {
			b.Fatal(ok, err)
		}
	}
}
