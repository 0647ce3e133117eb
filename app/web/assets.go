//go:build !js

package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io"
	"net/http"
	"path"
	"strings"
	"sync"

	"pumpwright/app/draw"
	"pumpwright/app/language"
)

//go:embed assets/*.css assets/*.js assets/*.svg
var assetFiles embed.FS

// asset is a file under a name that changes with its content, so that a
// browser may keep it for good.
type asset struct {
	address string
	media   string
	content []byte
	packing string // br or gzip, which every browser takes that works without network
}

var mediaOf = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml", ".ttf": "font/ttf", ".wasm": "application/wasm",
}

// assets makes the files: the fonts first, since the style sheet names them.
var assets = sync.OnceValue(func() map[string]*asset {
	byName := map[string]*asset{}
	add := func(name string, content []byte) *asset {
		sum := sha256.Sum256(content)
		kind := path.Ext(name)
		a := &asset{address: "/assets/" + strings.TrimSuffix(name, kind) + "." + hex.EncodeToString(sum[:6]) + kind, media: mediaOf[kind], content: content}
		byName[name] = a
		byName[path.Base(a.address)] = a
		return a
	}
	regular := add("regular.ttf", draw.RegularFont())
	bold := add("bold.ttf", draw.BoldFont())
	for _, name := range []string{"pumpwright.js", "queue.js", "mark.svg"} {
		content, _ := assetFiles.ReadFile("assets/" + name) // embedded
		add(name, content)
	}
	rules, _ := assetFiles.ReadFile("assets/pumpwright.css") // embedded
	add("pumpwright.css", []byte(strings.NewReplacer(
		"%regular%", regular.address, "%bold%", bold.address,
		"%paper%", draw.PaperPalette.CSS(), "%dark%", draw.DarkPalette.CSS(), "%contrast%", draw.ContrastPalette.CSS(), "%print%", draw.PrintPalette.CSS(),
	).Replace(string(rules))))
	addTablet(add)
	return byName
})

// assetAddress returns the address of a file by its plain name.
func assetAddress(name string) string {
	if a := assets()[name]; a != nil {
		return a.address
	}
	return "/assets/" + name
}

func showAsset(w http.ResponseWriter, r *http.Request) {
	a := assets()[r.PathValue("name")]
	if a == nil {
		a = wordsNamed(r.PathValue("name"))
	}
	if a == nil || path.Base(a.address) != r.PathValue("name") {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", a.media)
	if a.packing != "" {
		w.Header().Set("Content-Encoding", a.packing)
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	_, _ = w.Write(a.content) // a reader who went away
}

// wordsOf is the file of a language for a tablet: read and packed when the
// first tablet asks for it.
func wordsOf(tag string) *asset {
	if tag == language.English || !language.Known(tag) {
		return nil
	}
	once, _ := words.LoadOrStore(tag, sync.OnceValue(func() *asset {
		text, err := language.Text(tag)
		if err != nil {
			return nil
		}
		sum := sha256.Sum256([]byte(text))
		var packed bytes.Buffer
		z := gzip.NewWriter(&packed)
		_, _ = io.WriteString(z, text) // into memory
		_ = z.Close()
		return &asset{address: "/assets/" + wordsPrefix + tag + "." + hex.EncodeToString(sum[:6]) + ".po", media: "text/plain; charset=utf-8", content: packed.Bytes(), packing: "gzip"}
	}))
	return once.(func() *asset)()
}

func wordsAddress(tag string) string {
	if a := wordsOf(tag); a != nil {
		return a.address
	}
	return ""
}

var words sync.Map // tag → func() *asset

const wordsPrefix = "words-"

// wordsNamed finds the words of a language by the name of their address.
func wordsNamed(name string) *asset {
	rest, is := strings.CutPrefix(name, wordsPrefix)
	tag, _, _ := strings.Cut(rest, ".")
	if !is {
		return nil
	}
	return wordsOf(tag)
}

// serveFiles serves what the pages are made of.
func serveFiles(mux *http.ServeMux) {
	mux.Handle("GET /assets/{name}", http.HandlerFunc(showAsset))
	mux.Handle("GET /worker.js", http.HandlerFunc(showWorker))
	mux.Handle("GET /pumpwright.webmanifest", http.HandlerFunc(showManifest))
}
