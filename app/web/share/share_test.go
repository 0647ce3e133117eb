package share_test

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/web/share"
	"pumpwright/app/web/webtest"
)

// clock is a clock that the test moves.
type clock struct {
	sync.Mutex
	ahead time.Duration
}

func (c *clock) now() time.Time {
	c.Lock()
	defer c.Unlock()
	return time.Now().Add(c.ahead)
}

func (c *clock) pass(d time.Duration) {
	c.Lock()
	defer c.Unlock()
	c.ahead += d
}

var (
	made  = regexp.MustCompile(`value="https?://[^/]+(` + share.Opens + `[^"]+)"`)
	ends  = regexp.MustCompile(`action="(/job/[^"]+/share/[^"]+/end)"`)
	leads = regexp.MustCompile(`(?:href|src|action)="([^"]*)"`)
)

// link makes a link to the report of a job.
func link(t *testing.T, b *webtest.Browser, job, days, note string) string {
	t.Helper()
	a := b.Post("/job/"+job+"/share", "days", days, "note", note)
	found := made.FindStringSubmatch(a.Text)
	if a.Status != http.StatusOK || found == nil {
		t.Fatalf("no link, status %d", a.Status)
	}
	if !strings.Contains(a.Text, "opens only on this machine") {
		t.Error("nothing is said of a link that opens on this machine only")
	}
	return found[1]
}

// closed reports whether an address opens nothing.
func closed(t *testing.T, s *webtest.Site, path string) {
	t.Helper()
	a := s.Browse().Get(path)
	if a.Status != http.StatusNotFound || !strings.Contains(a.Text, "Nothing opens here") || strings.Contains(a.Text, "J-20") {
		t.Errorf("%s: status %d", path, a.Status)
	}
}

// Whoever has the link reads the report of that job, and finds nothing on the
// page that leads on.
func TestOpens(t *testing.T) {
	c := &clock{}
	s := webtest.Demo(t, shop.Options{Now: c.now})
	lead := s.As("odell")
	path := link(t, lead, "J-2041", "7", "plant engineer")
	if text := lead.Get("/job/J-2041/share").Text; strings.Contains(text, path) || !strings.Contains(text, "plant engineer") {
		t.Error("the link shows again, or is not listed")
	}
	if text := lead.Get("/job/J-2057/share").Text; strings.Contains(text, "plant engineer") {
		t.Error("the link is listed at another job")
	}

	guest := s.Browse()
	a := guest.Get(path)
	if a.Status != http.StatusOK || !strings.Contains(a.Text, "J-2041") || !strings.Contains(a.Text, `class="report"`) {
		t.Fatalf("status %d: %.300s", a.Status, a.Text)
	}
	for _, other := range []string{"J-2057", "J-2063", "<script", "<form", "plant engineer"} {
		if strings.Contains(a.Text, other) {
			t.Errorf("the page holds %s", other)
		}
	}
	for _, l := range leads.FindAllStringSubmatch(a.Text, -1) {
		if !strings.HasPrefix(l[1], "/assets/") && l[1] != path+"/report.pdf" {
			t.Errorf("the page leads to %s", l[1])
		}
	}
	for name, want := range map[string]string{
		"Cache-Control": "no-store", "X-Robots-Tag": "noindex, nofollow, noarchive", "Referrer-Policy": "no-referrer", "X-Frame-Options": "DENY",
	} {
		if got := a.Header.Get(name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if a.Header.Get("Set-Cookie") != "" {
		t.Error("the page keeps something in the browser")
	}

	// the token opens nothing else, in no other form
	token := strings.TrimPrefix(path, share.Opens)
	for _, p := range []string{
		share.Opens + "nothing", share.Opens + token[1:], share.Opens + token + "A", share.Opens + strings.ToUpper(token), share.Opens + "J-2041",
	} {
		closed(t, s, p)
	}
	for _, p := range []string{path + "/J-2057", path + "/report", path + "X/report.pdf"} {
		if a := guest.Get(p); strings.Contains(a.Text, `class="report"`) {
			t.Errorf("%s: status %d", p, a.Status)
		}
	}

	// it ends with its time
	c.pass(7*24*time.Hour - time.Minute)
	if a := guest.Get(path); a.Status != http.StatusOK {
		t.Errorf("a minute before its end: status %d", a.Status)
	}
	c.pass(2 * time.Minute)
	closed(t, s, path)
}

// The report of a link shows the photos, as page and as PDF, and gives no other
// file of the job; with the link everything ends.
func TestPhotosOnLink(t *testing.T) {
	c := &clock{}
	s := webtest.Demo(t, shop.Options{Now: c.now})
	lead := s.As("odell")
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	_ = form.WriteField("note", "score on the pin")
	file, err := form.CreateFormFile("photo", "pin.jpg")
	if err == nil {
		err = jpeg.Encode(file, image.NewGray(image.Rect(0, 0, 300, 200)), nil)
	}
	if err = errors.Join(err, form.Close()); err != nil {
		t.Fatal(err)
	}
	if a := lead.Send("/job/J-2057/photo", form.FormDataContentType(), &body); a.Status != http.StatusSeeOther {
		t.Fatalf("photo: status %d %s", a.Status, a.Text)
	}
	path := link(t, lead, "J-2057", "7", "owner")
	guest := s.Browse()
	photo := regexp.MustCompile(`href="(` + path + `/photo/[0-9a-f]+)"`).FindStringSubmatch(guest.Get(path).Text)
	if photo == nil {
		t.Fatal("the photo is not on the page of the link")
	}
	if a := guest.Get(photo[1]); a.Status != http.StatusOK || a.Header.Get("Content-Type") != "image/jpeg" {
		t.Errorf("the photo: status %d", a.Status)
	}
	pdf := guest.Get(path + "/report.pdf")
	if pdf.Status != http.StatusOK || !strings.HasPrefix(pdf.Text, "%PDF") || !strings.Contains(pdf.Text, "/DCTDecode") {
		t.Errorf("the PDF: status %d, its photo is missing", pdf.Status)
	}
	if a := guest.Get(path + "/photo/" + strings.Repeat("0", 64)); a.Status != http.StatusNotFound {
		t.Errorf("another file: status %d", a.Status)
	}
	c.pass(8 * 24 * time.Hour)
	for _, p := range []string{photo[1], path + "/report.pdf"} {
		if a := guest.Get(p); a.Status != http.StatusNotFound {
			t.Errorf("%s after its end: status %d", p, a.Status)
		}
	}
}

// The holder of a link is nobody in a shop with sign-ins: no address of the
// shop opens to him, and an ended link opens nothing.
func TestNothingElse(t *testing.T) {
	s := webtest.New(t, shop.Options{})
	if err := s.Shop.LoadDemo(context.Background()); err != nil {
		t.Fatal(err)
	}
	sc, err := s.Shop.DemoScope(context.Background(), "ines")
	if err != nil {
		t.Fatal(err)
	}
	token, l, err := s.Shop.Share(context.Background(), sc, "J-2041", 48*time.Hour, "")
	if err != nil {
		t.Fatal(err)
	}
	guest := s.Browse()
	if a := guest.Get(share.Opens + token); a.Status != http.StatusOK {
		t.Fatalf("status %d", a.Status)
	}
	for _, p := range []string{"/", "/job/J-2041", "/job/J-2041/report", "/job/J-2041/report.pdf", "/job/J-2057/report", "/job/J-2041/share", "/search?q=a", "/people", "/papers"} {
		if a := guest.Get(p); a.Status != http.StatusSeeOther || !strings.HasPrefix(a.Goes, "/sign-in") {
			t.Errorf("%s: status %d to %q", p, a.Status, a.Goes)
		}
	}
	if a := guest.Post("/job/J-2041/entry", "kind", "note", "text", "hello"); a.Status != http.StatusUnauthorized {
		t.Errorf("an entry: status %d", a.Status)
	}
	if err := s.Shop.EndLink(context.Background(), sc, l.ID); err != nil {
		t.Fatal(err)
	}
	closed(t, s, share.Opens+token)
}

// Who may not share, what is no number of days, another site, another job's
// link: refused in place, with what was typed.
func TestRefused(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead, technician := s.As("odell"), s.As("tomas")
	for _, days := range []string{"", "0", "-3", "367", "a week", "1.5", "99999999999999999999"} {
		a := lead.Post("/job/J-2041/share", "days", days, "note", "the plant")
		if a.Status != http.StatusUnprocessableEntity || !strings.Contains(a.Text, `value="the plant"`) || !strings.Contains(a.Text, `value="`+days+`"`) || !strings.Contains(a.Text, `aria-invalid="true"`) {
			t.Errorf("%q days: status %d", days, a.Status)
		}
	}
	if a := lead.Post("/job/J-2041/share", "days", "3", "note", strings.Repeat("x", 300)); a.Status != http.StatusUnprocessableEntity {
		t.Errorf("a long note: status %d", a.Status)
	}
	if a := technician.Get("/job/J-2041/share"); a.Status != http.StatusForbidden {
		t.Errorf("a technician: status %d", a.Status)
	}
	if a := technician.Post("/job/J-2041/share", "days", "3"); a.Status != http.StatusForbidden {
		t.Errorf("a technician makes a link: status %d", a.Status)
	}
	if strings.Contains(technician.Get("/job/J-2041/report").Text, "/share") {
		t.Error("a technician is led to the links")
	}
	if a := lead.PostFrom("https://elsewhere.example", "/job/J-2041/share", "days", "3"); a.Status != http.StatusForbidden {
		t.Errorf("from another site: status %d", a.Status)
	}
	if a := lead.Get("/job/J-0000/share"); a.Status != http.StatusNotFound {
		t.Errorf("no such job: status %d", a.Status)
	}

	path := link(t, lead, "J-2041", "3", "first")
	found := ends.FindStringSubmatch(lead.Get("/job/J-2041/share").Text)
	if found == nil {
		t.Fatal("the list ends no link")
	}
	if a := technician.Post(found[1]); a.Status != http.StatusForbidden {
		t.Errorf("a technician ends a link: status %d", a.Status)
	}
	if a := lead.Post(strings.Replace(found[1], "J-2041", "J-2057", 1)); a.Status != http.StatusNotFound {
		t.Errorf("ended at another job: status %d", a.Status)
	}
	if a := s.Browse().Get(path); a.Status != http.StatusOK {
		t.Errorf("the link is ended: status %d", a.Status)
	}
	if a := lead.Post(found[1]); a.Status != http.StatusSeeOther || a.Goes != "/job/J-2041/share?ended" {
		t.Errorf("ending: status %d", a.Status)
	}
	closed(t, s, path)
	if text := lead.Get("/job/J-2041/share").Text; !strings.Contains(text, "Ended and run out (1)") {
		t.Error("the ended link is not listed as ended")
	}
}

// The quote that waits for an answer stands on the page of the link, to be
// read; one that was declined does not.
func TestQuoteOnLink(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	lead := s.As("odell")
	path := link(t, lead, "J-2057", "7", "owner")
	guest := s.Browse()
	if strings.Contains(guest.Get(path).Text, "Quote for the rebuild") {
		t.Error("a quote before there is one")
	}
	write := func(fields ...string) {
		t.Helper()
		if a := lead.Post("/job/J-2057/entry", append([]string{"kind", "quote", "next", "/"}, fields...)...); a.Status != http.StatusSeeOther {
			t.Fatalf("%v: status %d", fields, a.Status)
		}
	}
	write("t/number", "Q-5", "n/total", "900", "t/currency", "EUR")
	a := guest.Get(path)
	if !strings.Contains(a.Text, "Quote for the rebuild") || !strings.Contains(a.Text, "Q-5") {
		t.Error("the quote is not on the page of the link")
	}
	for _, m := range leads.FindAllStringSubmatch(a.Text, -1) {
		if !strings.HasPrefix(m[1], "/assets/") && !strings.HasPrefix(m[1], "#") && m[1] != path+"/report.pdf" {
			t.Errorf("the page leads to %s", m[1])
		}
	}
	write("t/number", "Q-5", "t/status", "declined")
	if strings.Contains(guest.Get(path).Text, "Quote for the rebuild") {
		t.Error("a declined quote is shown")
	}
}
