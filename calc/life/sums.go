package life

import (
	"math"
	"runtime"
	"sync"
)

// weibullSums is the likelihood of a Weibull distribution for parts that
// failed or run at a known age, watched from an entry or from new. It depends
// on the rows only through
//
//	S_k(β) = Σ count · x^k · e^(βx) over all rows, less the same over entries
//
// with x = ln age − ln of the greatest age, so that a million rows cost one
// pass for each β and no digit is lost.
type weibullSums struct {
	x, k     []float64 // k nil when every count is 1
	entry    []float64
	entryK   []float64
	failures float64
	sumX     float64 // Σ count·x of failures
	ref      float64 // ln of the greatest age
}

// chunk is the number of rows summed in one go. It is fixed, so that the sum
// is the same on one core and on many.
const chunk = 1 << 15

func newWeibullSums(rows []Observation, t tally) *weibullSums {
	w := &weibullSums{x: make([]float64, len(rows)), failures: t.failures, ref: math.Log(t.highest)}
	for _, o := range rows {
		if o.count() != 1 && w.k == nil {
			w.k = make([]float64, len(rows))
		}
		if o.Entry > 0 {
			w.entry = append(w.entry, math.Log(o.Entry)-w.ref)
			w.entryK = append(w.entryK, o.count())
		}
	}
	parts := make([]float64, (len(rows)+chunk-1)/chunk)
	inChunks(len(rows), func(at, from, to int) {
		var sum float64
		for i := from; i < to; i++ {
			o := rows[i]
			w.x[i] = math.Log(o.Low) - w.ref
			if w.k != nil {
				w.k[i] = o.count()
			}
			if o.exact() {
				sum += o.count() * w.x[i]
			}
		}
		parts[at] = sum
	})
	for _, p := range parts {
		w.sumX += p
	}
	return w
}

// inChunks runs work over fixed chunks of n rows, on as many cores as there are.
func inChunks(n int, work func(at, from, to int)) {
	chunks := (n + chunk - 1) / chunk
	workers := min(runtime.GOMAXPROCS(0), chunks)
	if workers <= 1 {
		for at := range chunks {
			work(at, at*chunk, min(n, (at+1)*chunk))
		}
		return
	}
	var group sync.WaitGroup
	for first := range workers {
		group.Add(1)
		go func() {
			defer group.Done()
			for at := first; at < chunks; at += workers {
				work(at, at*chunk, min(n, (at+1)*chunk))
			}
		}()
	}
	group.Wait()
}

// powerSums are S_0, S_1, S_2.
type powerSums [3]float64

func (w *weibullSums) sums(beta float64) powerSums {
	parts := make([]powerSums, (len(w.x)+chunk-1)/chunk)
	inChunks(len(w.x), func(at, from, to int) {
		parts[at] = sumPowers(w.x[from:to], part(w.k, from, to), beta)
	})
	var total powerSums
	for _, p := range parts {
		for j := range total {
			total[j] += p[j]
		}
	}
	if len(w.entry) > 0 {
		less := sumPowers(w.entry, w.entryK, beta)
		for j := range total {
			total[j] -= less[j]
		}
	}
	return total
}

func part(list []float64, from, to int) []float64 {
	if list == nil {
		return nil
	}
	return list[from:to]
}

func sumPowers(x, k []float64, beta float64) powerSums {
	var s0, s1, s2 float64
	if k == nil {
		for _, v := range x {
			e := math.Exp(beta * v)
			s0 += e
			e *= v
			s1 += e
			s2 += e * v
		}
		return powerSums{s0, s1, s2}
	}
	for i, v := range x {
		e := k[i] * math.Exp(beta*v)
		s0 += e
		e *= v
		s1 += e
		s2 += e * v
	}
	return powerSums{s0, s1, s2}
}

// thinned returns the sums over every step-th row: enough for a start.
func (w *weibullSums) thinned(rows []Observation, step int) *weibullSums {
	t := &weibullSums{ref: w.ref}
	for i := 0; i < len(rows); i += step {
		o := rows[i]
		t.x = append(t.x, w.x[i])
		if w.k != nil {
			t.k = append(t.k, w.k[i])
		}
		if o.exact() {
			t.failures += o.count()
			t.sumX += o.count() * w.x[i]
		}
	}
	return t
}

// shape finds β by Newton's method on the profile likelihood in β, kept inside
// a bracket:
//
//	0 = 1/β + (Σ x of failures)/r − S_1/S_0
//
// Source: Lawless 2003, section 5.2; Meeker & Escobar 1998, section 8.4.
func (w *weibullSums) shape(start float64) (float64, bool) {
	low, high := 0.0, math.Inf(1)
	beta := start
	for range 200 {
		s := w.sums(beta)
		ratio := s[1] / s[0]
		g := 1/beta + w.sumX/w.failures - ratio
		slope := -1/(beta*beta) - (s[2]/s[0] - ratio*ratio)
		if math.IsNaN(g) {
			return beta, false
		}
		if g > 0 {
			low = beta
		} else {
			high = beta
		}
		next := beta - g/slope
		if !(next > low && next < high) {
			if math.IsInf(high, 1) {
				next = 2 * beta
			} else {
				next = (low + high) / 2
			}
		}
		if next > 1e6 || next < 1e-9 {
			return next, false
		}
		// Newton's error after a step is about the square of the step.
		if math.Abs(next-beta) <= 1e-9*beta {
			return next, true
		}
		beta = next
	}
	return beta, false
}

// start is a first guess of β from the scatter of ln age of the failures.
func (w *weibullSums) start(rows []Observation) float64 {
	const enough = 8192
	if step := len(rows) / enough; step > 1 {
		if t := w.thinned(rows, step); t.failures > 1 {
			if beta, ok := t.shape(1); ok {
				return beta
			}
		}
	}
	return 1
}

// weibullLikelihood evaluates weibullSums at any (µ, τ); the sums of the last
// β are kept.
type weibullLikelihood struct {
	*weibullSums
	beta float64
	last powerSums
}

func (w *weibullLikelihood) at(mu, tau float64) slope2 {
	sigma := math.Exp(tau)
	if beta := 1 / sigma; beta != w.beta {
		w.beta, w.last = beta, w.sums(beta)
	}
	s, r := w.last, w.failures
	d := mu - w.ref
	c := math.Exp(-d / sigma)
	w0 := c * s[0]
	w1 := c * (s[1] - d*s[0]) / sigma
	w2 := c * (s[2] - 2*d*s[1] + d*d*s[0]) / (sigma * sigma)
	a := (w.sumX - r*d) / sigma
	return slope2{
		l:    a - r*tau - w.sumX - r*w.ref - w0,
		mu:   (w0 - r) / sigma,
		tau:  w1 - a - r,
		mumu: -w0 / (sigma * sigma),
		mut:  (r - w0 - w1) / sigma,
		tt:   a - w1 - w2,
	}
}
