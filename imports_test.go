package pumpwright_test

import (
	"path"
	"sort"
	"strconv"
	"strings"
	"testing"
)

// The floors. Arrows go downward only: a room imports rooms of its own floor
// that the table below names, and any room of a lower floor. cmd wires all of
// them together.
var lowerFloors = map[string][]string{
	"calc":    {},
	"rebuild": {"calc"},
	"app":     {"rebuild", "calc"},
	"cmd":     {"app", "rebuild", "calc"},
}

// ground is what every room of calc from metrology on may import.
var ground = []string{"say", "quantity", "working"}

// mechanics is what the rooms that join several subjects may import besides.
var mechanics = []string{"material", "liquid", "metrology", "gearset"}

// mayImport names the arrows inside a floor. Subrooms (rebuild/assess/cause)
// count as the room they lie in. An arrow that is missing here is not allowed;
// adding one is a decision about the whole, not a repair of a test.
var mayImport = map[string]map[string][]string{
	"calc": {
		"say":       {},
		"quantity":  {"say"},
		"working":   {"quantity", "say"},
		"metrology": ground,
		"material":  ground,
		"liquid":    ground,
		"gearset":   ground,
		"bolt":      ground,
		"seal":      ground,
		"align":     ground,
		"suction":   ground,
		"relief":    ground,
		"fit":       join(ground, mechanics),
		"bushing":   join(ground, mechanics),
		"chain":     join(ground, mechanics),
		"gasket":    join(ground, mechanics),
		"slip":      join(ground, mechanics),
		"window":    join(ground, mechanics, []string{"chain", "slip"}),
		"life":      ground,
		"cost":      ground,
		"diagnose":  ground,
		"cover":     ground,
	},
	"rebuild": {
		"record":     {},
		"fields":     {},
		"knowledge":  {"fields"},
		"sheet":      {"fields"},
		"procedure":  {"fields", "sheet"},
		"job":        {"fields", "record", "sheet", "procedure", "knowledge"},
		"ledger":     {"fields", "record", "sheet"},
		"learned":    {"record", "sheet", "job", "ledger", "assess", "history"}, // assess takes what was learned through the shop of ledger
		"assess":     {"fields", "record", "sheet", "procedure", "job", "ledger", "knowledge"},
		"demo":       {"fields", "record", "sheet", "job", "ledger", "assess", "history"}, // the simulated fleet is made of pump streams and summaries
		"identify":   {"sheet"},
		"history":    {"record", "sheet", "job", "ledger", "assess"},
		"calculator": {"fields", "sheet", "knowledge", "identify"},
	},
	"app": {
		"store":    {},
		"language": {},
		"access":   {"store"},
		"shop":     {"store", "access", "language"},
		"draw":     {},
		"figure":   {"draw"},
		"document": {"figure", "draw"},
		"report":   {"document", "figure", "draw"},
		"web":      {"shop", "access", "language", "document", "report", "figure", "draw", "transfer"}, // store: only through shop
		"api":      {"shop", "access", "document", "draw", "report", "figure", "transfer"},
		"cli":      {"web", "api", "language", "watch", "shop", "access", "document", "report", "figure", "transfer"},
		"watch":    {"shop", "access"},
		"transfer": {"shop", "document", "report"},
	},
}

func join(lists ...[]string) []string {
	var all []string
	for _, list := range lists {
		all = append(all, list...)
	}
	return all
}

// TestImports fails on an arrow that the table does not name. Tests beside the
// code may use any room of their own floor (to check against it), yet never a
// higher floor.
func TestImports(t *testing.T) {
	for _, s := range sources(t) {
		floor, room := place(s.folder)
		if _, known := lowerFloors[floor]; !known {
			continue // the module's root, comparisons, tools
		}
		if rooms := mayImport[floor]; rooms != nil && room != "" {
			if _, known := rooms[room]; !known {
				t.Errorf("%s: %s/%s is not a room of the table in imports_test.go", s.path, floor, room)
				continue
			}
		}
		for _, spec := range s.file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil || !in(imported, module) {
				continue
			}
			target := strings.TrimPrefix(strings.TrimPrefix(imported, module), "/")
			if why := refusedArrow(s.folder, target, s.test); why != "" {
				t.Errorf("%s imports %s: %s", s.path, target, why)
			}
		}
	}
}

// place splits a folder into its floor and its room.
func place(folder string) (floor, room string) {
	parts := strings.SplitN(folder, "/", 3)
	floor = parts[0]
	if len(parts) > 1 {
		room = parts[1]
	}
	return floor, room
}

// refusedArrow says why a folder may not import a target, "" when it may.
func refusedArrow(folder, target string, test bool) string {
	floor, room := place(folder)
	targetFloor, targetRoom := place(target)
	if floor != targetFloor {
		if targetFloor == "docs" && floor == "app" {
			return "" // the handbook is texts, and imports nothing
		}
		if has(lowerFloors[floor], targetFloor) {
			return ""
		}
		return floor + " may import " + orNothing(lowerFloors[floor]) + " and its own rooms, not " + orRoot(targetFloor)
	}
	if room == targetRoom || test || floor == "cmd" {
		return ""
	}
	if has(mayImport[floor][room], targetRoom) {
		return ""
	}
	return floor + "/" + room + " may import of its floor " + orNothing(mayImport[floor][room]) + "; see the table in imports_test.go"
}

func has(list []string, want string) bool {
	for _, item := range list {
		if item == want {
			return true
		}
	}
	return false
}

func orNothing(list []string) string {
	if len(list) == 0 {
		return "nothing"
	}
	sorted := append([]string(nil), list...)
	sort.Strings(sorted)
	return strings.Join(sorted, ", ")
}

func orRoot(floor string) string {
	if floor == "" {
		return "the module's root"
	}
	return floor
}

// The table itself: no room allows an arrow to a room that is not there, and
// no arrows run in a circle.
func TestImportTable(t *testing.T) {
	for floor, rooms := range mayImport {
		for room, targets := range rooms {
			for _, target := range targets {
				if _, known := rooms[target]; !known {
					t.Errorf("%s allows an arrow to %s, which is no room of %s", path.Join(floor, room), target, floor)
				}
				if reaches(rooms, target, room, map[string]bool{}) {
					t.Errorf("%s and %s of %s reach each other", room, target, floor)
				}
			}
		}
	}
}

func reaches(rooms map[string][]string, from, to string, seen map[string]bool) bool {
	if from == to {
		return true
	}
	if seen[from] {
		return false
	}
	seen[from] = true
	for _, next := range rooms[from] {
		if reaches(rooms, next, to, seen) {
			return true
		}
	}
	return false
}

// The rule refuses what it should: without these rows a broken rule would
// pass unseen.
func TestRefusedArrow(t *testing.T) {
	cases := []struct {
		folder, target string
		test, refused  bool
	}{
		{"calc/chain", "calc/metrology", false, false},
		{"calc/chain", "calc/slip", false, true},
		{"calc/chain", "calc/slip", true, false},
		{"calc/window", "calc/slip", false, false},
		{"calc/say", "calc/quantity", false, true},
		{"calc/slip", "rebuild/sheet", false, true},
		{"calc/slip", "rebuild/sheet", true, true},
		{"rebuild/job", "calc/quantity", false, false},
		{"rebuild/job", "app/store", false, true},
		{"rebuild/assess", "rebuild/assess/cause", false, false},
		{"rebuild/assess/cause", "rebuild/knowledge", false, false},
		{"rebuild/assess/cause", "rebuild/learned", false, true},
		{"rebuild/learned", "rebuild/assess/reading", false, false},
		{"rebuild/calculator", "rebuild/job", false, true},
		{"app/web/job", "app/web/part", false, false},
		{"app/web", "app/store", false, true},
		{"app/api", "rebuild/assess", false, false},
		{"cmd/pumpwright", "app/store", false, false},
		{"rebuild/sheet", "", false, true},
	}
	for _, c := range cases {
		if why := refusedArrow(c.folder, c.target, c.test); (why != "") != c.refused {
			t.Errorf("%s → %s (test %v): refused %q, want refused %v", c.folder, c.target, c.test, why, c.refused)
		}
	}
}
