package job

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// Outside is work that leaves the shop, or its return. The return names the
// part, and with Of the entry that sent it.
type Outside struct {
	Part     string  `json:"part,omitempty"`
	What     string  `json:"what,omitempty"` // what is sent, where it is no part of the sheet
	Work     string  `json:"work,omitempty"` // what is done to it
	To       string  `json:"to,omitempty"`   // who does it
	By       string  `json:"by,omitempty"`   // the day for which it is promised, as 2026-06-30
	Sent     bool    `json:"sent,omitempty"`
	Of       string  `json:"of,omitempty"` // id of the entry that sent it
	Returned bool    `json:"returned,omitempty"`
	Price    float64 `json:"price,omitempty"`
	Currency string  `json:"currency,omitempty"`
	Note     string  `json:"note,omitempty"`
}

// Away is one piece of work outside with where it stands.
type Away struct {
	Sent Kept[Outside]
	Back *Kept[Outside] // nil while it is away
}

// Subject is what was sent: the part, or what stands for it.
func (o *Outside) Subject() string {
	if o.Part != "" {
		return o.Part
	}
	return o.What
}

// Outsides lists the work that was sent out, in order.
func (s *State) Outsides() []Away {
	var list []Away
	for _, k := range s.OutsideWork {
		o, err := readOutside(k.Body)
		if err != nil {
			continue
		}
		kept := Kept[Outside]{k.Meta, o}
		switch {
		case o.Returned:
			if i := openOutside(list, &o); i >= 0 {
				list[i].Back = &kept
			}
		case o.Sent:
			list = append(list, Away{Sent: kept})
		}
	}
	return list
}

// openOutside finds what a return belongs to, -1 when nothing is away.
func openOutside(list []Away, o *Outside) int {
	for i := len(list) - 1; i >= 0; i-- {
		if a := &list[i]; a.Back == nil && (o.Of == a.Sent.Ref || o.Of == "" && o.Subject() == a.Sent.Body.Subject()) {
			return i
		}
	}
	return -1
}

func readOutside(body any) (Outside, error) {
	var o Outside
	raw, err := json.Marshal(body)
	if err == nil {
		err = json.Unmarshal(raw, &o)
	}
	return o, err
}

// LeftFromOutside tells for a part the number of the entry with which it last
// left or came back: what was measured on it as left before that is believed
// no more. 0 when it was never away.
func (s *State) LeftFromOutside(part string) int64 {
	last := int64(0)
	for _, a := range s.Outsides() {
		if a.Sent.Body.Part != part || part == "" {
			continue
		}
		last = max(last, a.Sent.Seq)
		if a.Back != nil {
			last = max(last, a.Back.Seq)
		}
	}
	return last
}

// Standing returns the state without the readings as left that work outside
// has overtaken: nothing is believed of a part that was away until it has been
// measured again. It is the state itself where there are none.
func (s *State) Standing(m *sheet.Sheet) *State {
	from := map[string]int64{}
	for _, a := range s.Outsides() {
		if p := a.Sent.Body.Part; p != "" {
			from[p] = s.LeftFromOutside(p)
		}
	}
	if len(from) == 0 || m == nil {
		return s
	}
	kept := make([]PlaceValue, 0, len(s.Values))
	for i := range s.Values {
		v := &s.Values[i]
		if f := m.Feature(v.Feature); f != nil && v.State == AsLeft && v.Seq < from[f.Part] {
			continue
		}
		kept = append(kept, *v)
	}
	if len(kept) == len(s.Values) {
		return s
	}
	standing := *s
	standing.Values = kept
	return &standing
}

var (
	msgOutsideWhat = say.Define("job.outside_what", "what is sent out is missing")
	msgOutsideName = say.Define("job.outside_name", "name the part, or what it is")
	msgOutsideWork = say.Define("job.outside_work", "what is to be done is missing")
	msgOutsideTo   = say.Define("job.outside_to", "who does it is missing")
	msgOutsideDay  = say.Define("job.outside_day", "this is no day")
	msgOutsideDays = say.Define("job.outside_days", "write it like 2026-06-30, or leave it empty")
	msgOutsideBack = say.Define("job.outside_back", "nothing of this is away")
	msgOutsideBoth = say.Define("job.outside_both", "it is either sent or returned")
	msgWords       = say.Define("job.in_words", "write it in a few words")
)

func vetOutside(state *State, s *sheet.Sheet, o Outside) error {
	empty := func(text string) bool { return strings.TrimSpace(text) == "" }
	if o.Sent && o.Returned {
		return say.Refuse("returned", "", msgOutsideBoth.With(), say.Message{})
	}
	if !good(o.Price) {
		return say.Refuse("price", fmt.Sprint(o.Price), msgQuotePrice.With(), say.Message{})
	}
	if o.Part != "" {
		if err := partOf(s, o.Part); err != nil {
			return err
		}
	}
	if o.By != "" {
		if _, err := time.Parse(time.DateOnly, o.By); err != nil {
			return say.Refuse("by", o.By, msgOutsideDay.With(), msgOutsideDays.With())
		}
	}
	if o.Returned {
		if state != nil && openOutside(state.Outsides(), &o) < 0 {
			return say.Refuse("part", o.Subject(), msgOutsideBack.With(), say.Message{})
		}
		return nil
	}
	switch {
	case empty(o.Subject()):
		return say.Refuse("part", "", msgOutsideWhat.With(), msgOutsideName.With())
	case empty(o.Work):
		return say.Refuse("work", "", msgOutsideWork.With(), msgWords.With())
	case o.Sent && empty(o.To):
		return say.Refuse("to", "", msgOutsideTo.With(), msgWords.With())
	}
	return nil
}

// Overdue reports whether work that is away was promised for a day before.
func (a *Away) Overdue(now record.Time) bool {
	day, err := time.Parse(time.DateOnly, a.Sent.Body.By)
	return a.Back == nil && err == nil && now.Time().After(day.AddDate(0, 0, 1))
}
