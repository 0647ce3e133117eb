package liquid

import (
	_ "embed" // the lists below
	"fmt"
	"sync"

	"github.com/goccy/go-yaml"

	"pumpwright/calc/say"
)

//go:embed demo.yaml
var demoList []byte

//go:embed typical.yaml
var typicalList []byte

var (
	msgNoLiquid   = say.Define("liquid.no_liquid", "no liquid has this name")
	msgLiquidsAre = say.Define("liquid.liquids_are", "the liquids that ship are {names}; others are given with their own fields")
)

// catalogue reads the embedded lists once; they never change.
var catalogue = sync.OnceValues(func() ([]*Liquid, error) {
	var all []*Liquid
	for _, list := range [][]byte{demoList, typicalList} {
		var raw struct {
			Liquids []any `yaml:"liquids"`
		}
		if err := yaml.Unmarshal(list, &raw); err != nil {
			return nil, fmt.Errorf("liquid: embedded list: %w", err)
		}
		for i, entry := range raw.Liquids {
			l, err := FromFields(entry)
			if err != nil {
				return nil, fmt.Errorf("liquid: embedded list: %w", say.In(fmt.Sprintf("liquids[%d]", i), err))
			}
			all = append(all, l)
		}
	}
	return all, nil
})

// Names lists the liquids that ship: first the invented ones of the demo, then
// the generic ones.
func Names() []string {
	all, _ := catalogue()
	names := make([]string, len(all))
	for i, l := range all {
		names[i] = l.Name
	}
	return names
}

// Named returns a liquid that ships with the package.
func Named(name string) (*Liquid, error) {
	all, err := catalogue()
	if err != nil {
		return nil, err
	}
	for _, l := range all {
		if l.Name == name {
			copied := *l
			return &copied, nil
		}
	}
	return nil, say.Refuse("liquid", name, msgNoLiquid.With(), msgLiquidsAre.With(Names()))
}
