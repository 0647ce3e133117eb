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
}

func (p *sheetPage) show(status int) error {
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
	return p.show(http.StatusOK)
}

// save checks what was typed and, when asked, keeps it as a new version.
func save(v *frame.Visit) error {
	if err := v.ParseForm(); err != nil {
		return err
	}
	kind, name := shop.PaperKind(v.PathValue("kind")), v.PathValue("name")
	text := strings.ReplaceAll(v.PostForm.Get("text"), "\r\n", "\n")
	paper, err := v.Shop.CheckPaper(v.Visitor.Scope, kind, name, text)
	if err != nil && say.AsProblem(err) == nil {
		return err
	}
	paper.Kind, paper.Name, paper.Text = kind, name, text
	p := &sheetPage{v: v, paper: paper, checked: true, problem: say.AsProblem(err), reason: strings.TrimSpace(v.PostForm.Get("reason"))}
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

func address(kind shop.PaperKind, name string) string {
	return "/papers/" + url.PathEscape(string(kind)) + "/" + url.PathEscape(name)
}
