package shop

import (
	"sync"
)

// Hint says that a stream has come to an entry; whoever lacks it fetches it.
// The zero Hint says that some were missed: look at everything.
type Hint struct {
	Stream string
	Seq    int64
}

// hub gives hints to those who watch a site.
type hub struct {
	mutex  sync.Mutex
	closed bool
	sites  map[string]map[chan Hint]bool
}

// hintsKept for one who is slow; after that he is told to look at everything.
const hintsKept = 128

// Subscribe gives a hint for each entry of the scope's site, until the
// function returned is called; then, or when the shop closes, the channel is
// closed. It never makes a writer wait.
func (s *Shop) Subscribe(sc Scope) (<-chan Hint, func()) {
	h := &s.hints
	c := make(chan Hint, hintsKept)
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if h.closed || sc.Site == "" {
		close(c)
		return c, func() {}
	}
	if h.sites == nil {
		h.sites = map[string]map[chan Hint]bool{}
	}
	if h.sites[sc.Site] == nil {
		h.sites[sc.Site] = map[chan Hint]bool{}
	}
	h.sites[sc.Site][c] = true
	return c, func() { h.leave(sc.Site, c) }
}

func (h *hub) leave(site string, c chan Hint) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if h.sites[site][c] {
		delete(h.sites[site], c)
		close(c)
	}
}

// hear passes on what another process of the same database did. When some of
// it may have been missed, everybody is told to look at everything.
func (h *hub) hear(site string, hint Hint) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if site != "" {
		h.send(site, hint)
		return
	}
	for one := range h.sites {
		h.send(one, Hint{})
	}
}

func (h *hub) publish(site string, hint Hint) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	h.send(site, hint)
}

// send gives a hint to those who watch a site; the caller holds the mutex.
func (h *hub) send(site string, hint Hint) {
	for c := range h.sites[site] {
		select {
		case c <- hint:
			continue
		default:
		}
		for emptied := false; !emptied; { // too slow: one zero hint in place of all
			select {
			case <-c:
			default:
				emptied = true
			}
		}
		c <- Hint{} // there is room: only this function sends, and the lock is held
	}
}

func (h *hub) close() {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	h.closed = true
	for _, watchers := range h.sites {
		for c := range watchers {
			close(c)
		}
	}
	h.sites = nil
}
