package job

import (
	"fmt"
	"math"

	"pumpwright/calc/say"
)

// The shapes of marks on a photo.
const (
	MarkCircle = "circle"
	MarkArrow  = "arrow"
	MarkNumber = "number"
)

// MostMarks is how many marks one photo takes.
const MostMarks = 20

// PhotoMark is one mark on a photo. Places are fractions of the picture's width
// and height, from the left and from the top, so that the picture itself is
// never touched. A circle stands around X, Y and reaches to ToX, ToY; an arrow
// points to X, Y from ToX, ToY; a number stands at X, Y.
type PhotoMark struct {
	Shape string   `json:"shape"`
	X     float64  `json:"x"`
	Y     float64  `json:"y"`
	ToX   *float64 `json:"to_x,omitempty"`
	ToY   *float64 `json:"to_y,omitempty"`
	Text  string   `json:"text,omitempty"` // what it shows
}

// Marks are the marks of one photo; the last entry of a photo holds.
type Marks struct {
	Photo string      `json:"photo"` // id of the photo's entry
	Marks []PhotoMark `json:"marks"`
}

// Where a mark reaches to when nothing else is said: parts of the picture.
const (
	usualRadius = 0.08
	usualArrow  = 0.15
)

// End is where a mark reaches to: the edge of a circle, the tail of an arrow.
func (m *PhotoMark) End() (x, y float64) {
	if m.ToX != nil && m.ToY != nil {
		return *m.ToX, *m.ToY
	}
	if m.Shape == MarkArrow {
		away := func(at float64) float64 {
			if at > 0.5 {
				return at - usualArrow
			}
			return at + usualArrow
		}
		return away(m.X), away(m.Y)
	}
	return m.X + usualRadius, m.Y
}

// MarksOf returns the marks of a photo by the id of its entry.
func (s *State) MarksOf(photo string) []PhotoMark {
	for i := len(s.Marked) - 1; i >= 0; i-- {
		if s.Marked[i].Body.Photo == photo {
			return s.Marked[i].Body.Marks
		}
	}
	return nil
}

var (
	msgNoPhoto   = say.Define("job.no_photo", "there is no such photo in this job")
	msgMarkKind  = say.Define("job.mark_shape", "a mark is a circle, an arrow or a number")
	msgMarkPlace = say.Define("job.mark_place", "the mark lies outside the picture")
	msgMarkGive  = say.Define("job.mark_fractions", "places are parts of the picture, from 0 (left, top) to 1 (right, bottom)")
	msgMarkMany  = say.Define("job.mark_many", "too many marks on one photo ({n:count})")
	msgMarkMost  = say.Define("job.mark_most", "at most {most:count}")
)

func vetMarks(state *State, m Marks) error {
	found := state == nil
	for i := 0; !found && i < len(state.Photos); i++ {
		found = state.Photos[i].Ref == m.Photo
	}
	if !found {
		return say.Refuse("photo", m.Photo, msgNoPhoto.With(), say.Message{})
	}
	if len(m.Marks) > MostMarks {
		return say.Refuse("marks", "", msgMarkMany.With(len(m.Marks)), msgMarkMost.With(MostMarks))
	}
	for i := range m.Marks {
		at, one := fmt.Sprintf("marks[%d]", i), &m.Marks[i]
		switch one.Shape {
		case MarkCircle, MarkArrow, MarkNumber:
		default:
			return say.Refuse(at+".shape", one.Shape, msgMarkKind.With(), say.Message{})
		}
		if !within(one.X) || !within(one.Y) {
			return say.Refuse(at, fmt.Sprint(one.X, " ", one.Y), msgMarkPlace.With(), msgMarkGive.With())
		}
		for _, end := range []*float64{one.ToX, one.ToY} {
			if end != nil && (math.IsNaN(*end) || math.Abs(*end-0.5) > 1.5) {
				return say.Refuse(at, fmt.Sprint(*end), msgMarkPlace.With(), msgMarkGive.With())
			}
		}
	}
	return nil
}

func within(part float64) bool { return part >= 0 && part <= 1 }
