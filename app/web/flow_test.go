package web_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// state folds a job as the shop has it.
func (b *bench) state(name string) *job.State {
	b.t.Helper()
	scope, err := b.shop.DemoScope(context.Background(), "odell")
	if err != nil {
		b.t.Fatal(err)
	}
	j, err := b.shop.Job(context.Background(), scope, name)
	if err != nil {
		b.t.Fatal(err)
	}
	return j.State
}

// texts returns what was read of a feature as found, as typed.
func texts(s *job.State, feature string) []string {
	var list []string
	for _, v := range s.ValuesOf(feature, job.AsFound) {
		list = append(list, v.Text)
	}
	return list
}

const boreStep = "/job/J-2057/step/measure-bore"

// A caliper that types a value and Enter walks from place to place; nothing
// else is touched.
func TestCaliper(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open(boreStep)
	w.until("the field has the focus", `document.activeElement.matches("[data-reading]")`)
	typed := []string{"2.4865", "2.4870", "2.4863", "2.4872"}
	for i, value := range typed {
		w.until("place "+value, `document.activeElement.matches("[data-reading]") && document.activeElement.value === ""`)
		w.keys(value + "\r")
		if i < len(typed)-1 {
			w.until("the next place", `document.querySelectorAll(".spots .read").length === `+string(rune('1'+i)))
		}
	}
	w.until("all is read", `!document.querySelector("[data-reading]")`)
	w.until("the answer", `document.querySelector("#zone-answers").innerText.includes("Casing bore good")`)
	if got := texts(b.state("J-2057"), "casing-bore"); strings.Join(got, "|") != "2.4865 in|2.4870 in|2.4863 in|2.4872 in" {
		t.Errorf("kept: %q", got)
	}
	// All is read: figures that come in now are said, not lost in silence.
	w.keys("2.4865\r")
	w.until("the stray value is said", `document.getElementById("kept").innerText.includes("2.4865")`)
	if got := len(texts(b.state("J-2057"), "casing-bore")); got != 4 {
		t.Errorf("%d values are kept", got)
	}
}

// A caliper that is faster than the network: the values go to the places in
// turn, and what finds no place is said.
func TestFastCaliper(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open(boreStep)
	w.until("the field has the focus", `document.activeElement.matches("[data-reading]")`)
	w.keys("2.4865\r2.4870\r2.4863\r2.4872\r2.4999\r")
	w.until("all is read", `!document.querySelector("[data-reading]")`)
	w.until("the value too many is said", `document.getElementById("kept").innerText.includes("2.4999")`)
	if got := texts(b.state("J-2057"), "casing-bore"); strings.Join(got, "|") != "2.4865 in|2.4870 in|2.4863 in|2.4872 in" {
		t.Errorf("kept: %q", got)
	}
}

// A value in the wrong unit is asked about; what was typed stays, and saying
// yes keeps it.
func TestUnlikelyValueIsAsked(t *testing.T) {
	b := serve(t)
	w := b.browse(phone)
	w.open(boreStep)
	w.until("the field", `document.querySelector("[data-reading]")`)
	w.do(chromedp.Click(chromedp.CSS(`.units input[value="in"]`)))
	w.do(chromedp.Focus(chromedp.CSS("[data-reading]")))
	w.keys("63.15\r")
	w.until("the question", `document.querySelector("form .refused[role=alert]")`)
	if got := evaluate[string](w, `document.querySelector("[data-reading]").value`); got != "63.15" {
		t.Errorf("the field shows %q", got)
	}
	if got := evaluate[string](w, `document.querySelector(".refused[role=alert]").innerText`); !strings.Contains(got, "63.15 mm? you typed 63.15 in") {
		t.Errorf("it says %q", got)
	}
	if got := texts(b.state("J-2057"), "casing-bore"); len(got) != 0 {
		t.Errorf("kept before anybody confirmed: %q", got)
	}
	w.do(chromedp.Click(chromedp.CSS(`.ask button`)))
	w.until("it is kept", `document.querySelectorAll(".spots .read").length === 1`)
	if got := texts(b.state("J-2057"), "casing-bore"); len(got) != 1 || got[0] != "63.15 in" {
		t.Errorf("kept: %q", got)
	}
}

// A refusal stands at the field, says what would be accepted, and loses
// nothing.
func TestRefusedInPlace(t *testing.T) {
	b := serve(t)
	w := b.browse(desktop)
	w.open(boreStep)
	w.until("the field", `document.activeElement.matches("[data-reading]")`)
	w.keys("6x3\r")
	w.until("the refusal", `document.querySelector("form .refused[role=alert]")`)
	if got := evaluate[string](w, `document.querySelector("[data-reading]").value`); got != "6x3" {
		t.Errorf("the field shows %q", got)
	}
}

// What is being typed survives a reload.
func TestReloadKeepsWhatIsTyped(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open(boreStep)
	w.until("the field", `document.activeElement.matches("[data-reading]")`)
	w.keys("2.48")
	w.do(chromedp.Reload())
	w.until("it is there again", `document.querySelector("[data-reading]").value === "2.48"`)
	w.keys("65\r")
	w.until("it is saved", `document.querySelectorAll(".spots .read").length === 1`)
	if got := texts(b.state("J-2057"), "casing-bore"); len(got) != 1 || got[0] != "2.4865 in" {
		t.Errorf("kept: %q", got)
	}
	w.do(chromedp.Reload())
	w.until("the field is empty", `document.querySelector("[data-reading]").value === ""`)
}

// Two browsers on one job: what one writes shows in the other within a second,
// and what the other is typing stays.
func TestLive(t *testing.T) {
	b := serve(t)
	one, two := b.browse(tablet), b.browse(desktop)
	one.open(boreStep)
	two.open(boreStep)
	for _, w := range []*browser{one, two} {
		w.until("the field", `document.activeElement.matches("[data-reading]")`)
	}
	two.keys("2.488")
	time.Sleep(300 * time.Millisecond) // both listen
	one.keys("2.4865\r")
	one.until("it is saved", `document.querySelectorAll(".spots .read").length === 1`)
	begin := time.Now()
	two.until("the other browser knows", `document.getElementById("main").dataset.seq === "`+evaluate[string](one, `document.getElementById("main").dataset.seq`)+`"`)
	if took := time.Since(begin); took > time.Second {
		t.Errorf("it took %v", took)
	}
	if got := evaluate[string](two, `document.activeElement.value`); got != "2.488" {
		t.Errorf("what was being typed became %q", got)
	}
	// The same place, written without sight of the other's value: both stand
	// there, and somebody has to choose.
	two.keys("\r")
	two.until("the conflict shows", `document.querySelector(".conflict, .known .refused")`)
	one.until("here too", `document.querySelector(".conflict, .known .refused")`)
	s := b.state("J-2057")
	if len(s.Conflicts) != 1 {
		t.Fatalf("%d conflicts", len(s.Conflicts))
	}
	one.open("/job/J-2057/known")
	one.until("the choice", `document.querySelector(".conflict .pair")`)
	one.do(chromedp.Click(chromedp.CSS(".conflict .pair button")))
	one.until("it is settled", `!document.querySelector(".conflict")`)
}

// Two people at one field without sight of each other: both values show; each
// is offered what he may do, and told who may do the rest.
func TestTwoPeopleOneField(t *testing.T) {
	b := serve(t)
	head := ""
	for _, person := range []string{"tomas", "mira"} {
		raw, _ := json.Marshal(map[string]any{"kind": "reading", "seen": head, "quiet": true, "body": map[string]any{"feature": "casing-bore", "state": "as-found",
			"values": []any{map[string]any{"plane": "A", "angle": 0, "text": map[string]string{"tomas": "2.4865 in", "mira": "2.4880 in"}[person]}}}})
		if head == "" {
			head = b.state("J-2057").Head
			raw = []byte(strings.Replace(string(raw), `"seen":""`, `"seen":"`+head+`"`, 1))
		}
		if r, text := b.post(person+":/job/J-2057/entry", jsonMedia, string(raw), b.server.URL); r.StatusCode != http.StatusOK {
			t.Fatalf("%d %s", r.StatusCode, text)
		}
	}
	_, page := b.get("tomas:/job/J-2057/known")
	for _, want := range []string{"2.4865 in", "2.4880 in", "To keep 2.4865 in, Mira"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if n := strings.Count(page, "void.conflict"); n == 0 {
		t.Error("nobody can settle it")
	}
	if _, page := b.get("odell:/job/J-2057/known"); strings.Contains(page, "a lead takes the other value back") {
		t.Error("the lead is sent to the lead")
	}
}

// The server goes away in the middle and comes back: entries wait in the
// browser, the page says so, the next places are asked for, and each entry
// arrives once.
func TestServerAway(t *testing.T) {
	s, err := shop.OpenMemory(context.Background(), shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.LoadDemo(context.Background()); err != nil {
		t.Fatal(err)
	}
	listen := func(address string) (*httptest.Server, *web.Server) {
		l, err := net.Listen("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		pages := web.New(web.Config{Shop: s, Demo: true})
		server := &httptest.Server{Listener: l, Config: &http.Server{Handler: pages}}
		server.Start()
		return server, pages
	}
	server, pages := listen("127.0.0.1:0")
	b := &bench{t: t, shop: s, server: server, pages: pages}
	w := b.browse(phone)
	w.open(boreStep)
	w.until("the field", `document.activeElement.matches("[data-reading]")`)
	address := server.Listener.Addr().String()
	pages.Close()
	server.CloseClientConnections()
	server.Close()
	for _, value := range []string{"2.4865", "2.4870", "2.4863"} {
		w.keys(value + "\r")
		w.until("the field is free again", `document.activeElement.matches("[data-reading]") && document.activeElement.value === ""`)
	}
	w.until("the page says so", `document.getElementById("kept").innerText.includes("Not saved yet: no network. Kept on this tablet, 3 entries waiting.")`)
	server, pages = listen(address)
	defer server.Close()
	defer server.CloseClientConnections()
	defer pages.Close()
	w.until("all are saved", `document.querySelectorAll(".spots .read").length === 3 && !document.getElementById("kept").innerText.includes("waiting")`)
	// The page draws a kept entry before the shop has it: the last may be under way.
	values := b.state("J-2057").ValuesOf("casing-bore", job.AsFound)
	for until := time.Now().Add(5 * time.Second); len(values) < 3 && time.Now().Before(until); time.Sleep(20 * time.Millisecond) {
		values = b.state("J-2057").ValuesOf("casing-bore", job.AsFound)
	}
	if len(values) != 3 || values[0].Text != "2.4865 in" || values[1].Plane != "A" || values[2].Plane != "B" || *values[1].Angle != 90 {
		t.Errorf("kept: %+v", values)
	}
	w.until("the live connection is back", `!document.getElementById("kept").innerText.includes("Not connected")`)
}

// What is begun while the value before is on its way is for the next place,
// whether that value arrives or waits, and comes after those that were entered
// meanwhile: no figure of it is lost, nothing stays behind as a draft.
func TestBegunWhileSending(t *testing.T) {
	for _, c := range []struct {
		name  string
		away  bool
		ahead string // entered meanwhile
		read  int    // places that are read then
		draft string // the place of what was begun
	}{
		{"it arrives", false, "", 1, ".A.90"}, {"it waits", true, "", 1, ".A.90"},
		{"it arrives, one more behind it", false, "2.4870\r", 2, ".B.0"}, {"it waits, one more behind it", true, "2.4870\r", 2, ".B.0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := serve(t)
			held, release := make(chan struct{}), make(chan struct{})
			var first sync.Once
			pages := b.server.Config.Handler
			b.server.Config.Handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				if r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/entry") {
					first.Do(func() {
						close(held)
						<-release
					})
					if c.away {
						http.Error(w, "away", http.StatusServiceUnavailable)
						return
					}
				}
				pages.ServeHTTP(w, r)
			})
			w := b.browse(phone)
			w.open(boreStep)
			w.until("the field", `document.activeElement.matches("[data-reading]")`)
			w.keys("2.4865\r")
			select {
			case <-held:
			case <-time.After(8 * time.Second):
				t.Fatal("nothing was sent")
			}
			w.keys(c.ahead + "2.48")
			close(release)
			w.until("the next place has what was begun", fmt.Sprintf(`document.querySelectorAll(".spots .read").length === %d && document.querySelector("[data-reading]").value === "2.48"`, c.read))
			drafts := `Object.keys(localStorage).filter((k) => k.startsWith("pw.draft.")).join(" ")`
			if got := evaluate[string](w, drafts); !strings.HasSuffix(got, c.draft) || strings.Contains(got, " ") {
				t.Errorf("drafts while it is typed: %q", got)
			}
			w.keys("63\r")
			w.until("it is read whole", fmt.Sprintf(`document.querySelectorAll(".spots .read").length === %d && document.querySelector("[data-reading]").value === "" && document.querySelectorAll(".spots .text")[%[2]d].innerText.includes("2.4863")`, c.read+1, c.read))
			if got := evaluate[string](w, drafts); got != "" {
				t.Errorf("drafts left behind: %q", got)
			}
		})
	}
}

// Feeler leaves are tapped: the last that goes brings the next as the first
// that does not.
func TestLeavesByTap(t *testing.T) {
	b := serve(t)
	w := b.browse(phone)
	w.open("/job/J-2063/read/crescent-outer-gap")
	w.until("the leaves", `document.querySelector(".leaves")`)
	w.do(chromedp.Click(chromedp.CSS(`.leaf-row:first-child input[value="0.15 mm"]`)))
	w.until("the next leaf is taken", `document.querySelector(".leaf-row:last-child input:checked").value === "0.18 mm"`)
	w.do(chromedp.Click(chromedp.CSS(`#form-reading > button.do`)))
	w.until("it is saved", `document.querySelectorAll(".spots .read").length === 1`)
	values := b.state("J-2063").ValuesOf("crescent-outer-gap", job.AsFound)
	if len(values) != 1 || values[0].Text != "0.15 mm … 0.18 mm" {
		t.Errorf("kept: %+v", values)
	}
}

// A trial assembly by keyboard, then what to change; the last entry is taken
// back with a reason.
func TestCloseAndTakeBack(t *testing.T) {
	b := serve(t)
	w := b.browse(desktop)
	w.open("/job/J-2057/close")
	w.until("the form", `document.querySelector('[name="t/measured"]')`)
	w.do(chromedp.Focus(chromedp.CSS(`[name="t/measured"]`)))
	w.keys("0.20")
	w.do(chromedp.Click(chromedp.CSS(`[name="b/after_torque"]`)))
	w.keys("\r")
	w.until("the trial stands there", `document.querySelector("#zone-trial").innerText.includes("measured 0.20 mm")`)
	if trials := b.state("J-2057").Trials; len(trials) != 1 || trials[0].Body.Measured != "0.20 mm" || !trials[0].Body.AfterTorque || len(trials[0].Body.Counts) == 0 {
		t.Fatalf("kept: %+v", trials)
	}
	w.until("what to change", `/Put in|Take out|Change nothing/.test(document.querySelector("#zone-stack").innerText)`)
	w.open("/job/J-2057/entries")
	w.do(chromedp.Click(chromedp.CSS("tbody tr:first-child summary")))
	w.do(chromedp.Focus(chromedp.CSS(`tbody tr:first-child [name="t/reason"]`)))
	w.keys("mistyped\r")
	w.until("it is taken back", `document.querySelector("tr.voided")`)
	if trials := b.state("J-2057").Trials; len(trials) != 0 {
		t.Errorf("the trial still counts")
	}
}

// A hold point takes the signature of a role that may sign, and only that.
func TestHoldPoint(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open("/job/J-2063/step/receive-liquid")
	w.until("it says who may sign", `document.querySelector(".hold").innerText.includes("May sign: lead, inspector")`)
	if evaluate[bool](w, `!!document.querySelector(".hold form")`) {
		t.Error("a technician is offered the signature")
	}
	w.do(chromedp.Click(chromedp.CSS(".menu summary")))
	w.do(chromedp.Click(chromedp.CSS(`.menu button[value="odell"]`)))
	w.until("the form", `document.querySelector(".hold form")`)
	w.do(chromedp.Click(chromedp.CSS(".hold form button.do")))
	w.until("gone on", `!location.pathname.endsWith("receive-liquid")`)
	sign := b.state("J-2063").Signs["receive-liquid"]
	if sign.By != "odell" || sign.Body.Role != "lead" {
		t.Errorf("signed: %+v", sign)
	}
}

// The clock of a timed step runs on over a reload, and stopping it fills in the
// minutes.
func TestTimedStep(t *testing.T) {
	b := serve(t)
	scope, err := b.shop.DemoScope(context.Background(), "odell")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.shop.Void(context.Background(), scope, "J-2041", "", b.state("J-2041").Closed.Ref, "to try the clock", ""); err != nil {
		t.Fatal(err)
	}
	mark := b.state("J-2041").Marks["build-seal"]
	if _, err := b.shop.Void(context.Background(), scope, "J-2041", "", mark.Ref, "to try the clock", ""); err != nil {
		t.Fatal(err)
	}
	w := b.browse(phone)
	w.open("/job/J-2041/step/build-seal")
	w.until("the clock", `document.querySelector("[data-start]")`)
	w.do(chromedp.Click(chromedp.CSS("[data-start]")))
	w.until("it runs", `document.querySelector("[data-time]").innerText !== "0:00"`)
	w.do(chromedp.Reload())
	w.until("it still runs", `document.querySelector("[data-time]").innerText !== "0:00" && !document.querySelector("[data-stop]").hidden`)
	w.do(chromedp.Click(chromedp.CSS("[data-stop]")))
	w.until("the minutes are filled in", `/^0\.\d$/.test(document.querySelector('[name="n/minutes"]').value)`)
}

// One tap starts the hours of a stage, one stops them; a note is kept.
func TestHoursAndNote(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open(boreStep)
	w.until("the page", `document.documentElement.classList.contains("scripted")`)
	evaluate[int](w, `document.querySelectorAll("details.notes").forEach(d => d.open = true), 0`)
	w.do(chromedp.Click(chromedp.CSS(`[data-entry="hours"] button`)))
	w.until("they run", `document.querySelector('[data-entry="hours"] button').innerText.startsWith("Stop")`)
	evaluate[int](w, `document.querySelectorAll("details.notes").forEach(d => d.open = true), 0`)
	w.do(chromedp.Click(chromedp.CSS(`[data-entry="hours"] button`)))
	w.until("they stopped", `document.querySelector('[data-entry="hours"] button').innerText.startsWith("Start")`)
	evaluate[int](w, `document.querySelectorAll("details.notes").forEach(d => d.open = true), 0`)
	w.do(chromedp.Focus(chromedp.CSS(`[data-entry="note"] textarea`)))
	w.keys("bore gauge IB-01 is due")
	w.do(chromedp.Click(chromedp.CSS(`[data-entry="note"] button`)))
	w.until("it stands there", `document.querySelector("#zone-end").innerText.includes("bore gauge IB-01 is due") || document.querySelector("#zone-end").textContent.includes("bore gauge IB-01 is due")`)
	s := b.state("J-2057")
	if n := len(s.Hours); n != 2 || !s.Hours[0].Body.Started || !s.Hours[1].Body.Stopped || s.Hours[0].Body.Stage != "measure" {
		t.Errorf("hours: %+v", s.Hours)
	}
	if n := len(s.Notes); n != 1 {
		t.Errorf("%d notes", n)
	}
}

// A step is skipped with a reason, by one tap on it.
func TestSkipAsksWhy(t *testing.T) {
	b := serve(t)
	w := b.browse(phone)
	w.open(boreStep)
	w.until("skip", `document.querySelector(".skip summary")`)
	w.do(chromedp.Click(chromedp.CSS(".skip summary")))
	w.do(chromedp.Click(chromedp.CSS(`.skip button[value="not possible here"]`)))
	w.until("gone on", `location.pathname.endsWith("measure-crescent")`)
	if mark := b.state("J-2057").Marks["measure-bore"]; mark.Body.Mark != "skipped" || mark.Body.Reason != "not possible here" {
		t.Errorf("kept: %+v", mark)
	}
}

// Without the script the pages work as plain forms, and sending one again
// keeps one entry.
func TestPlainForms(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	if _, err := chromedp.Run(w.ctx, func(ctx context.Context, _ *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return chromedp.Void{}, err
	}); err != nil {
		t.Fatal(err)
	}
	w.open(boreStep)
	w.do(chromedp.Focus(chromedp.CSS("[data-reading]")))
	w.keys("2.4865\r")
	end := time.Now().Add(5 * time.Second)
	for len(texts(b.state("J-2057"), "casing-bore")) == 0 && time.Now().Before(end) {
		time.Sleep(20 * time.Millisecond)
	}
	if got := texts(b.state("J-2057"), "casing-bore"); len(got) != 1 || got[0] != "2.4865 in" {
		t.Errorf("kept: %q", got)
	}
}

// A touch on a part of the drawing opens that part.
func TestDrawingOpensPart(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open("/job/J-2041/step/measure-findings")
	w.until("the drawing", `document.querySelector(".bare [data-part='idler-pin'] path")`)
	w.do(chromedp.Click(chromedp.CSS(".bare [data-part='idler-pin'] path")))
	w.until("the part", `location.pathname.endsWith("/part/idler-pin") && document.querySelector("h1").innerText === "idler pin"`)
}

// The first person sets the shop up, works, loses the sign-in in the middle of
// an entry, signs in again: the entry waited in the browser and is saved.
func TestSignInEnds(t *testing.T) {
	ctx := context.Background()
	s, err := shop.OpenMemory(ctx, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	pages := web.New(web.Config{Shop: s})
	b := &bench{t: t, shop: s, pages: pages, server: httptest.NewServer(pages)}
	defer b.server.Close()
	defer b.server.CloseClientConnections()
	defer pages.Close()
	w := b.browse(tablet)
	w.open("/job/J-1")
	w.until("the set-up", `location.pathname === "/set-up"`)
	for _, f := range [][2]string{{"shop", "Test Dock (invented)"}, {"name", "Ada Fell"}, {"person", "ada"}, {"password", "loud kettle on the quay"}} {
		w.do(chromedp.Focus(chromedp.CSS("#" + f[0])))
		w.keys(f[1])
	}
	w.keys("\r")
	w.until("the shop", `location.pathname === "/" && document.querySelector(".who").innerText === "Ada Fell"`)

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
	w.open("/job/J-1/step/measure-bore")
	w.until("the field", `document.activeElement.matches("[data-reading]")`)
	if err := s.EndSignIns(ctx, sc, "ada", ""); err != nil {
		t.Fatal(err)
	}
	w.keys("63.15\r")
	w.until("the page says so", `document.getElementById("kept").innerText.includes("the sign-in has ended")`)
	w.do(chromedp.Click(chromedp.CSS("#kept a")))
	w.until("the sign-in", `location.pathname === "/sign-in"`)
	w.do(chromedp.Focus(chromedp.CSS("#person")))
	w.keys("ada")
	w.do(chromedp.Focus(chromedp.CSS("#password")))
	w.keys("loud kettle on the quay\r")
	w.until("back at the step", `location.pathname.endsWith("/step/measure-bore")`)
	w.until("the entry is saved", `document.querySelectorAll(".spots .read").length === 1`)
	j, err := s.Job(ctx, sc, "J-1")
	if err != nil {
		t.Fatal(err)
	}
	if got := texts(j.State, "casing-bore"); len(got) != 1 || got[0] != "63.15 mm" {
		t.Errorf("kept: %q", got)
	}
}

// The answer appears while a value is being typed, says what saving it would
// mean, and nothing is kept before it is saved.
func TestAnswerAsTyped(t *testing.T) {
	b := serve(t)
	w := b.browse(phone)
	w.open(boreStep)
	w.until("the field", `document.activeElement.matches("[data-reading]")`)
	w.keys("2.486")
	w.until("the answer", `document.querySelector("[data-answer]").innerText.includes("Casing bore good")`)
	w.keys("5")
	w.do(chromedp.Click(chromedp.CSS("[data-answer] summary")))
	w.until("the reason is a tap away", `document.querySelector("[data-answer] details[open] .reasons li")`)
	w.do(chromedp.Focus(chromedp.CSS("[data-reading]")))
	w.keys("\b\b\b\b\b\b")
	w.until("the limits are back", `document.querySelector("[data-answer] .limits")`)
	w.keys("24.86")
	w.until("the slip is asked about", `document.querySelector("[data-answer]").innerText.includes("Look again")`)
	w.keys("\b\b\b\b\b2.52")
	w.until("past the limit", `document.querySelector("[data-answer]").innerText.includes("past its limit")`)
	w.snap("as-typed")
	if got := texts(b.state("J-2057"), "casing-bore"); len(got) != 0 {
		t.Errorf("kept before it was saved: %q", got)
	}
}

// The points of the bench test land on the band that was expected; a point that
// is being typed is drawn before it is saved.
func TestCurveIsLive(t *testing.T) {
	b := serve(t)
	b.sign("prove-run")
	w := b.browse(tablet)
	w.open("/job/J-2057/step/prove-run")
	w.until("the band stands there before any point", `document.querySelector("#bench-curve svg desc") && !document.querySelector("#bench-curve svg desc").textContent.includes("Test point")`)
	w.until("what to run", `document.querySelectorAll(".plan li").length >= 3`)
	pressure, flow := `form[data-entry="test-point"] [name="t/pressure"]`, `form[data-entry="test-point"] [name="t/flow"]`
	w.do(chromedp.Focus(chromedp.CSS(pressure)))
	w.keys("0.3")
	w.do(chromedp.Focus(chromedp.CSS(flow)))
	w.keys("20")
	w.until("the point is drawn", `document.querySelector("#bench-curve svg desc").textContent.includes("Test point")`)
	if n := len(b.state("J-2057").TestPoints); n != 0 {
		t.Fatalf("%d points are kept", n)
	}
	w.keys("\r")
	w.until("the point stands in the list", `document.querySelector('[data-watch="point:0"]')`)
	if n := len(b.state("J-2057").TestPoints); n != 1 {
		t.Errorf("%d points are kept", n)
	}
	w.snap("curve")
	w.until("and on the curve", `document.querySelector("#bench-curve svg desc").textContent.includes("Test point")`)
}

// What is being typed survives the back key and another page in between, in
// every form of the page.
func TestBackKeepsWhatIsTyped(t *testing.T) {
	b := serve(t)
	w := b.browse(phone)
	w.open(boreStep)
	w.until("the field", `document.activeElement.matches("[data-reading]")`)
	w.keys("2.48")
	evaluate[int](w, `document.querySelectorAll("details.notes").forEach(d => d.open = true), 0`)
	w.do(chromedp.Focus(chromedp.CSS(`[data-entry="note"] textarea`)))
	w.keys("gauge IB-01 sticks")
	w.do(chromedp.Click(chromedp.CSS(".walk a[rel=next]")))
	w.until("the next step", `location.pathname.endsWith("measure-crescent") && document.documentElement.classList.contains("scripted")`)
	evaluate[int](w, `history.back(), 0`)
	w.until("back again", `location.pathname.endsWith("measure-bore") && document.documentElement.classList.contains("scripted")`)
	w.until("the value is there", `document.querySelector("[data-reading]").value === "2.48"`)
	w.until("the note is there, and in sight", `document.querySelector('[data-entry="note"] textarea').value === "gauge IB-01 sticks" && document.querySelector('[data-entry="note"]').closest("details").open`)
}

// A wrong value is put right on a phone: open its place, take it back with one
// tap on the reason, read again; both stay on record.
func TestCorrection(t *testing.T) {
	b := serve(t)
	w := b.browse(phone)
	w.open(boreStep)
	w.until("the field", `document.activeElement.matches("[data-reading]")`)
	w.keys("2.4895\r")
	w.until("it is saved", `document.querySelectorAll(".spots .read").length === 1`)
	w.do(chromedp.Click(chromedp.CSS(".spots .read")))
	w.until("the value stands at its place", `document.querySelector(".last summary") && document.querySelector(".last summary").innerText.includes("2.4895 in")`)
	w.do(chromedp.Click(chromedp.CSS(".last summary")))
	w.do(chromedp.Click(chromedp.CSS(`.last button[value="mistyped"]`)))
	w.until("the place is free again", `document.querySelectorAll(".spots .read").length === 0 && document.querySelector("[data-reading]")`)
	w.do(chromedp.Focus(chromedp.CSS("[data-reading]")))
	w.keys("2.4865\r")
	w.until("the right one is saved", `document.querySelectorAll(".spots .read").length === 1`)
	if got := texts(b.state("J-2057"), "casing-bore"); strings.Join(got, "|") != "2.4865 in" {
		t.Errorf("counts: %q", got)
	}
	if _, page := b.get("/job/J-2057/entries"); !strings.Contains(page, "2.4895 in") || !strings.Contains(page, "mistyped") {
		t.Error("the wrong value is not on record")
	}
}

// The trial says where it lands in the window while it is typed.
func TestTrialAsTyped(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open("/job/J-2057/close")
	w.until("the form", `document.querySelector('[name="t/measured"]') && document.documentElement.classList.contains("scripted")`)
	w.do(chromedp.Focus(chromedp.CSS(`[name="t/measured"]`)))
	w.keys("0.60")
	w.until("the answer", `document.querySelector("#zone-trial [data-answer]").innerText.includes("above the window")`)
	w.keys("\b\b\b\b0.02")
	w.until("the other answer", `document.querySelector("#zone-trial [data-answer]").innerText.includes("below the window")`)
	if n := len(b.state("J-2057").Trials); n != 0 {
		t.Errorf("%d trials were kept", n)
	}
}

// A closed job offers nothing that it would refuse.
func TestClosedJobIsQuiet(t *testing.T) {
	b := serve(t)
	if b.state("J-2041").Closed == nil {
		t.Fatal("the scenario closes this job")
	}
	for _, at := range []string{"/step/build-head", "/step/measure-pin?feature=idler-pin-od&state=as-found&plane=B&angle=45", "/step/build-clearance-signed", "/close", "/outside", "/part/idler-pin"} {
		_, page := b.get("odell:/job/J-2041" + at)
		for _, kind := range []string{"torque", "reading", "sign", "step", "trial", "outside-work", "decision", "hours"} {
			if strings.Contains(page, `data-entry="`+kind+`"`) {
				t.Errorf("%s offers %s", at, kind)
			}
		}
		if !strings.Contains(page, "The job is closed") {
			t.Errorf("%s does not say that the job is closed", at)
		}
	}
	if _, page := b.get("/job/J-2041/step/build-head"); !strings.Contains(page, `data-entry="note"`) {
		t.Error("it takes notes all the same")
	}
}
