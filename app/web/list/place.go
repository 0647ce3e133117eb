// Package list is the way into the jobs: every open job by what it waits for.
package list

import (
	"net/url"

	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

// Place is the list of jobs.
func Place() frame.Place {
	return frame.Place{
		Menu: wordShop.With(), Address: "/",
		Routes: []frame.Route{{Pattern: "GET /{$}", Handle: show}},
	}
}

var (
	wordShop = say.Define("list.shop", "The shop")
	wordNone = say.Define("list.none", "No job is open.")
	wordNext = say.Define("list.next", "Next: {step:message}")
)

func show(v *frame.Visit) error {
	groups, err := v.Shop.Jobs(v.Context(), v.Visitor.Scope, shop.JobQuery{})
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordShop.With(), Plain: true, Body: page(v, groups)})
}

func address(name string) string { return "/job/" + url.PathEscape(name) }
