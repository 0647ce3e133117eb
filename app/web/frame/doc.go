// Package frame is what every page shares: who looks at it, what it asks of
// the shop, and the sheet around its content.
//
// A place is a room of app/web with a function Place() frame.Place. It names
// its addresses and the functions that answer them, and has one line in
// places.go; nothing else has to know of it. A function gets a *Visit: the
// request, the person with the scope for the shop's operations, the way
// numbers are shown.
//
//	func Place() frame.Place {
//		return frame.Place{
//			Menu: wordTools.With(), Address: "/instruments", Needs: access.ReadShop,
//			Routes: []frame.Route{{Pattern: "GET /instruments", Handle: show}},
//		}
//	}
//
//	func show(v *frame.Visit) error {
//		list, err := v.Shop.Instruments(v.Context(), v.Visitor.Scope)
//		if err != nil {
//			return err // becomes a page that says what went wrong
//		}
//		return v.Show(frame.Page{Title: wordTools.With(), Plain: true, Body: page(v, list)})
//	}
//
// A page is built of zones: elements with data-zone and an id. The script of
// the page replaces zones when somebody else has written something, and after
// an entry of its own; a zone with data-form stays while somebody types in it.
// data-watch names a text that is marked when it changes under the reader,
// data-keep a part that stays unfolded.
//
// Entries to a job are forms made by Visit.EntryFor: their field names say
// where a value goes in the body of the entry (see package part). Without the
// script the form is posted as it is; with it the same entry goes as JSON with
// its own id and waits in the browser until the shop has taken it. An entry
// that is refused comes back with its form, what was typed and why. Forms that
// are no entries are plain forms, answered with Visit.Go or with their page and
// the problem.
package frame
