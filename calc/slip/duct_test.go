package slip

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// Friction measured in a long rectangular duct, water, laminar to turbulent:
// Cornish, Proc. R. Soc. A 120 (1928) 691, 55 of the 82 printed points, read in
// the public repository atrettel/sheardata (CC BY 4.0). In the file Re stands on
// the hydraulic mean depth (four times that is ours) and f is wall shear over
// ρv² (twice that is Fanning's).
//
// The duct is no slot, so both limbs of the gap law are carried over: the
// laminar constant f·Re of its sides 2.92 : 1 is 16.976 (exact series), and the
// turbulent limb goes with the laminar-equivalent diameter.
func TestDuctFriction(t *testing.T) {
	file, err := os.Open("testdata/duct_friction.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	const laminar = 16.976
	limb := turbulentFactor * math.Pow((2.0/3)/(16/laminar), 0.25)
	law := func(re float64) float64 { return math.Max(laminar/re, limb*math.Pow(re, -0.25)) }
	// flow at the same pressure: law's Re and the measured one solve f Re² = same
	ratioOfFlow := func(re, f float64) float64 {
		low, high := re/3, re*3
		for range 80 {
			middle := (low + high) / 2
			if law(middle)*middle*middle < f*re*re {
				low = middle
			} else {
				high = middle
			}
		}
		return re / low // measured flow over the law's
	}
	for _, band := range []struct {
		id                  string
		from, to            float64
		count               int
		meanFlow, meanOff   float64
		leastFlow, mostFlow float64
	}{
		{"5d.13 laminar", 269, 1005, 11, 1.013, 0.02, 0.95, 1.05},
		{"5d.14 before the change-over", 1399, 1861, 4, 1.085, 0.065, 0.995, 1.16},
		{"5d.15", 2003, 2417, 7, 1.20, 0.02, 1.10, 1.25},
		{"5d.16", 2483, 2933, 6, 1.13, 0.02, 1.05, 1.18},
		{"5d.17", 3151, 4021, 4, 1.04, 0.02, 0.98, 1.06},
		{"5d.18 turbulent", 4899, 63721, 23, 1.02, 0.02, 0.96, 1.045},
	} {
		n, sum := 0, 0.0
		for _, row := range rows[1:] {
			re, err1 := strconv.ParseFloat(row[6], 64)
			f, err2 := strconv.ParseFloat(row[7], 64)
			if err1 != nil || err2 != nil {
				t.Fatalf("row %v", row)
			}
			re, f = 4*re, 2*f
			if re < band.from || re > band.to {
				continue
			}
			n++
			ratio := ratioOfFlow(re, f)
			sum += ratio
			if ratio < band.leastFlow || ratio > band.mostFlow {
				t.Errorf("%s: Re %.0f: measured flow over the law %.3f, want %.3f to %.3f", band.id, re, ratio, band.leastFlow, band.mostFlow)
			}
		}
		if n != band.count {
			t.Errorf("%s: %d points, want %d", band.id, n, band.count)
		}
		near(t, band.id+" mean ratio of flow", "Cornish, Proc. R. Soc. A 120 (1928) 691", sum/float64(n), band.meanFlow, band.meanOff)
	}
}
