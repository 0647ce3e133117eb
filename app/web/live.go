package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"time"

	"pumpwright/app/web/frame"
)

// beat is how often a silent connection says that it lives.
const beat = 20 * time.Second

// grown is a hint as the browser gets it; empty: look at everything.
type grown struct {
	Stream string `json:"stream"`
	Seq    int64  `json:"seq"`
}

// showLive tells the browser which streams grow, as server-sent events. The
// hints carry no content: whoever wants it asks for the page again.
func (s *Server) showLive(v *frame.Visit) error {
	hints, leave := v.Shop.Subscribe(v.Visitor.Scope)
	defer leave()
	control := http.NewResponseController(v.ResponseWriter)
	if err := control.SetWriteDeadline(time.Time{}); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	if _, err := fmt.Fprint(v.ResponseWriter, "retry: 1000\n\n"); err != nil {
		return nil // the browser has gone
	}
	if err := control.Flush(); err != nil {
		return err
	}
	ticker := time.NewTicker(beat)
	defer ticker.Stop()
	for {
		var line string
		select {
		case <-v.Context().Done():
			return nil
		case <-s.live.Done():
			return nil
		case <-ticker.C:
			line = ": here\n\n"
		case hint, open := <-hints:
			if !open {
				return nil
			}
			text, err := json.Marshal(grown{hint.Stream, hint.Seq})
			if err != nil {
				return err
			}
			line = "event: grown\ndata: " + string(text) + "\n\n"
		}
		if _, err := fmt.Fprint(v.ResponseWriter, line); err != nil {
			return nil
		}
		if err := control.Flush(); err != nil {
			return nil
		}
	}
}
