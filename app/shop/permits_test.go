package shop

import (
	"context"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
)

// operation is one exported method of Shop that takes a scope.
type operation struct {
	method string
	needs  access.Operation
	link   bool // whoever holds a link to the job may do it
	run    func(ctx context.Context, s *Shop, sc Scope) error
}

// operations lists every one of them; TestEveryOperation finds what is missing.
func operations(t *testing.T) []operation {
	text := body(t, job.Note{Text: "x"})
	add := func(kind string, v any) func(context.Context, *Shop, Scope) error {
		return func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.Add(ctx, sc, "J-2063", NewEntry{Kind: kind, Body: body(t, v)})
			return err
		}
	}
	list := []operation{
		{"Job", access.ReadJob, true, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Job(ctx, sc, "J-2063"); return err }},
		{"Jobs", access.ListJobs, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Jobs(ctx, sc, JobQuery{}); return err }},
		{"Quotes", access.ReadJob, true, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Quotes(ctx, sc, "J-2063"); return err }},
		{"WhichPump", access.ReadSheets, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.WhichPump(ctx, sc, nil); return err }},
		{"DraftQuote", access.Quote, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, err := s.DraftQuote(ctx, sc, "J-2063", offer.Asked{Step: job.QuoteTeardown})
			return err
		}},
		{"FromShelf", access.ReadShop, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, err := s.FromShelf(ctx, sc, "J-2063")
			return err
		}},
		{"PutLeftOver", access.WriteStock, false, func(ctx context.Context, s *Shop, sc Scope) error { return s.PutLeftOver(ctx, sc, "J-2063", "nothing") }},
		{"Receive", access.Receive, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.Receive(ctx, sc, Receipt{Open: job.Open{Tag: "P-1"}})
			return err
		}},
		{"Void", access.VoidOwn, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.Void(ctx, sc, "J-2063", "", "nothing", "r", "")
			return err
		}},
		{"Sign", access.Sign, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.Sign(ctx, sc, "J-2063", "", job.Sign{Step: "nothing"}, "")
			return err
		}},
		{"Try", access.WriteNote, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.Try(ctx, sc, "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: "is it so"})})
			return err
		}},
		{"AddPhoto", access.WriteNote, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.AddPhoto(ctx, sc, "J-2063", NewPhoto{Content: strings.NewReader("x")})
			return err
		}},
		{"AddDocument", access.WriteNote, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.AddDocument(ctx, sc, "J-2063", NewDocument{Content: strings.NewReader("x")})
			return err
		}},
		{"File", access.ReadPapers, true, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.File(ctx, sc, "J-2063", "nothing", false)
			return err
		}},
		{"CheckPaper", access.ReadSheets, false, func(_ context.Context, s *Shop, sc Scope) error {
			_, err := s.CheckPaper(sc, Sheets, "x", "name: x")
			return err
		}},
		{"SavePaper", access.WriteSheets, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.SavePaper(ctx, sc, NewPaper{Kind: Services, Name: "x", Text: "name: x"})
			return err
		}},
		{"Papers", access.ReadSheets, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Papers(ctx, sc, Sheets); return err }},
		{"Paper", access.ReadSheets, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.Paper(ctx, sc, Sheets, "demo-pump-m", 0)
			return err
		}},
		{"PaperVersions", access.ReadSheets, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.PaperVersions(ctx, sc, Sheets, "demo-pump-m")
			return err
		}},
		{"SaveInstrument", access.WriteTools, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.SaveInstrument(ctx, sc, NewFact{}, map[string]any{"id": "X-1", "kind": "caliper"})
			return err
		}},
		{"Instruments", access.ReadShop, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Instruments(ctx, sc); return err }},
		{"MoveStock", access.WriteStock, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.MoveStock(ctx, sc, NewFact{}, ledger.KindStockIn, ledger.StockMove{Item: "x", Count: 1}, false)
			return err
		}},
		{"Stock", access.ReadShop, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Stock(ctx, sc); return err }},
		{"Settings", access.ReadShop, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Settings(ctx, sc); return err }},
		{"SaveSettings", access.Settle, false, func(ctx context.Context, s *Shop, sc Scope) error {
			return s.SaveSettings(ctx, sc, NewFact{}, map[string]any{"bench_temperature": "21 °C"})
		}},
		{"Past", access.ReadPumps, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Past(ctx, sc); return err }},
		{"WriteMeter", access.Receive, false, func(ctx context.Context, s *Shop, sc Scope) error {
			return s.WriteMeter(ctx, sc, NewFact{}, "KQ-0187", "meter", map[string]any{"hours": 100})
		}},
		{"ShareCalendar", access.Share, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, err := s.ShareCalendar(ctx, sc, 0, "")
			return err
		}},
		{"CalendarLinks", access.Share, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.CalendarLinks(ctx, sc); return err }},
		{"Refill", access.Settle, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Refill(ctx, sc); return err }},
		{"Exchange", access.Exchange, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Exchange(ctx, sc); return err }},
		{"Ledger", access.ReadShop, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Ledger(ctx, sc); return err }},
		{"SavePump", access.Receive, false, func(ctx context.Context, s *Shop, sc Scope) error {
			return s.SavePump(ctx, sc, NewFact{}, Pump{Serial: "S-1"})
		}},
		{"Learned", access.ReadPumps, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Learned(ctx, sc); return err }},
		{"Pumps", access.ReadPumps, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Pumps(ctx, sc, "", 9); return err }},
		{"Pump", access.ReadPumps, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, _, err := s.Pump(ctx, sc, "KQ-0187")
			return err
		}},
		{"Earlier", access.ReadPumps, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, err := s.Earlier(ctx, sc, "KQ-0187", "")
			return err
		}},
		{"Search", access.Search, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Search(ctx, sc, "x"); return err }},
		{"Names", access.ReadNames, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Names(ctx, sc); return err }},
		{"People", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.People(ctx, sc); return err }},
		{"SavePerson", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error {
			return s.SavePerson(ctx, sc, Person{ID: "new", Name: "New"})
		}},
		{"ForgetPerson", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error { return s.ForgetPerson(ctx, sc, "nobody") }},
		{"SetPassword", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error {
			return s.SetPassword(ctx, sc, "nobody", "", "a long password", "x")
		}},
		{"SetPIN", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error {
			return s.SetPIN(ctx, sc, "nobody", "", "2758", "x")
		}},
		{"SignIns", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.SignIns(ctx, sc, "nobody"); return err }},
		{"EndSignIns", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error { return s.EndSignIns(ctx, sc, "nobody", "") }},
		{"AddToken", access.WriteTokens, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, err := s.AddToken(ctx, sc, "balance", "nobody", []access.Grant{access.GrantRead}, 0)
			return err
		}},
		{"Tokens", access.WriteTokens, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Tokens(ctx, sc); return err }},
		{"EndToken", access.WriteTokens, false, func(ctx context.Context, s *Shop, sc Scope) error { return s.EndToken(ctx, sc, "nothing") }},
		{"AddHook", access.WriteHooks, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, err := s.AddHook(ctx, sc, "no address")
			return err
		}},
		{"Hooks", access.WriteHooks, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Hooks(ctx, sc); return err }},
		{"DropHook", access.WriteHooks, false, func(ctx context.Context, s *Shop, sc Scope) error { return s.DropHook(ctx, sc, "nothing") }},
		{"Deliveries", access.WriteHooks, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.Deliveries(ctx, sc, "nothing")
			return err
		}},
		{"PairingCode", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, err := s.PairingCode(ctx, sc, "bench")
			return err
		}},
		{"Tablets", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Tablets(ctx, sc); return err }},
		{"Unpair", access.WritePeople, false, func(ctx context.Context, s *Shop, sc Scope) error { return s.Unpair(ctx, sc, "nothing") }},
		{"Share", access.Share, false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, _, err := s.Share(ctx, sc, "J-2063", 48*time.Hour, "")
			return err
		}},
		{"Links", access.Share, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.Links(ctx, sc, "J-2063"); return err }},
		{"EndLink", access.Share, false, func(ctx context.Context, s *Shop, sc Scope) error { return s.EndLink(ctx, sc, "nothing") }},
		{"BackUp", access.Backup, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.BackUp(ctx, sc); return err }},
		{"BackupState", access.ReadShop, false, func(ctx context.Context, s *Shop, sc Scope) error { _, err := s.BackupState(ctx, sc); return err }},
		{"Remake", access.Settle, false, func(ctx context.Context, s *Shop, sc Scope) error { return s.Remake(ctx, sc) }},
		{"Add", "shout", false, func(ctx context.Context, s *Shop, sc Scope) error {
			_, err := s.Add(ctx, sc, "J-2063", NewEntry{Kind: "shout", Body: text})
			if err != nil { // refused for all: there is no such kind
				return denied("shout")
			}
			return nil
		}},
	}
	for kind, needs := range kindNeeds {
		list = append(list, operation{"Add", needs, false, add(kind, map[string]any{})})
	}
	return list
}

// TestMatrix: every operation with every role, nobody, a link and another
// site; what the table does not allow is denied, and nothing else is.
func TestMatrix(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	isDenied := func(err error) bool {
		var no *Denied
		return errors.As(err, &no)
	}
	for _, o := range operations(t) {
		name := o.method + " (" + string(o.needs) + ")"
		for _, role := range access.Roles() {
			sc := Scope{Site: demoSite, Person: "matrix", Roles: []access.Role{role}, Owner: "Tarn Hollow Refinery (invented)"}
			err := o.run(ctx, s, sc)
			allowed := access.May([]access.Role{role}, o.needs)
			if o.method == "SetPassword" || o.method == "SetPIN" { // these say it in their own words
				if allowed != isNotFound(err) {
					t.Errorf("%s for %s: %v", name, role, err)
				}
				continue
			}
			if isDenied(err) == allowed {
				t.Errorf("%s for %s: %v", name, role, err)
			}
		}
		for who, sc := range map[string]Scope{
			"nobody": {}, "no role": {Site: demoSite, Person: "x"}, "no site": {Person: "x", Roles: access.Roles()},
			"a role that is none": {Site: demoSite, Person: "x", Roles: []access.Role{"god"}},
			"a link":              {Site: demoSite, Roles: []access.Role{access.Customer}, Only: "job:J-2063"},
			"a link with roles":   {Site: demoSite, Roles: access.Roles(), Only: "job:J-2063"},
		} {
			err := o.run(ctx, s, sc)
			linked := sc.Only != "" && o.link
			if !linked && err == nil || linked && isDenied(err) {
				t.Errorf("%s for %s: %v", name, who, err)
			}
		}
	}
}

// TestEveryOperation: no method that takes a scope is missing above.
func TestEveryOperation(t *testing.T) {
	tested := map[string]bool{"Subscribe": true} // gives hints of the scope's own site only
	for _, o := range operations(t) {
		tested[o.method] = true
	}
	shop := reflect.TypeFor[*Shop]()
	for i := range shop.NumMethod() {
		m := shop.Method(i)
		takes := false
		for j := range m.Type.NumIn() {
			takes = takes || m.Type.In(j) == reflect.TypeFor[Scope]()
		}
		if takes && !tested[m.Name] {
			t.Errorf("%s takes a scope and is not in the matrix", m.Name)
		}
	}
}

// A site sees nothing of another, with all roles.
func TestOtherSite(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	if err := s.SetUpShop(ctx, SetUp{}); err == nil {
		t.Fatal("a shop with people was set up again")
	}
	sc := Scope{Site: "elsewhere", Person: "odell", Roles: access.Roles()}
	if _, err := s.Job(ctx, sc, "J-2063"); !errors.Is(err, ErrNotFound) {
		t.Errorf("reads the job: %v", err)
	}
	if _, err := s.Add(ctx, sc, "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: "x"})}); !errors.Is(err, ErrNotFound) {
		t.Errorf("writes to the job: %v", err)
	}
	if _, err := s.Paper(ctx, sc, Sheets, "demo-pump-m", 0); !errors.Is(err, ErrNotFound) {
		t.Errorf("reads the sheet: %v", err)
	}
	if list, err := s.Jobs(ctx, sc, JobQuery{}); err != nil || len(list) != 0 {
		t.Errorf("lists %v %v", list, err)
	}
	if hits, err := s.Search(ctx, sc, "p"); err != nil || len(hits) != 0 {
		t.Errorf("finds %v %v", hits, err)
	}
	if people, err := s.People(ctx, sc); err != nil || len(people) != 0 {
		t.Errorf("knows %v %v", people, err)
	}
}

// A customer sees the jobs of his own pumps and no other; a link opens one.
func TestCustomer(t *testing.T) {
	s, c := openDemo(t)
	ctx := t.Context()
	customer := Scope{Site: demoSite, Person: "c", Roles: []access.Role{access.Customer}, Owner: "Tarn Hollow Refinery (invented)"}
	if _, err := s.Job(ctx, customer, "J-2063"); err != nil {
		t.Errorf("his own: %v", err)
	}
	if _, err := s.Job(ctx, customer, "J-2057"); !errors.Is(err, ErrNotFound) {
		t.Errorf("another's: %v", err)
	}
	groups, err := s.Jobs(ctx, customer, JobQuery{})
	if err != nil || len(groups) != 1 || groups[0].Count != 1 || groups[0].Rows[0].Job != "J-2063" {
		t.Errorf("%+v %v", groups, err)
	}
	customer.Owner = ""
	if groups, err := s.Jobs(ctx, customer, JobQuery{}); err != nil || len(groups) != 0 {
		t.Errorf("a customer of nobody lists %+v %v", groups, err)
	}
	if _, err := s.Job(ctx, customer, "J-2063"); !errors.Is(err, ErrNotFound) {
		t.Errorf("a customer of nobody reads: %v", err)
	}

	token, link, err := s.Share(ctx, as(t, s, "ines"), "J-2041", 7*24*time.Hour, "report")
	if err != nil {
		t.Fatal(err)
	}
	sc, name, err := s.OpenLink(ctx, token)
	if err != nil || name != "J-2041" {
		t.Fatalf("%s %v", name, err)
	}
	if j, err := s.Job(ctx, sc, "J-2041"); err != nil || j.Assessment == nil {
		t.Errorf("by the link: %v", err)
	}
	if _, err := s.Job(ctx, sc, "J-2063"); !errors.Is(err, ErrNotFound) {
		t.Errorf("another job by the link: %v", err)
	}
	for _, bad := range []string{"", "x", token[1:], access.Kept(token)} {
		if _, _, err := s.OpenLink(ctx, bad); err == nil {
			t.Errorf("token %q opens", bad)
		}
	}
	if links, err := s.Links(ctx, as(t, s, "ines"), "J-2041"); err != nil || len(links) != 1 || links[0].ID != link.ID {
		t.Errorf("%+v %v", links, err)
	}
	second, _, err := s.Share(ctx, as(t, s, "ines"), "J-2041", 24*time.Hour, "")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.EndLink(ctx, as(t, s, "ines"), link.ID); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.OpenLink(ctx, token); err == nil {
		t.Error("an ended link opens")
	}
	c.pass(25 * time.Hour)
	if _, _, err := s.OpenLink(ctx, second); err == nil {
		t.Error("an old link opens")
	}
	for _, holds := range []time.Duration{0, -time.Hour, 400 * 24 * time.Hour} {
		if _, _, err := s.Share(ctx, as(t, s, "ines"), "J-2041", holds, ""); err == nil {
			t.Errorf("a link holds %v", holds)
		}
	}
}
