package say

import (
	"errors"
	"fmt"
	"testing"
)

type german struct{}

func (german) Words(id string) (string, bool) {
	words, ok := map[string]string{"say.test": "{n:count|Dichtung|Dichtungen} von {part}", "say.data": "Deckel abnehmen"}[id]
	return words, ok
}
func (german) Decimal() string                  { return "," }
func (german) Language() string                 { return "de" }
func (german) Plural(n int) int                 { return min(1, max(n, 1)-1+(1-min(n, 1))) }
func (german) Date(year, month, day int) string { return fmt.Sprintf("%02d.%02d.%d", day, month, year) }

func TestText(t *testing.T) {
	gaskets := Define("say.test", "{part}: {n:count|gasket|gaskets}")
	cases := []struct {
		message Message
		style   Style
		want    string
	}{
		{gaskets.With("head", 1), Style{}, "head: 1 gasket"},
		{gaskets.With("head", 3), Style{}, "head: 3 gaskets"},
		{gaskets.With("head", 3), Style{Catalogue: german{}}, "3 Dichtungen von head"},
		{gaskets.With("head"), Style{}, "head: {n}"}, // a missing argument is seen
		{Define("say.number", "{a:number} and {b:percent}").With(0.12345678, 0.95), Style{}, "0.1235 and 95 %"},
		{Define("say.number", "{a:number}").With(0.5), Style{Catalogue: german{}}, "0,5"},
		{Define("say.list", "{a:list}; {b:message}").With([]string{"x", "y"}, []Message{Plain("one"), Plain("two")}), Style{}, "x, y; one; two"},
		{Define("say.twice", "{a} and {a} and {b}").With("x", "y"), Style{}, "x and x and y"},
		{Worded("say.data", "lift {off} the cover"), Style{}, "lift {off} the cover"},
		{Worded("say.data", "lift off the cover"), Style{Catalogue: german{}}, "Deckel abnehmen"},
		{Message{}, Style{}, ""},
	}
	for _, c := range cases {
		if got := c.message.Text(c.style); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestProblem(t *testing.T) {
	p := Refuse("temperature", "-300 °C", Plain("too cold"), Plain("write more"))
	if got := In("points[2]", p).Error(); got != "points[2].temperature: too cold (read: -300 °C); write more" {
		t.Errorf("got %q", got)
	}
	if got := In("points", In("[2]", p)); AsProblem(got).Field != "points[2].temperature" {
		t.Errorf("got %q", got)
	}
	if p.Field != "temperature" {
		t.Error("In changed the problem it was given")
	}
	wrapped := fmt.Errorf("sheet: %w", p)
	if AsProblem(wrapped) != p || AsProblem(errors.New("other")) != nil || In("a", nil) != nil {
		t.Error("problems are not found in errors")
	}
}
