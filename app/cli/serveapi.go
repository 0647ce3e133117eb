package cli

import (
	"log/slog"
	"net/http"
	"strings"

	"pumpwright/app/api"
)

// demoProgram is the invented person for whom programs act that show no token
// in the scenario.
const demoProgram = "odell"

// withAPI puts the interface for programs beside the pages.
func (p *serving) withAPI(pages http.Handler, log *slog.Logger) (http.Handler, error) {
	config := api.Config{Shop: p.shop, Version: p.env.Version, Log: log, Now: p.env.Now}
	if p.demo {
		config.Demo = demoProgram
	}
	programs, err := api.New(config)
	if err != nil {
		return nil, err
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == api.Root || strings.HasPrefix(r.URL.Path, api.Root+"/") {
			programs.ServeHTTP(w, r)
			return
		}
		pages.ServeHTTP(w, r)
	}), nil
}
