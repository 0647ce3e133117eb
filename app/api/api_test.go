package api

import (
	"bytes"
	std "context"
	"encoding/json"
	"fmt"
	"html/template"
	"image"
	"image/png"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/store"
	"pumpwright/app/store/storetest"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// clock is a clock that tests move.
type clock struct {
	mutex sync.Mutex
	at    time.Time
}

func (c *clock) now() time.Time {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return c.at
}

func (c *clock) pass(d time.Duration) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.at = c.at.Add(d)
}

// bench is the invented shop, and another site beside it in the same store.
type bench struct {
	t      *testing.T
	clock  *clock
	store  store.Store
	shop   *shop.Shop
	server *Server
}

const demoSite, otherSite = "demo", "other"

func newBench(t *testing.T, config Config) *bench {
	t.Helper()
	ctx := std.Background()
	db := storetest.Open(t)
	b := &bench{t: t, clock: &clock{at: time.Date(2026, 9, 1, 8, 0, 0, 0, time.UTC)}, store: db}
	b.shop = shop.New(db, shop.Options{Now: b.clock.now})
	t.Cleanup(func() {
		if err := b.shop.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := b.shop.LoadDemo(ctx); err != nil {
		t.Fatal(err)
	}
	if err := db.AddSite(ctx, store.Site{ID: otherSite, Name: "Another Dock (invented)", Created: record.TimeOf(b.clock.now())}); err != nil {
		t.Fatal(err)
	}
	config.Shop, config.Now = b.shop, b.clock.now
	server, err := New(config)
	if err != nil {
		t.Fatal(err)
	}
	b.server = server
	return b
}

// everything is all that a token can be given.
var everything = access.Grants()

// token lets a program in that acts for somebody with these roles.
func (b *bench) token(site string, roles []access.Role, grants ...access.Grant) string {
	b.t.Helper()
	ctx := std.Background()
	names, given := make([]string, len(roles)), make([]string, len(grants))
	for i := range roles {
		names[i] = string(roles[i])
	}
	for i := range grants {
		given[i] = string(grants[i])
	}
	person := site + "-" + strings.Join(names, "-")
	if err := b.store.PutPerson(ctx, site, store.Person{ID: person, Name: person, Roles: names}); err != nil {
		b.t.Fatal(err)
	}
	secret := fmt.Sprintf("secret of %s for %v", person, given)
	if _, err := b.store.TokenBySecret(ctx, access.Kept(secret)); err == nil {
		return secret
	}
	err := b.store.PutToken(ctx, store.Token{Secret: access.Kept(secret), ID: secret, Site: site, Person: person, Name: "test", Scopes: given, Created: record.TimeOf(b.clock.now())})
	if err != nil {
		b.t.Fatal(err)
	}
	return secret
}

func (b *bench) lead() string { return b.token(demoSite, access.Roles(), everything...) }

// call is one request.
type call struct {
	operation    string
	method, path string
	body         string
	kind         string // of the body; JSON when empty
	header       http.Header
	status       int
}

func (b *bench) do(token string, c call) *httptest.ResponseRecorder {
	b.t.Helper()
	r := httptest.NewRequest(c.method, Root+c.path, strings.NewReader(c.body))
	for name, values := range c.header {
		r.Header[name] = values
	}
	if c.body != "" {
		r.Header.Set("Content-Type", "application/json")
		if c.kind != "" {
			r.Header.Set("Content-Type", c.kind)
		}
	}
	if token != "" {
		r.Header.Set("Authorization", "Bearer "+token)
	}
	w := httptest.NewRecorder()
	b.server.ServeHTTP(w, r)
	return w
}

func picture(t *testing.T) string {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30))); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// ids of entries that tests write.
func id(n int) string { return fmt.Sprintf("0199c0de-0000-7000-8000-%012d", n) }

// calls asks every operation of the document at least once; later ones rest on
// what earlier ones wrote.
func (b *bench) calls() []call {
	sheet, err := b.shop.Paper(std.Background(), b.scope(), shop.Sheets, "demo-pump-m", 0)
	if err != nil {
		b.t.Fatal(err)
	}
	service := b.anyPaper(shop.Services)
	liquid := b.anyPaper(shop.Liquids)
	quote, owner, device := b.aQuote("J-2063"), b.ownerOf("J-2041"), b.aTablet()
	return []call{
		{operation: "who-am-i", method: "GET", path: "/me", status: 200},
		{operation: "list-jobs", method: "GET", path: "/jobs", status: 200},
		{operation: "get-job", method: "GET", path: "/jobs/J-2063", status: 200},
		{operation: "get-assessment", method: "GET", path: "/jobs/J-2063/assessment?working=true", status: 200},
		{operation: "list-entries", method: "GET", path: "/jobs/J-2063/entries?limit=7", status: 200},
		{operation: "receive-pump", method: "POST", path: "/jobs", body: text(map[string]any{"id": id(1), "job": "J-9001", "tag": "P-9", "sheet": "demo-pump-m"}), status: 201},
		{operation: "add-entry", method: "POST", path: "/jobs/J-9001/entries", body: text(map[string]any{"id": id(2), "kind": "note", "body": map[string]any{"text": "a note"}}), status: 201},
		{operation: "void-entry", method: "POST", path: "/jobs/J-9001/entries/" + id(2) + "/void", body: text(map[string]any{"id": id(3), "reason": "wrong job"}), status: 201},
		{operation: "add-photo", method: "POST", path: "/jobs/J-9001/photos?id=" + id(4) + "&part=rotor", body: picture(b.t), kind: "image/png", status: 201},
		{operation: "add-paper", method: "POST", path: "/jobs/J-9001/papers?id=" + id(5) + "&name=order", body: "%PDF-1.4\n%%EOF\n", kind: "application/pdf", status: 201},
		{operation: "list-files", method: "GET", path: "/jobs/J-9001/files", status: 200},
		{operation: "get-file", method: "GET", path: "/jobs/J-9001/files/{photo}", status: 200},
		{operation: "list-pumps", method: "GET", path: "/pumps?limit=1", status: 200},
		{operation: "save-pump", method: "PUT", path: "/pumps/S-77", body: text(map[string]any{"id": id(6), "serial": "S-77", "tag": "P-9"}), status: 204},
		{operation: "get-pump", method: "GET", path: "/pumps/S-77", status: 200},
		{operation: "search", method: "GET", path: "/search?words=P-9", status: 200},
		{operation: "list-sheets", method: "GET", path: "/sheets", status: 200},
		{operation: "get-sheet", method: "GET", path: "/sheets/demo-pump-m", status: 200},
		{operation: "list-sheet-versions", method: "GET", path: "/sheets/demo-pump-m/versions", status: 200},
		{operation: "check-sheet", method: "POST", path: "/sheets/demo-pump-m/check", body: text(map[string]any{"text": sheet.Text}), status: 200},
		{operation: "save-sheet", method: "PUT", path: "/sheets/demo-pump-m", body: text(map[string]any{"text": sheet.Text + "\n# again\n", "reason": "test"}), status: 200},
		{operation: "list-services", method: "GET", path: "/services", status: 200},
		{operation: "get-service", method: "GET", path: "/services/" + service.Name, status: 200},
		{operation: "list-service-versions", method: "GET", path: "/services/" + service.Name + "/versions", status: 200},
		{operation: "check-service", method: "POST", path: "/services/" + service.Name + "/check", body: text(map[string]any{"text": service.Text}), status: 200},
		{operation: "save-service", method: "PUT", path: "/services/" + service.Name, body: text(map[string]any{"text": service.Text + "\n# again\n", "reason": "test"}), status: 200},
		{operation: "list-liquids", method: "GET", path: "/liquids", status: 200},
		{operation: "check-liquid", method: "POST", path: "/liquids/test-oil/check", body: text(map[string]any{"text": liquid.Text}), status: 200},
		{operation: "save-liquid", method: "PUT", path: "/liquids/test-oil", body: text(map[string]any{"text": liquid.Text, "reason": "test"}), status: 200},
		{operation: "get-liquid", method: "GET", path: "/liquids/test-oil", status: 200},
		{operation: "list-liquid-versions", method: "GET", path: "/liquids/test-oil/versions", status: 200},
		{operation: "list-calculators", method: "GET", path: "/calculators", status: 200},
		{operation: "get-calculator", method: "GET", path: "/calculators/convert", status: 200},
		{operation: "run-calculator", method: "POST", path: "/calculators/convert?working=true", body: `{"value":"1 in","to":"mm"}`, status: 200},
		{operation: "list-instruments", method: "GET", path: "/instruments", status: 200},
		{operation: "save-instrument", method: "POST", path: "/instruments", body: text(map[string]any{"id": id(21), "fields": map[string]any{"id": "X-7", "kind": "caliper"}}), status: 200},
		{operation: "move-stock", method: "POST", path: "/stock", body: text(map[string]any{"id": id(22), "kind": "stock-in", "body": map[string]any{"item": "gasket-x", "count": 3}, "confirmed": true}), status: 204},
		{operation: "get-stock", method: "GET", path: "/stock", status: 200},
		{operation: "get-settings", method: "GET", path: "/settings", status: 200},
		{operation: "save-settings", method: "PUT", path: "/settings", body: text(map[string]any{"id": id(23), "fields": map[string]any{"bench_temperature": "21 °C"}}), status: 204},
		{operation: "get-backup", method: "GET", path: "/backup", status: 200},
		{operation: "list-people", method: "GET", path: "/people", status: 200},
		{operation: "save-person", method: "PUT", path: "/people/new-hand", body: `{"name":"New Hand","roles":["technician"]}`, status: 204},
		{operation: "share-job", method: "POST", path: "/jobs/J-2063/links", body: `{"days":2}`, status: 201},
		{operation: "list-links", method: "GET", path: "/jobs/J-2063/links", status: 200},
		{operation: "end-link", method: "DELETE", path: "/links/none", status: 204},
		{operation: "set-password", method: "PUT", path: "/people/new-hand/password", body: `{"password":"the kettle hums on the quay"}`, status: 204},
		{operation: "set-pin", method: "PUT", path: "/people/new-hand/pin", body: `{"pin":"730418"}`, status: 204},
		{operation: "list-sign-ins", method: "GET", path: "/people/new-hand/sign-ins", status: 200},
		{operation: "end-sign-ins", method: "DELETE", path: "/people/new-hand/sign-ins?id=none", status: 204},
		{operation: "add-tablet", method: "POST", path: "/tablets", body: `{"name":"bench 2"}`, status: 201},
		{operation: "list-tablets", method: "GET", path: "/tablets", status: 200},
		{operation: "end-tablet", method: "DELETE", path: "/tablets/" + device, status: 204},
		{operation: "forget-person", method: "DELETE", path: "/people/new-hand", status: 204},
		{operation: "which-pump", method: "POST", path: "/which-pump", body: `{"measured":{}}`, status: 200},
		{operation: "try-entry", method: "POST", path: "/jobs/J-9001/try", body: text(map[string]any{"kind": "note", "body": map[string]any{"text": "a note"}}), status: 200},
		{operation: "get-report-pdf", method: "GET", path: "/jobs/J-2063/report.pdf?size=letter&working=true", status: 200},
		{operation: "draft-quote", method: "GET", path: "/jobs/J-2063/quotes/draft", status: 200},
		{operation: "list-quotes", method: "GET", path: "/jobs/J-2063/quotes", status: 200},
		{operation: "get-quote-pdf", method: "GET", path: "/jobs/J-2063/quotes/" + quote + "/pdf", status: 200},
		{operation: "get-job-shelf", method: "GET", path: "/jobs/J-2063/shelf", status: 200},
		{operation: "put-left-over", method: "POST", path: "/jobs/J-2063/left/none", status: 422},
		{operation: "get-pump-history", method: "GET", path: "/pumps/KQ-0187/history?units=inch", status: 200},
		{operation: "get-pump-history-pdf", method: "GET", path: "/pumps/KQ-0187/history.pdf", status: 200},
		{operation: "write-meter", method: "POST", path: "/pumps/KQ-0187/meter", body: text(map[string]any{"id": id(31), "hours": 41234}), status: 204},
		{operation: "get-fleet", method: "GET", path: "/fleet?part=shaft-seal", status: 200},
		{operation: "list-due", method: "GET", path: "/due?all=true", status: 200},
		{operation: "get-due-calendar", method: "GET", path: "/due/pumps-due.ics", status: 200},
		{operation: "share-calendar", method: "POST", path: "/due/calendars", body: `{"days":30,"note":"planner"}`, status: 201},
		{operation: "list-calendars", method: "GET", path: "/due/calendars", status: 200},
		{operation: "get-learned", method: "GET", path: "/learned", status: 200},
		{operation: "get-review-pdf", method: "GET", path: "/review.pdf?year=2026&owner=" + url.QueryEscape(owner), status: 200},
		{operation: "take-table", method: "POST", path: "/tables/pumps?keep=true", body: "serial,tag\nS-78,P-10\n", kind: "text/csv", status: 200},
		{operation: "get-table", method: "GET", path: "/tables/readings?format=csv", status: 200},
		{operation: "get-entries", method: "GET", path: "/archive/entries.jsonl", status: 200},
		{operation: "get-archive", method: "GET", path: "/archive", status: 200},
		{operation: "put-archive", method: "PUT", path: "/archive", body: "PK", kind: "application/zip", status: 422},
		{operation: "list-tokens", method: "GET", path: "/tokens", status: 200},
		{operation: "add-token", method: "POST", path: "/tokens", body: `{"name":"balance","person":"mira","grants":["manage"]}`, status: 201},
		{operation: "end-token", method: "DELETE", path: "/tokens/none", status: 204},
		{operation: "list-hooks", method: "GET", path: "/hooks", status: 200},
		{operation: "add-hook", method: "POST", path: "/hooks", body: `{"address":"https://host.example/pumps"}`, status: 201},
		{operation: "list-deliveries", method: "GET", path: "/hooks/none/deliveries", status: 200},
		{operation: "drop-hook", method: "DELETE", path: "/hooks/none", status: 204},
	}
}

// aQuote is the number of a quote of a job, made when there is none.
func (b *bench) aQuote(name string) string {
	b.t.Helper()
	ctx := std.Background()
	list, err := b.shop.Quotes(ctx, b.scope(), name)
	if err != nil {
		b.t.Fatal(err)
	}
	if len(list) == 0 {
		q, _, err := b.shop.DraftQuote(ctx, b.scope(), name, offer.Asked{Step: job.QuoteTeardown})
		if err != nil {
			b.t.Fatal(err)
		}
		if _, err := b.shop.Add(ctx, b.scope(), name, shop.NewEntry{ID: id(40), Kind: job.KindQuote, Body: []byte(text(q))}); err != nil {
			b.t.Fatal(err)
		}
		return q.Number
	}
	return list[0].Number
}

func (b *bench) ownerOf(name string) string {
	b.t.Helper()
	j, err := b.shop.Job(std.Background(), b.scope(), name)
	if err != nil {
		b.t.Fatal(err)
	}
	return j.State.Open.Body.Owner
}

// aTablet is the id of a tablet of the site, made when there is none.
func (b *bench) aTablet() string {
	b.t.Helper()
	list, err := b.shop.Tablets(std.Background(), b.scope())
	if err != nil {
		b.t.Fatal(err)
	}
	if len(list) > 0 {
		return list[0].ID
	}
	_, made, err := b.shop.PairingCode(std.Background(), b.scope(), "bench 1")
	if err != nil {
		b.t.Fatal(err)
	}
	return made.ID
}

func (b *bench) scope() shop.Scope {
	return shop.Scope{Site: demoSite, Person: "ines", Roles: access.Roles()}
}

// anyPaper returns a text of the demo; liquids have one of their own here.
func (b *bench) anyPaper(kind shop.PaperKind) shop.Paper {
	list, err := b.shop.Papers(std.Background(), b.scope(), kind)
	if err != nil {
		b.t.Fatal(err)
	}
	for _, p := range list {
		if p, err = b.shop.Paper(std.Background(), b.scope(), kind, p.Name, 0); err == nil {
			return p
		}
	}
	return shop.Paper{Text: "name: test oil\ndensity: 900 kg/m3\nviscosity: [{temperature: 40 °C, value: 100 mm2/s}, {temperature: 100 °C, value: 11 mm2/s}]\n"}
}

func text(v any) string {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(raw)
}

// operations are those of the document by id.
func operations(doc *huma.OpenAPI) map[string]*huma.Operation {
	list := map[string]*huma.Operation{}
	for _, item := range doc.Paths {
		for _, o := range []*huma.Operation{item.Get, item.Head, item.Post, item.Put, item.Patch, item.Delete} {
			if o != nil {
				list[o.OperationID] = o
			}
		}
	}
	return list
}

// schemas checks answers against the document as it is served.
type schemas struct {
	t        *testing.T
	compiler *jsonschema.Compiler
}

func (b *bench) schemas() schemas {
	b.t.Helper()
	served := b.do("", call{method: "GET", path: "/openapi.json"})
	if served.Code != 200 {
		b.t.Fatalf("the document: status %d", served.Code)
	}
	doc, err := jsonschema.UnmarshalJSON(served.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.DefaultDraft(jsonschema.Draft2020)
	compiler.AssertFormat()
	if err := compiler.AddResource("mem:///openapi.json", doc); err != nil {
		b.t.Fatal(err)
	}
	return schemas{b.t, compiler}
}

func pointer(parts ...string) string {
	for i := range parts {
		parts[i] = strings.NewReplacer("~", "~0", "/", "~1").Replace(parts[i])
	}
	return strings.Join(parts, "/")
}

// check fails when an answer is not what the document says.
func (s schemas) check(o *huma.Operation, w *httptest.ResponseRecorder) {
	s.t.Helper()
	status := fmt.Sprint(w.Code)
	response := o.Responses[status]
	if response == nil {
		s.t.Errorf("%s: the document has no answer %s", o.OperationID, status)
		return
	}
	kind, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
	if w.Body.Len() == 0 {
		return
	}
	if response.Content[kind] == nil {
		s.t.Errorf("%s: the document has no %s for %s", o.OperationID, kind, status)
		return
	}
	if !strings.HasSuffix(kind, "json") {
		return
	}
	at := "mem:///openapi.json#/" + pointer("paths", o.Path, strings.ToLower(o.Method), "responses", status, "content", kind, "schema")
	compiled, err := s.compiler.Compile(at)
	if err != nil {
		s.t.Errorf("%s: %v", o.OperationID, err)
		return
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(w.Body.Bytes()))
	if err != nil {
		s.t.Errorf("%s: %v", o.OperationID, err)
		return
	}
	if err := compiled.Validate(value); err != nil {
		s.t.Errorf("%s: the answer is not as the document says: %v", o.OperationID, err)
	}
}

// Every operation of the document is asked, nothing else is, and each answer
// is what the document says.
func TestDocument(t *testing.T) {
	b := newBench(t, Config{})
	lead, schemas, all := b.lead(), b.schemas(), operations(b.server.Document())
	photo := ""
	for _, c := range b.calls() {
		o := all[c.operation]
		if o == nil {
			t.Errorf("%s is not in the document", c.operation)
			continue
		}
		c.path = strings.Replace(c.path, "{photo}", photo, 1)
		w := b.do(lead, c)
		if w.Code != c.status {
			t.Errorf("%s: status %d: %s", c.operation, w.Code, w.Body)
			continue
		}
		if c.operation == "add-photo" {
			var a struct {
				Entry struct{ Body struct{ Blob string } }
			}
			if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
				t.Fatal(err)
			}
			photo = a.Entry.Body.Blob
		}
		schemas.check(o, w)
		b.clock.pass(time.Minute)
		nobody := b.do("", c)
		if nobody.Code != 401 {
			t.Errorf("%s without a token: status %d", c.operation, nobody.Code)
		}
		schemas.check(o, nobody)
	}
	asked := map[string]bool{}
	for _, c := range b.calls() {
		asked[c.operation] = true
	}
	for id, o := range all {
		if !asked[id] {
			t.Errorf("%s is in the document and never asked", id)
		}
		if o.Summary == "" || len(o.Tags) != 1 {
			t.Errorf("%s has no summary, or not one tag", id)
		}
	}
}

// Every example of the document is what its schema says.
func TestExamples(t *testing.T) {
	b := newBench(t, Config{})
	s, count := b.schemas(), 0
	for name, one := range b.server.Document().Components.Schemas.Map() {
		for field, p := range one.Properties {
			for _, example := range p.Examples {
				compiled, err := s.compiler.Compile("mem:///openapi.json#/" + pointer("components", "schemas", name, "properties", field))
				if err != nil {
					t.Fatal(err)
				}
				raw, err := jsonschema.UnmarshalJSON(strings.NewReader(text(example)))
				if err != nil {
					t.Fatal(err)
				}
				if err := compiled.Validate(raw); err != nil {
					t.Errorf("%s.%s: %v", name, field, err)
				}
				count++
			}
		}
	}
	if count < 5 {
		t.Errorf("only %d examples were found", count)
	}
}

// An entry sent again is kept once; with other content it is refused.
func TestSentAgain(t *testing.T) {
	b := newBench(t, Config{})
	lead := b.lead()
	note := func(words string) call {
		return call{method: "POST", path: "/jobs/J-2063/entries", body: text(map[string]any{"id": id(7), "kind": "note", "body": map[string]any{"text": words}})}
	}
	first, second := b.do(lead, note("one")), b.do(lead, note("one"))
	if first.Code != 201 || second.Code != 200 {
		t.Errorf("status %d, then %d: %s", first.Code, second.Code, second.Body)
	}
	if first.Header().Get("ETag") != second.Header().Get("ETag") {
		t.Error("the entry was kept twice")
	}
	if other := b.do(lead, note("two")); other.Code != 409 && other.Code != 422 {
		t.Errorf("other content under the same id: status %d: %s", other.Code, other.Body)
	}
}

// Asking again costs nothing while nobody wrote, and an entry can depend on it.
func TestConditional(t *testing.T) {
	b := newBench(t, Config{})
	lead := b.lead()
	for _, path := range []string{"/jobs/J-2063", "/jobs/J-2063/assessment", "/jobs/J-2063/entries", "/jobs/J-2063/files", "/sheets/demo-pump-m"} {
		first := b.do(lead, call{method: "GET", path: path})
		etag := first.Header().Get("ETag")
		again := b.do(lead, call{method: "GET", path: path, header: http.Header{"If-None-Match": {`"other", W/` + etag}}})
		if first.Code != 200 || etag == "" || again.Code != 304 || again.Body.Len() != 0 {
			t.Errorf("%s: status %d (%s), then %d: %s", path, first.Code, etag, again.Code, again.Body)
		}
	}
	head := b.do(lead, call{method: "GET", path: "/jobs/J-2063"}).Header().Get("ETag")
	write := func(n int, head string) int {
		return b.do(lead, call{method: "POST", path: "/jobs/J-2063/entries", header: http.Header{"If-Match": {head}},
			body: text(map[string]any{"id": id(n), "kind": "note", "body": map[string]any{"text": "x"}})}).Code
	}
	if a, again, late := write(1, head), write(1, head), write(2, head); a != 201 || again != 200 || late != 412 {
		t.Errorf("with the head it follows: %d, the same again: %d, another with the old head: %d", a, again, late)
	}
	if w := b.do(lead, call{method: "GET", path: "/jobs/J-2063", header: http.Header{"If-None-Match": {head}}}); w.Code != 200 {
		t.Errorf("after an entry: status %d", w.Code)
	}
}

// Pages join without gap and without twice.
func TestPaging(t *testing.T) {
	b := newBench(t, Config{})
	lead := b.lead()
	var seqs []int64
	for after := int64(0); ; {
		var page struct {
			Entries []struct{ Seq int64 }
			More    int64
			Seq     int64
		}
		read(t, b.do(lead, call{method: "GET", path: fmt.Sprintf("/jobs/J-2063/entries?limit=5&after=%d", after)}), &page)
		for _, e := range page.Entries {
			seqs = append(seqs, e.Seq)
		}
		if after = page.More; after == 0 {
			if int64(len(seqs)) != page.Seq {
				t.Errorf("%d entries of %d", len(seqs), page.Seq)
			}
			break
		}
	}
	for i, seq := range seqs {
		if seq != int64(i+1) {
			t.Fatalf("entry %d in place %d", seq, i+1)
		}
	}
	seen := map[string]bool{}
	for after := ""; ; {
		var page struct {
			Groups []struct {
				Count int
				More  string
				Jobs  []struct{ Job string }
			}
		}
		read(t, b.do(lead, call{method: "GET", path: "/jobs?waits=hand&limit=1&after=" + after}), &page)
		if len(page.Groups) == 0 || len(page.Groups[0].Jobs) == 0 {
			break
		}
		g := page.Groups[0]
		if seen[g.Jobs[0].Job] {
			t.Fatalf("%s twice", g.Jobs[0].Job)
		}
		seen[g.Jobs[0].Job] = true
		if after = g.More; after == "" {
			break
		}
	}
	if len(seen) == 0 {
		t.Error("no job came")
	}
}

func read(t *testing.T, w *httptest.ResponseRecorder, into any) {
	t.Helper()
	if w.Code/100 != 2 {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), into); err != nil {
		t.Fatal(err)
	}
}

// What is refused says why, as RFC 9457 has it.
func TestProblems(t *testing.T) {
	b := newBench(t, Config{})
	lead := b.lead()
	for _, c := range []struct {
		call
		says string
	}{
		{call{method: "GET", path: "/nothing", status: 404}, "no such thing"},
		{call{method: "GET", path: "/jobs/J-none", status: 404}, "no such thing"},
		{call{method: "GET", path: "/calculators/none", status: 404}, "no such thing"},
		{call{method: "GET", path: "/jobs?limit=0", status: 422}, "limit"},
		{call{method: "GET", path: "/jobs?unknown=1", status: 422}, "unknown"},
		{call{method: "POST", path: "/jobs", body: "{}", status: 422}, "neither a tag nor a serial number"},
		{call{method: "POST", path: "/jobs", body: "{", status: 400}, ""},
		{call{method: "POST", path: "/jobs/J-2063/entries", body: `{"kind":"nonsense","body":{}}`, status: 422}, "nonsense"},
		{call{method: "POST", path: "/calculators/convert", body: `{"value":"1 in","to":"kg"}`, status: 422}, "kg"},
		{call{method: "POST", path: "/jobs/J-2063/entries", body: `{"kind":"note","body":{"text":"` + strings.Repeat("x", 2<<20) + `"}}`, status: 413}, ""},
		{call{method: "POST", path: "/jobs/J-2063/photos", body: "no picture", kind: "image/png", status: 422}, "no photo"},
	} {
		w := b.do(lead, c.call)
		var p struct {
			Type, Title, Detail string
			Status              int
			Errors              []any
		}
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
			t.Errorf("%s %s: %v: %s", c.method, c.path, err, w.Body)
			continue
		}
		if w.Code != c.status || p.Status != c.status || p.Title == "" || w.Header().Get("Content-Type") != "application/problem+json" {
			t.Errorf("%s %s: status %d, %s: %s", c.method, c.path, w.Code, w.Header().Get("Content-Type"), w.Body)
		}
		if !strings.Contains(w.Body.String(), c.says) {
			t.Errorf("%s %s does not say %q: %s", c.method, c.path, c.says, w.Body)
		}
	}
}

// A token that does not hold lets nobody in, and guessing is slow.
func TestTokens(t *testing.T) {
	b := newBench(t, Config{})
	me := call{method: "GET", path: "/me"}
	person := b.scope()
	secret, token, err := b.shop.AddToken(std.Background(), person, "short", "mira", []access.Grant{access.GrantRead}, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if w := b.do(secret, me); w.Code != 200 {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	write := call{method: "POST", path: "/jobs/J-2063/entries", body: `{"kind":"note","body":{"text":"x"}}`}
	if w := b.do(secret, write); w.Code != 403 {
		t.Errorf("a token for reading wrote: status %d", w.Code)
	}
	b.clock.pass(2 * time.Hour)
	if w := b.do(secret, me); w.Code != 401 || w.Header().Get("WWW-Authenticate") == "" {
		t.Errorf("a token that ended: status %d", w.Code)
	}
	secret, token, err = b.shop.AddToken(std.Background(), person, "long", "mira", []access.Grant{access.GrantRead}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.shop.EndToken(std.Background(), person, token.ID); err != nil {
		t.Fatal(err)
	}
	if w := b.do(secret, me); w.Code != 401 {
		t.Errorf("a token that was ended: status %d", w.Code)
	}
	many := 0
	for i := range 60 {
		switch w := b.do(fmt.Sprint("guess ", i), me); w.Code {
		case 401:
		case 429:
			if many++; w.Header().Get("Retry-After") == "" {
				t.Fatal("no word of when to come again")
			}
		default:
			t.Fatalf("status %d", w.Code)
		}
	}
	if many < 30 {
		t.Errorf("only %d of 60 guesses were put off", many)
	}
	if w := b.do(b.lead(), me); w.Code != 200 {
		t.Errorf("a token that holds was put off with the guesses: status %d", w.Code)
	}
}

// Each program may ask so often; another one is not held up by it.
func TestRate(t *testing.T) {
	b := newBench(t, Config{Rate: Rate{AtOnce: 3, PerSecond: 1}})
	one, other, me := b.lead(), b.token(demoSite, []access.Role{access.Reader}, access.GrantRead), call{method: "GET", path: "/me"}
	for range 3 {
		if w := b.do(one, me); w.Code != 200 {
			t.Fatalf("status %d", w.Code)
		}
	}
	if w := b.do(one, me); w.Code != 429 || w.Header().Get("Retry-After") != "1" {
		t.Errorf("status %d, again in %q", w.Code, w.Header().Get("Retry-After"))
	}
	if w := b.do(other, me); w.Code != 200 {
		t.Errorf("another program: status %d", w.Code)
	}
	b.clock.pass(time.Second)
	if w := b.do(one, me); w.Code != 200 {
		t.Errorf("a second later: status %d", w.Code)
	}
}

// The page shows every operation and asks no other host.
func TestPage(t *testing.T) {
	b := newBench(t, Config{})
	w := b.do("", call{method: "GET"})
	if w.Code != 200 {
		t.Fatalf("status %d", w.Code)
	}
	html := w.Body.String()
	for id, o := range operations(b.server.Document()) {
		if !strings.Contains(html, o.Path) || !strings.Contains(html, template.HTMLEscapeString(o.Summary)) {
			t.Errorf("%s is not on the page", id)
		}
	}
	if strings.Contains(html, "://") || strings.Contains(html, "<script") {
		t.Error("the page loads something from elsewhere, or a script")
	}
	if w := b.do("", call{method: "GET", path: "/page.css"}); w.Code != 200 || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/css") {
		t.Errorf("the style: status %d", w.Code)
	}
}

// A page of another host writes nothing, not even where no token is asked.
func TestCrossSite(t *testing.T) {
	b := newBench(t, Config{Demo: "mira"})
	note := call{method: "POST", path: "/jobs/J-2063/entries", body: `{"kind":"note","body":{"text":"x"}}`}
	if w := b.do("", note); w.Code != 201 {
		t.Fatalf("the demo: status %d: %s", w.Code, w.Body)
	}
	note.header = http.Header{"Origin": {"https://elsewhere.example"}}
	if w := b.do("", note); w.Code != 403 {
		t.Errorf("a page of another host wrote: status %d", w.Code)
	}
}

// The shelf takes only what belongs on it.
func TestStockKinds(t *testing.T) {
	b := newBench(t, Config{})
	for _, kind := range []string{"nonsense", "sign", "open", ""} {
		w := b.do(b.lead(), call{method: "POST", path: "/stock", body: text(map[string]any{"kind": kind, "body": map[string]any{"item": "x", "count": 1}, "confirmed": true})})
		if w.Code != 422 {
			t.Errorf("kind %q: status %d: %s", kind, w.Code, w.Body)
		}
	}
}
