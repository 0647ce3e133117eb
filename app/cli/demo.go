package cli

import (
	"bytes"
	_ "embed"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// demoCommand holds what is invented: the scenario, which comes without a
// further word, and the simulated fleet.
type demoCommand struct {
	Scenario demoScenario `cmd:"" default:"withargs" help:"Write an invented shop with three jobs into a folder and walk through one of them (what demo alone does)."`
	Fleet    demoFleet    `cmd:"" help:"Write an invented fleet of any size, with the truth that made it."`
}

// Help shows how it is called.
func (*demoCommand) Help() string {
	return `Without a further word, the scenario.

  pumpwright demo --no-serve
  pumpwright demo fleet --jobs 20 --seed 1
`
}

// demoScenario writes the invented scenario and walks through one job.
type demoScenario struct {
	Dir     string `default:"pumpwright-demo" help:"Folder to write."`
	NoServe bool   `help:"Start no server: only write the folder and print."`
	Listen  string `default:"${listen}" help:"Address and port on this machine to serve the scenario on."`
	Units
}

// Help shows how it is called.
func (*demoScenario) Help() string {
	return `Files that are there already are left alone. Without --no-serve the pages with the scenario are served on this machine until Ctrl-C.

  pumpwright demo --no-serve
  pumpwright demo --no-serve --dir try --units inch
`
}

//go:embed template/README.txt
var demoReadme []byte

//go:embed template/shelf.csv
var demoShelf []byte

// demoFile is one file of the demo folder.
type demoFile struct {
	name    string
	content []byte
}

// demoFiles makes the files of the demo folder.
func demoFiles() ([]demoFile, error) {
	shop, err := demo.ShopText()
	if err != nil {
		return nil, err
	}
	list := []demoFile{{"README.txt", demoReadme}, {"shop.yaml", shop}, {"shelf.csv", demoShelf}}
	for _, name := range sheet.DemoNames() {
		text, err := sheet.DemoText(name)
		if err != nil {
			return nil, err
		}
		list = append(list, demoFile{"sheets/" + name + ".yaml", text})
	}
	for _, name := range demo.Services() {
		text, err := demo.ServiceText(name)
		if err != nil {
			return nil, err
		}
		list = append(list, demoFile{"services/" + name + ".yaml", text})
	}
	for _, name := range demo.Jobs() {
		stream, err := demo.Job(name)
		if err != nil {
			return nil, err
		}
		var out bytes.Buffer
		if err := stream.Write(&out); err != nil {
			return nil, err
		}
		list = append(list, demoFile{name + ".jsonl", out.Bytes()})
	}
	return list, nil
}

var (
	msgDemoIntro = say.Define("cli.demo_intro", "An invented shop rebuilds invented pumps. No such people, firms or machines exist. Three jobs stand in {folder}; this is the finished one, {job}, moment by moment.")
	msgDemoKept  = say.Define("cli.demo_kept", "Left alone, because they were there already: {files:list}.")
	headDemoNext = say.Define("cli.demo_next", "Where everything is, and what to try next")
	msgDemoFiles = say.Define("cli.demo_files", "{folder} holds the model sheets (sheets), the services, the shop (shop.yaml), three job files and the report of {job} as PDF. Go there and try:")
)

// shownJob is the job that the demo walks through.
const shownJob = "J-2041"

// Run writes and walks.
func (c *demoScenario) Run(env *Env) error {
	stream, err := demo.Job(shownJob)
	if err != nil {
		return err
	}
	kept, err := c.write(env, stream)
	if err != nil {
		return err
	}
	p := newPage(env, c.style())
	p.say(msgDemoIntro.With(c.Dir, shownJob))
	if len(kept) > 0 {
		p.say(msgDemoKept.With(kept))
	}
	for _, m := range moments() {
		if err := m.walk(p, stream); err != nil {
			return err
		}
	}
	p.head(headDemoNext.With())
	p.say(msgDemoFiles.With(c.Dir, shownJob))
	p.blank()
	p.line("  cd " + c.Dir)
	for _, line := range demoCommands {
		p.line("  " + line)
	}
	p.blank()
	p.say(msgAbove.With())
	if p.err != nil || c.NoServe {
		return p.err
	}
	return c.serve(env)
}

// serve serves the scenario out of memory: what is tried there is gone when it
// ends.
func (c *demoScenario) serve(env *Env) error {
	local, err := onlyThisMachine(c.Listen)
	if err != nil {
		return err
	}
	if !local {
		return say.Refuse("listen", c.Listen, msgNotLocal.With(c.Listen), msgWriteListen.With(usualListen))
	}
	ctx, stop := env.until()
	defer stop()
	s, err := shop.OpenMemory(ctx, shop.Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	if err := s.LoadDemo(ctx); err != nil {
		return err
	}
	served := serving{env: env, listen: c.Listen, shop: s, demo: true, said: func(address string) say.Message { return msgServingDemo.With(address) }}
	return served.run(ctx)
}

// demoCommands are the command lines that the demo proposes in its folder; a
// test runs them.
var demoCommands = []string{
	"pumpwright assess J-2057.jsonl",
	"pumpwright assess J-2041.jsonl --units inch --working",
	"pumpwright report J-2057.jsonl",
	"pumpwright job verify J-2041.jsonl",
	`pumpwright job add J-2063.jsonl note "crate opened" --by mira`,
	"pumpwright sheet check sheets/demo-pump-m.yaml",
	"pumpwright calc gasket-stack --example | pumpwright calc gasket-stack",
}

// write makes the folder and returns the names of the files that were there.
func (c *demoScenario) write(env *Env, stream *record.Stream) (kept []string, err error) {
	list, err := demoFiles()
	if err != nil {
		return nil, err
	}
	pdf, err := demoReport(env, stream, c.style())
	if err != nil {
		return nil, err
	}
	list = append(list, demoFile{shownJob + ".pdf", pdf})
	for _, f := range list {
		name := path.Join(c.Dir, f.name)
		if err := env.Folder.MakeFolder(path.Dir(name)); err != nil {
			return nil, err
		}
		err := env.Folder.Create(name, f.content)
		if errors.Is(err, fs.ErrExist) {
			kept = append(kept, f.name)
			continue
		}
		if err != nil {
			return nil, err
		}
	}
	return kept, nil
}

func demoReport(env *Env, stream *record.Stream, s say.Style) ([]byte, error) {
	in, err := assess.FromJob(job.Fold(stream), time.Time{})
	if err != nil {
		return nil, err
	}
	return env.Report(assess.Assess(in), report.Options{Size: document.A4, Style: s, Appendix: true})
}

// moment is a place in the story of the shown job: the entry of a kind about a
// step after which it is looked at.
type moment struct {
	title      say.Template
	kind, step string // empty: the end
	tells      []func(v *view)
}

var (
	momentFound   = say.Define("cli.moment_found", "As found, before anything is cleaned")
	momentJudged  = say.Define("cli.moment_judged", "Measured and judged")
	momentStack   = say.Define("cli.moment_stack", "The stack, worked out before the pump is closed")
	momentLeft    = say.Define("cli.moment_left", "As left")
	msgMomentAt   = say.Define("cli.moment_at", "After entry {seq:count}, {day}, stage: {stage:message}.")
	msgBecause    = say.Define("cli.because", "Replace {part}, because:")
	msgNoWear     = say.Define("cli.no_wear", "No part is past a limit so far.")
	msgHotEnd     = say.Define("cli.hot_end", "In service the end clearance becomes {steady}, {worst} at its tightest while warming up.")
	msgLacking    = say.Define("cli.lacking", "Still missing ({n:count|reading|readings}): {list}.")
	msgNoLacking  = say.Define("cli.no_lacking", "No reading is missing.")
	msgOpenHolds  = say.Define("cli.open_holds", "Not signed yet: {list}.")
	msgSeen       = say.Define("cli.seen", "Seen: {list}.")
	msgSeenOn     = say.Define("cli.seen_on", "{part}: {note}")
	msgMoreThings = say.Define("cli.more", "and {n:number} more")
)

func moments() []moment {
	return []moment{
		{momentFound, job.KindStep, "down-findings", []func(*view){(*view).seen, (*view).endClearance, (*view).advice, (*view).lacking}},
		{momentJudged, job.KindSign, "judge-signed", []func(*view){(*view).replaced, (*view).endClearance, (*view).lacking}},
		{momentStack, job.KindSign, "build-seal-signed", []func(*view){(*view).endClearance, (*view).advice, (*view).lacking}},
		{momentLeft, "", "", []func(*view){(*view).endClearance, (*view).advice, (*view).clearanceTable, (*view).lacking}},
	}
}

// until cuts the stream after the moment.
func (m moment) until(stream *record.Stream) *record.Stream {
	i := slices.IndexFunc(stream.Entries, func(e record.Entry) bool {
		return e.Kind == m.kind && strings.Contains(string(e.Body), `"step":"`+m.step+`"`)
	})
	if m.kind == "" || i < 0 {
		return stream
	}
	return &record.Stream{Name: stream.Name, Entries: stream.Entries[:i+1]}
}

// walk tells the moment.
func (m moment) walk(p *page, whole *record.Stream) error {
	stream := m.until(whole)
	in, err := assess.FromJob(job.Fold(stream), time.Time{})
	if err != nil {
		return err
	}
	v := view{page: p, a: assess.Assess(in)}
	v.head(m.title.With())
	v.say(msgMomentAt.With(in.Job.Count, in.Job.Last.Day(), v.a.Progress.Stage.Name()))
	for _, tell := range m.tells {
		tell(&v)
	}
	return nil
}

func (v *view) seen() {
	var list []string
	for _, f := range v.a.Inputs.Job.Findings {
		if f.Body.Absent || f.Body.Note == "" {
			continue
		}
		name := f.Body.Part
		if p := v.a.Inputs.Sheet.Part(name); p != nil {
			name = p.Name
		}
		list = append(list, msgSeenOn.With(name, f.Body.Note).Text(v.style))
	}
	if len(list) > 0 {
		v.say(msgSeen.With(names(list)))
	}
}

// replaced says what is replaced for wear and why.
func (v *view) replaced() {
	some := false
	for _, d := range v.a.Parts.Decisions {
		if d.Verdict != part.Replace || d.Part.Always {
			continue
		}
		some = true
		v.say(msgBecause.With(d.Part.Name))
		for _, reason := range d.Reasons {
			v.item("  - ", reason)
		}
	}
	if !some {
		v.say(msgNoWear.With())
	}
}

func (v *view) endClearance() {
	c := v.a.Clearances
	if f := c.AsFound; f != nil && f.Mean != nil {
		v.say(msgFoundClear.With(f.Mean.Show(v.style)))
	}
	if f := c.AsLeft; f != nil && f.Mean != nil {
		v.say(msgLeftClear.With(f.Mean.Show(v.style)))
	}
	v.window(c.Window)
	if end := c.Gaps[0]; end.Steady != nil && end.Worst != nil && end.Cold != nil {
		v.say(msgHotEnd.With(end.Steady.Show(v.style), end.Worst.Show(v.style)))
	}
}

func (v *view) clearanceTable() {
	v.blank()
	v.gaps(v.a.Clearances)
	v.blank()
}

func (v *view) advice() {
	c := v.a.Clearances
	if c.Stack == nil || c.Stack.Best() == nil {
		if !c.Unknown.IsZero() {
			v.say(msgNoAdvice.With(c.Unknown))
		}
		return
	}
	v.stack(c.Stack)
	v.say(msgBasis.With(c.Stack.Basis))
}

// mostLacking is how many missing readings a moment names.
const mostLacking = 6

func (v *view) lacking() {
	c := v.a.Progress
	var list []string
	for _, m := range c.Missing {
		if list = append(list, m.Feature.Name); len(list) == mostLacking && len(c.Missing) > mostLacking {
			list = append(list, msgMoreThings.With(float64(len(c.Missing)-mostLacking)).Text(v.style))
			break
		}
	}
	if len(list) == 0 {
		v.say(msgNoLacking.With())
	} else {
		v.say(msgLacking.With(len(c.Missing), names(list)))
	}
	var holds []string
	for _, s := range c.Holds {
		holds = append(holds, s.Step.Hold.For)
	}
	if len(holds) > 0 {
		v.say(msgOpenHolds.With(names(holds)))
	}
}
