package demo

import (
	"embed"
	"encoding/json"
	"fmt"
	"sort"
	"strconv"
	"strings"
	"time"

	"github.com/goccy/go-yaml"

	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

//go:embed data/*.yaml
var files embed.FS

// Jobs lists the names of the jobs: one finished, one in the middle, one just
// received.
func Jobs() []string { return []string{"J-2041", "J-2057", "J-2063"} }

// Services lists the names of the services.
func Services() []string {
	return []string{"service-light-oil", "service-hot-water", "service-molasses"}
}

// ShopText returns the invented shop as YAML.
func ShopText() ([]byte, error) { return files.ReadFile("data/shop.yaml") }

// ServiceText returns a service as YAML.
func ServiceText(name string) ([]byte, error) { return files.ReadFile("data/" + name + ".yaml") }

// Shop reads the invented shop.
func Shop() (*ledger.Shop, error) {
	text, err := ShopText()
	if err != nil {
		return nil, err
	}
	var raw any
	if err := yaml.Unmarshal(text, &raw); err != nil {
		return nil, fmt.Errorf("demo: shop: %w", err)
	}
	return ledger.Read(raw)
}

// StockEntry is an entry of the invented parts stock.
type StockEntry struct {
	On   time.Time
	By   string
	Kind string
	Body map[string]any
}

// Stock returns the entries of the invented parts stock, in order.
func Stock() ([]StockEntry, error) {
	text, err := files.ReadFile("data/stock.yaml")
	if err != nil {
		return nil, fmt.Errorf("demo: stock: %w", err)
	}
	var list []struct {
		On, By, Kind string
		Body         map[string]any
	}
	if err := yaml.Unmarshal(text, &list); err != nil {
		return nil, fmt.Errorf("demo: stock: %w", err)
	}
	entries := make([]StockEntry, len(list))
	for i, e := range list {
		on, err := time.Parse(time.DateOnly, e.On)
		if err != nil {
			return nil, fmt.Errorf("demo: stock: %w", err)
		}
		entries[i] = StockEntry{On: on, By: e.By, Kind: e.Kind, Body: e.Body}
	}
	return entries, nil
}

type script struct {
	Job     string           `yaml:"job"`
	Sheet   string           `yaml:"sheet"`
	Service string           `yaml:"service"`
	Start   string           `yaml:"start"`
	Entries []map[string]any `yaml:"entries"`
}

// Job expands a job to its entries.
func Job(name string) (*record.Stream, error) {
	text, err := files.ReadFile("data/" + name + ".yaml")
	if err != nil {
		return nil, fmt.Errorf("demo: job %s: %w", name, err)
	}
	var s script
	if err := yaml.Unmarshal(text, &s); err != nil {
		return nil, fmt.Errorf("demo: job %s: %w", name, err)
	}
	at, err := time.Parse("2006-01-02 15:04", s.Start)
	if err != nil {
		return nil, fmt.Errorf("demo: job %s: %w", name, err)
	}
	w := writer{stream: &record.Stream{}, job: s.Job, at: at}
	model, err := sheet.Demo(s.Sheet)
	if err != nil {
		return nil, err
	}
	for i, e := range s.Entries {
		if err := w.entry(e, model); err != nil {
			return nil, fmt.Errorf("demo: job %s, entry %d: %w", name, i+1, err)
		}
		if i == 0 { // the job is open: what it is done with
			if err := w.basis(s, model); err != nil {
				return nil, fmt.Errorf("demo: job %s: %w", name, err)
			}
		}
	}
	return w.stream, nil
}

type writer struct {
	stream *record.Stream
	job    string
	at     time.Time
}

func (w *writer) add(by, kind string, body any) error {
	raw, err := record.CanonicalOf(body)
	if err != nil {
		return err
	}
	var random [10]byte
	number := uint64(len(w.stream.Entries) + 1)
	for i := range 8 {
		random[9-i] = byte(number >> (8 * i))
	}
	copy(random[2:], w.job)
	random[8], random[9] = byte(number>>8), byte(number)
	_, err = w.stream.Append(record.Entry{
		ID: record.NewID(w.at, random), Stream: "job:" + w.job, Kind: kind, Version: 1, Body: raw,
		By: by, At: record.TimeOf(w.at), Device: "bench-1", Seen: w.stream.Head(),
	})
	w.at = w.at.Add(4 * time.Minute)
	return err
}

// basis copies sheet, service and shop into the job.
func (w *writer) basis(s script, model *sheet.Sheet) error {
	service, err := ServiceText(s.Service)
	if err != nil {
		return err
	}
	shopText, err := ShopText()
	if err != nil {
		return err
	}
	var shop any
	if err := yaml.Unmarshal(shopText, &shop); err != nil {
		return err
	}
	if err := w.add("ines", job.KindSheet, job.Text{Name: model.Name + ".yaml", Text: model.Text}); err != nil {
		return err
	}
	if err := w.add("ines", job.KindService, job.Text{Name: s.Service + ".yaml", Text: string(service)}); err != nil {
		return err
	}
	return w.add("ines", job.KindBasis, shop)
}

func (w *writer) entry(e map[string]any, model *sheet.Sheet) error {
	by, _ := e["by"].(string)
	if minutes, ok := e["after"]; ok {
		n, err := strconv.Atoi(fmt.Sprint(minutes))
		if err != nil {
			return err
		}
		w.at = w.at.Add(time.Duration(n) * time.Minute)
	}
	for kind, body := range e {
		group, _ := body.(map[string]any)
		switch kind {
		case "by", "after":
			continue
		case job.KindOpen:
			group["job"] = w.job
		case job.KindReading:
			if group["state"] == nil {
				group["state"] = job.AsFound
			}
		case "grid":
			reading, err := grid(group, model)
			if err != nil {
				return err
			}
			return w.add(by, job.KindReading, reading)
		}
		return w.add(by, kind, body)
	}
	return fmt.Errorf("the entry has no kind")
}

// grid expands rows of numbers to values at the planes and angles of the
// sheet. The numbers keep the digits with which they were written.
func grid(group map[string]any, model *sheet.Sheet) (job.Reading, error) {
	r := job.Reading{State: job.AsFound}
	raw, err := json.Marshal(map[string]any{"feature": group["feature"], "instrument": group["instrument"]})
	if err != nil {
		return r, err
	}
	if err := json.Unmarshal(raw, &r); err != nil {
		return r, err
	}
	if state, ok := group["state"].(string); ok {
		r.State = state
	}
	f := model.Feature(r.Feature)
	if f == nil {
		return r, fmt.Errorf("no feature %s", r.Feature)
	}
	rows, _ := group["rows"].(map[string]any)
	planes := make([]string, 0, len(rows))
	for plane := range rows {
		planes = append(planes, plane)
	}
	sort.Strings(planes)
	decimals := 0
	for _, row := range rows {
		for _, v := range row.([]any) {
			if _, part, ok := strings.Cut(fmt.Sprint(v), "."); ok {
				decimals = max(decimals, len(part))
			}
		}
	}
	for _, plane := range planes {
		for i, v := range rows[plane].([]any) {
			if i >= len(f.Angles) {
				return r, fmt.Errorf("feature %s has %d angles", r.Feature, len(f.Angles))
			}
			angle := f.Angles[i]
			n, err := strconv.ParseFloat(fmt.Sprint(v), 64)
			if err != nil {
				return r, err
			}
			text := strconv.FormatFloat(n, 'f', decimals, 64) + " " + fmt.Sprint(group["unit"])
			r.Values = append(r.Values, job.Value{Plane: plane, Angle: &angle, Text: text})
		}
	}
	return r, nil
}
