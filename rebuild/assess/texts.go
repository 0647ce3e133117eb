package assess

import (
	"encoding/json"
	"sync"
	"time"

	"pumpwright/calc/liquid"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/sheet"
)

// Texts keeps what was read out of texts: the procedure, model sheets, services
// and what jobs copied of the shop. Reading a sheet takes far longer than
// judging a job again, and many jobs share a few texts. What is kept depends
// on the text alone, so a kept answer is the same as a new one. The zero value
// is ready, for several goroutines at once.
type Texts struct {
	mutex     sync.Mutex
	procedure *procedure.Procedure
	sheets    map[string]readSheet
	services  map[string]readService
	shops     map[string]readShop
}

type readSheet struct {
	sheet   *sheet.Sheet
	remarks []say.Message
}

type readService struct {
	service *sheet.Service
	liquid  *liquid.Liquid
	remarks []say.Message
}

type readShop struct {
	shop    *ledger.Shop
	remarks []say.Message
}

// mostTexts of each kind are kept; then all are let go, which costs a reading.
const mostTexts = 256

// keep returns what is kept under a key, or makes it. The maps are small and
// the makers pure: two who make the same one at once waste only time.
func keep[T any](t *Texts, list *map[string]T, key string, make func() T) T {
	t.mutex.Lock()
	kept, ok := (*list)[key]
	t.mutex.Unlock()
	if ok {
		return kept
	}
	kept = make()
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if *list == nil || len(*list) >= mostTexts {
		*list = map[string]T{}
	}
	(*list)[key] = kept
	return kept
}

// FromJob puts the inputs together as the function FromJob does.
func (t *Texts) FromJob(state *job.State, asOf time.Time) (Inputs, error) {
	in := Inputs{Job: state, AsOf: asOf}
	if asOf.IsZero() {
		in.AsOf = state.Last.Time()
	}
	if err := t.procedureOf(&in); err != nil {
		return in, err
	}
	if err := t.sheetOf(&in, state); err != nil {
		return in, err
	}
	t.serviceOf(&in, state)
	t.shopOf(&in, state)
	return in, nil
}

func (t *Texts) procedureOf(in *Inputs) error {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if t.procedure == nil {
		p, err := procedure.Crescent()
		if err != nil {
			return err
		}
		t.procedure = p
	}
	in.Procedure = t.procedure
	return nil
}

func (t *Texts) sheetOf(in *Inputs, state *job.State) error {
	n := len(state.Sheets)
	if n == 0 {
		return say.Refuse("sheet", "", msgNoSheet.With(), msgWriteSheet.With())
	}
	text := state.Sheets[n-1].Body
	source := []byte(text.Text)
	if text.Text == "" {
		demo, err := sheet.DemoText(text.Name)
		if err != nil {
			return err
		}
		source = demo
	}
	read := keep(t, &t.sheets, text.Name+"\x00"+string(source), func() readSheet {
		s, findings := sheet.Parse(text.Name, source)
		read := readSheet{sheet: s}
		for _, f := range findings {
			read.remarks = append(read.remarks, msgSheetFinding.With(f))
		}
		return read
	})
	in.Sheet = read.sheet
	in.Remarks = append(in.Remarks, read.remarks...)
	return nil
}

func (t *Texts) serviceOf(in *Inputs, state *job.State) {
	n := len(state.Services)
	if n == 0 {
		in.Remarks = append(in.Remarks, msgNoService.With())
		return
	}
	text := state.Services[n-1].Body
	read := keep(t, &t.services, text.Name+"\x00"+text.Text, func() readService {
		s, findings := sheet.ParseService(text.Name, []byte(text.Text))
		read := readService{service: s}
		for _, f := range findings {
			read.remarks = append(read.remarks, msgService.With(f))
		}
		l, err := LiquidOf(s)
		if err != nil {
			read.remarks = append(read.remarks, msgLiquid.With(err))
		}
		read.liquid = l
		return read
	})
	in.Service, in.Liquid = read.service, read.liquid
	in.Remarks = append(in.Remarks, read.remarks...)
}

func (t *Texts) shopOf(in *Inputs, state *job.State) {
	n := len(state.Basis)
	if n == 0 {
		return
	}
	body := state.Basis[n-1].Body
	key, _ := json.Marshal(body) // it came out of JSON
	read := keep(t, &t.shops, string(key), func() readShop {
		shop, err := ledger.Read(body)
		if err != nil {
			return readShop{remarks: []say.Message{msgBasis.With(err)}}
		}
		return readShop{shop: shop}
	})
	if in.Shop = read.shop; in.Shop != nil {
		in.shopKey = sheet.Version(key)
	}
	in.Remarks = append(in.Remarks, read.remarks...)
}
