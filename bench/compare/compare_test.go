package main

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"
)

// Whatever is installed agrees, on small inputs. A comparison whose program is
// missing says so.
func TestComparisons(t *testing.T) {
	for _, c := range comparisons() {
		t.Run(c.name, func(t *testing.T) {
			if c.name == "report" && testing.Short() {
				t.Skip("starts an office program")
			}
			o, err := c.run(size(true))
			if errors.Is(err, errMissing) {
				t.Skip(err)
			}
			if err != nil {
				t.Fatal(err)
			}
			if len(o.values) == 0 || o.against == "" || o.input == "" || o.ours <= 0 {
				t.Errorf("incomplete: %+v", o)
			}
			for _, v := range o.values {
				if !v.agrees() {
					t.Errorf("%s: here %.9g, %s %.9g, allowed ± %.2g", v.name, v.ours, o.against, v.theirs, v.tolerance)
				}
			}
		})
	}
}

// A wrong answer shows.
func TestDisagreementShows(t *testing.T) {
	for _, v := range []value{
		{"more", 1.02, 1, 0.01, ""}, {"less", 0.98, 1, 0.01, ""}, {"not a number", math.NaN(), 1, 0.01, ""},
	} {
		if v.agrees() || (outcome{values: []value{v}}).agrees() {
			t.Errorf("%s agrees", v.name)
		}
	}
	if (outcome{}).agrees() {
		t.Error("no value at all counts as agreement")
	}
	var out bytes.Buffer
	if _, err := compare(&out, "no such thing", size(true)); err == nil {
		t.Error("an unknown name was taken")
	}
}

func TestLongLinesAreBroken(t *testing.T) {
	for length := range 220 { // so that a break falls on each place of the relation
		long := " sum:" + strings.Repeat(" + 3 y12", 90+length/8) + " + 0.123456 y" + strings.Repeat("9", 1+length%8) + " >= 0.897117440521"
		wrapped := wrap(long)
		for line := range strings.SplitSeq(strings.TrimRight(wrapped, "\n"), "\n") {
			if len(line) > 201 {
				t.Errorf("a line of %d characters is left", len(line))
			}
			if strings.HasSuffix(line, ">") || strings.HasPrefix(strings.TrimSpace(line), "=") {
				t.Errorf("a relation was broken: %q", line)
			}
		}
		if strings.Join(strings.Fields(wrapped), "") != strings.Join(strings.Fields(long), "") {
			t.Error("breaking lines changed the text")
		}
	}
}
