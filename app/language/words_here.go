//go:build !js

package language

import (
	"embed"
	"io"
	"io/fs"
	"strings"
	"sync"

	"golang.org/x/text/language"
)

//go:embed words/*.po
var words embed.FS

// Text returns the file of a language.
func Text(tag string) (string, error) {
	text, err := words.ReadFile("words/" + tag + ".po")
	return string(text), err
}

var names = sync.OnceValue(func() []Name {
	list := []Name{{English, "English"}}
	for _, tag := range Tags()[1:] {
		list = append(list, Name{tag, ownName(tag)})
	}
	return list
})

// ownName reads what a language calls itself in the header of its file.
func ownName(tag string) string {
	file, err := words.Open("words/" + tag + ".po")
	if err != nil {
		return tag
	}
	defer file.Close() // nothing is written to it
	head := make([]byte, 1<<12)
	n, err := io.ReadFull(file, head)
	if err != nil && err != io.ErrUnexpectedEOF {
		return tag
	}
	_, after, found := strings.Cut(string(head[:n]), `"X-Name: `)
	own, _, ended := strings.Cut(after, `\n`)
	if !found || !ended {
		return tag
	}
	return own
}

var tags = sync.OnceValue(func() []string {
	list := []string{English}
	files, _ := fs.Glob(words, "words/*.po") // the pattern is good
	for _, file := range files {
		list = append(list, strings.TrimSuffix(strings.TrimPrefix(file, "words/"), ".po"))
	}
	return list
})

// Wanted returns the language that a browser asks for in Accept-Language, as
// far as it is there; "" when it asks for none of them.
func Wanted(header string) string {
	asked, _, err := language.ParseAcceptLanguage(header)
	if err != nil || len(asked) == 0 {
		return ""
	}
	for _, a := range asked {
		for tag := a; tag != language.Und; tag = tag.Parent() {
			if Known(tag.String()) {
				return tag.String()
			}
		}
	}
	return ""
}

// isTag refuses what is no tag after BCP 47.
func isTag(tag string) error {
	_, err := language.Parse(tag)
	return err
}
