package record

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

var day = time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)

func sample(n int) Entry {
	body, _ := json.Marshal(map[string]any{"n": n, "text": "a <b> & ü"})
	return Entry{ID: NewID(day.Add(time.Duration(n)*time.Second), [10]byte{byte(n)}), Stream: "job:J-1", Kind: "note", Version: 1, Body: body, By: "p1", At: TimeOf(day)}
}

func sampleStream(t *testing.T, n int) *Stream {
	s := &Stream{}
	for i := range n {
		if _, err := s.Append(sample(i)); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

func written(t *testing.T, s *Stream) string {
	var out bytes.Buffer
	if err := s.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestRoundTrip(t *testing.T) {
	s := sampleStream(t, 5)
	text := written(t, s)
	back, faults, err := Read(strings.NewReader(text))
	if err != nil || len(faults) != 0 || len(back.Entries) != 5 {
		t.Fatalf("%v %v %d", err, faults, len(back.Entries))
	}
	if written(t, back) != text {
		t.Error("the file changed when it was written again")
	}
}

func TestSameIDTwice(t *testing.T) {
	s := sampleStream(t, 2)
	again, err := s.Append(sample(1))
	if err != nil || again.Seq != 2 || len(s.Entries) != 2 {
		t.Fatalf("the same entry was not taken once: %v %v", again, err)
	}
	other := sample(1)
	other.Body = json.RawMessage(`{"n":99}`)
	if _, err := s.Append(other); say.AsProblem(err) == nil {
		t.Fatal("another content under the same id was taken")
	}
}

// Each way to damage a file is named, with the entry, and the rest is read.
func TestDamage(t *testing.T) {
	text := written(t, sampleStream(t, 5))
	lines := strings.SplitAfter(strings.TrimSuffix(text, "\n"), "\n")
	join := func(list ...string) string { return strings.Join(list, "") }
	cases := []struct {
		name, file, id string
		line           int
		entries        int
	}{
		{"cut", text[:len(text)-30], "record.cut", 5, 4},
		{"edited", strings.Replace(text, `"n":2`, `"n":7`, 1), "record.edited", 3, 5},
		{"removed", join(lines[0], lines[1], lines[3], lines[4]), "record.chain", 3, 4},
		{"swapped", join(lines[0], lines[2], lines[1], lines[3], lines[4]), "record.chain", 2, 5},
		{"doubled", join(lines[0], lines[1], lines[1], lines[2], lines[3], lines[4]), "record.double", 3, 5},
		{"broken", join(lines[0], "{no\n", lines[2]), "record.broken", 2, 2},
		{"foreign", join(lines[0], strings.Replace(lines[1], "job:J-1", "job:J-2", 1)), "record.foreign", 2, 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s, faults, err := Read(strings.NewReader(c.file))
			if err != nil {
				t.Fatal(err)
			}
			if len(faults) == 0 || faults[0].Message.ID() != c.id || faults[0].Line != c.line {
				t.Errorf("faults: %+v", faults)
			}
			if len(s.Entries) != c.entries {
				t.Errorf("%d entries were read, want %d", len(s.Entries), c.entries)
			}
		})
	}
}

// Any single changed byte of a file is found.
func TestAnyChangeIsFound(t *testing.T) {
	text := written(t, sampleStream(t, 4))
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.IntRange(0, len(text)-2).Draw(t, "at")
		to := byte(rapid.IntRange(32, 126).Draw(t, "to"))
		if text[at] == to || text[at] == '\n' {
			t.Skip()
		}
		changed := text[:at] + string(to) + text[at+1:]
		s, faults, err := Read(strings.NewReader(changed))
		if err != nil {
			t.Fatal(err)
		}
		if len(faults) > 0 {
			return
		}
		// White space and the case of JSON names do not change what is said.
		var out bytes.Buffer
		if err := s.Write(&out); err != nil || out.String() != text {
			t.Fatalf("the change at %d to %q was not found", at, to)
		}
	})
}

func TestCanonical(t *testing.T) {
	got, err := Canonical([]byte(` {"b": 1.50, "a": ["x<y", null, true], "c": {"z":1,"y":2}} `))
	if err != nil || string(got) != `{"a":["x<y",null,true],"b":1.50,"c":{"y":2,"z":1}}` {
		t.Errorf("%s %v", got, err)
	}
	if _, err := Canonical([]byte(`{} {}`)); err == nil {
		t.Error("two values were taken")
	}
}

func FuzzRead(f *testing.F) {
	f.Add(`{"id":"x","stream":"job:1","seq":1,"kind":"note","v":1,"body":{},"by":"p","at":1,"hash":"0"}`)
	f.Fuzz(func(t *testing.T, text string) {
		s, _, err := Read(strings.NewReader(text))
		if err != nil || s == nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkAppend(b *testing.B) {
	s := &Stream{}
	for i := 0; b.Loop(); i++ {
		if len(s.Entries) > 200 {
			s = &Stream{}
		}
		if _, err := s.Append(sample(i)); err != nil {
			b.Fatal(err)
		}
	}
}
