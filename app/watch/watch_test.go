package watch

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
)

func opened(t *testing.T) *shop.Shop {
	t.Helper()
	s, err := shop.OpenMemory(t.Context(), shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	if err := s.LoadDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	return s
}

func ask(s http.Handler, path, from string, headers ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("GET", path, nil)
	r.RemoteAddr = from
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

const here, elsewhere = "127.0.0.1:5000", "192.0.2.7:5000"

// A line of the Prometheus text exposition format 0.0.4: a comment, or a name
// with labels and a number.
var line = regexp.MustCompile(`^(# (HELP|TYPE) [a-zA-Z_:][a-zA-Z0-9_:]* .+|[a-zA-Z_:][a-zA-Z0-9_:]*(\{[a-z]+="([^"\\\n]|\\["\\n])*"(,[a-z]+="([^"\\\n]|\\["\\n])*")*\})? [0-9eE.+-]+)$`)

func TestMetrics(t *testing.T) {
	s := opened(t)
	pages := http.NewServeMux()
	pages.HandleFunc("GET /job/{job}", func(w http.ResponseWriter, r *http.Request) {
		if r.PathValue("job") == "none" {
			http.NotFound(w, r)
			return
		}
		_, _ = w.Write([]byte("12345"))
	})
	var log bytes.Buffer
	watch := New(Config{Shop: s, Version: `v1 "x"`, Log: slog.New(slog.NewJSONHandler(&log, nil))}, pages)
	for _, path := range []string{"/job/J-2041", "/job/J-2057?who=mira", "/job/none", "/nowhere/secret"} {
		ask(watch, path, elsewhere)
	}
	answer := ask(watch, MetricsPath, here)
	if answer.Code != http.StatusOK || !strings.HasPrefix(answer.Header().Get("Content-Type"), "text/plain; version=0.0.4") {
		t.Fatal(answer.Code, answer.Header())
	}
	text := answer.Body.String()
	if !strings.HasSuffix(text, "\n") {
		t.Error("the last line does not end")
	}
	values := map[string]float64{}
	for one := range strings.SplitSeq(strings.TrimSuffix(text, "\n"), "\n") {
		if !line.MatchString(one) {
			t.Errorf("not of the format: %s", one)
		}
		if i := strings.LastIndex(one, " "); one[0] != '#' {
			v, err := strconv.ParseFloat(one[i+1:], 64)
			if err != nil {
				t.Error(err)
			}
			if _, twice := values[one[:i]]; twice {
				t.Errorf("twice: %s", one)
			}
			values[one[:i]] = v
		}
	}
	for name, want := range map[string]float64{
		`pumpwright_request_seconds_count{route="GET /job/{job}",status="2xx"}`:            2,
		`pumpwright_request_seconds_count{route="GET /job/{job}",status="4xx"}`:            1,
		`pumpwright_request_seconds_bucket{route="GET /job/{job}",status="2xx",le="+Inf"}`: 2,
		`pumpwright_request_seconds_count{route="none",status="4xx"}`:                      1,
		`pumpwright_up`:                       1,
		`pumpwright_requests_under_way`:       1, // this one
		`pumpwright_info{version="v1 \"x\""}`: 1,
	} {
		if got, ok := values[name]; !ok || got != want {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
	for _, what := range []string{text, log.String()} {
		for _, secret := range []string{"J-2041", "J-2057", "mira", "192.0.2.7", "secret", "127.0.0.1"} {
			if strings.Contains(what, secret) {
				t.Errorf("%q is told: %s", secret, what)
			}
		}
	}
	if n := strings.Count(log.String(), `"route":"GET /job/{job}"`); n != 3 {
		t.Errorf("%d of 3 requests are in the log: %s", n, log.String())
	}
}

// The classes of a histogram hold what they say, and each those before it.
func TestHistogram(t *testing.T) {
	c := counts{routes: map[routeKey]*routeCount{}}
	for _, ms := range []int{0, 1, 2, 10, 11, 90, 100_000} {
		c.begin()
		c.end("x", 200, time.Duration(ms)*time.Millisecond)
	}
	r := c.routes[routeKey{"x", 2}]
	sum := uint64(0)
	for i, edge := range edges {
		sum += r.below[i]
		want := uint64(0)
		for _, ms := range []int{0, 1, 2, 10, 11, 90, 100_000} {
			if float64(ms)/1000 <= edge {
				want++
			}
		}
		if sum != want {
			t.Errorf("%d up to %g s, want %d", sum, edge, want)
		}
	}
	for i := range 2 * mostRoutes {
		c.begin()
		c.end(strconv.Itoa(i), 200, 0)
	}
	if len(c.routes) > mostRoutes+1 {
		t.Errorf("%d routes are kept", len(c.routes))
	}
}

func TestWhoMayMeasure(t *testing.T) {
	s := opened(t)
	lead, err := s.DemoScope(t.Context(), "odell")
	if err != nil {
		t.Fatal(err)
	}
	token := func(g access.Grant) string {
		secret, _, err := s.AddToken(t.Context(), lead, "meter", "odell", []access.Grant{g}, 0)
		if err != nil {
			t.Fatal(err)
		}
		return "Bearer " + secret
	}
	watch := New(Config{Shop: s}, http.NotFoundHandler())
	for _, c := range []struct {
		from    string
		headers []string
		status  int
	}{
		{here, nil, 200}, {"[::1]:9", nil, 200}, {elsewhere, nil, 401}, {"nonsense", nil, 401},
		{here, []string{"X-Forwarded-For", "198.51.100.1"}, 401}, {here, []string{"Forwarded", "for=198.51.100.1"}, 401},
		{elsewhere, []string{"Authorization", token(access.GrantRead)}, 200},
		{elsewhere, []string{"Authorization", token(access.GrantEnter)}, 401},
		{here, []string{"Authorization", "Bearer wrong"}, 401},
	} {
		if got := ask(watch, MetricsPath, c.from, c.headers...).Code; got != c.status {
			t.Errorf("from %s with %v: %d, want %d", c.from, c.headers, got, c.status)
		}
	}
}

func TestHealth(t *testing.T) {
	s := opened(t)
	watch := New(Config{Shop: s, Version: "v1"}, http.NotFoundHandler())
	look := func() (int, health) {
		answer := ask(watch, HealthPath, elsewhere)
		var h health
		if err := json.Unmarshal(answer.Body.Bytes(), &h); err != nil {
			t.Fatal(err)
		}
		return answer.Code, h
	}
	if code, h := look(); code != 200 || !h.OK || !h.Database || !h.Backup || h.Version != "v1" {
		t.Errorf("%d %+v", code, h)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if code, h := look(); code != 503 || h.OK || h.Database {
		t.Errorf("with its database gone: %d %+v", code, h)
	}
}

// A live answer is flushed through.
func TestFlushed(t *testing.T) {
	watch := New(Config{Shop: opened(t)}, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := http.NewResponseController(w).Flush(); err != nil {
			t.Error(err)
		}
	}))
	if !ask(watch, "/live", here).Flushed {
		t.Error("it was held back")
	}
}
