package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A damaged job file says what is wrong and with which entry; the rest is read
// and assessed, and further entries are asked about.
func TestDamagedFile(t *testing.T) {
	b := newBench(t)
	b.demo(t)
	path := filepath.Join(b.folder, "J-2057.jsonl")
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(whole), "\n")
	cases := []struct {
		name, content, fault string
	}{
		{"edited", strings.Replace(string(whole), "3 in-lb", "9 in-lb", 1), "was changed after it was written"},
		{"removed", strings.Join(append(append([]string{}, lines[:20]...), lines[21:]...), ""), "does not follow the entry before it"},
		{"moved", strings.Join(append(append(append([]string{}, lines[:20]...), lines[21], lines[20]), lines[22:]...), ""), "does not follow the entry before it"},
		{"cut", string(whole[:len(whole)-100]), "the file was cut off there"},
		{"broken", strings.Join(lines[:10], "") + "{nonsense\n" + strings.Join(lines[10:], ""), "line 11 cannot be read"},
	}
	for _, c := range cases {
		if err := os.WriteFile(path, []byte(c.content), 0o666); err != nil {
			t.Fatal(err)
		}
		if out, _, status := b.run("job", "verify", "J-2057.jsonl"); status != 2 || !strings.Contains(out, c.fault) || !strings.Contains(out, "can be read") {
			t.Errorf("%s: verify: status %d\n%s", c.name, status, out)
		}
		if out, _, status := b.run("job", "verify", "J-2057.jsonl", "--json"); status != 2 || !strings.Contains(out, `"whole": false`) {
			t.Errorf("%s: verify --json: status %d\n%s", c.name, status, out)
		}
		out, _, status := b.run("assess", "J-2057.jsonl")
		if status != 3 || !strings.HasPrefix(out, "This job file is damaged") || !strings.Contains(out, c.fault) || !strings.Contains(out, "WHERE THE JOB STANDS") {
			t.Errorf("%s: assess: status %d\n%.400s", c.name, status, out)
		}
		if out, _, status := b.run("job", "add", "J-2057.jsonl", "note", "x", "--by", "mira"); status != 3 || !strings.Contains(out, "pumpwright job verify") {
			t.Errorf("%s: add: status %d\n%s", c.name, status, out)
		}
		if after, _ := os.ReadFile(path); string(after) != c.content {
			t.Errorf("%s: the file was changed", c.name)
		}
		if _, err, status := b.run("job", "add", "J-2057.jsonl", "note", "x", "--by", "mira", "--confirmed"); status != 0 {
			t.Errorf("%s: add confirmed: status %d %s", c.name, status, err)
		}
	}
}
