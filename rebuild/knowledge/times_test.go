package knowledge

import (
	"math"
	"testing"
)

// The shop's own times in service, computed by hand: 20 finished jobs, 15 of
// them worn out and 5 wrongly assembled; at 500 h (third band) 12 of the worn
// out and none of the others had come in. q = (12 + 1)/(20 + 6) = 0.5.
//
//	wearing out: (12/0.5 + 10 · 0.1)/(15 + 10) = 1
//	assembly:    (0/0.5 + 10 · w₀)/(5 + 10) = w₀/1.5
//
// with w₀ of the table at 500 h: wearing out 0.1; assembly 3 at 100 h, 1 at
// 1000 h, straight in the logarithms.
func TestTimesOfTheShop(t *testing.T) {
	b, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	var worn, wrong, other string
	for _, c := range b.Causes {
		switch {
		case c.Onset == "wear-out":
			worn = c.ID
		case c.Onset == "assembly" && wrong == "":
			wrong = c.ID
		case c.Onset == "running" && other == "":
			other = c.ID
		}
	}
	hours := 500.0
	q := Question{Hours: &hours, Band: 2}
	table, err := b.weights(q)
	if err != nil {
		t.Fatal(err)
	}
	q.Times = map[string][]int{worn: {0, 1, 12, 2, 0, 0}, wrong: {5, 0, 0, 0, 0, 0}, "C999": {0, 0, 100, 0, 0, 0}}
	own, err := b.weights(q)
	if err != nil {
		t.Fatal(err)
	}
	assembly := math.Exp(math.Log(3) + math.Log(5)/math.Log(10)*math.Log(1.0/3))
	for id, want := range map[string][2]float64{worn: {0.1, 1}, wrong: {assembly, assembly / 1.5}, other: {1, 1}} {
		at := b.causeAt[id]
		if math.Abs(table[at]-want[0]) > 1e-12 || math.Abs(own[at]-want[1]) > 1e-12 {
			t.Errorf("%s: table %v, with the shop's times %v, want %v", id, table[at], own[at], want)
		}
	}

	q.Times = map[string][]int{worn: {0, 0, 0, 0, 0, 0}}
	if same, err := b.weights(q); err != nil || same[b.causeAt[worn]] != table[b.causeAt[worn]] {
		t.Errorf("no job weighs: %v, %v", same[b.causeAt[worn]], err)
	}
	q.Hours = nil
	q.Times = map[string][]int{worn: {0, 0, 9, 0, 0, 0}}
	if none, err := b.weights(q); err != nil || none[b.causeAt[worn]] != 1 {
		t.Errorf("the time is not known, and weighs: %v, %v", none[b.causeAt[worn]], err)
	}
}
