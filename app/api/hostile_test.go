package api

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// hostile are texts that mean something to a page, a database, a file system, a
// spreadsheet or a log.
var hostile = []string{
	`<script>alert(1)</script>`, `'; DROP TABLE entries; --`, `../../etc/passwd`, "a\x00b", "line\r\nSet-Cookie: x=1", "{{.}}", "%s%n", "=1+1",
	"\u202egpj.exe", strings.Repeat("A", 70_000), "\ud7ff\ufffd", "-1e999", "NaN",
}

// Every text of every body, and every part of every address and question,
// takes hostile texts: no answer fails, each is one that the document names, no
// header is made of them, and the shop is whole afterwards.
func TestHostileTexts(t *testing.T) {
	b, calls := furnished(t)
	lead, schemas, all := b.lead(), b.schemas(), operations(b.server.Document())
	tries := 0
	ask := func(c call) {
		tries++
		w := b.do(lead, c)
		if w.Code >= 500 || w.Code == 401 {
			t.Errorf("%s %.80q %.120q: status %d: %s", c.operation, c.path, c.body, w.Code, w.Body)
			return
		}
		if w.Header().Get("Set-Cookie") != "" || strings.Contains(w.Header().Get("Content-Disposition"), "/") {
			t.Errorf("%s: headers %v", c.operation, w.Header())
		}
		if w.Code >= 400 {
			schemas.check(all[c.operation], w)
		}
	}
	for _, c := range calls {
		switch c.operation {
		case "end-token", "forget-person", "set-password": // they would end what asks
			continue
		}
		for _, text := range hostile {
			parts := strings.SplitN(c.path, "?", 2)
			segments := strings.Split(parts[0], "/")
			for i := 2; i < len(segments) && len(text) < 1000; i++ {
				changed := c
				with := append([]string(nil), segments...)
				with[i] = url.PathEscape(text)
				changed.path = strings.Join(with, "/")
				r := b.do(lead, changed)
				if tries++; r.Code >= 500 {
					t.Errorf("%s %q: status %d", changed.method, changed.path, r.Code)
				}
			}
			if len(parts) == 2 && len(text) < 1000 {
				query, err := url.ParseQuery(parts[1])
				if err != nil {
					t.Fatal(err)
				}
				for name := range query {
					with := url.Values{}
					for other := range query {
						with[other] = query[other]
					}
					with.Set(name, text)
					changed := c
					changed.path = parts[0] + "?" + with.Encode()
					ask(changed)
				}
			}
			if c.kind != "" || c.body == "" {
				continue
			}
			var body any
			if err := json.Unmarshal([]byte(c.body), &body); err != nil {
				t.Fatal(err)
			}
			for _, with := range withText(body, text) {
				raw, err := json.Marshal(with)
				if err != nil {
					t.Fatal(err)
				}
				changed := c
				changed.body = string(raw)
				ask(changed)
			}
		}
		b.clock.pass(time.Second)
	}
	if damage, err := b.shop.Check(t.Context()); err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
	if w := b.do(lead, call{method: http.MethodGet, path: "/jobs/J-2063"}); w.Code != http.StatusOK {
		t.Errorf("a job afterwards: status %d", w.Code)
	}
	t.Logf("%d requests", tries)
}

// withText gives a value with one of its texts replaced, each in its turn.
func withText(v any, text string) []any {
	switch v := v.(type) {
	case string:
		return []any{text}
	case map[string]any:
		var list []any
		for name := range v {
			for _, changed := range withText(v[name], text) {
				one := map[string]any{}
				for other := range v {
					one[other] = v[other]
				}
				one[name] = changed
				list = append(list, one)
			}
		}
		return list
	case []any:
		var list []any
		for i := range v {
			for _, changed := range withText(v[i], text) {
				one := append([]any(nil), v...)
				one[i] = changed
				list = append(list, one)
			}
		}
		return list
	}
	return nil
}
