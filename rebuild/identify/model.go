package identify

import (
	"math"
	"sort"
)

// The chances of counts and looks, and the reach of none. Our own conventions.
const (
	countRight  = 0.97
	countByOne  = 0.01
	countOther  = 0.01 // spread over all other numbers
	countRange  = 30
	wordRight   = 0.9
	noneFactor  = 30.0
	enoughToSay = 1e-6
	weightless  = 1e-7 // what is as unlikely as this changes no bit that is shown
)

// model holds what each sheet says of each thing.
type model struct {
	in    Input
	whats []What
	byID  map[string]*What
	says  map[string][]*float64 // by what, of each sheet
	words map[string][]string
}

func newModel(in Input, whats []What) *model {
	m := &model{in: in, whats: whats, byID: map[string]*What{}, says: map[string][]*float64{}, words: map[string][]string{}}
	for i := range whats {
		w := &whats[i]
		m.byID[w.ID] = w
		for _, s := range in.Sheets {
			if w.Words != nil {
				m.words[w.ID] = append(m.words[w.ID], s.Build.Word(w.word))
				continue
			}
			m.says[w.ID] = append(m.says[w.ID], w.of(s))
		}
	}
	return m
}

// start returns the logarithms of the priors: the sheets, then none.
func (m *model) start() []float64 {
	n := len(m.in.Sheets)
	none := noneBefore
	if m.in.None != nil {
		none = *m.in.None
	}
	total := 0.0
	weights := make([]float64, n)
	for i, s := range m.in.Sheets {
		weights[i] = 1
		if w, given := m.in.Prior[s.Name]; given {
			weights[i] = w
		}
		total += weights[i]
	}
	log := make([]float64, n+1)
	for i, w := range weights {
		log[i] = math.Log((1 - none) * w / total)
	}
	log[n] = math.Log(none)
	return log
}

// sd is the standard deviation of a size on a pump of a model.
func (w *What) sd(nominal, u float64) float64 {
	if u == 0 {
		u = w.usualU
	}
	return math.Sqrt(u*u + math.Pow(w.relative*nominal, 2) + w.absolute*w.absolute)
}

// likelihood is P(measured | hypothesis); the last hypothesis is none.
func (m *model) likelihood(w *What, hypothesis int, k Measurement) float64 {
	none := hypothesis == len(m.in.Sheets)
	switch {
	case w.Words != nil:
		n := float64(len(w.Words))
		if none || m.words[w.ID][hypothesis] == "" {
			return 1 / n
		}
		if m.words[w.ID][hypothesis] == k.Word {
			return wordRight
		}
		return (1 - wordRight) / (n - 1)
	case none || m.says[w.ID][hypothesis] == nil:
		return w.background(k.Value)
	case w.Count():
		return countChance(*m.says[w.ID][hypothesis], k.Value)
	}
	nominal := *m.says[w.ID][hypothesis]
	sd := w.sd(nominal, k.U)
	z := (k.Value - nominal) / sd
	// A floor keeps one gross mistake from ruling a model out for ever.
	return math.Exp(-z*z/2)/(sd*math.Sqrt(2*math.Pi)) + 1e-6*w.background(k.Value)
}

// background is the density of a size when nothing is known of the pump.
func (w *What) background(v float64) float64 {
	if w.Count() {
		return 1.0 / countRange
	}
	return 1 / (v * math.Log(noneFactor))
}

func countChance(wanted, found float64) float64 {
	switch math.Abs(wanted - found) {
	case 0:
		return countRight
	case 1:
		return countByOne
	}
	return countOther / countRange
}

func (m *model) fit(w *What, i int, k Measurement) Fit {
	f := Fit{What: *w, Measured: k, Fits: true}
	if w.Words != nil {
		f.Word = m.words[w.ID][i]
		f.Fits = f.Word == "" || f.Word == k.Word
		return f
	}
	f.Nominal = m.says[w.ID][i]
	switch {
	case f.Nominal == nil:
	case w.Count():
		f.Fits = *f.Nominal == k.Value
	default:
		f.Deviations = (k.Value - *f.Nominal) / w.sd(*f.Nominal, k.U)
		f.Fits = math.Abs(f.Deviations) < farOff
	}
	return f
}

// normalised turns logarithms of weights into chances.
func normalised(log []float64) []float64 {
	top := math.Inf(-1)
	for _, v := range log {
		top = math.Max(top, v)
	}
	p := make([]float64, len(log))
	sum := 0.0
	for i, v := range log {
		p[i] = math.Exp(v - top)
		sum += p[i]
	}
	for i := range p {
		p[i] /= sum
	}
	return p
}

func entropy(p []float64) float64 {
	h := 0.0
	for _, v := range p {
		if v > 0 {
			h -= v * math.Log2(v)
		}
	}
	return h
}

// Gauss–Hermite nodes and weights of order 7 for a standard normal. Source:
// Abramowitz and Stegun, table 25.10, n = 7, times √2 and over √π.
var hermite = [][2]float64{
	{0, 0.45714285714285713},
	{1.1544053947399682, 0.24012317860501273}, {-1.1544053947399682, 0.24012317860501273},
	{2.3667594107345415, 0.030757123967586494}, {-2.3667594107345415, 0.030757123967586494},
	{3.750439717725742, 0.0005482688559722177}, {-3.750439717725742, 0.0005482688559722177},
}

// next ranks what was not measured by the expected fall of entropy for each
// minute. Once the pump is open, opening it costs nothing more.
func (m *model) next(in Input, p []float64) []Next {
	taken := map[string]bool{}
	open := false
	for _, k := range in.Measured {
		taken[k.What] = true
		open = open || m.byID[k.What].Opens
	}
	var list []Next
	for i := range m.whats {
		w := &m.whats[i]
		if taken[w.ID] || !m.stated(w) {
			continue
		}
		n := Next{What: *w, Bits: m.gain(w, p)}
		if w.Opens && open {
			n.Minutes -= openMinutes
		}
		n.Rate = n.Bits / n.Minutes
		if n.Bits > enoughToSay {
			list = append(list, n)
		}
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].Rate > list[b].Rate })
	return list
}

func (m *model) stated(w *What) bool {
	for _, v := range m.says[w.ID] {
		if v != nil {
			return true
		}
	}
	for _, v := range m.words[w.ID] {
		if v != "" {
			return true
		}
	}
	return false
}

// gain is the expected fall of entropy when w is measured as usual.
func (m *model) gain(w *What, p []float64) float64 {
	after := 0.0
	add := func(weight float64, k Measurement) {
		if weight < weightless {
			return
		}
		post := make([]float64, len(p))
		sum := 0.0
		for i := range p {
			post[i] = p[i] * m.likelihood(w, i, k)
			sum += post[i]
		}
		for i := range post {
			post[i] /= sum
		}
		after += weight * entropy(post)
	}
	switch {
	case w.Words != nil:
		for _, word := range w.Words {
			k := Measurement{What: w.ID, Word: word}
			weight := 0.0
			for i := range p {
				weight += p[i] * m.likelihood(w, i, k)
			}
			add(weight, k)
		}
	case w.Count():
		m.counts(w, p, add)
	default:
		m.sizes(w, p, add)
	}
	return math.Max(entropy(p)-after, 0)
}

// counts goes through the numbers that can be counted; what is left of the
// weight changes nothing that matters and counts as the present entropy.
func (m *model) counts(w *What, p []float64, add func(float64, Measurement)) {
	total := 0.0
	weights := map[int]float64{}
	for n := 1; n <= countRange; n++ {
		k := Measurement{What: w.ID, Value: float64(n)}
		for i := range p {
			weights[n] += p[i] * m.likelihood(w, i, k)
		}
		total += weights[n]
	}
	for n := 1; n <= countRange; n++ {
		add(weights[n]/total, Measurement{What: w.ID, Value: float64(n)})
	}
}

// sizes goes through what each model would give, and through all sizes alike
// for none.
func (m *model) sizes(w *What, p []float64, add func(float64, Measurement)) {
	low, high := math.Inf(1), 0.0
	for _, v := range m.says[w.ID] {
		if v != nil {
			low, high = math.Min(low, *v), math.Max(high, *v)
		}
	}
	middle := math.Sqrt(low * high)
	reach := math.Sqrt(noneFactor)
	for i, weight := range p {
		if i < len(m.in.Sheets) && m.says[w.ID][i] != nil {
			nominal := *m.says[w.ID][i]
			sd := w.sd(nominal, 0)
			for _, node := range hermite {
				add(weight*node[1], Measurement{What: w.ID, Value: math.Max(nominal+node[0]*sd, nominal/100)})
			}
			continue
		}
		const nodes = 24
		for k := range nodes {
			v := middle / reach * math.Pow(noneFactor, (float64(k)+0.5)/nodes)
			add(weight/nodes, Measurement{What: w.ID, Value: v})
		}
	}
}
