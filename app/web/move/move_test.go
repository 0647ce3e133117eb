package move_test

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
)

// upload sends a file as a form does.
func upload(t *testing.T, b *webtest.Browser, path, name, content string, fields ...string) webtest.Answer {
	t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for i := 0; i+1 < len(fields); i += 2 {
		if err := w.WriteField(fields[i], fields[i+1]); err != nil {
			t.Fatal(err)
		}
	}
	part, err := w.CreateFormFile("file", name)
	if err == nil {
		_, err = part.Write([]byte(content))
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.Send(path, w.FormDataContentType(), &body)
}

// looked uploads a table and returns its page and address.
func looked(t *testing.T, b *webtest.Browser, about, name, content string) (webtest.Answer, string) {
	t.Helper()
	a := upload(t, b, "/tables/upload", name, content, "about", about)
	if a.Status != http.StatusSeeOther {
		t.Fatalf("%s: %d\n%.400s", about, a.Status, a.Text)
	}
	return b.Get(a.Goes), strings.SplitN(a.Goes, "?", 2)[0]
}

// kept presses the button and follows to the end.
func kept(t *testing.T, b *webtest.Browser, address string, fields ...string) string {
	t.Helper()
	a := b.Post(address, fields...)
	if a.Status != http.StatusSeeOther {
		t.Fatalf("%d\n%.600s", a.Status, a.Text)
	}
	for range 200 {
		if a = b.Get(a.Goes); a.Status == http.StatusSeeOther {
			return b.Get(a.Goes).Text
		}
		if a.Header.Get("Refresh") == "" {
			break
		}
		a.Goes = strings.Replace(address, "/read/", "/taking/", 1)
	}
	t.Fatalf("%d\n%.600s", a.Status, a.Text)
	return ""
}

// Old jobs come in from tables of somebody else's words: pumps, jobs, then the
// readings of jobs closed long ago, and their pump has a history of wear.
func TestTablesComeIn(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	page, at := looked(t, lead, "pumps", "machines.csv", "Serial Number,Position,Customer,Start\nZZ-1,P-900,Quay Works,2019-01-01\n")
	if !strings.Contains(page.Text, "1 row of machines.csv: 1 entry to keep") || !strings.Contains(page.Text, `<option value="Position" selected>`) {
		t.Fatalf("the columns are not found by their names\n%.900s", page.Text)
	}
	about := []string{"about", "pumps"}
	if text := kept(t, lead, at, about...); !strings.Contains(text, "Kept 1 entry; 0 were here already") {
		t.Errorf("%.400s", text)
	}
	_, at = looked(t, lead, "jobs", "jobs.csv", "job,serial,tag,opened,closed,model\nZ-1,ZZ-1,P-900,2020-01-01,2020-01-20,demo-pump-m\nZ-2,ZZ-1,P-900,2022-01-01,2022-01-20,demo-pump-m\n")
	if text := kept(t, lead, at, "about", "jobs"); !strings.Contains(text, "Kept 6 entries") {
		t.Errorf("%.400s", text)
	}
	// a column whose name says nothing: the page asks, and reads it when told
	readings := "Auftrag;Mass;wert;Zustand;Tag\nZ-1;idler-pin-od;39,98 mm;as-left;2020-01-20\nZ-2;idler-pin-od;39,95 mm;as-found;2022-01-02\n"
	page, at = looked(t, lead, "readings", "readings.csv", readings)
	if !strings.Contains(page.Text, `role="alert"`) || !strings.Contains(page.Text, "“job”") || strings.Contains(page.Text, "Keep all of it") {
		t.Errorf("nothing asks for the column\n%.900s", page.Text)
	}
	mapping := url.Values{"about": {"readings"}, "said": {"yes"}, "column job": {"Auftrag"}, "column feature": {"Mass"}, "column value": {"wert"}, "column state": {"Zustand"}, "column day": {"Tag"}}
	page = lead.Get(at + "?" + mapping.Encode())
	if !strings.Contains(page.Text, "2 entries to keep") || !strings.Contains(page.Text, "Keep all of it") || !strings.Contains(page.Text, "job:Z-2") {
		t.Fatalf("the columns that were said are not read\n%.1500s", page.Text)
	}
	var fields []string
	for name, v := range mapping {
		fields = append(fields, name, v[0])
	}
	if strings.Contains(page.Text, `name="confirmed"`) {
		if a := lead.Post(at, fields...); a.Status != http.StatusUnprocessableEntity {
			t.Errorf("unlikely readings are kept though nobody said that they are right: %d", a.Status)
		}
		fields = append(fields, "confirmed", "yes")
	}
	if text := kept(t, lead, at, fields...); !strings.Contains(text, "Kept 2 entries; 0 were here already") {
		t.Errorf("%.400s", text)
	}
	// the same file again changes nothing
	_, at = looked(t, lead, "readings", "readings.csv", readings)
	if text := kept(t, lead, at, fields...); !strings.Contains(text, "Kept 0 entries; 2 were here already") {
		t.Errorf("%.400s", text)
	}
	life := lead.Get("/pump/ZZ-1").Text
	if !strings.Contains(life, "Wear over running hours") || !strings.Contains(life, "Z-2") {
		t.Errorf("no history of wear\n%.1500s", life)
	}
}

// What is wrong is named by line and column, and nothing of the file is taken.
func TestNothingHalf(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	for name, c := range map[string]struct{ about, table, says string }{
		"text for a number":     {"readings", "job,feature,value\nJ-2057,idler-pin-od,39.98 mm\nJ-2057,idler-pin-od,thick\n", "line 3, value"},
		"a formula":             {"readings", "job,feature,value\nJ-2057,idler-pin-od,39.98 mm\nJ-2057,idler-pin-od,=1+1\n", "line 3, value"},
		"a job that is not":     {"readings", "job,feature,value\nJ-2057,idler-pin-od,39.98 mm\nJ-9999,idler-pin-od,39.98 mm\n", "line 3"},
		"closed before opened":  {"jobs", "job,opened,closed\nN-1,2024-01-02,2024-02-01\nN-2,2024-05-02,2024-05-01\n", "line 3, closed"},
		"a day of two kinds":    {"jobs", "job,opened\nN-1,2024-01-02\nN-2,02/03/2024\n", "line 3, opened"},
		"less than none":        {"stock", "item,count\nbush,3\npin,-4\n", "line 3, count"},
		"failed before watched": {"lives", "time,entry\n400,0\n400,500\n", "line 3, entry"},
		"hours below nothing":   {"pumps", "serial,hours,hours on\nN-7,100,2024-01-01\nN-8,-5,2024-01-01\n", "line 3, hours"},
	} {
		page, at := looked(t, lead, c.about, "bad.csv", c.table)
		if !strings.Contains(page.Text, c.says) || strings.Contains(page.Text, "Keep all of it") {
			t.Errorf("%s: the page does not say where\n%.1200s", name, page.Text)
		}
		if a := lead.Post(at, "about", c.about); a.Status != http.StatusUnprocessableEntity {
			t.Errorf("%s: kept: %d", name, a.Status)
		}
	}
	if a := lead.Get("/job/N-1"); a.Status != http.StatusNotFound {
		t.Errorf("half a table was kept: %d", a.Status)
	}
	for name, content := range map[string]string{"no rows": "", "a picture": "\x89PNG\r\n\x1a\n\x00\x00\xff\xfe", "half a workbook": "PK\x03\x04 cut off"} {
		if page, _ := looked(t, lead, "pumps", "x.csv", content); !strings.Contains(page.Text, `role="alert"`) {
			t.Errorf("%s: %d", name, page.Status)
		}
	}
}

// Life data are computed with and not kept; one failure and none are answered.
func TestLives(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	// Kaplan–Meier and Weibull of a table: the numbers themselves are checked in
	// package life, against published data.
	var table strings.Builder
	table.WriteString("time,status\n")
	for i := range 40 {
		fmt.Fprintf(&table, "%d,%d\n", 500+137*i, min(1, i%4))
	}
	page, _ := looked(t, lead, "lives", "lives.csv", table.String())
	for _, want := range []string{"30 failed, 10 that had not", "A tenth have failed by", "<svg"} {
		if !strings.Contains(page.Text, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Contains(page.Text, "Keep all of it") {
		t.Error("lives are offered to be kept")
	}
	for name, table := range map[string]string{"one failure": "time,status\n900,1\n800,0\n", "all still run": "time,status\n900,0\n800,0\n"} {
		if page, _ := looked(t, lead, "lives", "lives.csv", table); page.Status != http.StatusOK || !strings.Contains(page.Text, "class=\"warn\"") {
			t.Errorf("%s: %d", name, page.Status)
		}
	}
}

// Everything goes out, as it can come in again; an archive comes back into a
// shop that is empty, and into no other.
func TestGivenOut(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	for _, table := range []string{"pumps", "jobs", "readings", "stock", "lives"} {
		if a := lead.Get("/tables/out/" + table + ".csv"); a.Status != http.StatusOK || !strings.HasPrefix(a.Header.Get("Content-Type"), "text/csv") || strings.Count(a.Text, "\n") < 1 {
			t.Errorf("%s: %d", table, a.Status)
		}
		a := lead.Get("/tables/out/" + table + ".xlsx")
		f, err := excelize.OpenReader(bytes.NewReader(a.Body))
		if err != nil {
			t.Errorf("%s: %v", table, err)
			continue
		}
		f.Close()
	}
	if a := lead.Get("/tables/out/nothing.csv"); a.Status != http.StatusNotFound {
		t.Errorf("%d", a.Status)
	}
	if a := lead.Get("/tables/entries.jsonl"); a.Status != http.StatusOK || strings.Count(a.Text, "\n") < 50 {
		t.Errorf("entries: %d", a.Status)
	}
	archive := lead.Get("/tables/archive.zip")
	if archive.Status != http.StatusOK {
		t.Fatalf("archive: %d", archive.Status)
	}
	if a := upload(t, lead, "/tables/archive", "shop.zip", string(archive.Body)); a.Status != http.StatusUnprocessableEntity || !strings.Contains(a.Text, "ere are jobs or pumps here already") {
		t.Errorf("into a shop that is not empty: %d", a.Status)
	}
	other := webtest.New(t, shop.Options{})
	ada := other.Browse()
	if a := ada.SignIn(webtest.Lead, webtest.Password); a.Status != http.StatusSeeOther {
		t.Fatalf("%d", a.Status)
	}
	if !strings.Contains(ada.Get("/tables").Text, "Put an archive back") {
		t.Error("an empty shop takes no archive")
	}
	bad := bytes.Clone(archive.Body)
	bad[len(bad)/2] ^= 1
	if a := upload(t, ada, "/tables/archive", "shop.zip", string(bad)); a.Status != http.StatusUnprocessableEntity {
		t.Errorf("a damaged archive: %d", a.Status)
	}
	if a := ada.Get("/job/J-2041"); a.Status != http.StatusNotFound {
		t.Errorf("half an archive: %d", a.Status)
	}
	if a := upload(t, ada, "/tables/archive", "shop.zip", string(archive.Body)); a.Status != http.StatusSeeOther || !regexp.MustCompile(`restored=[1-9]\d\d`).MatchString(a.Goes) {
		t.Fatalf("%d %s\n%.600s", a.Status, a.Goes, a.Text)
	}
	if a, b := ada.Get("/tables/entries.jsonl").Text, lead.Get("/tables/entries.jsonl").Text; !strings.Contains(a, `"stream":"job:J-2041"`) || len(a) < len(b)*9/10 {
		t.Errorf("%d bytes came back of %d", len(a), len(b))
	}
	if a := ada.Get("/job/J-2041"); a.Status != http.StatusOK && a.Status != http.StatusSeeOther {
		t.Errorf("%d", a.Status)
	}
}

// A technician takes no tables in and gives none out; nobody looks at the file
// of another.
func TestWhoMay(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	mira := s.As("mira")
	for _, path := range []string{"/tables", "/tables/out/pumps.csv", "/tables/entries.jsonl", "/tables/archive.zip"} {
		if a := mira.Get(path); a.Status != http.StatusForbidden {
			t.Errorf("%s: %d", path, a.Status)
		}
	}
	if a := upload(t, mira, "/tables/upload", "x.csv", "serial\nQ-1\n", "about", "pumps"); a.Status != http.StatusForbidden {
		t.Errorf("%d", a.Status)
	}
	_, at := looked(t, s.As("odell"), "pumps", "x.csv", "serial\nQ-1\n")
	if a := s.As("ines").Get(at + "?about=pumps"); a.Status == http.StatusOK {
		t.Error("somebody looks at the file of another")
	}
	if a := upload(t, s.As("odell"), "/tables/upload", "big.csv", strings.Repeat("serial\n", 5<<20), "about", "pumps"); a.Status != http.StatusUnprocessableEntity || !strings.Contains(a.Text, "larger than 30 MB") {
		t.Errorf("a file too large: %d", a.Status)
	}
}
