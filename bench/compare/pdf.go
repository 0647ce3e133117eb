package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
)

// compareReport makes the report of the finished invented job, and lets an
// office program turn a workbook with the same tables into a PDF.
func compareReport(s sizes) (outcome, error) {
	office, err := program("soffice", "libreoffice")
	if err != nil {
		return outcome{}, err
	}
	reader, err := program("pdftotext")
	if err != nil {
		return outcome{}, err
	}
	stream, err := demo.Job(demo.Jobs()[0])
	if err != nil {
		return outcome{}, err
	}
	in, err := assess.FromJob(job.Fold(stream), time.Time{})
	if err != nil {
		return outcome{}, err
	}
	options := report.Options{Size: document.A4, Appendix: true}
	var paper []byte
	ours, err := best(s.repeats, func() (err error) {
		paper, err = report.PDF(assess.Assess(in), options)
		return err
	})
	if err != nil {
		return outcome{}, err
	}

	tables, figures := workbook(report.Build(assess.Assess(in), options))
	folder, err := os.MkdirTemp("", "compare")
	if err != nil {
		return outcome{}, err
	}
	defer os.RemoveAll(folder)
	file, own := filepath.Join(folder, "tables.xlsx"), filepath.Join(folder, "own.pdf")
	if err := writeBook(file, tables); err != nil {
		return outcome{}, err
	}
	if err := os.WriteFile(own, paper, 0o644); err != nil {
		return outcome{}, err
	}
	theirs, err := best(min(s.repeats, 3), func() error {
		printed, err := exec.Command(office, "-env:UserInstallation=file://"+folder+"/profile", "--headless", "--convert-to", "pdf", "--outdir", folder, file).CombinedOutput()
		if err != nil {
			return fmt.Errorf("%s: %w: %s", office, err, printed)
		}
		return nil
	})
	if err != nil {
		return outcome{}, err
	}
	here, err := found(reader, own, figures)
	if err != nil {
		return outcome{}, err
	}
	there, err := found(reader, filepath.Join(folder, "tables.pdf"), figures)
	if err != nil {
		return outcome{}, err
	}
	total := float64(len(figures))
	return outcome{
		against: strings.Join(strings.Fields(version(office, "--version") + "    ")[:2], " "),
		input:   fmt.Sprintf("%d tables of a report", len(tables)), ours: ours, theirs: theirs,
		values: []value{
			{"table cells found in the PDF here", here, total, 0, "each cell with a number, of all"},
			{"table cells found in the PDF there", there, total, 0, "each cell with a number, of all"},
		},
		remark: "Here with assessment, drawings and appendix; there tables alone, start of the program included.",
	}, nil
}

// workbook returns the tables of a report as rows of text, and their cells
// that hold a number.
func workbook(r *document.Report) (tables [][][]string, figures []string) {
	var style say.Style
	var walk func([]document.Block)
	walk = func(blocks []document.Block) {
		for _, b := range blocks {
			switch b := b.(type) {
			case document.Group:
				walk(b.Blocks)
			case document.Table:
				var head []string
				for _, c := range b.Columns {
					head = append(head, c.Head.Show(style))
				}
				rows := [][]string{head}
				for _, row := range b.Rows {
					var cells []string
					for i, c := range row.Cells {
						text := ""
						if c.Text != nil {
							text = c.Text.Show(style)
						}
						cells = append(cells, text)
						if b.Columns[i].Number && strings.ContainsAny(text, "0123456789") {
							figures = append(figures, text)
						}
					}
					rows = append(rows, cells)
				}
				tables = append(tables, rows)
			}
		}
	}
	walk(r.Blocks)
	return tables, figures
}

// writeBook writes one sheet a table, with columns as wide as their longest
// text, each sheet fitted to the width of its page.
func writeBook(file string, tables [][][]string) error {
	book := excelize.NewFile()
	defer book.Close()
	yes, one, none := true, 1, 0
	for i, rows := range tables {
		sheet := fmt.Sprintf("table %d", i+1)
		if _, err := book.NewSheet(sheet); err != nil {
			return err
		}
		if err := book.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}); err != nil {
			return err
		}
		if err := book.SetPageLayout(sheet, &excelize.PageLayoutOptions{FitToWidth: &one, FitToHeight: &none}); err != nil {
			return err
		}
		wide := map[int]int{}
		for r, cells := range rows {
			for c, text := range cells {
				at, err := excelize.CoordinatesToCellName(c+1, r+1)
				if err != nil {
					return err
				}
				if err := book.SetCellStr(sheet, at, text); err != nil {
					return err
				}
				wide[c] = max(wide[c], utf8.RuneCountInString(text)+2)
			}
		}
		for c, width := range wide {
			name, err := excelize.ColumnNumberToName(c + 1)
			if err != nil {
				return err
			}
			if err := book.SetColWidth(sheet, name, name, float64(min(width, 250))); err != nil {
				return err
			}
		}
	}
	if err := book.DeleteSheet("Sheet1"); err != nil {
		return err
	}
	return book.SaveAs(file)
}

// found counts the texts that stand in a PDF, whatever the spaces.
func found(reader, file string, texts []string) (float64, error) {
	printed, err := exec.Command(reader, "-layout", file, "-").Output()
	if err != nil {
		return 0, fmt.Errorf("%s: %w", reader, err)
	}
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	whole, n := squeeze(string(printed)), 0.0
	for _, t := range texts {
		if strings.Contains(whole, squeeze(t)) {
			n++
		}
	}
	return n, nil
}
