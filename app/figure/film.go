package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/bushing"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Film is a journal in its bushing, seen along the shaft: how far the load
// pushes it off centre, where the film is thinnest, and how thin.
type Film struct {
	Name      say.Shower // of the bushing; nil when it has none
	Journal   quantity.Length
	Clearance quantity.Length // diametral, running
	Load      quantity.Force
	Carries   bool           // a film carries the load; else the parts rub
	Ratio     float64        // eccentricity ratio
	Attitude  quantity.Angle // from the load to the thinnest place, the way the journal turns
	MinFilm   quantity.Length
	Regime    say.Shower
	State     draw.State
}

// OfFilm is the drawing of a bushing that was assessed.
func OfFilm(name say.Shower, run bushing.Running) Film {
	f := Film{Name: name, Journal: run.Diameter, Clearance: run.DiametralClearance, Load: run.Load, Regime: run.Regime.Message(), State: draw.Good}
	if run.Regime != bushing.FullFilm {
		f.State = draw.Worn
		if !run.PVWithin {
			f.State = draw.PastLimit
		}
	}
	if run.Carries {
		f.Carries, f.Ratio, f.Attitude, f.MinFilm = true, run.Film.Eccentricity, run.Film.Attitude, run.MinFilm
	}
	return f
}

var (
	titleFilm     = say.Define("figure.film_title", "Film in the bushing")
	wordLoad      = say.Define("figure.film_load", "load {load}")
	wordThinnest  = say.Define("figure.film_thinnest", "thinnest film {film:length}")
	wordRubs      = say.Define("figure.film_rubs", "no film: the parts rub here")
	wordBushing   = say.Define("figure.film_bushing", "bushing")
	wordJournal   = say.Define("figure.film_journal", "journal {diameter:length}")
	msgClearance  = say.Define("figure.film_clearance", "Clearance on the diameter {clearance:length}, running.")
	msgOffCentre  = say.Define("figure.film_off_centre", "The journal runs {share:percent} of the radial clearance off centre, {degrees:count}° from the load, the way it turns.")
	msgFilmRegime = say.Define("figure.film_regime", "How the load is carried: {regime}.")
	msgFilmWiden  = say.Define("figure.film_widened", "The gap is drawn about {times:count} times as wide as it is.")
	msgFilmNamed  = say.Define("figure.film_named", "{name}.")
)

const (
	filmCentreX, filmCentreY = 62.0, 42.0
	filmBore                 = 27.0 // mm on the sheet
	filmGap                  = 6.0
	filmWall                 = 6.5
)

// Draw makes the picture.
func (f Film) Draw(style say.Style) *draw.Drawing {
	if !positive(f.Journal) || !positive(f.Clearance) || !usable(f.Load.SI(), f.Ratio, f.Attitude.SI(), f.MinFilm.SI()) {
		return missing(titleFilm.With(), titleFilm.With().Text(style), style)
	}
	told := &description{style: style}
	d := draw.New(sheetWidth, 88)
	c := draw.At(filmCentreX, filmCentreY)
	ratio, attitude := 1.0, 0.0
	if f.Carries {
		ratio, attitude = min(max(f.Ratio, 0), 1), f.Attitude.SI()*180/math.Pi
	}
	toThin := -90 + attitude // counter-clockwise from the load, which points down
	journal := draw.Polar(c, ratio*filmGap, toThin)
	d.Part("bushing", func() {
		d.Section(draw.Ring(c, filmBore, filmBore+filmWall), draw.HatchDense)
	})
	d.Fill(draw.Circle(c, filmBore-0.2), draw.Tint)
	d.Part("journal", func() {
		d.Shape(draw.Circle(journal, filmBore-filmGap), draw.Shade, draw.Outline)
	})
	d.Line(draw.Centre, draw.At(c.X-filmBore-9, c.Y), draw.At(c.X+filmBore+9, c.Y))
	d.Line(draw.Centre, draw.At(c.X, c.Y-filmBore-9), draw.At(c.X, c.Y+filmBore+9))
	d.Fill(draw.Circle(journal, 0.9), draw.Accent)
	d.Flow(draw.At(journal.X, journal.Y+2), draw.At(journal.X, journal.Y+16), draw.Ink)
	d.Turning(journal, filmBore-filmGap-4, 60, 150, draw.Soft)
	thin := draw.Polar(c, filmBore, toThin)
	beside := draw.At(filmCentreX+filmBore+filmWall+8, 0)
	thinWords, thinState := wordRubs.With().Text(style), draw.PastLimit
	if f.Carries {
		thinWords, thinState = wordThinnest.With(f.MinFilm).Text(style), f.State
	}
	list := []draw.Callout{
		{Target: draw.Polar(c, filmBore+filmWall/2, 45), Words: wordBushing.With().Text(style), Part: "bushing"},
		{Target: draw.Polar(journal, (filmBore-filmGap)*0.7, 20), Words: wordJournal.With(f.Journal).Text(style), Part: "journal"},
		{Target: draw.At(journal.X, journal.Y+9), Words: wordLoad.With(f.Load).Text(style)},
		{Target: thin, Words: thinWords, State: &thinState},
	}
	d.Callouts(list, draw.Right, beside.X, 2, 62, style)
	y := 66.0
	if name := words(f.Name, style); name != "" {
		told.add(msgFilmNamed.With(name))
	}
	told.add(wordLoad.With(f.Load))
	told.add(say.Plain(". " + thinWords + "."))
	notes := []say.Message{msgClearance.With(f.Clearance)}
	if f.Carries {
		notes = append(notes, msgOffCentre.With(ratio, int(math.Round(attitude))))
	}
	if words(f.Regime, style) != "" {
		notes = append(notes, msgFilmRegime.With(f.Regime))
	}
	scale := filmGap / (filmBore - filmGap) / (f.Clearance / f.Journal).SI()
	notes = append(notes, msgFilmWiden.With(int(math.Round(scale))))
	for _, n := range notes {
		y = d.Paragraph(draw.At(beside.X, y), n.Text(style), sheetWidth-beside.X-2, draw.Label.In(draw.Soft)).Bottom() + 4.4
		told.add(n)
	}
	d.Height = max(d.Height, y)
	d.Describe(titleFilm.With().Text(style), told.String())
	return d
}
