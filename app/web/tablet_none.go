//go:build !tablet && !js

package web

// addTablet adds nothing: this build has no code of the pages for tablets.
func addTablet(func(string, []byte) *asset) {}
