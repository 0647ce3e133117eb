//go:build !js

package web

import (
	"encoding/json"
	"net/http"
	"strings"
	"sync"
)

// workerCode is the worker of the pages with the addresses of what it keeps.
var workerCode = sync.OnceValue(func() string {
	code, _ := assetFiles.ReadFile("assets/worker.js") // embedded
	files := []string{}
	for _, name := range []string{"pumpwright.css", "pumpwright.js", "queue.js", "mark.svg", "regular.ttf", "bold.ttf"} {
		files = append(files, assetAddress(name))
	}
	list, _ := json.Marshal(files) // texts only
	return strings.NewReplacer("%queue%", assetAddress("queue.js"), `"%files%"`, string(list),
		"%program%", tabletAddress(tabletProgram), "%starter%", tabletAddress(tabletStarter)).Replace(string(code))
})

// tabletAddress is the address of a file of the pages' own code for tablets,
// "" in a build without it.
func tabletAddress(name string) string {
	if assets()[name] == nil {
		return ""
	}
	return assetAddress(name)
}

// showWorker serves the worker. It alone may run the pages' own code, which is
// WebAssembly; the pages themselves may not.
func showWorker(w http.ResponseWriter, _ *http.Request) {
	h := w.Header()
	h.Set("Content-Type", "text/javascript; charset=utf-8")
	h.Set("Cache-Control", "no-cache")
	h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'")
	_, _ = w.Write([]byte(workerCode())) // a reader who went away
}

// showManifest lets a tablet put the shop on its first screen.
func showManifest(w http.ResponseWriter, _ *http.Request) {
	text, _ := json.Marshal(map[string]any{ // texts only
		"name": "Pumpwright", "short_name": "Pumpwright", "start_url": "/", "scope": "/", "display": "standalone",
		"icons": []map[string]string{{"src": assetAddress("mark.svg"), "type": "image/svg+xml", "sizes": "any"}},
	})
	h := w.Header()
	h.Set("Content-Type", "application/manifest+json")
	h.Set("Cache-Control", "no-cache")
	_, _ = w.Write(text) // a reader who went away
}

// The files of the pages' own code for tablets.
const (
	tabletProgram = "tablet.wasm"
	tabletStarter = "tablet.js"
)
