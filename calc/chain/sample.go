package chain

import (
	"math"
	"math/rand/v2"
	"runtime"
	"strconv"
	"sync"
	"sync/atomic"

	"pumpwright/calc/say"
)

// Sampled is what drawing from a chain gave, in the SI unit of its dimension.
type Sampled struct {
	Mean, U   float64
	Low, High float64 // 95 % of the draws, 2.5 % beyond each end
	Samples   int
}

const (
	chunkSize  = 1 << 15
	maxSamples = 20_000_000
)

var (
	msgSamples      = say.Define("chain.samples", "the number of draws is out of range")
	msgSamplesRange = say.Define("chain.samples_range", "write 100 to {most:count}, or 0 for none")
)

// Sample draws from the chain.
//
// The draws are made in chunks of fixed size, each with its own generator
// (PCG, seeded by seed and chunk), so that the answer depends on the seed
// alone and not on the number of cores. Links given by limits are drawn evenly
// between them, all others normally, with their shared errors and
// correlations.
//
// Valid: 100 to 20 million draws. Errors: as Solve.
// Source: JCGM 101:2008, 7 (draws) and 7.7 (probabilistically symmetric
// interval).
func (c Chain) Sample(samples int, seed uint64) (*Sampled, error) {
	if samples < 100 || samples > maxSamples {
		return nil, say.Refuse("samples", strconv.Itoa(samples), msgSamples.With(), msgSamplesRange.With(maxSamples))
	}
	if err := c.check(); err != nil {
		return nil, err
	}
	plan, ok := c.drawing()
	if !ok {
		return nil, say.Refuse("correlation", "", msgImpossible.With(), say.Message{})
	}
	out := make([]float64, samples)
	chunks := (samples + chunkSize - 1) / chunkSize
	sums := make([][2]float64, chunks)
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(chunks, runtime.GOMAXPROCS(0)) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for {
				k := int(next.Add(1)) - 1
				if k >= chunks {
					return
				}
				sums[k] = plan.fill(out[k*chunkSize:min(samples, (k+1)*chunkSize)], seed, uint64(k))
			}
		}()
	}
	wait.Wait()
	var sum, square float64
	for _, s := range sums {
		sum += s[0]
		square += s[1]
	}
	n := float64(samples)
	mean := sum / n
	s := &Sampled{
		Mean:    plan.offset + mean,
		U:       math.Sqrt(math.Max(0, (square-n*mean*mean)/(n-1))),
		Samples: samples,
	}
	low, high := (samples-1)*25/1000, samples-1-(samples-1)*25/1000
	s.Low = plan.offset + selectNth(out, low)
	s.High = plan.offset + selectNth(out[low:], high-low)
	return s, nil
}

// drawing is a chain made ready for drawing: Y − offset = Σ a_k·N_k + Σ h_k·U_k.
type drawing struct {
	offset  float64
	normal  []float64 // weight of each standard normal
	uniform []float64 // weight of each uniform on −1…1
}

func (c Chain) drawing() (drawing, bool) {
	n := len(c.Links)
	factor, ok := cholesky(c.correlation(), n)
	if !ok {
		return drawing{}, false
	}
	var d drawing
	weights := make([]float64, n)
	for i, l := range c.Links {
		d.offset += l.Sensitivity * l.best()
		if l.Shape == Rectangular {
			if h := l.Sensitivity * (l.High - l.Low) / 2; h != 0 {
				d.uniform = append(d.uniform, h)
			}
			continue
		}
		for k := 0; k <= i; k++ {
			weights[k] += l.Sensitivity * l.U * factor[i*n+k]
		}
	}
	for _, w := range weights {
		if w != 0 {
			d.normal = append(d.normal, w)
		}
	}
	return d, true
}

// fill draws one chunk and returns the sum and the sum of squares.
func (d drawing) fill(out []float64, seed, chunk uint64) [2]float64 {
	draw := rand.New(rand.NewPCG(seed, chunk+1))
	var sum, square float64
	for i := range out {
		y := 0.0
		for _, w := range d.normal {
			y += w * draw.NormFloat64()
		}
		for _, h := range d.uniform {
			y += h * (2*draw.Float64() - 1)
		}
		out[i] = y
		sum += y
		square += y * y
	}
	return [2]float64{sum, square}
}

// selectNth partly sorts v so that v[n] is what it would be in order and
// nothing before it is larger (Hoare's selection with the median of three).
func selectNth(v []float64, n int) float64 {
	lo, hi := 0, len(v)-1
	for lo < hi {
		mid := int(uint(lo+hi) / 2)
		if v[mid] < v[lo] {
			v[mid], v[lo] = v[lo], v[mid]
		}
		if v[hi] < v[lo] {
			v[hi], v[lo] = v[lo], v[hi]
		}
		if v[hi] < v[mid] {
			v[hi], v[mid] = v[mid], v[hi]
		}
		pivot := v[mid]
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		switch {
		case n <= j:
			hi = j
		case n >= i:
			lo = i
		default:
			return v[n]
		}
	}
	return v[n]
}
