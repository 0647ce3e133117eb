package main

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
)

const millimetre = 1e-3

// shelf are seven kinds of an invented shop.
func shelf() []gasket.Kind {
	kind := func(name string, thickness, tolerance, compression float64, sealing bool, stock int) gasket.Kind {
		return gasket.Kind{
			Name: name, Thickness: quantity.Length(thickness * millimetre), Tolerance: quantity.Length(tolerance * millimetre),
			Compression: compression, Sealing: sealing, Stock: stock,
		}
	}
	return []gasket.Kind{
		kind("paper 0.15", .15, .015, .08, true, 6), kind("paper 0.25", .25, .02, .08, true, 6), kind("paper 0.40", .40, .03, .08, true, 4),
		kind("film 0.05", .05, .005, 0, false, 6), kind("film 0.075", .075, .006, 0, false, 6),
		kind("film 0.125", .125, .008, 0, false, 4), kind("film 0.25", .25, .012, 0, false, 3),
	}
}

const (
	firstGap, firstU      = -0.44, 0.012 // clearance without gaskets, mm
	windowLow, windowHigh = 0.10, 0.16   // mm
	withinBest            = 0.005        // stacks this near the best count as equal
)

// cell is one pair of compressed thickness and variance that some stack has.
// The chance depends on these two alone.
type cell struct {
	thickness, variance int // µm, and 1e-14 m² so that both are whole numbers
	chance              float64
}

// cells lists what can be reached with at most so many pieces.
func cells(kinds []gasket.Kind, pieces int) []cell {
	found := map[[2]int]bool{}
	counts := make([]int, len(kinds))
	var walk func(kind, left int)
	walk = func(kind, left int) {
		if kind == len(kinds) {
			t, v := 0, 0
			for i, n := range counts {
				t += n * wholeThickness(kinds[i])
				v += n * wholeVariance(kinds[i])
			}
			found[[2]int{t, v}] = true
			return
		}
		for n := 0; n <= min(left, kinds[kind].Stock); n++ {
			counts[kind] = n
			walk(kind+1, left-n)
		}
		counts[kind] = 0
	}
	walk(0, pieces)
	var list []cell
	for key := range found {
		mean := firstGap*millimetre + float64(key[0])*1e-6
		spread := math.Sqrt(firstU*firstU*1e-6 + float64(key[1])*1e-14)
		below := func(limit float64) float64 {
			return 0.5 * math.Erfc(-(limit*millimetre-mean)/(spread*math.Sqrt2))
		}
		list = append(list, cell{key[0], key[1], below(windowHigh) - below(windowLow)})
	}
	slices.SortFunc(list, func(a, b cell) int {
		return cmp.Or(cmp.Compare(a.thickness, b.thickness), cmp.Compare(a.variance, b.variance))
	})
	return list
}

func wholeThickness(k gasket.Kind) int { return int(math.Round(float64(k.Compressed()) * 1e6)) }

func wholeVariance(k gasket.Kind) int {
	u := float64(k.Tolerance) / 2
	return int(math.Round(u * u * 1e14))
}

// model writes the choice as a mixed-integer program: a whole number of each
// kind, one yes-or-no for each cell, two sealing pieces at least.
func model(kinds []gasket.Kind, list []cell, pieces int, objective, more string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\nSubject To\n", objective)
	var one, thickness, variance, chance strings.Builder
	for i, c := range list {
		fmt.Fprintf(&one, " + y%d", i)
		fmt.Fprintf(&thickness, " - %d y%d", c.thickness, i)
		fmt.Fprintf(&variance, " - %d y%d", c.variance, i)
		fmt.Fprintf(&chance, " + %.12f y%d", c.chance, i)
	}
	var t, v, all, sealing strings.Builder
	for i, k := range kinds {
		fmt.Fprintf(&t, " + %d x%d", wholeThickness(k), i)
		fmt.Fprintf(&v, " + %d x%d", wholeVariance(k), i)
		fmt.Fprintf(&all, " + x%d", i)
		if k.Sealing {
			fmt.Fprintf(&sealing, " + x%d", i)
		}
	}
	fmt.Fprintf(&b, " one:%s = 1\n t:%s%s = 0\n v:%s%s = 0\n most:%s <= %d\n ends:%s >= 2\n", &one, &t, &thickness, &v, &variance, &all, pieces, &sealing)
	b.WriteString(strings.ReplaceAll(more, "CHANCE", chance.String()))
	b.WriteString("Bounds\n")
	for i, k := range kinds {
		fmt.Fprintf(&b, " 0 <= x%d <= %d\n", i, k.Stock)
	}
	b.WriteString("General\n")
	for i := range kinds {
		fmt.Fprintf(&b, " x%d\n", i)
	}
	b.WriteString("Binary\n")
	for i := range list {
		fmt.Fprintf(&b, " y%d\n", i)
	}
	b.WriteString("End\n")
	return wrap(b.String())
}

// lastTerm finds the last term that begins in a line. A relation is not broken:
// CBC takes the half of one for a name and then solves something else.
var lastTerm = regexp.MustCompile(` [+-] [^+-]*$`)

// wrap breaks long lines, which the format does not allow.
func wrap(text string) string {
	var b strings.Builder
	for line := range strings.SplitSeq(text, "\n") {
		for len(line) > 200 {
			cut := lastTerm.FindStringIndex(line[:200])
			if cut == nil || cut[0] == 0 {
				break
			}
			b.WriteString(line[:cut[0]] + "\n")
			line = line[cut[0]:]
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

var solutionLine = regexp.MustCompile(`^\s*(?:\*\*)?\s*\d+\s+([xy]\d+)\s+(\S+)`)

// solve runs CBC and returns the variables that are not zero.
func solve(cbc, text string) (map[string]float64, float64, error) {
	folder, err := os.MkdirTemp("", "compare")
	if err != nil {
		return nil, 0, err
	}
	defer os.RemoveAll(folder)
	problem, answer := filepath.Join(folder, "stack.lp"), filepath.Join(folder, "answer")
	if err := os.WriteFile(problem, []byte(text), 0o644); err != nil {
		return nil, 0, err
	}
	start := time.Now()
	printed, err := exec.Command(cbc, problem, "ratioGap", "0", "allowableGap", "0", "solve", "solu", answer).CombinedOutput()
	took := time.Since(start).Seconds()
	if err != nil {
		return nil, 0, fmt.Errorf("cbc: %w: %s", err, printed)
	}
	if _, complaint, found := strings.Cut(string(printed), "### "); found { // it solves what it could not read, too
		line, _, _ := strings.Cut(complaint, "\n")
		return nil, 0, fmt.Errorf("cbc did not read the problem: %s", line)
	}
	solution, err := os.ReadFile(answer)
	if err != nil {
		return nil, 0, err
	}
	if !strings.HasPrefix(string(solution), "Optimal") {
		return nil, 0, fmt.Errorf("cbc: %s", strings.SplitN(string(solution), "\n", 2)[0])
	}
	values := map[string]float64{}
	for line := range strings.SplitSeq(string(solution), "\n") {
		if m := solutionLine.FindStringSubmatch(line); m != nil {
			if values[m[1]], err = strconv.ParseFloat(m[2], 64); err != nil {
				return nil, 0, err
			}
		}
	}
	return values, took, nil
}

func compareStack(s sizes) (outcome, error) {
	cbc, err := program("cbc")
	if err != nil {
		return outcome{}, err
	}
	kinds := shelf()
	prior := quantity.Within(quantity.Length(firstGap*millimetre), firstU*millimetre)
	belief, err := gasket.NewBelief(nil, nil, &prior)
	if err != nil {
		return outcome{}, err
	}
	problem := gasket.Problem{
		Kinds: kinds, Belief: belief, Low: windowLow * millimetre, High: windowHigh * millimetre, MaxPieces: s.pieces,
	}
	var solution *gasket.Solution
	ours, err := best(s.repeats, func() (err error) { solution, err = gasket.Solve(problem); return err })
	if err != nil {
		return outcome{}, err
	}
	if solution.Best == nil {
		return outcome{}, fmt.Errorf("the shelf reaches no window, so there is nothing to compare")
	}

	// The same rule, one step after the other: best chance; fewest pieces
	// within 0.005 of it; the likeliest of these.
	list := cells(kinds, s.pieces)
	chanceOf := func(values map[string]float64) (chance float64, pieces int, counts []int) {
		for i, c := range list {
			chance += c.chance * values[fmt.Sprintf("y%d", i)]
		}
		for i := range kinds {
			n := int(math.Round(values[fmt.Sprintf("x%d", i)]))
			counts = append(counts, n)
			pieces += n
		}
		return chance, pieces, counts
	}
	var likeliest strings.Builder
	likeliest.WriteString("Maximize\n obj:")
	for i, c := range list {
		fmt.Fprintf(&likeliest, " + %.12f y%d", c.chance, i)
	}
	fewest := "Minimize\n obj: x0"
	all := "x0"
	for i := 1; i < len(kinds); i++ {
		fewest += fmt.Sprintf(" + x%d", i)
		all += fmt.Sprintf(" + x%d", i)
	}
	first, took1, err := solve(cbc, model(kinds, list, s.pieces, likeliest.String(), ""))
	if err != nil {
		return outcome{}, err
	}
	highest, _, _ := chanceOf(first)
	near := fmt.Sprintf(" near:CHANCE >= %.12f\n", highest-withinBest)
	second, took2, err := solve(cbc, model(kinds, list, s.pieces, fewest, near))
	if err != nil {
		return outcome{}, err
	}
	_, pieces, _ := chanceOf(second)
	third, took3, err := solve(cbc, model(kinds, list, s.pieces, likeliest.String(), fmt.Sprintf(" few: %s = %d\n", all, pieces)))
	if err != nil {
		return outcome{}, err
	}
	chance, _, counts := chanceOf(third)
	o := outcome{
		against: "CBC " + cbcVersion(cbc),
		input:   fmt.Sprintf("7 kinds, at most %d pieces", s.pieces),
		ours:    ours, theirs: took1 + took2 + took3,
		values: []value{
			{"chance of landing in the window", solution.Best.Probability, chance, 1e-6, "the belief is a sum of points here, an exact normal there"},
			{"pieces", float64(solution.Best.Pieces), float64(pieces), 0, "whole number"},
		},
		remark: fmt.Sprintf("There: %d cells of thickness and variance, three runs, start of the program included.", len(list)),
	}
	for i, k := range kinds {
		o.values = append(o.values, value{"pieces of " + k.Name, float64(solution.Best.Counts[i]), float64(counts[i]), 0, "whole number"})
	}
	return o, nil
}

var cbcVersionLine = regexp.MustCompile(`Version: (\S+)`)

func cbcVersion(cbc string) string {
	printed, _ := exec.Command(cbc, "-quit").CombinedOutput()
	if m := cbcVersionLine.FindSubmatch(printed); m != nil {
		return string(m[1])
	}
	return "of unknown version"
}
