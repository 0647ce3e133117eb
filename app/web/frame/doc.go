// Package frame is what every page shares: who looks at it, what it asks of
// the shop, and the sheet around its content.
//
// A place is a room of app/web with a function Place() frame.Place. It names
// its addresses and the functions that answer them; app/web lists all places
// in places.go and nothing else has to know of them. A function gets a
// *Visit: the request, the person, the way numbers are shown, the shop.
//
//	func Place() frame.Place {
//		return frame.Place{Name: wordBench, Routes: []frame.Route{{Pattern: "GET /job/{job}", Handle: show}}}
//	}
//
// A page is built of zones: elements with data-zone and an id. The script of
// the page replaces zones when somebody else has written something, and after
// an entry of its own; what is being typed stays.
//
// Entries are forms whose field names say where a value goes in the body of
// the entry (see package part, Form). Without the script the form is posted
// as it is; with it the same entry goes as JSON with its own id, and waits in
// the browser until the shop has taken it.
package frame
