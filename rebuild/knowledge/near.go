package knowledge

import (
	"sort"
	"strings"

	"pumpwright/calc/say"
)

var (
	msgNoCause    = say.Define("knowledge.no_cause", "there is no cause “{id}”")
	msgNoEvidence = say.Define("knowledge.no_evidence", "there is no item of evidence “{id}”")
	msgNear       = say.Define("knowledge.near", "near it are {ids:list}")
	msgListRange  = say.Define("knowledge.list_range", "ids run from {first} to {last}")
)

// named is an id with the words a person may remember instead of it.
type named struct{ id, name, more string }

func unknown(id string, message say.Message, list []named) error {
	near := nearest(id, list)
	if len(near) > 0 {
		return say.Refuse("", id, message, msgNear.With(near))
	}
	if len(list) == 0 {
		return say.Refuse("", id, message, say.Message{})
	}
	return say.Refuse("", id, message, msgListRange.With(list[0].id, list[len(list)-1].id))
}

func (b *Base) causeNames() []named {
	list := make([]named, len(b.Causes))
	for i, c := range b.Causes {
		list[i] = named{c.ID, c.Name, ""}
	}
	return list
}

func (b *Base) evidenceNames() []named {
	list := make([]named, len(b.Evidence))
	for i, e := range b.Evidence {
		list[i] = named{e.ID, e.Name, e.Looks}
	}
	return list
}

const nearCount = 4

// nearest returns up to four entries whose id differs in one place, or whose
// words hold most words of what was typed.
func nearest(typed string, list []named) []string {
	type hit struct {
		text  string
		worth int
	}
	var hits []hit
	folded := strings.ToUpper(strings.TrimSpace(typed))
	wanted := strings.Fields(strings.ToLower(typed))
	for _, n := range list {
		worth := 0
		switch d := distance(folded, n.id); {
		case d == 0:
			worth = 100
		case withoutZeros(folded) == withoutZeros(n.id):
			worth = 90
		case d == 1:
			worth = 50
		default:
			for _, w := range wanted {
				if len(w) > 2 && strings.Contains(strings.ToLower(n.name+" "+n.more), w) {
					worth += 10
				}
			}
		}
		if worth > 0 {
			hits = append(hits, hit{n.id + " (" + n.name + ")", worth})
		}
	}
	sort.SliceStable(hits, func(i, j int) bool { return hits[i].worth > hits[j].worth })
	if len(hits) > nearCount {
		hits = hits[:nearCount]
	}
	texts := make([]string, len(hits))
	for i, h := range hits {
		texts[i] = h.text
	}
	return texts
}

// withoutZeros drops the zeros after the letter: E007 and E7 are both E7.
func withoutZeros(id string) string {
	if id == "" {
		return id
	}
	return id[:1] + strings.TrimLeft(id[1:], "0")
}

// distance counts the changes of one letter that turn a into b, including the
// exchange of two neighbours.
func distance(a, b string) int {
	if len(a) > 16 {
		return len(a)
	}
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(a)][len(b)]
}
