package knowledge

import "testing"

// A few letters find an item by its name, its looks, where to look, or its id;
// what the name says comes first.
func TestFind(t *testing.T) {
	base, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	if all := base.Find("  "); len(all) != len(base.Evidence) {
		t.Errorf("nothing typed gives %d of %d", len(all), len(base.Evidence))
	}
	for _, c := range []struct{ typed, first string }{
		{"strainer bl", "E70"}, // by name
		{"E07", "E07"},
		{"e7", "E70"},
		{"phonograph", ""}, // the list words it otherwise
		{"flanks bright", "E52"},
	} {
		found := base.Find(c.typed)
		switch {
		case c.first == "" && len(found) != 0:
			t.Errorf("%q: %s", c.typed, found[0].ID)
		case c.first != "" && (len(found) == 0 || found[0].ID != c.first):
			t.Errorf("%q: %d found, first is not %s", c.typed, len(found), c.first)
		}
	}
	if len(base.Find("groove")) < 3 {
		t.Error("too few items about grooves")
	}
}

// Every item has words by which somebody who never saw it can tell it.
func TestEveryItemCanBeRecognised(t *testing.T) {
	base, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	if len(base.Evidence) < 85 || len(base.Causes) < 30 {
		t.Fatalf("%d items, %d causes", len(base.Evidence), len(base.Causes))
	}
	for _, e := range base.Evidence {
		if len(e.Looks) < 15 || len(e.Where) < 5 || base.Parts[e.Part] == "" {
			t.Errorf("%s: %q, where %q, part %q", e.ID, e.Looks, e.Where, e.Part)
		}
	}
	for _, c := range base.Causes {
		if c.Mechanism == "" || c.Confirm == "" || c.Change == "" {
			t.Errorf("%s lacks its mechanism, what confirms it or what to change", c.ID)
		}
	}
}
