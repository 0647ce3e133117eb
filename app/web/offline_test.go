package web_test

import (
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// line is a network that can be cut: the same address is served, or nothing
// answers there.
type line struct {
	*bench
	address string
	config  web.Config
}

// wire serves a shop behind a line.
func wire(t *testing.T, c web.Config) *line {
	t.Helper()
	l := &line{bench: &bench{t: t, shop: c.Shop}, address: "127.0.0.1:0", config: c}
	l.join()
	t.Cleanup(func() {
		l.cut()
		if err := c.Shop.Close(); err != nil {
			t.Error(err)
		}
	})
	return l
}

func demoShop(t *testing.T, o shop.Options) *shop.Shop {
	t.Helper()
	s, err := shop.OpenMemory(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.LoadDemo(context.Background()); err != nil {
		t.Fatal(err)
	}
	return s
}

func (l *line) join() {
	l.t.Helper()
	listener, err := net.Listen("tcp", l.address)
	if err != nil {
		l.t.Fatal(err)
	}
	l.address = listener.Addr().String()
	l.pages = web.New(l.config)
	l.server = &httptest.Server{Listener: listener, Config: &http.Server{Handler: l.pages}}
	l.server.Start()
}

func (l *line) cut() {
	l.pages.Close()
	l.server.CloseClientConnections()
	l.server.Close()
}

// picture writes a photo to a file.
func picture(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "pin.jpg")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := jpeg.Encode(file, image.NewGray(image.Rect(0, 0, 64, 48)), nil); err != nil {
		t.Fatal(err)
	}
	return path
}

// copied waits until the tablet can do without network at addresses.
func (w *browser) copied(paths ...string) {
	w.t.Helper()
	w.until(fmt.Sprint("the tablet keeps ", paths), `(async () => {
		const cache = await caches.open("pw.pages");
		const copies = await pumpwright.within("copies", "readonly", (s) => s.count());
		const pages = (await Promise.all(["/waiting", "`+strings.Join(paths, `", "`)+`"].map((p) => cache.match(p)))).every(Boolean);
		window.copied = navigator.serviceWorker.controller && (pages || copies);
	})() && window.copied`)
}

func (w *browser) says(text string) {
	w.t.Helper()
	w.until("the page says "+text, `document.getElementById("kept").innerText.includes(`+quoted(text)+`)`)
}

func quoted(text string) string { return "`" + text + "`" }

func (w *browser) read(value string) {
	w.t.Helper()
	w.until("the field is free", `document.activeElement.matches("[data-reading]") && document.activeElement.value === ""`)
	w.keys(value + "\r")
}

func (w *browser) photograph(file string) {
	w.t.Helper()
	evaluate[bool](w, `(document.querySelector('details[data-keep="photo"]').open = true)`)
	w.do(chromedp.SetUploadFiles(chromedp.CSS("#photo"), []string{file}))
	w.do(chromedp.Click(chromedp.CSS(`form[data-photo] button[type="submit"]`)))
}

// since returns the entries of a job after a place.
func (b *bench) since(name string, seq int) []record.Entry {
	b.t.Helper()
	scope, err := b.shop.DemoScope(context.Background(), "odell")
	if err != nil {
		b.t.Fatal(err)
	}
	j, err := b.shop.Job(context.Background(), scope, name)
	if err != nil {
		b.t.Fatal(err)
	}
	return j.Entries[seq:]
}

func (b *bench) length(name string) int { return len(b.since(name, 0)) }

// arrive waits until a job has so many entries more.
func (b *bench) arrive(name string, seq, n int) []record.Entry {
	b.t.Helper()
	var list []record.Entry
	for until := time.Now().Add(15 * time.Second); time.Now().Before(until); time.Sleep(25 * time.Millisecond) {
		if list = b.since(name, seq); len(list) >= n {
			break
		}
	}
	if len(list) != n {
		for _, e := range list {
			b.t.Logf("%s by %s: %s", e.Kind, e.By, e.Body)
		}
		b.t.Fatalf("%d entries came in, want %d", len(list), n)
	}
	return list
}

func kinds(list []record.Entry) string {
	var words []string
	for _, e := range list {
		words = append(words, e.Kind)
	}
	return strings.Join(words, " ")
}

func ordered(t *testing.T, list []record.Entry) {
	t.Helper()
	if !slices.IsSortedFunc(list, func(a, b record.Entry) int { return int(a.At - b.At) }) {
		t.Errorf("not in the order in which they were written: %+v", list)
	}
	ids := map[string]bool{}
	for _, e := range list {
		if ids[e.ID] {
			t.Errorf("%s came in twice", e.ID)
		}
		ids[e.ID] = true
	}
}

// The network goes, readings and a photo are entered, the page is loaded again,
// the browser is killed and started again, the network comes back: everything
// arrives once and in order.
func TestWithoutNetwork(t *testing.T) {
	l := wire(t, web.Config{Shop: demoShop(t, shop.Options{}), Demo: true})
	profile := t.TempDir()
	w := l.browseIn(tablet, profile)
	w.open(boreStep)
	w.copied(boreStep, "/job/J-2057", "/job/J-2057/known")
	before := l.length("J-2057")
	l.cut()
	for _, value := range []string{"2.4865", "2.4870"} {
		w.read(value)
	}
	w.says("2 entries waiting")
	w.photograph(picture(t))
	w.says("3 entries waiting")
	w.do(chromedp.Reload())
	w.says("This page is made from the copy on this tablet")
	w.says("3 entries waiting")
	w.open("/waiting")
	w.until("all three are listed", `document.querySelectorAll('[data-list="waiting"] li').length === 3`)
	w.until("the job can be opened", `document.querySelector('[data-list="jobs"] a[href="/job/J-2057"]')`)
	w.open("/people")
	w.until("it says that the page is not here", `!document.querySelector('[data-show="missing"]').hidden`)
	w.kill()

	w = l.browseIn(tablet, profile)
	w.open("/job/J-2057")
	w.says("3 entries waiting")
	w.open("/job/J-2057/known")
	w.until("the tree of what is known", `document.querySelector("main").dataset.page === "known"`)
	l.join()
	got := l.arrive("J-2057", before, 3)
	ordered(t, got)
	if kinds(got) != "reading reading photo" {
		t.Errorf("came in: %s", kinds(got))
	}
	w.until("nothing waits", `!document.getElementById("kept").innerText.includes("waiting")`)
	time.Sleep(300 * time.Millisecond)
	if n := len(l.since("J-2057", before)); n != 3 {
		t.Errorf("%d entries in the end", n)
	}
}

// The sign-in runs out while there is no network: the page asks, keeps, and
// delivers after the next sign-in. After signing out nothing of the pages is
// left on the tablet.
func TestSignInRunsOutWithoutNetwork(t *testing.T) {
	ctx := context.Background()
	s, err := shop.OpenMemory(ctx, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	const password = "loud kettle on the quay"
	if err := s.SetUpShop(ctx, shop.SetUp{Shop: "Test Dock (invented)", Person: "ada", Name: "Ada Fell", Password: password}); err != nil {
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
	l := wire(t, web.Config{Shop: s})
	w := l.browse(tablet)
	signIn := func() {
		w.until("the sign-in", `location.pathname === "/sign-in"`)
		w.do(chromedp.Focus(chromedp.CSS("#person")))
		w.keys("ada")
		w.do(chromedp.Focus(chromedp.CSS("#password")))
		w.keys(password + "\r")
	}
	const step = "/job/J-1/step/measure-bore"
	w.open(step)
	signIn()
	w.until("the step", `location.pathname === "`+step+`"`)
	w.copied(step)
	l.cut()
	w.read("63.15")
	w.says("1 entry waiting")
	if err := s.EndSignIns(ctx, sc, "ada", ""); err != nil {
		t.Fatal(err)
	}
	l.join()
	w.says("the sign-in has ended")
	w.do(chromedp.Click(chromedp.CSS(`#kept a[href^="/sign-in"]`)))
	signIn()
	w.until("the entry is saved", `document.querySelectorAll(".spots .read").length === 1`)
	j, err := s.Job(ctx, sc, "J-1")
	if err != nil {
		t.Fatal(err)
	}
	if got := texts(j.State, "casing-bore"); len(got) != 1 || got[0] != "63.15 mm" {
		t.Errorf("kept: %q", got)
	}
	evaluate[bool](w, `(document.querySelector(".menu").open = true)`)
	w.do(chromedp.Click(chromedp.CSS(`form[action="/sign-out"] button`)))
	w.until("the sign-in", `location.pathname === "/sign-in"`)
	w.until("nothing of the job is left", `(async () => {
		const cache = await caches.open("pw.pages");
		window.left = (await cache.keys()).map((r) => new URL(r.url).pathname).filter((p) => p !== "/waiting").join() + await pumpwright.within("copies", "readonly", (s) => s.count());
	})() && window.left === "0"`)
	l.cut()
	w.open("/job/J-1")
	w.until("the job is not shown", `!document.querySelector('[data-show="missing"]').hidden && !document.body.innerText.includes("P-1")`)
}

// Two tablets without network measure the same place: both entries are kept,
// the conflict shows, and each sees what the other wrote.
func TestTwoTabletsMerge(t *testing.T) {
	l := wire(t, web.Config{Shop: demoShop(t, shop.Options{}), Demo: true})
	one, two := l.browse(tablet), l.browse(tablet)
	for w, person := range map[*browser]string{one: "tomas", two: "mira"} {
		w.open(person + ":" + boreStep)
		w.copied(boreStep, "/job/J-2057", "/job/J-2057/known")
	}
	before := l.length("J-2057")
	l.cut()
	one.read("2.4865")
	one.read("2.4870")
	two.read("2.4895 in") // her tablet takes millimetres
	one.says("2 entries waiting")
	two.says("1 entry waiting")
	l.join()
	got := l.arrive("J-2057", before, 3)
	by := map[string]int{}
	for _, e := range got {
		by[e.By]++
	}
	if by["tomas"] != 2 || by["mira"] != 1 {
		t.Errorf("written by %v", by)
	}
	if c := l.state("J-2057").Conflicts; len(c) != 1 {
		t.Errorf("%d conflicts, want the one place that both measured: %+v", len(c), c)
	}
	for _, w := range []*browser{one, two} {
		w.until("both values stand on the page", `document.body.innerText.includes("2.4865") && document.body.innerText.includes("2.4895")`)
	}
}

// A tablet whose clock is a day and a bit ahead: its entries are taken, their
// own time is kept, the difference is on record and said.
func TestWrongClock(t *testing.T) {
	l := wire(t, web.Config{Shop: demoShop(t, shop.Options{}), Demo: true})
	w := l.browse(tablet)
	w.do(ahead(26*time.Hour + 31*time.Minute))
	w.open(boreStep)
	w.copied(boreStep, "/job/J-2057", "/job/J-2057/known")
	before := l.length("J-2057")
	l.cut()
	w.read("2.4865")
	w.read("2.4870")
	w.says("2 entries waiting")
	l.join()
	got := l.arrive("J-2057", before, 3)
	if kinds(got) != "note reading reading" || !strings.Contains(string(got[0].Body), "ahead by 26 h 30 min") {
		t.Errorf("came in: %s: %s", kinds(got), got[0].Body)
	}
	for _, e := range got[1:] {
		if ahead := e.At.Time().Sub(e.Received.Time()); ahead < 26*time.Hour || ahead > 27*time.Hour {
			t.Errorf("dated %s ahead of when it came in", ahead)
		}
	}
	for _, v := range l.state("J-2057").ValuesOf("casing-bore", job.AsFound) {
		if v.At.Time().After(time.Now()) {
			t.Errorf("a reading lies in the future: %s", v.At.Time())
		}
	}
	w.says("The clock of this tablet is wrong by 26 h 30 min")
}

// ahead sets the clock of every page that is opened.
func ahead(by time.Duration) chromedp.Action[chromedp.Void] {
	script := fmt.Sprintf("{ const now = Date.now; Date.now = () => now() + %d; }", by.Milliseconds())
	return func(ctx context.Context, _ *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return chromedp.Void{}, err
	}
}

// What the shop refuses at delivery stays on the tablet with the shop's words,
// and can be dropped.
func TestRefusedAtDelivery(t *testing.T) {
	s := demoShop(t, shop.Options{})
	l := wire(t, web.Config{Shop: s, Demo: true})
	w := l.browse(tablet)
	w.open(boreStep)
	w.copied(boreStep, "/job/J-2057", "/job/J-2057/known")
	before := l.length("J-2057")
	l.cut()
	w.read("2.4865")
	w.says("1 entry waiting")
	scope, err := s.DemoScope(context.Background(), "odell")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Add(context.Background(), scope, "J-2057", shop.NewEntry{Kind: job.KindClose, Body: []byte(`{"result":"scrapped"}`)}); err != nil {
		t.Fatal(err)
	}
	l.join()
	w.says("The shop did not take 1 entry")
	w.do(chromedp.Click(chromedp.CSS(`#kept a[href="/waiting"]`)))
	w.until("the shop's words", `document.querySelector('[data-list="refused"] .refused')?.innerText.includes("closed")`)
	drop := `[...document.querySelectorAll('[data-list="refused"] button')].find((b) => b.textContent.startsWith("Drop"))`
	evaluate[bool](w, drop+`.click() || true`)
	evaluate[bool](w, drop+`.click() || true`)
	w.until("nothing is left", `!document.querySelector('[data-show="nothing"]').hidden`)
	if n := l.length("J-2057"); n != before+1 {
		t.Errorf("%d entries, want only the closing more than %d", n, before)
	}
}

// What waits on a device is of a person at a site: the same short name at
// another site is somebody else, whose entries are not sent here. What was kept
// before sites were written down is sent.
func TestQueueIsOfASite(t *testing.T) {
	l := wire(t, web.Config{Shop: demoShop(t, shop.Options{}), Demo: true})
	w := l.browse(tablet)
	w.open(boreStep)
	before := l.length("J-2057")
	w.until("two of the same name wait", `(async () => {
		const name = document.querySelector("[data-person]").dataset.person.split("/")[1];
		const one = (person, id, text) => ({ id, kind: "entry", person, address: "/job/J-2057/entry", words: [text], letter: { id, kind: "note", at: Date.now() * 1000, fields: { "t/text": text } } });
		if (!window.begun) {
			window.begun = true;
			await pumpwright.add(one("elsewhere/" + name, "0199c0de-0000-7000-8000-000000000071", "of the other site"));
			await pumpwright.add(one(name, "0199c0de-0000-7000-8000-000000000072", "of long ago"));
			window.added = true;
		}
	})() && window.added`)
	w.open("/waiting")
	w.open(boreStep)
	got := l.arrive("J-2057", before, 1)
	if !strings.Contains(string(got[0].Body), "of long ago") {
		t.Errorf("%s", got[0].Body)
	}
	w.until("the other still waits", `(async () => { window.there = (await pumpwright.all()).map((one) => one.person).join(); })() && window.there && window.there.startsWith("elsewhere/") && !window.there.includes(",")`)
}
