package transfer

import (
	"encoding/csv"
	"fmt"
	"io"
	"sort"
	"strconv"
	"time"

	"github.com/xuri/excelize/v2"

	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
)

// Cell is a cell of an exported table: a text, a number or nothing.
type Cell struct {
	text   string
	number float64
	is     bool
}

// TextCell makes a cell of a text. However it begins, no program that opens
// the table executes it.
func TextCell(text string) Cell { return Cell{text: text} }

// NumberCell makes a cell of a number.
func NumberCell(v float64) Cell { return Cell{number: v, is: true} }

func dayCell(at record.Time) Cell {
	if at == 0 {
		return Cell{}
	}
	if t := at.Time(); t.Equal(t.Truncate(24 * time.Hour)) {
		return TextCell(t.Format(time.DateOnly))
	}
	return TextCell(at.Time().Format(time.RFC3339Nano))
}

func yesCell(yes bool) Cell {
	if yes {
		return TextCell("yes")
	}
	return Cell{}
}

// Table is a table to export. Its columns are those that Import reads.
type Table struct {
	Name    string
	Columns []string
	Rows    [][]Cell
}

func newTable(s Subject) *Table {
	t := &Table{Name: string(s)}
	for _, c := range columns[s] {
		t.Columns = append(t.Columns, c.Name)
	}
	return t
}

// row adds a row of cells by the name of their column.
func (t *Table) row(cells map[string]Cell) {
	row := make([]Cell, len(t.Columns))
	for i, name := range t.Columns {
		row[i] = cells[name]
	}
	t.Rows = append(t.Rows, row)
}

// WriteCSV writes tables of one kind as CSV, in UTF-8 with a mark, so that
// spreadsheet programs see it; lines end as RFC 4180 has it.
func (t *Table) WriteCSV(to io.Writer) error {
	if _, err := io.WriteString(to, "\ufeff"); err != nil {
		return fmt.Errorf("transfer: %w", err)
	}
	w := csv.NewWriter(to)
	w.UseCRLF = true
	line := make([]string, len(t.Columns))
	for i, name := range t.Columns {
		line[i] = escapeCell(name)
	}
	if err := w.Write(line); err != nil {
		return fmt.Errorf("transfer: %w", err)
	}
	for _, row := range t.Rows {
		for i, c := range row {
			if c.is {
				line[i] = strconv.FormatFloat(c.number, 'g', -1, 64)
			} else {
				line[i] = escapeCell(c.text)
			}
		}
		if err := w.Write(line); err != nil {
			return fmt.Errorf("transfer: %w", err)
		}
	}
	w.Flush()
	return w.Error()
}

// WriteXLSX writes tables as the sheets of a workbook. Texts are stored as
// texts, never as formulas.
func WriteXLSX(to io.Writer, tables ...*Table) error {
	f := excelize.NewFile()
	defer f.Close()
	for i, t := range tables {
		name := t.Name
		if i == 0 {
			if err := f.SetSheetName("Sheet1", name); err != nil {
				return fmt.Errorf("transfer: %w", err)
			}
		} else if _, err := f.NewSheet(name); err != nil {
			return fmt.Errorf("transfer: %w", err)
		}
		w, err := f.NewStreamWriter(name)
		if err != nil {
			return fmt.Errorf("transfer: %w", err)
		}
		head := make([]any, len(t.Columns))
		for k, c := range t.Columns {
			head[k] = c
		}
		if err := w.SetRow("A1", head); err != nil {
			return fmt.Errorf("transfer: %w", err)
		}
		for n, row := range t.Rows {
			cells := make([]any, len(row))
			for k, c := range row {
				switch {
				case c.is:
					cells[k] = c.number
				case c.text != "":
					cells[k] = c.text
				}
			}
			at, err := excelize.CoordinatesToCellName(1, n+2)
			if err == nil {
				err = w.SetRow(at, cells)
			}
			if err != nil {
				return fmt.Errorf("transfer: %w", err)
			}
		}
		if err := w.Flush(); err != nil {
			return fmt.Errorf("transfer: %w", err)
		}
	}
	if err := f.Write(to); err != nil {
		return fmt.Errorf("transfer: %w", err)
	}
	return nil
}

// PumpTable lists where machines stand or stood, with the last meter reading.
func PumpTable(pumps []*history.Pump) *Table {
	t := newTable(Pumps)
	for _, p := range pumps {
		for i, s := range p.Stays {
			cells := map[string]Cell{"serial": TextCell(p.Serial), "tag": TextCell(s.Tag), "place": TextCell(s.Place), "owner": TextCell(s.Owner),
				"model": TextCell(s.Sheet), "installed": dayCell(s.From), "new": yesCell(s.New)}
			if s.HoursAYear > 0 {
				cells["hours a year"] = NumberCell(s.HoursAYear)
			}
			if n := len(p.Meter.Points); n > 0 && i == len(p.Stays)-1 {
				last := p.Meter.Points[n-1]
				cells["hours"], cells["hours on"] = NumberCell(last.Shown), dayCell(last.At)
			}
			t.row(cells)
		}
	}
	return t
}

// ReadingTable lists the readings of jobs as they were typed, those with feeler
// leaves as the two leaves.
func ReadingTable(states []*job.State) *Table {
	t := newTable(Readings)
	for _, st := range states {
		if st.Open == nil {
			continue
		}
		repeats := map[job.Place]int{}
		for _, v := range st.Values {
			place := v.PlaceOf()
			repeats[place]++
			cells := map[string]Cell{"job": TextCell(st.Open.Body.Job), "feature": TextCell(v.Feature), "state": TextCell(v.State), "plane": TextCell(v.Plane),
				"value": TextCell(v.Text), "instrument": TextCell(v.Instrument), "day": dayCell(v.At), "note": TextCell(v.Note)}
			if v.Angle != nil {
				cells["angle"] = NumberCell(*v.Angle)
			}
			if n := repeats[place]; n > 1 {
				cells["repeat"] = NumberCell(float64(n))
			}
			t.row(cells)
		}
	}
	return t
}

// JobTable lists jobs.
func JobTable(jobs []history.Summary) *Table {
	t := newTable(Jobs)
	for i := range jobs {
		s := &jobs[i]
		cause, confirmed := s.Cause()
		cells := map[string]Cell{"job": TextCell(s.Job), "serial": TextCell(s.Serial), "tag": TextCell(s.Tag), "owner": TextCell(s.Owner), "place": TextCell(s.Site),
			"model": TextCell(s.Model), "complaint": TextCell(s.Complaint), "opened": dayCell(s.Opened), "closed": dayCell(s.Closed), "result": TextCell(s.Result),
			"cause": TextCell(cause), "confirmed": yesCell(confirmed)}
		if s.Cost.Parts != 0 {
			cells["cost"], cells["currency"] = NumberCell(s.Cost.Amount()), TextCell(s.Cost.Currency)
		}
		t.row(cells)
	}
	return t
}

// StockTable lists what is on the shelf.
func StockTable(stock *ledger.Stock) *Table {
	t := newTable(Stock)
	holdings := append([]*ledger.Holding(nil), stock.Holdings...)
	sort.SliceStable(holdings, func(a, b int) bool { return holdings[a].Item < holdings[b].Item })
	for _, h := range holdings {
		cells := map[string]Cell{"item": TextCell(h.Item), "name": TextCell(h.Name), "model": TextCell(h.Sheet), "part": TextCell(h.Part),
			"count": NumberCell(float64(max(h.OnHand, 0))), "currency": TextCell(h.Currency), "place": TextCell(h.Place)}
		if h.Minimum > 0 {
			cells["minimum"] = NumberCell(float64(h.Minimum))
		}
		if h.Price != nil {
			cells["price"] = NumberCell(*h.Price)
		}
		t.row(cells)
	}
	return t
}

// LifeTable lists lives of parts as the wear-out life counts them: an infant
// failure is running here, and its mode says what it was.
func LifeTable(lives []history.PartLife) *Table {
	t := newTable(Lives)
	for i := range lives {
		l := &lives[i]
		cells := map[string]Cell{"time": NumberCell(l.Hours), "status": TextCell("running"), "mode": TextCell(l.Cause), "group": TextCell(l.Liquid),
			"part": TextCell(l.Part), "serial": TextCell(l.Serial)}
		if l.Fate == history.Failed && !l.Infant {
			cells["status"] = TextCell("failed")
		}
		t.row(cells)
	}
	return t
}
