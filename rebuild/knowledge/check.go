package knowledge

import (
	"fmt"

	"pumpwright/calc/say"
)

var (
	msgTwice      = say.Define("knowledge.twice", "the id “{id}” is used twice")
	msgBadID      = say.Define("knowledge.bad_id", "this is no id")
	msgIDForm     = say.Define("knowledge.id_form", "an id is {letter} with two or more digits")
	msgEmpty      = say.Define("knowledge.empty", "this text is missing")
	msgNoKey      = say.Define("knowledge.no_key", "“{key}” is not in the list {list}")
	msgBadOnset   = say.Define("knowledge.bad_onset", "this is no onset")
	msgOnsets     = say.Define("knowledge.onsets", "onsets are assembly, running, wear-out, start, standby")
	msgBadMinutes = say.Define("knowledge.bad_minutes", "the minutes of a look must be more than 0")
	msgItself     = say.Define("knowledge.itself", "the chain of causes comes back to “{id}”")
)

func (b *Base) check() error {
	b.causeAt = make(map[string]int, len(b.Causes))
	b.evidenceAt = make(map[string]int, len(b.Evidence))
	for i, c := range b.Causes {
		if err := enter(b.causeAt, "C", c.ID, i); err != nil {
			return say.In(fmt.Sprintf("causes.yaml: causes[%d]", i), err)
		}
	}
	for i, c := range b.Causes {
		if err := b.checkCause(c); err != nil {
			return say.In(fmt.Sprintf("causes.yaml: causes[%d]", i), err)
		}
	}
	for i, e := range b.Evidence {
		err := enter(b.evidenceAt, "E", e.ID, i)
		if err == nil {
			err = b.checkEvidence(e)
		}
		if err != nil {
			return say.In(fmt.Sprintf("evidence.yaml: evidence[%d]", i), err)
		}
	}
	if err := b.checkChains(); err != nil {
		return err
	}
	return say.In("strengths.yaml", b.checkStrengths())
}

func enter(at map[string]int, letter, id string, place int) error {
	if !isID(letter, id) {
		return say.Refuse("id", id, msgBadID.With(), msgIDForm.With(letter))
	}
	if _, ok := at[id]; ok {
		return say.Refuse("id", id, msgTwice.With(id), say.Message{})
	}
	at[id] = place
	return nil
}

func isID(letter, id string) bool {
	if len(id) < 3 || id[:1] != letter {
		return false
	}
	for _, r := range id[1:] {
		if r < '0' || r > '9' {
			return false
		}
	}
	return true
}

func (b *Base) checkCause(c Cause) error {
	for field, text := range map[string]string{"name": c.Name, "mechanism": c.Mechanism, "confirm": c.Confirm, "change": c.Change} {
		if text == "" {
			return say.Refuse(field, "", msgEmpty.With(), say.Message{})
		}
	}
	switch c.Onset {
	case Assembly, Running, WearOut, Start, Standby:
	default:
		return say.Refuse("onset", string(c.Onset), msgBadOnset.With(), msgOnsets.With())
	}
	for i, id := range c.LeadsTo {
		if _, err := b.Cause(id); err != nil {
			return say.In(fmt.Sprintf("leads_to[%d]", i), err)
		}
	}
	if err := inList("iso_cause", c.ISOCause, "codes.yaml causes", b.Codes.Causes); err != nil {
		return err
	}
	if err := inList("first_installation", c.FirstInstallation, "codes.yaml causes", b.Codes.Causes); err != nil {
		return err
	}
	return inList("source", c.Source, "sources.yaml", b.Sources)
}

func (b *Base) checkEvidence(e Evidence) error {
	for field, text := range map[string]string{"name": e.Name, "looks": e.Looks, "where": e.Where, "part": e.Part, "fact": e.Fact} {
		if text == "" {
			return say.Refuse(field, "", msgEmpty.With(), say.Message{})
		}
	}
	if !(e.Minutes > 0) {
		return say.Refuse("minutes", fmt.Sprint(e.Minutes), msgBadMinutes.With(), say.Message{})
	}
	if err := inList("part", e.Part, "parts", b.Parts); err != nil {
		return err
	}
	if err := inList("iso", e.ISO, "codes.yaml mechanisms", b.Codes.Mechanisms); err != nil {
		return err
	}
	return inList("source", e.Source, "sources.yaml", b.Sources)
}

func inList(field, key, list string, known map[string]string) error {
	if key == "" {
		return nil
	}
	if _, ok := known[key]; !ok {
		return say.Refuse(field, key, msgNoKey.With(key, list), say.Message{})
	}
	return nil
}

// checkChains refuses a cause that is its own consequence.
func (b *Base) checkChains() error {
	const (
		entered = 1
		left    = 2
	)
	state := make([]int, len(b.Causes))
	var visit func(at int) error
	visit = func(at int) error {
		state[at] = entered
		for _, id := range b.Causes[at].LeadsTo {
			next := b.causeAt[id]
			if state[next] == entered {
				return say.Refuse("causes.yaml: "+b.Causes[at].ID+".leads_to", id, msgItself.With(id), say.Message{})
			}
			if state[next] == 0 {
				if err := visit(next); err != nil {
					return err
				}
			}
		}
		state[at] = left
		return nil
	}
	for i := range b.Causes {
		if state[i] == 0 {
			if err := visit(i); err != nil {
				return err
			}
		}
	}
	return nil
}
