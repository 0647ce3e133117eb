package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/rebuild/job"
)

// Part of the database file is overwritten: an archive is refused, with
// --rescue it holds the rest, which can be put into a new shop.
func TestRescue(t *testing.T) {
	b := newBench(t)
	folder := filepath.Join(b.folder, "pumpwright-data")
	s, err := shop.OpenFolder(t.Context(), folder, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.SetUpShop(t.Context(), shop.SetUp{Shop: "Test Dock (invented)", Person: "ada", Name: "Ada Fell", Password: dockPassword}); err != nil {
		t.Fatal(err)
	}
	sc := shop.Scope{Site: "main", Person: "ada", Roles: access.Roles()}
	for range 40 {
		a, err := s.Receive(t.Context(), sc, shop.Receipt{Open: job.Open{Tag: "P-1", Invented: true}})
		if err != nil {
			t.Fatal(err)
		}
		body := []byte(`{"text":"` + strings.Repeat("grit ", 900) + `"}`)
		if _, err := s.Add(t.Context(), sc, a.Job.Name, shop.NewEntry{Kind: job.KindNote, Body: body}); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, "pumpwright.db")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for page := range len(text) / 4096 { // pages of long notes: what hurts least
		one := text[page*4096 : (page+1)*4096]
		if bytes.Count(one, []byte("grit ")) > 700 && page%3 == 0 {
			copy(one, bytes.Repeat([]byte{0xa5}, 4096))
		}
	}
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, fault, status := b.run("archive", "whole.zip"); status == 0 {
		t.Fatalf("a damaged shop was archived as whole: %s%s", out, fault)
	}
	out, fault, status := b.run("archive", "saved.zip", "--rescue")
	if status != 3 || !strings.Contains(fault, "left out") || !strings.Contains(out, "streams") {
		t.Fatalf("status %d: %s%s", status, out, fault)
	}
	if out, fault, status := b.run("unpack", "saved.zip", "--data", "again"); status != 0 || !strings.Contains(out, "Put back") {
		t.Errorf("status %d: %s%s", status, out, fault)
	}
}
