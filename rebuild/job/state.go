package job

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Meta says who wrote an entry, when, and where it stands.
type Meta struct {
	Ref    string // id of the entry
	Seq    int64
	By     string
	At     record.Time
	Seen   string
	Device string
	Hash   string
}

// Kept is the body of an entry with who wrote it.
type Kept[T any] struct {
	Meta
	Body T
}

// PlaceValue is one value at one place, read.
type PlaceValue struct {
	Meta
	Feature    string
	State      string
	Plane      string
	Angle      *float64
	Text       string
	Value      quantity.Entered
	Interval   bool // a feeler reading: Goes and NoGo hold, one side may be missing
	Goes, NoGo *quantity.Entered
	Instrument string
	Pushed     string
	Float      *quantity.Entered
	Note       string
}

// Place names where a value was read: feature, state, plane and angle.
type Place struct {
	Feature, State, Plane string
	Angle                 float64
	Around                bool // the angle counts
}

// PlaceOf returns the place of a value.
func (v *PlaceValue) PlaceOf() Place {
	p := Place{Feature: v.Feature, State: v.State, Plane: v.Plane}
	if v.Angle != nil {
		p.Angle, p.Around = *v.Angle, true
	}
	return p
}

// Conflict is two values at one place whose writers had not seen each other's.
type Conflict struct {
	Place         Place
	First, Second Meta
	FirstText     string
	SecondText    string
}

// Trouble is an entry that could not be used, and why.
type Trouble struct {
	Meta
	Kind    string
	Message say.Message
}

// State is what the entries of a job say, folded.
type State struct {
	Stream string
	Count  int
	Head   string
	Last   record.Time

	Open        *Kept[Open]
	Sheets      []Kept[Text] // the last one holds
	Services    []Kept[Text] // the last one holds
	Basis       []Kept[any]
	Values      []PlaceValue
	Findings    []Kept[Finding]
	Stacks      []Kept[StackFound]
	Trials      []Kept[Trial]
	Decisions   []Kept[Decision]
	Limits      []Kept[Limit]
	Marks       map[string]Kept[Mark]
	Signs       map[string]Kept[Sign]
	Fitted      []Kept[Fitted]
	TestPoints  []Kept[TestPoint]
	Alignments  []Kept[any]
	Running     []Kept[any]
	Torques     []Kept[Torque]
	Pressings   []Kept[any]
	Sides       []Kept[Sides]
	Hours       []Kept[Hours]
	Photos      []Kept[Photo]
	Documents   []Kept[Document]
	Notes       []Kept[Note]
	Causes      []Kept[Cause]
	Quotes      []Kept[any]
	OutsideWork []Kept[any]
	Reliefs     []Kept[any]
	Marked      []Kept[Marks]
	Accepted    []Kept[Accepted]
	Closed      *Kept[Close]

	Voided    map[string]Kept[Void]
	Conflicts []Conflict
	Troubles  []Trouble
}

// ValuesOf returns the values of a feature in a state, in order of entry.
func (s *State) ValuesOf(feature, state string) []PlaceValue {
	var list []PlaceValue
	for _, v := range s.Values {
		if v.Feature == feature && v.State == state {
			list = append(list, v)
		}
	}
	return list
}

// ClosedHere reports whether the job is closed and was worked on step by step:
// then a table changes nothing of it any more. One that came in a table itself,
// closed long ago, still takes the readings of its time.
func (s *State) ClosedHere() bool {
	return s.Closed != nil && len(s.Signs)+len(s.Marks)+len(s.Decisions) > 0
}

// DecisionOf returns the last decision about a part, or nil.
func (s *State) DecisionOf(part string) *Kept[Decision] {
	for i := len(s.Decisions) - 1; i >= 0; i-- {
		if s.Decisions[i].Body.Part == part {
			return &s.Decisions[i]
		}
	}
	return nil
}
