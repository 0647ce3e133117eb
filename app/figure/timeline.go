package figure

import (
	"strconv"
	"time"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// Timeline shows the life of a machine: each rebuild as a mark on one line, the
// runs between them, where it stood, and when it is due.
type Timeline struct {
	Name say.Shower
	Jobs []TimelineJob // in order
	Runs []TimelineRun // in order
	Now  time.Time
	Due  *TimelineDue
}

// TimelineJob is one rebuild.
type TimelineJob struct {
	Name string
	Day  time.Time
	Back bool // it came back within weeks of the rebuild before
}

// TimelineRun is a run between two rebuilds.
type TimelineRun struct {
	From, To time.Time
	Place    string // tag
}

// TimelineDue is when a feature reaches its limit; zero times are not known.
type TimelineDue struct {
	Near, At, Far time.Time
	Name          say.Shower
}

var (
	titleTimeline  = say.Define("figure.timeline_title", "Life of {name}")
	wordTimeline   = say.Define("figure.timeline_name", "time line of a machine")
	wordToday      = say.Define("figure.timeline_now", "as of {day}")
	wordDueMark    = say.Define("figure.timeline_due", "{name} due {day}")
	wordTimeKey    = say.Define("figure.timeline_key", "Marks: rebuilds, full when it had run, with a bar beyond when it came back within weeks. Shaded: the bounds of the due date, 90 %.")
	msgTimelineJob = say.Define("figure.timeline_job", "{job} on {day}.")
	msgTimelineBad = say.Define("figure.timeline_back", "{job} on {day}, back within weeks of the rebuild before.")
)

const (
	timelineLeft, timelineRight = 6.0, sheetWidth - 6
	timelineY                   = 30.0
)

// Draw makes the picture.
func (t Timeline) Draw(style say.Style) *draw.Drawing {
	name := words(t.Name, style)
	first, last := t.span()
	if first.IsZero() || !last.After(first) {
		return missing(wordTimeline.With(), name, style)
	}
	told := &description{style: style}
	d := draw.New(sheetWidth, 62)
	at := func(day time.Time) float64 {
		return timelineLeft + (timelineRight-timelineLeft)*float64(day.Sub(first))/float64(last.Sub(first))
	}
	if u := t.Due; u != nil && !u.Near.IsZero() {
		far := u.Far
		if far.IsZero() || far.After(last) {
			far = last
		}
		d.Fill(draw.Rectangle(at(u.Near), timelineY-3, max(at(far)-at(u.Near), 0.4), 6), draw.Tint)
	}
	d.Line(draw.Pen{Role: draw.Faint, Width: 0.3}, draw.At(timelineLeft, timelineY), draw.At(timelineRight, timelineY))
	taken := -1.0
	for _, r := range t.Runs {
		x0, x1 := at(r.From), at(r.To)
		d.Line(draw.Pen{Role: draw.Ink, Width: 0.9}, draw.At(x0, timelineY), draw.At(x1, timelineY))
		place := draw.Shorten(draw.Clean(r.Place), draw.Small.Size, false, x1-x0-1)
		if width := draw.TextWidth(place, draw.Small.Size, false); place != "" && width < x1-x0-1 && x0 > taken {
			d.Text(draw.At((x0+x1)/2, timelineY+5.4), place, draw.Small.At(draw.Middle))
			taken = (x0+x1)/2 + width/2 + 1
		}
	}
	t.years(d, at, first, last)
	t.jobs(d, at, told, style)
	if !t.Now.IsZero() {
		x := at(t.Now)
		d.Line(draw.Pen{Role: draw.Soft, Width: 0.3, Dash: []float64{1, 1}}, draw.At(x, timelineY-6), draw.At(x, timelineY+7.5))
		told.add(wordToday.With(t.Now.Format(time.DateOnly)))
	}
	if u := t.Due; u != nil && !u.At.IsZero() {
		text := wordDueMark.With(words(u.Name, style), u.At.Format(time.DateOnly)).Text(style)
		if !u.At.After(last) {
			d.Mark(draw.At(at(u.At), timelineY), draw.MeasureAgain, 3)
		}
		d.Text(draw.At(timelineRight, 51), draw.Shorten(text, draw.Label.Size, true, sheetWidth-12), draw.Type{Size: draw.Label.Size, Bold: true, Anchor: draw.Right})
		told.add(say.Plain(text + "."))
	}
	d.Text(draw.At(2, 59), draw.Shorten(wordTimeKey.With().Text(style), draw.Small.Size, false, sheetWidth-4), draw.Small)
	told.add(wordTimeKey.With())
	d.Describe(titleTimeline.With(name).Text(style), told.String())
	return d
}

// span is the time shown: all that happened, and up to the expected day if it
// does not squeeze the past into a corner.
func (t Timeline) span() (first, last time.Time) {
	take := func(day time.Time) {
		if day.IsZero() {
			return
		}
		if first.IsZero() || day.Before(first) {
			first = day
		}
		if day.After(last) {
			last = day
		}
	}
	for _, j := range t.Jobs {
		take(j.Day)
	}
	for _, r := range t.Runs {
		take(r.From)
		take(r.To)
	}
	take(t.Now)
	if u := t.Due; u != nil && !first.IsZero() {
		most := last.Add(last.Sub(first))
		for _, day := range []time.Time{u.Near, u.At} {
			if !day.IsZero() && !day.After(most) {
				take(day)
			}
		}
	}
	return first, last.Add(last.Sub(first) / 40)
}

// years marks the first of January of as many years as have room.
func (t Timeline) years(d *draw.Drawing, at func(time.Time) float64, first, last time.Time) {
	every := 1
	for float64(last.Year()-first.Year())/float64(every) > 14 {
		every++
	}
	free := -1.0
	for y := first.Year() + 1; y <= last.Year(); y += every {
		x := at(time.Date(y, 1, 1, 0, 0, 0, 0, time.UTC))
		text := strconv.Itoa(y)
		width := draw.TextWidth(text, draw.Small.Size, false)
		if x-width/2 < max(free, 0.5) || x+width/2 > sheetWidth-0.5 {
			continue
		}
		d.Line(draw.Thin, draw.At(x, 38.6), draw.At(x, 40))
		d.Text(draw.At(x, 43.6), text, draw.Small.At(draw.Middle))
		free = x + width/2 + 1.5
	}
}

// jobs marks the rebuilds; names are written where there is room, in two rows.
func (t Timeline) jobs(d *draw.Drawing, at func(time.Time) float64, told *description, style say.Style) {
	rows := [3]float64{-1, -1, -1}
	for _, j := range t.Jobs {
		x := at(j.Day)
		state, message := draw.Good, msgTimelineJob
		if j.Back {
			state, message = draw.PastLimit, msgTimelineBad
		}
		d.Mark(draw.At(x, timelineY), state, 3)
		told.add(message.With(j.Name, j.Day.Format(time.DateOnly)))
		text := draw.Shorten(draw.Clean(j.Name), draw.Small.Size, false, 34)
		width := draw.TextWidth(text, draw.Small.Size, false)
		left := min(max(x-width/2, 0.8), sheetWidth-0.8-width)
		for row := range rows {
			if left > rows[row] {
				y := 22.4 - 5.2*float64(row)
				d.Text(draw.At(left, y), text, draw.Small)
				d.Line(draw.Thin.In(draw.Faint), draw.At(x, y+0.9), draw.At(x, timelineY-2))
				rows[row] = left + width + 1.5
				break
			}
		}
	}
}
