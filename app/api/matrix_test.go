package api

import (
	"encoding/json"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"pumpwright/app/access"
)

// needs names what each operation of the document takes, stated again here:
// the routes say nothing of it, package shop alone decides.
var needs = map[string][]access.Operation{
	"who-am-i": {}, "list-calculators": {}, "get-calculator": {}, "run-calculator": {},
	"list-jobs": {access.ListJobs}, "get-job": {access.ReadJob}, "get-assessment": {access.ReadJob}, "list-entries": {access.ReadJob},
	"list-files": {access.ReadJob}, "get-file": {access.ReadPapers, access.ReadJob},
	"receive-pump": {access.Receive}, "add-entry": {access.WriteNote, access.ReadJob}, "void-entry": {access.VoidOwn, access.ReadJob},
	"add-photo": {access.WriteNote, access.ReadJob}, "add-paper": {access.WriteNote, access.ReadJob},
	"list-pumps": {access.ReadPumps}, "get-pump": {access.ReadPumps}, "save-pump": {access.Receive}, "search": {access.Search},
	"list-sheets": {access.ReadSheets}, "get-sheet": {access.ReadSheets}, "list-sheet-versions": {access.ReadSheets}, "save-sheet": {access.WriteSheets},
	"list-services": {access.ReadSheets}, "get-service": {access.ReadSheets}, "list-service-versions": {access.ReadSheets}, "save-service": {access.WriteSheets},
	"list-liquids": {access.ReadSheets}, "get-liquid": {access.ReadSheets}, "list-liquid-versions": {access.ReadSheets}, "save-liquid": {access.WriteSheets},
	"list-instruments": {access.ReadShop}, "save-instrument": {access.WriteTools}, "get-stock": {access.ReadShop}, "move-stock": {access.WriteStock},
	"get-settings": {access.ReadShop}, "save-settings": {access.Settle}, "get-backup": {access.ReadShop},
	"list-people": {access.WritePeople}, "save-person": {access.WritePeople},
	"list-links": {access.Share}, "share-job": {access.Share, access.ReadJob}, "end-link": {access.Share},
	"check-sheet": {access.ReadSheets}, "check-service": {access.ReadSheets}, "check-liquid": {access.ReadSheets},
	"set-password": {access.WritePeople}, "set-pin": {access.WritePeople}, "forget-person": {access.WritePeople},
	"list-sign-ins": {access.WritePeople}, "end-sign-ins": {access.WritePeople},
	"add-tablet": {access.WritePeople}, "list-tablets": {access.WritePeople}, "end-tablet": {access.WritePeople},
	"which-pump": {access.ReadSheets}, "try-entry": {access.WriteNote, access.ReadJob},
	"get-report-pdf": {access.ReadJob}, "draft-quote": {access.Quote, access.ReadJob}, "list-quotes": {access.ReadJob}, "get-quote-pdf": {access.ReadJob},
	"get-job-shelf": {access.ReadShop, access.ReadJob}, "put-left-over": {access.WriteStock, access.ReadJob},
	"get-pump-history": {access.ReadPumps}, "get-pump-history-pdf": {access.ReadPumps}, "write-meter": {access.Receive},
	"get-fleet": {access.ReadPumps}, "list-due": {access.ReadPumps}, "get-due-calendar": {access.ReadPumps},
	"share-calendar": {access.Share, access.ReadPumps}, "list-calendars": {access.Share}, "get-learned": {access.ReadPumps}, "get-review-pdf": {access.ReadPumps},
	"take-table": {access.Exchange}, "get-table": {access.Exchange, access.ReadPumps}, "get-entries": {access.Exchange}, "get-archive": {access.Exchange}, "put-archive": {access.Exchange, access.Settle},
	"list-tokens": {access.WriteTokens}, "add-token": {access.WriteTokens}, "end-token": {access.WriteTokens},
	"list-hooks": {access.WriteHooks}, "add-hook": {access.WriteHooks}, "drop-hook": {access.WriteHooks}, "list-deliveries": {access.WriteHooks},
}

// named are the operations that name something which belongs to one site.
var named = []string{
	"get-job", "get-assessment", "list-entries", "list-files", "get-file", "add-entry", "void-entry", "add-photo", "add-paper",
	"try-entry", "get-report-pdf", "draft-quote", "list-quotes", "get-quote-pdf", "get-job-shelf", "put-left-over",
	"get-pump", "get-pump-history", "get-pump-history-pdf", "write-meter", "get-sheet", "list-sheet-versions", "get-service", "list-service-versions", "get-liquid", "list-liquid-versions",
}

// furnished is a bench at which a lead has written everything once.
func furnished(t *testing.T) (*bench, []call) {
	t.Helper()
	b := newBench(t, Config{Rate: Rate{AtOnce: 1e6, PerSecond: 1e6}})
	calls, photo := b.calls(), ""
	for i := range calls {
		c := &calls[i]
		c.path = strings.Replace(c.path, "{photo}", photo, 1)
		w := b.do(b.lead(), *c)
		if w.Code != c.status {
			t.Fatalf("%s: status %d: %s", c.operation, w.Code, w.Body)
		}
		if c.operation == "add-photo" {
			var a struct {
				Entry struct{ Body struct{ Blob string } }
			}
			if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
				t.Fatal(err)
			}
			photo = a.Entry.Body.Blob
		}
	}
	return b, calls
}

// Every operation with every role and every grant: what may be done is exactly
// what the table of permits and the grants say.
func TestMatrix(t *testing.T) {
	b, calls := furnished(t)
	for _, c := range calls {
		if _, stated := needs[c.operation]; !stated {
			t.Fatalf("what %s takes is not stated", c.operation)
		}
	}
	tries := 0
	try := func(role access.Role, grants ...access.Grant) {
		token := b.token(demoSite, []access.Role{role}, grants...)
		for _, c := range calls {
			may := true
			for _, need := range needs[c.operation] {
				may = may && access.May([]access.Role{role}, need) && access.Within(grants, need)
			}
			w := b.do(token, c)
			tries++
			switch {
			case w.Code == 401 || w.Code >= 500 || w.Code == 429:
				t.Errorf("%s as %s with %v: status %d: %s", c.operation, role, grants, w.Code, w.Body)
			case !may && w.Code != 403:
				t.Errorf("%s as %s with %v is not refused: status %d: %s", c.operation, role, grants, w.Code, w.Body)
			case may && w.Code == 403 && c.operation != "void-entry": // the entry is another's, and struck out already
				t.Errorf("%s as %s with %v is refused: %s", c.operation, role, grants, w.Body)
			case may && w.Code == 404 && !access.OwnJobsOnly([]access.Role{role}):
				t.Errorf("%s as %s with %v is not found", c.operation, role, grants)
			}
			if access.OwnJobsOnly([]access.Role{role}) && strings.Contains(c.path, "J-") && w.Code/100 == 2 {
				t.Errorf("%s as %s gives a job of another owner", c.operation, role)
			}
		}
	}
	for _, role := range access.Roles() {
		try(role, everything...)
		try(role)
		for _, g := range access.Grants() {
			try(role, g)
		}
	}
	t.Logf("%d operations, %d requests", len(calls), tries)
}

// Who belongs to another site sees and changes nothing here, whatever his
// roles are there.
func TestOtherSite(t *testing.T) {
	b, calls := furnished(t)
	before := b.everything(calls)
	stranger := b.token(otherSite, access.Roles(), everything...)
	mine := slices.Clone(calls) // what he keeps of his own comes last: it may have the same names
	slices.SortStableFunc(mine, func(a, b call) int {
		return strings.Compare(strings.Replace(a.method, "PUT", "~", 1), strings.Replace(b.method, "PUT", "~", 1))
	})
	for _, c := range mine {
		w := b.do(stranger, c)
		if slices.Contains(named, c.operation) && w.Code != 404 {
			t.Errorf("%s: status %d: %s", c.operation, w.Code, w.Body)
		}
		for _, ours := range []string{"J-2063", "J-2057", "KQ-0187", "demo-mira", "Mira Vance", "host.example"} {
			if c.operation != "add-hook" && strings.Contains(w.Body.String(), ours) {
				t.Errorf("%s tells of %s", c.operation, ours)
			}
		}
		b.clock.pass(time.Second)
	}
	after := b.everything(calls)
	for i := range before {
		if calls[i].operation == "get-archive" { // it carries when it was made; its entries are those of get-entries
			continue
		}
		if before[i].Body.String() != after[i].Body.String() {
			t.Errorf("another site changed what %s gives", calls[i].operation)
		}
	}
}

// everything reads all that can be read, in the order of the calls.
func (b *bench) everything(calls []call) []*httptest.ResponseRecorder {
	list := make([]*httptest.ResponseRecorder, len(calls))
	for i, c := range calls {
		list[i] = httptest.NewRecorder()
		if c.method == "GET" {
			list[i] = b.do(b.lead(), c)
		}
	}
	return list
}
