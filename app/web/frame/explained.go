package frame

import "strings"

// Explained returns the address of the chapter of the handbook that explains a
// place of a job (bench, close, …), or a page at an address.
func Explained(here, address string) string {
	switch here {
	case "bench", "known":
		return "/handbook/measuring"
	case "close":
		return "/handbook/results#the-end-clearance"
	case "why":
		return "/handbook/results#when-again-why-and-at-what-price"
	case "together":
		return "/handbook/results#fits-bolts-seals-shafts"
	case "proved":
		return "/handbook/results#what-the-pump-delivers"
	case "report", "entries":
		return "/handbook/results"
	}
	if name, found := strings.CutPrefix(address, "/calculators/"); found && !strings.Contains(name, "/") {
		return "/handbook/calculators#" + name
	}
	for _, part := range []struct{ address, chapter string }{
		{"/calculators", "results"}, {"/papers", "model-sheet"}, {"/people", "administration#people"}, {"/instruments", "measuring#how-good-is-that-reading"},
		{"/due", "results#when-again-why-and-at-what-price"}, {"/fleet", "results#when-again-why-and-at-what-price"},
		{"/handbook", "glossary"},
	} {
		if strings.HasPrefix(address, part.address) {
			return "/handbook/" + part.chapter
		}
	}
	return "/handbook"
}
