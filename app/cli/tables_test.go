package cli

import (
	"strings"
	"testing"
)

// A shop's own folder takes tables, and is looked over like a file; what its
// archive holds says the same.
func TestTablesOfAShop(t *testing.T) {
	b := newBench(t)
	b.scenario(t)
	if _, err, status := b.run("serve", "--data", "shop"); status != 0 {
		t.Fatalf("serve: status %d: %s", status, err)
	}
	for _, args := range [][]string{
		{"import", "stock", "shelf.csv", "--data", "shop", "--by", "mira"},
		{"import", "entries", "J-2041.jsonl", "--data", "shop", "--by", "mira"},
		{"archive", "--data", "shop", "shop.zip"},
	} {
		if out, err, status := b.run(args...); status != 0 {
			t.Fatalf("%v: status %d: %s%s", args, status, out, err)
		}
	}
	for _, args := range [][]string{{"stock"}, {"history"}, {"fleet"}, {"export", "readings"}} {
		own, err, _ := b.run(append(args, "shop")...)
		archived, archivedErr, _ := b.run(append(args, "shop.zip")...)
		if err != "" || archivedErr != "" || own != archived || len(own) < 100 {
			t.Errorf("%v: the shop says\n%s%s\nits archive says\n%s%s", args, own, err, archived, archivedErr)
		}
	}
	out, err, status := b.run("import", "stock", "shelf.csv", "--data", "shop", "--by", "odell")
	if status != 0 || !strings.Contains(out, "Taken: 0 entries") {
		t.Errorf("read twice: status %d: %s%s", status, out, err)
	}
}
