package watch

import (
	"bufio"
	"fmt"
	"io"
	"runtime"
	"runtime/metrics"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"time"
)

// edges of the classes of duration, in seconds.
var edges = []float64{0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10}

// mostRoutes are counted apart; there are only so many in the program.
const mostRoutes = 500

// counts of the requests since the start.
type counts struct {
	mutex    sync.Mutex
	started  time.Time
	underWay int
	routes   map[routeKey]*routeCount
}

type routeKey struct {
	route  string
	status int // hundreds
}

type routeCount struct {
	n     uint64
	sum   float64
	below []uint64 // by edge, not summed up
}

func (c *counts) begin() {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.underWay++
}

func (c *counts) end(route string, status int, took time.Duration) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.underWay--
	key := routeKey{route, status / 100}
	r := c.routes[key]
	if r == nil {
		if len(c.routes) >= mostRoutes {
			key.route = "other"
		}
		if r = c.routes[key]; r == nil {
			r = &routeCount{below: make([]uint64, len(edges))}
			c.routes[key] = r
		}
	}
	seconds := took.Seconds()
	r.n++
	r.sum += seconds
	if i := sort.SearchFloat64s(edges, seconds); i < len(edges) {
		r.below[i]++
	}
}

// page writes metrics.
type page struct {
	w *bufio.Writer
}

func (p page) head(name, kind, help string) {
	fmt.Fprintf(p.w, "# HELP %s %s\n# TYPE %s %s\n", name, help, name, kind)
}

func (p page) line(name string, value float64, labels ...string) {
	p.w.WriteString(name)
	if len(labels) > 0 {
		p.w.WriteByte('{')
		for i := 0; i < len(labels); i += 2 {
			if i > 0 {
				p.w.WriteByte(',')
			}
			p.w.WriteString(labels[i] + `="` + labelEscape.Replace(labels[i+1]) + `"`)
		}
		p.w.WriteByte('}')
	}
	p.w.WriteString(" " + strconv.FormatFloat(value, 'g', -1, 64) + "\n")
}

// labelEscape escapes what ends a label's value in the format.
var labelEscape = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`)

func (p page) one(name, kind, help string, value float64, labels ...string) {
	p.head(name, kind, help)
	p.line(name, value, labels...)
}

// writeCounts writes the requests.
func (c *counts) write(p page) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	keys := make([]routeKey, 0, len(c.routes))
	for k := range c.routes {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b routeKey) int {
		if a.route != b.route {
			return strings.Compare(a.route, b.route)
		}
		return a.status - b.status
	})
	p.one("pumpwright_requests_under_way", "gauge", "Requests that are being answered.", float64(c.underWay))
	const name = "pumpwright_request_seconds"
	p.head(name, "histogram", "Time to answer, by route and hundreds of the status.")
	for _, k := range keys {
		r, sum := c.routes[k], uint64(0)
		status := strconv.Itoa(k.status) + "xx"
		for i, edge := range edges {
			sum += r.below[i]
			p.line(name+"_bucket", float64(sum), "route", k.route, "status", status, "le", strconv.FormatFloat(edge, 'g', -1, 64))
		}
		p.line(name+"_bucket", float64(r.n), "route", k.route, "status", status, "le", "+Inf")
		p.line(name+"_sum", r.sum, "route", k.route, "status", status)
		p.line(name+"_count", float64(r.n), "route", k.route, "status", status)
	}
	p.one("process_start_time_seconds", "gauge", "When the server was started, in seconds since 1970.", float64(c.started.UnixMilli())/1000)
}

// writeRuntime writes what the process itself takes.
func writeRuntime(p page) {
	samples := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}, {Name: "/memory/classes/total:bytes"}, {Name: "/gc/cycles/total:gc-cycles"}}
	metrics.Read(samples)
	for i, m := range []struct{ name, kind, help string }{
		{"pumpwright_heap_bytes", "gauge", "Memory in use by objects."},
		{"pumpwright_memory_bytes", "gauge", "Memory taken from the system."},
		{"pumpwright_collections_total", "counter", "Times that memory was swept."},
	} {
		if samples[i].Value.Kind() == metrics.KindUint64 {
			p.one(m.name, m.kind, m.help, float64(samples[i].Value.Uint64()))
		}
	}
	p.one("pumpwright_goroutines", "gauge", "Things that are being done at once.", float64(runtime.NumGoroutine()))
}

// write writes everything.
func (s *Server) write(w io.Writer, h health) error {
	p := page{bufio.NewWriter(w)}
	p.one("pumpwright_info", "gauge", "The version that runs.", 1, "version", s.config.Version)
	p.one("pumpwright_up", "gauge", "1 when the database answers.", yes(h.Database))
	if h.state.Kept {
		last := 0.0
		if h.state.LastGood != 0 {
			last = float64(h.state.LastGood.Time().Unix())
		}
		p.one("pumpwright_last_good_backup_seconds", "gauge", "When the last good backup was made, in seconds since 1970; 0 for never.", last)
	}
	s.counts.write(p)
	writeRuntime(p)
	return p.w.Flush()
}

func yes(is bool) float64 {
	if is {
		return 1
	}
	return 0
}
