package diagnose

import "math/bits"

// gainer works out what looking for an item would tell about the sets. Most
// sets hold none, one or two of the causes that the item knows of; those are
// gathered first, so that an entropy is worked out once for each and not for
// each set.
type gainer struct {
	m           *Model
	sets        []set
	masks       []mask
	probability []float64
	single      []float64 // [cause] probability of sets with this one known cause
	pair        []float64 // [cause·64 + cause] of sets with these two, the lower one first
}

// mask is a set of causes, one bit each; mostCauses fit.
type mask [2]uint64

func (m *mask) add(cause int) { m[cause>>6] |= 1 << (cause & 63) }

func newGainer(m *Model, sets []set, probability []float64) *gainer {
	g := &gainer{m: m, sets: sets, probability: probability, single: make([]float64, len(m.Causes)), pair: make([]float64, 64*64), masks: make([]mask, len(sets))}
	for k, s := range sets {
		for _, j := range s.causes {
			if j >= 0 {
				g.masks[k].add(int(j))
			}
		}
	}
	return g
}

// gain returns the mutual information of an item and the sets, in bits, and
// the chance that the item will be found.
func (g *gainer) gain(item int) (information, found float64) {
	m := g.m
	strength, against := m.strength[item], m.against[item]
	var known mask
	for j := range g.single {
		g.single[j] = 0
		if strength[j] > 0 || against[j] {
			known.add(j)
		}
	}
	var plain, inside float64 // probability of sets without a known cause; Σ p·H(found | set)
	for k, all := range g.masks {
		low, high := all[0]&known[0], all[1]&known[1]
		switch {
		case low|high == 0:
			plain += g.probability[k]
		case high == 0 && low&(low-1) == 0:
			g.single[bits.TrailingZeros64(low)] += g.probability[k]
		case high == 0 && bits.OnesCount64(low) == 2:
			g.pair[bits.TrailingZeros64(low)<<6|(63-bits.LeadingZeros64(low))] += g.probability[k]
		default:
			v := m.foundChance(item, g.sets[k])
			found += g.probability[k] * v
			inside += g.probability[k] * binaryEntropy(v)
		}
	}
	add := func(p float64, s set) {
		v := m.foundChance(item, s)
		found += p * v
		inside += p * binaryEntropy(v)
	}
	add(plain, set{causes: [3]int16{-1, -1, -1}})
	for j, p := range g.single {
		if p > 0 {
			add(p, set{causes: [3]int16{int16(j), -1, -1}})
		}
	}
	for first := known[0]; first != 0; first &= first - 1 {
		i := bits.TrailingZeros64(first)
		for second := first & (first - 1); second != 0; second &= second - 1 {
			j := bits.TrailingZeros64(second)
			if p := g.pair[i<<6|j]; p > 0 {
				add(p, set{causes: [3]int16{int16(i), int16(j), -1}})
				g.pair[i<<6|j] = 0
			}
		}
	}
	return max(binaryEntropy(found)-inside, 0), found
}

// foundChance returns P(found | set).
func (m *Model) foundChance(item int, s set) float64 {
	miss, half := 1-m.Items[item].Leak, 1.0
	for _, j := range s.causes {
		if j < 0 {
			break
		}
		miss *= 1 - m.strength[item][j]
		if m.against[item][j] {
			half /= 2
		}
	}
	return (1 - miss) * half
}

func binaryEntropy(p float64) float64 { return -plogp(p) - plogp(1-p) }
