package api

import (
	"bytes"
	"html/template"
	"net/http"
	"slices"
	"sort"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// route is an operation as the page shows it.
type route struct {
	Method, Path, Summary, Description string
	Parameters                         []parameter
	Body, Answer                       []property
	BodyKind                           string
	Statuses                           []string
}

type parameter struct {
	Name, In, About string
	Needed          bool
}

type property struct {
	Name, Kind, About string
	Needed            bool
	Depth             int
}

type chapter struct {
	Name   string
	Routes []route
}

var page = template.Must(template.New("page").Parse(`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>{{.Title}}: interface for programs</title><link rel="stylesheet" href="/api/page.css"></head>
<body><header><h1>{{.Title}}: interface for programs</h1>
<p>{{.About}}</p>
<p>The same as a document for machines: <a href="/api/openapi.json">openapi.json</a>.</p>
<dl>
<dt>Who asks</dt><dd>Show the token with every request: <code>Authorization: Bearer …</code>. It acts for a person, within its grants: read, enter, sign, keep, manage.</dd>
<dt>Sent again</dt><dd>Make the <code>id</code> of what you write yourself (UUID version 7). When no answer came, send the same again: it is kept once.</dd>
<dt>Only if</dt><dd><code>If-Match</code> with the <code>ETag</code> of a job keeps an entry only if nobody wrote since (else 412). <code>If-None-Match</code> answers 304 while nothing is new.</dd>
<dt>Pages of lists</dt><dd>A list that goes on carries <code>more</code>: ask again with it as <code>after</code>.</dd>
<dt>Refused</dt><dd>What is refused is told as <code>application/problem+json</code> (RFC 9457), with the field and what would be accepted.</dd>
<dt>Too often</dt><dd>429 says in <code>Retry-After</code> how many seconds to wait.</dd>
</dl>
<nav>{{range .Chapters}}<a href="#{{.Name}}">{{.Name}}</a> {{end}}</nav></header>
<main>{{range .Chapters}}<section id="{{.Name}}"><h2>{{.Name}}</h2>
{{range .Routes}}<details><summary><b>{{.Method}}</b> <code>{{.Path}}</code> {{.Summary}}</summary>
{{with .Description}}<p>{{.}}</p>{{end}}
{{with .Parameters}}<h3>Parameters</h3><table><tr><th>name</th><th>where</th><th></th><th>meaning</th></tr>{{range .}}<tr><td><code>{{.Name}}</code></td><td>{{.In}}</td><td>{{if .Needed}}needed{{end}}</td><td>{{.About}}</td></tr>{{end}}</table>{{end}}
{{with .BodyKind}}<h3>Body: {{.}}</h3>{{end}}{{template "fields" .Body}}
<h3>Answers: {{range .Statuses}}{{.}} {{end}}</h3>{{template "fields" .Answer}}
</details>{{end}}</section>{{end}}</main></body></html>
{{define "fields"}}{{with .}}<table><tr><th>field</th><th>kind</th><th></th><th>meaning</th></tr>{{range .}}<tr><td class="in{{.Depth}}"><code>{{.Name}}</code></td><td>{{.Kind}}</td><td>{{if .Needed}}always{{end}}</td><td>{{.About}}</td></tr>{{end}}</table>{{end}}{{end}}`))

const style = `body{font:16px/1.5 sans-serif;margin:0 auto;max-width:60rem;padding:1rem;color:#111;background:#fff}
h1{font-size:1.5rem}h2{border-bottom:1px solid #888;text-transform:capitalize}h3{font-size:1rem;margin:.8rem 0 .2rem}
nav a{display:inline-block;padding:.75rem 1rem .75rem 0}summary{padding:.75rem 0;cursor:pointer}summary code{overflow-wrap:anywhere}
dt{font-weight:bold}dd{margin:0 0 .4rem}table{border-collapse:collapse;width:100%;display:block;overflow-x:auto}td,th{text-align:left;vertical-align:top;padding:.2rem .6rem .2rem 0;border-bottom:1px solid #ddd}
.in1{padding-left:1rem}.in2{padding-left:2rem}.in3{padding-left:3rem}
@media(prefers-color-scheme:dark){body{color:#eee;background:#141414}a{color:#9cf}td,th{border-color:#444}}`

// chapters in the order of the work; one that is not named here comes first.
var chapters = []string{"jobs", "entries", "files", "reports", "pumps", "history", "sheets", "services", "liquids", "calculators", "shop", "tables", "people", "programs", "webhooks"}

// makePage draws the page from the document, once.
func makePage(doc *huma.OpenAPI) ([]byte, error) {
	byTag := map[string][]route{}
	var order []string
	for _, path := range sorted(doc.Paths) {
		item := doc.Paths[path]
		for _, o := range []*huma.Operation{item.Get, item.Post, item.Put, item.Delete} {
			if o == nil {
				continue
			}
			if byTag[o.Tags[0]] == nil {
				order = append(order, o.Tags[0])
			}
			byTag[o.Tags[0]] = append(byTag[o.Tags[0]], routeOf(doc, path, o))
		}
	}
	data := struct {
		Title, About string
		Chapters     []chapter
	}{Title: doc.Info.Title, About: doc.Info.Description}
	slices.SortStableFunc(order, func(a, b string) int { return slices.Index(chapters, a) - slices.Index(chapters, b) })
	for _, name := range order {
		data.Chapters = append(data.Chapters, chapter{name, byTag[name]})
	}
	var b bytes.Buffer
	err := page.Execute(&b, data)
	return b.Bytes(), err
}

func sorted[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

func routeOf(doc *huma.OpenAPI, path string, o *huma.Operation) route {
	r := route{Method: o.Method, Path: path, Summary: o.Summary, Description: o.Description, Statuses: sorted(o.Responses)}
	for _, p := range o.Parameters {
		r.Parameters = append(r.Parameters, parameter{p.Name, p.In, p.Description, p.Required})
	}
	if o.RequestBody != nil {
		r.BodyKind = strings.Join(sorted(o.RequestBody.Content), ", ")
		if m := o.RequestBody.Content["application/json"]; m != nil {
			r.Body = properties(doc, m.Schema, 0)
		}
	}
	for _, status := range r.Statuses {
		if m := o.Responses[status].Content["application/json"]; m != nil && strings.HasPrefix(status, "2") {
			r.Answer = properties(doc, m.Schema, 0)
		}
	}
	return r
}

// mostDepth bounds how far fields are shown: some hold themselves.
const mostDepth = 3

func properties(doc *huma.OpenAPI, s *huma.Schema, depth int) []property {
	if s != nil && s.Ref != "" {
		s = doc.Components.Schemas.SchemaFromRef(s.Ref)
	}
	if s == nil || depth > mostDepth {
		return nil
	}
	if s.Items != nil {
		return properties(doc, s.Items, depth)
	}
	needed := map[string]bool{}
	for _, name := range s.Required {
		needed[name] = true
	}
	var list []property
	for _, name := range sorted(s.Properties) {
		one := s.Properties[name]
		list = append(list, property{name, kindOf(one), one.Description, needed[name], depth})
		list = append(list, properties(doc, one, depth+1)...)
	}
	return list
}

func kindOf(s *huma.Schema) string {
	switch {
	case s.Ref != "":
		return "object"
	case s.Type == "":
		return "any"
	case s.Format != "":
		return s.Type + ", " + s.Format
	case len(s.Enum) > 0:
		words := make([]string, len(s.Enum))
		for i, w := range s.Enum {
			words[i], _ = w.(string)
		}
		return "one of: " + strings.Join(words, ", ")
	}
	return s.Type
}

func (s *Server) showPage(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(s.page)
}

func showStyle(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/css; charset=utf-8")
	_, _ = w.Write([]byte(style))
}
