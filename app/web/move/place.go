// Package move takes tables in and gives everything out: CSV or a workbook, the
// columns said by hand where their names do not fit, everything looked at before
// anything is kept; tables, entries, and the whole shop as one file.
package move

import (
	"net/http"
	"strconv"

	"pumpwright/app/access"
	"pumpwright/app/transfer"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

// Place is where tables come in and go out.
func Place() frame.Place {
	m := &mover{kept: map[string]*upload{}}
	return frame.Place{
		Menu: wordMove.With(), Address: "/tables", Needs: access.Exchange,
		Routes: []frame.Route{
			{Pattern: "GET /tables", Handle: show},
			{Pattern: "POST /tables/upload", Handle: m.take, Most: mostSent},
			{Pattern: "GET /tables/read/{id}", Handle: m.look},
			{Pattern: "POST /tables/read/{id}", Handle: m.keep},
			{Pattern: "GET /tables/taking/{id}", Handle: m.taking},
			{Pattern: "GET /tables/out/{file}", Handle: giveTable},
			{Pattern: "GET /tables/entries.jsonl", Handle: giveLines},
			{Pattern: "GET /tables/archive.zip", Handle: giveArchive},
			{Pattern: "POST /tables/archive", Handle: putBack, Most: mostSent},
		},
	}
}

var (
	wordMove      = say.Define("move.move", "Tables in and out")
	wordIn        = say.Define("move.in", "Take a table in")
	wordWhat      = say.Define("move.what", "What it is about")
	wordFile      = say.Define("move.file", "File: CSV or a workbook (XLSX), its first row the names of the columns")
	wordRead      = say.Define("move.read", "Look at it")
	wordSay       = say.Define("move.say", "Nothing is kept before you have seen what it means. Then all of it is, or nothing; the same table taken in again changes nothing twice.")
	wordPumps     = say.Define("move.pumps", "Pumps: where they stand, and their meters")
	wordJobs      = say.Define("move.jobs", "Jobs, with cause and cost")
	wordReadings  = say.Define("move.readings", "Readings")
	wordStock     = say.Define("move.stock", "Parts stock")
	wordLives     = say.Define("move.lives", "Lives of parts")
	wordOut       = say.Define("move.out", "Give out")
	wordCSV       = say.Define("move.csv", "CSV")
	wordBook      = say.Define("move.book", "workbook")
	wordAllBook   = say.Define("move.all_book", "All tables in one workbook")
	wordLines     = say.Define("move.lines", "Every entry, as JSON Lines")
	wordArchive   = say.Define("move.archive", "The whole shop as one file")
	wordArchSay   = say.Define("move.archive_say", "Every entry, photo and paper, each with its hash. It holds no people and nothing to sign in with.")
	wordBackIn    = say.Define("move.back_in", "Put an archive back")
	wordBackSay   = say.Define("move.back_in_say", "Into a shop that has no jobs and no pumps yet. The archive is checked whole first: one changed letter, and nothing is put back. A larger one, and entries as JSON Lines, are put back at the machine of the shop: pumpwright unpack, pumpwright import entries.")
	wordArchFile  = say.Define("move.archive_file", "Archive (ZIP)")
	wordPutBack   = say.Define("move.put_back", "Check it and put it back")
	wordColumns   = say.Define("move.columns", "Which column is which")
	wordNone      = say.Define("move.none", "none")
	wordNeeded    = say.Define("move.needed", "{name} (needed)")
	wordAgain     = say.Define("move.again", "Read it again")
	wordFound     = say.Define("move.found", "{rows:count|row|rows} of {file}: {entries:count|entry|entries} to keep.")
	wordLife      = say.Define("move.life", "{rows:count|row|rows} of {file}: {failed:count} failed, {running:count} that had not.")
	wordLifeSay   = say.Define("move.life_say", "Lives are computed with, not kept: the lives of the shop's own parts come from its jobs.")
	wordTenth     = say.Define("move.tenth", "A tenth have failed by {age:number}, 90 % bounds {low} to {high}. Shape {shape:number}, scale {scale:number} (Weibull, in the unit of the table).")
	wordNoBound   = say.Define("move.no_bound", "not known")
	wordTwice     = say.Define("move.twice", "{n:count|row says|rows say} what a row before said: kept once.")
	wordUnused    = say.Define("move.unused", "Not used: {names:list}.")
	wordWrong     = say.Define("move.wrong", "{n:count|cell is|cells are} wrong. Nothing can be kept until the file is put right.")
	wordLine      = say.Define("move.line", "line {line:count}, {column}: {what}")
	wordMore      = say.Define("move.more", "and {n:count} more")
	wordUnlikely  = say.Define("move.unlikely", "{n:count|reading is|readings are} unlikely:")
	wordConfirm   = say.Define("move.confirm", "I looked at them again: they are right")
	wordFirst     = say.Define("move.first", "What it says")
	wordFirstRows = say.Define("move.first_rows", "the first {n:count} of {all:count}")
	wordKeep      = say.Define("move.keep", "Keep all of it")
	wordTaken     = say.Define("move.taken", "Kept {n:count|entry|entries}; {known:count} were here already.")
	wordRestored  = say.Define("move.restored", "Put back {n:count|entry|entries}.")
	wordBack      = say.Define("move.back", "to the tables")
	wordSideways  = say.Define("move.sideways", "table, wider than the page")
	wordTaking    = say.Define("move.taking", "Taking it in")
	wordTakingSay = say.Define("move.taking_say", "{done:count} of {all:count|entry|entries} written. All of them are kept at the end, or none. This page looks again by itself.")
	wordChecking  = say.Define("move.checking", "Looking at what is here already. This page looks again by itself.")
	wordNotTaken  = say.Define("move.not_taken", "Nothing was taken.")
	msgNoFile     = say.Define("move.no_file", "no file was chosen")
	msgTooBig     = say.Define("move.too_big", "the file is larger than {most:count} MB")
	msgSplit      = say.Define("move.split", "split it")
	msgUnpack     = say.Define("move.unpack", "put it back at the machine of the shop: pumpwright unpack")
	msgGone       = say.Define("move.gone", "the file is no longer here: it is kept for half an hour, and for whoever sent it")
	msgAnew       = say.Define("move.anew", "choose it again")
	msgUnlikely   = say.Define("move.look_again", "some readings are unlikely, and nobody said that they are right")
	msgTick       = say.Define("move.tick", "look at them again, then say so below")
)

// title is what a table is about, in words.
func title(s transfer.Subject) say.Message {
	switch s {
	case transfer.Pumps:
		return wordPumps.With()
	case transfer.Jobs:
		return wordJobs.With()
	case transfer.Readings:
		return wordReadings.With()
	case transfer.Stock:
		return wordStock.With()
	case transfer.Lives:
		return wordLives.With()
	}
	return say.Plain(string(s))
}

// desk is the page where tables come in and go out.
type desk struct {
	v             *frame.Visit
	problem, back *say.Problem // of the table; of the archive
	said          say.Message
	mayPutBack    bool
}

func show(v *frame.Visit) error {
	if _, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope); err != nil {
		return err
	}
	q := v.URL.Query()
	d := &desk{v: v}
	number := func(name string) int { n, _ := strconv.Atoi(q.Get(name)); return n }
	switch {
	case q.Has("kept"):
		d.said = wordTaken.With(number("kept"), number("known"))
	case q.Has("restored"):
		d.said = wordRestored.With(number("restored"))
	}
	return d.show(http.StatusOK)
}

func (d *desk) show(status int) error {
	_, err := d.v.Shop.Refill(d.v.Context(), d.v.Visitor.Scope)
	d.mayPutBack = err == nil
	if err != nil && say.AsProblem(err) == nil {
		return err
	}
	return d.v.Show(frame.Page{Title: wordMove.With(), Plain: true, Status: status, Body: deskBody(d)})
}
