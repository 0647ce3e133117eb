package web

import (
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

var msgNoPaper = say.Define("web.no_paper_here", "The report as a PDF comes from the shop: it opens when the network is back. The page of the report says the same.")

func givePDF(*frame.Visit) error { return say.Refuse("", "", msgNoPaper.With(), say.Message{}) }
