package part

import (
	"bytes"
	"context"
	"net/url"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
)

func TestBody(t *testing.T) {
	cases := []struct {
		name string
		form url.Values
		want string
	}{
		{"reading", url.Values{
			"t/feature": {"casing-bore"}, "n/values/0/angle": {"0"}, "t/values/0/plane": {"A"}, "t/values/0/text": {"63.15"}, "u/values/0/text": {"mm"},
			"id": {"x"}, "kind": {"reading"}, "seen": {"y"},
		}, `{"feature":"casing-bore","values":[{"angle":0,"plane":"A","text":"63.15 mm"}]}`},
		{"unit as typed", url.Values{"t/text": {"2.5 thou"}, "u/text": {"mm"}}, `{"text":"2.5 thou"}`},
		{"fraction", url.Values{"t/text": {"1 3/16"}, "u/text": {"in"}}, `{"text":"1 3/16 in"}`},
		{"inch mark", url.Values{"t/text": {`1/2"`}, "u/text": {"mm"}}, `{"text":"1/2\""}`},
		{"a name with a stroke", url.Values{Pointer("n", "counts", "paper 1/64"): {"2"}}, `{"counts":{"paper 1/64":2}}`},
		{"one unit for all rows", url.Values{"t/pieces/0/thickness": {"0.25"}, "t/pieces/2/thickness": {"0.05"}, "u/pieces/*/thickness": {"mm"}}, `{"pieces":[{"thickness":"0.25 mm"},{"thickness":"0.05 mm"}]}`},
		{"yes and no", url.Values{"b/a": {"yes"}, "b/c": {"no"}, "b/d": {"maybe"}}, `{"a":true,"c":false}`},
		{"a place without its key is left out", url.Values{"k/marks/0/shape": {"circle"}, "n/marks/0/x": {"0.5"}, "k/marks/1/shape": {""}, "n/marks/1/x": {"0.5"}}, `{"marks":[{"shape":"circle","x":0.5}]}`},
		{"empty is left out", url.Values{"t/a": {"  "}, "n/b": {""}}, `{}`},
	}
	for _, c := range cases {
		got, err := Body(c.form)
		if err != nil || string(got) != c.want {
			t.Errorf("%s: %s %v, want %s", c.name, got, err, c.want)
		}
	}
}

func TestBodyRefuses(t *testing.T) {
	for name, form := range map[string]url.Values{
		"no number":     {"n/pass": {"two"}},
		"a huge list":   {"t/values/999999999/text": {"1"}},
		"two kinds":     {"t/a": {"1"}, "t/a/b": {"2"}},
		"list or group": {"t/a/0": {"1"}, "t/a/b": {"2"}},
	} {
		if _, err := Body(form); say.AsProblem(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func FuzzBody(f *testing.F) {
	f.Add("t/values/0/text", "1 3/16")
	f.Add("n/a~1b/3", "2")
	f.Fuzz(func(t *testing.T, name, value string) {
		if _, err := Body(url.Values{name: {value}, "u" + strings.TrimPrefix(name, "t"): {"mm"}}); err != nil && say.AsProblem(err) == nil {
			t.Fatal(err)
		}
	})
}

// The pieces say the same as the assessment, in the person's units.
func TestAnswer(t *testing.T) {
	stream, err := demo.Job("J-2041")
	if err != nil {
		t.Fatal(err)
	}
	in, err := assess.FromJob(job.Fold(stream), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	a := assess.Assess(in)
	pin := a.Readings.ByID("idler-pin-od", job.AsFound)
	var out bytes.Buffer
	if err := Answer(View{}, pin, SaidOf(pin, Becomes(a.Parts.Of("idler-pin"), a.Parts))).Render(context.Background(), &out); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"past its limit", "under its unworn end", "limit at most 0.050 mm", "Replace idler pin, idler bushing together.", `data-state="past-limit"`, "JCGM 100:2008"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the answer lacks %q:\n%s", want, out.String())
		}
	}
	out.Reset()
	if err := Answer(View{say.Style{Units: say.Inch}}, pin, SaidOf(pin, say.Message{})).Render(context.Background(), &out); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(out.String(), "0.050 mm") {
		t.Error("the answer for inches holds millimetres")
	}
	bar := BarOf(pin)
	if bar == nil || bar.Share <= 1 || bar.State != draw.PastLimit {
		t.Errorf("bar: %+v", bar)
	}
	if left := BarOf(a.Readings.ByID("idler-pin-od", job.AsLeft)); left == nil || left.Share > 0.2 {
		t.Errorf("bar of the new pin: %+v", left)
	}
}

// The pieces build for the browser, as the tablet without network needs them.
func TestBuildsForTablet(t *testing.T) {
	if testing.Short() {
		t.Skip("left out with -short")
	}
	tool, err := exec.LookPath("go")
	if err != nil {
		t.Skip("the go command is not on the path")
	}
	command := exec.Command(tool, "build", "-o", os.DevNull, ".")
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := command.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}
