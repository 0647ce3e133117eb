package transfer

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"strings"

	"github.com/xuri/excelize/v2"

	"pumpwright/calc/say"
)

// mostUnpacked is how large a workbook may be when it is unpacked. A setting of
// our own, against files that unpack without end.
const mostUnpacked = 1 << 30

var (
	msgNotWorkbook = say.Define("transfer.not_workbook", "the file is no workbook that can be read: {reason}")
	msgSaveXLSX    = say.Define("transfer.save_xlsx", "save it as XLSX without a password, or as CSV")
	msgNoSheet     = say.Define("transfer.no_sheet", "the workbook has no sheet “{name}”")
	msgSheetsAre   = say.Define("transfer.sheets_are", "its sheets are {names:list}")
)

// Sheets lists the sheets of a workbook.
func Sheets(from io.ReaderAt, size int64) ([]string, error) {
	f, err := openWorkbook(from, size)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.GetSheetList(), nil
}

func openWorkbook(from io.ReaderAt, size int64) (*excelize.File, error) {
	f, err := excelize.OpenReader(io.NewSectionReader(from, 0, size), excelize.Options{RawCellValue: true, UnzipSizeLimit: mostUnpacked})
	if err != nil {
		return nil, say.Refuse("", "", msgNotWorkbook.With(err), msgSaveXLSX.With())
	}
	return f, nil
}

// OpenXLSX reads a sheet of a workbook; the first one when sheet is empty. A
// cell with a formula comes with its last value and is marked: what a formula
// gave once is no entry of anybody. Close the rows after use.
func OpenXLSX(from io.ReaderAt, size int64, sheet string) (*Rows, func() error, error) {
	f, err := openWorkbook(from, size)
	if err != nil {
		return nil, nil, err
	}
	list := f.GetSheetList()
	if sheet == "" && len(list) > 0 {
		sheet = list[0]
	}
	if i, err := f.GetSheetIndex(sheet); err != nil || i < 0 {
		f.Close()
		return nil, nil, say.Refuse("sheet", sheet, msgNoSheet.With(sheet), msgSheetsAre.With(list))
	}
	formulas, err := formulasOf(from, size, sheet)
	if err != nil {
		f.Close()
		return nil, nil, say.Refuse("", "", msgNotWorkbook.With(err), msgSaveXLSX.With())
	}
	rows, err := f.Rows(sheet)
	if err != nil {
		f.Close()
		return nil, nil, say.Refuse("sheet", sheet, msgNotWorkbook.With(err), msgSaveXLSX.With())
	}
	line := 0
	r := &Rows{sheet: true, next: func() (Row, error) {
		if !rows.Next() {
			if err := rows.Error(); err != nil {
				return Row{}, say.Refuse("", "", msgNotWorkbook.With(err), msgSaveXLSX.With())
			}
			return Row{}, io.EOF
		}
		line++
		cells, err := rows.Columns()
		if err != nil {
			return Row{}, say.Refuse(fmt.Sprintf("line %d", line), "", msgNotWorkbook.With(err), msgSaveXLSX.With())
		}
		row := Row{Line: line, Cells: cells}
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
			if formulas[[2]int{i + 1, line}] {
				if row.Formula == nil {
					row.Formula = make([]bool, len(cells))
				}
				row.Formula[i] = true
			}
		}
		return row, nil
	}}
	if err := r.head(); err != nil {
		f.Close()
		return nil, nil, err
	}
	return r, f.Close, nil
}

// formulasOf finds the cells of a sheet that hold a formula, by column and row.
// The library tells it cell by cell only, which takes the square of the rows.
func formulasOf(from io.ReaderAt, size int64, sheet string) (map[[2]int]bool, error) {
	z, err := zip.NewReader(from, size)
	if err != nil {
		return nil, err
	}
	file, err := sheetFile(z, sheet)
	if err != nil || file == nil {
		return nil, err
	}
	in, err := file.Open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	content, err := io.ReadAll(io.LimitReader(in, mostUnpacked))
	if err != nil {
		return nil, err
	}
	if !bytes.Contains(content, []byte("<f>")) && !bytes.Contains(content, []byte("<f ")) && !bytes.Contains(content, []byte(":f")) {
		return nil, nil
	}
	found := map[[2]int]bool{}
	d := xml.NewDecoder(bytes.NewReader(content))
	cell := ""
	for {
		token, err := d.RawToken()
		if err == io.EOF {
			return found, nil
		}
		if err != nil {
			return nil, err
		}
		start, ok := token.(xml.StartElement)
		switch {
		case !ok:
		case start.Name.Local == "c":
			cell = attribute(start, "r")
		case start.Name.Local == "f":
			if column, row, err := excelize.CellNameToCoordinates(cell); err == nil {
				found[[2]int{column, row}] = true
			}
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// sheetFile finds the file of a sheet by the workbook's own list (ISO/IEC
// 29500-1, sections 12.3.23 and 9.3).
func sheetFile(z *zip.Reader, sheet string) (*zip.File, error) {
	var book struct {
		Sheets []struct {
			Name string     `xml:"name,attr"`
			Attr []xml.Attr `xml:",any,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		List []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	if err := readXML(z, "xl/workbook.xml", &book); err != nil {
		return nil, err
	}
	if err := readXML(z, "xl/_rels/workbook.xml.rels", &links); err != nil {
		return nil, err
	}
	for _, s := range book.Sheets {
		if s.Name != sheet {
			continue
		}
		for _, a := range s.Attr {
			for _, l := range links.List {
				if a.Name.Local != "id" || a.Value != l.ID {
					continue
				}
				target := strings.TrimPrefix(l.Target, "/")
				if target == l.Target {
					target = path.Join("xl", l.Target)
				}
				for _, f := range z.File {
					if f.Name == target {
						return f, nil
					}
				}
			}
		}
	}
	return nil, nil
}

func readXML(z *zip.Reader, name string, into any) error {
	in, err := z.Open(name)
	if err != nil {
		return err
	}
	defer in.Close()
	return xml.NewDecoder(io.LimitReader(in, 1<<24)).Decode(into)
}
