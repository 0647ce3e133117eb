package frame

import (
	"errors"
	"net/url"
	"slices"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// ErrNobody: nobody is signed in.
var ErrNobody = errors.New("web: nobody is signed in")

// Visitor is the person who looks at a page.
type Visitor struct {
	shop.Scope
	Name  string
	Units say.Units
	// Language is the tag of the language that is kept for the person, ""
	// when none is.
	Language string
	// Others are the people who may be taken in place of this one without a
	// sign-in: in the demonstration only.
	Others []shop.Person
}

// Key tells the visitor apart from everybody else on a device: the same short
// name may be somebody else's at another site.
func (v Visitor) Key() string {
	if v.Person == "" {
		return ""
	}
	return v.Site + "/" + v.Person
}

// HasRole reports whether the person has one of the roles.
func (v Visitor) HasRole(roles ...string) bool { return len(v.RolesOf(roles)) > 0 }

// RolesOf returns which of the roles the person has.
func (v Visitor) RolesOf(roles []string) []string {
	var list []string
	for _, r := range roles {
		if slices.Contains(v.Roles, access.Role(r)) {
			list = append(list, r)
		}
	}
	return list
}

// RoleWords returns the roles of the person as words.
func (v Visitor) RoleWords() []string {
	list := make([]string, len(v.Roles))
	for i, r := range v.Roles {
		list[i] = string(r)
	}
	return list
}

// Job is a job with what its pages need besides.
type Job struct {
	*shop.Job
	names map[string]string
}

// NameOf returns the name of a person by the id in an entry.
func (j *Job) NameOf(id string) string {
	if name := j.names[id]; name != "" {
		return name
	}
	return id
}

// Path returns the address of a place of the job.
func (j *Job) Path(rest string) string { return "/job/" + url.PathEscape(j.Name) + rest }

// When prints a moment of an entry: the time of day, with the day when it was
// another one than the job's last.
func (j *Job) When(t record.Time) string {
	if t == 0 {
		return "–"
	}
	at, last := t.Time().In(time.Local), j.State.Last.Time().In(time.Local)
	if at.Format(time.DateOnly) == last.Format(time.DateOnly) {
		return at.Format("15:04")
	}
	return at.Format("2006-01-02 15:04")
}
