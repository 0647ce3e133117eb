package main

import (
	"context"
	"flag"
	"fmt"
	"log"
	"net/http"
	"net/http/pprof"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/store"
	"pumpwright/app/web"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/record"
)

// site is the site of the invented scenario, which is served without sign-in.
const site = "demo"

type options struct {
	jobs, tablets int
	seconds       time.Duration
	pause         time.Duration
	folder        string
	database      string
	serve         string
}

func main() {
	log.SetFlags(0)
	var o options
	flag.IntVar(&o.jobs, "jobs", 10_000, "jobs in the store")
	flag.IntVar(&o.tablets, "tablets", 20, "tablets at work")
	flag.DurationVar(&o.seconds, "for", 20*time.Second, "how long they work")
	flag.DurationVar(&o.pause, "pause", time.Second, "between two readings of a tablet: a hand with a caliper needs some seconds")
	flag.StringVar(&o.folder, "dir", "", "folder of the shop; a temporary one when empty, else kept and used again")
	flag.StringVar(&o.database, "database", os.Getenv("PUMPWRIGHT_DATABASE"), "PostgreSQL database of the shop; SQLite in the folder when empty")
	flag.StringVar(&o.serve, "serve", "", "only serve the folder at this address (used by the command itself)")
	flag.Parse()
	var err error
	if o.serve != "" {
		err = serve(o)
	} else {
		err = run(o)
	}
	if err != nil {
		log.Fatal(err)
	}
}

func serve(o options) error {
	s, err := shop.Home{Folder: o.folder, Database: o.database}.Open(context.Background(), shop.Options{})
	if err != nil {
		return err
	}
	go s.Warm(context.Background())
	pages := web.New(web.Config{Shop: s, Demo: true})
	mux := http.NewServeMux()
	mux.Handle("/", pages)
	// The profiles of the server are read at /debug/pprof/, here alone.
	mux.HandleFunc("GET /debug/pprof/", pprof.Index)
	mux.HandleFunc("GET /debug/pprof/profile", pprof.Profile)
	mux.HandleFunc("GET /nothing", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	return http.ListenAndServe(o.serve, mux)
}

func run(o options) error {
	ctx := context.Background()
	if o.folder == "" {
		folder, err := os.MkdirTemp("", "load")
		if err != nil {
			return err
		}
		defer os.RemoveAll(folder)
		o.folder = folder
	}
	fmt.Printf("%s/%s, %d processors, %s\n", runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), runtime.Version())
	begin := time.Now()
	entries, err := fill(ctx, o)
	if err != nil {
		return err
	}
	if entries > 0 {
		fmt.Printf("filled: %d jobs, %d entries in %.0f s\n", o.jobs, entries, time.Since(begin).Seconds())
	}
	fmt.Printf("on disk: %.1f MB\n", float64(size(o.folder))/1e6)
	address, err := freeAddress()
	if err != nil {
		return err
	}
	self, err := os.Executable()
	if err != nil {
		return err
	}
	child := exec.Command(self, "-serve", address, "-dir", o.folder)
	child.Stderr = os.Stderr
	child.Env = append(os.Environ(), "PUMPWRIGHT_DATABASE="+o.database)
	begin = time.Now()
	if err := child.Start(); err != nil {
		return err
	}
	defer func() { _ = child.Process.Kill(); _ = child.Wait() }()
	c := newClient("http://" + address)
	for {
		if _, err := c.get("/"); err == nil {
			break
		} else if time.Since(begin) > time.Minute {
			return err
		}
		time.Sleep(2 * time.Millisecond)
	}
	fmt.Printf("start to first page: %.0f ms\n", time.Since(begin).Seconds()*1e3)
	fmt.Printf("memory at rest: %s\n", memory(child.Process.Pid))
	if err := c.work(ctx, o); err != nil {
		return err
	}
	fmt.Printf("memory after the work: %s\n", memory(child.Process.Pid))
	return bare(ctx)
}

// fill makes the shop, unless the folder holds it already.
func fill(ctx context.Context, o options) (int, error) {
	mark := filepath.Join(o.folder, "filled")
	if _, err := os.Stat(mark); err == nil {
		return 0, nil
	}
	db, err := store.Open(ctx, store.Place{Folder: o.folder, Database: o.database})
	if err != nil {
		return 0, err
	}
	s := shop.New(db, shop.Options{})
	defer s.Close()
	if err := s.LoadDemo(ctx); err != nil {
		return 0, err
	}
	f, err := fleet.Simulate(fleet.Options{Jobs: o.jobs, Seed: 1})
	if err != nil {
		return 0, err
	}
	count := 0
	err = f.Streams(func(stream *record.Stream) error {
		entries := make([]record.Entry, len(stream.Entries))
		for i, e := range stream.Entries {
			e.Seq, e.Prev, e.Hash = 0, "", ""
			entries[i] = e
		}
		count += len(entries)
		_, _, err := db.Append(ctx, site, store.AnyHead, entries...)
		return err
	})
	if err != nil {
		return count, err
	}
	if err := s.CatchUp(ctx, site); err != nil {
		return count, err
	}
	return count, os.WriteFile(mark, nil, 0o600)
}

func size(folder string) int64 {
	var sum int64
	_ = filepath.Walk(folder, func(_ string, info os.FileInfo, err error) error {
		if err == nil && !info.IsDir() {
			sum += info.Size()
		}
		return nil
	})
	return sum
}

// memory is what the process holds in RAM, as Linux tells it.
func memory(pid int) string {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return "not known on this system"
	}
	for _, line := range strings.Split(string(text), "\n") {
		if rest, ok := strings.CutPrefix(line, "VmRSS:"); ok {
			return strings.TrimSpace(rest)
		}
	}
	return "not known"
}
