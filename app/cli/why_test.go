package cli

import (
	"encoding/json"
	"strings"
	"testing"
)

// TestWhy: the same causes in words and as JSON, likeliest first.
func TestWhy(t *testing.T) {
	b := newBench(t)
	b.scenario(t)
	words, errText, code := b.run("why", "J-2041.jsonl")
	if code != 0 {
		t.Fatalf("status %d: %s", code, errText)
	}
	out, errText, code := b.run("why", "J-2041.jsonl", "--json")
	if code != 0 {
		t.Fatalf("status %d: %s", code, errText)
	}
	var whole, only map[string]json.RawMessage
	if err := json.Unmarshal([]byte(out), &only); err != nil {
		t.Fatal(err)
	}
	out, _, _ = b.run("assess", "J-2041.jsonl", "--json")
	if err := json.Unmarshal([]byte(out), &whole); err != nil {
		t.Fatal(err)
	}
	if len(only["causes"]) == 0 || string(only["causes"]) != string(whole["causes"]) {
		t.Error("why and assess tell different causes")
	}
	if !strings.Contains(words, "WHY IT FAILED") || !strings.Contains(words, "for: ") {
		t.Errorf("no cause with reasons:\n%s", words)
	}
	if _, _, code := b.run("why", "no-such.jsonl"); code != 4 {
		t.Errorf("a missing file: status %d", code)
	}
}
