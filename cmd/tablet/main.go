//go:build js

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"syscall/js"

	"pumpwright/app/access"
	"pumpwright/app/language"
	"pumpwright/app/shop"
	"pumpwright/app/web"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// jobCopy is a job as the server gave it to the tablet.
type jobCopy struct {
	Job    string `json:"job"`
	Site   string `json:"site"`
	Person struct {
		ID       string        `json:"id"`
		Name     string        `json:"name"`
		Roles    []access.Role `json:"roles"`
		Owner    string        `json:"owner"`
		Device   string        `json:"device"`
		Inch     bool          `json:"inch"`
		Theme    string        `json:"theme"`
		Language string        `json:"language"`
	} `json:"person"`
	Names   map[string]string `json:"names"`
	Files   map[string]string `json:"files"`
	Entries []record.Entry    `json:"entries"`

	Languages []language.Name `json:"languages"`
}

// bench is a job that is at work here: its copy with what waits applied.
type bench struct {
	copy    jobCopy
	shop    *shop.Shop
	pages   *web.Server
	applied []string // ids of what waits that is in it
}

func open(c jobCopy) *bench {
	language.Know(c.Languages)
	stream := &record.Stream{Name: shop.StreamOf(c.Job), Entries: c.Entries}
	b := &bench{copy: c, shop: shop.New(newHeld(stream, c.Names), shop.Options{Copied: len(c.Entries)})}
	visitor := frame.Visitor{Name: c.Person.Name, Language: c.Person.Language, Scope: shop.Scope{
		Site: c.Site, Person: c.Person.ID, Roles: c.Person.Roles, Device: c.Person.Device, Owner: c.Person.Owner,
	}}
	if c.Person.Inch {
		visitor.Units = say.Inch
	}
	b.pages = web.New(web.Config{
		Shop: b.shop, Who: func() frame.Visitor { return visitor },
		Files: func(name string) string { return c.Files[name] },
	})
	return b
}

func (b *bench) close() {
	b.pages.Close()
	_ = b.shop.Close() // nothing of it lasts
}

// letter is a request as the worker hands it over.
type letter struct {
	method, address, media string
	body                   []byte
}

type answer struct {
	header http.Header
	status int
	text   bytes.Buffer
}

func (a *answer) Header() http.Header            { return a.header }
func (a *answer) WriteHeader(status int)         { a.status = status }
func (a *answer) Write(text []byte) (int, error) { return a.text.Write(text) }

func (b *bench) ask(l letter) (*answer, error) {
	r, err := http.NewRequestWithContext(context.Background(), l.method, l.address, bytes.NewReader(l.body))
	if err != nil {
		return nil, fmt.Errorf("tablet: %s: %w", l.address, err)
	}
	r.RequestURI = l.address
	if l.media != "" {
		r.Header.Set("Content-Type", l.media)
		if strings.HasPrefix(l.address, "/job/") { // a letter of the queue; a calculator is a plain form
			r.Header.Set("Accept", "application/json")
		}
	}
	if b.copy.Person.Theme != "" {
		r.Header.Set("Cookie", "theme="+b.copy.Person.Theme)
	}
	a := &answer{header: http.Header{}, status: http.StatusOK}
	b.pages.ServeHTTP(a, r)
	return a, nil
}

// benches at work, by the address of the job.
var benches = map[string]*bench{}

// waits is what waits in the browser.
type waits struct {
	id string
	letter
}

// at brings a job to where it stands with what waits: what is new is applied;
// when the shop has taken something or others wrote, it is opened anew.
func at(address, text string, all []waits) (*bench, error) {
	b := benches[address]
	if b == nil || b.stale(text, all) {
		var c jobCopy
		if err := json.Unmarshal([]byte(text), &c); err != nil {
			return nil, fmt.Errorf("tablet: copy: %w", err)
		}
		if b != nil {
			b.close()
		}
		b = open(c)
		benches[address], texts[address] = b, text
	}
	for _, w := range all[len(b.applied):] {
		if _, err := b.ask(w.letter); err != nil { // what this code refuses the shop decides
			return nil, err
		}
		b.applied = append(b.applied, w.id)
	}
	return b, nil
}

// texts are the copies that the benches were opened from.
var texts = map[string]string{}

func (b *bench) stale(text string, all []waits) bool {
	if texts["/job/"+b.copy.Job] != text || len(all) < len(b.applied) {
		return true
	}
	for i, id := range b.applied {
		if all[i].id != id {
			return true
		}
	}
	return false
}

// answered gives the worker an answer to one request: (address of the job, its
// copy, what waits, the request).
func answered(args []js.Value) (any, error) {
	address, text := args[0].String(), args[1].String()
	all := make([]waits, args[2].Length())
	for i := range all {
		all[i] = waits{args[2].Index(i).Get("id").String(), letterOf(args[2].Index(i), http.MethodPost)}
	}
	own := letterOf(args[3], args[3].Get("method").String())
	id := args[3].Get("id")
	if id.Type() == js.TypeString { // the request itself waits too: not before it is asked
		for i := range all {
			if all[i].id == id.String() {
				all = all[:i]
				break
			}
		}
	}
	b, err := at(address, text, all)
	if err != nil {
		return nil, err
	}
	a, err := b.ask(own)
	if err != nil {
		return nil, err
	}
	if id.Type() == js.TypeString && a.status == http.StatusOK {
		b.applied = append(b.applied, id.String())
	}
	header := map[string]any{}
	for name, values := range a.header {
		header[name] = strings.Join(values, ", ")
	}
	return map[string]any{"status": a.status, "headers": header, "text": a.text.String()}, nil
}

func letterOf(v js.Value, method string) letter {
	l := letter{method: method, address: v.Get("url").String()}
	if media := v.Get("type"); media.Type() == js.TypeString {
		l.media = media.String()
	}
	if body := v.Get("body"); body.Type() == js.TypeObject {
		l.body = make([]byte, body.Length())
		js.CopyBytesToGo(l.body, body)
	}
	return l
}

func main() {
	js.Global().Set("pumpwrightSpeak", js.FuncOf(func(_ js.Value, args []js.Value) any {
		language.Learn(args[0].String(), args[1].String())
		return nil
	}))
	js.Global().Set("pumpwrightTablet", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return js.Global().Get("Promise").New(js.FuncOf(func(_ js.Value, promise []js.Value) any {
			go func() {
				given, err := answered(args)
				if err != nil {
					promise[1].Invoke(err.Error())
					return
				}
				promise[0].Invoke(js.ValueOf(given))
			}()
			return nil
		}))
	}))
	select {}
}
