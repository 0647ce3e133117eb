package move

import (
	"bytes"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// tableOf makes a table to give out.
func tableOf(v *frame.Visit, subject transfer.Subject) (*transfer.Table, error) {
	past, err := v.Shop.Past(v.Context(), v.Visitor.Scope)
	if err != nil {
		return nil, err
	}
	switch subject {
	case transfer.Pumps:
		return transfer.PumpTable(past.Pumps), nil
	case transfer.Jobs:
		return transfer.JobTable(past.Jobs), nil
	case transfer.Lives:
		return transfer.LifeTable(past.Fleet.PartLives(history.Filter{})), nil
	case transfer.Stock:
		stock, err := v.Shop.Stock(v.Context(), v.Visitor.Scope)
		if err != nil {
			return nil, err
		}
		return transfer.StockTable(stock), nil
	case transfer.Readings:
		states, err := statesOf(v, past)
		if err != nil {
			return nil, err
		}
		return transfer.ReadingTable(states), nil
	}
	return nil, shop.ErrNotFound
}

// statesOf folds every job: readings need no more.
func statesOf(v *frame.Visit, past *shop.Past) ([]*job.State, error) {
	from, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope)
	if err != nil {
		return nil, err
	}
	states := make([]*job.State, 0, len(past.Jobs))
	for i := range past.Jobs {
		stream, err := from.Stream(past.Jobs[i].Stream)
		if err != nil {
			return nil, err
		}
		states = append(states, job.Fold(stream))
	}
	return states, nil
}

const workbook = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

func giveTable(v *frame.Visit) error {
	if _, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope); err != nil {
		return err
	}
	name, ending, _ := strings.Cut(v.PathValue("file"), ".")
	subjects := []transfer.Subject{transfer.Subject(name)}
	if name == "all" && ending == "xlsx" {
		subjects = transfer.Subjects()
	}
	var tables []*transfer.Table
	for _, s := range subjects {
		t, err := tableOf(v, s)
		if err != nil {
			return err
		}
		tables = append(tables, t)
	}
	var file bytes.Buffer
	switch ending {
	case "csv":
		if err := tables[0].WriteCSV(&file); err != nil {
			return err
		}
		return send(v, "text/csv; charset=utf-8", name+".csv", file.Bytes())
	case "xlsx":
		if err := transfer.WriteXLSX(&file, tables...); err != nil {
			return err
		}
		return send(v, workbook, name+".xlsx", file.Bytes())
	}
	return shop.ErrNotFound
}

func send(v *frame.Visit, media, name string, content []byte) error {
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", media)
	h.Set("Content-Length", strconv.Itoa(len(content)))
	h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	h.Set("Cache-Control", "no-store")
	_, err := v.ResponseWriter.Write(content)
	return err
}

// giveLines gives every entry out, one a line.
func giveLines(v *frame.Visit) error {
	from, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	names, err := from.StreamNames()
	if err != nil {
		return err
	}
	var file bytes.Buffer
	for _, name := range names {
		stream, err := from.Stream(name)
		if err != nil {
			return err
		}
		if err := transfer.WriteLines(&file, stream); err != nil {
			return err
		}
	}
	return send(v, "application/jsonl", "entries.jsonl", file.Bytes())
}

// giveArchive gives the whole shop out.
func giveArchive(v *frame.Visit) error {
	from, err := v.Shop.Exchange(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	var file bytes.Buffer
	if _, err := transfer.WriteArchive(&file, from, "", record.TimeOf(time.Now())); err != nil {
		return err
	}
	return send(v, "application/zip", "shop.zip", file.Bytes())
}

// putBack puts an archive into a shop that is empty yet.
func putBack(v *frame.Visit) error {
	into, err := v.Shop.Refill(v.Context(), v.Visitor.Scope)
	var o transfer.Outcome
	var content []byte
	if err == nil {
		_, content, err = sent(v, msgUnpack.With())
	}
	if err == nil {
		var a *transfer.Archive
		if a, err = transfer.ReadArchive(bytes.NewReader(content), int64(len(content))); err == nil {
			o, err = a.Restore(into)
		}
	}
	if problem := frame.Refusal(err); problem != nil {
		return (&desk{v: v, back: problem}).show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go("/tables?restored=" + strconv.Itoa(o.Taken))
}

// outRow is a table that can be given out.
type outRow struct {
	title     say.Message
	csv, book string
}

func outRows() []outRow {
	var list []outRow
	for _, s := range transfer.Subjects() {
		list = append(list, outRow{title(s), "/tables/out/" + string(s) + ".csv", "/tables/out/" + string(s) + ".xlsx"})
	}
	return list
}
