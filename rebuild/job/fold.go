package job

import (
	"encoding/json"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/record"
)

// The states in which a feature is read.
const (
	AsFound = "as-found"
	AsLeft  = "as-left"
)

var (
	msgUnknownKind = say.Define("job.unknown_kind", "an entry of kind “{kind}” is not known to this version; it is kept")
	msgNewVersion  = say.Define("job.new_version", "an entry of kind “{kind}” is of version {version:count}, which this version does not know; it is kept")
	msgUnreadable  = say.Define("job.unreadable", "the entry cannot be read: {reason}")
	msgVoidNothing = say.Define("job.void_nothing", "the entry that is voided ({id}) is not in this job")
)

// Fold returns what the entries of a job say. It is pure and never fails.
func Fold(stream *record.Stream) *State {
	f := folder{
		state: &State{
			Stream: stream.Name, Count: len(stream.Entries), Head: stream.Head(),
			Marks: map[string]Kept[Mark]{}, Signs: map[string]Kept[Sign]{}, Voided: map[string]Kept[Void]{},
		},
		place: make(map[string]int, len(stream.Entries)),
	}
	for i := range stream.Entries {
		f.place[stream.Entries[i].Hash] = i
	}
	f.findVoids(stream.Entries)
	for i := range stream.Entries {
		f.take(&stream.Entries[i])
	}
	f.findConflicts()
	return f.state
}

type folder struct {
	state *State
	place map[string]int // hash of an entry → its place
}

// meta takes over who wrote an entry and when. Nothing was written after it
// came in: the clock of a device that says so is wrong.
func meta(e *record.Entry) Meta {
	at := e.At
	if e.Received != 0 && at > e.Received {
		at = e.Received
	}
	return Meta{Ref: e.ID, Seq: e.Seq, By: e.By, At: at, Seen: e.Seen, Device: e.Device, Hash: e.Hash}
}

// findVoids runs first, so that a voided void counts no more: voids are taken
// from the last to the first.
func (f *folder) findVoids(entries []record.Entry) {
	ids := make(map[string]bool, len(entries))
	for i := range entries {
		ids[entries[i].ID] = true
	}
	for i := len(entries) - 1; i >= 0; i-- {
		e := &entries[i]
		if e.Kind != KindVoid {
			continue
		}
		if _, gone := f.state.Voided[e.ID]; gone {
			continue
		}
		var body Void
		if err := json.Unmarshal(e.Body, &body); err != nil {
			continue // take says it
		}
		if !ids[body.Entry] {
			f.trouble(e, msgVoidNothing.With(body.Entry))
			continue
		}
		f.state.Voided[body.Entry] = Kept[Void]{meta(e), body}
	}
}

func (f *folder) trouble(e *record.Entry, message say.Message) {
	f.state.Troubles = append(f.state.Troubles, Trouble{Meta: meta(e), Kind: e.Kind, Message: message})
}

func (f *folder) take(e *record.Entry) {
	s := f.state
	if at := meta(e).At; at > s.Last {
		s.Last = at
	}
	if _, gone := s.Voided[e.ID]; gone {
		return
	}
	if e.Version > 1 {
		f.trouble(e, msgNewVersion.With(e.Kind, e.Version))
		return
	}
	var err error
	switch e.Kind {
	case KindOpen:
		var k Kept[Open]
		if k, err = read[Open](e); err == nil {
			s.Open = &k
		}
	case KindSheet:
		err = appendTo(e, &s.Sheets)
	case KindService:
		err = appendTo(e, &s.Services)
	case KindBasis:
		err = appendTo(e, &s.Basis)
	case KindReading:
		err = f.takeReading(e)
	case KindFinding:
		err = appendTo(e, &s.Findings)
	case KindStackFound:
		err = appendTo(e, &s.Stacks)
	case KindTrial:
		err = appendTo(e, &s.Trials)
	case KindDecision:
		err = appendTo(e, &s.Decisions)
	case KindLimit:
		err = appendTo(e, &s.Limits)
	case KindStep:
		var k Kept[Mark]
		if k, err = read[Mark](e); err == nil {
			s.Marks[k.Body.Step] = k
		}
	case KindSign:
		var k Kept[Sign]
		if k, err = read[Sign](e); err == nil {
			s.Signs[k.Body.Step] = k
		}
	case KindFitted:
		err = appendTo(e, &s.Fitted)
	case KindTestPoint:
		err = appendTo(e, &s.TestPoints)
	case KindAlignment:
		err = appendTo(e, &s.Alignments)
	case KindRunning:
		err = appendTo(e, &s.Running)
	case KindTorque:
		err = appendTo(e, &s.Torques)
	case KindPress:
		err = appendTo(e, &s.Pressings)
	case KindSides:
		err = appendTo(e, &s.Sides)
	case KindHours:
		err = appendTo(e, &s.Hours)
	case KindPhoto:
		err = appendTo(e, &s.Photos)
	case KindDocument:
		err = appendTo(e, &s.Documents)
	case KindNote:
		err = appendTo(e, &s.Notes)
	case KindCause:
		err = appendTo(e, &s.Causes)
	case KindQuote:
		err = appendTo(e, &s.Quotes)
	case KindOutside:
		err = appendTo(e, &s.OutsideWork)
	case KindRelief:
		err = appendTo(e, &s.Reliefs)
	case KindMarks:
		err = appendTo(e, &s.Marked)
	case KindAccepted:
		err = appendTo(e, &s.Accepted)
	case KindClose:
		var k Kept[Close]
		if k, err = read[Close](e); err == nil {
			s.Closed = &k
		}
	case KindVoid:
		_, err = read[Void](e)
	default:
		f.trouble(e, msgUnknownKind.With(e.Kind))
	}
	if err != nil {
		f.trouble(e, msgUnreadable.With(err))
	}
}

func read[T any](e *record.Entry) (Kept[T], error) {
	k := Kept[T]{Meta: meta(e)}
	err := json.Unmarshal(e.Body, &k.Body)
	return k, err
}

func appendTo[T any](e *record.Entry, list *[]Kept[T]) error {
	k, err := read[T](e)
	if err == nil {
		*list = append(*list, k)
	}
	return err
}

func (f *folder) takeReading(e *record.Entry) error {
	k, err := read[Reading](e)
	if err != nil {
		return err
	}
	for _, v := range k.Body.Values {
		value, err := ReadValue(k.Body, v)
		if err != nil {
			f.trouble(e, msgUnreadable.With(err))
			continue
		}
		value.Meta = k.Meta
		f.state.Values = append(f.state.Values, value)
	}
	return nil
}

// ReadValue reads the texts of one value of a reading.
func ReadValue(r Reading, v Value) (PlaceValue, error) {
	value := PlaceValue{
		Feature: r.Feature, State: r.State, Plane: v.Plane, Angle: v.Angle, Text: v.Text,
		Instrument: r.Instrument, Pushed: r.Pushed, Note: r.Note,
	}
	var err error
	if value.Float, err = readOptional(r.Float); err != nil {
		return value, say.In("float", err)
	}
	if v.Text != "" {
		value.Value, err = fields.ParseAny(v.Text)
		return value, say.In("text", err)
	}
	value.Interval = true
	if value.Goes, err = readOptional(v.Goes); err != nil {
		return value, say.In("goes", err)
	}
	if value.NoGo, err = readOptional(v.NoGo); err != nil {
		return value, say.In("no_go", err)
	}
	value.Text = feelerText(v)
	switch {
	case value.Goes != nil && value.NoGo != nil:
		value.Value = *value.Goes
		value.Value.SI = (value.Goes.SI + value.NoGo.SI) / 2
	case value.Goes != nil:
		value.Value = *value.Goes
	case value.NoGo != nil:
		value.Value = *value.NoGo
	default:
		return value, say.Refuse("text", "", msgNoValue.With(), say.Message{})
	}
	return value, nil
}

var msgNoValue = say.Define("job.no_value", "there is neither a value nor a leaf")

func feelerText(v Value) string {
	switch {
	case v.Goes == "":
		return "< " + v.NoGo
	case v.NoGo == "":
		return "≥ " + v.Goes
	}
	return v.Goes + " … " + v.NoGo
}

func readOptional(text string) (*quantity.Entered, error) {
	if text == "" {
		return nil, nil
	}
	e, err := fields.ParseAny(text)
	if err != nil {
		return nil, err
	}
	return &e, nil
}

// findConflicts looks for two values at one place whose later writer had not
// seen the earlier one and read something else.
func (f *folder) findConflicts() {
	last := map[Place]int{}
	for i := range f.state.Values {
		v := &f.state.Values[i]
		place := v.PlaceOf()
		j, there := last[place]
		last[place] = i
		if !there {
			continue
		}
		first := &f.state.Values[j]
		if first.Ref == v.Ref || v.Text == first.Text || f.hadSeen(v.Meta, first.Meta) {
			continue
		}
		f.state.Conflicts = append(f.state.Conflicts, Conflict{Place: place, First: first.Meta, Second: v.Meta, FirstText: first.Text, SecondText: v.Text})
	}
}

// hadSeen reports whether the writer of later knew the entry earlier. A writer
// who names nothing seen wrote in order, on one device.
func (f *folder) hadSeen(later, earlier Meta) bool {
	if later.Seen == "" {
		return later.Device == earlier.Device
	}
	place, known := f.place[later.Seen]
	return !known || int64(place)+1 >= earlier.Seq
}
