//go:build tablet && !js

package web

import _ "embed"

// The pages' own code for tablets, as packaging/tablet makes it.
var (
	//go:embed assets/tablet/tablet.wasm.br
	tabletCode []byte
	//go:embed assets/tablet/tablet.js
	tabletStart []byte
)

func addTablet(add func(string, []byte) *asset) {
	add(tabletStarter, tabletStart)
	add(tabletProgram, tabletCode).packing = "br"
}
