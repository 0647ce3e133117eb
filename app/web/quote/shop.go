//go:build !js

package quote

import (
	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

var routes = []frame.Route{
	{Pattern: "GET /job/{job}/quote", Handle: show},
	{Pattern: "GET /job/{job}/quote/new", Handle: draft},
	{Pattern: "POST /job/{job}/quote/new", Handle: offerIt},
	{Pattern: "POST /job/{job}/quote/shelf", Handle: shelf},
	{Pattern: "POST /job/{job}/quote/left", Handle: left},
	{Pattern: "GET /job/{job}/quote/{number}", Handle: one},
	{Pattern: "GET /job/{job}/quote/{number}/pdf", Handle: pdf},
}

const stockHere = true

// shelf keeps pieces for the job, or says that they were fitted.
func shelf(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	count, err := readCount(v.PostForm.Get("count"))
	if err == nil {
		var a *shop.StockAnswer
		a, err = v.Shop.MoveStock(v.Context(), v.Visitor.Scope, shop.NewFact{ID: v.PostForm.Get("id")}, v.PostForm.Get("kind"),
			moveOf(v.PostForm.Get("item"), count, j.Name), v.PostForm.Get("confirmed") == "yes")
		if err == nil && !a.Kept {
			err = say.Refuse("count", v.PostForm.Get("count"), a.Warnings[0], msgOnStockPage.With())
		}
	}
	return goBack(v, j, err)
}

// left puts what is left over of a kit into stock.
func left(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	return goBack(v, j, v.Shop.PutLeftOver(v.Context(), v.Visitor.Scope, j.Name, v.PostForm.Get("part")))
}

func pdf(v *frame.Visit) error {
	j, s, err := standingOf(v)
	if err != nil {
		return err
	}
	o := report.Options{Size: document.A4, Style: v.View.Style, Created: s.Offer.At}
	if v.URL.Query().Get("size") == "letter" {
		o.Size = document.Letter
	}
	file, err := report.QuotePDF(j.Assessment, s.Offer.Body, o)
	if err != nil {
		return err
	}
	return v.GivePDF(s.Number, file)
}
