package main

import "math"

// outcome is one rebuild by one way of working.
type outcome struct {
	assemblies int     // until truly right; 0: not within mostAssemblies, or stopped before
	stopped    bool    // believed right although it was not
	stated     float64 // chance given for the first stack; −1: none given
	below      bool    // the first assembly was too tight
}

// tradeLoop fits a first stack, reads the thickest leaf that goes, and adds or
// removes film by what is missing, taking papers and films at their printed
// thickness. The first stack is the standard one, or by the depths read once.
func tradeLoop(j *job, byDepths bool) outcome {
	o := outcome{stated: -1}
	gap := standardGap
	if byDepths {
		gap = j.depths(1)
	}
	counts := nearestNominal(nil, j.middle()-gap)
	stack := j.build(nil, counts)
	for n := 1; n <= mostAssemblies; n++ {
		s := j.clearance(stack)
		if n == 1 {
			o.below = s < j.low
		}
		if j.right(s) {
			o.assemblies = n
			return o
		}
		reading, _, ok := j.feeler(s)
		if ok && j.right(reading) {
			o.stopped = true
			return o
		}
		if !ok {
			reading = 0 // it binds, or nearly
		}
		change := j.middle() - reading
		counts = nearestNominal(counts, nominal(counts)+change)
		stack = j.build(stack, counts)
	}
	return o
}

func nominal(counts []int) float64 {
	sum := 0.0
	for i, k := range shelf() {
		if i < len(counts) {
			sum += float64(counts[i]) * inMM(k.Thickness)
		}
	}
	return sum
}

// nearestNominal returns the stack of two like papers and up to four films
// whose printed thickness is nearest to a wanted one; of equals the one that
// changes least.
func nearestNominal(now []int, wanted float64) []int {
	var best []int
	bestMiss, bestChange := math.Inf(1), 0
	for paper := range 3 {
		counts := make([]int, 7)
		counts[paper] = 2
		var walk func(kind, left int)
		walk = func(kind, left int) {
			if kind == len(counts) {
				miss, change := math.Abs(nominal(counts)-wanted), 0
				for i := range counts {
					if i < len(now) {
						change += max(counts[i]-now[i], now[i]-counts[i])
					}
				}
				if miss < bestMiss-1e-9 || miss < bestMiss+1e-9 && change < bestChange {
					best, bestMiss, bestChange = append([]int(nil), counts...), miss, change
				}
				return
			}
			for x := 0; x <= min(left, shelf()[kind].Stock); x++ {
				counts[kind] = x
				walk(kind+1, left-x)
			}
			counts[kind] = 0
		}
		walk(3, 4)
	}
	return best
}

// build keeps what may stay of a stack and takes the rest from the shelf.
func (j *job) build(old []piece, counts []int) []piece {
	need := append([]int(nil), counts...)
	var stack []piece
	for _, p := range old {
		if need[p.kind] > 0 {
			need[p.kind]--
			stack = append(stack, p)
		}
	}
	for kind, n := range need {
		for range n {
			stack = append(stack, j.take(kind))
		}
	}
	return stack
}
