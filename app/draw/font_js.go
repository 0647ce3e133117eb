package draw

import (
	_ "embed"
	"encoding/binary"
)

// On a tablet the browser sets the characters: only their advances are needed,
// as the fonts have them, in units of 1/2048 em, upright before bold.
//
//go:embed advances.bin
var advances string

const perEm = 2048

type outlines struct{}

func loadFace(bold bool) *typeface {
	t := newFace()
	from := advances
	if bold {
		from = advances[2*measured:]
	}
	for r := range t.advance {
		t.advance[r] = float64(binary.BigEndian.Uint16([]byte(from[2*r:2*r+2]))) / perEm
	}
	return t
}
