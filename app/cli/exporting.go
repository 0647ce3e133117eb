package cli

import (
	"bytes"
	"path/filepath"
	"sort"
	"strings"

	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/ledger"
)

// exportCommand gives tables out.
type exportCommand struct {
	Subject string `arg:"" enum:"pumps,readings,jobs,stock,lives,entries,all" help:"What the table is about: pumps, readings, jobs, stock, lives; entries for JSON Lines; all for a workbook of all tables."`
	pastFiles
	Out string `placeholder:"FILE" help:"CSV file or workbook (.xlsx) to write; one that is there already is replaced (default: CSV, printed)."`
}

// Help shows how it is called.
func (*exportCommand) Help() string {
	return `The columns are those that import reads. A text that a spreadsheet could take for a formula is written so that it stays a text. The exit status is 3 when a file is damaged or a job could not be used.

  pumpwright export readings J-2041.jsonl
  pumpwright export all . --out shop.xlsx
  pumpwright export entries . --out all.jsonl
`
}

var (
	msgExported   = say.Define("cli.exported", "written: {file} with {rows:count|row|rows}")
	msgAllXLSX    = say.Define("cli.all_xlsx", "all tables fit into a workbook only")
	msgWriteXLSX  = say.Define("cli.write_xlsx", "write --out with a name that ends in .xlsx")
	msgBadTable   = say.Define("cli.bad_table", "this is the name of no table")
	msgWriteTable = say.Define("cli.write_table", "write a name that ends in .csv or .xlsx")
)

// Run gives the table out.
func (c *exportCommand) Run(env *Env) error {
	ext := strings.ToLower(filepath.Ext(c.Out))
	switch {
	case c.Subject == "entries":
		return c.entries(env)
	case c.Subject == "all" && ext != ".xlsx":
		return say.Refuse("out", c.Out, msgAllXLSX.With(), msgWriteXLSX.With())
	case c.Out != "" && ext != ".csv" && ext != ".xlsx":
		return say.Refuse("out", c.Out, msgBadTable.With(), msgWriteTable.With())
	}
	o, err := c.load(env, say.Style{})
	if err != nil {
		return err
	}
	var tables []*transfer.Table
	rows := 0
	for _, s := range transfer.Subjects() {
		if c.Subject == string(s) || c.Subject == "all" {
			t := o.table(s)
			rows += len(t.Rows)
			tables = append(tables, t)
		}
	}
	var out bytes.Buffer
	if ext == ".xlsx" {
		err = transfer.WriteXLSX(&out, tables...)
	} else {
		err = tables[0].WriteCSV(&out)
	}
	if err != nil {
		return err
	}
	return c.give(env, o, out.Bytes(), rows)
}

// entries gives out every entry as it is.
func (c *exportCommand) entries(env *Env) error {
	g, err := gather(env, c.Files)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := transfer.WriteLines(&out, g.Streams...); err != nil {
		return err
	}
	n := 0
	for _, s := range g.Streams {
		n += len(s.Entries)
	}
	return c.give(env, &past{Past: transfer.Past{Faults: g.Faults}}, out.Bytes(), n)
}

// give writes the content, and says what could not be used where it does not
// stand between the rows.
func (c *exportCommand) give(env *Env, o *past, content []byte, rows int) error {
	said := *env
	if c.Out == "" {
		if _, err := env.Out.Write(content); err != nil {
			return err
		}
		said.Out = env.Err
	} else if err := env.Folder.Write(c.Out, content); err != nil {
		return err
	}
	p := newPage(&said, say.Style{})
	p.unused(o)
	if c.Out != "" {
		p.line(msgExported.With(c.Out, rows).Text(p.style))
	}
	if p.err == nil && !o.whole() {
		return status(calculator.StatusNotYet)
	}
	return p.err
}

// table makes the table of a subject.
func (p *past) table(s transfer.Subject) *transfer.Table {
	switch s {
	case transfer.Pumps:
		return transfer.PumpTable(p.pumpList())
	case transfer.Readings:
		return transfer.ReadingTable(p.states)
	case transfer.Jobs:
		return transfer.JobTable(p.jobs)
	case transfer.Stock:
		return transfer.StockTable(p.stock())
	}
	return transfer.LifeTable(history.NewFleet(p.jobs, p.pumps, p.options).PartLives(history.Filter{}))
}

func (p *past) pumpList() []*history.Pump {
	list := make([]*history.Pump, 0, len(p.pumps))
	for _, pump := range p.pumps {
		list = append(list, pump)
	}
	sort.Slice(list, func(a, b int) bool { return list[a].Serial < list[b].Serial })
	return list
}

// stock puts the stocks of the files together.
func (p *past) stock() *ledger.Stock {
	all := &ledger.Stock{}
	for _, s := range p.gathered.Streams {
		if strings.HasPrefix(s.Name, stockPrefix) {
			one := ledger.FoldStock(s)
			all.Holdings = append(all.Holdings, one.Holdings...)
			all.Troubles = append(all.Troubles, one.Troubles...)
		}
	}
	return all
}

// stockPrefix begins the name of the stream of a parts stock.
const stockPrefix = "stock:"
