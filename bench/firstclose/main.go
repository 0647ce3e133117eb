// Command firstclose counts how many assemblies a pump takes until its end
// clearance is truly in its window: by the trade's loop (a standard stack,
// then add or remove by the feeler) and by the stacks of package gasket.
//
//	go run ./bench/firstclose -n 1000 -seed 1
//
// Pumps, gaskets and instruments are simulated. The truth differs from what
// the solver believes in ways that are printed first; every number below them
// is counted, none is assumed. The same seed prints the same text.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"os"
)

func main() {
	n := flag.Int("n", 1000, "rebuilds to simulate")
	seed := flag.Uint64("seed", 1, "seed of all draws")
	flag.Parse()
	if *n < 1 || *n > 1_000_000 {
		fmt.Fprintln(os.Stderr, "firstclose: -n must lie between 1 and 1000000")
		os.Exit(2)
	}
	out := bufio.NewWriter(os.Stdout)
	defer out.Flush()
	if err := report(out, *n, *seed); err != nil {
		fmt.Fprintln(os.Stderr, "firstclose:", err)
		os.Exit(1)
	}
}
