package transfer

import (
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Quoted returns a quote as JSON: the heading of its job, the faults of the
// file, the quote as an entry of the job would hold it, what it comes to, how
// it stands and what is not in it.
func Quoted(a *assess.Assessment, faults []record.Fault, q job.Quote, standing string, left []say.Message, s say.Style) (Object, error) {
	amount, err := q.Amount()
	if err != nil {
		return nil, err
	}
	w := writer{s}
	doc := w.heading(a)
	doc["faults"] = w.faults(faults)
	doc["quote"] = q
	doc["amount"] = amount.Amount()
	doc["currency"] = amount.Currency
	doc["stands"] = standing
	doc["warnings"] = say.Texts(left, s)
	return doc, nil
}
