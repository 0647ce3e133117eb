package knowledge

import (
	"fmt"

	"pumpwright/calc/diagnose"
	"pumpwright/calc/say"
)

// Strengths says how strongly evidence speaks for causes. All of it is a
// judgement that a shop may edit.
type Strengths struct {
	Judgement  string                   `yaml:"judgement"` // whose, and how far it was measured
	Model      Settings                 `yaml:"model"`
	Onset      map[Onset][]OnsetPoint   `yaml:"onset"`
	Excludes   [][]string               `yaml:"excludes"` // pairs of items that cannot both be true
	Evidence   map[string]EvidenceLinks `yaml:"evidence"`
	Conditions []Condition              `yaml:"conditions"`
}

// Settings are the numbers of the model; each is a chance.
type Settings struct {
	Strong      float64 `yaml:"strong"`      // that a strong cause leaves the mark
	Some        float64 `yaml:"some"`        // that a cause of some strength does
	Leak        float64 `yaml:"leak"`        // of the mark without any listed cause
	Consequence float64 `yaml:"consequence"` // that a cause brings about one it leads to
	Prior       float64 `yaml:"prior"`       // of each cause before anything is seen
	Seen        float64 `yaml:"seen"`        // trust in a finding by eye
	Settles     float64 `yaml:"settles"`     // strength of a cause's own confirming check
}

// OnsetPoint is a weight at some hours since the assembly.
type OnsetPoint struct {
	Hours  float64 `yaml:"hours"`
	Weight float64 `yaml:"weight"`
}

// EvidenceLinks are the causes that one item speaks for and against.
type EvidenceLinks struct {
	Strong  []string `yaml:"strong"`
	Some    []string `yaml:"some"`
	Against []string `yaml:"against"`
	Follows []string `yaml:"follows"` // items that explain it
	Early   bool     `yaml:"early"`   // tells the time in service
}

// Condition is what lets a cause happen. It is shown beside the cause and
// never scored.
type Condition struct {
	ID   string   `yaml:"id"`
	Name string   `yaml:"name"`
	Lets []string `yaml:"lets"`
}

var (
	msgChance      = say.Define("knowledge.chance", "this chance must lie between 0 and 1")
	msgPair        = say.Define("knowledge.pair", "a pair has two items")
	msgBothWays    = say.Define("knowledge.both_ways", "“{id}” stands here in two lists")
	msgNoCondition = say.Define("knowledge.no_condition", "there is no condition “{id}”")
)

func (b *Base) checkStrengths() error {
	s := &b.Strengths
	for _, c := range []struct {
		field string
		value float64
	}{
		{"strong", s.Model.Strong}, {"some", s.Model.Some}, {"leak", s.Model.Leak}, {"consequence", s.Model.Consequence},
		{"prior", s.Model.Prior}, {"seen", s.Model.Seen}, {"settles", s.Model.Settles},
	} {
		if !(c.value > 0 && c.value < 1) {
			return say.Refuse("model."+c.field, fmt.Sprint(c.value), msgChance.With(), say.Message{})
		}
	}
	for onset, points := range s.Onset {
		switch onset {
		case Assembly, Running, WearOut, Start, Standby:
		default:
			return say.Refuse("onset", string(onset), msgBadOnset.With(), msgOnsets.With())
		}
		if _, err := diagnose.WeightAt(weightPoints(points), 1); err != nil {
			return say.In("onset."+string(onset), err)
		}
	}
	for i, pair := range s.Excludes {
		at := fmt.Sprintf("excludes[%d]", i)
		if len(pair) != 2 {
			return say.Refuse(at, fmt.Sprint(pair), msgPair.With(), say.Message{})
		}
		for _, id := range pair {
			if _, err := b.Item(id); err != nil {
				return say.In(at, err)
			}
		}
	}
	for id, links := range s.Evidence {
		at := "evidence." + id
		if _, err := b.Item(id); err != nil {
			return say.In(at, err)
		}
		seen := map[string]bool{}
		for _, list := range [][]string{links.Strong, links.Some, links.Against} {
			for _, cause := range list {
				if _, err := b.Cause(cause); err != nil {
					return say.In(at, err)
				}
				if seen[cause] {
					return say.Refuse(at, cause, msgBothWays.With(cause), say.Message{})
				}
				seen[cause] = true
			}
		}
		for _, item := range links.Follows {
			if _, err := b.Item(item); err != nil {
				return say.In(at+".follows", err)
			}
		}
	}
	b.conditionAt = map[string]int{}
	for i, c := range s.Conditions {
		at := fmt.Sprintf("conditions[%d]", i)
		if err := enter(b.conditionAt, "S", c.ID, i); err != nil {
			return say.In(at, err)
		}
		if c.Name == "" {
			return say.Refuse(at+".name", "", msgEmpty.With(), say.Message{})
		}
		for _, id := range c.Lets {
			if _, err := b.Cause(id); err != nil {
				return say.In(at+".lets", err)
			}
		}
	}
	return b.build()
}

func weightPoints(points []OnsetPoint) []diagnose.WeightPoint {
	list := make([]diagnose.WeightPoint, len(points))
	for i, p := range points {
		list[i] = diagnose.WeightPoint(p)
	}
	return list
}

// Condition returns the standing condition of an id.
func (b *Base) Condition(id string) (*Condition, error) {
	if at, ok := b.conditionAt[id]; ok {
		return &b.Strengths.Conditions[at], nil
	}
	names := make([]named, len(b.Strengths.Conditions))
	for i, c := range b.Strengths.Conditions {
		names[i] = named{c.ID, c.Name, ""}
	}
	return nil, unknown(id, msgNoCondition.With(id), names)
}

// settleMinutes is what a confirming check costs when it is weighed against
// other looks: a judgement, it often needs the site or a laboratory.
const settleMinutes = 60

// settleLeak is the chance that a confirming check says yes wrongly.
const settleLeak = 0.02

// build makes the model of package diagnose. Its items are the evidence in
// order and then the confirming check of each cause in order.
func (b *Base) build() error {
	set := b.Strengths.Model
	causes := make([]diagnose.Cause, len(b.Causes))
	for j, c := range b.Causes {
		causes[j] = diagnose.Cause{ID: c.ID, Prior: set.Prior}
		for _, id := range c.LeadsTo {
			causes[j].LeadsTo = append(causes[j].LeadsTo, diagnose.Link{Cause: b.causeAt[id], Strength: set.Consequence})
		}
	}
	items := make([]diagnose.Item, 0, len(b.Evidence)+len(b.Causes))
	for _, e := range b.Evidence {
		links := b.Strengths.Evidence[e.ID]
		item := diagnose.Item{ID: e.ID, Fact: e.Fact, Leak: set.Leak, Minutes: e.Minutes, Early: links.Early}
		for _, id := range links.Strong {
			item.For = append(item.For, diagnose.Link{Cause: b.causeAt[id], Strength: set.Strong})
		}
		for _, id := range links.Some {
			item.For = append(item.For, diagnose.Link{Cause: b.causeAt[id], Strength: set.Some})
		}
		for _, id := range links.Against {
			item.Against = append(item.Against, b.causeAt[id])
		}
		for _, id := range links.Follows {
			item.Follows = append(item.Follows, b.evidenceAt[id])
		}
		items = append(items, item)
	}
	for j, c := range b.Causes {
		items = append(items, diagnose.Item{
			ID: "K" + c.ID[1:], Leak: settleLeak, Minutes: settleMinutes,
			For: []diagnose.Link{{Cause: j, Strength: set.Settles}},
		})
	}
	m, err := diagnose.NewModel(causes, items)
	if err != nil {
		return err
	}
	for _, pair := range b.Strengths.Excludes {
		m.Excludes = append(m.Excludes, [2]int{b.evidenceAt[pair[0]], b.evidenceAt[pair[1]]})
	}
	b.model = m
	return nil
}
