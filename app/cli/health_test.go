package cli

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/watch"
)

func TestCheckHealth(t *testing.T) {
	s, err := shop.OpenMemory(t.Context(), shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(watch.New(watch.Config{Shop: s, Version: "v7"}, http.NotFoundHandler()))
	defer server.Close()
	other := httptest.NewServer(http.NotFoundHandler())
	defer other.Close()
	b := newBench(t)
	expect := func(address string, status int, says string) {
		t.Helper()
		out, problem, got := b.run("check-health", address)
		if got != status || !strings.Contains(out+problem, says) {
			t.Errorf("%s: status %d, want %d: %s%s", address, got, status, out, problem)
		}
	}
	expect(server.URL, 0, "v7")
	expect(server.URL+"/", 0, "well")
	expect(other.URL, 3, "404")
	expect("127.0.0.1:8377", 2, "http://")
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	expect(server.URL, 3, "database")
	server.Close()
	expect(server.URL, 3, "No answer")
}
