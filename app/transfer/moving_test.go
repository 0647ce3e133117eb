package transfer

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pumpwright/calc/say"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// shelf is a shop in memory.
type shelf struct {
	*Memory
	blobs map[string][]byte
}

func newShelf() *shelf { return &shelf{NewMemory(), map[string][]byte{}} }

func (s *shelf) StreamNames() ([]string, error) {
	var names []string
	for _, stream := range s.Streams() {
		names = append(names, stream.Name)
	}
	return names, nil
}

func (s *shelf) Stream(name string) (*record.Stream, error) {
	if stream := s.streams[name]; stream != nil {
		return stream, nil
	}
	return nil, errors.New("no such stream")
}

func (s *shelf) BlobHashes() ([]string, error) {
	var list []string
	for h := range s.blobs {
		list = append(list, h)
	}
	return list, nil
}

func (s *shelf) OpenBlob(hash string) (io.ReadCloser, error) {
	return io.NopCloser(bytes.NewReader(s.blobs[hash])), nil
}

func (s *shelf) PutBlob(hash string, content []byte) error {
	s.blobs[hash] = content
	return nil
}

func filled(t *testing.T) (*shelf, *fleet.Fleet) {
	t.Helper()
	f, err := fleet.Simulate(fleet.Options{Jobs: 8, Seed: 6})
	if err != nil {
		t.Fatal(err)
	}
	s := newShelf()
	if err := f.Streams(func(stream *record.Stream) error { s.put(stream); return nil }); err != nil {
		t.Fatal(err)
	}
	photo := []byte("not quite a photo")
	h := sha256.Sum256(photo)
	s.blobs[hex.EncodeToString(h[:])] = photo
	return s, f
}

func heads(s *shelf) string {
	text := ""
	for _, stream := range s.Streams() {
		text += stream.Name + " " + stream.Head() + "\n"
	}
	return text
}

// A shop goes into one file and comes back as it was, places and hashes too.
func TestArchiveComesBack(t *testing.T) {
	s, _ := filled(t)
	var file, twice bytes.Buffer
	m, err := WriteArchive(&file, s, "shop", 1e15)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := WriteArchive(&twice, s, "shop", 1e15); err != nil || !bytes.Equal(file.Bytes(), twice.Bytes()) {
		t.Errorf("the same shop gives another file: %v", err)
	}
	a, err := ReadArchive(bytes.NewReader(file.Bytes()), int64(file.Len()))
	if err != nil {
		t.Fatal(err)
	}
	back := newShelf()
	o, err := a.Restore(back)
	if err != nil || heads(back) != heads(s) || len(back.blobs) != len(m.Blobs) || o.Known != 0 {
		t.Fatalf("%+v, %v", o, err)
	}
	if again, err := a.Restore(back); err != nil || again.Taken != 0 || again.Known != o.Taken || heads(back) != heads(s) {
		t.Errorf("put back twice: %+v, %v", again, err)
	}
	// A shop that has gone on keeps what it has; one that went another way is
	// left alone.
	other := newShelf()
	first := a.Streams[0]
	e := first.Entries[0]
	e.ID = "another"
	if err := other.Take([]record.Entry{e, first.Entries[1]}); err != nil {
		t.Fatal(err)
	}
	before := heads(other)
	if _, err := a.Restore(other); say.AsProblem(err) == nil || heads(other) != before || len(other.blobs) > 0 {
		t.Errorf("another shop was changed: %v", err)
	}
}

// Whatever byte of an archive is changed, it is said, and never panics.
func TestArchiveDamage(t *testing.T) {
	s, _ := filled(t)
	var file bytes.Buffer
	if _, err := WriteArchive(&file, s, "shop", 1e15); err != nil {
		t.Fatal(err)
	}
	rewrite := func(change func(name string, content []byte) []byte) []byte {
		z, err := zip.NewReader(bytes.NewReader(file.Bytes()), int64(file.Len()))
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for _, f := range z.File {
			in, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			content, err := io.ReadAll(in)
			if err != nil {
				t.Fatal(err)
			}
			if content = change(f.Name, content); content == nil {
				continue
			}
			to, err := w.Create(f.Name)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := to.Write(content); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	for name, change := range map[string]func(string, []byte) []byte{
		"a stream edited": func(n string, c []byte) []byte {
			if n == "streams/000002.jsonl" {
				return bytes.Replace(c, []byte("seal"), []byte("teal"), 1)
			}
			return c
		},
		"a stream cut": func(n string, c []byte) []byte {
			if n == "streams/000001.jsonl" {
				return c[:len(c)/2]
			}
			return c
		},
		"a stream gone": func(n string, c []byte) []byte {
			if n == "streams/000003.jsonl" {
				return nil
			}
			return c
		},
		"no manifest": func(n string, c []byte) []byte {
			if n == manifestFile {
				return nil
			}
			return c
		},
		"another form": func(n string, c []byte) []byte {
			return bytes.Replace(c, []byte(`"format": 1`), []byte(`"format": 9`), 1)
		},
		"a photo changed": func(n string, c []byte) []byte {
			if strings.HasPrefix(n, "blobs/") {
				return bytes.ToUpper(c)
			}
			return c
		},
	} {
		content := rewrite(change)
		if _, err := ReadArchive(bytes.NewReader(content), int64(len(content))); say.AsProblem(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for i := 0; i < file.Len(); i += 97 {
		content := bytes.Clone(file.Bytes())
		content[i] ^= 0x55
		if a, err := ReadArchive(bytes.NewReader(content), int64(len(content))); err == nil {
			back := newShelf() // a byte that counts for nothing, such as a date of the packing
			if _, err := a.Restore(back); err != nil || heads(back) != heads(s) {
				t.Fatalf("byte %d: another shop came back", i)
			}
		}
	}
}

// Lines of many streams, mixed, come back stream by stream; damage names the
// line of the file.
func TestLines(t *testing.T) {
	s, _ := filled(t)
	var out bytes.Buffer
	if err := WriteLines(&out, s.Streams()...); err != nil {
		t.Fatal(err)
	}
	streams, faults, err := ReadLines(bytes.NewReader(out.Bytes()))
	if err != nil || len(faults) > 0 || len(streams) != len(s.Streams()) {
		t.Fatalf("%d streams, %v, %v", len(streams), faults, err)
	}
	back := newShelf()
	if _, err := TakeLines(streams, back); err != nil || heads(back) != heads(s) {
		t.Errorf("%v", err)
	}
	lines := strings.SplitAfter(out.String(), "\n")
	lines[4] = strings.Replace(lines[4], `"by":"`, `"by":"x`, 1)
	_, faults, err = ReadLines(strings.NewReader(strings.Join(lines, "")))
	if err != nil || len(faults) == 0 || faults[0].Line != 5 {
		t.Errorf("%+v, %v", faults, err)
	}
}

func FuzzLines(f *testing.F) {
	f.Add(`{"id":"a","stream":"job:1","seq":1,"kind":"note","v":1,"body":{},"by":"x","at":1,"hash":"h"}`)
	f.Add("{\n\n}")
	f.Add(`{"stream":5}`)
	f.Fuzz(func(t *testing.T, text string) {
		streams, faults, err := ReadLines(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		n := len(faults)
		for _, s := range streams {
			n += len(s.Entries)
		}
		if n == 0 && strings.TrimSpace(text) != "" {
			t.Errorf("%q: neither entries nor faults", text)
		}
		for _, fault := range faults {
			if fault.Line < 1 || fault.Line > 1+strings.Count(text, "\n") {
				t.Errorf("%q: fault at line %d", text, fault.Line)
			}
		}
	})
}

// The feed keeps to RFC 5545: lines of 75 octets at most, CRLF, whole signs,
// escaped text, one UID for one feature of one machine.
func TestCalendar(t *testing.T) {
	_, f := filled(t)
	machines := history.ByMachine(f.Summaries(), f.Pumps(), f.Options())
	due := history.DueList(machines, history.NewFamily(machines), false)
	if len(due) == 0 {
		t.Fatal("nothing is due")
	}
	due[0].Site = "Hall; north, \\ \n" + strings.Repeat("é", 90)
	var out, later bytes.Buffer
	if err := WriteCalendar(&out, due, record.TimeOf(time.Date(2026, 7, 1, 8, 0, 0, 0, time.UTC)), say.Style{}); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	for _, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
			t.Errorf("line %q", line)
		}
	}
	whole := strings.ReplaceAll(text, "\r\n ", "")
	for _, want := range []string{"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n", "DTSTAMP:20260701T080000Z", `LOCATION:Hall\; north\, \\ \n` + strings.Repeat("é", 90), "END:VCALENDAR\r\n"} {
		if !strings.Contains(whole, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if n := strings.Count(whole, "BEGIN:VEVENT"); n != len(due) {
		t.Errorf("%d events of %d", n, len(due))
	}
	if err := WriteCalendar(&later, due, record.TimeOf(time.Date(2027, 7, 1, 8, 0, 0, 0, time.UTC)), say.Style{}); err != nil {
		t.Fatal(err)
	}
	uids := func(text string) string {
		var list []string
		for _, line := range strings.Split(strings.ReplaceAll(text, "\r\n ", ""), "\r\n") {
			if strings.HasPrefix(line, "UID:") {
				list = append(list, line)
			}
		}
		return strings.Join(list, "\n")
	}
	if uids(text) != uids(later.String()) {
		t.Error("another day, other UIDs")
	}
	seen := map[string]bool{}
	for _, u := range strings.Split(uids(text), "\n") {
		if seen[u] {
			t.Errorf("%s twice", u)
		}
		seen[u] = true
	}
}

// A manifest is plain JSON that another program can check.
func TestManifest(t *testing.T) {
	s, _ := filled(t)
	var file bytes.Buffer
	m, err := WriteArchive(&file, s, "shop", 1e15)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(m)
	if err != nil || !strings.Contains(string(raw), `"sha256"`) || m.Format != 1 || len(m.Streams) != len(s.Streams()) {
		t.Errorf("%s, %v", raw, err)
	}
}
