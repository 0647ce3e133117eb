package gasket

import (
	"fmt"
	"sort"
)

// order returns the pieces from casing to head: the thickest sealing piece,
// all inner pieces by falling thickness, the thinnest sealing piece last.
// Names stand for kinds; a fitted piece that is no stock kind is "fitted piece
// N". Shims that lie apart follow by falling thickness. Source: common practice (thin pieces lie between thick ones).
func order(p Problem, s Stack) (names, pack []string) {
	type piece struct {
		name      string
		thickness float64
		sealing   bool
	}
	var list, apart []piece
	for i, n := range s.Counts {
		for range n {
			if p.Kinds[i].Apart {
				apart = append(apart, piece{name: p.Kinds[i].Name, thickness: float64(p.Kinds[i].Thickness)})
				continue
			}
			list = append(list, piece{p.Kinds[i].Name, float64(p.Kinds[i].Thickness), p.Kinds[i].Sealing})
		}
	}
	for _, j := range s.KeptPieces {
		f := p.FittedPieces[j]
		list = append(list, piece{fmt.Sprintf("fitted piece %d", j+1), float64(f.Thickness), f.Sealing})
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].thickness > list[j].thickness })
	first, last := -1, -1
	for i, q := range list {
		if q.sealing && first < 0 {
			first = i
		} else if q.sealing {
			last = i
		}
	}
	names = make([]string, 0, len(list)+len(apart))
	if first >= 0 {
		names = append(names, list[first].name)
	}
	for i, q := range list {
		if i != first && i != last {
			names = append(names, q.name)
		}
	}
	if last >= 0 {
		names = append(names, list[last].name)
	}
	sort.SliceStable(apart, func(i, j int) bool { return apart[i].thickness > apart[j].thickness })
	for _, q := range apart {
		pack = append(pack, q.name)
	}
	return append(names, pack...), pack
}
