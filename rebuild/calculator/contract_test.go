package calculator

import (
	"encoding/json"
	"math"
	"os"
	"path"
	"strconv"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

// A contractRow is a published value asked from outside: YAML in, JSON out.
type contractRow struct {
	id     string // of the check value
	source string
	name   string // of the calculator
	input  string
	want   map[string]float64 // by path (points[0].flow), in SI units
	rel    float64            // tolerance, relative
	abs    float64            // and absolute, the larger counts
	status int
}

// testFiles lets calculators read the open data sets of the calc rooms.
func testFiles() *Env {
	return &Env{ReadFile: func(name string) ([]byte, error) {
		for _, room := range []string{"life", "metrology"} {
			if text, err := os.ReadFile("../../calc/" + room + "/testdata/" + path.Base(name)); err == nil {
				return text, nil
			}
		}
		return os.ReadFile(name)
	}}
}

// askJSON runs an input and returns the document as a program sees it.
func askJSON(t *testing.T, name, input string) (map[string]any, int, error) {
	t.Helper()
	c, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	outcome, err := c.Run(testFiles(), []byte(input))
	if err != nil {
		return nil, StatusRefused, err
	}
	text, err := json.Marshal(outcome.Document(say.Style{}, true))
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	return doc, outcome.Status(), nil
}

// follow digs a value out of a document by its path.
func follow(doc any, path string) (any, bool) {
	for _, step := range strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' }) {
		switch v := doc.(type) {
		case map[string]any:
			inner, there := v[step]
			if !there {
				return nil, false
			}
			doc = inner
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(v) {
				return nil, false
			}
			doc = v[i]
		default:
			return nil, false
		}
	}
	return doc, true
}

// followNumber digs out a number: plain, or the SI value of a quantity.
func followNumber(doc any, path string) (float64, bool) {
	v, there := follow(doc, path)
	if !there {
		return 0, false
	}
	if quantity, ok := v.(map[string]any); ok {
		v = quantity["value"]
	}
	n, ok := v.(float64)
	return n, ok
}

func checkContract(t *testing.T, rows []contractRow) {
	t.Helper()
	for _, row := range rows {
		t.Run(row.name+"/"+row.id, func(t *testing.T) {
			if row.source == "" {
				t.Error("the row names no source")
			}
			doc, status, err := askJSON(t, row.name, row.input)
			if err != nil {
				t.Fatalf("%v\n%s", err, row.input)
			}
			if status != row.status {
				t.Errorf("status %d, want %d: %v", status, row.status, doc["warnings"])
			}
			if doc["calculator"] != row.name {
				t.Errorf("calculator %v", doc["calculator"])
			}
			for path, want := range row.want {
				got, ok := followNumber(doc["results"], path)
				if !ok {
					t.Errorf("%s: no number in %v", path, doc["results"])
				} else if !(math.Abs(got-want) <= max(row.rel*math.Abs(want), row.abs)) {
					t.Errorf("%s = %.9g, want %.9g (%s)", path, got, want, row.source)
				}
			}
		})
	}
}
