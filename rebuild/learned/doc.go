// Package learned holds what the shop has learned from its finished jobs, and
// how many of them stand behind each number:
//
//	how much more its gaskets give way than their sheet says   Compression
//	how its pumps slip against the model, by model sheet       Slip
//	how long its people take for each stage                    Labour
//	which causes were confirmed, how often                     Cause
//
// It is computed from the jobs and never stored as truth. It goes back into
// the next assessment as an input (Taught), or by way of the shop (Into): a job
// copies it into its basis, so that its answers can be computed again without
// the jobs that taught it.
//
//	in, err := assess.FromJob(state, asOf)
//	in.Taught = learned.From(lessons, in.Job.Open.Body.Job).Taught()
//	a := assess.Assess(in)
package learned
