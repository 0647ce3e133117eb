package cause

import (
	"sort"

	"pumpwright/calc/say"
)

// priorJobs is with how many jobs for each cause the shop's own count begins:
// a few confirmed causes move the odds little, many move them much. Our own
// convention.
const priorJobs = 2.0

var (
	msgLearnUnknown = say.Define("cause.learn_unknown", "the shop counts a cause “{id}” that is not known; it is left out")
	msgLearnCount   = say.Define("cause.learn_count", "the shop's count of “{id}” is below zero; it is left out")
)

// learned turns the counts of confirmed causes of the shop's finished jobs into
// weights on the prior odds, and says how many jobs stand behind them.
//
//	w_j = (n_j + a)/(N/J + a)
//
//	n_j  jobs with the cause j     N  all jobs
//	a    jobs to begin with, 2     J  causes
//
// Without jobs every weight is 1. Source: mean of a Dirichlet distribution,
// over that of all causes alike.
func (c *Chapter) learned(counts map[string]int) (weights map[string]float64, jobs int) {
	ids := make([]string, 0, len(counts))
	for id := range counts {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	good := map[string]int{}
	for _, id := range ids {
		switch _, err := c.base.Cause(id); {
		case err != nil:
			c.Warnings = append(c.Warnings, msgLearnUnknown.With(id))
		case counts[id] < 0:
			c.Warnings = append(c.Warnings, msgLearnCount.With(id))
		default:
			good[id] = counts[id]
			jobs += counts[id]
		}
	}
	if jobs == 0 {
		return nil, 0
	}
	weights = map[string]float64{}
	mean := float64(jobs)/float64(len(c.base.Causes)) + priorJobs
	for i := range c.base.Causes {
		id := c.base.Causes[i].ID
		weights[id] = (float64(good[id]) + priorJobs) / mean
	}
	return weights, jobs
}
