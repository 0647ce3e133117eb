package sheet

import (
	"embed"
	"fmt"
	"sort"
	"strings"

	"pumpwright/calc/say"
)

//go:embed demo/*.yaml
var demoFiles embed.FS

// DemoNames lists the invented sheets that come with the program.
func DemoNames() []string {
	entries, err := demoFiles.ReadDir("demo")
	if err != nil {
		return nil
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".yaml"))
	}
	sort.Strings(names)
	return names
}

var (
	msgNoDemo   = say.Define("sheet.no_demo", "there is no demo sheet “{name}”")
	msgDemosAre = say.Define("sheet.demos_are", "the demo sheets are {names}; write the name of a file for a sheet of your own")
)

// DemoText returns the text of an invented sheet.
func DemoText(name string) ([]byte, error) {
	text, err := demoFiles.ReadFile("demo/" + name + ".yaml")
	if err != nil {
		return nil, say.Refuse("sheet", name, msgNoDemo.With(name), msgDemosAre.With(DemoNames()))
	}
	return text, nil
}

// Demo reads an invented sheet.
func Demo(name string) (*Sheet, error) {
	text, err := DemoText(name)
	if err != nil {
		return nil, err
	}
	s, findings := Parse(name+".yaml", text)
	if problems := findings.Problems(); len(problems) > 0 {
		return nil, fmt.Errorf("sheet: %w", findings)
	}
	return s, nil
}
