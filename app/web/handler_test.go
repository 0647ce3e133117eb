package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/web"
	"pumpwright/app/web/frame"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// get asks a page without a browser.
func (b *bench) get(path string) (*http.Response, string) {
	b.t.Helper()
	r, err := http.DefaultClient.Do(b.asks(path))
	if err != nil {
		b.t.Fatal(err)
	}
	defer r.Body.Close()
	text, err := io.ReadAll(r.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return r, string(text)
}

// asks makes the request for a page, by the person who looks at it.
func (b *bench) asks(path string) *http.Request {
	b.t.Helper()
	person, path := lookedAtBy(path)
	r, err := http.NewRequest(http.MethodGet, b.server.URL+path, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	if person != "" {
		r.AddCookie(&http.Cookie{Name: "person", Value: person})
	}
	return r
}

// post sends something as a browser of this origin would.
func (b *bench) post(path, media, body, origin string) (*http.Response, string) {
	b.t.Helper()
	person, path := lookedAtBy(path)
	r, err := http.NewRequest(http.MethodPost, b.server.URL+path, strings.NewReader(body))
	if err != nil {
		b.t.Fatal(err)
	}
	if person != "" {
		r.AddCookie(&http.Cookie{Name: "person", Value: person})
	}
	r.Header.Set("Content-Type", media)
	if origin != "" {
		r.Header.Set("Origin", origin)
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.Do(r)
	if err != nil {
		b.t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return answer, string(text)
}

const jsonMedia = "application/json"

func note(text string) string {
	raw, _ := json.Marshal(map[string]any{"kind": "note", "body": map[string]string{"text": text}, "quiet": true})
	return string(raw)
}

// sent is how many bytes of a page go over the network to a browser.
func (b *bench) sent(path string) int {
	b.t.Helper()
	r := b.asks(path)
	r.Header.Set("Accept-Encoding", "gzip") // asked for by hand, it stays packed
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		b.t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return len(text)
}

// Every page carries the headers that keep it to itself, has no script or
// style inside, and is not too heavy.
func TestHeadersAndSize(t *testing.T) {
	b := serve(t)
	for _, p := range pagesToLookAt {
		r, text := b.get(p.path)
		policy := r.Header.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'", "form-action 'self'"} {
			if !strings.Contains(policy, want) {
				t.Errorf("%s: the policy lacks %s", p.name, want)
			}
		}
		for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Cache-Control": "no-store"} {
			if r.Header.Get(name) != want {
				t.Errorf("%s: %s is %q", p.name, name, r.Header.Get(name))
			}
		}
		for _, inside := range []string{"<style", " style=", "onclick=", "<script>", "javascript:"} {
			if strings.Contains(text, inside) {
				t.Errorf("%s: the page holds %s", p.name, inside)
			}
		}
		limit := 100_000
		if p.name == "report" || p.name == "labels" { // printed sheets: all the drawings, all the codes
			limit = 300_000
		}
		if sent := b.sent(p.path); sent > min(limit/2, 100_000) || len(text) > 6*limit/5 {
			t.Errorf("%s: %d bytes, %d of them sent", p.name, len(text), sent)
		}
	}
}

// Another site, an odd body, another job's photo, a job that is not there:
// refused, and nothing is kept.
func TestRefusals(t *testing.T) {
	b := serve(t)
	before := b.state("J-2057").Count
	own := b.server.URL
	for _, c := range []struct {
		name, path, media, body, origin string
		want                            int
	}{
		{"another site", "/job/J-2057/entry", jsonMedia, note("x"), "http://elsewhere.invalid", http.StatusForbidden},
		{"no JSON", "/job/J-2057/entry", jsonMedia, "{", own, http.StatusUnprocessableEntity},
		{"no such kind", "/job/J-2057/entry", jsonMedia, `{"kind":"wish","body":{}}`, own, http.StatusUnprocessableEntity},
		{"no such job", "/job/J-9999/entry", jsonMedia, note("x"), own, http.StatusNotFound},
		{"a technician decides", "/job/J-2057/entry", jsonMedia, `{"kind":"decision","body":{"part":"rotor","decision":"reuse"},"quiet":true}`, own, http.StatusUnprocessableEntity},
		{"behind the hold point", "/job/J-2063/entry", jsonMedia, `{"kind":"step","body":{"step":"safe-remove","mark":"done"},"quiet":true}`, own, http.StatusUnprocessableEntity},
		{"from tomorrow", "/job/J-2057/entry", jsonMedia, `{"kind":"note","at":9999999999999999,"body":{"text":"x"},"quiet":true}`, own, http.StatusUnprocessableEntity},
		{"no picture", "/job/J-2057/photo", "multipart/form-data; boundary=x", "--x--", own, http.StatusUnprocessableEntity},
		{"too long", "/job/J-2057/entry", jsonMedia, note(strings.Repeat("long ", 400_000)), own, http.StatusUnprocessableEntity},
	} {
		r, text := b.post(c.path, c.media, c.body, c.origin)
		if r.StatusCode != c.want {
			t.Errorf("%s: status %d, want %d: %.200s", c.name, r.StatusCode, c.want, text)
		}
	}
	if after := b.state("J-2057").Count; after != before {
		t.Errorf("%d entries were kept", after-before)
	}
	if r, _ := b.get("/job/J-2057/photo/" + strings.Repeat("0", 64)); r.StatusCode != http.StatusNotFound {
		t.Errorf("a photo of nobody: %d", r.StatusCode)
	}
}

// The same letter sent again is one entry; a plain form that is sent again
// too.
func TestSentTwice(t *testing.T) {
	b := serve(t)
	before := b.state("J-2057").Count
	id := frame.NewID()
	letter := fmt.Sprintf(`{"id":%q,"at":1764061200000000,"kind":"note","body":{"text":"once"},"quiet":true}`, id)
	for range 3 {
		if r, text := b.post("/job/J-2057/entry", jsonMedia, letter, b.server.URL); r.StatusCode != http.StatusOK || !strings.Contains(text, `"saved":true`) {
			t.Fatalf("%d %s", r.StatusCode, text)
		}
	}
	form := url.Values{"id": {frame.NewID()}, "kind": {"note"}, "t/text": {"once, as a form"}, "next": {"/job/J-2057/known"}}.Encode()
	for range 2 {
		if r, text := b.post("/job/J-2057/entry", "application/x-www-form-urlencoded", form, b.server.URL); r.StatusCode != http.StatusSeeOther {
			t.Fatalf("%d %s", r.StatusCode, text)
		}
	}
	if after := b.state("J-2057").Count; after != before+2 {
		t.Errorf("%d entries were kept, want 2", after-before)
	}
}

// Script in a note or a name shows as text.
func TestScriptIsText(t *testing.T) {
	b := serve(t)
	const nasty = `<script>alert(1)</script><img src=x onerror=alert(2)>`
	if r, text := b.post("/job/J-2057/entry", jsonMedia, note(nasty), b.server.URL); r.StatusCode != http.StatusOK {
		t.Fatal(text)
	}
	_, page := b.get("/job/J-2057/entries")
	if strings.Contains(page, "<script>alert") || strings.Contains(page, "<img src=x") || !strings.Contains(page, "&lt;script&gt;") {
		t.Error("the note is not shown as text")
	}
}

// No form leads to another site.
func TestNextStaysHere(t *testing.T) {
	for _, address := range []string{"https://elsewhere.invalid/", "//elsewhere.invalid", "/\\elsewhere.invalid", "javascript:alert(1)", "/a\r\nLocation: b", ""} {
		if got := frame.Local(address, "/"); got != "/" {
			t.Errorf("%q leads to %q", address, got)
		}
	}
	if got := frame.Local("/job/J-1?x=1", "/"); got != "/job/J-1?x=1" {
		t.Errorf("got %q", got)
	}
}

// A plain form that is refused comes back with what was typed.
func TestPlainFormComesBack(t *testing.T) {
	b := serve(t)
	form := url.Values{
		"kind": {job.KindReading}, "draft": {"J-2057.reading.casing-bore.as-found.A.0"}, "from": {boreStep}, "next": {boreStep},
		"t/feature": {"casing-bore"}, "t/state": {"as-found"}, "t/values/0/plane": {"A"}, "n/values/0/angle": {"0"}, "t/values/0/text": {"sixty"}, "u/values/0/text": {"mm"},
	}.Encode()
	r, text := b.post("/job/J-2057/entry", "application/x-www-form-urlencoded", form, b.server.URL)
	if r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(text, `value="sixty"`) || !strings.Contains(text, `role="alert"`) {
		t.Errorf("status %d; typed kept: %v", r.StatusCode, strings.Contains(text, `value="sixty"`))
	}
}

// The report comes as PDF in both sizes and in inches.
func TestReportPDF(t *testing.T) {
	b := serve(t)
	sizes := map[string]string{}
	for _, size := range []string{"a4", "letter"} {
		r, text := b.get("/job/J-2041/report.pdf?size=" + size)
		if r.StatusCode != http.StatusOK || r.Header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(text, "%PDF-") {
			t.Errorf("%s: %d %s", size, r.StatusCode, r.Header.Get("Content-Type"))
		}
		sizes[size] = text
	}
	if sizes["a4"] == sizes["letter"] {
		t.Error("both sizes give the same file")
	}
	r, err := http.NewRequest(http.MethodGet, b.server.URL+"/job/J-2041/report", nil)
	if err != nil {
		t.Fatal(err)
	}
	r.AddCookie(&http.Cookie{Name: "units", Value: "inch"})
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	page, _ := io.ReadAll(answer.Body)
	if !bytes.Contains(page, []byte(" in")) || bytes.Contains(page, []byte("0.140 mm")) {
		t.Error("the report is not in inches")
	}
}

// ask answers a request without a network, for the benchmarks.
func ask(b *testing.B, pages http.Handler, r *http.Request) int {
	w := httptest.NewRecorder()
	pages.ServeHTTP(w, r)
	if w.Code != http.StatusOK {
		b.Fatalf("%s: %d %.300s", r.URL, w.Code, w.Body.String())
	}
	return w.Body.Len()
}

func benchPages(b *testing.B) http.Handler {
	b.Helper()
	s, err := shop.OpenMemory(context.Background(), shop.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = s.Close() })
	if err := s.LoadDemo(context.Background()); err != nil {
		b.Fatal(err)
	}
	return web.New(web.Config{Shop: s, Demo: true})
}

func BenchmarkStepPage(b *testing.B) {
	pages := benchPages(b)
	b.ReportAllocs()
	for b.Loop() {
		b.ReportMetric(float64(ask(b, pages, httptest.NewRequest(http.MethodGet, boreStep, nil))), "bytes")
	}
}

func BenchmarkClosePage(b *testing.B) {
	pages := benchPages(b)
	for b.Loop() {
		b.ReportMetric(float64(ask(b, pages, httptest.NewRequest(http.MethodGet, "/job/J-2057/close", nil))), "bytes")
	}
}

// An entry with the page that follows it, as the browser asks for it.
func BenchmarkEntryToAnswer(b *testing.B) {
	pages := benchPages(b)
	n := 0
	for b.Loop() {
		n++
		body := fmt.Sprintf(`{"kind":"reading","fields":{"t/feature":"casing-bore","t/state":"as-found","t/values/0/plane":"A","n/values/0/angle":"0","t/values/0/text":"2.4%03d in"},"from":%q,"next":%q}`, 860+n%10, boreStep, boreStep)
		r := httptest.NewRequest(http.MethodPost, "/job/J-2057/entry", strings.NewReader(body))
		r.Header.Set("Content-Type", jsonMedia)
		ask(b, pages, r)
	}
}

// A calculator answers in place, keeps what was typed when it refuses, and
// shows a script as text.
func TestCalculators(t *testing.T) {
	b := serve(t)
	form := url.Values{"mating_diameter": {"38"}, "length": {"<script>x</script>"}}
	answer, text := b.post("/calculators/press-fit", "application/x-www-form-urlencoded", form.Encode(), b.server.URL)
	if answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(text, `value="38"`) || !strings.Contains(text, "the unit is missing") {
		t.Errorf("status %d", answer.StatusCode)
	}
	if strings.Contains(text, "<script>x") {
		t.Error("a script got into the page")
	}
	if answer, _ := b.get("/calculators/nothing"); answer.StatusCode < 400 {
		t.Errorf("a calculator that is not there: status %d", answer.StatusCode)
	}
}

// A pump is received, its job stands in the shop, its labels lead to it, and
// the search finds it by a few letters.
func TestReceive(t *testing.T) {
	b := serve(t)
	form := url.Values{"id": {frame.NewID()}, "complaint": {"<b>drips</b>"}, "sheet": {"demo-pump-m"}}
	media := "application/x-www-form-urlencoded"
	r, text := b.post("/receive", media, form.Encode(), b.server.URL)
	if r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(text, "&lt;b&gt;drips") || !strings.Contains(text, "neither a tag nor a serial") {
		t.Fatalf("without a tag: status %d", r.StatusCode)
	}
	form.Set("tag", "P-77")
	form.Set("owner", "Testwell (invented)")
	r, _ = b.post("/receive", media, form.Encode(), b.server.URL)
	if r.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d", r.StatusCode)
	}
	job := r.Header.Get("Location")
	if again, _ := b.post("/receive", media, form.Encode(), b.server.URL); again.Header.Get("Location") != job {
		t.Errorf("sent again it opened %s, before %s", again.Header.Get("Location"), job)
	}
	if _, text := b.get("/"); !strings.Contains(text, "P-77") {
		t.Error("the shop does not show it")
	}
	if r, text := b.get(job + "/labels"); r.StatusCode != http.StatusOK || strings.Count(text, "<svg") < 5 {
		t.Errorf("labels: status %d, %d codes", r.StatusCode, strings.Count(text, "<svg"))
	}
	if _, text := b.get("/search?q=testw"); !strings.Contains(text, job) {
		t.Error("a few letters do not find it")
	}
	if _, text := b.get("/receive?tag=P-77"); !strings.Contains(text, strings.TrimPrefix(job, "/job/")) {
		t.Error("an earlier job of the tag is not shown")
	}
}

// A sheet is checked as it is typed, line by line, and only those who may keep
// a new version of it.
func TestPapers(t *testing.T) {
	b := serve(t)
	_, text := b.get("/papers/sheet/demo-pump-m")
	if !strings.Contains(text, "casing_limit") {
		t.Fatal("the sheet is not shown")
	}
	form := url.Values{"do": {"check"}, "text": {"name: demo-pump-m\nbuild:\n  shaft_seal: rubber\n"}}
	media := "application/x-www-form-urlencoded"
	if r, text := b.post("/papers/sheet/demo-pump-m", media, form.Encode(), b.server.URL); r.StatusCode != http.StatusOK || !strings.Contains(text, "line 3") || !strings.Contains(text, "shaft_seal: rubber") {
		t.Errorf("status %d: %.300s", r.StatusCode, text)
	}
	// the sheet itself is good: only the permission decides
	good, err := sheet.DemoText("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	form = url.Values{"do": {"save"}, "reason": {"a comment more"}, "text": {string(good) + "# read again\n"}}
	versions := func() int {
		_, text := b.get("/papers/sheet/demo-pump-m")
		return strings.Count(text, "/papers/sheet/demo-pump-m?version=")
	}
	before := versions()
	if r, text := b.post("/papers/sheet/demo-pump-m", media, form.Encode(), b.server.URL); r.StatusCode != http.StatusForbidden || !strings.Contains(text, "# read again") {
		t.Errorf("a technician keeps a sheet: status %d", r.StatusCode)
	}
	if n := versions(); n != before {
		t.Errorf("%d versions, before %d", n, before)
	}
	if r, _ := b.post("odell:/papers/sheet/demo-pump-m", media, form.Encode(), b.server.URL); r.StatusCode != http.StatusSeeOther {
		t.Errorf("a lead keeps a sheet: status %d", r.StatusCode)
	}
	if n := versions(); n != before+1 {
		t.Errorf("%d versions, before %d", n, before)
	}
}

// Forms that stand on a page of another site are turned away, whoever is
// signed in, and change nothing.
func TestFormsOfOthers(t *testing.T) {
	b := serve(t)
	good, err := sheet.DemoText("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	const media = "application/x-www-form-urlencoded"
	for path, form := range map[string]url.Values{
		"odell:/receive":                  {"tag": {"P-99"}, "owner": {"Elsewhere (invented)"}},
		"odell:/papers/sheet/demo-pump-m": {"do": {"save"}, "text": {string(good) + "# from elsewhere\n"}},
		"odell:/pair":                     {"code": {"ABCD-EFGH"}},
		"odell:/sign-in":                  {"person": {"odell"}, "password": {"x"}},
		"odell:/sign-out":                 {},
		"odell:/people":                   {"id": {"eve"}, "name": {"Eve"}, "roles": {"lead"}},
		"odell:/tablets":                  {"name": {"eve"}},
		"odell:/job/J-2041/share":         {"days": {"3"}},
		"odell:/look":                     {"theme": {"dark"}},
	} {
		for _, origin := range []string{"https://elsewhere.example", "null", "http://127.0.0.1:1"} {
			r, _ := b.post(path, media, form.Encode(), origin)
			if r.StatusCode != http.StatusForbidden || r.Header.Get("Set-Cookie") != "" || r.Header.Get("Location") != "" {
				t.Errorf("%s from %s: status %d", path, origin, r.StatusCode)
			}
		}
	}
	if _, text := b.get("/"); strings.Contains(text, "P-99") {
		t.Error("a pump was received from elsewhere")
	}
	if _, text := b.get("/papers/sheet/demo-pump-m"); strings.Contains(text, "from elsewhere") {
		t.Error("a sheet was kept from elsewhere")
	}
	if _, text := b.get("odell:/people"); strings.Contains(text, `"/people/eve"`) {
		t.Error("somebody was added from elsewhere")
	}
}

// A matter of the report leads to the steps that it still waits for, and only
// to steps that are there.
func TestPieces(t *testing.T) {
	b := serve(t)
	step := regexp.MustCompile(`href="(/job/[^"]+/step/[^"]+)"`)
	for _, c := range []struct{ path, says, waits string }{
		{"/job/J-2041/together", "Caution", ""},
		{"/job/J-2041/prove", "flow expected", ""},
		{"/job/J-2057/prove", "flow expected", "Leak test"},
	} {
		r, text := b.get(c.path)
		if r.StatusCode != http.StatusOK || !strings.Contains(text, c.says) {
			t.Errorf("%s: status %d, without %q", c.path, r.StatusCode, c.says)
		}
		if waits := strings.Contains(text, `class="do"`); waits != (c.waits != "") || !strings.Contains(text, c.waits) {
			t.Errorf("%s: waits %v, want %q", c.path, waits, c.waits)
		}
		links := step.FindAllStringSubmatch(text, -1)
		if len(links) == 0 {
			t.Errorf("%s leads to no step", c.path)
		}
		for _, l := range links {
			if r, _ := b.get(l[1]); r.StatusCode != http.StatusOK {
				t.Errorf("%s leads to %s: status %d", c.path, l[1], r.StatusCode)
			}
		}
	}
}

// What was written down reads as words of the trade, whatever kind of entry it
// is: no name of a field stands among them.
func TestEntriesInWords(t *testing.T) {
	b := serve(t)
	for _, name := range []string{"J-2041", "J-2057", "J-2063"} {
		_, page := b.get("/job/" + name + "/entries")
		for _, field := range []string{"kind paper", "goes 0", "no go", "after torque", "counts ", "pieces ", "full bypass 0", "to near foot", "valid until", "rank ", "removed by us", "{"} {
			if strings.Contains(page, field) {
				i := strings.Index(page, field)
				t.Errorf("%s: %q in “%s”", name, field, page[max(0, i-80):min(len(page), i+80)])
			}
		}
	}
}
