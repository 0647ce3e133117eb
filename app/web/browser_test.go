package web_test

import (
	"context"
	"fmt"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"pumpwright/app/shop"
	"pumpwright/app/web"
)

// bench is a shop with the invented scenario, served on loopback.
type bench struct {
	t      *testing.T
	shop   *shop.Shop
	server *httptest.Server
	pages  *web.Server
}

func serve(t *testing.T) *bench { t.Helper(); return serveAt(t, shop.Options{}) }

func serveAt(t *testing.T, o shop.Options) *bench {
	t.Helper()
	s, err := shop.OpenMemory(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.LoadDemo(context.Background()); err != nil {
		t.Fatal(err)
	}
	pages := web.New(web.Config{Shop: s, Demo: true})
	b := &bench{t: t, shop: s, pages: pages, server: httptest.NewServer(pages)}
	t.Cleanup(func() {
		pages.Close()
		b.server.CloseClientConnections()
		b.server.Close()
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

// chromium finds the browser, or skips the test.
func chromium(t *testing.T) string {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests are left out with -short")
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			return found
		}
	}
	t.Skip("no Chromium is installed: browser tests are skipped (apt-get install chromium)")
	return ""
}

// screen is a size of screen to test at.
type screen struct {
	name          string
	width, height int64
	mobile        bool
}

var (
	phone   = screen{"phone", 390, 844, true}
	tablet  = screen{"tablet", 1024, 768, true}
	desktop = screen{"desktop", 1440, 900, false}
)

// browser is one browser with its own storage and cookies.
type browser struct {
	t      *testing.T
	ctx    context.Context
	base   string
	person string // "" is whom the demonstration takes
	kill   func() // ends the browser at once

	mutex   sync.Mutex
	foreign []string // requests to another host
	loud    []string // errors that a page reported
}

// browse starts a browser.
func (b *bench) browse(s screen) *browser {
	b.t.Helper()
	return b.browseIn(s, b.t.TempDir())
}

// browseIn starts a browser that keeps its things in a folder.
func (b *bench) browseIn(s screen, folder string) *browser {
	b.t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium(b.t)), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(folder),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-quic", true), chromedp.WindowSize(int(s.width), int(s.height)))
	ctx, kill := chromedp.NewExecAllocator(context.Background(), options...)
	b.t.Cleanup(kill)
	ctx, stop := chromedp.NewContext(ctx)
	b.t.Cleanup(stop)
	ctx, stop = context.WithTimeout(ctx, 3*time.Minute)
	b.t.Cleanup(stop)
	w := &browser{t: b.t, ctx: ctx, base: b.server.URL, kill: kill}
	host, err := url.Parse(b.server.URL)
	if err != nil {
		b.t.Fatal(err)
	}
	viewport := []chromedp.EmulateViewportOption{}
	if s.mobile {
		viewport = append(viewport, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	w.do(chromedp.EmulateViewport(s.width, s.height, viewport...))
	if err := chromedp.Listen(ctx, func(event any) {
		if e, ok := event.(*network.EventRequestWillBeSent); ok {
			if u, err := url.Parse(e.Request.URL); err == nil && u.Host != host.Host && u.Scheme != "data" && u.Scheme != "blob" && u.Scheme != "about" {
				w.mutex.Lock()
				w.foreign = append(w.foreign, e.Request.URL)
				w.mutex.Unlock()
			}
		}
	}); err != nil {
		b.t.Fatal(err)
	}
	b.t.Cleanup(func() {
		w.mutex.Lock()
		defer w.mutex.Unlock()
		for _, u := range w.foreign {
			b.t.Errorf("a request left the machine: %s", u)
		}
	})
	return w
}

// do takes steps in the browser. A page that is drawn anew between finding an
// element and touching it says so before anything was touched: it is looked
// for again.
func (w *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	for _, step := range steps {
		err := chromedp.Do(w.ctx, step)
		for end := time.Now().Add(8 * time.Second); err != nil && strings.Contains(err.Error(), "Could not find node with given id") && time.Now().Before(end); {
			time.Sleep(15 * time.Millisecond)
			err = chromedp.Do(w.ctx, step)
		}
		if err != nil {
			w.t.Fatal(err)
		}
	}
}

func (w *browser) open(path string) {
	w.t.Helper()
	person, path := lookedAtBy(path)
	if person != w.person {
		w.person = person
		value := person
		if value == "" {
			value = "tomas"
		}
		_, err := chromedp.Run(w.ctx, func(ctx context.Context, _ *chromedp.Target) (chromedp.Void, error) {
			_, err := chromedp.Call(ctx, network.SetCookie, network.SetCookieParams{Name: "person", Value: value, URL: w.base})
			return chromedp.Void{}, err
		})
		if err != nil {
			w.t.Fatal(err)
		}
	}
	w.do(chromedp.Navigate(w.base + path))
}

// lookedAtBy parts an address from the person who looks at it.
func lookedAtBy(path string) (person, address string) {
	if i := strings.Index(path, ":/"); i > 0 && path[0] != '/' {
		return path[:i], path[i+1:]
	}
	return "", path
}

func evaluate[T any](w *browser, script string) T {
	w.t.Helper()
	v, err := chromedp.Run(w.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		w.t.Fatalf("%s: %v", script, err)
	}
	return v
}

// until waits for a condition in the page.
func (w *browser) until(what, script string) {
	w.t.Helper()
	end := time.Now().Add(25 * time.Second) // a busy machine takes long to hand a tablet its code
	for time.Now().Before(end) {
		v, err := chromedp.Run(w.ctx, chromedp.Evaluate[bool]("!!("+script+")"))
		if err == nil && v {
			return
		}
		time.Sleep(15 * time.Millisecond)
	}
	page := evaluate[string](w, "location.href + '\\n' + document.getElementById('main').innerText.slice(0, 4500) + '\\n' + document.getElementById('kept').innerText")
	w.t.Fatalf("waited in vain: %s\n%s", what, page)
}

// keys types on the keyboard, into whatever has the focus.
func (w *browser) keys(text string) {
	w.t.Helper()
	w.do(chromedp.KeyEvent(text))
}

// snap writes a picture of the page when WEB_LOOK names a folder.
func (w *browser) snap(name string) {
	w.t.Helper()
	folder := os.Getenv("WEB_LOOK")
	if folder == "" {
		return
	}
	take := chromedp.CaptureScreenshot()
	if os.Getenv("WEB_FULL") != "" {
		take = chromedp.FullScreenshot(100)
	}
	picture, err := chromedp.Run(w.ctx, take)
	if err != nil {
		w.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, name+".png"), picture, 0o600); err != nil {
		w.t.Fatal(err)
	}
}

// pagesToLookAt are addresses that stand for every kind of page. A page that
// begins with a name and a colon is looked at by that person.
var pagesToLookAt = []struct{ name, path string }{
	{"list", "/"},
	{"reading", "/job/J-2057/read/idler-pin-od?state=as-left"},
	{"reading-found", "/job/J-2057/step/measure-pin?feature=idler-pin-od&state=as-found&plane=B&angle=90"},
	{"closed", "/job/J-2041/step/build-head"},
	{"leaves", "/job/J-2057/step/measure-crescent"},
	{"next", "/job/J-2057"},
	{"findings", "/job/J-2057/step/down-findings"},
	{"stack-found", "/job/J-2057/step/down-gaskets"},
	{"hold", "/job/J-2063/step/receive-liquid"},
	{"decide", "/job/J-2057/step/judge-parts"},
	{"part", "odell:/job/J-2057/part/idler-pin"},
	{"close", "/job/J-2041/close"},
	{"close-leaf", "/job/J-2057/close?by=leaf"},
	{"known", "/job/J-2057/known"},
	{"entries", "/job/J-2057/entries"},
	{"report", "/job/J-2041/report"},
	{"why", "/job/J-2041/why"},
	{"why-found", "/job/J-2057/why?q=groove"},
	{"quote", "odell:/job/J-2057/quote"},
	{"quote-new", "odell:/job/J-2057/quote/new?step=rebuild"},
	{"quote-letter", "/job/J-2041/quote/Q-2041"},
	{"together", "/job/J-2041/together"},
	{"prove", "/job/J-2057/prove"},
	{"prove-run", "/job/J-2057/step/prove-run"},
	{"relief", "/job/J-2057/step/prove-relief"},
	{"outside", "/job/J-2057/outside?part=idler"},
	{"labels", "/job/J-2057/labels"},
	{"receive", "/receive?tag=P-310"},
	{"which", "/receive/which?suction_port=79+mm&bolt_count=8&relief_valve=casing"},
	{"papers", "/papers"},
	{"paper", "/papers/sheet/demo-pump-s"},
	{"paper-form", "odell:/papers/service/service-light-oil"},
	{"stock", "/stock"},
	{"pumps", "/pumps"},
	{"handbook", "/handbook?q=end+clearance"},
	{"handbook-chapter", "/handbook/first-rebuild"},
	{"handbook-section", "/handbook/results/gasket-stack"},
	{"handbook-drawings", "/handbook/measuring"},
	{"pump", "/pump/KQ-0187"},
	{"due", "odell:/due"},
	{"fleet", "/fleet?model=demo-pump-m"},
	{"tables", "odell:/tables"},
	{"learned", "/learned"},
	{"review", "/review?owner=Saltmarsh+Blending+%28invented%29&year=2026"},
	{"stock-item", "/stock/item?item=seal+kit"},
	{"instruments", "odell:/instruments"},
	{"instrument", "odell:/instruments/OM-04"},
	{"instrument-read", "/instruments/FG-01"},
	{"people", "odell:/people"},
	{"person", "odell:/people/mira"},
	{"people-refused", "/people"},
	{"own", "/own"},
	{"sites", "/sites"},
	{"share", "odell:/job/J-2041/share"},
	{"share-over", "/shared/nothing"},
	{"calculators", "/calculators"},
	{"calculator", "/calculators/align?example"},
	{"on-tablet", "/waiting"},
	{"search", "/search?q=salt"},
	{"sign-in", "/sign-in"},
	{"missing", "/job/J-0000"},
}

// TestLook makes pictures of every page at each size, to be looked at.
func TestLook(t *testing.T) {
	if os.Getenv("WEB_LOOK") == "" {
		t.Skip("set WEB_LOOK to a folder to get pictures of the pages")
	}
	b := serve(t)
	only := os.Getenv("WEB_ONLY")
	for _, s := range []screen{phone, tablet, desktop} {
		w := b.browse(s)
		if light := os.Getenv("WEB_LIGHT"); light != "" { // dark
			w.emulate("prefers-color-scheme", light)
		}
		for _, p := range pagesToLookAt {
			if only != "" && !strings.Contains(only, p.name) {
				continue
			}
			w.open(p.path)
			time.Sleep(250 * time.Millisecond)
			w.snap(fmt.Sprintf("%s-%s", p.name, s.name))
		}
	}
}
