package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"time"
)

// value is one number that both sides give.
type value struct {
	name         string
	ours, theirs float64
	tolerance    float64 // absolute
	why          string  // why the tolerance is what it is
}

func (v value) agrees() bool { return math.Abs(v.ours-v.theirs) <= v.tolerance } // false for NaN

// outcome is what one comparison gave.
type outcome struct {
	against      string // the other program, with its version
	input        string
	ours, theirs float64 // seconds; 0: not timed
	values       []value
	remark       string
}

func (o outcome) agrees() bool {
	for _, v := range o.values {
		if !v.agrees() {
			return false
		}
	}
	return len(o.values) > 0
}

type comparison struct {
	name, question string
	run            func(sizes) (outcome, error)
}

func comparisons() []comparison {
	return []comparison{
		{"stack", "which gaskets to fit", compareStack},
		{"life", "fit of a life distribution to censored rows", compareLife},
		{"draws", "Monte Carlo of the end-clearance chain", compareDraws},
		{"slip", "map of flow over speed and pressure", compareSlip},
		{"calibrate", "slip factor from bench points", compareCalibrate},
		{"film", "film of a journal bearing", compareFilm},
		{"limits", "limits and fits", compareLimits},
		{"viscosity", "viscosity over temperature", compareViscosity},
		{"water", "properties of water", compareWater},
		{"report", "report of a job as PDF", compareReport},
	}
}

// compare runs the comparisons and prints them. It is true when none disagrees.
func compare(out io.Writer, only string, s sizes) (bool, error) {
	var done []outcome
	var names, missing []string
	for _, c := range comparisons() {
		if only != "" && only != c.name {
			continue
		}
		o, err := c.run(s)
		if errors.Is(err, errMissing) {
			missing = append(missing, fmt.Sprintf("%s (%s): left out, %v", c.name, c.question, err))
			continue
		}
		if err != nil {
			return false, fmt.Errorf("%s: %w", c.name, err)
		}
		names = append(names, c.name)
		done = append(done, o)
	}
	if len(done)+len(missing) == 0 {
		return false, fmt.Errorf("there is no comparison %q", only)
	}
	printMachine(out)
	fmt.Fprint(out, "\n| comparison | input | against | here | there | ratio | answers |\n|---|---|---|---|---|---|---|\n")
	agreed := true
	for i, o := range done {
		verdict := "agree"
		if !o.agrees() {
			verdict, agreed = "**disagree**", false
		}
		fmt.Fprintf(out, "| %s | %s | %s | %s | %s | %s | %s |\n", names[i], o.input, o.against, seconds(o.ours), seconds(o.theirs), ratio(o), verdict)
	}
	fmt.Fprintln(out, "\nRatio: time there over time here; below 1 the other program is faster.")
	for i, o := range done {
		fmt.Fprintf(out, "\n## %s\n\n", names[i])
		if o.ours > o.theirs && o.theirs > 0 {
			fmt.Fprint(out, "**Slower here.**\n\n")
		}
		for _, v := range o.values {
			mark := ""
			if !v.agrees() {
				mark = "  ← disagrees"
			}
			fmt.Fprintf(out, "- %s: here %.9g, there %.9g, allowed ± %.2g (%s)%s\n", v.name, v.ours, v.theirs, v.tolerance, v.why, mark)
		}
		if o.remark != "" {
			fmt.Fprintf(out, "\n%s\n", o.remark)
		}
	}
	for _, m := range missing {
		fmt.Fprintf(out, "\n%s\n", m)
	}
	return agreed, nil
}

func seconds(s float64) string {
	switch {
	case s == 0:
		return "–"
	case s < 1e-3:
		return fmt.Sprintf("%.3g µs", s*1e6)
	case s < 1:
		return fmt.Sprintf("%.3g ms", s*1e3)
	}
	return fmt.Sprintf("%.3g s", s)
}

func ratio(o outcome) string {
	if o.ours == 0 || o.theirs == 0 {
		return "–"
	}
	return fmt.Sprintf("%.2g", o.theirs/o.ours)
}

// printMachine says where and when the run took place and how busy it was.
func printMachine(out io.Writer) {
	fmt.Fprintf(out, "%s, %s/%s, %d cores", runtime.Version(), runtime.GOOS, runtime.GOARCH, runtime.NumCPU())
	if text, err := os.ReadFile("/proc/cpuinfo"); err == nil {
		for line := range strings.SplitSeq(string(text), "\n") {
			if name, model, ok := strings.Cut(line, ":"); ok && strings.TrimSpace(name) == "model name" {
				fmt.Fprintf(out, ", %s", strings.TrimSpace(model))
				break
			}
		}
	}
	if text, err := os.ReadFile("/etc/os-release"); err == nil {
		for line := range strings.SplitSeq(string(text), "\n") {
			if name, ok := strings.CutPrefix(line, "PRETTY_NAME="); ok {
				fmt.Fprintf(out, ", %s", strings.Trim(name, `"`))
			}
		}
	}
	fmt.Fprintf(out, ", %s", time.Now().UTC().Format("2006-01-02 15:04 UTC"))
	if text, err := os.ReadFile("/proc/loadavg"); err == nil {
		if one := strings.Fields(string(text)); len(one) > 0 {
			fmt.Fprintf(out, "; load over the last minute %s", one[0])
		}
	}
	fmt.Fprintln(out)
}

// version returns the first line that a command prints, or nothing.
func version(command string, arguments ...string) string {
	text, err := exec.Command(command, arguments...).Output()
	if err != nil {
		return ""
	}
	line, _, _ := strings.Cut(strings.TrimSpace(string(text)), "\n")
	return line
}
