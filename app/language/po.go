package language

import (
	"fmt"
	"strconv"
	"strings"
)

// Entry is one message of a file.
type Entry struct {
	ID      string // of the message
	English string // its words in the source
	Words   string // in the language; "" when nobody has worded it yet
	Fuzzy   bool   // the English words have changed since
}

// File is one language as it stands in its file.
type File struct {
	Comment []string          // lines before the header
	Header  map[string]string // by name
	Order   []string          // names of the header as they stand
	Entries []Entry
}

// known is the context of texts that are found by their English words.
const known = "known"

// Read reads a file. It takes what the format allows and this program uses, and
// refuses the rest with the line.
func Read(text string) (*File, error) {
	r := reader{file: &File{Header: map[string]string{}}, line: 0}
	for text != "" {
		var line string
		line, text, _ = strings.Cut(text, "\n")
		r.line++
		if err := r.take(strings.TrimRight(line, "\r")); err != nil {
			return nil, fmt.Errorf("line %d: %w", r.line, err)
		}
	}
	if err := r.end(); err != nil {
		return nil, fmt.Errorf("line %d: %w", r.line, err)
	}
	if !r.header {
		return nil, fmt.Errorf("the header is missing")
	}
	return r.file, nil
}

type reader struct {
	file   *File
	line   int
	header bool // was read
	now    Entry
	has    [3]bool // context, English, words
	into   *string // the text that a line of only a text goes on with
	seen   map[string]bool
}

var keywords = [3]string{"msgctxt", "msgid", "msgstr"}

func (r *reader) take(line string) error {
	switch {
	case strings.TrimSpace(line) == "":
		return r.end()
	case strings.HasPrefix(line, "#"):
		if r.has[1] || r.has[2] {
			if err := r.end(); err != nil {
				return err
			}
		}
		if strings.HasPrefix(line, "#,") && strings.Contains(line, "fuzzy") {
			r.now.Fuzzy = true
		}
		if !r.header && !strings.HasPrefix(line, "#,") {
			r.file.Comment = append(r.file.Comment, line)
		}
		return nil
	case line[0] == '"':
		if r.into == nil {
			return fmt.Errorf("a text stands where no message has begun")
		}
		more, err := unquote(line)
		*r.into += more
		return err
	}
	word, rest, _ := strings.Cut(line, " ")
	for i, k := range keywords {
		if word != k {
			continue
		}
		if i < 2 && r.has[2] { // the next message without a blank line before it
			if err := r.end(); err != nil {
				return err
			}
		}
		if r.has[i] {
			return fmt.Errorf("%s stands twice", k)
		}
		text, err := unquote(strings.TrimSpace(rest))
		r.has[i] = true
		r.into = [3]*string{&r.now.ID, &r.now.English, &r.now.Words}[i]
		*r.into = text
		return err
	}
	return fmt.Errorf("%q is not known here; the forms of a count stand inside its slot", word)
}

// end takes what was read as a message.
func (r *reader) end() error {
	if r.has == [3]bool{} {
		return nil
	}
	entry, has := r.now, r.has
	r.now, r.has, r.into = Entry{}, [3]bool{}, nil
	switch {
	case !has[1] || !has[2]:
		return fmt.Errorf("a message needs msgid and msgstr")
	case !r.header && (has[0] || entry.English != ""):
		return fmt.Errorf("the header is missing: an entry with an empty msgid")
	case !r.header:
		r.header = true
		r.seen = map[string]bool{}
		return r.file.readHeader(entry.Words)
	case !has[0] || entry.ID == "":
		return fmt.Errorf("a message needs its id as msgctxt")
	}
	if entry.ID == known {
		entry.ID += ":" + entry.English
	}
	switch {
	case r.seen[entry.ID]:
		return fmt.Errorf("%s stands twice", entry.ID)
	}
	r.seen[entry.ID] = true
	r.file.Entries = append(r.file.Entries, entry)
	return nil
}

func (f *File) readHeader(text string) error {
	for line := range strings.SplitSeq(text, "\n") {
		if line == "" {
			continue
		}
		name, value, found := strings.Cut(line, ":")
		if !found {
			return fmt.Errorf("the header has a line without a name: %q", line)
		}
		if _, twice := f.Header[name]; twice {
			return fmt.Errorf("the header has %s twice", name)
		}
		f.Header[name] = strings.TrimSpace(value)
		f.Order = append(f.Order, name)
	}
	return nil
}

func unquote(text string) (string, error) {
	if len(text) < 2 || text[0] != '"' || text[len(text)-1] != '"' {
		return "", fmt.Errorf("a text stands in quotation marks: %s", text)
	}
	inner := text[1 : len(text)-1]
	if !strings.ContainsAny(inner, `\"`) {
		return inner, nil
	}
	plain, err := strconv.Unquote(text)
	if err != nil {
		return "", fmt.Errorf("this text cannot be read: %s", text)
	}
	return plain, nil
}

// String writes the file.
func (f *File) String() string {
	var b strings.Builder
	for _, line := range f.Comment {
		b.WriteString(line + "\n")
	}
	b.WriteString("msgid \"\"\nmsgstr \"\"\n")
	for _, name := range f.Order {
		b.WriteString(quote(name+": "+f.Header[name]+"\n") + "\n")
	}
	for _, e := range f.Entries {
		b.WriteByte('\n')
		if e.Fuzzy {
			b.WriteString("#, fuzzy\n")
		}
		id := e.ID
		if id == known+":"+e.English {
			id = known
		}
		b.WriteString("msgctxt " + quote(id) + "\nmsgid " + quote(e.English) + "\nmsgstr " + quote(e.Words) + "\n")
	}
	return b.String()
}

var quoting = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`, "\r", `\r`)

func quote(text string) string { return `"` + quoting.Replace(text) + `"` }
