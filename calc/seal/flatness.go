package seal

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Light is a source of light of one colour under which flats are read.
type Light string

// Show prints the word in the language of a style.
func (v Light) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Light) Message() say.Message { return say.Word("seal", string(v)) }

// The lights of the bench.
const (
	Helium Light = "helium"
	Sodium Light = "sodium"
)

// BandLimit is the usual limit of a lapped face in helium light bands.
// Source: a note on light bands of a seal adviser.
const BandLimit = 3

var (
	msgBands     = say.Define("seal.bands", "the number of bands must be between 0 and 100")
	msgLight     = say.Define("seal.light", "no wavelength is held for this light")
	msgLightsAre = say.Define("seal.lights_are", "write helium or sodium")
)

// Wavelength returns the wavelength of a light: helium 587.56 nm (yellow
// line), sodium 589.3 nm (mean of the two D lines, from memory).
func (l Light) Wavelength() (quantity.Length, error) {
	switch l {
	case Helium:
		return 587.56e-9, nil
	case Sodium:
		return 589.3e-9, nil
	}
	return 0, say.Refuse("light", string(l), msgLight.With(), msgLightsAre.With())
}

// Flatness returns the height that a number of light bands stands for: half a
// wavelength each.
//
//	h = bands·λ/2
//
// Errors: *say.Problem naming bands or light.
// Source: interference between two flats; wavelength above.
func Flatness(bands float64, light Light) (quantity.Length, error) {
	wavelength, err := light.Wavelength()
	if err != nil {
		return 0, err
	}
	if math.IsNaN(bands) || bands < 0 || bands > 100 {
		return 0, say.Refuse("bands", number(bands), msgBands.With(), say.Message{})
	}
	return quantity.Length(bands) * wavelength / 2, nil
}

// WithinBands reports whether a flatness is within the usual limit of a
// lapped face.
func WithinBands(flatness quantity.Length) bool {
	limit, _ := Flatness(BandLimit, Helium)
	return flatness <= limit*(1+0.005) // sodium bands differ by 0.3 %
}
