package web_test

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"pumpwright/app/shop"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// notes is what somebody brings to the bench: the entries of the invented job,
// by what they are asked for.
type notes struct {
	readings map[string]map[string]any   // by feature, state and place
	tools    map[string]string           // instrument by feature and state
	entries  map[string][]map[string]any // bodies by kind, in order
	marks    map[string]map[string]any   // what became of a step
	signs    map[string]record.Entry     // signatures by step
	people   map[string]string           // who writes a kind of entry
}

func notesOf(t *testing.T, name string) *notes {
	t.Helper()
	stream, err := demo.Job(name)
	if err != nil {
		t.Fatal(err)
	}
	n := &notes{map[string]map[string]any{}, map[string]string{}, map[string][]map[string]any{}, map[string]map[string]any{}, map[string]record.Entry{}, map[string]string{}}
	for _, e := range stream.Entries {
		body := map[string]any{}
		if err := json.Unmarshal(e.Body, &body); err != nil {
			t.Fatal(err)
		}
		switch e.Kind {
		case job.KindReading:
			values, _ := body["values"].([]any)
			for _, v := range values {
				place, _ := v.(map[string]any)
				n.readings[placeKey(body["feature"], body["state"], place["plane"], place["angle"])] = place
			}
			n.tools[fmt.Sprint(body["feature"], body["state"])], _ = body["instrument"].(string)
		case job.KindStep:
			n.marks[fmt.Sprint(body["step"])] = body
		case job.KindSign:
			n.signs[fmt.Sprint(body["step"])] = e
		default:
			n.entries[e.Kind] = append(n.entries[e.Kind], body)
			n.people[e.Kind] = e.By
		}
	}
	return n
}

func placeKey(feature, state, plane, angle any) string {
	if plane == nil {
		plane = ""
	}
	if angle == nil {
		angle = ""
	}
	return fmt.Sprint(feature, "|", state, "|", plane, "|", angle)
}

// take removes and returns the next entry of a kind.
func (n *notes) take(kind string) map[string]any {
	list := n.entries[kind]
	if len(list) == 0 {
		return nil
	}
	n.entries[kind] = list[1:]
	return list[0]
}

// flat lists the fields of a body under the names that a form gives them.
func flat(prefix string, value any, into map[string]string) {
	switch v := value.(type) {
	case map[string]any:
		for key, inner := range v {
			flat(prefix+"/"+key, inner, into)
		}
	case []any:
		for i, inner := range v {
			flat(prefix+"/"+strconv.Itoa(i), inner, into)
		}
	case string:
		into["t"+prefix] = v
	case float64:
		into["n"+prefix] = strconv.FormatFloat(v, 'f', -1, 64)
	case bool:
		into["b"+prefix] = map[bool]string{true: "yes", false: "no"}[v]
	}
}

// enter fills in the fields of a form as a person would and returns those that
// the form does not have.
func (w *browser) enter(form string, fields map[string]string) []string {
	w.t.Helper()
	var absent []string
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		field := form + " [name=" + strconv.Quote(name) + "]"
		kind := evaluate[string](w, `(e => e ? (e.type || e.tagName) : "")(document.querySelector(`+strconv.Quote(field)+`))`)
		value := fields[name]
		switch kind {
		case "":
			absent = append(absent, name)
		case "hidden", "submit":
		case "select-one":
			if !evaluate[bool](w, fmt.Sprintf(`(e => { e.value = %q; e.dispatchEvent(new Event("change", {bubbles: true})); return e.value === %q })(document.querySelector(%q))`, value, value, field)) {
				w.t.Fatalf("%s: no choice %q", field, value)
			}
		case "checkbox", "radio":
			if value == "yes" || kind == "radio" {
				picked := field + "[value=" + strconv.Quote(value) + "]"
				if !evaluate[bool](w, fmt.Sprintf(`(e => { if (e && !e.checked) e.click(); return !!e })(document.querySelector(%q))`, picked)) {
					w.t.Fatalf("%s: no choice %q", field, value)
				}
			}
		default:
			evaluate[int](w, fmt.Sprintf(`(e => { e.closest("details")?.setAttribute("open", ""); e.scrollIntoView({block: "center"}); e.focus(); e.select && e.select(); return 0 })(document.querySelector(%q))`, field))
			w.keys(value)
		}
	}
	return absent
}

// press clicks a button and waits until the page knows what became of it.
func (w *browser) press(what, button string) {
	w.t.Helper()
	before := evaluate[string](w, `document.getElementById("main").dataset.seq + location.href`)
	evaluate[int](w, fmt.Sprintf(`(e => { e.closest("details")?.setAttribute("open", ""); e.scrollIntoView({block: "center"}); e.click(); return 0 })(document.querySelector(%q))`, button))
	w.until(what+" is taken", `document.getElementById("main") && document.documentElement.classList.contains("scripted") && document.getElementById("main").dataset.seq + location.href !== `+strconv.Quote(before))
}

// become switches the person.
func (w *browser) become(person string) {
	w.t.Helper()
	if evaluate[string](w, `document.body.dataset.person || document.querySelector("[data-person]").dataset.person`) == "demo/"+person {
		return
	}
	w.do(chromedp.Click(chromedp.CSS(".menu summary")))
	w.do(chromedp.Click(chromedp.CSS(`.menu button[value="` + person + `"]`)))
	w.until("it is "+person, `document.documentElement.classList.contains("scripted") && document.querySelector("[data-person]").dataset.person === `+strconv.Quote("demo/"+person))
}

// clockBack sets the clock of the browser's pages back.
func (w *browser) clockBack(shift time.Duration) {
	w.t.Helper()
	source := fmt.Sprintf(`{ const Real = Date; Date = class extends Real {
		constructor(...a) { a.length ? super(...a) : super(Real.now() - %[1]d) }
		static now() { return Real.now() - %[1]d }
	} }`, shift.Milliseconds())
	if _, err := chromedp.Run(w.ctx, func(ctx context.Context, _ *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: source})
		return chromedp.Void{}, err
	}); err != nil {
		w.t.Fatal(err)
	}
}

// The whole invented job is done again by clicks and typed values, from
// receiving the pump to the report; the tool comes to the same decisions.
func TestWholeJob(t *testing.T) {
	// On a day on which every instrument of the scenario is in calibration.
	shift := time.Since(time.Date(2026, 5, 20, 8, 0, 0, 0, time.UTC))
	b := serveAt(t, shop.Options{Now: func() time.Time { return time.Now().Add(-shift) }})
	w := b.browse(tablet)
	w.clockBack(shift)
	n := notesOf(t, "J-2041")
	// What the scenario leaves out is done as well.
	n.entries[job.KindRelief] = []map[string]any{{"set": "9.5 bar", "full_bypass": "10.2 bar", "reseat": "8.9 bar", "sealed": "lead seal 31"}}
	open := n.take(job.KindOpen)
	w.open("/receive")
	w.enter("form.entry", map[string]string{"tag": "P-311", "serial": "KQ-0999", "owner": fmt.Sprint(open["owner"]), "place": fmt.Sprint(open["place"]), "complaint": fmt.Sprint(open["complaint"])})
	w.enter("form.entry", map[string]string{"sheet": "demo-pump-m", "service": "service-light-oil"})
	w.do(chromedp.Click(chromedp.CSS(`[name="removed"]`)))
	w.do(chromedp.Click(chromedp.CSS("form.entry button.do")))
	w.until("the job", `/^\/job\/J-/.test(location.pathname) && document.documentElement.classList.contains("scripted")`)
	name := strings.Split(evaluate[string](w, "location.pathname"), "/")[2]
	last, stuck := "", 0
	for turn := 0; ; turn++ {
		if turn > 500 {
			t.Fatal("the job does not end")
		}
		w.open("/job/" + name)
		w.until("the page", `document.documentElement.classList.contains("scripted")`)
		at := evaluate[string](w, `location.pathname + "#" + document.getElementById("main").dataset.seq`)
		if stuck++; at != last {
			last, stuck = at, 0
		}
		if stuck > 2 {
			t.Fatalf("no way on at %s:\n%s", at, evaluate[string](w, `document.getElementById("main").innerText`))
		}
		if !n.step(w, name) {
			break
		}
	}
	for kind, left := range n.entries {
		switch kind {
		case job.KindSheet, job.KindService, job.KindBasis, job.KindOpen:
		default:
			if len(left) == 0 {
				continue
			}
			t.Errorf("never asked for: %d of %s", len(left), kind)
		}
	}
	was, is := b.state("J-2041"), b.state(name)
	read := map[string]bool{}
	for i := range is.Values {
		read[valueKey(&is.Values[i])] = true
	}
	for i := range was.Values {
		if key := valueKey(&was.Values[i]); !read[key] {
			t.Errorf("read on the job, never asked for: %s", key)
		}
	}
	before, after := b.assessed("J-2041"), b.assessed(name)
	for _, d := range before.Parts.Decisions {
		if got := after.Parts.Of(d.Part.ID); got == nil || got.Advice != d.Advice {
			t.Errorf("%s: %+v, was %v", d.Part.ID, got, d.Advice)
		}
	}
	w.open("/job/" + name + "/report")
	w.until("the report", `document.querySelectorAll(".report h2").length > 5 && document.body.innerText.includes("P-311") && document.body.innerText.includes("lead seal 31")`)
}

// assessed is what a job means.
func (b *bench) assessed(name string) *assess.Assessment {
	b.t.Helper()
	scope, err := b.shop.DemoScope(context.Background(), "odell")
	if err != nil {
		b.t.Fatal(err)
	}
	j, err := b.shop.Job(context.Background(), scope, name)
	if err != nil {
		b.t.Fatal(err)
	}
	return j.Assessment
}

func valueKey(v *job.PlaceValue) string {
	angle := any(nil)
	if v.Angle != nil {
		angle = *v.Angle
	}
	return placeKey(v.Feature, v.State, v.Plane, angle)
}

// step does what the page asks for; false when the job is at its end.
func (n *notes) step(w *browser, name string) bool {
	w.t.Helper()
	path := evaluate[string](w, "location.pathname")
	if strings.HasSuffix(path, "/known") {
		return false
	}
	step := path[strings.LastIndex(path, "/")+1:]
	if n.read(w) {
		return true
	}
	mark := n.marks[step]
	if mark["mark"] == "skipped" {
		form := `.skip form:has(input[name="t/reason"])`
		w.enter(form, map[string]string{"t/reason": fmt.Sprint(mark["reason"])})
		w.press("skipping "+step, form+" button")
		return true
	}
	if evaluate[bool](w, `!!document.querySelector('#zone-record a.do[href$="/close"]')`) {
		w.do(chromedp.Click(chromedp.CSS(`#zone-record a.do[href$="/close"]`)))
		w.until("the closing page", `document.querySelector("#zone-trial form")`)
		n.write(w, job.KindTrial, "#zone-trial form")
		w.open(path)
	}
	const record = "#zone-record form[data-entry]"
	kind := evaluate[string](w, `document.querySelector("`+record+`")?.dataset.entry || ""`)
	if roles := evaluate[bool](w, `!!document.querySelector("#zone-record > .remark") && !document.querySelector("#zone-record form")`); kind == "" && roles {
		w.become("odell")
		kind = evaluate[string](w, `document.querySelector("`+record+`")?.dataset.entry || ""`)
	}
	once := kind == job.KindRunning || kind == job.KindAlignment
	for wrote := 0; kind != "" && len(n.entries[kind]) > 0 && !(once && wrote > 0); wrote++ {
		n.write(w, kind, record)
		w.open(path)
		w.until("the step", `document.documentElement.classList.contains("scripted")`)
	}
	if sign, ok := n.signs[step]; ok {
		w.become(sign.By)
		if !evaluate[bool](w, `!!document.querySelector(".hold form")`) {
			return true
		}
		w.press("signing "+step, ".hold form button.do")
		w.become("tomas")
		return true
	}
	const done = `#zone-end form:has(input[name="t/mark"][value="done"])`
	if evaluate[bool](w, `!!document.querySelector('`+done+`')`) {
		if minutes, ok := mark["minutes"].(float64); ok {
			w.enter(done, map[string]string{"n/minutes": strconv.FormatFloat(minutes, 'f', -1, 64)})
		}
		w.press("marking "+step, done+" button.do")
	}
	return true
}

// read types the reading that is asked for.
func (n *notes) read(w *browser) bool {
	w.t.Helper()
	asked := evaluate[map[string]string](w, `Object.fromEntries(new FormData(document.getElementById("form-reading") || undefined))`)
	get := func(name string) any {
		if v := asked[name]; v != "" {
			return v
		}
		return nil
	}
	value, ok := n.readings[placeKey(get("t/feature"), get("t/state"), get("t/values/0/plane"), get("n/values/0/angle"))]
	if !ok {
		return false
	}
	if tool := n.tools[asked["t/feature"]+asked["t/state"]]; tool != "" && evaluate[bool](w, `!!document.querySelector('#form-reading [name="t/instrument"]')`) {
		w.enter("#form-reading", map[string]string{"t/instrument": tool})
	}
	if goes, ok := value["goes"].(string); ok { // feeler leaves are tapped
		w.enter("#form-reading", map[string]string{"t/values/0/goes": goes, "t/values/0/no_go": fmt.Sprint(value["no_go"])})
		w.press(asked["t/feature"], "#form-reading button.do")
		return true
	}
	if !evaluate[bool](w, `!!document.querySelector("[data-reading]")`) {
		w.do(chromedp.Click(chromedp.CSS("#form-reading a.aside")))
		w.until("the field", `document.querySelector("[data-reading]")`)
	}
	w.do(chromedp.Focus(chromedp.CSS("[data-reading]")))
	before := evaluate[string](w, `document.getElementById("main").dataset.seq`)
	w.keys(fmt.Sprint(value["text"], "\r"))
	w.until(asked["t/feature"]+" is taken", `document.getElementById("main").dataset.seq !== "`+before+`"`)
	return true
}

// write writes the next entry of a kind into a form.
func (n *notes) write(w *browser, kind, form string) {
	w.t.Helper()
	body := n.take(kind)
	fields := map[string]string{}
	flat("", body, fields)
	if by := fields["t/method"]; by != "" && evaluate[bool](w, `!!document.querySelector('#zone-record .how a[href$="by=`+by+`"][aria-current="false"]')`) {
		w.do(chromedp.Click(chromedp.CSS(`#zone-record .how a[href$="by=` + by + `"]`)))
		w.until("the other form", `document.querySelector('`+form+` input[name="t/method"][value="`+by+`"]')`)
	}
	button := form + " button.do"
	if fields["b/absent"] == "yes" {
		button = form + ` button[name="b/absent"]`
	}
	delete(fields, "b/absent")
	if absent := w.enter(form, fields); len(absent) > 0 {
		w.t.Errorf("the form of %s at %s has no field for %s", kind, evaluate[string](w, "location.pathname"), strings.Join(absent, ", "))
	}
	w.press(kind, button)
}
