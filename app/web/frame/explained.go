package frame

import "strings"

// Explained returns the address of the chapter of the handbook that explains a
// place of a job (bench, close, …), or a page at an address.
func Explained(here, address string) string {
	switch here {
	case "bench", "known":
		return "/handbook/measuring"
	case "close":
		return "/handbook/answers#the-end-clearance"
	case "why":
		return "/handbook/answers#when-again-why-and-at-what-price"
	case "together":
		return "/handbook/answers#fits-bolts-seals-shafts"
	case "proved":
		return "/handbook/answers#what-the-pump-delivers"
	case "report", "entries":
		return "/handbook/answers"
	}
	if name, found := strings.CutPrefix(address, "/calculators/"); found && !strings.Contains(name, "/") {
		return "/handbook/results/" + name
	}
	for _, part := range []struct{ address, chapter string }{
		{"/calculators", "answers"}, {"/papers", "model-sheet"}, {"/people", "administration#people"}, {"/instruments", "measuring#how-good-is-that-reading"},
		{"/due", "answers#when-again-why-and-at-what-price"}, {"/fleet", "answers#when-again-why-and-at-what-price"},
		{"/handbook", "glossary"},
	} {
		if strings.HasPrefix(address, part.address) {
			return "/handbook/" + part.chapter
		}
	}
	return "/handbook"
}
