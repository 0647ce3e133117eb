package document

import (
	"bytes"
	"encoding/xml"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Everything in this report is invented.
func sampleReport() *Report {
	p := say.Plain
	mm := func(v float64) Text { return quantity.Length(v * 1e-3) }
	var rows []Row
	for i := range 60 {
		rows = append(rows, Row{Cells: []Cell{
			Words(p("idler pin, place " + string(rune('A'+i%26)))),
			Words(mm(30 - float64(i)*0.013)),
			Words(quantity.Within(quantity.Length(29.987e-3-float64(i)*1e-6), 4e-6)),
			Words(quantity.PressureDifference(1e5 * float64(i))),
			InState(draw.State(i % 5)),
			Words(p("load side, read twice after cleaning; the second reading was kept because the first was taken warm")),
		}})
	}
	rows = append(rows, Row{Total: true, Cells: []Cell{Words(p("all")), Words(mm(29)), Words(mm(29)), Words(quantity.PressureDifference(5e5)), {}, {}}})
	table := Table{
		Caption: p("Readings of the idler pin"),
		Columns: []Column{{Head: p("place")}, {Head: p("new"), Number: true}, {Head: p("read"), Number: true}, {Head: p("pressure difference"), Number: true}, {Head: p("state")}, {Head: p("remark")}},
		Rows:    rows,
	}
	figure := Figure{Caption: p("A plate"), Draw: func(s say.Style) *draw.Drawing {
		d := draw.New(150, 80)
		d.Describe("A plate", "A plate, 60 mm wide.")
		plate := draw.Rectangle(40, 10, 60, 40).With(draw.Circle(draw.At(70, 30), 12))
		d.Section(plate, draw.HatchRising)
		d.Dimension(draw.At(40, 50), draw.At(100, 50), 8, quantity.Length(0.06).Show(s))
		return d
	}}
	r := &Report{
		Title: p("Rebuild report"), Subtitle: p("Demo pump, invented"), Mark: p("job D-0007 · tag P-12"), Foot: p("invented data for demonstration"),
		Author: "Demo shop", Created: time.Date(2026, 3, 4, 10, 0, 0, 0, time.UTC),
		Facts: []Fact{{p("Pump"), p("demo family M, serial 0042")}, {p("Liquid"), p("light oil, 46 mm²/s at 40 °C")}, {p("Pressure"), quantity.PressureDifference(8e5)},
			{p("Speed"), quantity.RotationalSpeed(52.36)}, {p("Received"), p("4 March 2026")}},
	}
	r.Blocks = append(r.Blocks, Heading{1, p("What was found")},
		Caution{p("The pump may hold hot liquid under pressure behind the rotor. Open the vent and wait until nothing comes before a bolt is loosened.")},
		Paragraph{p(strings.Repeat("The pin is worn on its load side. ", 30))}, figure,
		Note{p("The value of the manual stands beside every computed one and rules unless a lead signs otherwise.")},
		Facts{[]Fact{{p("End clearance, as found"), mm(0.31)}, {p("End clearance, as left, measured after torque"), mm(0.13)}}},
		List{Items: []Text{p("clean the faces"), p("fit the stack")}, Numbered: true}, table)
	for range 4 {
		r.Blocks = append(r.Blocks, Heading{2, p("Another chapter with δ ≤ 0.05 mm")}, figure, Paragraph{p(strings.Repeat("Measured after torque, with the shaft pushed to the head. ", 20))})
	}
	r.Blocks = append(r.Blocks, PageBreak{}, Heading{1, p("Signatures")}, Signatures{[]Signature{
		{Role: p("Lead"), For: p("end clearance as left"), Name: p("A. Example"), Date: p("5 March 2026")}, {Role: p("Inspector"), For: p("test and release from the bench")}}})
	return r
}

func render(t testing.TB, r *Report, size PageSize, s say.Style) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := r.PDF(&b, size, s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSameReportSameBytes(t *testing.T) {
	for _, size := range []PageSize{A4, Letter} {
		a, b := render(t, sampleReport(), size, say.Style{}), render(t, sampleReport(), size, say.Style{})
		if !bytes.Equal(a, b) {
			t.Errorf("%s: two files differ", size.Name)
		}
		if bytes.Equal(a, render(t, sampleReport(), size, say.Style{Units: say.Inch})) {
			t.Errorf("%s: inch and metric reports are the same", size.Name)
		}
	}
}

func TestMetadata(t *testing.T) {
	file := render(t, sampleReport(), A4, say.Style{})
	for _, want := range []string{"/Lang (en)", "<dc:title>", "Rebuild report", "2026-03-04T10:00:00Z", "D:20260304100000"} {
		if !bytes.Contains(file, []byte(want)) {
			t.Errorf("no %q in the file", want)
		}
	}
}

// textOf reads the text of a PDF with a program of its own.
func textOf(t *testing.T, file []byte) string {
	t.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed")
	}
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestTextCanBeSearched(t *testing.T) {
	text := textOf(t, render(t, sampleReport(), A4, say.Style{}))
	pages := strings.Split(strings.TrimRight(text, "\f"), "\f")
	if len(pages) < 6 {
		t.Fatalf("%d pages", len(pages))
	}
	for _, want := range []string{"light oil, 46 mm²/s at 40 °C", "Another chapter with δ ≤ 0.05 mm", "past limit", "not yet read", "± 0.0040", "60.000 mm", "A. Example"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not found", want)
		}
	}
	heads := 0
	for i, page := range pages {
		if strings.Contains(page, "idler pin, place") {
			if !strings.Contains(page, "pressure") || !strings.Contains(page, "remark") {
				t.Errorf("page %d has rows without a head", i+1)
			}
			heads++
		}
		if want := wordPage.With(i+1, len(pages)).String(); !strings.Contains(page, want) {
			t.Errorf("page %d does not say %q", i+1, want)
		}
		if !strings.Contains(page, "job D-0007") {
			t.Errorf("page %d lacks its mark", i+1)
		}
	}
	if heads < 2 {
		t.Errorf("the table reaches over %d pages only", heads)
	}
}

func TestHTMLIsWellFormed(t *testing.T) {
	out := sampleReport().HTML(say.Style{Units: say.Inch}, HTMLOptions{Level: 2})
	dec := xml.NewDecoder(strings.NewReader(out))
	for {
		if _, err := dec.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{`<th scope="row">`, `scope="col"`, `role="note"`, `<figcaption>Figure 1. A plate`, `id="report-figure-5-title"`, " in</", "<h3>What was found", `class="state"`, `aria-hidden="true"`} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q", want)
		}
	}
	for _, not := range []string{"http://localhost", "href=", "src=", "<script", "style="} {
		if strings.Contains(out, not) {
			t.Errorf("contains %q", not)
		}
	}
}

func TestHTMLEscapes(t *testing.T) {
	r := &Report{Title: say.Plain(`<script>"x"`), Blocks: []Block{Paragraph{say.Plain("a < b & c")}, Table{Columns: []Column{{Head: say.Plain("<b>")}}, Rows: []Row{{Cells: []Cell{Words(say.Plain("<i>"))}}}}}}
	out := r.HTML(say.Style{}, HTMLOptions{})
	if strings.Contains(out, "<script>") || strings.Contains(out, "<i>") || strings.Contains(out, "<b>") {
		t.Error(out)
	}
}

// The mark of a list stands where its text stands, also where the page ends.
func TestListMarkKeepsItsText(t *testing.T) {
	long := say.Plain(strings.Repeat("a point that takes two lines of the page ", 4))
	r := &Report{Title: say.Plain("Lists"), Created: time.Date(2026, 3, 4, 0, 0, 0, 0, time.UTC)}
	for lines := range 8 {
		items := make([]Text, 0, 40)
		for range lines {
			items = append(items, say.Plain("one line"))
		}
		for range 30 {
			items = append(items, long)
		}
		r.Blocks = append(r.Blocks, List{Items: items}, PageBreak{})
	}
	for i, page := range strings.Split(textOf(t, render(t, r, A4, say.Style{})), "\f") {
		for _, line := range strings.Split(page, "\n") {
			if strings.TrimSpace(line) == "–" {
				t.Errorf("page %d has a mark alone", i+1)
			}
		}
	}
}

func TestSplitUnit(t *testing.T) {
	for in, want := range map[string][2]string{
		"0.130 ± 0.014 mm": {"0.130 ± 0.014", "mm"}, "46 mm²/s": {"46", "mm²/s"}, "12": {"12", ""}, "–": {"–", ""},
		"90 %": {"90", "%"}, "45°": {"45", "°"}, "1.2 m3/h": {"1.2", "m3/h"}, "not known": {"not known", ""}, "": {"", ""}, "-0.05 in": {"-0.05", "in"},
	} {
		n, u := SplitUnit(in)
		if n != want[0] || u != want[1] {
			t.Errorf("%q: %q %q, want %q", in, n, u, want)
		}
	}
}

// A row higher than a page, a word wider than its column, no columns, no
// cells: nothing is lost and nothing hangs.
func TestAwkwardTables(t *testing.T) {
	long := strings.TrimSpace(strings.Repeat("worn on the load side ", 900))
	r := &Report{Title: say.Plain("awkward"), Blocks: []Block{
		Table{},
		Table{Columns: []Column{{Head: say.Plain("a")}, {Head: say.Plain("b"), Number: true}}},
		Table{Columns: []Column{{Head: say.Plain("a")}, {Head: say.Plain("b")}}, Rows: []Row{{Cells: []Cell{Words(say.Plain(long))}}, {Cells: []Cell{Words(say.Plain("last row")), Words(say.Plain(strings.Repeat("x", 300)))}}}},
		Figure{}, Group{}, Signatures{}, Facts{}, List{},
	}}
	text := textOf(t, render(t, r, Letter, say.Style{}))
	if got := strings.Count(text, "worn"); got != 900 {
		t.Errorf("%d of 900 words", got)
	}
	if !strings.Contains(text, "last row") {
		t.Error("the last row is lost")
	}
}

// Names come in any script: what the font lacks must not stop a report.
func TestAnyScript(t *testing.T) {
	for _, text := range []string{"泵 ポンプ", "насос № 5", "αντλία", "مضخة", "pump \U0001F600 end", "\x00\x07 bell", "a\tb", "\xff\xfe broken", strings.Repeat("x", 5000)} {
		r := &Report{Title: say.Plain(text), Mark: say.Plain(text), Foot: say.Plain(text), Facts: []Fact{{say.Plain(text), say.Plain(text)}},
			Blocks: []Block{Heading{1, say.Plain(text)}, Paragraph{say.Plain(text)}, Caution{say.Plain(text)}, Table{Columns: []Column{{Head: say.Plain(text)}}, Rows: []Row{{Cells: []Cell{Words(say.Plain(text))}}}}}}
		if len(render(t, r, A4, say.Style{})) == 0 {
			t.Errorf("%q: empty file", text)
		}
	}
}

func BenchmarkReport(b *testing.B) {
	for range b.N {
		render(b, sampleReport(), A4, say.Style{})
	}
}

// With DRAW_LOOK set to a folder the sample report is written there.
func TestLook(t *testing.T) {
	folder := os.Getenv("DRAW_LOOK")
	if folder == "" {
		t.Skip("DRAW_LOOK names no folder")
	}
	if err := os.WriteFile(filepath.Join(folder, "report.pdf"), render(t, sampleReport(), A4, say.Style{}), 0o600); err != nil {
		t.Fatal(err)
	}
	page := `<!doctype html><meta charset="utf-8"><title>report</title><body>` + sampleReport().HTML(say.Style{}, HTMLOptions{})
	if err := os.WriteFile(filepath.Join(folder, "report.html"), []byte(page), 0o600); err != nil {
		t.Fatal(err)
	}
}
