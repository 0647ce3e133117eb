package people

import (
	"net/http"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

var (
	wordSites    = say.Define("people.sites", "Your sites")
	wordSitesSay = say.Define("people.sites_say", "Each site keeps its own pumps, jobs and people. On a page you see those of one.")
	wordSiteHere = say.Define("people.site_here", "{site}: you are here")
	wordSiteGo   = say.Define("people.site_go", "Go to {site}")
	wordOnlySite = say.Define("people.only_site", "You belong to one site. Whoever looks after the server can let you belong to others.")
)

// Sites is the place where somebody who belongs to several sites goes over.
func Sites() frame.Place {
	return frame.Place{Routes: []frame.Route{
		{Pattern: "GET /sites", Handle: showSites},
		{Pattern: "POST /sites", Handle: goOver},
	}}
}

func showSites(v *frame.Visit) error {
	var sites []shop.SiteOf
	if c, err := v.Cookie(frame.SessionCookie); err == nil { // the demonstration has none
		if sites, err = v.Shop.Sites(v.Context(), c.Value); err != nil {
			return err
		}
	}
	return v.Show(frame.Page{Title: wordSites.With(), Plain: true, Status: http.StatusOK, Body: sitesBody(v, sites)})
}

func goOver(v *frame.Visit) error {
	c, err := v.Cookie(frame.SessionCookie)
	if err != nil {
		return frame.ErrNobody
	}
	token, id, err := v.Shop.GoTo(v.Context(), c.Value, v.FormValue("site"))
	if err != nil {
		return err
	}
	v.SetCookie(frame.SessionCookie, token, time.Until(id.Expires))
	return v.Go("/")
}
