// Package job gives meaning to the entries of a job: the kinds, and the pure
// fold from entries to the state of the job.
//
// A fold never fails: an entry that it cannot read is kept and said, an entry
// of a kind that it does not know likewise. A voided entry stays on record and
// counts no more. Two people who wrote different values at one place without
// having seen each other's are a conflict; both stay, the later one holds, and
// the conflict shows until one of them is voided with a reason.
//
// Bodies keep quantities as they were typed. The fold reads them; nothing
// computed is ever stored.
package job
