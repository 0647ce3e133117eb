package shop

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/calc/say"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// A new shop: set up once, people added, a tablet paired, people switch.
func TestSetUp(t *testing.T) {
	c := &clock{at: day}
	s, err := OpenMemory(t.Context(), Options{Now: c.now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	ctx := t.Context()
	if needed, err := s.NeedsSetUp(ctx); err != nil || !needed {
		t.Fatal(needed, err)
	}
	for name, u := range map[string]SetUp{
		"no shop": {Person: "a", Name: "A", Password: "a long password"}, "short password": {Shop: "S", Person: "a", Name: "A", Password: "short"},
		"bad id": {Shop: "S", Person: "a b", Name: "A", Password: "a long password"}, "no name": {Shop: "S", Person: "a", Password: "a long password"},
	} {
		if err := s.SetUpShop(ctx, u); say.AsProblem(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	u := SetUp{Shop: "Test shop", Person: "ada", Name: "Ada", Password: "a long password"}
	if err := s.SetUpShop(ctx, u); err != nil {
		t.Fatal(err)
	}
	if err := s.SetUpShop(ctx, u); say.AsProblem(err) == nil {
		t.Errorf("set up twice: %v", err)
	}
	token, ada, _, err := s.SignIn(ctx, access.Attempt{Person: "ada", Password: "a long password", Address: "x"})
	if err != nil || !ada.May(access.WritePeople) {
		t.Fatal(ada, err)
	}
	if sc, _, err := s.Resume(ctx, token); err != nil || sc.Person != "ada" || sc.Site != ada.Site {
		t.Errorf("%+v %v", sc, err)
	}
	if err := s.SavePerson(ctx, ada, Person{ID: "ada", Name: "Ada", Roles: []access.Role{access.Reader}}); say.AsProblem(err) == nil {
		t.Errorf("the last lead went: %v", err)
	}
	if err := s.ForgetPerson(ctx, ada, "ada"); say.AsProblem(err) == nil {
		t.Errorf("the last lead was forgotten: %v", err)
	}
	if err := s.SavePerson(ctx, ada, Person{ID: "bo", Name: "Bo", Roles: []access.Role{access.Technician}, Units: "inch"}); err != nil {
		t.Fatal(err)
	}
	if err := s.SetPIN(ctx, ada, "bo", "", "2758", "x"); err != nil {
		t.Fatal(err)
	}
	code, _, err := s.PairingCode(ctx, ada, "bench")
	if err != nil {
		t.Fatal(err)
	}
	secret, tablet, err := s.Pair(ctx, code, "x")
	if err != nil {
		t.Fatal(err)
	}
	_, site, people, err := s.TabletPeople(ctx, secret)
	if err != nil || site != ada.Site || len(people) != 1 || people[0].ID != "bo" {
		t.Errorf("%s %+v %v", site, people, err)
	}
	if _, _, _, err := s.TabletPeople(ctx, "guess"); !isNotFound(err) {
		t.Errorf("names without a tablet: %v", err)
	}
	_, bo, id, err := s.SignIn(ctx, access.Attempt{Person: "bo", PIN: "2758", Device: secret, Address: "x"})
	if err != nil || bo.Device != tablet.ID || bo.May(access.WritePeople) || id.Person.Units != "inch" {
		t.Fatalf("%+v %v", bo, err)
	}
	if err := s.SetPIN(ctx, bo, "bo", "", "2759", "x"); err == nil {
		t.Error("a PIN was changed without the password")
	}
	if err := s.SetPassword(ctx, ada, "ada", "wrong", "another password", "x"); say.AsProblem(err) == nil {
		t.Errorf("changed with a wrong password: %v", err)
	}
	if err := s.SetPassword(ctx, ada, "ada", "a long password", "another password", "x"); err != nil {
		t.Error(err)
	}
	if _, _, err := s.Resume(ctx, token); say.AsProblem(err) == nil {
		t.Errorf("the old sign-in holds: %v", err)
	}
	if list, err := s.SignIns(ctx, bo, "bo"); err != nil || len(list) != 1 || !list[0].ByPIN {
		t.Errorf("%+v %v", list, err)
	}
	if err := s.SavePerson(ctx, ada, Person{ID: "bo", Name: "Bo", Away: true}); err != nil {
		t.Fatal(err)
	}
	if list, err := s.SignIns(ctx, ada, "bo"); err != nil || len(list) != 0 {
		t.Errorf("away, still in: %+v %v", list, err)
	}
	if err := s.ForgetPerson(ctx, ada, "bo"); err != nil {
		t.Fatal(err)
	}
	if names, err := s.Names(ctx, ada); err != nil || names["bo"] != "a person who was forgotten" {
		t.Errorf("%v %v", names, err)
	}
}

func TestPapers(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	lead := as(t, s, "odell")
	first, err := s.Paper(ctx, lead, Sheets, "demo-pump-m", 0)
	if err != nil || first.Version != 1 || len(first.Findings.Problems()) > 0 || !first.Invented {
		t.Fatalf("%+v %v", first.Findings, err)
	}
	changed := first.Text + "\nnotes: [checked against the drawing]\n"
	if _, findings := sheet.Parse("x", []byte(changed)); len(findings.Problems()) > 0 {
		changed = first.Text + "\nunknown_field: kept\n"
	}
	second, err := s.SavePaper(ctx, lead, NewPaper{Kind: Sheets, Name: "demo-pump-m", Text: changed, Reason: "drawing seen"})
	if err != nil || second.Version != 2 {
		t.Fatalf("%+v %v", second.Version, err)
	}
	if old, err := s.Paper(ctx, lead, Sheets, "demo-pump-m", 1); err != nil || old.Text != first.Text {
		t.Errorf("version 1 changed: %v", err)
	}
	if all, err := s.PaperVersions(ctx, lead, Sheets, "demo-pump-m"); err != nil || len(all) != 2 || all[0].Reason != "drawing seen" {
		t.Errorf("%d %v", len(all), err)
	}
	draft, err := s.SavePaper(ctx, lead, NewPaper{Kind: Sheets, Name: "half", Text: "name: half\nfeatures: [{id: x}]\n"})
	if err != nil || len(draft.Findings.Problems()) == 0 || draft.Findings.Problems()[0].Line == 0 {
		t.Errorf("a half sheet: %+v %v", draft.Findings, err)
	}
	if _, err := s.Receive(ctx, as(t, s, "ines"), Receipt{Open: job.Open{Tag: "P"}, Sheet: "half"}); say.AsProblem(err) == nil || say.AsProblem(err).Field != "sheet" {
		t.Errorf("received with a half sheet: %v", err)
	}
	if _, err := s.Receive(ctx, as(t, s, "ines"), Receipt{Open: job.Open{Tag: "P"}, Sheet: "none"}); say.AsProblem(err) == nil {
		t.Errorf("received with no sheet: %v", err)
	}
	for name, n := range map[string]NewPaper{
		"another name": {Kind: Sheets, Name: "x", Text: first.Text}, "bad name": {Kind: Services, Name: "a/b", Text: "name: x"}, "kind": {Kind: "spell", Name: "x"},
		"long": {Kind: Services, Name: "x", Text: string(make([]byte, mostText+1))},
	} {
		if _, err := s.SavePaper(ctx, lead, n); say.AsProblem(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if list, err := s.Papers(ctx, lead, Sheets); err != nil || len(list) != len(sheet.DemoNames())+1 || list[0].Text != "" {
		t.Errorf("%d sheets %v", len(list), err)
	}
	if _, err := s.SavePaper(ctx, lead, NewPaper{Kind: Liquids, Name: "syrup", Text: "name: syrup\n"}); err != nil {
		t.Errorf("a liquid: %v", err)
	}
	// A running job keeps the version it was received with.
	if j, err := s.Job(ctx, lead, "J-2041"); err != nil || j.Assessment.Inputs.Sheet.Text != first.Text {
		t.Errorf("the job moved to another sheet by itself: %v", err)
	}
}

func TestLedger(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	lead := as(t, s, "odell")
	ledger, err := s.Ledger(ctx, lead)
	if err != nil || ledger.Find("OM-04") == nil {
		t.Fatalf("%+v %v", ledger, err)
	}
	want, err := demo.Shop()
	if err != nil || len(want.Instruments) != len(ledger.Instruments) {
		t.Errorf("%d instruments, want %d", len(ledger.Instruments), len(want.Instruments))
	}
	in, err := s.SaveInstrument(ctx, lead, NewFact{}, map[string]any{"id": "OM-04", "kind": "outside micrometer", "resolution": "0.001 mm", "due": "2027-11-30"})
	if err != nil || in.Version != 2 || in.Due != "2027-11-30" {
		t.Errorf("%+v %v", in, err)
	}
	if _, err := s.SaveInstrument(ctx, lead, NewFact{}, map[string]any{"id": "OM-05", "kind": "caliper", "due": "tomorrow"}); say.AsProblem(err) == nil || say.AsProblem(err).Field != "due" {
		t.Errorf("%v", err)
	}
	if err := s.SaveSettings(ctx, lead, NewFact{}, map[string]any{"bench_temperature": "hot"}); say.AsProblem(err) == nil {
		t.Errorf("%v", err)
	}
	if err := s.SaveSettings(ctx, lead, NewFact{}, map[string]any{"bench_temperature": "22 °C"}); err != nil {
		t.Fatal(err)
	}
	if ledger, err := s.Ledger(ctx, lead); err != nil || ledger.BenchAt.SI != 295.15 || ledger.Name != want.Name {
		t.Errorf("%+v %v", ledger, err)
	}
}

// A movement is written once however often it is sent, what cannot be is
// refused, what is unlikely is asked about; and a job takes what fits its sheet
// and is kept for nobody else.
func TestStock(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	lead := as(t, s, "odell")
	move := func(n NewFact, kind string, m ledger.StockMove) (*StockAnswer, error) {
		return s.MoveStock(ctx, lead, n, kind, m, false)
	}
	id := NewFact{ID: deriveID(day, "in", "x")}
	for range 2 {
		if got, err := move(id, ledger.KindStockIn, ledger.StockMove{Item: "paper 0.40", Count: 12}); err != nil || !got.Kept || got.Stock.Find("paper 0.40").OnHand != 12 {
			t.Fatalf("%+v %v", got, err)
		}
	}
	if _, err := s.MoveStock(ctx, lead, NewFact{}, ledger.KindStockItem, ledger.StockItem{Item: "pin-s", Part: "idler-pin", Sheet: "demo-pump-s"}, false); err != nil {
		t.Fatal(err)
	}
	for kind, m := range map[string]ledger.StockMove{ledger.KindStockCounted: {Item: "pin-s", Count: 3}, ledger.KindStockReserved: {Item: "paper 0.40", Count: 10, Job: "J-2057"}} {
		if got, err := move(NewFact{}, kind, m); err != nil || !got.Kept {
			t.Fatalf("%s: %+v %v", kind, got, err)
		}
	}
	if got, err := move(NewFact{}, ledger.KindStockUsed, ledger.StockMove{Item: "paper 0.40", Count: 3, Job: "J-2063"}); err != nil || got.Kept || len(got.Warnings) != 1 {
		t.Errorf("%+v %v", got, err)
	}
	for name, c := range map[string]struct {
		kind string
		m    ledger.StockMove
	}{
		"nothing":            {ledger.KindStockIn, ledger.StockMove{Item: "x"}},
		"less than none":     {ledger.KindStockCounted, ledger.StockMove{Item: "x", Count: -1}},
		"no item":            {ledger.KindStockIn, ledger.StockMove{Count: 1}},
		"far too many":       {ledger.KindStockIn, ledger.StockMove{Item: "x", Count: mostPieces + 1}},
		"no reason":          {ledger.KindStockCounted, ledger.StockMove{Item: "seal kit", Count: 5}},
		"an unknown kind":    {"counted", ledger.StockMove{Item: "x", Count: 1}},
		"a name of a screen": {ledger.KindStockIn, ledger.StockMove{Item: "a\nb", Count: 1}},
	} {
		if _, err := move(NewFact{}, c.kind, c.m); say.AsProblem(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	basis := func(sheet, name string) *ledger.Shop {
		t.Helper()
		a, err := s.Receive(ctx, as(t, s, "ines"), Receipt{Open: job.Open{Job: name, Tag: "T-" + name, Serial: "S-" + name, Owner: "Quay Works (invented)"}, Sheet: sheet})
		if err != nil {
			t.Fatal(err)
		}
		return a.Job.Assessment.Inputs.Shop
	}
	small, middle := basis("demo-pump-s", "J-9001"), basis("demo-pump-m", "J-9002")
	if small.Shelf["idler-pin"] != 3 || middle.Shelf["idler-pin"] != 0 || middle.Stock["paper 0.40"] != 2 || middle.Shelf["seal kit"] != 1 {
		t.Errorf("%v %v %v", small.Shelf, middle.Shelf, middle.Stock)
	}
	hits, err := s.Search(ctx, lead, "paper 0.40")
	if err != nil || len(hits) == 0 || hits[0].Kind != "stock" || hits[0].Ref != "paper 0.40" {
		t.Errorf("%+v %v", hits, err)
	}
}

func TestBackups(t *testing.T) {
	s, c := openDemo(t)
	ctx := t.Context()
	lead := as(t, s, "odell")
	if state, err := s.BackupState(ctx, lead); err != nil || !state.Warning.IsZero() {
		t.Errorf("a new shop is warned: %+v %v", state, err)
	}
	c.pass(49 * time.Hour)
	if state, err := s.BackupState(ctx, lead); err != nil || state.Warning.ID() != "shop.no_backup" {
		t.Errorf("%+v %v", state, err)
	}
	if _, err := addPhoto(t, s, asPNG(t, picture(20, 20))); err != nil {
		t.Fatal(err)
	}
	path, err := s.BackUp(ctx, lead)
	if err != nil {
		t.Fatal(err)
	}
	if state, err := s.BackupState(ctx, lead); err != nil || !state.Warning.IsZero() || state.Path != path {
		t.Errorf("%+v %v", state, err)
	}
	target := t.TempDir()
	if err := Restore(ctx, path, target); err != nil {
		t.Fatal(err)
	}
	back, err := OpenFolder(ctx, target, Options{Now: c.now})
	if err != nil {
		t.Fatal(err)
	}
	j, err := back.Job(ctx, lead, "J-2063")
	want, _ := s.Job(ctx, lead, "J-2063")
	if err != nil || j.Head != want.Head {
		t.Errorf("restored: %v", err)
	}
	if err := back.Close(); err != nil {
		t.Error(err)
	}
	for range keptBackups + 2 {
		c.pass(time.Minute)
		if _, err := s.BackUp(ctx, lead); err != nil {
			t.Fatal(err)
		}
	}
	if names, _ := filepath.Glob(filepath.Join(s.backups, "*.db")); len(names) != keptBackups || slices.Contains(names, path) {
		t.Errorf("%d backups are left", len(names))
	}
	c.pass(72 * time.Hour)
	if state, err := s.BackupState(ctx, lead); err != nil || state.Warning.ID() != "shop.old_backup" {
		t.Errorf("%+v %v", state, err)
	}
	// One that fails is said.
	s.backups = filepath.Join(target, "file")
	if err := os.WriteFile(s.backups, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := s.BackUp(ctx, lead); err == nil {
		t.Fatal("a backup into a file")
	}
	if state, err := s.BackupState(ctx, lead); err != nil || state.Warning.ID() != "shop.bad_backup" || state.Failure == "" {
		t.Errorf("%+v %v", state, err)
	}
}

func TestNightly(t *testing.T) {
	for _, c := range []struct {
		now, last string
		want      time.Duration
	}{
		{"2026-06-01 08:00", "2026-06-01 02:00", 18 * time.Hour},
		{"2026-06-01 01:00", "2026-05-31 02:00", time.Hour},
		{"2026-06-01 02:00", "2026-05-31 02:00", 24 * time.Hour},
		{"2026-06-01 08:00", "2026-05-31 02:00", 0},
		{"2026-06-01 08:00", "1970-01-01 00:00", 0},
	} {
		now, _ := time.Parse("2006-01-02 15:04", c.now)
		last, _ := time.Parse("2006-01-02 15:04", c.last)
		if got := nextNight(now, record.TimeOf(last)); got != c.want {
			t.Errorf("at %s, last %s: %v, want %v", c.now, c.last, got, c.want)
		}
	}
	s, _ := openDemo(t)
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		s.BackUpNightly(ctx, func(err error) { t.Error(err) })
	}()
	deadline := time.Now().Add(10 * time.Second)
	for {
		if state, err := s.BackupState(ctx, as(t, s, "odell")); err == nil && state.LastGood > 0 {
			break
		}
		if time.Now().After(deadline) {
			t.Fatal("no backup was made by itself")
		}
		time.Sleep(10 * time.Millisecond)
	}
	stop()
	<-done
}

// One who reads no hints is told to look at everything, and holds nobody up.
func TestSlowReader(t *testing.T) {
	s, _ := openDemo(t)
	sc := as(t, s, "mira")
	hints, leave := s.Subscribe(sc)
	other, leaveOther := s.Subscribe(Scope{Site: "elsewhere"})
	for i := range 10 * hintsKept {
		s.hints.publish(sc.Site, Hint{"job:x", int64(i)})
	}
	var last Hint
	missed := false
	for n := len(hints); n > 0; n-- {
		last = <-hints
		missed = missed || last == Hint{}
	}
	if !missed || last.Seq != 10*hintsKept-1 {
		t.Errorf("missed %v, last %+v", missed, last)
	}
	if len(other) > 0 {
		t.Error("another site heard of it")
	}
	leave()
	leave()
	leaveOther()
	if _, open := <-hints; open {
		t.Error("the channel is still open")
	}
}
