package close

import (
	"strconv"

	"pumpwright/app/figure"
	"pumpwright/app/report"
	"pumpwright/app/web/bench"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Place is the closing of the pump.
func Place() frame.Place {
	return frame.Place{Routes: []frame.Route{{Pattern: "GET /job/{job}/close", Handle: show}}}
}

func show(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordClose.With(), Job: j, Here: "close", Body: closePage(closing(v, j))})
}

// page is what the page shows.
type page struct {
	v      *frame.Visit
	j      *frame.Job
	c      *clearance.Chapter
	scale  string
	layers string
	trial  *part.Entry
	kinds  []kind
	leaves []string
	field  part.Field
	float  part.Field
	byDial bool
}

// kind is one kind of gasket with its count in the trial.
type kind struct {
	name  string
	words say.Message
	field string
	count int // as advised
	stock int
}

func closing(v *frame.Visit, j *frame.Job) *page {
	p := &page{v: v, j: j, c: j.Assessment.Clearances, byDial: v.URL.Query().Get("by") != "leaf"}
	scale := report.Closing(p.c)
	if scale.WindowLow != nil || scale.AsFound != nil || scale.Expected != nil || scale.Measured != nil {
		p.scale = part.SVG(scale.Draw(v.View.Style), "scale")
	}
	if s := p.c.Stack; s != nil && s.Best() != nil {
		layers := report.Layers(s)
		p.layers = part.SVG(layers.Draw(v.View.Style), "layers")
	} else if found := oldStack(j); len(found.Layers) > 0 {
		p.layers = part.SVG(found.Draw(v.View.Style), "layers")
	}
	p.form()
	return p
}

// oldStack is the stack as it was found, for want of an advice.
func oldStack(j *frame.Job) figure.Stack {
	var f figure.Stack
	n := len(j.State.Stacks)
	if n == 0 {
		return f
	}
	for _, piece := range j.State.Stacks[n-1].Body.Pieces {
		if t, err := quantity.Read[quantity.Length](piece.Thickness); err == nil {
			f.Layers = append(f.Layers, figure.Layer{Kind: say.Plain(piece.Thickness), Thickness: t.Value, Sealing: piece.Sealing})
		}
	}
	return f
}

// form is the form of a trial assembly: the counts begin with what is advised.
func (p *page) form() {
	p.trial = p.v.EntryFor(p.j, job.KindTrial, "trial", nil)
	p.trial.Answers = p.j.Path("/answer")
	s := p.j.Assessment.Inputs.Sheet
	for i := range s.Gaskets {
		g := &s.Gaskets[i]
		k := kind{name: g.Name, words: wordKind.With(g.Name, g.Thickness.Value), field: part.Pointer("n", "counts", g.Name)}
		if g.Sealing {
			k.words = wordKindSeals.With(g.Name, g.Thickness.Value)
		}
		if st := p.c.Stack; st != nil {
			if best := st.Best(); best != nil && i < len(best.Counts) {
				k.count = best.Counts[i]
			}
			if i < len(st.Kinds) {
				k.stock = st.Kinds[i].Stock
			}
		}
		p.kinds = append(p.kinds, k)
	}
	p.field = part.Field{Name: "t/measured", Word: wordMeasured.With(), Kind: part.Measure, Units: p.v.View.LengthUnits()}
	p.float = part.Field{Name: "t/float", Word: wordFloat.With(), Help: wordFloatHelp.With(), Kind: part.Measure, Units: p.v.View.LengthUnits()}
	if f := s.ByRole(sheet.RoleEndClearance); f != nil {
		p.leaves = bench.Leaves(f.Nominal, p.v.View.Inch())
	}
}

// countOf is what the field of a kind shows.
func (p *page) countOf(k kind) string {
	if p.trial.Typed != nil {
		return p.trial.Typed.Get(k.field)
	}
	if k.count == 0 {
		return ""
	}
	return strconv.Itoa(k.count)
}

// change says what to put in and take out since the last trial.
func (p *page) change() (in, out []string) {
	s := p.c.Stack
	if s == nil || s.Best() == nil || s.Basis != clearance.FromTrial {
		return nil, nil
	}
	best := s.Best()
	for i, k := range s.Kinds {
		if i < len(best.In) && best.In[i] > 0 {
			in = append(in, p.v.View.T(wordPieces.With(best.In[i], k.Name)))
		}
		if i < len(best.Out) && best.Out[i] > 0 {
			out = append(out, p.v.View.T(wordPieces.With(best.Out[i], k.Name)))
		}
	}
	return in, out
}

// stays reports whether the stack that was tried is right as it is.
func (p *page) stays() bool {
	s := p.c.Stack
	return s != nil && s.Landed != nil && *s.Landed && s.Best() != nil && s.Best().Changed() == 0
}

// tools are the instruments for the trial.
func (p *page) tools() []part.Option {
	list := []part.Option{{Value: "", Word: wordNoTool.With()}}
	if shop := p.j.Assessment.Inputs.Shop; shop != nil {
		for i := range shop.Instruments {
			in := &shop.Instruments[i]
			if in.Kind == "dial indicator" && p.byDial || in.Kind == "feeler gauge" && !p.byDial || in.Kind == "depth micrometer" && p.byDial {
				list = append(list, part.Option{Value: in.ID, Word: bench.InstrumentWords(in, p.j.Assessment)})
			}
		}
	}
	return list
}

// warnings of the stack, the turn and the window.
func (p *page) warnings() []say.Message {
	var list []say.Message
	if p.c.Stack != nil {
		list = append(list, p.c.Stack.Warnings...)
	}
	if p.c.Turn != nil {
		list = append(list, p.c.Turn.Warnings...)
	}
	return append(list, p.c.Window.Warnings...)
}

// rows of the manual that are near when none holds.
func (p *page) rows() []say.Message {
	var list []say.Message
	for _, r := range p.c.Window.Between {
		page := r.Low.Page
		if page == "" {
			page = "–"
		}
		list = append(list, wordRow.With(r.Low.Value, r.High.Value, page))
	}
	return list
}
