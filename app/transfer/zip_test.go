package transfer

import (
	"bytes"
	"testing"
)

// Whatever is sent as a workbook or an archive is read or refused.
func FuzzZIP(f *testing.F) {
	var book bytes.Buffer
	table := PumpTable(nil)
	if err := WriteXLSX(&book, table); err != nil {
		f.Fatal(err)
	}
	f.Add(book.Bytes())
	f.Add([]byte("PK\x03\x04"))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, content []byte) {
		size := int64(len(content))
		if a, err := ReadArchive(bytes.NewReader(content), size); (a == nil) == (err == nil) {
			t.Errorf("archive %v, error %v", a, err)
		}
		if _, err := Sheets(bytes.NewReader(content), size); err != nil {
			return
		}
		for _, s := range Subjects() {
			rows, closeRows, err := OpenXLSX(bytes.NewReader(content), size, "")
			if err != nil {
				continue
			}
			if p, err := Import(s, rows, ImportOptions{}); err == nil && p == nil {
				t.Error("neither a plan nor an error")
			}
			_ = closeRows() // what was read decides
		}
	})
}
