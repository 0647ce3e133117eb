package say

import "strconv"

// Day is a day as 2026-09-30, the form in which it is stored. It shows in the
// way of the language of whoever reads it; English keeps the stored form, which
// nobody on either side of the ocean can misread.
type Day string

// Show prints the day in a style. What is no day shows as it is.
func (d Day) Show(s Style) string {
	text := string(d)
	if s.Catalogue == nil || len(text) != len("2006-01-02") || text[4] != '-' || text[7] != '-' {
		return text
	}
	year, err1 := strconv.Atoi(text[:4])
	month, err2 := strconv.Atoi(text[5:7])
	day, err3 := strconv.Atoi(text[8:])
	if err1 != nil || err2 != nil || err3 != nil {
		return text
	}
	return s.Catalogue.Date(year, month, day)
}

// Moment is a day with the time of it, as 2026-09-30 14:05.
type Moment string

// Show prints the moment in a style.
func (m Moment) Show(s Style) string {
	const day = len("2006-01-02")
	if len(m) <= day {
		return Day(m).Show(s)
	}
	return Day(m[:day]).Show(s) + string(m[day:])
}

// Message returns the day as a message.
func (d Day) Message() Message {
	if d == "" {
		return Message{}
	}
	return plain.With(d)
}

// Message returns the moment as a message.
func (m Moment) Message() Message {
	if m == "" {
		return Message{}
	}
	return plain.With(m)
}
