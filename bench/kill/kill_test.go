package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/store/storetest"
)

func TestMain(m *testing.M) {
	if home, given := childHome(); given {
		fmt.Fprintln(os.Stderr, work(context.Background(), home))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// A sample; the command kills five hundred times.
func TestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("kills processes for some seconds")
	}
	t.Run("SQLite", func(t *testing.T) { killed(t, shop.Home{Folder: filepath.Join(t.TempDir(), "shop")}) })
	t.Run("PostgreSQL", func(t *testing.T) {
		killed(t, shop.Home{Folder: t.TempDir(), Database: storetest.NewDatabase(t, storetest.Postgres(t))})
	})
}

func killed(t *testing.T, home shop.Home) {
	k := trial{program: os.Args[0], home: home, random: rand.New(rand.NewPCG(3, 4))}
	if err := k.setUp(t.Context()); err != nil {
		t.Fatal(err)
	}
	// On a busy machine a worker gets few entries done before it is killed:
	// then it takes more kills until there is something to lose.
	for n := 0; n < 12 || len(k.kept) < 20 && n < 100; n++ {
		if err := k.round(t.Context()); err != nil {
			t.Fatalf("kill %d: %v", n+1, err)
		}
	}
	if len(k.kept) < 20 {
		t.Errorf("only %d entries were written: the kills came too early to mean anything", len(k.kept))
	}
	t.Log(k.said())
}
