package cli

import (
	"bufio"
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/store/storetest"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// servedVariable makes this test binary the program, with these arguments.
const servedVariable = "PUMPWRIGHT_TEST_SERVE"

func TestMain(m *testing.M) {
	if line := os.Getenv(servedVariable); line != "" {
		os.Exit(Run(strings.Fields(line), &Env{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Now: time.Now, Random: rand.Reader,
			Getenv: os.Getenv, Version: "v0.0.0-test", Report: report.PDF}))
	}
	os.Exit(m.Run())
}

// process is a server in a process of its own.
type process struct {
	address string
	command *exec.Cmd
	said    *bytes.Buffer // on its standard error
}

// start runs "serve" and waits until it serves.
func start(t *testing.T, arguments string) *process {
	t.Helper()
	p := &process{command: exec.Command(os.Args[0]), said: &bytes.Buffer{}}
	p.command.Env = append(os.Environ(), servedVariable+"=serve --listen 127.0.0.1:0 "+arguments)
	p.command.Stderr = p.said
	p.command.Dir = t.TempDir()
	out, err := p.command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.command.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.command.Process.Kill(); _ = p.command.Wait() })
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		_ = p.command.Wait()
		t.Fatalf("it does not serve: %s", p.said)
	}
	_, rest, _ := strings.Cut(lines.Text(), " at ")
	p.address, _, _ = strings.Cut(rest, "/. ")
	if strings.Contains(lines.Text(), "secret") {
		t.Errorf("it says the password: %s", lines.Text())
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()
	return p
}

const dockPassword = "loud kettle on the quay"

// dock is a shop in a database with one job, a lead who signs in, and a token.
func dock(t *testing.T, database string) (token string) {
	t.Helper()
	ctx := t.Context()
	s, err := shop.Home{Database: database}.Open(ctx, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.SetUpShop(ctx, shop.SetUp{Shop: "Test Dock (invented)", Person: "ada", Name: "Ada Fell", Password: dockPassword}); err != nil {
		t.Fatal(err)
	}
	sc := shop.Scope{Site: "main", Person: "ada", Roles: []access.Role{access.Lead}}
	text, err := sheet.DemoText("demo-pump-s")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.SavePaper(ctx, sc, shop.NewPaper{Kind: shop.Sheets, Name: "demo-pump-s", Text: string(text)}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Receive(ctx, sc, shop.Receipt{Job: "J-1", Open: job.Open{Tag: "P-1", Invented: true}, Sheet: "demo-pump-s"}); err != nil {
		t.Fatal(err)
	}
	token, _, err = s.AddTokenHere(ctx, "load", "ada", access.Grants(), 0)
	if err != nil {
		t.Fatal(err)
	}
	return token
}

// write sends a note with an id of its own and returns the status, 0 for none.
func write(address, token, id, words string) int {
	body, err := json.Marshal(map[string]any{"id": id, "kind": job.KindNote, "body": job.Note{Text: words}})
	if err != nil {
		return 0
	}
	r, err := http.NewRequest("POST", address+"/api/jobs/J-1/entries", bytes.NewReader(body))
	if err != nil {
		return 0
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Authorization", "Bearer "+token)
	w, err := http.DefaultClient.Do(r)
	if err != nil {
		return 0
	}
	defer w.Body.Close()
	_, _ = io.Copy(io.Discard, w.Body)
	return w.StatusCode
}

func newID() string {
	var random [10]byte
	_, _ = rand.Read(random[:])
	return record.NewID(time.Now(), random)
}

// signedIn is a browser that signed in.
func signedIn(t *testing.T, address string) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	c := &http.Client{Jar: jar}
	w, err := c.PostForm(address+"/sign-in", url.Values{"person": {"ada"}, "password": {dockPassword}})
	if err != nil {
		t.Fatal(err)
	}
	defer w.Body.Close()
	if w.StatusCode != 200 || len(jar.Cookies(w.Request.URL)) == 0 {
		t.Fatalf("not signed in: status %d", w.StatusCode)
	}
	return c
}

// Two servers on one database: whoever looks at a page of the one hears of an
// entry that came through the other, and sees it; a sign-in holds at both. The
// database goes away under load and comes back: the servers live on, entries
// that are sent again arrive once, and pages hear of entries again.
func TestTwoServers(t *testing.T) {
	server := storetest.OwnServer(t)
	database := strings.Replace(server.Address, "postgres@", "postgres:secret@", 1) // the server asks for none
	token := dock(t, database)
	one, two := start(t, "--data "+database), start(t, "--data "+database)
	browser := signedIn(t, one.address)
	other, err := url.Parse(two.address)
	if err != nil {
		t.Fatal(err)
	}
	browser.Jar.SetCookies(other, browser.Jar.Cookies(other)) // cookies know no ports
	hints := listen(t, browser, two.address)
	hear := func(what string) {
		t.Helper()
		for {
			select {
			case line, open := <-hints:
				if !open {
					t.Fatalf("%s: the connection ended", what)
				}
				if strings.Contains(line, "job:J-1") {
					return
				}
			case <-time.After(30 * time.Second):
				t.Fatalf("%s: nothing is heard", what)
			}
		}
	}
	time.Sleep(200 * time.Millisecond) // until it listens
	if status := write(one.address, token, newID(), "grit in the casing"); status != 201 {
		t.Fatalf("status %d", status)
	}
	hear("an entry through the other server")
	if page := read(t, browser, two.address+"/search?q=grit"); !strings.Contains(page, "grit in the casing") {
		t.Error("the other server does not find the entry")
	}

	const writers, each = 4, 40
	var kept atomic.Int64
	var group sync.WaitGroup
	half := make(chan bool, writers)
	for w := range writers {
		address := []string{one.address, two.address}[w%2]
		group.Go(func() {
			for n := range each {
				id := newID()
				for status, until := 0, time.Now().Add(time.Minute); status != 200 && status != 201; {
					if status = write(address, token, id, fmt.Sprintf("writer %d, note %d", w, n)); status == 429 || status >= 500 || status == 0 {
						time.Sleep(50 * time.Millisecond)
					} else if status/100 != 2 || time.Now().After(until) {
						t.Errorf("status %d", status)
						return
					}
				}
				kept.Add(1)
				if n == each/4 {
					half <- true
				}
			}
		})
	}
	<-half
	server.Stop()
	time.Sleep(time.Second)
	if status := write(one.address, token, newID(), "while it is away"); status != 500 && status != 503 {
		t.Errorf("without its database it answers %d", status)
	}
	server.Start()
	group.Wait()
	s, err := shop.Home{Database: database}.Open(t.Context(), shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if damage, err := s.Check(t.Context()); err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
	j, err := s.Job(t.Context(), shop.Scope{Site: "main", Person: "ada", Roles: []access.Role{access.Lead}}, "J-1")
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]int{}
	for _, n := range j.State.Notes {
		there[n.Body.Text]++
	}
	for w := range writers {
		for n := range each {
			if words := fmt.Sprintf("writer %d, note %d", w, n); there[words] != 1 {
				t.Errorf("“%s” is there %d times", words, there[words])
			}
		}
	}
	t.Logf("%d notes through two servers", kept.Load())
	for len(hints) > 0 {
		<-hints
	}
	deadline := time.Now().Add(30 * time.Second) // the listener waits longer each time
	for heard := false; !heard && time.Now().Before(deadline); {
		write(one.address, token, newID(), "after it came back "+newID())
		select {
		case <-hints:
			heard = true
		case <-time.After(500 * time.Millisecond):
		}
		if !heard && time.Now().After(deadline) {
			t.Error("after the database came back nothing is heard")
		}
	}
	for _, p := range []*process{one, two} {
		if strings.Contains(p.said.String(), "secret") {
			t.Errorf("the log has the password: %s", p.said)
		}
	}
}

// listen gives the lines of the live connection of a page.
func listen(t *testing.T, browser *http.Client, address string) <-chan string {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	r, err := http.NewRequestWithContext(ctx, "GET", address+"/live", nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := browser.Do(r)
	if err != nil || w.StatusCode != 200 {
		t.Fatalf("no live connection: %v %v", w, err)
	}
	t.Cleanup(func() { stop(); _ = w.Body.Close() })
	lines := make(chan string, 10_000)
	go func() {
		defer close(lines)
		for scan := bufio.NewScanner(w.Body); scan.Scan(); {
			if strings.HasPrefix(scan.Text(), "data: ") {
				lines <- scan.Text()
			}
		}
	}()
	return lines
}

func read(t *testing.T, browser *http.Client, address string) string {
	t.Helper()
	w, err := browser.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Body.Close()
	text, err := io.ReadAll(w.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
