package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/url"
	"path"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"pumpwright/app/shop"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/job"
)

// photo sends a picture with a form, and returns where it leads.
func (b *bench) photo(fields map[string]string) string {
	b.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, value := range fields {
		_ = form.WriteField(name, value)
	}
	file, err := form.CreateFormFile("photo", "pin.jpg")
	if err != nil {
		b.t.Fatal(err)
	}
	if err := jpeg.Encode(file, image.NewGray(image.Rect(0, 0, 600, 400)), nil); err != nil {
		b.t.Fatal(err)
	}
	_ = form.Close()
	r, text := b.post("/job/J-2057/photo", form.FormDataContentType(), body.String(), b.server.URL)
	if r.StatusCode != http.StatusSeeOther {
		b.t.Fatalf("the photo is not taken: %d %s", r.StatusCode, text)
	}
	return r.Header.Get("Location")
}

func (b *bench) write(person, kind string, body any) {
	b.t.Helper()
	raw, err := json.Marshal(map[string]any{"kind": kind, "body": body, "quiet": true})
	if err != nil {
		b.t.Fatal(err)
	}
	if r, text := b.post(person+":/job/J-2057/entry", jsonMedia, string(raw), b.server.URL); r.StatusCode != http.StatusOK {
		b.t.Fatalf("%s: %d %s", kind, r.StatusCode, text)
	}
}

// sign has the lead sign the hold points before a step.
func (b *bench) sign(before string) {
	b.t.Helper()
	for _, s := range b.assessed("J-2057").Progress.Steps {
		if s.Step.ID == before {
			return
		}
		if s.Status == progress.Waiting {
			b.write("odell", job.KindSign, job.Sign{Step: s.Step.ID, Role: "lead", For: s.Step.Hold.For})
		}
	}
	b.t.Fatalf("no step %s", before)
}

// Work past a hold point is not written down before its signature: the answer
// as typed says so, sending it is refused in place and loses nothing.
func TestHeldWork(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open("/job/J-2057/step/prove-relief")
	w.until("the form", `document.querySelector('form[data-entry="relief"]') && document.documentElement.classList.contains("scripted")`)
	const form = `form[data-entry="relief"]`
	w.enter(form, map[string]string{"t/set": "5 bar", "t/full_bypass": "5.6 bar", "t/sealed": "lead seal 114"})
	w.do(chromedp.Click(chromedp.CSS(form + " button.do")))
	w.until("it says what comes first", `/Not yet: the hold point .* is not signed yet/.test(document.querySelector('form[data-entry="relief"]').innerText)`)
	w.snap("held")
	if b.state("J-2057").LastRelief() != nil {
		t.Error("written past the hold point")
	}
	if got := evaluate[string](w, `document.querySelector('form[data-entry="relief"] [name="t/sealed"]').value`); got != "lead seal 114" {
		t.Errorf("what was typed: %q", got)
	}
	b.sign("prove-relief")
	w.press("writing again", form+" button.do")
	w.until("it stands there", `document.querySelector('[data-watch="relief"]')`)
}

// A photo of a finding is marked by tap and by keys, and shows with its marks on
// the page and on paper; the picture itself stays as it is.
func TestMarksOnPhoto(t *testing.T) {
	b := serve(t)
	found := b.state("J-2057").Findings[0]
	at := b.photo(map[string]string{"finding": found.Ref, "step": "measure-findings", "note": "score on the pin", "then": "mark", "next": "/"})
	if !strings.HasPrefix(at, "/job/J-2057/marks/") {
		t.Fatalf("it leads to %s", at)
	}
	photo := path.Base(at)
	w := b.browse(tablet)
	w.open(at)
	w.until("the picture", `document.querySelector("#marked svg image") && document.documentElement.classList.contains("scripted")`)
	evaluate[int](w, `(() => {
		const picture = document.querySelector("[data-marked]"), box = picture.querySelector("svg").getBoundingClientRect();
		const send = (kind, x, y) => picture.dispatchEvent(new PointerEvent(kind, { bubbles: true, pointerId: 1, clientX: box.left + x * box.width, clientY: box.top + y * box.height }));
		picture.setPointerCapture = () => {};
		send("pointerdown", 0.25, 0.5); send("pointermove", 0.4, 0.5); send("pointerup", 0.4, 0.5);
		return 0 })()`)
	w.until("it is drawn before it is saved", `document.querySelector("#marked svg desc").textContent.includes("Mark 1, circle, at 25 %")`)
	if len(b.state("J-2057").MarksOf(photo)) != 0 {
		t.Error("kept before it was saved")
	}
	// The second by keys alone.
	evaluate[int](w, `(() => { const row = document.querySelectorAll("[data-mark]")[1]; row.open = true; row.querySelector("select").focus(); return 0 })()`)
	w.keys("a")
	w.do(chromedp.Focus(chromedp.CSS("#text-2")))
	w.keys("load side\r")
	w.until("saved", `document.querySelector('#text-2').defaultValue === "load side"`)
	w.accessible(axe(t), "marks")
	marks := b.state("J-2057").MarksOf(photo)
	if len(marks) != 2 || marks[0].Shape != job.MarkCircle || marks[0].X < 0.24 || marks[0].X > 0.26 || *marks[0].ToX < 0.39 || marks[1].Shape != job.MarkArrow || marks[1].Text != "load side" {
		t.Fatalf("kept: %+v", marks)
	}
	w.open("/job/J-2057/step/measure-findings")
	w.until("it stands at the finding", `document.querySelector(".found .thumbs a").innerText.includes("2 marks")`)
	if _, page := b.get("/job/J-2057/report"); !strings.Contains(page, "<image href=") || !strings.Contains(page, "load side") {
		t.Error("the report does not show the photo with its marks")
	}
	if _, pdf := b.get("/job/J-2057/report.pdf"); !strings.Contains(pdf, "/Subtype /Image") {
		t.Error("the report on paper does not show the photo")
	}
}

// Work is sent out, waits in the list, comes back and is measured again.
func TestWorkOutside(t *testing.T) {
	b := serve(t)
	w := b.browse(phone)
	w.open("/job/J-2057/part/idler")
	w.do(chromedp.Click(chromedp.CSS(`a[href$="/outside?part=idler"]`)))
	w.until("the form", `document.querySelector('form[data-entry="outside-work"] select') && document.documentElement.classList.contains("scripted")`)
	if got := evaluate[string](w, `document.querySelector('[name="t/part"]').value`); got != "idler" {
		t.Errorf("the form is for %q", got)
	}
	const form = `form[data-entry="outside-work"]:has([name="b/sent"])`
	w.enter(form, map[string]string{"t/work": "bore and sleeve", "t/to": "Hill Grinding (invented)", "t/by": "2026-06-02"})
	w.press("sending", form+" button.do")
	w.until("it is away", `document.querySelector("#zone-away").innerText.includes("bore and sleeve")`)
	if _, page := b.get("/"); !strings.Contains(page, "work outside") || !strings.Contains(page, "Hill Grinding (invented), promised for 2026-06-02") {
		t.Error("the list does not say what the job waits for")
	}
	w.press("returning", `form:has([name="b/returned"]) button.do`)
	w.until("the part asks to be measured", `location.pathname.endsWith("/part/idler") && /as left/.test(document.body.innerText)`)
	if s := b.state("J-2057").Outsides(); len(s) != 1 || s[0].Back == nil {
		t.Errorf("kept: %+v", s)
	}
	w.open("/job/J-2057/known")
	w.until("it is still to be measured", `document.querySelector("#zone-missing .refused").innerText.includes("still to be measured")`)
	if _, page := b.get("/job/J-2057/report"); !strings.Contains(page, "Work outside") {
		t.Error("the report does not name it")
	}
}

// The relief valve is written down as it was set, judged while it is typed, and
// stands in the report.
func TestReliefStep(t *testing.T) {
	b := serve(t)
	b.sign("prove-relief")
	w := b.browse(tablet)
	w.open("/job/J-2057/step/prove-relief")
	w.until("the form", `document.querySelector('form[data-entry="relief"]') && document.documentElement.classList.contains("scripted")`)
	const form = `form[data-entry="relief"]`
	w.enter(form, map[string]string{"t/set": "5 bar", "t/full_bypass": "5.6 bar", "t/reseat": "4.7 bar", "t/sealed": "lead seal 114"})
	w.until("it is judged before it is saved", `document.querySelector("`+strings.ReplaceAll(form, `"`, `\"`)+` [data-answer]").innerText.includes("Relief valve")`)
	w.press("writing", form+" button.do")
	w.until("it stands there", `document.querySelector('[data-watch="relief"]')`)
	if k := b.state("J-2057").LastRelief(); k == nil || k.Body.Sealed != "lead seal 114" {
		t.Errorf("kept: %+v", k)
	}
	if _, page := b.get("/job/J-2057/report"); !strings.Contains(page, "Relief valve as set on the stand") || !strings.Contains(page, "lead seal 114") {
		t.Error("the report does not show it")
	}
}

// An instrument out of calibration: its reading stands and decides nothing; a
// technician may not sign it away, a lead does with a reason, and the report
// says so.
func TestOverdueInstrument(t *testing.T) {
	late := time.Date(2027, 6, 1, 8, 0, 0, 0, time.UTC)
	shift := time.Until(late)
	b := serveAt(t, shop.Options{Now: func() time.Time { return time.Now().Add(shift) }})
	b.write("tomas", job.KindReading, job.Reading{Feature: "casing-bore", State: job.AsFound, Instrument: "IB-01", Values: []job.Value{{Plane: "A", Angle: new(float64), Text: "2.4865 in"}}})
	const at = "/job/J-2057/step/measure-bore?feature=casing-bore&state=as-found"
	if _, page := b.get(at); !strings.Contains(page, "Use it anyway") || strings.Contains(page, `data-entry="instrument-accepted"`) {
		t.Error("a technician is offered the signature, or nobody is told of it")
	}
	raw, _ := json.Marshal(map[string]any{"kind": job.KindAccepted, "body": job.Accepted{Instrument: "IB-01", Reason: "x"}, "quiet": true})
	if r, _ := b.post("/job/J-2057/entry", jsonMedia, string(raw), b.server.URL); r.StatusCode != http.StatusUnprocessableEntity && r.StatusCode != http.StatusForbidden {
		t.Errorf("a technician signs: %d", r.StatusCode)
	}
	w := b.browse(tablet)
	w.open("odell:" + at)
	w.until("the form", `document.querySelector('form[data-entry="instrument-accepted"]') && document.documentElement.classList.contains("scripted")`)
	const form = `form[data-entry="instrument-accepted"]`
	w.enter(form, map[string]string{"t/reason": "checked against ring gauge RG-2 this morning"})
	w.press("signing", form+" button")
	w.until("it is settled", `!document.querySelector('form[data-entry="instrument-accepted"]')`)
	if _, page := b.get("/job/J-2057/report"); !strings.Contains(page, "used anyway") || !strings.Contains(page, "ring gauge RG-2") {
		t.Error("the report does not say so")
	}
}

// The shop refuses to pass a hold point by any other entry than its signature.
func TestHoldPointCannotBePassed(t *testing.T) {
	b := serve(t)
	for name, letter := range map[string]string{
		"marked":     `{"kind":"step","body":{"step":"receive-liquid","mark":"done"},"quiet":true}`,
		"skipped":    `{"kind":"step","body":{"step":"receive-liquid","mark":"skipped","reason":"no time"},"quiet":true}`,
		"behind it":  `{"kind":"step","body":{"step":"safe-remove","mark":"done"},"quiet":true}`,
		"wrong role": `{"kind":"sign","body":{"step":"receive-liquid","role":"lead"},"quiet":true}`,
		"no step":    `{"kind":"step","body":{"step":"bananas","mark":"done"},"quiet":true}`,
		"no reason":  `{"kind":"step","body":{"step":"receive-missing","mark":"skipped"},"quiet":true}`,
	} {
		if r, text := b.post("/job/J-2063/entry", jsonMedia, letter, b.server.URL); r.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d %s", name, r.StatusCode, text)
		}
	}
	if _, there := b.state("J-2063").Marks["receive-liquid"]; there {
		t.Error("something was kept")
	}
}

// What a form holds while it is typed is answered in a few milliseconds.
func BenchmarkAnswerAsTyped(b *testing.B) {
	pages := benchPages(b)
	for b.Loop() {
		body := `{"kind":"reading","fields":{"t/feature":"casing-bore","t/state":"as-found","t/values/0/plane":"A","n/values/0/angle":"0","t/values/0/text":"2.4865 in"}}`
		r := newPost("/job/J-2057/answer", body)
		ask(b, pages, r)
	}
}

func BenchmarkPointAsTyped(b *testing.B) {
	pages := benchPages(b)
	for b.Loop() {
		body := `{"kind":"test-point","fields":{"t/speed":"1150 rpm","t/pressure":"3 bar","t/flow":"22 L/min","t/liquid":"demo-light-oil","t/temperature":"40 °C","t/viscosity":"46 mm2/s"}}`
		ask(b, pages, newPost("/job/J-2057/answer", body))
	}
}

func newPost(address, body string) *http.Request {
	r, _ := http.NewRequestWithContext(context.Background(), http.MethodPost, address, strings.NewReader(body))
	r.Header.Set("Content-Type", jsonMedia)
	r.URL, _ = url.Parse(fmt.Sprint(address))
	return r
}

// The drawing of the shafts follows while the readings of the dials are typed,
// and nothing is kept before they are saved.
func TestAlignmentIsLive(t *testing.T) {
	b := serve(t)
	w := b.browse(tablet)
	w.open("/job/J-2057/step/return-align?by=reverse")
	const form = `form[data-entry="alignment"]`
	w.until("the form", `document.querySelector('form[data-entry="alignment"]') && document.documentElement.classList.contains("scripted")`)
	before := evaluate[string](w, `document.getElementById("drawn").innerHTML`)
	w.enter(form, map[string]string{
		"t/dimensions/between": "200 mm", "t/dimensions/to_near_foot": "240 mm", "t/dimensions/to_far_foot": "760 mm",
		"t/readings/stationary_rim/top": "0 mm", "t/readings/stationary_rim/right": "0.05 mm", "t/readings/stationary_rim/bottom": "0.20 mm", "t/readings/stationary_rim/left": "0.15 mm",
		"t/readings/movable_rim/top": "0 mm", "t/readings/movable_rim/right": "-0.06 mm", "t/readings/movable_rim/bottom": "-0.18 mm", "t/readings/movable_rim/left": "-0.12 mm",
	})
	w.until("it is judged before it is saved", `document.querySelector('form[data-entry="alignment"] [data-answer]').innerText.includes("Running, the shafts lie")`)
	if now := evaluate[string](w, `document.getElementById("drawn").innerHTML`); now == before || !strings.Contains(now, "<svg") {
		t.Error("the drawing did not follow")
	}
	w.snap("alignment-typed")
	if n := len(b.state("J-2057").Alignments); n != 0 {
		t.Errorf("%d sets are kept", n)
	}
}
