package say

import (
	"errors"
	"strings"
)

// Problem is an input that was refused. It names the field, what was read,
// what is wrong with it and what would be accepted. Every error that a person
// can cause is a Problem.
type Problem struct {
	Field    string  // path as written, places counted from 0: points[2].temperature
	Read     string  // the text as typed, "" when the field was missing
	Message  Message // what is wrong
	Accepted Message // what would be accepted; may be empty
}

var msgRead = Define("say.read", "(read: {text})")

// Refuse makes a Problem.
func Refuse(field, read string, message, accepted Message) *Problem {
	return &Problem{Field: field, Read: read, Message: message, Accepted: accepted}
}

// Error renders the problem in English and metric units.
func (p *Problem) Error() string { return p.Show(Style{}) }

// Show renders the problem in a style.
func (p *Problem) Show(s Style) string {
	var b strings.Builder
	if p.Field != "" {
		b.WriteString(p.Field)
		b.WriteString(": ")
	}
	b.WriteString(p.Message.Text(s))
	if p.Read != "" {
		b.WriteByte(' ')
		b.WriteString(msgRead.With(p.Read).Text(s))
	}
	if !p.Accepted.IsZero() {
		b.WriteString("; ")
		b.WriteString(p.Accepted.Text(s))
	}
	return b.String()
}

// In puts a path in front of the field of a Problem: In("points[2]", err).
// Other errors pass unchanged.
func In(path string, err error) error {
	var p *Problem
	if err == nil || !errors.As(err, &p) {
		return err
	}
	copied := *p
	switch {
	case copied.Field == "":
		copied.Field = path
	case strings.HasPrefix(copied.Field, "["):
		copied.Field = path + copied.Field
	default:
		copied.Field = path + "." + copied.Field
	}
	return &copied
}

// AsProblem finds the Problem in an error, or nil.
func AsProblem(err error) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		return p
	}
	return nil
}

// Failure returns what is wrong as a message: that of a Problem with its field,
// else the words of the error.
func Failure(err error) Message {
	if p := AsProblem(err); p != nil {
		return msgFailure.With(p)
	}
	return Plain(err.Error())
}

var msgFailure = Define("say.failure", "{problem:message}")
