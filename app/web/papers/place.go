// Package papers is the place of the shop's own texts: model sheets, services
// and liquids, as YAML with what is wrong said beside its line, every version
// kept.
package papers

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/sheet"
)

// Place is the place of the texts.
func Place() frame.Place {
	return frame.Place{
		Menu: wordPapers.With(), Address: "/papers", Needs: access.ReadSheets,
		Routes: []frame.Route{
			{Pattern: "GET /papers", Handle: list},
			{Pattern: "GET /papers/{kind}/{name}", Handle: show},
			{Pattern: "POST /papers/{kind}/{name}", Handle: save},
		},
	}
}

var (
	wordPapers   = say.Define("papers.papers", "Model sheets, services, liquids")
	wordSheets   = say.Define("papers.sheets", "Model sheets")
	wordServices = say.Define("papers.services", "Services")
	wordLiquids  = say.Define("papers.liquids", "Liquids")
	wordNone     = say.Define("papers.none", "There is none yet.")
	wordInvented = say.Define("papers.invented", "invented")
	wordVersion  = say.Define("papers.version", "version {version:count}, {day}, {who}")
	wordReason   = say.Define("papers.reason", "What changed, and why")
	wordCheck    = say.Define("papers.check", "Check it")
	wordSave     = say.Define("papers.save", "Keep as a new version")
	wordRight    = say.Define("papers.right", "Nothing is wrong with it.")
	wordSaved    = say.Define("papers.saved", "Kept as version {version:count}.")
	wordLine     = say.Define("papers.line", "line {line:count}: {problem:message}")
	wordText     = say.Define("papers.text", "Text")
	wordJobsKeep = say.Define("papers.jobs_keep", "A job keeps the version it was done with; it moves to another only by an entry with a reason.")
	wordForm     = say.Define("papers.form", "Form")
	wordFormSay  = say.Define("papers.form_say", "What is changed here goes into the text beside it, and the other way round. What has no field is changed in the text.")
	wordWhat     = say.Define("papers.what", "what changed from version {version:count}")
	wordChanges  = say.Define("papers.changes", "From version {from:count} to version {to:count}")
	wordNoChange = say.Define("papers.no_change", "No value differs: only words beside the values, or their order.")
	wordPath     = say.Define("papers.path", "value")
	wordWas      = say.Define("papers.was", "was")
	wordIs       = say.Define("papers.is", "is")
	wordNew      = say.Define("papers.new", "not there")
	wordCompare  = say.Define("papers.compare", "Compare with version")
	wordCompDo   = say.Define("papers.compare_do", "Compare")
	wordVersions = say.Define("papers.versions", "Versions")
	wordKept     = say.Define("papers.kept", "Nothing was lost: what was typed stands below.")
)

type group struct {
	Kind   shop.PaperKind
	Title  say.Message
	Papers []shop.Paper
}

func list(v *frame.Visit) error {
	var groups []group
	for _, g := range []group{{Kind: shop.Sheets, Title: wordSheets.With()}, {Kind: shop.Services, Title: wordServices.With()}, {Kind: shop.Liquids, Title: wordLiquids.With()}} {
		papers, err := v.Shop.Papers(v.Context(), v.Visitor.Scope, g.Kind)
		if err != nil {
			return err
		}
		g.Papers = papers
		groups = append(groups, g)
	}
	return v.Show(frame.Page{Title: wordPapers.With(), Plain: true, Body: listBody(v, groups)})
}

// sheetPage is one text on its page.
type sheetPage struct {
	v        *frame.Visit
	paper    shop.Paper
	versions []shop.Paper
	checked  bool
	saved    bool
	problem  *say.Problem
	reason   string
	leaves   []sheet.Leaf
	against  int64 // version that this one is compared with; 0: none
	changes  []sheet.FieldChange
}

// group is the values of a sheet under one name.
type leafGroup struct {
	name   string
	leaves []sheet.Leaf
}

// groups are the values of the form, in the order of the text.
func (p *sheetPage) groups() []leafGroup {
	var list []leafGroup
	for _, l := range p.leaves {
		if n := len(list); n == 0 || list[n-1].name != l.Group() {
			list = append(list, leafGroup{name: l.Group()})
		}
		list[len(list)-1].leaves = append(list[len(list)-1].leaves, l)
	}
	return list
}

// short is the path of a value within its group.
func (g *leafGroup) short(path string) string {
	if rest := strings.TrimLeft(strings.TrimPrefix(path, g.name), "."); rest != "" {
		return rest
	}
	return path
}

// readLeaves finds the values of the text for the form, as far as it is YAML.
func (p *sheetPage) readLeaves() {
	if leaves, err := sheet.Leaves(p.paper.Text); err == nil {
		p.leaves = leaves
	}
}

// compare fills in what differs from another version.
func (p *sheetPage) compare(version int64) error {
	for _, one := range p.versions {
		if one.Version != version {
			continue
		}
		changes, err := sheet.Compare(one.Text, p.paper.Text)
		if err != nil {
			return nil // one of them is no YAML: the page says so of the text
		}
		p.against, p.changes = version, changes
		return nil
	}
	return shop.ErrNotFound
}

func (p *sheetPage) show(status int) error {
	p.readLeaves()
	return p.v.Show(frame.Page{Title: say.Plain(p.paper.Name), Plain: true, Status: status, Body: paperBody(p)})
}

func show(v *frame.Visit) error {
	version, _ := strconv.ParseInt(v.URL.Query().Get("version"), 10, 64) // 0 is the newest
	paper, err := v.Shop.Paper(v.Context(), v.Visitor.Scope, shop.PaperKind(v.PathValue("kind")), v.PathValue("name"), version)
	if err != nil {
		return err
	}
	p := &sheetPage{v: v, paper: paper, checked: true, saved: v.URL.Query().Has("saved")}
	if p.versions, err = v.Shop.PaperVersions(v.Context(), v.Visitor.Scope, paper.Kind, paper.Name); err != nil {
		return err
	}
	if against, _ := strconv.ParseInt(v.URL.Query().Get("against"), 10, 64); against > 0 {
		if err := p.compare(against); err != nil {
			return err
		}
	}
	return p.show(http.StatusOK)
}

// leafField begins the name of a field of the form.
const leafField = "f/"

// typed puts what was changed in the form into the text beside it: only where a
// field differs from what it showed, so that both can be worked in.
func typed(v *frame.Visit) (string, error) {
	text := strings.ReplaceAll(v.PostForm.Get("text"), "\r\n", "\n")
	shown, err := sheet.Leaves(strings.ReplaceAll(v.PostForm.Get("shown"), "\r\n", "\n"))
	if err != nil || !v.PostForm.Has("shown") {
		return text, nil // the form was not there
	}
	changes := map[string]string{}
	for _, l := range shown {
		if name := leafField + l.Path; v.PostForm.Has(name) && strings.TrimSpace(v.PostForm.Get(name)) != l.Value {
			changes[l.Path] = v.PostForm.Get(name)
		}
	}
	if len(changes) == 0 {
		return text, nil
	}
	put, err := sheet.Put(text, changes)
	if err != nil {
		return text, err
	}
	return put, nil
}

// save checks what was typed and, when asked, keeps it as a new version.
func save(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	kind, name := shop.PaperKind(v.PathValue("kind")), v.PathValue("name")
	text, refused := typed(v)
	paper, err := v.Shop.CheckPaper(v.Visitor.Scope, kind, name, text)
	if err != nil && say.AsProblem(err) == nil {
		return err
	}
	paper.Kind, paper.Name, paper.Text = kind, name, text
	p := &sheetPage{v: v, paper: paper, checked: true, problem: firstProblem(refused, err), reason: strings.TrimSpace(v.PostForm.Get("reason"))}
	if p.versions, err = v.Shop.PaperVersions(v.Context(), v.Visitor.Scope, kind, name); err != nil {
		return err
	}
	if v.PostForm.Get("do") != "save" || p.problem != nil {
		return p.show(http.StatusOK)
	}
	_, err = v.Shop.SavePaper(v.Context(), v.Visitor.Scope, shop.NewPaper{Kind: kind, Name: name, Text: text, Reason: p.reason})
	if p.problem = say.AsProblem(err); p.problem != nil { // also where it is not allowed: the text stays
		status, _ := frame.StatusOf(err)
		return p.show(status)
	}
	if err != nil {
		return err
	}
	return v.Go(address(kind, name) + "?saved")
}

// firstProblem is the first of the errors that can be put right.
func firstProblem(errs ...error) *say.Problem {
	for _, err := range errs {
		if p := say.AsProblem(err); p != nil {
			return p
		}
	}
	return nil
}

func address(kind shop.PaperKind, name string) string {
	return "/papers/" + url.PathEscape(string(kind)) + "/" + url.PathEscape(name)
}
