package document

// PageSize is a size of paper.
type PageSize struct {
	Name          string
	Width, Height float64 // mm
}

// The two sizes in use (ISO 216; ANSI/ASME Y14.1).
var (
	A4     = PageSize{"A4", 210, 297}
	Letter = PageSize{"Letter", 215.9, 279.4}
)
