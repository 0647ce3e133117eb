package api

import (
	"bytes"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/app/shop"
	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// mostArchive bounds an archive on its way in; a larger one is put back at the
// machine of the shop.
const mostArchive = 256 << 20

const (
	mediaCSV  = "text/csv"
	mediaBook = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	mediaZIP  = "application/zip"
	mediaLine = "application/jsonl"
)

type takeTableIn struct {
	Table     string   `path:"table" enum:"pumps,jobs,readings,stock,lives"`
	Columns   []string `query:"columns" doc:"which column is which where its name does not fit: name=column"`
	Keep      bool     `query:"keep" doc:"take it in: all of it, or nothing; otherwise it is only looked at"`
	Confirmed bool     `query:"confirmed" doc:"what is unlikely was looked at again"`
	RawBody   []byte   `contentType:"text/csv" doc:"CSV or a workbook (XLSX), its first row the names of the columns"`
}

type restoredOut struct {
	Body struct {
		Taken int `json:"taken" doc:"entries that were put back"`
		Known int `json:"known" doc:"entries that were here already"`
	}
}

// tables adds what comes in and goes out as tables, lines and archives.
func (s *Server) tables() {
	register(s, huma.Operation{
		OperationID: "take-table", Method: http.MethodPost, Path: "/tables/{table}", Tags: []string{"tables"}, DefaultStatus: http.StatusOK, MaxBodyBytes: mostUpload,
		Summary: "Look at a table, or take it in", Errors: writeErrors,
		Description: "The same table taken in again changes nothing twice. 409: some readings are unlikely, and nothing was kept; send it again with confirmed=true.",
	}, takeTable)
	register(s, huma.Operation{
		OperationID: "get-table", Method: http.MethodGet, Path: "/tables/{table}", Tags: []string{"tables"}, Summary: "Fetch a table of the shop", Responses: gives(mediaCSV, mediaBook),
	}, func(v *visit, in *struct {
		Table  string `path:"table" enum:"pumps,jobs,readings,stock,lives,all" doc:"all: every table, as one workbook"`
		Format string `query:"format" enum:"csv,xlsx" default:"csv"`
	}) (*fileOut, error) {
		return giveTable(v, in.Table, in.Format)
	})
	register(s, huma.Operation{
		OperationID: "get-entries", Method: http.MethodGet, Path: "/archive/entries.jsonl", Tags: []string{"tables"}, Summary: "Fetch every entry of the shop, one a line", Responses: gives(mediaLine),
	}, func(v *visit, _ *struct{}) (*fileOut, error) {
		from, err := v.shop.Exchange(v, v.scope)
		if err != nil {
			return nil, err
		}
		names, err := from.StreamNames()
		if err != nil {
			return nil, err
		}
		var file bytes.Buffer
		for _, name := range names {
			stream, err := from.Stream(name)
			if err != nil {
				return nil, err
			}
			if err := transfer.WriteLines(&file, stream); err != nil {
				return nil, err
			}
		}
		return given(mediaLine, "entries.jsonl", file.Bytes()), nil
	})
	register(s, huma.Operation{
		OperationID: "get-archive", Method: http.MethodGet, Path: "/archive", Tags: []string{"tables"}, Summary: "Fetch the whole shop as one file", Responses: gives(mediaZIP),
		Description: "Every entry, photo and paper, each with its hash. It holds no people and nothing to sign in with.",
	}, func(v *visit, _ *struct{}) (*fileOut, error) {
		from, err := v.shop.Exchange(v, v.scope)
		if err != nil {
			return nil, err
		}
		var file bytes.Buffer
		if _, err := transfer.WriteArchive(&file, from, "", record.TimeOf(s.config.Now())); err != nil {
			return nil, err
		}
		return given(mediaZIP, "shop.zip", file.Bytes()), nil
	})
	register(s, huma.Operation{
		OperationID: "put-archive", Method: http.MethodPut, Path: "/archive", Tags: []string{"tables"}, DefaultStatus: http.StatusOK, MaxBodyBytes: mostArchive,
		Summary: "Put an archive back into a shop that is empty yet", Errors: writeErrors,
	}, func(v *visit, in *struct {
		RawBody []byte `contentType:"application/zip"`
	}) (*restoredOut, error) {
		into, err := v.shop.Refill(v, v.scope)
		if err != nil {
			return nil, err
		}
		a, err := transfer.ReadArchive(bytes.NewReader(in.RawBody), int64(len(in.RawBody)))
		if err != nil {
			return nil, err
		}
		o, err := a.Restore(into)
		if err != nil {
			return nil, err
		}
		out := &restoredOut{}
		out.Body.Taken, out.Body.Known = o.Taken, o.Known
		return out, nil
	})
}

func takeTable(v *visit, in *takeTableIn) (out *objectOut, err error) {
	into, err := v.shop.Exchange(v, v.scope)
	if err != nil {
		return nil, err
	}
	subject := transfer.Subject(in.Table)
	rows, closeRows, err := rowsIn(in.RawBody, subject)
	if err != nil {
		return nil, err
	}
	defer func() {
		if fault := closeRows(); err == nil {
			err = fault
		}
	}()
	mapping := transfer.Guess(subject, rows.Columns)
	for _, pair := range in.Columns {
		name, column, _ := strings.Cut(pair, "=")
		mapping[name] = column
	}
	var unlikely []say.Message
	plan, err := transfer.Import(subject, rows, transfer.ImportOptions{Mapping: mapping, By: v.scope.Person, Device: v.scope.Device, Check: into.Check(&unlikely)})
	if err != nil {
		return nil, err
	}
	if !in.Keep {
		return &objectOut{transfer.Imported(in.Table, plan, nil, unlikely, say.Style{})}, nil
	}
	if err := plan.Ready(); err != nil {
		return nil, err
	}
	if len(unlikely) > 0 && !in.Confirmed {
		return nil, &lookAgain{unlikely}
	}
	taken, err := plan.Into(into)
	if err != nil {
		return nil, err
	}
	return &objectOut{transfer.Imported(in.Table, plan, &taken, unlikely, say.Style{})}, nil
}

// rowsIn reads a file as CSV or as a workbook, which is a ZIP file.
func rowsIn(content []byte, about transfer.Subject) (*transfer.Rows, func() error, error) {
	from, size := bytes.NewReader(content), int64(len(content))
	if !bytes.HasPrefix(content, []byte("PK")) {
		rows, err := transfer.OpenCSV(from)
		return rows, func() error { return nil }, err
	}
	sheet := ""
	names, err := transfer.Sheets(from, size)
	if err != nil {
		return nil, nil, err
	}
	for _, name := range names {
		if strings.EqualFold(name, string(about)) {
			sheet = name
		}
	}
	return transfer.OpenXLSX(from, size, sheet)
}

func giveTable(v *visit, name, format string) (*fileOut, error) {
	from, err := v.shop.Exchange(v, v.scope)
	if err != nil {
		return nil, err
	}
	past, err := v.shop.Past(v, v.scope)
	if err != nil {
		return nil, err
	}
	subjects := []transfer.Subject{transfer.Subject(name)}
	if name == "all" {
		subjects, format = transfer.Subjects(), "xlsx"
	}
	var tables []*transfer.Table
	for _, subject := range subjects {
		t, err := tableOf(v, from, past, subject)
		if err != nil {
			return nil, err
		}
		tables = append(tables, t)
	}
	var file bytes.Buffer
	if format == "xlsx" {
		err := transfer.WriteXLSX(&file, tables...)
		return given(mediaBook, name+".xlsx", file.Bytes()), err
	}
	err = tables[0].WriteCSV(&file)
	return given(mediaCSV, name+".csv", file.Bytes()), err
}

func tableOf(v *visit, from *shop.Holdings, past *shop.Past, subject transfer.Subject) (*transfer.Table, error) {
	switch subject {
	case transfer.Pumps:
		return transfer.PumpTable(past.Pumps), nil
	case transfer.Jobs:
		return transfer.JobTable(past.Jobs), nil
	case transfer.Lives:
		return transfer.LifeTable(past.Fleet.PartLives(history.Filter{})), nil
	case transfer.Stock:
		stock, err := v.shop.Stock(v, v.scope)
		if err != nil {
			return nil, err
		}
		return transfer.StockTable(stock), nil
	}
	states := make([]*job.State, 0, len(past.Jobs))
	for i := range past.Jobs {
		stream, err := from.Stream(past.Jobs[i].Stream)
		if err != nil {
			return nil, err
		}
		states = append(states, job.Fold(stream))
	}
	return transfer.ReadingTable(states), nil
}
