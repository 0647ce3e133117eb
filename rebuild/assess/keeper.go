package assess

import (
	"hash/fnv"
	"sort"
	"strconv"

	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/cause"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
)

// Keeper assesses one job again and again and keeps the chapters whose inputs
// have not changed. A kept chapter is the same as a new one (tested). It is
// not for use by several goroutines at once.
type Keeper struct {
	readings   kept[*reading.Chapter]
	parts      kept[*part.Chapter]
	clearances kept[*clearance.Chapter]
	heat       clearance.HeatKeeper
	windows    clearance.WindowKeeper
	assemblies kept[*assembly.Chapter]
	causes     kept[func() *cause.Chapter]
	offers     kept[func() *offer.Chapter]
	lazies     kept[lazy]
}

type kept[T any] struct {
	key   uint64
	valid bool
	value T
}

func (k *kept[T]) get(key uint64, make func() T) T {
	if !k.valid || k.key != key {
		k.value, k.key, k.valid = make(), key, true
	}
	return k.value
}

// Assess computes what is not kept.
func (k *Keeper) Assess(in Inputs) *Assessment {
	if in.Taught != nil {
		in.Shop = in.Shop.With(in.Taught)
		in.shopKey += in.Taught.Version()
	}
	in.Job = in.Job.Standing(in.Sheet)
	a := &Assessment{Inputs: in, Conflicts: in.Job.Conflicts, Troubles: in.Job.Troubles}
	a.Sides = sides.Of(in.Sheet, in.Job)
	readingKey := keyOfReadings(in)
	a.Readings = k.readings.get(readingKey, func() *reading.Chapter {
		return reading.Assess(reading.Inputs{Sheet: in.Sheet, Values: in.Job.Values, Limits: in.Job.Limits, Shop: in.Shop, AsOf: in.AsOf, Accepted: in.Job.Accepted})
	})
	partKey := mix(readingKey, append(append(refs(in.Job.Decisions), ""), refs(in.Job.OutsideWork)...)...)
	a.Parts = k.parts.get(partKey, func() *part.Chapter {
		return part.Assess(part.Inputs{Sheet: in.Sheet, Readings: a.Readings, Decisions: in.Job.Decisions, Shop: in.Shop, Outside: in.Job.Outsides()})
	})
	a.Clearances = k.clearances.get(keyOfClearances(in, a.Parts), func() *clearance.Chapter {
		return clearance.Assess(clearance.Inputs{
			Sheet: in.Sheet, Service: in.Service, Liquid: in.Liquid, Readings: a.Readings, Stacks: in.Job.Stacks,
			Trials: in.Job.Trials, Replaced: a.Parts.Replaced(), Shop: in.Shop, Limits: in.Job.Limits,
			Heat: &k.heat, Windows: &k.windows,
		})
	})
	a.Assembly = k.assemblies.get(keyOfAssembly(in, a.Parts), func() *assembly.Chapter {
		return assembly.Assess(a.assemblyInputs())
	})
	a.Progress = progress.Assess(progress.Inputs{Sheet: in.Sheet, Procedure: in.Procedure, State: in.Job, Readings: a.Readings})
	a.asked = k.ask(in, a)
	a.lazy = k.later(in, a)
	a.gather()
	return a
}

func mix(seed uint64, texts ...string) uint64 {
	h := fnv.New64a()
	h.Write(strconv.AppendUint(nil, seed, 16))
	for _, t := range texts {
		h.Write([]byte(t))
		h.Write([]byte{0})
	}
	return h.Sum64()
}

func refs[T any](list []job.Kept[T]) []string {
	ids := make([]string, len(list))
	for i := range list {
		ids[i] = list[i].Ref
	}
	return ids
}

// common is what every chapter depends on.
func common(in Inputs) []string {
	service := ""
	if in.Service != nil {
		service = in.Service.Version
	}
	return []string{in.Sheet.Version, service, in.shopKey, in.AsOf.Format("2006-01-02")}
}

func keyOfReadings(in Inputs) uint64 {
	texts := common(in)
	for i := range in.Job.Values {
		texts = append(texts, in.Job.Values[i].Ref)
	}
	texts = append(append(texts, refs(in.Job.Limits)...), "")
	return mix(1, append(texts, refs(in.Job.Accepted)...)...)
}

// keyOfClearances takes only the readings that the clearances depend on: a
// reading of another feature leaves the chapter as it is.
func keyOfClearances(in Inputs, parts *part.Chapter) uint64 {
	texts := common(in)
	for i := range in.Job.Values {
		v := &in.Job.Values[i]
		if f := in.Sheet.Feature(v.Feature); f != nil && clearance.DependsOn(f.RoleOf()) {
			texts = append(texts, v.Ref)
		}
	}
	texts = append(texts, refs(in.Job.Stacks)...)
	texts = append(texts, refs(in.Job.Trials)...)
	texts = append(texts, refs(in.Job.Limits)...)
	texts = append(append(texts, ""), refs(in.Job.Accepted)...)
	return mix(2, append(texts, replacedOf(parts)...)...)
}

func replacedOf(parts *part.Chapter) []string {
	var replaced []string
	for id := range parts.Replaced() {
		replaced = append(replaced, id)
	}
	sort.Strings(replaced)
	return replaced
}

func keyOfAssembly(in Inputs, parts *part.Chapter) uint64 {
	texts := append(common(in), replacedOf(parts)...)
	for i := range in.Job.Values {
		v := &in.Job.Values[i]
		if f := in.Sheet.Feature(v.Feature); f != nil && assembly.DependsOn(f.RoleOf()) {
			texts = append(texts, v.Ref)
		}
	}
	for _, list := range [][]string{refs(in.Job.Trials), refs(in.Job.Torques), refs(in.Job.Pressings), refs(in.Job.Alignments), refs(in.Job.Running), refs(in.Job.Fitted), refs(in.Job.Accepted), refs(in.Job.Sides)} {
		texts = append(append(texts, list...), "")
	}
	for _, step := range assembly.StepsRead() {
		texts = append(texts, in.Job.Marks[step].Ref)
	}
	if in.Job.Open != nil {
		texts = append(texts, in.Job.Open.Ref)
	}
	return mix(3, texts...)
}
