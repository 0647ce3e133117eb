package frame

import (
	"errors"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

// Line is one field of a plain form, with what is wrong about it beside it.
type Line struct {
	Name     string
	ID       string // Name when empty; forms that stand on one page need others
	Word     say.Message
	Help     say.Message // may be empty
	Value    string
	Kind     string // text when empty; password, date
	Complete string // what a browser may fill in: off when empty
	Lower    bool   // a keyboard that begins with a capital would be wrong
	Digits   bool   // a number pad is enough
	List     string // id of a datalist with what is usual
	Required bool
	Problem  *say.Problem // of the whole form; shown here when it names this field
}

func (l Line) id() string {
	if l.ID != "" {
		return l.ID
	}
	return l.Name
}

func (l Line) kind() string {
	if l.Kind != "" {
		return l.Kind
	}
	return "text"
}

func (l Line) complete() string {
	if l.Complete != "" {
		return l.Complete
	}
	return "off"
}

func (l Line) wrong() bool { return l.Problem != nil && l.Problem.Field == l.Name }

// described names the texts that belong to the field.
func (l Line) described() string {
	names := ""
	if !l.Help.IsZero() {
		names = l.id() + "-help"
	}
	if l.wrong() {
		names += " " + l.id() + "-wrong"
	}
	return names
}

// Refusal returns what can be put right in a form that the shop did not take;
// nil when there is nothing to put right, as where somebody may not do it.
func Refusal(err error) *say.Problem {
	var denied *shop.Denied
	if errors.As(err, &denied) {
		return nil
	}
	return say.AsProblem(err)
}
