package transfer

import "pumpwright/calc/say"

// Imported returns what became of a table as JSON; taken is nil when nothing
// was to be taken.
func Imported(file string, p *Plan, taken *Outcome, unlikely []say.Message, s say.Style) Object {
	problems := []any{}
	for _, w := range p.Problems {
		problems = append(problems, Object{"line": w.Line, "column": w.Column, "read": w.Problem.Read, "message": w.Problem.Message.Text(s), "accepted": w.Problem.Accepted.Text(s)})
	}
	unused := p.Unused
	if unused == nil {
		unused = []string{}
	}
	doc := Object{"file": file, "subject": string(p.Subject), "rows": p.Rows, "mapping": p.Mapping, "unused": unused, "entries": len(p.Entries), "twice": p.Twice,
		"wrong": p.Wrong, "problems": problems, "unlikely": say.Texts(unlikely, s), "taken": 0, "known": 0}
	if p.Subject == Lives {
		doc["lives"] = len(p.Lives)
	}
	if taken != nil {
		doc["taken"], doc["known"] = taken.Taken, taken.Known
	}
	return doc
}
