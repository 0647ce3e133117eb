package web_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// axeVersion of the accessibility rules, from npm (MPL-2.0); for tests only.
const axeVersion = "4.14.1"

// axe returns the script of the accessibility rules, fetched once into the
// cache of the user, or skips the test.
func axe(t *testing.T) string {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		cache = os.TempDir()
	}
	folder := filepath.Join(cache, "pumpwright-test", "axe-core-"+axeVersion)
	file := filepath.Join(folder, "node_modules", "axe-core", "axe.min.js")
	if text, err := os.ReadFile(file); err == nil {
		return string(text)
	}
	npm, err := exec.LookPath("npm")
	if err != nil {
		t.Skip("npm is not installed: the accessibility rules cannot be fetched, the test is skipped")
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Skip("no folder for the accessibility rules: ", err)
	}
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	command := exec.CommandContext(ctx, npm, "install", "--prefix", folder, "--no-save", "--no-audit", "--no-fund", "--ignore-scripts", "axe-core@"+axeVersion)
	if out, err := command.CombinedOutput(); err != nil {
		t.Skipf("the accessibility rules could not be fetched: %v\n%s", err, out)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Skip("the accessibility rules are not where they should be: ", err)
	}
	return string(text)
}

// violation is a rule that a page breaks.
type violation struct {
	ID     string `json:"id"`
	Impact string `json:"impact"`
	Help   string `json:"help"`
	Nodes  string `json:"nodes"`
}

// emulate sets a feature of the media query.
func (w *browser) emulate(name, value string) {
	w.t.Helper()
	_, err := chromedp.Run(w.ctx, func(ctx context.Context, _ *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: name, Value: value}}})
		return chromedp.Void{}, err
	})
	if err != nil {
		w.t.Fatal(err)
	}
}

// Every page keeps the rules of WCAG 2.2 AA that can be checked by program, at
// each size and in each light; nothing runs over the side.
func TestAccessibility(t *testing.T) {
	chromium(t)
	rules := axe(t)
	b := serve(t)
	for _, look := range []struct {
		screen      screen
		media, want string
	}{
		{phone, "prefers-color-scheme", "light"},
		{tablet, "prefers-color-scheme", "dark"},
		{desktop, "prefers-contrast", "more"},
	} {
		w := b.browse(look.screen)
		w.emulate(look.media, look.want)
		for _, p := range pagesToLookAt {
			w.open(p.path)
			w.until("the page", `document.readyState === "complete" && (document.documentElement.classList.contains("scripted") || !document.querySelector("script"))`)
			w.accessible(rules, look.screen.name+" ("+look.want+"), "+p.name)
		}
	}
}

// accessible checks the page that is open.
func (w *browser) accessible(rules, what string) {
	w.t.Helper()
	for _, d := range []bool{false, true} {
		if d { // what is folded away is part of the page
			evaluate[int](w, `document.querySelectorAll("details:not(.menu)").forEach(d => d.open = true), 0`)
		}
		if wide := evaluate[int](w, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
			w.t.Errorf("%s: the page is %d px too wide", what, wide)
		}
	}
	evaluate[int](w, rules+";0")
	broken := evaluate[[]violation](w, `axe.run({runOnly: ["wcag2a","wcag2aa","wcag21a","wcag21aa","wcag22aa","best-practice"], resultTypes: ["violations"]})
		.then(r => r.violations.map(v => ({id: v.id, impact: v.impact, help: v.help, nodes: v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + " | " + (n.any[0] ? n.any[0].message : "")).join("\n    ")})))`)
	for _, v := range broken {
		w.t.Errorf("%s: %s (%s): %s\n    %s", what, v.ID, v.Impact, v.Help, v.Nodes)
	}
	small := evaluate[string](w, `[...document.querySelectorAll("button, a.do, select, input:not([type=hidden]):not([type=radio]):not([type=checkbox]), summary, .walk a, .places a, .spots a")]
		.filter(e => e.offsetParent && !e.classList.contains("unseen") && e.getBoundingClientRect().height < 47.5).map(e => e.outerHTML.slice(0, 90)).join("\n")`)
	if small != "" {
		w.t.Errorf("%s: targets lower than 48 px:\n%s", what, small)
	}
}

// Answers of calculators come by sending a form: drawing, tables and all they
// keep the same rules.
func TestAnswersAreAccessible(t *testing.T) {
	chromium(t)
	rules := axe(t)
	b := serve(t)
	for _, screen := range []screen{phone, desktop} {
		w := b.browse(screen)
		for _, name := range []string{"align", "seal-setting", "press-fit", "bushing"} {
			w.open("/calculators/" + name + "?example")
			evaluate[int](w, `document.querySelector("main form button[type=submit]").click(), 0`)
			w.until("the answer", `document.readyState === "complete" && document.querySelector("section.answer figure svg") !== null`)
			w.accessible(rules, screen.name+", answer of "+name)
		}
	}
}
