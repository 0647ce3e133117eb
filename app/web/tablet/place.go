// Package tablet is the place that shows what this tablet keeps until the shop
// has it: entries that wait, entries that were refused, and the jobs that can
// be opened without network. The page is the same for everybody; the script
// fills it with what the browser keeps.
package tablet

import (
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

// Place is the place of what waits.
func Place() frame.Place {
	return frame.Place{Menu: wordTitle.With(), Address: "/waiting", Routes: []frame.Route{{Pattern: "GET /waiting", Handle: show}}}
}

func show(v *frame.Visit) error {
	return v.Show(frame.Page{Title: wordTitle.With(), Plain: true, Body: page(v)})
}

var (
	wordTitle    = say.Define("tablet.title", "On this tablet")
	wordMissing  = say.Define("tablet.missing", "There is no network, and the page you asked for is not on this tablet.")
	wordNothing  = say.Define("tablet.nothing", "Nothing waits: the shop has everything that was written here.")
	wordWaits    = say.Define("tablet.waits", "Waits for the network")
	wordWaitsSay = say.Define("tablet.waits_say", "These go to the shop in this order as soon as it answers. Leave this browser's data alone until then: what is cleared here is lost.")
	wordRefused  = say.Define("tablet.refused", "Not taken by the shop")
	wordRefSay   = say.Define("tablet.refused_say", "The shop says why. Put the entry right, send it again once the reason is gone, or drop it.")
	wordRight    = say.Define("tablet.put_right", "Put it right")
	wordAgain    = say.Define("tablet.send_again", "Send again")
	wordDrop     = say.Define("tablet.drop", "Drop it")
	wordSure     = say.Define("tablet.drop_sure", "Drop it for good")
	wordNow      = say.Define("tablet.send_now", "Send now")
	wordPhoto    = say.Define("tablet.photo", "Photo")
	wordJobs     = say.Define("tablet.jobs", "Jobs that open without network")
	wordJobsSay  = say.Define("tablet.jobs_say", "A job that was opened once on this tablet stays usable. What others wrote since then shows when the network is back.")
	wordNoJobs   = say.Define("tablet.no_jobs", "None yet: open a job while there is network.")
	wordNoCopies = say.Define("tablet.no_copies", "This browser keeps no pages here: it does so only over TLS (https://) with the shop's certificate installed, or on the machine of the shop itself. Entries are kept all the same as long as the page stays open.")
	wordScript   = say.Define("tablet.script", "This list needs the script of the page.")
)
