package web

import (
	"encoding/json"
	"net/http"
	"strconv"

	"pumpwright/app/access"
	"pumpwright/app/language"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// tabletCopy is a job as a tablet keeps it: the entries after those it has,
// who looks at it, and the names of the others.
type tabletCopy struct {
	Job     string            `json:"job"`
	Site    string            `json:"site"`
	Person  tabletPerson      `json:"person"`
	Names   map[string]string `json:"names,omitempty"`
	Files   map[string]string `json:"files"` // addresses of style and scripts
	Entries []record.Entry    `json:"entries"`

	Languages []language.Name `json:"languages"`
	Words     string          `json:"words,omitempty"` // address of those of the person's language
}

type tabletPerson struct {
	ID     string        `json:"id"`
	Name   string        `json:"name"`
	Roles  []access.Role `json:"roles"`
	Owner  string        `json:"owner,omitempty"`
	Device string        `json:"device,omitempty"`
	Inch   bool          `json:"inch,omitempty"`
	Theme  string        `json:"theme,omitempty"`

	Language string `json:"language,omitempty"`
}

// giveCopy gives a tablet what it lacks of a job.
func giveCopy(v *frame.Visit) error {
	j, err := v.Shop.Job(v.Context(), v.Visitor.Scope, v.PathValue("job"))
	if err != nil {
		return err
	}
	after, err := strconv.Atoi(v.URL.Query().Get("after"))
	if err != nil || after < 0 || after > len(j.Entries) {
		after = len(j.Entries)
	}
	c := tabletCopy{Job: j.Name, Site: v.Visitor.Site, Files: map[string]string{}, Entries: j.Entries[after:], Person: tabletPerson{
		ID: v.Visitor.Person, Name: v.Visitor.Name, Roles: v.Visitor.Roles, Owner: v.Visitor.Owner, Device: v.Visitor.Device,
		Inch: v.View.Inch(), Theme: v.Theme, Language: v.View.Style.Language(),
	}}
	if v.Visitor.May(access.ReadNames) {
		if c.Names, err = v.Shop.Names(v.Context(), v.Visitor.Scope); err != nil {
			return err
		}
	}
	for _, name := range []string{"pumpwright.css", "pumpwright.js", "queue.js", "mark.svg"} {
		c.Files[name] = assetAddress(name)
	}
	c.Languages, c.Words = language.All(), wordsAddress(c.Person.Language)
	text, err := json.Marshal(c)
	if err != nil {
		return err
	}
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Cache-Control", "no-store")
	return frame.Send(v.ResponseWriter, v.Request, http.StatusOK, text)
}

var msgClockOff = say.Define("web.clock_off", "The clock of this tablet is wrong by {hours:count} h {minutes:count} min. Set it: the shop orders entries by when they came in, and notes the difference.")

// clockWords says how far the clock of a device is off, when it matters.
func clockWords(v *frame.Visit, taken *shop.Answer) string {
	off := taken.ClockOff.Abs()
	if off == 0 {
		return ""
	}
	return v.View.T(msgClockOff.With(int(off.Hours()), int(off.Minutes())%60))
}
