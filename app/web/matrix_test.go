package web_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/store"
	"pumpwright/app/web"
	"pumpwright/app/web/frame"
)

// question is how the matrix asks one route: what stands in its address and in its
// form, and what it takes, stated again here (the routes say nothing of it,
// package shop alone decides).
type question struct {
	path  string // with what is there in the invented shop
	form  string
	needs []access.Operation
	named bool // it names something that belongs to one site
	open  bool // anybody may, without a sign-in
	own   bool // everybody does it to himself
	late  bool // looks at its form before it looks at what it names
}

func takes(do ...access.Operation) []access.Operation { return do }

// asked has a row for each route. A route that is new fails until it has one.
var asked = map[string]question{
	"GET /{$}":                            {path: "/", needs: takes(access.ListJobs)},
	"GET /search":                         {path: "/search?q=gland", needs: takes(access.Search)},
	"GET /receive":                        {path: "/receive", needs: takes(access.ReadSheets)},
	"POST /receive":                       {path: "/receive", form: "tag=P-1", needs: takes(access.Receive)},
	"GET /receive/which":                  {path: "/receive/which", needs: takes(access.ReadSheets)},
	"GET /job/{job}":                      {path: "/job/J-2057", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/step/{step}":          {path: "/job/J-2057/step/measure-bore", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/read/{feature}":       {path: "/job/J-2057/read/casing-bore", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/part/{part}":          {path: "/job/J-2057/part/rotor", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/known":                {path: "/job/J-2057/known", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/entries":              {path: "/job/J-2057/entries", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/close":                {path: "/job/J-2057/close", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/together":             {path: "/job/J-2057/together", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/prove":                {path: "/job/J-2057/prove", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/why":                  {path: "/job/J-2057/why", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/outside":              {path: "/job/J-2057/outside", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/labels":               {path: "/job/J-2057/labels", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/marks/{photo}":        {path: "/job/J-2057/marks/{entry}", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/photo/{hash}":         {path: "/job/J-2057/photo/{photo}", needs: takes(access.ReadPapers), named: true},
	"GET /job/{job}/report":               {path: "/job/J-2057/report", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/report.pdf":           {path: "/job/J-2057/report.pdf", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/quote":                {path: "/job/J-2057/quote", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/quote/new":            {path: "/job/J-2057/quote/new", needs: takes(access.Quote), named: true},
	"GET /job/{job}/quote/{number}":       {path: "/job/J-2057/quote/1", needs: takes(access.ReadJob), named: true},
	"GET /job/{job}/quote/{number}/pdf":   {path: "/job/J-2057/quote/1/pdf", needs: takes(access.ReadJob), named: true},
	"POST /job/{job}/quote/new":           {path: "/job/J-2057/quote/new", form: "x=1", needs: takes(access.Quote), named: true},
	"POST /job/{job}/quote/shelf":         {path: "/job/J-2057/quote/shelf", form: "x=1", needs: takes(access.Quote), named: true},
	"POST /job/{job}/quote/left":          {path: "/job/J-2057/quote/left", form: "x=1", needs: takes(access.Quote), named: true},
	"POST /job/{job}/answer":              {path: "/job/J-2057/answer", form: "kind=reading", needs: takes(access.ReadJob), named: true, late: true},
	"POST /job/{job}/entry":               {path: "/job/J-2057/entry", form: "kind=note&t%2Ftext=x&from=%2F&next=%2F", needs: takes(access.WriteNote), named: true},
	"POST /job/{job}/photo":               {path: "/job/J-2057/photo", form: "x=1", needs: takes(access.WriteNote), named: true, late: true},
	"GET /job/{job}/share":                {path: "/job/J-2057/share", needs: takes(access.Share), named: true},
	"POST /job/{job}/share":               {path: "/job/J-2057/share", form: "days=2", needs: takes(access.Share), named: true},
	"POST /job/{job}/share/{link}/end":    {path: "/job/J-2057/share/none/end", needs: takes(access.Share)},
	"GET /instruments":                    {path: "/instruments", needs: takes(access.ReadShop)},
	"POST /instruments":                   {path: "/instruments", form: "id=", needs: takes(access.WriteTools)},
	"GET /instruments/{instrument}":       {path: "/instruments/{instrument}", needs: takes(access.ReadShop), named: true},
	"POST /instruments/{instrument}":      {path: "/instruments/{instrument}", form: "id=", needs: takes(access.WriteTools), named: true},
	"GET /stock":                          {path: "/stock", needs: takes(access.ReadShop)},
	"GET /stock/item":                     {path: "/stock/item?item=none", needs: takes(access.ReadShop)},
	"POST /stock/item":                    {path: "/stock/item", form: "item=none", needs: takes(access.WriteStock)},
	"POST /stock/move":                    {path: "/stock/move", form: "item=none", needs: takes(access.WriteStock)},
	"POST /stock/void":                    {path: "/stock/void", form: "entry=none", needs: takes(access.WriteStock)},
	"GET /papers":                         {path: "/papers", needs: takes(access.ReadSheets)},
	"GET /papers/{kind}/{name}":           {path: "/papers/sheet/demo-pump-m", needs: takes(access.ReadSheets), named: true},
	"POST /papers/{kind}/{name}":          {path: "/papers/sheet/demo-pump-m", form: "text=x&do=save", needs: takes(access.WriteSheets)},
	"GET /pumps":                          {path: "/pumps", needs: takes(access.ReadPumps)},
	"GET /pump/{name}":                    {path: "/pump/KQ-0187", needs: takes(access.ReadPumps), named: true},
	"GET /pump/{name}/history.pdf":        {path: "/pump/KQ-0187/history.pdf", needs: takes(access.ReadPumps), named: true},
	"POST /pump/{name}/meter":             {path: "/pump/KQ-0187/meter", form: "hours=x", needs: takes(access.Receive), named: true},
	"GET /review":                         {path: "/review", needs: takes(access.ReadPumps)},
	"GET /review.pdf":                     {path: "/review.pdf", needs: takes(access.ReadPumps)},
	"GET /learned":                        {path: "/learned", needs: takes(access.ReadPumps)},
	"GET /fleet":                          {path: "/fleet", needs: takes(access.ReadPumps)},
	"GET /due":                            {path: "/due", needs: takes(access.ReadPumps)},
	"GET /due/pumps-due.ics":              {path: "/due/pumps-due.ics", needs: takes(access.ReadPumps)},
	"POST /due/calendar":                  {path: "/due/calendar", form: "days=x", needs: takes(access.Share, access.ReadPumps)},
	"POST /due/calendar/{id}/end":         {path: "/due/calendar/none/end", needs: takes(access.Share)},
	"GET /calendar/{token}/pumps-due.ics": {path: "/calendar/none/pumps-due.ics", open: true},
	"GET /tables":                         {path: "/tables", needs: takes(access.Exchange)},
	"POST /tables/upload":                 {path: "/tables/upload", form: "x=1", needs: takes(access.Exchange)},
	"GET /tables/read/{id}":               {path: "/tables/read/none", needs: takes(access.Exchange)},
	"POST /tables/read/{id}":              {path: "/tables/read/none", form: "x=1", needs: takes(access.Exchange)},
	"GET /tables/taking/{id}":             {path: "/tables/taking/none", own: true},
	"GET /tables/out/{file}":              {path: "/tables/out/jobs.csv", needs: takes(access.Exchange)},
	"GET /tables/archive.zip":             {path: "/tables/archive.zip", needs: takes(access.Exchange)},
	"GET /tables/entries.jsonl":           {path: "/tables/entries.jsonl", needs: takes(access.Exchange)},
	"POST /tables/archive":                {path: "/tables/archive", form: "x=1", needs: takes(access.Exchange, access.Settle)},
	"GET /people":                         {path: "/people", needs: takes(access.WritePeople)},
	"POST /people":                        {path: "/people", form: "id=", needs: takes(access.WritePeople)},
	"POST /people-language":               {path: "/people-language", form: "language=xx", needs: takes(access.Settle)},
	"GET /people/{person}":                {path: "/people/mira", needs: takes(access.WritePeople), named: true},
	"POST /people/{person}":               {path: "/people/mira", form: "name=", needs: takes(access.WritePeople)},
	"POST /people/{person}/end":           {path: "/people/none/end", form: "do=x", needs: takes(access.WritePeople)},
	"POST /people/{person}/forget":        {path: "/people/none/forget", form: "sure=", needs: takes(access.WritePeople)},
	"POST /people/{person}/password":      {path: "/people/none/password", form: "password=x", needs: takes(access.WritePeople)},
	"POST /people/{person}/pin":           {path: "/people/none/pin", form: "pin=x", needs: takes(access.WritePeople)},
	"POST /people/{person}/sign-ins":      {path: "/people/none/sign-ins", form: "id=none", needs: takes(access.WritePeople)},
	"POST /tablets":                       {path: "/tablets", form: "name=", needs: takes(access.WritePeople)},
	"POST /tablets/{tablet}/end":          {path: "/tablets/none/end", needs: takes(access.WritePeople)},
	"GET /handbook":                       {path: "/handbook", own: true},
	"GET /handbook/{name}":                {path: "/handbook/glossary", own: true},
	"GET /handbook/{name}/{section}":      {path: "/handbook/results/gasket-stack", own: true},
	"GET /handbook-picture/{name}":        {path: "/handbook-picture/report-page.png", own: true},
	"GET /calculators":                    {path: "/calculators", own: true},
	"GET /calculators/{name}":             {path: "/calculators/convert", own: true},
	"POST /calculators/{name}":            {path: "/calculators/convert", form: "value=1+in&to=mm", own: true},
	"GET /waiting":                        {path: "/waiting", own: true},
	"GET /own":                            {path: "/own", own: true},
	"GET /sites":                          {path: "/sites", own: true},
	"POST /sites":                         {path: "/sites", form: "site=nowhere", own: true},
	"GET /live":                           {path: "/live", own: true},
	"POST /look":                          {path: "/look", form: "theme=dark&next=%2F", open: true},
	"GET /sign-in":                        {path: "/sign-in", open: true},
	"POST /sign-in":                       {path: "/sign-in", form: "person=nobody&password=wrong", open: true},
	"POST /sign-out":                      {path: "/sign-out", open: true},
	"GET /set-up":                         {path: "/set-up", open: true},
	"POST /set-up":                        {path: "/set-up", form: "shop=x&person=x&name=x&password=x", open: true},
	"POST /pair":                          {path: "/pair", form: "code=x", open: true},
	"GET /shared/{token}":                 {path: "/shared/none", open: true},
	"GET /shared/{token}/report.pdf":      {path: "/shared/none/report.pdf", open: true},
	"GET /shared/{token}/photo/{hash}":    {path: "/shared/none/photo/none", open: true},
}

// matrix is the invented shop behind a sign-in, with a second site beside it.
type matrix struct {
	t     *testing.T
	pages *web.Server
	shop  *shop.Shop
	photo string
	entry string // of the photo
	db    *store.DB
	tool  string
}

func newMatrix(t *testing.T) *matrix {
	t.Helper()
	ctx := t.Context()
	db, err := store.OpenMemory(ctx)
	if err != nil {
		t.Fatal(err)
	}
	m := &matrix{t: t, db: db, shop: shop.New(db, shop.Options{})}
	t.Cleanup(func() { _ = m.shop.Close() })
	if err := m.shop.LoadDemo(ctx); err != nil {
		t.Fatal(err)
	}
	if err := db.AddSite(ctx, store.Site{ID: "other", Name: "Another Dock (invented)", Created: 1}); err != nil {
		t.Fatal(err)
	}
	lead := shop.Scope{Site: "demo", Person: "odell", Roles: access.Roles()}
	var picture bytes.Buffer
	if err := pngOf(&picture); err != nil {
		t.Fatal(err)
	}
	a, err := m.shop.AddPhoto(ctx, lead, "J-2057", shop.NewPhoto{Content: &picture})
	if err != nil {
		t.Fatal(err)
	}
	m.entry = a.Entry.ID
	m.photo = a.Job.State.Photos[len(a.Job.State.Photos)-1].Body.Blob
	tools, err := m.shop.Instruments(ctx, lead)
	if err != nil || len(tools) == 0 {
		t.Fatal(tools, err)
	}
	m.tool = tools[0].ID
	m.pages = web.New(web.Config{Shop: m.shop})
	t.Cleanup(m.pages.Close)
	return m
}

const matrixPassword = "loud kettle on the quay"

// enter signs somebody in who has one role at a site.
func (m *matrix) enter(site string, roles ...access.Role) string {
	m.t.Helper()
	person := "m-" + site + "-" + string(roles[0]) + "-" + fmt.Sprint(len(roles))
	lead := shop.Scope{Site: site, Person: "root", Roles: access.Roles()}
	if err := m.shop.SavePerson(m.t.Context(), lead, shop.Person{ID: person, Name: person, Roles: roles, Owner: "nobody's"}); err != nil {
		m.t.Fatal(err)
	}
	if err := m.shop.SetPassword(m.t.Context(), lead, person, "", matrixPassword, "x"); err != nil {
		m.t.Fatal(err)
	}
	token, _, _, err := m.shop.SignIn(m.t.Context(), access.Attempt{Site: site, Person: person, Password: matrixPassword, Address: "x"})
	if err != nil {
		m.t.Fatal(err)
	}
	return token
}

func (m *matrix) do(method string, one question, token string, header ...string) *httptest.ResponseRecorder {
	m.t.Helper()
	path := strings.NewReplacer("{photo}", m.photo, "{entry}", m.entry, "{instrument}", url.PathEscape(m.tool)).Replace(one.path)
	r := httptest.NewRequest(method, "http://shop.example"+path, strings.NewReader(one.form))
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	if token != "" {
		r.AddCookie(&http.Cookie{Name: frame.SessionCookie, Value: token})
	}
	if path == "/live" {
		ctx, stop := contextThatEnds()
		defer stop()
		r = r.WithContext(ctx)
	}
	w := httptest.NewRecorder()
	m.pages.ServeHTTP(w, r)
	return w
}

// Every route with every role, with nobody, with another site, and from a page
// of somebody else: what may be done is what the table of permits says.
func TestMatrix(t *testing.T) {
	m := newMatrix(t)
	known := map[string]bool{}
	for _, r := range m.pages.Routes() {
		known[r.Pattern] = true
		if _, there := asked[r.Pattern]; !there {
			t.Errorf("%s has no row in the matrix", r.Pattern)
		}
	}
	for pattern := range asked {
		if !known[pattern] {
			t.Errorf("%s is in the matrix and not served", pattern)
		}
	}
	tries := 0
	each := func(do func(pattern, method string, one question)) {
		for pattern, one := range asked {
			method, _, _ := strings.Cut(pattern, " ")
			tries++
			do(pattern, method, one)
		}
	}
	each(func(pattern, method string, one question) { // nobody
		if w := m.do(method, one, ""); !one.open && w.Code/100 == 2 || w.Code >= 500 {
			t.Errorf("%s as nobody: status %d", pattern, w.Code)
		}
	})
	for _, role := range access.Roles() {
		token := m.enter("demo", role)
		each(func(pattern, method string, one question) {
			if one.open && method == http.MethodPost {
				return // signing out, and the like
			}
			_, mark, err := m.db.Since(t.Context(), "demo", 0)
			if err != nil {
				t.Fatal(err)
			}
			w := m.do(method, one, token)
			may := true
			for _, need := range one.needs {
				may = may && access.May([]access.Role{role}, need)
			}
			if written, _, err := m.db.Since(t.Context(), "demo", mark); !may && (err != nil || len(written) > 0) {
				t.Errorf("%s as %s wrote to %v: %v", pattern, role, written, err)
			}
			switch {
			case w.Code >= 500:
				t.Errorf("%s as %s: status %d: %.300s", pattern, role, w.Code, w.Body)
			case one.open || one.own:
			case !may && (w.Code/100 == 2 || w.Code/100 == 3 || w.Code == 422 && method == http.MethodGet):
				t.Errorf("%s as %s is not refused: status %d", pattern, role, w.Code)
			case may && w.Code == 403:
				t.Errorf("%s as %s is refused: %.300s", pattern, role, w.Body)
			case access.OwnJobsOnly([]access.Role{role}) && strings.Contains(one.path, "J-") && one.named && w.Code/100 == 2:
				t.Errorf("%s as %s gives a job of another owner", pattern, role)
			case may && one.named && w.Code == 404 && !access.OwnJobsOnly([]access.Role{role}) && !strings.Contains(one.path, "/quote/"):
				t.Errorf("%s as %s is not found: the row asks for nothing", pattern, role)
			}
		})
	}
	all := m.enter("other", access.Roles()...)
	each(func(pattern, method string, one question) {
		if one.open && method == http.MethodPost {
			return
		}
		w := m.do(method, one, all)
		if w.Code >= 500 || one.named && w.Code != 404 && !(one.late && w.Code == 422) {
			t.Errorf("%s from another site: status %d", pattern, w.Code)
		}
		for _, ours := range []string{"J-2041", "J-2063", "Mira Vance", "P-310"} {
			if strings.Contains(w.Body.String(), ours) {
				t.Errorf("%s tells another site of %s", pattern, ours)
			}
		}
	})
	lead := m.enter("demo", access.Roles()...)
	each(func(pattern, method string, one question) { // a page of another host sends a form
		if method != http.MethodPost {
			return
		}
		for _, header := range [][]string{{"Sec-Fetch-Site", "cross-site"}, {"Origin", "https://elsewhere.example"}} {
			if w := m.do(method, one, lead, header...); w.Code != 403 {
				t.Errorf("%s from another host (%v): status %d", pattern, header, w.Code)
			}
		}
	})
	t.Logf("%d routes, %d requests", len(asked), tries)
}

// hostile are texts that mean something to a page, a database, a file system, a
// spreadsheet or a log.
var hostile = []string{
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `'; DROP TABLE entries; --`, `../../etc/passwd`, `..\..\windows`, "a\x00b",
	"line\r\nSet-Cookie: x=1", "{{.}}", "${x}", "%s%n", "=1+1", "javascript:alert(1)", "\u202egpj.exe", strings.Repeat("A", 70_000), "\xff\xfe",
}

// Every field of every form and every part of every address takes hostile
// texts: no answer fails, none holds a tag that was typed, no header is made
// of them, and the shop is whole afterwards.
func TestHostileTexts(t *testing.T) {
	m := newMatrix(t)
	lead := m.enter("demo", access.Roles()...)
	fields := []string{"t/text", "note", "name", "id", "tag", "serial", "owner", "place", "complaint", "item", "text", "q", "reason", "days", "person", "password", "from", "next", "kind", "part", "entry", "hours", "draft", "seen"}
	for pattern, one := range asked {
		method, _, _ := strings.Cut(pattern, " ")
		if one.open && method == http.MethodPost || pattern == "GET /live" {
			continue
		}
		for _, text := range hostile {
			ask := one
			if method == http.MethodPost {
				form, _ := url.ParseQuery(one.form)
				for _, f := range fields {
					if f != "kind" || !strings.HasSuffix(pattern, "/entry") {
						form.Set(f, text)
					}
				}
				ask.form = form.Encode()
			} else {
				query := url.Values{}
				for _, f := range append(fields, "state", "feature", "plane", "angle", "by", "units", "size", "model", "cause", "tag", "version", "after") {
					query.Set(f, text)
				}
				if len(text) < 1000 {
					ask.path = strings.SplitN(one.path, "?", 2)[0] + "?" + query.Encode()
				}
			}
			w := m.do(method, ask, lead)
			page := w.Body.String()
			if w.Code >= 500 {
				t.Errorf("%s with %.40q: status %d: %.300s", pattern, text, w.Code, page)
			}
			if strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") && (strings.Contains(page, "<script>alert") || strings.Contains(page, "<img src=x")) {
				t.Errorf("%s with %.40q: the tag stands in the page", pattern, text)
			}
			if len(w.Header()["Set-Cookie"]) > 0 && strings.Contains(strings.Join(w.Header()["Set-Cookie"], ""), "x=1") {
				t.Errorf("%s with %.40q sets a cookie", pattern, text)
			}
			if to := w.Header().Get("Location"); to != "" && !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") {
				t.Errorf("%s with %.40q sends the browser to %s", pattern, text, to)
			}
		}
	}
	if damage, err := m.shop.Check(t.Context()); err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
}

func pngOf(out *bytes.Buffer) error { return png.Encode(out, image.NewGray(image.Rect(0, 0, 40, 30))) }

func contextThatEnds() (context.Context, context.CancelFunc) {
	return context.WithTimeout(context.Background(), 50*time.Millisecond)
}
