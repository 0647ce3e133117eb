package knowledge

import (
	"sort"
	"strings"
)

// Find returns the items of evidence whose words hold every word of what was
// typed, or whose id begins with it; all of them when nothing was typed. Those
// whose name holds the words come first, else the order of the list stays.
func (b *Base) Find(typed string) []*Evidence {
	wanted := strings.Fields(strings.ToLower(typed))
	var found []*Evidence
	named := map[string]bool{}
	for i := range b.Evidence {
		e := &b.Evidence[i]
		name := strings.ToLower(e.ID + " " + e.Name)
		all := name + " " + strings.ToLower(e.Looks+" "+e.Where+" "+b.Parts[e.Part])
		if !holds(all, wanted) {
			continue
		}
		found = append(found, e)
		named[e.ID] = holds(name, wanted)
	}
	sort.SliceStable(found, func(i, j int) bool { return named[found[i].ID] && !named[found[j].ID] })
	return found
}

func holds(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}
