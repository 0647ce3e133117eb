package life

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

func table(t testing.TB, name string) []map[string]string {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = r[i]
		}
		list = append(list, m)
	}
	return list
}

func num(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func lives(t testing.TB, name string) []Observation {
	t.Helper()
	var rows []Observation
	for _, r := range table(t, name) {
		o := Failed(num(t, r["time"]))
		if r["status"] == "0" {
			o = Running(o.Low)
		}
		if r["count"] != "" {
			o.Count = num(t, r["count"])
		}
		rows = append(rows, o)
	}
	return rows
}

func readings(t testing.TB, name, x, y string) []Reading {
	t.Helper()
	var list []Reading
	for _, r := range table(t, name) {
		list = append(list, Reading{Hours: num(t, r[x]), Value: num(t, r[y])})
	}
	return list
}

// near fails unless got lies within a relative or an absolute tolerance.
func near(t testing.TB, what string, got, want, rel, abs float64) {
	t.Helper()
	if math.Abs(got-want) > math.Max(rel*math.Abs(want), abs) || math.IsNaN(got) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func nearPtr(t testing.TB, what string, got *float64, want, rel float64) {
	t.Helper()
	if got == nil {
		t.Errorf("%s: got none, want %.12g", what, want)
		return
	}
	near(t, what, *got, want, rel, 0)
}
