// Command pumpwright is the bench companion for rebuilding crescent internal
// gear pumps. It wires the parts together and does nothing else.
package main

import (
	"crypto/rand"
	"os"
	"runtime/debug"
	"time"

	"pumpwright/app/cli"
	"pumpwright/app/report"
)

func main() {
	os.Exit(cli.Run(os.Args[1:], &cli.Env{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Keyboard: atKeyboard(os.Stdin),
		Now: time.Now, Random: rand.Reader, Getenv: os.Getenv, Version: version(), Report: report.PDF,
	}))
}

// atKeyboard reports whether a file is a terminal.
func atKeyboard(file *os.File) bool {
	info, err := file.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0 && info.Mode()&os.ModeDevice != 0
}

// release is the version that ./release builds; "" for any other build.
var release string

// version returns the version of the module that the program was built from.
func version() string {
	if release != "" {
		return release
	}
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(unknown)"
	}
	return info.Main.Version
}
