package main

import (
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"

	"pumpwright/app/shop"
)

func main() {
	if home, given := childHome(); given {
		fmt.Fprintln(os.Stderr, work(context.Background(), home))
		os.Exit(1)
	}
	kills := flag.Int("kills", 500, "how often the worker is killed")
	dir := flag.String("dir", "", "folder of the shop; a new one that is taken away again when empty")
	database := flag.String("database", "", "PostgreSQL database to work in; it must be empty")
	seed := flag.Uint64("seed", 1, "seed of the moments")
	flag.Parse()
	if err := run(*kills, *dir, *database, *seed); err != nil {
		fmt.Fprintln(os.Stderr, "kill:", err)
		os.Exit(1)
	}
}

func run(kills int, dir, database string, seed uint64) error {
	if dir == "" {
		made, err := os.MkdirTemp("", "pumpwright-kill-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(made)
		dir = filepath.Join(made, "shop")
	}
	program, err := os.Executable()
	if err != nil {
		return err
	}
	t := trial{program: program, home: shop.Home{Folder: dir, Database: database}, random: rand.New(rand.NewPCG(seed, 9))}
	if err := t.setUp(context.Background()); err != nil {
		return err
	}
	for n := 1; n <= kills; n++ {
		if err := t.round(context.Background()); err != nil {
			return fmt.Errorf("kill %d: %w", n, err)
		}
		if n%50 == 0 || n == kills {
			fmt.Printf("%d kills: %s\n", n, t.said())
		}
	}
	return nil
}
