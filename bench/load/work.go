package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"io"
	random "math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/google/uuid"
	_ "modernc.org/sqlite" // the store's database
)

type client struct {
	base string
	http *http.Client

	mutex sync.Mutex
	took  map[string][]time.Duration
}

func newClient(base string) *client {
	return &client{base: base, took: map[string][]time.Duration{}, http: &http.Client{
		Timeout:   30 * time.Second,
		Transport: &http.Transport{MaxIdleConnsPerHost: 256, DisableCompression: true},
	}}
}

func freeAddress() (string, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", err
	}
	defer l.Close()
	return l.Addr().String(), nil
}

func (c *client) get(path string) (string, error) {
	r, err := c.http.Get(c.base + path)
	if err != nil {
		return "", err
	}
	defer r.Body.Close()
	text, err := io.ReadAll(r.Body)
	if err == nil && r.StatusCode >= 300 {
		err = fmt.Errorf("%s: status %d", path, r.StatusCode)
	}
	return string(text), err
}

// timed is a page whose time is kept.
func (c *client) timed(name, path string) (string, error) {
	begin := time.Now()
	text, err := c.get(path)
	c.note(name, time.Since(begin))
	return text, err
}

func (c *client) note(name string, d time.Duration) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.took[name] = append(c.took[name], d)
}

// receive opens a job on an invented pump and returns its name.
func (c *client) receive(i int) (string, error) {
	form := url.Values{"id": {uuid.Must(uuid.NewV7()).String()}, "tag": {fmt.Sprintf("LOAD-%d-%s", i, rand.Text()[:6])}, "sheet": {"demo-pump-m"}, "service": {"service-light-oil"}}
	request, err := http.NewRequest(http.MethodPost, c.base+"/receive", strings.NewReader(form.Encode()))
	if err != nil {
		return "", err
	}
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	request.Header.Set("Origin", c.base)
	r, err := c.http.Do(request)
	if err != nil {
		return "", err
	}
	defer r.Body.Close()
	_, _ = io.Copy(io.Discard, r.Body)
	parts := strings.Split(r.Request.URL.Path, "/")
	if len(parts) < 3 || parts[1] != "job" {
		return "", fmt.Errorf("receiving a pump led to %s, status %d", r.Request.URL.Path, r.StatusCode)
	}
	return parts[2], nil
}

var (
	hidden = regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)"`)
	asked  = regexp.MustCompile(`(?s)<form[^>]*id="form-reading".*?</form>`)
)

// read answers a page that asks for a reading and returns the page that
// follows.
func (c *client) read(job, page, value string) (string, error) {
	form := asked.FindString(page)
	if form == "" {
		return "", nil
	}
	fields := map[string]string{"t/values/0/text": value}
	letter := map[string]any{"id": uuid.Must(uuid.NewV7()).String(), "at": time.Now().UnixMicro(), "fields": fields}
	for _, m := range hidden.FindAllStringSubmatch(form, -1) {
		text := html.UnescapeString(m[2])
		if m[1][1] == '/' {
			fields[m[1]] = text
		} else if m[1] != "id" {
			letter[m[1]] = text
		}
	}
	body, err := json.Marshal(letter)
	if err != nil {
		return "", err
	}
	request, err := http.NewRequest(http.MethodPost, c.base+"/job/"+job+"/entry", bytes.NewReader(body))
	if err != nil {
		return "", err
	}
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("Origin", c.base)
	begin := time.Now()
	r, err := c.http.Do(request)
	if err != nil {
		return "", err
	}
	defer r.Body.Close()
	var answer struct{ Page, Problem string }
	if err := json.NewDecoder(r.Body).Decode(&answer); err != nil {
		return "", fmt.Errorf("entry: status %d: %w", r.StatusCode, err)
	}
	c.note("entry to its answer", time.Since(begin))
	if answer.Page == "" {
		return "", errors.New("entry: " + answer.Problem)
	}
	return answer.Page, nil
}

// work lets every tablet work at a job of its own: read, look, go on.
func (c *client) work(ctx context.Context, o options) error {
	ctx, stop := context.WithTimeout(ctx, o.seconds)
	defer stop()
	jobs := make([]string, o.tablets)
	for i := range jobs {
		var err error
		if jobs[i], err = c.receive(i); err != nil {
			return err
		}
	}
	c.took = map[string][]time.Duration{}
	problems := make(chan error, o.tablets)
	var group sync.WaitGroup
	for i, job := range jobs {
		group.Go(func() {
			// Nobody starts on a signal: the first turns are spread over one.
			rest(ctx, time.Duration(float64(8*o.pause)*random.Float64()))
			for turn := i; ctx.Err() == nil; turn++ {
				if err := c.turn(ctx, job, turn, o.pause); err != nil {
					problems <- err
					return
				}
			}
		})
	}
	group.Wait()
	close(problems)
	for err := range problems {
		return err
	}
	fmt.Printf("%d tablets for %v:\n", o.tablets, o.seconds)
	names := make([]string, 0, len(c.took))
	for name := range c.took {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		show(name, c.took[name], o.seconds)
	}
	return nil
}

// features are read again and again; each reading is an entry more.
var features = []struct{ name, value string }{
	{"casing-depth", "80.01 mm"}, {"rotor-height", "74.93 mm"}, {"head-boss", "5.46 mm"}, {"casing-bore", "160.12 mm"}, {"idler-pin-od", "29.98 mm"},
}

func (c *client) turn(ctx context.Context, job string, turn int, pause time.Duration) error {
	f := features[turn%len(features)]
	page, err := c.timed("page: reading", "/job/"+job+"/read/"+f.name+"?state=as-found")
	if err != nil {
		return err
	}
	for range 4 { // the places of one feature
		if page == "" || ctx.Err() != nil {
			break
		}
		if page, err = c.read(job, page, f.value); err != nil {
			return err
		}
		rest(ctx, pause)
	}
	for name, path := range map[string]string{"page: list": "/", "page: known": "/job/" + job + "/known", "page: search": "/search?q=load", "page: closing": "/job/" + job + "/close", "nothing": "/nothing"} {
		if _, err := c.timed(name, path); err != nil {
			return err
		}
		rest(ctx, pause/2)
	}
	if turn%10 == 0 {
		if _, err := c.timed("page: report", "/job/"+job+"/report"); err != nil {
			return err
		}
	}
	return nil
}

// rest waits, sometimes longer, so that tablets do not march in step.
func rest(ctx context.Context, pause time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(time.Duration(float64(pause) * (0.5 + random.Float64()))):
	}
}

func show(name string, took []time.Duration, over time.Duration) {
	slices.Sort(took)
	at := func(share float64) float64 { return took[int(share*float64(len(took)-1))].Seconds() * 1e3 }
	fmt.Printf("  %-22s %7d, %6.1f a second, p50 %7.2f ms, p99 %7.2f ms, most %7.2f ms\n", name, len(took), float64(len(took))/over.Seconds(), at(0.5), at(0.99), at(1))
}

// bare is what the disk and the database can do by themselves: one row, one
// commit, as durable as the store's.
func bare(ctx context.Context) error {
	folder, err := os.MkdirTemp("", "bare")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, "bare.db")+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)")
	if err != nil {
		return err
	}
	defer db.Close()
	if _, err := db.ExecContext(ctx, "CREATE TABLE row (id INTEGER PRIMARY KEY, text TEXT)"); err != nil {
		return err
	}
	text := strings.Repeat("x", 400)
	var took []time.Duration
	start := time.Now()
	for range 1000 {
		begin := time.Now()
		if _, err := db.ExecContext(ctx, "INSERT INTO row (text) VALUES (?)", text); err != nil {
			return err
		}
		took = append(took, time.Since(begin))
	}
	fmt.Println("the bare limits of this machine:")
	show("insert and commit", took, time.Since(start))
	return nil
}
