package transfer

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"pumpwright/calc/life"
	"pumpwright/calc/say"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
)

func csvRows(t testing.TB, text string) *Rows {
	t.Helper()
	rows, err := OpenCSV(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func importCSV(t testing.TB, s Subject, text string) *Plan {
	t.Helper()
	p, err := Import(s, csvRows(t, text), ImportOptions{By: "ines"})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// What a spreadsheet program would take for a formula never stands bare in an
// exported cell, and comes back as it was.
func TestCellsNeverExecute(t *testing.T) {
	for _, text := range []string{"=1+1", "+cmd|' /C calc'!A0", "-2+3+cmd", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1", "＋1", "－1", "＠x", "'=1", "''=1", "=HYPERLINK(\"x\",\"y\")", "-", "-0.02 mm", "'"} {
		cell := escapeCell(text)
		if strings.ContainsAny(cell[:1], "=+-@\t\r\n") || strings.HasPrefix(cell, "＝") {
			t.Errorf("%q is exported as %q", text, cell)
		}
		if back := unescapeCell(cell); back != text {
			t.Errorf("%q comes back as %q", text, back)
		}
	}
	for _, plain := range []string{"-5", "+5", "-0.25", "1e-3", "-1.5E+6", "pump", "'quoted'", "", "5-3"} {
		if got := escapeCell(plain); got != plain {
			t.Errorf("%q is exported as %q", plain, got)
		}
	}
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.String().Draw(r, "text")
		if back := unescapeCell(escapeCell(text)); back != text {
			r.Fatalf("%q comes back as %q", text, back)
		}
	})
	table := newTable(Jobs)
	table.row(map[string]Cell{"job": TextCell("=2+3"), "opened": TextCell("2026-01-02")})
	var out bytes.Buffer
	if err := WriteXLSX(&out, table); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	if formula, _ := f.GetCellFormula("jobs", "A2"); formula != "" {
		t.Errorf("the workbook holds the formula %q", formula)
	}
	if value, _ := f.GetCellValue("jobs", "A2"); value != "=2+3" {
		t.Errorf("the workbook holds %q", value)
	}
}

const readings = `Job;Feature;State;Plane;Angle;Measured;Units;Date;Repeat
J-1;idler-pin-od;as found;A;0;29,99;mm;2026-03-01;
J-1;idler-pin-od;As-Found;C;90;29.903 mm;;2026-03-01;
J-1;idler-pin-od;;C;90;29.903 mm;;2026-03-01;
J-1;idler-pin-od;;C;90;29.903 mm;;2026-03-01;2
J-2;end-clearance;as-left;;;7 thou;;2026-03-02;
`

// Names of columns are found whatever they are written like; a row that says
// what another said counts once, a repeat twice; and reading the file again
// changes nothing.
func TestImportReadings(t *testing.T) {
	p := importCSV(t, Readings, readings)
	if err := p.Ready(); err != nil {
		t.Fatal(err)
	}
	if p.Rows != 5 || len(p.Entries) != 4 || p.Twice != 1 {
		t.Fatalf("%d rows, %d entries, %d twice", p.Rows, len(p.Entries), p.Twice)
	}
	m := NewMemory()
	if o, err := p.Into(m); err != nil || o != (Outcome{Taken: 4}) {
		t.Fatalf("%+v, %v", o, err)
	}
	heads := func() string {
		s := ""
		for _, stream := range m.Streams() {
			s += stream.Name + stream.Head()
		}
		return s
	}
	before := heads()
	again, err := Import(Readings, csvRows(t, readings), ImportOptions{By: "somebody else", Device: "desk"})
	if err != nil {
		t.Fatal(err)
	}
	if o, err := again.Into(m); err != nil || o != (Outcome{Known: 4}) || heads() != before {
		t.Errorf("read again: %+v, %v", o, err)
	}
	st := job.Fold(m.Streams()[0])
	if len(st.Troubles) != 0 || len(st.Values) != 3 {
		t.Fatalf("%+v", st)
	}
	v := st.Values[0]
	if v.Text != "29,99 mm" || math.Abs(v.Value.SI-0.02999) > 1e-12 || v.Plane != "A" || *v.Angle != 0 || v.At.Day() != "2026-03-01" {
		t.Errorf("%+v", v)
	}
}

// Bad input of all kinds: what is wrong is said by row and column, and nothing
// is taken at all.
func TestBadCells(t *testing.T) {
	cases := []struct {
		name    string
		subject Subject
		text    string
		line    int
		column  string
		id      string
	}{
		{"text for a number", Lives, "time,status\n100,1\nmany,1\n", 3, "time", ""},
		{"no time", Lives, "time,status\n,1\n", 2, "time", "transfer.needed"},
		{"failure before it was watched", Lives, "time,entry\n100,200\n", 2, "entry", "transfer.entry_after"},
		{"an age of nothing", Lives, "time\n0\n", 2, "time", "transfer.age_above"},
		{"a negative age", Lives, "time\n-4\n", 2, "time", "transfer.age_above"},
		{"an interval backwards", Lives, "time,time high\n100,50\n", 2, "time high", "transfer.high_below"},
		{"a number beyond all", Lives, "time\n1e999\n", 2, "time", ""},
		{"a word for a status", Lives, "time,status\n5,maybe\n", 2, "status", "transfer.bad_word"},
		{"a count of none", Lives, "time,count\n5,0\n", 2, "count", "transfer.negative"},
		{"a formula", Readings, "job,feature,value\nJ,f,=A1*25.4\n", 2, "value", "transfer.formula"},
		{"a formula as a job", Readings, "job,feature,value\n\"=cmd|'x'!A1\",f,1 mm\n", 2, "job", "transfer.formula"},
		{"no unit", Readings, "job,feature,value\nJ,f,0.13\n", 2, "value", ""},
		{"no such unit", Readings, "job,feature,value,unit\nJ,f,0.13,furlong\n", 2, "value", ""},
		{"a day in two ways", Jobs, "job,opened\nJ,03/04/2026\n", 2, "opened", "transfer.bad_day"},
		{"a day of no calendar", Jobs, "job,opened\nJ,2026-02-30\n", 2, "opened", "transfer.bad_day"},
		{"closed before opened", Jobs, "job,opened,closed\nJ,2026-02-03,2026-02-01\n", 2, "closed", "transfer.closed_first"},
		{"a meter of no day", Pumps, "serial,hours\nS,500\n", 2, "hours on", "transfer.day_needed"},
		{"half a piece", Stock, "item,count\nP,1.5\n", 2, "count", "transfer.whole"},
		{"pieces below nothing", Stock, "item,count\nP,-1\n", 2, "count", "transfer.whole"},
	}
	for _, c := range cases {
		p := importCSV(t, c.subject, c.text)
		if p.Wrong == 0 {
			t.Errorf("%s: taken", c.name)
			continue
		}
		first := p.Problems[0]
		if first.Line != c.line || first.Column != c.column || c.id != "" && first.Problem.Message.ID() != c.id {
			t.Errorf("%s: line %d, %s: %v (%s)", c.name, first.Line, first.Column, first.Problem, first.Problem.Message.ID())
		}
		m := NewMemory()
		if _, err := p.Into(m); say.AsProblem(err) == nil || len(m.Streams()) != 0 {
			t.Errorf("%s: %v, %d streams", c.name, err, len(m.Streams()))
		}
	}
	// One wrong row among right ones: nothing at all is taken.
	p := importCSV(t, Readings, "job,feature,value\nJ,f,1 mm\nJ,f,wide\nJ,f,2 mm\n")
	m := NewMemory()
	if _, err := p.Into(m); err == nil || len(m.Streams()) != 0 || p.Wrong != 1 {
		t.Errorf("half taken: %v", err)
	}
}

func TestBadTables(t *testing.T) {
	for name, text := range map[string]string{
		"empty": "", "blank": "\n\n", "two of a name": "time,Time\n1,2\n", "not UTF-8": "time\n\xff\xfe\xfa", "loose quotes": "time\n\"1\"2\n", "no column": "age of things\n1\n",
	} {
		rows, err := OpenCSV(strings.NewReader(text))
		if err == nil {
			_, err = Import(Lives, rows, ImportOptions{})
		}
		if say.AsProblem(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Import("people", csvRows(t, "a\n1\n"), ImportOptions{}); say.AsProblem(err) == nil {
		t.Error("a table of people is taken")
	}
	if _, err := Import(Lives, csvRows(t, "a\n1\n"), ImportOptions{Mapping: Mapping{"time": "b"}}); say.AsProblem(err) == nil {
		t.Error("a column that is not there is taken")
	}
	if _, _, err := OpenXLSX(strings.NewReader("no workbook"), 11, ""); say.AsProblem(err) == nil {
		t.Error("a text is taken for a workbook")
	}
}

// UTF-16 with a mark, as some programs save "Unicode text".
func TestUTF16(t *testing.T) {
	text := []byte{0xff, 0xfe}
	for _, r := range "time\tstatus\r\n5\t0\r\n" {
		text = append(text, byte(r), 0)
	}
	rows, err := OpenCSV(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	p, err := Import(Lives, rows, ImportOptions{})
	if err != nil || len(p.Lives) != 1 || !math.IsInf(p.Lives[0].High, 1) {
		t.Errorf("%+v, %v", p, err)
	}
}

// A workbook as people make them: a date cell, a formula, numbers.
func TestWorkbook(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	f.SetSheetName("Sheet1", "what we had")
	f.SetSheetRow("what we had", "A1", &[]any{"Job number", "Received", "Finished", "Total"})
	f.SetSheetRow("what we had", "A2", &[]any{"J-7", time.Date(2025, 5, 6, 0, 0, 0, 0, time.UTC), "2025-06-01", 1250.5})
	f.SetSheetRow("what we had", "A3", &[]any{"J-8", time.Date(2025, 5, 7, 0, 0, 0, 0, time.UTC), nil, nil})
	f.SetCellFormula("what we had", "D3", "D2*2")
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	names, err := Sheets(bytes.NewReader(out.Bytes()), int64(out.Len()))
	if err != nil || len(names) != 1 {
		t.Fatalf("%v, %v", names, err)
	}
	rows, done, err := OpenXLSX(bytes.NewReader(out.Bytes()), int64(out.Len()), "")
	if err != nil {
		t.Fatal(err)
	}
	defer done()
	p, err := Import(Jobs, rows, ImportOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if p.Wrong != 1 || p.Problems[0].Line != 3 || p.Problems[0].Column != "cost" || p.Problems[0].Problem.Message.ID() != "transfer.formula" {
		t.Errorf("%+v", p.Problems)
	}
	if len(p.Entries) < 3 || p.Entries[0].At.Day() != "2025-05-06" {
		t.Errorf("%+v", p.Entries)
	}
	if _, _, err := OpenXLSX(bytes.NewReader(out.Bytes()), int64(out.Len()), "other"); say.AsProblem(err) == nil {
		t.Error("a sheet that is not there is opened")
	}
}

// Everything exported comes back as it was, from CSV and from a workbook.
func TestTablesComeBack(t *testing.T) {
	f, err := fleet.Simulate(fleet.Options{Jobs: 12, Seed: 2})
	if err != nil {
		t.Fatal(err)
	}
	var pumps []*history.Pump
	var states []*job.State
	err = f.Streams(func(s *record.Stream) error {
		if strings.HasPrefix(s.Name, "pump:") {
			pumps = append(pumps, history.FoldPump(s))
		} else {
			states = append(states, job.Fold(s))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	price := 12.5
	lives := history.NewFleet(f.Summaries(), f.Pumps(), f.Options()).PartLives(history.Filter{})
	for i := range lives {
		lives[i].Part = "=part" // as mean as it gets
	}
	tables := map[Subject]*Table{
		Pumps: PumpTable(pumps), Readings: ReadingTable(states), Jobs: JobTable(f.Summaries()), Lives: LifeTable(lives),
		Stock: StockTable(&ledger.Stock{Holdings: []*ledger.Holding{{StockItem: ledger.StockItem{Item: "+P-19", Name: "pin", Price: &price, Currency: "EUR", Minimum: 2}, OnHand: 5}}}),
	}
	for s, table := range tables {
		if len(table.Rows) == 0 {
			t.Fatalf("%s: no rows", s)
		}
		var text, book bytes.Buffer
		if err := table.WriteCSV(&text); err != nil {
			t.Fatal(err)
		}
		if err := WriteXLSX(&book, table); err != nil {
			t.Fatal(err)
		}
		a := importCSV(t, s, text.String())
		rows, done, err := OpenXLSX(bytes.NewReader(book.Bytes()), int64(book.Len()), string(s))
		if err != nil {
			t.Fatal(err)
		}
		b, err := Import(s, rows, ImportOptions{By: "ines"})
		if err != nil {
			t.Fatal(err)
		}
		done()
		for _, p := range []*Plan{a, b} {
			if p.Wrong > 0 || p.Rows != len(table.Rows) || len(p.Unused) > 0 {
				t.Errorf("%s: %d of %d rows, %v", s, p.Rows, len(table.Rows), p.Problems)
			}
		}
		for i := range b.Lives { // workbooks are read to 15 digits
			if x, y := a.Lives[i], &b.Lives[i]; math.Abs(x.Low-y.Low) < 1e-13*x.Low {
				y.Observation = x.Observation
			}
		}
		if !reflect.DeepEqual(a.Entries, b.Entries) || !reflect.DeepEqual(a.Lives, b.Lives) {
			t.Errorf("%s: CSV and workbook say different things", s)
		}
		switch s {
		case Lives:
			for i, l := range a.Lives {
				if l.Low != lives[i].Hours || l.Part != "=part" || (l.High == l.Low) != (lives[i].Fate == history.Failed && !lives[i].Infant) {
					t.Fatalf("%+v was %+v", l, lives[i])
				}
			}
		case Stock:
			m := NewMemory()
			if _, err := a.Into(m); err != nil {
				t.Fatal(err)
			}
			back := ledger.FoldStock(m.Streams()[0])
			if len(back.Troubles) > 0 || len(back.Holdings) != 1 || back.Holdings[0].Item != "+P-19" || back.Holdings[0].OnHand != 5 {
				t.Errorf("%+v", back)
			}
		case Jobs:
			m := NewMemory()
			if _, err := a.Into(m); err != nil {
				t.Fatal(err)
			}
			for _, stream := range m.Streams() {
				if st := job.Fold(stream); len(st.Troubles) > 0 || st.Open == nil {
					t.Errorf("%s: %+v", stream.Name, st.Troubles)
				}
			}
		}
	}
}

func TestPreview(t *testing.T) {
	p, err := Preview(Readings, csvRows(t, readings+"J-3;f;;;;wide;;;\n"), ImportOptions{}, 2)
	if err != nil || p.Rows != 2 || p.Wrong != 0 || p.Mapping["value"] != "Measured" || p.Mapping["day"] != "Date" {
		t.Errorf("%+v, %v", p, err)
	}
}

// A million rows: under 10 s and under 200 MB.
func TestMillionLives(t *testing.T) {
	if testing.Short() {
		t.Skip("a million rows")
	}
	const n = 1_000_000
	read, write := io.Pipe()
	go func() {
		fmt.Fprintln(write, "time,status,mode")
		for i := range n {
			fmt.Fprintf(write, "%d.5,%d,seal\n", 1000+i%9000, i%2)
		}
		write.Close()
	}()
	rows, err := OpenCSV(read)
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	start := time.Now()
	p, err := Import(Lives, rows, ImportOptions{Progress: func(int) { told++ }})
	if err != nil || len(p.Lives) != n || told != n/progressRows {
		t.Fatalf("%d rows, %d times progress, %v", len(p.Lives), told, err)
	}
	var after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&after)
	t.Logf("%v, %d MB kept", time.Since(start), after.HeapAlloc>>20)
	if after.HeapAlloc > 200<<20 {
		t.Errorf("%d MB are kept", after.HeapAlloc>>20)
	}
	if f, err := life.Fit(observations(p.Lives), life.Weibull); err != nil || !(f.Shape > 0) {
		t.Error(err)
	}
	runtime.KeepAlive(p)
}

func observations(rows []LifeRow) []life.Observation {
	list := make([]life.Observation, len(rows))
	for i := range rows {
		list[i] = rows[i].Observation
	}
	return list
}

func FuzzCSV(f *testing.F) {
	f.Add("time,status\n1,0\n")
	f.Add(readings)
	f.Add("job;opened\n\"x\n")
	f.Fuzz(func(t *testing.T, text string) {
		for _, s := range Subjects() {
			rows, err := OpenCSV(strings.NewReader(text))
			if err != nil {
				continue
			}
			p, err := Import(s, rows, ImportOptions{})
			if err != nil || p.Ready() != nil {
				continue
			}
			m := NewMemory()
			if _, err := p.Into(m); err != nil {
				t.Fatalf("%s: a plan that is ready is not taken: %v", s, err)
			}
			if o, err := p.Into(m); err != nil || o.Taken != 0 {
				t.Fatalf("%s: taken twice: %+v, %v", s, o, err)
			}
		}
	})
}

func BenchmarkImport100000Readings(b *testing.B) {
	var text strings.Builder
	text.WriteString("job,feature,plane,angle,value,day\n")
	for i := range 100_000 {
		fmt.Fprintf(&text, "J-%d,idler-pin-od,A,%d,%.3f mm,2026-03-01\n", i/50, i%50, 29+float64(i%1000)/1000)
	}
	b.ResetTimer()
	for b.Loop() {
		p := importCSV(b, Readings, text.String())
		if o, err := p.Into(NewMemory()); err != nil || o.Taken != 100_000 {
			b.Fatal(o, err)
		}
	}
}
