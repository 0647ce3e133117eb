//go:build tablet

package web_test

import (
	"encoding/json"
	"testing"

	"github.com/chromedp/chromedp"

	"pumpwright/app/shop"
	"pumpwright/app/web"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
)

// With the pages' own code on the tablet every answer comes without network as
// it would from the shop: what the page says after the last reading is what it
// says when the shop has taken them. What was put right on the way is no
// conflict with oneself, and a value that cannot be is asked about.
func TestTabletAnswers(t *testing.T) {
	l := wire(t, web.Config{Shop: demoShop(t, shop.Options{}), Demo: true})
	w := l.browse(tablet)
	w.open(boreStep)
	w.until("the tablet has the code and the job", `(async () => {
		const files = await (await caches.open("pw.files")).keys();
		const copies = await pumpwright.within("copies", "readonly", (s) => s.count());
		window.copied = navigator.serviceWorker.controller && copies && files.some((r) => r.url.endsWith(".wasm"));
	})() && window.copied`)
	before := l.length("J-2057")
	l.cut()
	w.read("2.4865")
	w.until("the next place is asked for", `document.querySelectorAll(".spots .read").length === 1`)
	w.read("63.15 in")
	w.until("it asks", `document.querySelector("form .refused[role=alert]")?.innerText.includes("63.15 mm?")`)
	evaluate[bool](w, `(document.querySelector("[data-reading]").value = "") === ""`)
	w.keys("")
	for i, value := range []string{"2.4870", "2.4863", "2.4872"} {
		w.read(value)
		if i < 2 {
			w.until("the next place", `document.querySelectorAll(".spots .read").length === `+string(rune('2'+i)))
		}
	}
	w.until("the answer", `document.querySelector("#zone-answers").innerText.includes("Casing bore good")`)
	w.says("4 entries waiting")
	const answers = `document.querySelector("#zone-answers").innerText`
	offline := evaluate[string](w, answers)
	w.open("/job/J-2057/known")
	w.until("the bore is known", `document.querySelector("main").dataset.page === "known" && document.querySelector("main").innerText.includes("bracket bushing, bore: 4 places") && !document.querySelector("main").innerText.includes("casing bore: ")`)
	w.open("/job/J-2057/prove")
	w.until("the chapter", `document.querySelector("main").innerText.includes("flow expected")`)
	w.open(boreStep)
	w.until("the answer again", answers+`.includes("Casing bore good")`)
	l.join()
	got := l.arrive("J-2057", before, 4)
	ordered(t, got)
	w.until("nothing waits", `!document.getElementById("kept").innerText.includes("waiting")`)
	w.open(boreStep)
	w.until("the page of the shop", `!document.body.dataset.copy && `+answers+`.includes("Casing bore good")`)
	if online := evaluate[string](w, answers); online != offline {
		t.Errorf("without network:\n%s\nfrom the shop:\n%s", offline, online)
	}
	s := l.state("J-2057")
	if n := len(s.ValuesOf("casing-bore", job.AsFound)); n != 4 || len(s.Conflicts) != 0 {
		t.Errorf("%d values, conflicts %+v", n, s.Conflicts)
	}
}

// The words of the person's language come with the job: a page that was never
// asked for speaks it without network.
func TestTabletLanguage(t *testing.T) {
	l := wire(t, web.Config{Shop: demoShop(t, shop.Options{}), Demo: true})
	w := l.browse(tablet)
	w.open("/")
	evaluate[bool](w, `(document.cookie = "language=de; path=/") !== ""`)
	w.open(boreStep)
	w.until("the tablet has the code, the words and the job", `(async () => {
		const files = await (await caches.open("pw.files")).keys();
		const copies = await pumpwright.within("copies", "readonly", (s) => s.count());
		window.copied = navigator.serviceWorker.controller && copies && [".wasm", ".po"].every((end) => files.some((r) => r.url.endsWith(end)));
	})() && window.copied`)
	l.cut()
	w.open("/job/J-2057/why")
	w.until("the page is German", `document.documentElement.lang === "de" && document.querySelector("main h1, main h2").innerText.match(/ursache|warum/i)`)
}

// A calculator that was never opened works it out without network, and refuses
// what cannot be read as the shop does.
func TestTabletCalculates(t *testing.T) {
	l := wire(t, web.Config{Shop: demoShop(t, shop.Options{}), Demo: true})
	w := l.browse(tablet)
	w.open(boreStep)
	w.until("the tablet has the code and the job", `(async () => {
		const files = await (await caches.open("pw.files")).keys();
		const copies = await pumpwright.within("copies", "readonly", (s) => s.count());
		window.copied = navigator.serviceWorker.controller && copies && files.some((r) => r.url.endsWith(".wasm"));
	})() && window.copied`)
	l.cut()
	w.open("/calculators")
	w.until("the list", `document.querySelector('main a[href="/calculators/convert"]')`)
	w.open("/calculators/convert")
	w.until("the form", `document.querySelector('main form [name="value"]')`)
	work := func(value, to string) {
		evaluate[bool](w, `(document.querySelector('main form [name="value"]').value = "`+value+`") !== "" && (document.querySelector('main form [name="to"]').value = "`+to+`") !== ""`)
		w.do(chromedp.Click(chromedp.CSS(`main form button[type="submit"], main form button:not([type])`)))
	}
	work("1 in", "mm")
	w.until("the answer", `document.querySelector("main").innerText.includes("25.4")`)
	work("1 in", "kg")
	w.until("it is refused", `document.querySelector("main .refused, main [role=alert]")`)
}

// The quotes of a job are read without network.
func TestTabletQuotes(t *testing.T) {
	l := wire(t, web.Config{Shop: demoShop(t, shop.Options{}), Demo: true})
	scope, err := l.shop.DemoScope(t.Context(), "odell")
	if err != nil {
		t.Fatal(err)
	}
	q, _, err := l.shop.DraftQuote(t.Context(), scope, "J-2057", offer.Asked{Step: job.QuoteTeardown})
	if err != nil {
		t.Fatal(err)
	}
	body, err := json.Marshal(q)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.shop.Add(t.Context(), scope, "J-2057", shop.NewEntry{Kind: job.KindQuote, Body: body}); err != nil {
		t.Fatal(err)
	}
	w := l.browse(tablet)
	w.open(boreStep)
	w.until("the tablet has the code and the job", `(async () => {
		const files = await (await caches.open("pw.files")).keys();
		const copies = await pumpwright.within("copies", "readonly", (s) => s.count());
		window.copied = navigator.serviceWorker.controller && copies && files.some((r) => r.url.endsWith(".wasm"));
	})() && window.copied`)
	l.cut()
	w.open("/job/J-2057/quote")
	w.until("the list of quotes", `document.querySelector('main a[href="/job/J-2057/quote/`+q.Number+`"]')`)
	w.open("/job/J-2057/quote/" + q.Number)
	w.until("the quote", `document.querySelector("main").innerText.includes(`+quoted(q.Number)+`)`)
}
