package language

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"pumpwright/calc/say"
)

// English is the tag of the language of the source, which needs no file.
const English = "en"

// Name is a language that there is.
type Name struct {
	Tag string `json:"tag"` // BCP 47
	Own string `json:"own"` // what the language calls itself
}

// All lists the languages, English first, the others by their tag.
func All() []Name { return slices.Clone(names()) }

// Tags lists the tags of the languages, English first.
func Tags() []string { return slices.Clone(tags()) }

// Known reports whether there is a language of this tag.
func Known(tag string) bool { return slices.Contains(tags(), tag) }

var msgUnknown = say.Define("language.unknown", "there is no language “{tag}” here")
var msgAre = say.Define("language.are", "the languages are {tags:list}")

// Check refuses a language that is not there; "" is nobody's choice and good.
func Check(field, tag string) error {
	if tag == "" || Known(tag) {
		return nil
	}
	return say.Refuse(field, tag, msgUnknown.With(tag), msgAre.With(Tags()))
}

// Style returns the style of somebody who reads the units and the language. A
// language that is not there reads as English.
func Style(units say.Units, tag string) say.Style {
	if c := Catalogue(tag); c != nil {
		return say.Style{Units: units, Catalogue: c}
	}
	return say.Style{Units: units}
}

// Catalogue returns the words of a language, nil for English and for a language
// that is not there. The file is read at the first call.
func Catalogue(tag string) say.Catalogue {
	if tag == "" || tag == English || !Known(tag) {
		return nil
	}
	once, _ := catalogues.LoadOrStore(tag, sync.OnceValue(func() *catalogue {
		text, err := Text(tag)
		if err != nil {
			return nil
		}
		c, err := open(text)
		if err != nil {
			return nil // a test reads every file, so this cannot be
		}
		return c
	}))
	if c := once.(func() *catalogue)(); c != nil {
		return c
	}
	return nil
}

var catalogues sync.Map // tag → func() *catalogue

// catalogue is a language that was read.
type catalogue struct {
	tag, mark string
	date      []string // DD, MM, YYYY and what stands between them
	plural    func(int) int
	words     map[string]string
}

func open(text string) (*catalogue, error) {
	f, err := Read(text)
	if err != nil {
		return nil, err
	}
	c := &catalogue{tag: f.Header["Language"], mark: f.Header["X-Decimal"], words: make(map[string]string, len(f.Entries))}
	if err := isTag(c.tag); err != nil {
		return nil, fmt.Errorf("the header names no language: %w", err)
	}
	if c.mark != "." && c.mark != "," {
		return nil, fmt.Errorf("X-Decimal is . or , not %q", c.mark)
	}
	if f.Header["X-Name"] == "" {
		return nil, fmt.Errorf("X-Name, what the language calls itself, is missing")
	}
	if c.date, err = dateParts(f.Header["X-Date"]); err != nil {
		return nil, err
	}
	if _, c.plural, err = forms(f.Header["Plural-Forms"]); err != nil {
		return nil, err
	}
	for _, e := range f.Entries {
		if e.Words != "" && !e.Fuzzy {
			c.words[e.ID] = e.Words
		}
	}
	return c, nil
}

// dateParts reads DD.MM.YYYY.
func dateParts(layout string) ([]string, error) {
	var parts []string
	rest := layout
	for _, want := range []string{"DD", "MM", "YYYY"} {
		if strings.Count(layout, want) != 1 {
			return nil, fmt.Errorf("X-Date has DD, MM and YYYY once, not %q", layout)
		}
	}
	for rest != "" {
		width := 1
		switch {
		case strings.HasPrefix(rest, "DD"), strings.HasPrefix(rest, "MM"):
			width = 2
		case strings.HasPrefix(rest, "YYYY"):
			width = 4
		}
		parts, rest = append(parts, rest[:width]), rest[width:]
	}
	return parts, nil
}

func (c *catalogue) Language() string { return c.tag }

func (c *catalogue) Words(id string) (string, bool) {
	w, ok := c.words[id]
	return w, ok
}

func (c *catalogue) Plural(n int) int { return c.plural(n) }

func (c *catalogue) Decimal() string { return c.mark }

func (c *catalogue) Date(year, month, day int) string {
	var b strings.Builder
	for _, part := range c.date {
		switch part {
		case "DD":
			b.WriteString(padded(day, 2))
		case "MM":
			b.WriteString(padded(month, 2))
		case "YYYY":
			b.WriteString(padded(year, 4))
		default:
			b.WriteString(part)
		}
	}
	return b.String()
}

func padded(n, width int) string {
	text := strconv.Itoa(n)
	return strings.Repeat("0", max(0, width-len(text))) + text
}
