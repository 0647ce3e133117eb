package cli

import (
	"context"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"pumpwright/app/shop"
)

// A token made at the command line lets a program in until it is ended there.
func TestToken(t *testing.T) {
	b := newBench(t)
	ctx := context.Background()
	open := func() *shop.Shop {
		s, err := shop.OpenFolder(ctx, filepath.Join(b.folder, "pumpwright-data"), shop.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := open()
	if err := s.SetUpShop(ctx, shop.SetUp{Shop: "Test Dock (invented)", Person: "ada", Name: "Ada Fell", Password: "loud kettle on the quay"}); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err, status := b.run("token", "add", "bench", "--person", "nobody"); status != 2 || !strings.Contains(err, "no such person") {
		t.Errorf("status %d: %s", status, err)
	}
	out, fault, status := b.run("token", "add", "bench", "--person", "ada", "--grant", "read,enter")
	if status != 0 {
		t.Fatalf("status %d: %s", status, fault)
	}
	secret := strings.TrimSpace(out)
	list, fault, status := b.run("token", "list")
	if status != 0 || !strings.Contains(list, "read, enter") || strings.Contains(list, secret) {
		t.Fatalf("status %d: %s%s", status, list, fault)
	}
	ask := func() int {
		s := open()
		defer s.Close()
		p := serving{env: &Env{}, shop: s}
		h, err := p.withAPI(http.NotFoundHandler(), slog.New(slog.DiscardHandler))
		if err != nil {
			t.Fatal(err)
		}
		r := httptest.NewRequest("GET", "/api/me", nil)
		r.Header.Set("Authorization", "Bearer "+secret)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w.Code
	}
	if status := ask(); status != 200 {
		t.Errorf("the token: status %d", status)
	}
	lines := strings.Split(strings.TrimSpace(list), "\n")
	id := strings.Fields(lines[len(lines)-1])[0]
	if _, err, status := b.run("token", "end", id); status != 0 {
		t.Fatalf("status %d: %s", status, err)
	}
	if status := ask(); status != 401 {
		t.Errorf("after its end: status %d", status)
	}
	if _, _, status := b.run("token", "end", id); status != 2 {
		t.Errorf("ended twice: status %d", status)
	}
}
