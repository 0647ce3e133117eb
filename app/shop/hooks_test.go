package shop

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/rebuild/job"
)

// The signature of the example in RFC 9421, B.2.5 "Signing a Request using
// hmac-sha256". [from memory]
func TestMACOfTheStandard(t *testing.T) {
	key, err := base64.StdEncoding.DecodeString("uzvJfB4u3N0Jy4T7NZ75MDVcr8zSTInedJtkgcu46YW4XByzNJjxBdtjUkdJPBtbmHhIDi6pcl8jsasjlTMtDQ==")
	if err != nil {
		t.Fatal(err)
	}
	base := "\"date\": Tue, 20 Apr 2021 02:07:55 GMT\n\"@authority\": example.com\n\"content-type\": application/json\n" +
		"\"@signature-params\": (\"date\" \"@authority\" \"content-type\");created=1618884473;keyid=\"test-shared-secret\""
	if got, want := mac(key, base), "pxcQw6G3AjtMBQjwo8XzkZf/bws5LelbaMk5rGIGtE8="; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// What is sent can be checked by whoever has the secret, and what was changed
// on the way is found out.
func TestPostSigned(t *testing.T) {
	now := time.Unix(1_800_000_000, 0)
	var fault string
	status := http.StatusNoContent
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		params := strings.TrimPrefix(r.Header.Get("Signature-Input"), "pumpwright=")
		base := fmt.Sprintf("\"@method\": %s\n\"@target-uri\": http://%s%s\n\"content-digest\": %s\n\"@signature-params\": %s",
			r.Method, r.Host, r.RequestURI, r.Header.Get("Content-Digest"), params)
		switch {
		case string(body) != `{"a":1}`:
			fault = "body " + string(body)
		case r.Header.Get("Signature") != "pumpwright=:"+mac([]byte("secret"), base)+":":
			fault = "the signature does not fit"
		case r.Header.Get("Signature") == "pumpwright=:"+mac([]byte("other"), base)+":":
			fault = "the signature fits another secret"
		case !strings.Contains(params, fmt.Sprint("created=", now.Unix())) || !strings.Contains(params, `keyid="h"`):
			fault = params
		}
		if status == http.StatusFound {
			w.Header().Set("Location", "/elsewhere")
		}
		w.WriteHeader(status)
	}))
	defer server.Close()
	post := PostSigned("test", func() time.Time { return now })
	send := func() error {
		return post(t.Context(), server.URL+"/told?x=1", "id", "h", "secret", []byte(`{"a":1}`))
	}
	if err := send(); err != nil || fault != "" {
		t.Fatal(err, fault)
	}
	for _, status = range []int{http.StatusFound, http.StatusNotFound, http.StatusInternalServerError} {
		if err := send(); err == nil {
			t.Errorf("status %d counts as arrived", status)
		}
	}
	server.Close()
	if err := send(); err == nil || strings.Contains(err.Error(), "told") {
		t.Errorf("an address that is gone: %v", err)
	}
}

// A change of stage is told once to each address, tried again with longer and
// longer waits, and given up at last; entries that change no stage tell nothing.
func TestStagesAreTold(t *testing.T) {
	now := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	s, err := OpenMemory(t.Context(), Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := t.Context()
	if err := s.LoadDemo(ctx); err != nil {
		t.Fatal(err)
	}
	lead, err := s.DemoScope(ctx, "odell")
	if err != nil {
		t.Fatal(err)
	}
	secret, hook, err := s.AddHook(ctx, lead, "https://listener.example/told")
	if err != nil || secret == "" {
		t.Fatal(err)
	}
	var got []StageChange
	var fault error
	post := func(_ context.Context, address, id, h, key string, body []byte) error {
		var c StageChange
		if err := json.Unmarshal(body, &c); err != nil || address != hook.Address || h != hook.ID || key != secret || c.ID != id {
			t.Errorf("%v %s %s %s", err, address, h, body)
		}
		got = append(got, c)
		return fault
	}
	send := func() int {
		t.Helper()
		if err := s.CatchUp(ctx, lead.Site); err != nil {
			t.Fatal(err)
		}
		got = nil
		if _, err := s.sendDue(ctx, post); err != nil {
			t.Fatal(err)
		}
		return len(got)
	}
	if n := send(); n != 0 {
		t.Fatalf("%d messages about what was so before: %+v", n, got)
	}
	if _, err := s.Add(ctx, lead, "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: "x"})}); err != nil {
		t.Fatal(err)
	}
	if n := send(); n != 0 {
		t.Errorf("a note told %+v", got)
	}
	answer, err := s.Receive(ctx, lead, Receipt{Open: job.Open{Tag: "P-9"}})
	if err != nil {
		t.Fatal(err)
	}
	fault = errors.New("nobody answers")
	if n := send(); n != 1 || got[0].Job != answer.Job.Name || got[0].Event != "stage" {
		t.Fatalf("a new job told %+v", got)
	}
	if n := send(); n != 0 {
		t.Errorf("it was tried again at once")
	}
	for i, wait := range retries {
		now = now.Add(wait - time.Second)
		if n := send(); n != 0 {
			t.Errorf("attempt %d came too early", i+2)
		}
		now = now.Add(2 * time.Second)
		if n := send(); n != 1 {
			t.Errorf("attempt %d did not come", i+2)
		}
	}
	now = now.Add(1000 * time.Hour)
	if n := send(); n != 0 {
		t.Error("it was not given up")
	}
	list, err := s.Deliveries(ctx, lead, hook.ID)
	if err != nil || len(list) != 1 || list[0].Tries != len(retries)+1 || !strings.HasPrefix(list[0].Note, "given up") {
		t.Errorf("%+v %v", list, err)
	}
	fault = nil
	if _, err := s.Add(ctx, lead, answer.Job.Name, NewEntry{Kind: job.KindClose, Body: body(t, job.Close{Result: "scrapped"})}); err != nil {
		t.Fatal(err)
	}
	if n := send(); n != 1 || got[0].Waits != Done {
		t.Errorf("closing told %+v", got)
	}
	if n := send(); n != 0 {
		t.Error("what arrived was sent again")
	}
	for _, bad := range []string{"", "listener.example", "ftp://a/", "https://u:p@a/", "https:///x", "file:///etc/passwd"} {
		if _, _, err := s.AddHook(ctx, lead, bad); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}

// A token does what both its grants and its person allow, and is over at once
// when it is ended, too old, or its person went away.
func TestTokens(t *testing.T) {
	now := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	s, err := OpenMemory(t.Context(), Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := t.Context()
	if err := s.LoadDemo(ctx); err != nil {
		t.Fatal(err)
	}
	lead, err := s.DemoScope(ctx, "odell")
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range access.Grants() {
		secret, _, err := s.AddToken(ctx, lead, "balance", "odell", []access.Grant{g}, time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		sc, err := s.OpenToken(ctx, secret)
		if err != nil {
			t.Fatal(err)
		}
		for do := range access.Permits {
			if want := lead.May(do) && access.Within([]access.Grant{g}, do); sc.May(do) != want {
				t.Errorf("grant %s, %s: %v, want %v", g, do, sc.May(do), want)
			}
		}
		if err := s.SetPassword(ctx, sc, "odell", "x", "another long password", "a"); g != access.GrantManage && err == nil {
			t.Errorf("grant %s changed the password of its person", g)
		}
	}
	secret, token, err := s.AddToken(ctx, lead, "manager", "odell", []access.Grant{access.GrantManage}, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	sc, err := s.OpenToken(ctx, secret)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.AddToken(ctx, sc, "more", "odell", []access.Grant{access.GrantSign}, 0); err == nil {
		t.Error("a program made a token that may more than itself")
	}
	if err := s.SetPassword(ctx, sc, "odell", "x", "another long password", "a"); err == nil {
		t.Error("a program changed the password of its person")
	}
	rows, err := s.store.Tokens(ctx, lead.Site)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		if r.Secret == secret || r.Secret == "" {
			t.Error("the secret itself is kept")
		}
	}
	if err := s.EndToken(ctx, lead, token.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := s.OpenToken(ctx, secret); err == nil {
		t.Error("a token that was ended holds")
	}
	secret, _, err = s.AddToken(ctx, lead, "short", "odell", []access.Grant{access.GrantRead}, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	now = now.Add(time.Hour)
	if _, err := s.OpenToken(ctx, secret); err == nil {
		t.Error("a token that is too old holds")
	}
	secret, _, err = s.AddToken(ctx, lead, "of another", "mira", []access.Grant{access.GrantRead}, 0)
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.store.Person(ctx, lead.Site, "mira")
	if err != nil {
		t.Fatal(err)
	}
	p.Away = true
	if err := s.store.PutPerson(ctx, lead.Site, p); err != nil {
		t.Fatal(err)
	}
	if _, err := s.OpenToken(ctx, secret); err == nil {
		t.Error("the token of one who went away holds")
	}
	for _, bad := range []string{"", "x", strings.Repeat("y", 5000)} {
		if _, err := s.OpenToken(ctx, bad); err == nil {
			t.Errorf("%.10q holds", bad)
		}
	}
}
