package web_test

import (
	"slices"
	"strings"
	"testing"

	"pumpwright/app/api"
	"pumpwright/app/shop"
	"pumpwright/app/web"
)

// asCalls says for each route of the pages which calls do the same, or, after a
// dash, why none does.
var asCalls = map[string]string{
	"GET /{$}":                            "list-jobs",
	"GET /search":                         "search",
	"GET /receive":                        "list-sheets list-services",
	"POST /receive":                       "receive-pump",
	"GET /receive/which":                  "which-pump",
	"GET /job/{job}":                      "get-job get-assessment",
	"GET /job/{job}/step/{step}":          "get-assessment",
	"GET /job/{job}/read/{feature}":       "get-assessment",
	"GET /job/{job}/part/{part}":          "get-assessment list-files",
	"GET /job/{job}/known":                "get-assessment",
	"GET /job/{job}/entries":              "list-entries",
	"GET /job/{job}/close":                "get-assessment",
	"GET /job/{job}/together":             "get-assessment",
	"GET /job/{job}/prove":                "get-assessment",
	"GET /job/{job}/why":                  "get-assessment",
	"GET /job/{job}/outside":              "get-assessment list-entries",
	"GET /job/{job}/labels":               "- a sheet to print; what stands on it is in get-job and get-assessment",
	"GET /job/{job}/marks/{photo}":        "get-file list-entries",
	"GET /job/{job}/photo/{hash}":         "get-file",
	"GET /job/{job}/report":               "get-assessment get-report-pdf",
	"GET /job/{job}/report.pdf":           "get-report-pdf",
	"GET /job/{job}/quote":                "list-quotes get-job-shelf get-assessment",
	"GET /job/{job}/quote/new":            "draft-quote",
	"POST /job/{job}/quote/new":           "add-entry",
	"POST /job/{job}/quote/shelf":         "move-stock",
	"POST /job/{job}/quote/left":          "put-left-over",
	"GET /job/{job}/quote/{number}":       "list-quotes",
	"GET /job/{job}/quote/{number}/pdf":   "get-quote-pdf",
	"POST /job/{job}/answer":              "try-entry",
	"POST /job/{job}/entry":               "add-entry void-entry",
	"POST /job/{job}/photo":               "add-photo",
	"GET /job/{job}/share":                "list-links",
	"POST /job/{job}/share":               "share-job",
	"POST /job/{job}/share/{link}/end":    "end-link",
	"GET /instruments":                    "list-instruments",
	"POST /instruments":                   "save-instrument",
	"GET /instruments/{instrument}":       "list-instruments",
	"POST /instruments/{instrument}":      "save-instrument",
	"GET /stock":                          "get-stock",
	"GET /stock/item":                     "get-stock",
	"POST /stock/item":                    "move-stock",
	"POST /stock/move":                    "move-stock",
	"POST /stock/void":                    "move-stock",
	"GET /papers":                         "list-sheets list-services list-liquids",
	"GET /papers/{kind}/{name}":           "get-sheet get-service get-liquid list-sheet-versions list-service-versions list-liquid-versions",
	"POST /papers/{kind}/{name}":          "check-sheet check-service check-liquid save-sheet save-service save-liquid",
	"GET /pumps":                          "list-pumps",
	"GET /pump/{name}":                    "get-pump get-pump-history",
	"GET /pump/{name}/history.pdf":        "get-pump-history-pdf",
	"POST /pump/{name}/meter":             "write-meter",
	"GET /review":                         "get-review-pdf",
	"GET /review.pdf":                     "get-review-pdf",
	"GET /learned":                        "get-learned",
	"GET /fleet":                          "get-fleet",
	"GET /due":                            "list-due list-calendars",
	"GET /due/pumps-due.ics":              "get-due-calendar",
	"POST /due/calendar":                  "share-calendar",
	"POST /due/calendar/{id}/end":         "end-link",
	"GET /calendar/{token}/pumps-due.ics": "- for a calendar that has the address and no token",
	"GET /tables":                         "get-table take-table",
	"POST /tables/upload":                 "take-table",
	"GET /tables/read/{id}":               "take-table",
	"POST /tables/read/{id}":              "take-table",
	"GET /tables/taking/{id}":             "- a call answers when all of it is taken in",
	"GET /tables/out/{file}":              "get-table",
	"GET /tables/archive.zip":             "get-archive",
	"GET /tables/entries.jsonl":           "get-entries",
	"POST /tables/archive":                "put-archive",
	"GET /people":                         "list-people list-tablets get-settings",
	"POST /people":                        "save-person",
	"POST /people-language":               "save-settings",
	"GET /people/{person}":                "list-people list-sign-ins",
	"POST /people/{person}":               "save-person",
	"POST /people/{person}/end":           "save-person",
	"POST /people/{person}/forget":        "forget-person",
	"POST /people/{person}/password":      "set-password",
	"POST /people/{person}/pin":           "set-pin",
	"POST /people/{person}/sign-ins":      "end-sign-ins",
	"POST /tablets":                       "add-tablet",
	"POST /tablets/{tablet}/end":          "end-tablet",
	"GET /handbook":                       "- the handbook, to be read; it lies in docs too",
	"GET /handbook/{name}":                "- the handbook",
	"GET /handbook/{name}/{section}":      "- the handbook",
	"GET /handbook-picture/{name}":        "- the handbook",
	"GET /calculators":                    "list-calculators",
	"GET /calculators/{name}":             "get-calculator",
	"POST /calculators/{name}":            "run-calculator",
	"GET /waiting":                        "- what one tablet has not sent yet: the shop does not know it",
	"GET /own":                            "who-am-i",
	"GET /sites":                          "- a token belongs to one site",
	"POST /sites":                         "- a token belongs to one site",
	"GET /live":                           "list-hooks add-hook",
	"POST /look":                          "- units and colours of one device; a call says its units",
	"GET /sign-in":                        "- a program shows its token",
	"POST /sign-in":                       "- a program shows its token",
	"POST /sign-out":                      "end-token",
	"GET /set-up":                         "- the first lead of a shop, before anybody can make a token",
	"POST /set-up":                        "- the first lead of a shop, before anybody can make a token",
	"POST /pair":                          "- ties the cookie of one tablet",
	"GET /shared/{token}":                 "- for somebody who has the link and no token",
	"GET /shared/{token}/report.pdf":      "- for somebody who has the link and no token",
	"GET /shared/{token}/photo/{hash}":    "- for somebody who has the link and no token",
}

// What a person can do on the pages a program can do too. A route of a page
// that is new fails until it has a row.
func TestPagesAsCalls(t *testing.T) {
	s, err := shop.OpenMemory(t.Context(), shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	pages := web.New(web.Config{Shop: s})
	defer pages.Close()
	calls, err := api.New(api.Config{Shop: s})
	if err != nil {
		t.Fatal(err)
	}
	var known []string
	for _, item := range calls.Document().Paths {
		if item.Get != nil {
			known = append(known, item.Get.OperationID)
		}
		if item.Post != nil {
			known = append(known, item.Post.OperationID)
		}
		if item.Put != nil {
			known = append(known, item.Put.OperationID)
		}
		if item.Delete != nil {
			known = append(known, item.Delete.OperationID)
		}
	}
	served := map[string]bool{}
	for _, r := range pages.Routes() {
		served[r.Pattern] = true
		if asCalls[r.Pattern] == "" {
			t.Errorf("%s has no call, and no reason why", r.Pattern)
		}
	}
	for pattern, row := range asCalls {
		if !served[pattern] {
			t.Errorf("%s is no route", pattern)
		}
		if strings.HasPrefix(row, "- ") {
			continue
		}
		for _, id := range strings.Fields(row) {
			if !slices.Contains(known, id) {
				t.Errorf("%s: there is no call %s", pattern, id)
			}
		}
	}
}
