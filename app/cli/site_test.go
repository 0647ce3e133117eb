package cli

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"pumpwright/app/shop"
)

// A second site is added and joined; what is asked of the shop then names one.
func TestSites(t *testing.T) {
	b := newBench(t)
	s, err := shop.OpenFolder(context.Background(), filepath.Join(b.folder, "pumpwright-data"), shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.SetUpShop(t.Context(), shop.SetUp{Shop: "Test Dock (invented)", Person: "ada", Name: "Ada Fell", Password: dockPassword}); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{[]string{"archive", "one.zip"}, 0, "Wrote"},
		{[]string{"site", "add", "north", "North Dock (invented)", "--lead", "nobody"}, 2, "no “nobody”"},
		{[]string{"site", "add", "north", "North Dock (invented)", "--lead", "ada"}, 0, "north"},
		{[]string{"site", "add", "north", "Again", "--lead", "ada"}, 2, "already"},
		{[]string{"site", "join", "ada", "north", "--role", "technician"}, 2, "another one for there"},
		{[]string{"site", "join", "ada", "south", "--role", "technician"}, 2, "no site “south”"},
		{[]string{"site", "list"}, 0, "North Dock"},
		{[]string{"archive", "two.zip"}, 2, "several sites"},
		{[]string{"archive", "three.zip", "--site", "north"}, 0, "Wrote"},
		{[]string{"archive", "four.zip", "--site", "south"}, 2, "no site “south”"},
	} {
		if out, err, status := b.run(c.args...); status != c.status || !strings.Contains(out+err, c.says) {
			t.Errorf("%v: status %d, want %d: %s%s", c.args, status, c.status, out, err)
		}
	}
}
