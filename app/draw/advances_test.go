package draw

import (
	"bytes"
	"encoding/binary"
	"flag"
	"math"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "write advances.bin from the fonts")

// What a tablet measures with is what the fonts say.
func TestAdvances(t *testing.T) {
	var want []byte
	for _, bold := range []bool{false, true} {
		for _, a := range face(bold).advance {
			units := a * 2048
			if units != math.Trunc(units) || units < 0 || units > math.MaxUint16 {
				t.Fatalf("an advance of %v em is not a number of units", a)
			}
			want = binary.BigEndian.AppendUint16(want, uint16(units))
		}
	}
	if len(want) != 2*2*measured || binary.BigEndian.Uint16(want[2*'M':]) < binary.BigEndian.Uint16(want[2*'i':]) {
		t.Fatalf("%d bytes", len(want))
	}
	if *update {
		if err := os.WriteFile("advances.bin", want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile("advances.bin"); err != nil || !bytes.Equal(kept, want) {
		t.Errorf("advances.bin is not what the fonts say (%v): go test ./app/draw -run TestAdvances -update", err)
	}
}
