package assess

import (
	"strconv"
	"sync"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/delivery"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/assess/proof"
	"pumpwright/rebuild/job"
)

// lazy holds the chapters that are worked out when somebody asks for them:
// curves and fits cost more than all the rest, and few places show them. Each
// is worked out once, whoever asks, from however many goroutines.
type lazy struct {
	proof    func() *proof.Chapter
	delivery func() *delivery.Chapter
}

// Proof is the chapter about the bench test.
func (a *Assessment) Proof() *proof.Chapter {
	if a.lazy.proof == nil { // not made by Assess
		return &proof.Chapter{Verdict: proof.NotTested}
	}
	return a.lazy.proof()
}

// Delivery is the chapter about what the pump delivers.
func (a *Assessment) Delivery() *delivery.Chapter {
	if a.lazy.delivery == nil {
		return &delivery.Chapter{}
	}
	return a.lazy.delivery()
}

// FurtherWarnings are those of the chapters that are worked out on demand, and
// that Warnings does not hold.
func (a *Assessment) FurtherWarnings() []say.Message {
	seen := map[string]bool{}
	for _, m := range a.Warnings {
		seen[m.String()] = true
	}
	var list []say.Message
	for _, part := range [][]say.Message{a.Delivery().Warnings, a.Proof().Warnings, a.Cause().Warnings, a.Cause().Conflicts, a.Offer().Warnings} {
		for _, m := range part {
			if key := m.String(); !seen[key] {
				seen[key] = true
				list = append(list, m)
			}
		}
	}
	return list
}

// later prepares the chapters on demand; those whose inputs have not changed
// stay as they are.
func (k *Keeper) later(in Inputs, a *Assessment) lazy {
	return k.lazies.get(keyOfDelivery(in, a), func() lazy {
		replaced := a.Parts.Replaced()
		made := lazy{}
		made.proof = sync.OnceValue(func() *proof.Chapter {
			return proof.Assess(proof.Inputs{
				Sheet: in.Sheet, Service: in.Service, Liquid: in.Liquid, Readings: a.Readings, Replaced: replaced, Expected: a.Clearances.Expected(),
				Shop: in.Shop, Points: in.Job.TestPoints, Running: in.Job.Running, LeftFrom: leftFrom(in.Job),
			})
		})
		made.delivery = sync.OnceValue(func() *delivery.Chapter {
			return delivery.Assess(delivery.Inputs{
				Sheet: in.Sheet, Service: in.Service, Liquid: in.Liquid, Readings: a.Readings, Replaced: replaced,
				Clearances: a.Clearances, Proof: made.proof(), Shop: in.Shop, Relief: in.Job.LastRelief(),
			})
		})
		return made
	})
}

// leftFrom is the number of the first entry of the pump as left, 0 for none.
func leftFrom(s *job.State) int64 {
	first := int64(0)
	take := func(seq int64) {
		if first == 0 || seq < first {
			first = seq
		}
	}
	for i := range s.Values {
		if s.Values[i].State == job.AsLeft {
			take(s.Values[i].Seq)
		}
	}
	if len(s.Trials) > 0 {
		take(s.Trials[0].Seq)
	}
	return first
}

// keyOfDelivery takes the clearances and whatever else the leak paths know.
func keyOfDelivery(in Inputs, a *Assessment) uint64 {
	texts := append(refs(in.Job.TestPoints), strconv.FormatInt(leftFrom(in.Job), 10))
	texts = append(append(texts, ""), refs(in.Job.Running)...)
	texts = append(append(texts, ""), refs(in.Job.Reliefs)...)
	for i := range in.Job.Values {
		v := &in.Job.Values[i]
		if f := in.Sheet.Feature(v.Feature); f != nil && machine.Matters(f.RoleOf()) {
			texts = append(texts, v.Ref)
		}
	}
	if u := in.Shop.UpgradeOf(in.Sheet.Name); u != nil && u.Sized() {
		texts = append(append(texts, ""), u.Renews...)
		if u.EndClearance != nil {
			texts = append(texts, strconv.FormatFloat(u.EndClearance.SI(), 'g', -1, 64))
		}
	}
	return mix(keyOfClearances(in, a.Parts), texts...)
}
