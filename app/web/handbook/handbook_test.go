package handbook

import (
	"strings"
	"testing"

	"pumpwright/docs"
)

// Every chapter and every section becomes a page that weighs little, with no
// link left to a file.
func TestEveryPage(t *testing.T) {
	for _, c := range docs.Chapters() {
		raw, err := docs.Files.ReadFile(c.Name + ".md")
		if err != nil {
			t.Fatal(err)
		}
		first, sections := split(string(raw))
		texts := []string{string(raw)}
		if large := len(raw) > wholeUpTo; large {
			texts = []string{first}
			for _, s := range sections {
				texts = append(texts, s.text)
			}
		}
		for _, text := range texts {
			page, err := render(c.Name, text, false)
			if err != nil {
				t.Fatal(err)
			}
			if len(page) > 100_000 || strings.Contains(page, ".md") && strings.Contains(page, `.md"`) || !strings.Contains(page, "<h1") {
				t.Errorf("%s: %d bytes: %.80s", c.Name, len(page), page)
			}
		}
	}
}

func TestFind(t *testing.T) {
	hits := find(docs.Chapters(), "Gasket STACK")
	if len(hits) == 0 || hits[0].Title != "gasket-stack" && !strings.Contains(strings.ToLower(hits[0].Title), "gasket") {
		t.Errorf("%v", hits)
	}
	if hits := find(docs.Chapters(), "zzzz"); len(hits) != 0 {
		t.Errorf("%v", hits)
	}
}
