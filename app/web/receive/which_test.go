package receive_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
)

// A few measurements rank the shop's sheets; what settles it is named; none of
// them is an answer; the pump is received as the model that was found.
func TestWhich(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	b := s.As("tomas")
	ask := func(status int, query string, says ...string) string {
		t.Helper()
		a := b.Get("/receive/which?" + query)
		if a.Status != status {
			t.Errorf("%s: status %d", query, a.Status)
		}
		for _, text := range says {
			if !strings.Contains(a.Text, text) {
				t.Errorf("%s: the page lacks %q", query, text)
			}
		}
		return a.Text
	}
	if text := ask(http.StatusOK, "", "Bore of the suction port", "With the pump open"); strings.Contains(text, "most likely first") {
		t.Error("nothing was measured, and there is an answer")
	}
	first := regexp.MustCompile(`<h3>(.*?) <span class="number">`)
	text := ask(http.StatusOK, "tag=P-9&suction_port=79+mm&bolt_count=8", "None of them", "most likely first", "fits", "sheet=demo-pump-m", "tag=P-9")
	if m := first.FindStringSubmatch(text); m == nil || !strings.Contains(m[1], "Demo pump M") {
		t.Errorf("first is %v", m)
	}
	ask(http.StatusOK, "jacketed=no", "What would tell most for its time", "bit in about")
	ask(http.StatusOK, "suction_port=500+mm&bolt_circle=900+mm&bolt_count=31", "None of the sheets")
	ask(http.StatusOK, "suction_port=79+%C2%B1+1+mm", "79 ± 1 mm")
	ask(http.StatusUnprocessableEntity, "suction_port=wide", `value="wide"`)
	ask(http.StatusUnprocessableEntity, "bolt_count=2.5", `value="2.5"`, "whole number")
	ask(http.StatusUnprocessableEntity, "suction_port=79+kg")
	if a := b.Get("/receive?tag=P-9&sheet=demo-pump-m"); !strings.Contains(a.Text, `value="demo-pump-m" selected`) {
		t.Error("the model is not chosen where the pump is received")
	}
}
