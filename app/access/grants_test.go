package access

import "testing"

// Every operation belongs to a grant, and no grant covers what another does.
func TestGrants(t *testing.T) {
	for do := range Permits {
		covered := 0
		for _, g := range Grants() {
			if Within([]Grant{g}, do) {
				covered++
			}
		}
		if covered != 1 {
			t.Errorf("%q is covered by %d grants", do, covered)
		}
		if Within(nil, do) {
			t.Errorf("%q is done without a grant", do)
		}
		if !Within(Grants(), do) {
			t.Errorf("%q is not covered by all grants together", do)
		}
	}
	if Within(Grants(), "nothing known") {
		t.Error("an unknown operation is granted")
	}
}
