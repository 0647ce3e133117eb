// Command compare runs the computations beside the general-purpose programs
// that a person would otherwise use, on the same inputs, checks that the
// answers agree, and prints a table of times.
//
//	go run ./bench/compare                 everything that is installed
//	go run ./bench/compare -only stack     one comparison
//	go run ./bench/compare -quick          small inputs, to see that all works
//	go run ./bench/compare -out FILE       into a file as well (bench/RESULTS.md)
//
// The programs are packages of Debian: coinor-cbc, r-cran-survival,
// python3-numpy, python3-scipy, python3-iapws, libreoffice-calc-nogui. None is
// required; a comparison whose program is missing says so and is left out.
//
// Of both sides the best of several runs counts. The time of the other program
// is that of the computation alone wherever the program can take its own time;
// where it cannot, the line says that its start is included. Exit status: 1
// when an answer disagrees.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"strings"
)

func main() {
	only := flag.String("only", "", "name of one comparison")
	quick := flag.Bool("quick", false, "small inputs")
	file := flag.String("out", "", "file that gets what is printed")
	flag.Parse()
	var printed bytes.Buffer
	agreed, err := compare(&printed, *only, size(*quick))
	if err == nil {
		_, err = os.Stdout.Write(printed.Bytes())
	}
	if err == nil && *file != "" {
		command := strings.Join(append([]string{"go run ./bench/compare"}, os.Args[1:]...), " ")
		head := "# Beside other programs\n\nWritten by `" + command + "`, nothing edited. Times depend on what else the machine did: see its load.\n\n"
		err = os.WriteFile(*file, append([]byte(head), printed.Bytes()...), 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "compare:", err)
		os.Exit(2)
	}
	if !agreed {
		os.Exit(1)
	}
}

// size says how much to compute.
func size(quick bool) sizes {
	if quick {
		return sizes{lives: 20_000, draws: 100_000, mapSide: 3, around: 60, along: 12, pieces: 3, repeats: 1}
	}
	return sizes{lives: 1_000_000, draws: 1_000_000, mapSide: 8, around: 240, along: 24, pieces: 5, repeats: 5}
}

type sizes struct {
	lives, draws, mapSide, around, along, pieces, repeats int
}
