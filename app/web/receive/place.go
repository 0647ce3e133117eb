// Package receive is the place where a pump comes in: what stands on it, whose
// it is, what is wrong with it, what it pumps, and the labels that go on it.
package receive

import (
	"net/http"
	"net/url"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/figure"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

// Place is the place of receiving.
func Place() frame.Place {
	return frame.Place{
		Menu: wordReceive.With(), Address: "/receive", Needs: access.Receive,
		Routes: []frame.Route{
			{Pattern: "GET /receive", Handle: show},
			{Pattern: "POST /receive", Handle: take},
			{Pattern: "GET /receive/which", Handle: which},
			{Pattern: "GET /job/{job}/labels", Handle: labels},
		},
	}
}

var (
	wordReceive   = say.Define("receive.receive", "Receive a pump")
	wordTag       = say.Define("receive.tag", "Tag: the place in the plant")
	wordSerial    = say.Define("receive.serial", "Serial number: the machine")
	wordOwner     = say.Define("receive.owner", "Owner")
	wordPlace     = say.Define("receive.place", "Where it works")
	wordComplaint = say.Define("receive.complaint", "What is wrong, in the operator's own words")
	wordSheet     = say.Define("receive.sheet", "Model sheet")
	wordService   = say.Define("receive.service", "Service: liquid, temperature, pressure")
	wordLater     = say.Define("receive.later", "not known yet")
	wordRemoved   = say.Define("receive.removed", "We took it off its base: its alignment as found is asked for")
	wordSwapped   = say.Define("receive.swapped", "It turned the other way, or its head is turned: the suction side is swapped")
	wordPrevious  = say.Define("receive.previous", "Job of its last rebuild")
	wordOpen      = say.Define("receive.open", "Open the job")
	wordLook      = say.Define("receive.look", "Has it been here before?")
	wordNever     = say.Define("receive.never", "No earlier job of this tag or serial number.")
	wordBefore    = say.Define("receive.before", "{job}, {day}: {complaint}")
	wordMachine   = say.Define("receive.machine", "This machine was here before")
	wordSamePlace = say.Define("receive.same_place", "Another machine of this place was here before")
	wordWhich     = say.Define("receive.which", "No plate? Measure ports, bolt circle, shaft and rotor, and ask which model it is")
	wordToxic     = say.Define("receive.toxic", "What is left in the pump can poison, burn or catch fire. Nothing on the wetted side is opened before the safety data sheet and the cleaning statement are here; the first hold point of the job asks for them.")
	wordLabels    = say.Define("receive.labels", "Labels of {job}")
	wordPump      = say.Define("receive.label_pump", "pump")
	wordScan      = say.Define("receive.scan", "A scan opens the job at this part.")
	wordLeads     = say.Define("receive.leads", "The codes lead to {address}.")
	wordOnlyHere  = say.Define("receive.only_here", "Do not print these: this page was opened as {address}, which only this machine reaches, and a tablet that scans such a code finds nothing. Open the page under the name by which the tablets reach the shop, or start the server with --name.")
	wordPrint     = say.Define("receive.print", "Print this page: one label for the pump, one for each tray.")
)

// form is what was typed, with what is known beside it.
type form struct {
	v              *frame.Visit
	id             string
	open           job.Open
	sheet, service string
	sheets         []shop.Paper
	services       []shop.Paper
	machine, place []shop.Row
	looked         bool
	problem        *say.Problem
}

func show(v *frame.Visit) error {
	q := v.URL.Query()
	f := &form{v: v, id: frame.NewID(), sheet: q.Get("sheet"), open: job.Open{Tag: q.Get("tag"), Serial: q.Get("serial")}, looked: q.Get("tag")+q.Get("serial") != ""}
	return f.page(http.StatusOK)
}

// page fills in the shop's sheets and services, and the earlier jobs.
func (f *form) page(status int) error {
	var err error
	if f.sheets, err = f.v.Shop.Papers(f.v.Context(), f.v.Visitor.Scope, shop.Sheets); err != nil {
		return err
	}
	if f.services, err = f.v.Shop.Papers(f.v.Context(), f.v.Visitor.Scope, shop.Services); err != nil {
		return err
	}
	if f.looked && f.v.Visitor.May(access.ReadPumps) {
		if f.machine, f.place, err = f.v.Shop.Earlier(f.v.Context(), f.v.Visitor.Scope, f.open.Serial, f.open.Tag); err != nil {
			return err
		}
	}
	return f.v.Show(frame.Page{Title: wordReceive.With(), Plain: true, Status: status, Body: receiveBody(f)})
}

func take(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	get := func(name string) string { return strings.TrimSpace(v.PostForm.Get(name)) }
	f := &form{v: v, id: get("id"), sheet: get("sheet"), service: get("service"), looked: true, open: job.Open{
		Tag: get("tag"), Serial: get("serial"), Owner: get("owner"), Place: get("place"), Complaint: get("complaint"), Previous: get("previous"),
		Removed: get("removed") != "", Swapped: get("swapped") != "",
	}}
	answer, err := v.Shop.Receive(v.Context(), v.Visitor.Scope, shop.Receipt{ID: f.id, Open: f.open, Sheet: f.sheet, Service: f.service})
	if f.problem = say.AsProblem(err); f.problem != nil {
		return f.page(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go("/job/" + url.PathEscape(answer.Job.Name))
}

// label is one label to be cut out.
type label struct {
	Title, Words string
	Code         string // SVG
}

// labels shows a label for the pump and one for each part's tray.
func labels(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil && j == nil {
		return err
	}
	address, here := v.Home()
	home := address + "/job/" + url.PathEscape(j.Name)
	one := func(title, words, address string) label {
		code := figure.Code{Content: address, Size: 30}
		return label{Title: title, Words: words, Code: code.Draw(v.View.Style).SVG(svgOf(title))}
	}
	pump := v.View.T(wordPump.With())
	if o := j.State.Open; o != nil {
		pump = strings.Trim(o.Body.Tag+" · "+o.Body.Serial, " ·")
	}
	list := []label{one(j.Name, pump, home)}
	if j.Assessment != nil { // without a model sheet nobody knows the parts yet
		for _, d := range j.Assessment.Parts.Decisions {
			list = append(list, one(j.Name, d.Part.Name, home+"/part/"+url.PathEscape(d.Part.ID)))
		}
	}
	return v.Show(frame.Page{Title: wordLabels.With(j.Name), Job: j, Plain: true, Body: labelsBody(v, j.Name, list, address, here)})
}
