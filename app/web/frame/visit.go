package frame

import (
	"bytes"
	"context"
	"net"
	"net/http"
	"strings"
	"time"

	"github.com/a-h/templ"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
)

// Place is a room of the pages with its addresses.
type Place struct {
	Routes []Route
	// Menu is the word in the menu of the shop, empty for a place that is
	// reached from elsewhere; Address is where it leads. Needs is the
	// operation without which the line does not show.
	Menu    say.Message
	Address string
	Needs   access.Operation
}

// Route is one address, in the form of http.ServeMux. Every route is closed to
// whoever is not signed in, unless it is Open.
type Route struct {
	Pattern string
	Handle  func(*Visit) error
	Open    bool
	Most    int64 // bytes that may be sent; the usual number when 0
}

// Visit is one request with all that a page needs to answer it.
type Visit struct {
	http.ResponseWriter
	*http.Request
	Shop    *shop.Shop
	Visitor Visitor
	View    part.View
	Theme   string // "", paper, dark, contrast: "" follows the device
	Menu    []MenuLine
	Files   func(name string) string // address of an asset
	Secure  bool                     // served over TLS
	Address string                   // at which people reach the shop, as told; "" takes the address of the page
}

// MenuLine is one line of the shop's menu.
type MenuLine struct {
	Word    say.Message
	Address string
	Needs   access.Operation
}

// Home returns the address of this server for what leaves the page: labels,
// links. Here means that only this machine can open it.
func (v *Visit) Home() (address string, here bool) {
	if v.Address != "" {
		return v.Address, false
	}
	host := v.Host
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	here = strings.EqualFold(host, "localhost") || ip != nil && ip.IsLoopback()
	if v.Secure {
		return "https://" + v.Host, here
	}
	return "http://" + v.Host, here
}

// Context returns the context of the request.
func (v *Visit) Context() context.Context { return v.Request.Context() }

// Page is the content of the sheet.
type Page struct {
	Title  say.Message
	Job    *Job   // nil on pages of no job
	Here   string // which of the job's places this is: bench, close, known, report, entries
	Status int    // 200 when 0
	Body   templ.Component
	Plain  bool // running text in one column instead of zones
}

// Show answers with a page.
func (v *Visit) Show(p Page) error {
	header := v.ResponseWriter.Header()
	header.Set("Content-Type", "text/html; charset=utf-8")
	header.Set("Cache-Control", "no-store")
	if p.Status == 0 {
		p.Status = http.StatusOK
	}
	var page bytes.Buffer
	if err := sheet(v, p).Render(v.Context(), &page); err != nil {
		return err
	}
	return Send(v.ResponseWriter, v.Request, p.Status, page.Bytes())
}

// Go sends the browser to an address of ours after a form.
func (v *Visit) Go(address string) error {
	http.Redirect(v.ResponseWriter, v.Request, Local(address, "/"), http.StatusSeeOther)
	return nil
}

// Local returns the address when it lies on this server, else another.
func Local(address, otherwise string) string {
	if !strings.HasPrefix(address, "/") || strings.HasPrefix(address, "//") || strings.ContainsAny(address, "\\\r\n") {
		return otherwise
	}
	return address
}

// JobNamed returns the job of the address.
func (v *Visit) JobNamed() (*Job, error) {
	kept, err := v.Shop.Job(v.Context(), v.Visitor.Scope, v.PathValue("job"))
	if err != nil {
		return nil, err
	}
	j := &Job{Job: kept}
	if v.Visitor.May(access.ReadNames) {
		if j.names, err = v.Shop.Names(v.Context(), v.Visitor.Scope); err != nil {
			return nil, err
		}
	}
	if j.Assessment == nil {
		return j, j.NotAssessed
	}
	return j, nil
}

// SessionCookie holds the token of a sign-in.
const SessionCookie = "session"

// SetCookie keeps something in the browser that no script can read.
func (v *Visit) SetCookie(name, value string, holds time.Duration) {
	http.SetCookie(v.ResponseWriter, &http.Cookie{
		Name: name, Value: value, Path: "/", MaxAge: int(holds.Seconds()), HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: v.Secure,
	})
}
