// Package handbook is the place where the handbook is read: the chapters of
// package docs as pages, with a search over their sections. It works without
// any network, and without being known to the shop's books.
package handbook

import (
	"bytes"
	"io/fs"
	"net/http"
	"path"
	"regexp"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"

	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/docs"
)

// Place is the place of the handbook. It needs no permission: it tells nothing
// of the shop.
func Place() frame.Place {
	return frame.Place{
		Menu: wordHandbook.With(), Address: "/handbook",
		Routes: []frame.Route{
			{Pattern: "GET /handbook", Handle: list},
			{Pattern: "GET /handbook/{name}", Handle: show},
			{Pattern: "GET /handbook/{name}/{section}", Handle: show},
			{Pattern: "GET /handbook-picture/{name}", Handle: picture},
		},
	}
}

var (
	wordHandbook = say.Define("handbook.handbook", "Handbook")
	wordFind     = say.Define("handbook.find", "Find in the handbook")
	wordDo       = say.Define("handbook.do", "Find")
	wordNothing  = say.Define("handbook.nothing", "Nothing in the handbook speaks of that.")
	wordEnglish  = say.Define("handbook.english", "The handbook is in English.")
	wordAll      = say.Define("handbook.all", "All chapters")
	msgUnknown   = say.Define("handbook.unknown", "there is no such chapter")
)

// wholeUpTo is the size in bytes up to which a chapter is one page.
const wholeUpTo = 40_000

// section is a piece of a chapter under a heading of its second level.
type section struct {
	Title, Slug string
	text        string
}

// split cuts a chapter into what stands before its first section, and these.
func split(text string) (string, []section) {
	parts := strings.Split("\n"+text, "\n## ")
	var list []section
	for _, p := range parts[1:] {
		title, _, _ := strings.Cut(p, "\n")
		list = append(list, section{Title: title, Slug: slug(title), text: "# " + p})
	}
	return strings.TrimPrefix(parts[0], "\n"), list
}

var notInSlug = regexp.MustCompile(`[^a-z0-9_-]+`)

func slug(title string) string {
	return notInSlug.ReplaceAllString(strings.ReplaceAll(strings.ToLower(title), " ", "-"), "")
}

// found is one section that speaks of what is looked for.
type found struct{ Chapter, Title, Address string }

type book struct {
	v        *frame.Visit
	chapters []docs.Chapter
	asked    string
	hits     []found
	page     string // a chapter or a section as HTML
}

func list(v *frame.Visit) error {
	b := &book{v: v, chapters: docs.Chapters(), asked: strings.TrimSpace(v.URL.Query().Get("q"))}
	if b.asked != "" {
		b.hits = find(b.chapters, b.asked)
	}
	return v.Show(frame.Page{Title: wordHandbook.With(), Plain: true, Body: listBody(b)})
}

// mostFound is how many sections are listed.
const mostFound = 40

// find lists the sections in which every word occurs, those with the words in
// their title first.
func find(chapters []docs.Chapter, asked string) []found {
	words := strings.Fields(strings.ToLower(asked))
	all := func(text string) bool {
		text = strings.ToLower(text)
		for _, w := range words {
			if !strings.Contains(text, w) {
				return false
			}
		}
		return true
	}
	var named, other []found
	for _, c := range chapters {
		raw, err := docs.Files.ReadFile(c.Name + ".md")
		if err != nil {
			continue
		}
		first, sections := split(string(raw))
		if all(first) {
			other = append(other, found{c.Title, c.Title, "/handbook/" + c.Name})
		}
		for _, s := range sections {
			hit := found{c.Title, s.Title, Address(c.Name, s.Slug)}
			switch {
			case all(s.Title):
				named = append(named, hit)
			case all(s.text):
				other = append(other, hit)
			}
		}
	}
	hits := append(named, other...)
	return hits[:min(len(hits), mostFound)]
}

func show(v *frame.Visit) error {
	for _, c := range docs.Chapters() {
		if c.Name != v.PathValue("name") {
			continue
		}
		raw, err := docs.Files.ReadFile(c.Name + ".md")
		if err != nil {
			return err
		}
		text, title := string(raw), c.Title
		large := len(raw) > wholeUpTo
		if wanted := v.PathValue("section"); wanted != "" || large {
			first, sections := split(text)
			text = first
			for _, s := range sections {
				if s.Slug == wanted {
					text, title, large = s.text, s.Title, false
				}
			}
			if wanted != "" && text == first {
				break
			}
		}
		page, err := render(c.Name, text, large)
		if err != nil {
			return err
		}
		b := &book{v: v, chapters: docs.Chapters(), page: page}
		return v.Show(frame.Page{Title: say.Plain(title), Plain: true, Body: pageBody(b)})
	}
	return v.Show(frame.Page{Title: wordHandbook.With(), Plain: true, Status: http.StatusNotFound, Body: unknownBody(&book{v: v})})
}

// markdown turns a text of the handbook into HTML. Raw HTML is left out by
// default, which suits: the chapters need none.
var markdown = goldmark.New(goldmark.WithExtensions(extension.Table), goldmark.WithParserOptions(parser.WithAutoHeadingID()))

var (
	linkToChapter = regexp.MustCompile(`href="([a-z-]+)\.md(#[^"]*)?"`)
	linkToSection = regexp.MustCompile(`href="#([^"]+)"`)
	linkToPicture = regexp.MustCompile(`src="([a-z0-9-]+\.(?:png|svg))"`)
)

func render(chapter, text string, bySection bool) (string, error) {
	var b bytes.Buffer
	if err := markdown.Convert([]byte(text), &b); err != nil {
		return "", err
	}
	page := linkToChapter.ReplaceAllStringFunc(b.String(), func(link string) string {
		m := linkToChapter.FindStringSubmatch(link)
		return `href="` + Address(m[1], strings.TrimPrefix(m[2], "#")) + `"`
	})
	if bySection {
		page = linkToSection.ReplaceAllString(page, `href="/handbook/`+chapter+`/$1"`)
	}
	page = linkToPicture.ReplaceAllString(page, `src="/handbook-picture/$1"`)
	page = strings.ReplaceAll(page, "<table>", `<div class="table" role="group" tabindex="0" aria-label="table"><table>`)
	page = strings.ReplaceAll(page, "</table>", "</table></div>")
	return strings.ReplaceAll(page, "<pre>", `<pre role="group" tabindex="0" aria-label="text">`), nil
}

// Address returns where a section of a chapter is read: on the page of the
// chapter, or on its own where the chapter is long.
func Address(chapter, section string) string {
	address := "/handbook/" + chapter
	if section == "" {
		return address
	}
	if info, err := fs.Stat(docs.Files, chapter+".md"); err == nil && info.Size() > wholeUpTo {
		return address + "/" + section
	}
	return address + "#" + section
}

func picture(v *frame.Visit) error {
	name := path.Base(v.PathValue("name"))
	if kind := path.Ext(name); kind != ".png" && kind != ".svg" {
		http.NotFound(v.ResponseWriter, v.Request)
		return nil
	}
	http.ServeFileFS(v.ResponseWriter, v.Request, docs.Files, name)
	return nil
}
