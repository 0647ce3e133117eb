package main

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

//go:embed reference
var scripts embed.FS

// errMissing is wrapped by the reasons why a program cannot be run.
var errMissing = errors.New("not installed")

// python finds an interpreter that has the modules. The one first on the path
// is often another one than that of the Debian packages.
func python(modules ...string) (string, error) {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		path, err := exec.LookPath(name)
		if err == nil && exec.Command(path, "-c", "import "+strings.Join(modules, ", ")).Run() == nil {
			return path, nil
		}
	}
	return "", fmt.Errorf("python3 with %s: %w", strings.Join(modules, " and "), errMissing)
}

func program(names ...string) (string, error) {
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", fmt.Errorf("%s: %w", names[0], errMissing)
}

// ask runs a script with the input as JSON and reads its answer, also JSON.
func ask(interpreter, script string, input, answer any) error {
	folder, err := os.MkdirTemp("", "compare")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	text, err := scripts.ReadFile("reference/" + script)
	if err != nil {
		return err
	}
	file := filepath.Join(folder, script)
	if err := os.WriteFile(file, text, 0o644); err != nil {
		return err
	}
	given, err := json.Marshal(input)
	if err != nil {
		return err
	}
	return askFile(answer, bytes.NewReader(given), interpreter, file)
}

// askFile runs a command and reads the JSON it prints.
func askFile(answer any, input *bytes.Reader, command string, arguments ...string) error {
	cmd := exec.Command(command, arguments...)
	if input != nil {
		cmd.Stdin = input
	}
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	printed, err := cmd.Output()
	if err != nil {
		return fmt.Errorf("%s: %w: %s", filepath.Base(command), err, complaint.String())
	}
	return json.Unmarshal(printed, answer)
}

// best returns the shortest time of several runs, in seconds. Runs that are
// too short for the clock are repeated within one reading of it.
func best(repeats int, run func() error) (float64, error) {
	start := time.Now()
	if err := run(); err != nil {
		return 0, err
	}
	first := time.Since(start)
	inner := 1
	if first < time.Millisecond {
		inner = int(time.Millisecond/max(first, 50*time.Nanosecond)) + 1
	}
	shortest := first.Seconds()
	for range repeats {
		start = time.Now()
		for range inner {
			if err := run(); err != nil {
				return 0, err
			}
		}
		shortest = min(shortest, time.Since(start).Seconds()/float64(inner))
	}
	return shortest, nil
}
