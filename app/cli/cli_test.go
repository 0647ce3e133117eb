package cli

import (
	"bytes"
	"context"
	"crypto/tls"
	"encoding/json"
	"flag"
	"io"
	"maps"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/alecthomas/kong"

	"pumpwright/app/report"
	"pumpwright/app/transfer"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/calculator"
)

var update = flag.Bool("update", false, "write the texts of this run as those to be expected")

// bench is a folder with a fixed clock and fixed random bytes.
type bench struct {
	folder   string
	env      map[string]string
	in       string
	keyboard bool
	report   func(*assess.Assessment, report.Options) ([]byte, error)
	random   *rand.ChaCha8
	minutes  int
	answer   string // what the first page of a server said
}

// lookAt reads the first page of a server.
func lookAt(address string) string {
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}, Timeout: 10 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for _, scheme := range []string{"http://", "https://"} {
		answer, err := client.Get(scheme + address + "/")
		if err != nil || answer.StatusCode == http.StatusBadRequest {
			continue
		}
		defer answer.Body.Close()
		text, err := io.ReadAll(answer.Body)
		if err == nil {
			return string(text)
		}
	}
	return ""
}

func newBench(t *testing.T) *bench {
	t.Helper()
	return &bench{folder: t.TempDir(), env: map[string]string{}, report: shortReport, random: rand.NewChaCha8([32]byte{1})}
}

// shortReport stands in for the PDF where a test is about something else.
func shortReport(a *assess.Assessment, _ report.Options) ([]byte, error) {
	return []byte("report of " + a.Inputs.Job.Stream), nil
}

func (b *bench) run(args ...string) (out, err string, status int) {
	var stdout, stderr bytes.Buffer
	served := make(chan string, 1) // address of pages
	b.minutes++
	now := time.Date(2026, 6, 10, 8, b.minutes, 0, 0, time.UTC)
	status = Run(args, &Env{
		In: strings.NewReader(b.in), Out: &stdout, Err: &stderr, Keyboard: b.keyboard, Folder: transfer.Folder(b.folder),
		Now: func() time.Time { return now }, Random: b.random, Version: "v0.0.0-test", Report: b.report,
		Getenv: func(name string) string { return b.env[name] },
		// Pages are served on a free port, until they have been looked at once.
		Listen: func(network, _ string) (net.Listener, error) {
			l, err := net.Listen(network, "127.0.0.1:0")
			if err == nil {
				served <- l.Addr().String()
			}
			return l, err
		},
		Until: func() (context.Context, context.CancelFunc) {
			ctx, stop := context.WithCancel(context.Background())
			go func() {
				b.answer = lookAt(<-served)
				stop()
			}()
			return ctx, stop
		},
	})
	return stdout.String(), stderr.String(), status
}

// demo fills the folder with the invented scenario and goes there.
func (b *bench) demo(t *testing.T) {
	t.Helper()
	if _, err, status := b.run("demo", "--no-serve"); status != 0 {
		t.Fatalf("demo: status %d: %s", status, err)
	}
	b.folder = filepath.Join(b.folder, "pumpwright-demo")
}

// scenario fills the folder with the files of the demo, without the walk.
func (b *bench) scenario(t *testing.T) {
	t.Helper()
	list, err := demoFiles()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		path := filepath.Join(b.folder, f.name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, f.content, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// words splits a command line as a shell does: quotes hold words together.
func words(line string) []string {
	var list []string
	var word strings.Builder
	quote, open := rune(0), false
	for _, r := range line {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote == 0 && (r == '"' || r == '\''):
			quote, open = r, true
		case quote == 0 && r == ' ':
			if open {
				list = append(list, word.String())
				word.Reset()
			}
			open = false
		default:
			word.WriteRune(r)
			open = true
		}
	}
	if open {
		list = append(list, word.String())
	}
	return list
}

// shell runs a line of commands with pipes and one redirection.
func (b *bench) shell(t *testing.T, line string) (out, err string, status int) {
	t.Helper()
	line, to, redirected := strings.Cut(line, " > ")
	b.in = ""
	for _, part := range strings.Split(line, " | ") {
		args := words(part)
		switch args[0] {
		case "echo":
			out = strings.Join(args[1:], " ") + "\n"
		case name:
			out, err, status = b.run(args[1:]...)
		default:
			t.Fatalf("no command %q", args[0])
		}
		b.in = out
	}
	if redirected {
		if failed := os.WriteFile(filepath.Join(b.folder, to), []byte(out), 0o666); failed != nil {
			t.Fatal(failed)
		}
		out = ""
	}
	return out, err, status
}

// Scripts: testdata/*.txt. A line "$ command" runs one; the lines behind it
// say what is expected of it.
//
//	= N        exit status
//	o TEXT     standard output holds it
//	e TEXT     standard error holds it
//	- TEXT     neither holds it
//	| LINE     the next line of standard output, from its first
//	< NAME     standard input is the file
//	demo       the folder is filled with the invented scenario
//	file NAME  the lines after it, up to one with a dot alone, are the file
func TestScripts(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) < 3 {
		t.Fatalf("%v %v", files, err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			s := script{t: t, b: newBench(t), file: file}
			s.play(strings.Split(string(text), "\n"))
		})
	}
}

type script struct {
	t           *testing.T
	b           *bench
	file        string
	out, err    string
	left        []string // lines of out not yet compared
	status      int
	ran, judged bool
	standardIn  string
}

func (s *script) play(lines []string) {
	for i := 0; i < len(lines); i++ {
		line := lines[i]
		mark, rest, _ := strings.Cut(line, " ")
		fail := func(format string, args ...any) {
			s.t.Helper()
			s.t.Errorf("%s:%d: %s: "+format+"\nout: %s\nerr: %s", append(append([]any{s.file, i + 1, line}, args...), s.out, s.err)...)
		}
		switch mark {
		case "", "#":
		case "demo":
			s.b.demo(s.t)
		case "file":
			var content []string
			for i++; lines[i] != "."; i++ {
				content = append(content, lines[i])
			}
			if err := os.WriteFile(filepath.Join(s.b.folder, rest), []byte(strings.Join(content, "\n")+"\n"), 0o666); err != nil {
				s.t.Fatal(err)
			}
		case "$":
			s.out, s.err, s.status = s.b.shell(s.t, rest)
			s.left = strings.Split(strings.TrimSuffix(s.out, "\n"), "\n")
		case "=":
			if got := string(rune('0' + s.status)); got != rest {
				fail("status %s", got)
			}
		case "o":
			if !strings.Contains(s.out, rest) {
				fail("not there")
			}
		case "e":
			if !strings.Contains(s.err, rest) {
				fail("not there")
			}
		case "-":
			if strings.Contains(s.out+s.err, rest) {
				fail("is there")
			}
		case "|":
			if len(s.left) == 0 || s.left[0] != rest {
				fail("another line")
			}
			s.left = s.left[min(1, len(s.left)):]
		default:
			s.t.Fatalf("%s:%d: no mark %q", s.file, i+1, mark)
		}
	}
}

// Every line in the help that shows a command runs: from a demo folder, with
// the answer done or not yet.
func TestHelpExamples(t *testing.T) {
	var g grammar
	parser, err := newParser(&Env{Out: &bytes.Buffer{}, Err: &bytes.Buffer{}}, &g)
	if err != nil {
		t.Fatal(err)
	}
	seen, without := map[string]bool{}, 0
	var look func(n *kong.Node)
	look = func(n *kong.Node) {
		for _, child := range n.Children {
			look(child)
		}
		var examples []string
		for _, line := range strings.Split(n.Detail, "\n") {
			if strings.HasPrefix(line, "  ") {
				examples = append(examples, strings.TrimSpace(line))
			}
		}
		if len(examples) == 0 {
			if n.Leaf() {
				without++
				t.Errorf("%s: the help shows no example", n.FullPath())
			}
			return
		}
		switch n.Name {
		case "backup", "restore":
			return // TestBackupAndRestore
		case "move", "archive", "unpack":
			return // TestShopMoves
		case "check-health":
			return // TestCheckHealth
		}
		if n.Parent != nil && (n.Parent.Name == "token" || n.Parent.Name == "site") {
			return // TestToken, TestSites
		}
		b := newBench(t)
		b.scenario(t)
		for _, example := range examples {
			if seen[example] || strings.Contains(example, "--database") || strings.Contains(example, "postgres://") { // TestShopMoves
				continue
			}
			seen[example] = true
			if out, err, status := b.shell(t, example); status != 0 && status != 3 || out+err == "" && !strings.Contains(example, " > ") {
				t.Errorf("%s: status %d\n%s%s", example, status, out, err)
			}
		}
	}
	look(parser.Model.Node)
	if len(seen) < 40 {
		t.Errorf("only %d examples found", len(seen))
	}
}

// The lines that the demo proposes run as they stand.
func TestDemoCommands(t *testing.T) {
	b := newBench(t)
	b.demo(t)
	for _, line := range demoCommands {
		if out, err, status := b.shell(t, line); status != 0 && status != 3 {
			t.Errorf("%s: status %d\n%s%s", line, status, out, err)
		}
	}
}

// expect compares a text with the one that is kept.
func expect(t *testing.T, file, got string) {
	t.Helper()
	path := filepath.Join("testdata", file)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got == string(want) {
		return
	}
	gotLines, wantLines := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for i := range min(len(gotLines), len(wantLines)) {
		if gotLines[i] != wantLines[i] {
			t.Fatalf("%s:%d: got  %q\nwant %q\n(go test ./app/cli -update writes the new text)", path, i+1, gotLines[i], wantLines[i])
		}
	}
	t.Fatalf("%s: %d lines, want %d", path, len(gotLines), len(wantLines))
}

// Every calculator runs its example for a person and for a program, in both
// unit systems, and describes its fields.
func TestEveryCalculator(t *testing.T) {
	b := newBench(t)
	for _, c := range calculator.All() {
		b.in, _, _ = b.run("calc", c.Name, "--example")
		for _, args := range [][]string{{"--working"}, {"--units", "inch"}, {"--json", "--working"}, {"--fields"}, {"--fields", "--json"}} {
			out, err, status := b.run(append([]string{"calc", c.Name}, args...)...)
			if status != 0 && status != 3 || err != "" || strings.Contains(out, "map[") || strings.Contains(out, "%!") || strings.Contains(out, "0x") {
				t.Errorf("calc %s %v: status %d\n%s%s", c.Name, args, status, out, err)
			}
			if again, _, _ := b.run(append([]string{"calc", c.Name}, args...)...); again != out {
				t.Errorf("calc %s %v: comes out differently the second time", c.Name, args)
			}
		}
	}
}

// What a person sees of the demo and of its jobs, as a whole. These texts are
// pins of our own output, not checks of a number.
func TestWholeTexts(t *testing.T) {
	b := newBench(t)
	out, _, status := b.run("demo", "--no-serve")
	if status != 0 {
		t.Fatalf("demo: status %d", status)
	}
	expect(t, "demo.golden", out)
	b.folder = filepath.Join(b.folder, "pumpwright-demo")
	for _, c := range []struct {
		file   string
		args   []string
		status int
	}{
		{"J-2041.golden", []string{"assess", "J-2041.jsonl"}, 0},
		{"J-2057-inch.golden", []string{"assess", "J-2057.jsonl", "--units", "inch"}, 3},
		{"J-2063.golden", []string{"assess", "J-2063.jsonl"}, 3},
	} {
		out, err, status := b.run(c.args...)
		if status != c.status || err != "" {
			t.Errorf("%v: status %d, want %d: %s", c.args, status, c.status, err)
		}
		if again, _, _ := b.run(c.args...); again != out {
			t.Errorf("%v: comes out differently the second time", c.args)
		}
		expect(t, c.file, out)
	}
}

// The names of the fields of the JSON stay: other programs rely on them.
func TestFieldNames(t *testing.T) {
	b := newBench(t)
	b.scenario(t)
	seen := map[string]bool{}
	var look func(path string, value any)
	look = func(path string, value any) {
		switch v := value.(type) {
		case map[string]any:
			for name, inner := range v {
				if strings.HasSuffix(path, "counts") {
					name = "KIND"
				}
				look(strings.TrimPrefix(path+"."+name, "."), inner)
			}
		case []any:
			seen[path+"[]"] = true
			for _, inner := range v {
				look(path+"[]", inner)
			}
		default:
			seen[path] = true
		}
	}
	for _, job := range []string{"J-2041.jsonl", "J-2057.jsonl", "J-2063.jsonl"} {
		out, err, _ := b.run("assess", job, "--json")
		var document any
		if failed := json.Unmarshal([]byte(out), &document); failed != nil {
			t.Fatalf("%s: %v %s", job, failed, err)
		}
		if again, _, _ := b.run("assess", job, "--json"); again != out {
			t.Errorf("%s: comes out differently the second time", job)
		}
		look("", document)
	}
	paths := slices.Sorted(maps.Keys(seen))
	expect(t, "assess-fields.golden", strings.Join(paths, "\n")+"\n")
}

// A narrow terminal gets narrow lines.
func TestWidth(t *testing.T) {
	b := newBench(t)
	b.demo(t)
	longest := 0
	for _, columns := range []int{80, 100, 200} {
		b.env["COLUMNS"] = strconv.Itoa(columns)
		out, _, _ := b.run("assess", "J-2057.jsonl")
		before := longest
		longest = 0
		for _, line := range strings.Split(out, "\n") {
			longest = max(longest, len([]rune(line)))
		}
		if longest > columns || longest <= before {
			t.Errorf("%d columns: the longest line has %d", columns, longest)
		}
	}
}

// An answer that could not be written is no success.
func TestFullDisk(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no device that is always full")
	}
	defer full.Close()
	var stderr bytes.Buffer
	env := &Env{In: strings.NewReader(""), Out: full, Err: &stderr, Now: time.Now, Getenv: func(string) string { return "" }}
	if status := Run([]string{"calc"}, env); status != calculator.StatusFile || stderr.Len() == 0 {
		t.Errorf("status %d, %q", status, stderr.String())
	}
}

// The PDF is one.
func TestReportFile(t *testing.T) {
	b := newBench(t)
	b.demo(t)
	b.report = report.PDF
	if out, err, status := b.run("report", "J-2057.jsonl", "--paper", "letter"); status != 0 || !strings.Contains(out, "J-2057.pdf") {
		t.Fatalf("status %d: %s%s", status, out, err)
	}
	pdf, err := os.ReadFile(filepath.Join(b.folder, "J-2057.pdf"))
	if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-")) || len(pdf) < 10000 {
		t.Errorf("%d bytes, %v", len(pdf), err)
	}
}
