package language

import (
	"strings"
	"testing"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const header = "msgid \"\"\nmsgstr \"\"\n\"Language: de\\n\"\n\"X-Name: Deutsch\\n\"\n\"Plural-Forms: nplurals=2; plural=(n != 1);\\n\"\n\"X-Decimal: ,\\n\"\n\"X-Date: DD.MM.YYYY\\n\"\n"

func TestRead(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"good", header + "\nmsgctxt \"a.b\"\nmsgid \"one \\\"two\\\"\"\nmsgstr \"\"\n\"eins \"\n\"zwei\"\n", ""},
		{"known text", header + "\nmsgctxt \"known\"\nmsgid \"idler pin\"\nmsgstr \"Zapfen\"\n", ""},
		{"no header", "msgctxt \"a.b\"\nmsgid \"x\"\nmsgstr \"y\"\n", "header"},
		{"empty", "", "header"},
		{"twice", header + strings.Repeat("\nmsgctxt \"a.b\"\nmsgid \"x\"\nmsgstr \"y\"\n", 2), "stands twice"},
		{"no id", header + "\nmsgid \"x\"\nmsgstr \"y\"\n", "msgctxt"},
		{"no words", header + "\nmsgctxt \"a.b\"\nmsgid \"x\"\n", "msgstr"},
		{"open quotation", header + "\nmsgctxt \"a.b\"\nmsgid \"x\nmsgstr \"y\"\n", "quotation"},
		{"plural of another kind", header + "\nmsgctxt \"a.b\"\nmsgid \"x\"\nmsgid_plural \"y\"\n", "inside its slot"},
		{"a text of nothing", header + "\n\"y\"\n", "no message has begun"},
	}
	for _, c := range cases {
		f, err := Read(c.text)
		if c.want == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			} else if again, err := Read(f.String()); err != nil || again.String() != f.String() || len(again.Entries) != 1 {
				t.Errorf("%s: what is written does not read the same", c.name)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want something about %q", c.name, err, c.want)
		}
	}
}

func TestOpen(t *testing.T) {
	c, err := open(header + "\nmsgctxt \"a.b\"\nmsgid \"{n:count|gasket|gaskets} of {gap:length} on {day}\"\nmsgstr \"{day}: {n:count|Dichtung|Dichtungen} von {gap:length}\"\n\n#, fuzzy\nmsgctxt \"a.c\"\nmsgid \"x\"\nmsgstr \"y\"\n")
	if err != nil {
		t.Fatal(err)
	}
	gaskets := say.Define("a.b", "{n:count|gasket|gaskets} of {gap:length} on {day}")
	style := say.Style{Catalogue: c}
	for n, want := range map[int]string{0: "30.09.2026: 0 Dichtungen von 0,130 mm", 1: "30.09.2026: 1 Dichtung von 0,130 mm", 2: "30.09.2026: 2 Dichtungen von 0,130 mm"} {
		if got := gaskets.With(n, quantity.Length(0.13e-3), say.Day("2026-09-30")).Text(style); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if got := say.Define("a.c", "x").With().Text(style); got != "x" {
		t.Errorf("a fuzzy message shows as %q", got)
	}
	for _, line := range []string{"Language: de", "X-Name: Deutsch", "X-Decimal: ,", "X-Date: DD.MM.YYYY", "Plural-Forms: nplurals=2; plural=(n != 1);"} {
		if _, err := open(strings.Replace(header, "\""+line+"\\n\"\n", "", 1)); err == nil {
			t.Errorf("a header without %q is taken", line)
		}
	}
}

// The rules are those that the manual of GNU gettext gives for the languages
// (section “Additional functions for plural forms”).
func TestForms(t *testing.T) {
	cases := []struct {
		header string
		want   map[int]int
	}{
		{"nplurals=1; plural=0;", map[int]int{0: 0, 1: 0, 5: 0}},
		{"nplurals=2; plural=n != 1;", map[int]int{0: 1, 1: 0, 2: 1}},
		{"nplurals=2; plural=n>1;", map[int]int{0: 0, 1: 0, 2: 1}},
		{"nplurals=3; plural=n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2;", map[int]int{1: 0, 2: 1, 5: 2, 12: 2, 22: 1, 25: 2}},
		{"nplurals=3; plural=n%10==1 && n%100!=11 ? 0 : n != 0 ? 1 : 2;", map[int]int{0: 2, 1: 0, 11: 1, 21: 0}},
	}
	for _, c := range cases {
		_, choose, err := forms(c.header)
		if err != nil {
			t.Fatalf("%q: %v", c.header, err)
		}
		for n, want := range c.want {
			if got := choose(n); got != want {
				t.Errorf("%q: %d takes form %d, want %d", c.header, n, got, want)
			}
		}
	}
	for _, bad := range []string{"", "nplurals=2;", "nplurals=0; plural=0;", "nplurals=2; plural=m;", "nplurals=2; plural=(n;", "nplurals=2; plural=n ? 1;", "nplurals=2; plural=" + strings.Repeat("(", 999)} {
		if _, _, err := forms(bad); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}

func TestFiles(t *testing.T) {
	for _, tag := range Tags()[1:] {
		text, err := words.ReadFile("words/" + tag + ".po")
		if err != nil {
			t.Fatal(err)
		}
		c, err := open(string(text))
		if err != nil {
			t.Errorf("%s: %v", tag, err)
			continue
		}
		if c.Language() != tag {
			t.Errorf("the file %s.po says it is %q", tag, c.Language())
		}
		if Catalogue(tag) == nil {
			t.Errorf("%s cannot be had", tag)
		}
	}
	if len(All()) != len(Tags()) || All()[0].Own != "English" {
		t.Error("the list of languages is wrong")
	}
	if Catalogue(English) != nil || Catalogue("xx") != nil || Check("language", "xx") == nil || Check("language", "de") != nil {
		t.Error("languages that are not there are taken")
	}
}

func TestWanted(t *testing.T) {
	for header, want := range map[string]string{
		"": "", "de-AT,de;q=0.9,en;q=0.8": "de", "fr,es;q=0.5": "es", "es-419": "es", "en-GB,de;q=0.5": "en", "ja": "", "\x00;;": "",
	} {
		if got := Wanted(header); got != want {
			t.Errorf("%q: %q, want %q", header, got, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(header + "\nmsgctxt \"a.b\"\nmsgid \"x\"\nmsgstr \"y\"\n")
	f.Add("#, fuzzy\n" + header)
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Read(text)
		if err != nil {
			return
		}
		again, err := Read(file.String())
		if err != nil || len(again.Entries) != len(file.Entries) {
			t.Errorf("what is written does not read the same: %v", err)
		}
		if _, _, err := forms(file.Header["Plural-Forms"]); err != nil {
			return
		}
		_, _ = open(text)
	})
}

func BenchmarkOpen(b *testing.B) {
	text, err := words.ReadFile("words/de.po")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := open(string(text)); err != nil {
			b.Fatal(err)
		}
	}
}
