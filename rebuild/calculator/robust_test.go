package calculator

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/goccy/go-yaml"

	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

// longestRun is what any input may take at most.
const longestRun = 2 * time.Second

// wrongValues stand in turn at every place of every example.
var wrongValues = []any{
	nil, "", "abc", "3 furlong", "3 bar", "3 mm", "-3 mm", "0 mm", "3 K", "3", "1e300", "1e300 mm", "1e-300 mm", "1e25 mm", "1e-25 mm", "1e12 mm", "-40 °C", "1e9 rpm", "1e12 h",
	0, -1, 1, 2, 1.5, 1e25, 1e-25, 1e12, 1e300, -1e300, 1e-300, math.MaxInt32, math.NaN(), math.Inf(1), true,
	[]any{}, []any{1, 2}, map[string]any{}, map[string]any{"x": 1}, strings.Repeat("9", 400), strings.Repeat("x", 3000),
}

// place is somewhere in an input: the keys (text) and places (number) to it.
type place []any

// places lists every place of an input.
func places(raw any, at place) []place {
	var list []place
	add := func(step, inner any) {
		deeper := append(append(place{}, at...), step)
		list = append(list, deeper)
		list = append(list, places(inner, deeper)...)
	}
	switch v := raw.(type) {
	case map[string]any:
		for key, inner := range v {
			add(key, inner)
		}
	case []any:
		for i, inner := range v {
			add(i, inner)
		}
	}
	return list
}

// changed copies an input with one place changed; without a value the place is
// dropped.
func changed(raw any, at place, value any, drop bool) any {
	if len(at) == 0 {
		return value
	}
	switch v := raw.(type) {
	case map[string]any:
		out := map[string]any{}
		for key, inner := range v {
			if key != at[0] {
				out[key] = inner
			} else if len(at) > 1 || !drop {
				out[key] = changed(inner, at[1:], value, drop)
			}
		}
		return out
	case []any:
		var out []any
		for i, inner := range v {
			if i != at[0] {
				out = append(out, inner)
			} else if len(at) > 1 || !drop {
				out = append(out, changed(inner, at[1:], value, drop))
			}
		}
		return out
	}
	return raw
}

// valueAt returns what stands at a place.
func valueAt(raw any, at place) any {
	for _, step := range at {
		switch v := raw.(type) {
		case map[string]any:
			raw = v[step.(string)]
		case []any:
			raw = v[step.(int)]
		}
	}
	return raw
}

// scaled multiplies the number that a value begins with.
func scaled(value any, by float64) (any, bool) {
	switch v := value.(type) {
	case float64:
		return v * by, true
	case uint64:
		return float64(v) * by, true
	case int64:
		return float64(v) * by, true
	case string:
		number, unit, found := strings.Cut(v, " ")
		n, err := strconv.ParseFloat(number, 64)
		if err != nil {
			return nil, false
		}
		if !found {
			return strconv.FormatFloat(n*by, 'g', -1, 64), true
		}
		return strconv.FormatFloat(n*by, 'g', -1, 64) + " " + unit, true
	}
	return nil, false
}

// examine runs an input and holds what must be true of every answer.
func examine(t *testing.T, c Calculator, input any) {
	t.Helper()
	text, err := yaml.Marshal(input)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if r := recover(); r != nil {
			t.Errorf("%s: panic %v\n%s", c.Name, r, text)
		}
	}()
	start := time.Now()
	outcome, err := c.Run(nil, text)
	if took := time.Since(start); took > longestRun {
		t.Errorf("%s: took %v\n%s", c.Name, took, text)
	}
	if err != nil {
		p := say.AsProblem(err)
		if p == nil {
			if !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("%s: %v is no refusal\n%s", c.Name, err, text)
			}
			return
		}
		if p.Message.IsZero() || p.Field == "" && !strings.Contains(p.Error(), "fields") && !strings.Contains(p.Error(), "YAML") {
			t.Errorf("%s: the refusal %q names no field\n%s", c.Name, p.Error(), text)
		}
		if strings.Contains(p.Error(), "NaN") && !strings.Contains(strings.ToLower(string(text)), "nan") {
			t.Errorf("%s: the refusal %q speaks of no number\n%s", c.Name, p.Error(), text)
		}
		return
	}
	if where := notFinite(reflect.ValueOf(outcome.Out), c.Name); where != "" {
		t.Errorf("%s is not finite\n%s", where, text)
	}
	for _, style := range []say.Style{{}, {Units: say.Inch}} {
		outcome.Document(style, true)
	}
	if outcome.Notes.Working == nil {
		t.Errorf("%s: no working\n%s", c.Name, text)
	}
}

// notFinite finds a number in a result that is none.
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			return fmt.Sprintf("%s = %v", path, v.Float())
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return notFinite(v.Elem(), path)
		}
	case reflect.Slice:
		for i := range v.Len() {
			if where := notFinite(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); where != "" {
				return where
			}
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			if where := notFinite(v.MapIndex(key), path+"."+key.String()); where != "" {
				return where
			}
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[say.Message]() {
			return ""
		}
		for i := range v.NumField() {
			if where := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); where != "" {
				return where
			}
		}
	}
	return ""
}

func exampleOf(t testing.TB, c Calculator) any {
	t.Helper()
	var raw any
	if err := yaml.Unmarshal([]byte(c.Example), &raw); err != nil {
		t.Fatal(err)
	}
	return raw
}

// thinned says which share of the wrong values is tried: all where a run costs
// nothing, one in so many where it takes milliseconds. Over the places of an
// example every value has its turn.
func thinned(name string) int {
	switch name {
	case "clearance-window", "identify", "gasket-learn", "chain", "causes", "calibrate", "performance", "gasket-stack", "gauge-study":
		return 11
	}
	return 1
}

// Whatever stands at one place of an example: a refusal that names a field, or
// an answer of finite numbers, within two seconds.
func TestEveryPlaceWrong(t *testing.T) {
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			t.Parallel()
			raw := exampleOf(t, c)
			every := thinned(c.Name)
			for n, at := range places(raw, nil) {
				examine(t, c, changed(raw, at, nil, true))
				for i, value := range wrongValues {
					if (i+n)%every == 0 {
						examine(t, c, changed(raw, at, value, false))
					}
				}
				for i, by := range []float64{-1, 0, 0.5, 3, 1e-3, 1e3, 1e-9, 1e9} {
					if value, ok := scaled(valueAt(raw, at), by); ok && (i+n)%every == 0 {
						examine(t, c, changed(raw, at, value, false))
					}
				}
			}
			examine(t, c, []any{raw})
			examine(t, c, "text")
			examine(t, c, nil)
		})
	}
}

// Several places wrong at once, drawn from a seed; go test -fuzz finds more.
func FuzzCalculators(f *testing.F) {
	for seed := range uint64(40) {
		f.Add(seed)
	}
	all := All()
	f.Fuzz(func(t *testing.T, seed uint64) {
		draw := rand.New(rand.NewPCG(seed, 1))
		c := all[int(seed%uint64(len(all)))]
		raw := exampleOf(t, c)
		for range 1 + draw.IntN(4) {
			list := places(raw, nil)
			if len(list) == 0 {
				break
			}
			at := list[draw.IntN(len(list))]
			if value, ok := scaled(valueAt(raw, at), math.Exp(6*draw.NormFloat64())); ok && draw.IntN(2) == 0 {
				raw = changed(raw, at, value, false)
			} else if draw.IntN(4) == 0 {
				raw = changed(raw, at, nil, true)
			} else {
				raw = changed(raw, at, wrongValues[draw.IntN(len(wrongValues))], false)
			}
		}
		examine(t, c, raw)
	})
}

// Every example, once through the door that people use.
func BenchmarkExamples(b *testing.B) {
	for _, c := range All() {
		b.Run(c.Name, func(b *testing.B) {
			for b.Loop() {
				if _, err := c.Run(nil, []byte(c.Example)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The same without reading text: the computation and its working.
func BenchmarkComputation(b *testing.B) {
	for _, c := range All() {
		b.Run(c.Name, func(b *testing.B) {
			in := reflect.New(c.In)
			if err := fields.Bind(exampleOf(b, c), in.Interface()); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if _, err := c.RunOn(&Env{}, in.Elem().Interface()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
