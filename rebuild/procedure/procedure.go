package procedure

import (
	_ "embed"
	"fmt"

	"github.com/goccy/go-yaml"

	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/sheet"
)

// Stage is one stretch of the job.
type Stage string

// Show prints the word in the language of a style.
func (v Stage) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Stage) Message() say.Message { return say.Word("procedure", string(v)) }

// The stages, in order.
const (
	Receive    Stage = "receive"
	MakeSafe   Stage = "make-safe"
	TearDown   Stage = "tear-down"
	Measure    Stage = "measure"
	Judge      Stage = "judge"
	Quote      Stage = "quote"
	Reassemble Stage = "reassemble"
	Prove      Stage = "prove"
	Return     Stage = "return"
	FollowUp   Stage = "follow-up"
)

// Stages lists the stages in order.
func Stages() []Stage {
	return []Stage{Receive, MakeSafe, TearDown, Measure, Judge, Quote, Reassemble, Prove, Return, FollowUp}
}

var stageNames = map[Stage]say.Template{
	Receive:    say.Define("procedure.stage_receive", "receive"),
	MakeSafe:   say.Define("procedure.stage_make_safe", "make safe"),
	TearDown:   say.Define("procedure.stage_tear_down", "tear down (as found)"),
	Measure:    say.Define("procedure.stage_measure", "clean and measure"),
	Judge:      say.Define("procedure.stage_judge", "judge"),
	Quote:      say.Define("procedure.stage_quote", "explain and quote"),
	Reassemble: say.Define("procedure.stage_reassemble", "reassemble"),
	Prove:      say.Define("procedure.stage_prove", "prove"),
	Return:     say.Define("procedure.stage_return", "return to service"),
	FollowUp:   say.Define("procedure.stage_follow_up", "follow up"),
}

// Name returns what people call the stage.
func (s Stage) Name() say.Message { return stageNames[s].With() }

// Hold is a point at which somebody must sign before work goes on.
type Hold struct {
	Who []string `json:"who" help:"roles that may sign"`
	For string   `json:"for" help:"what the signature stands for"`
}

// Step is one step of the procedure.
type Step struct {
	ID         string          `json:"id" help:"short name"`
	Stage      Stage           `json:"stage" help:"stage"`
	Title      string          `json:"title" help:"the step in a few words, the verb first"`
	Do         string          `json:"do" help:"what to do"`
	Cautions   []string        `json:"cautions" optional:"yes" help:"ids of cautions"`
	Tools      []string        `json:"tools" optional:"yes" help:"instruments"`
	Reads      []string        `json:"reads" optional:"yes" help:"roles of the features that are read"`
	State      string          `json:"state" default:"as-found" oneof:"as-found|as-left" help:"state in which they are read"`
	Photo      string          `json:"photo" optional:"yes" help:"what to photograph"`
	Records    string          `json:"records" optional:"yes" help:"kind of entry that the step asks for"`
	Of         string          `json:"of" optional:"yes" help:"what the record is about: the role of the bore of a bushing that is pressed in; shims"`
	Hold       *Hold           `json:"hold" help:"signature before work goes on"`
	Timer      string          `json:"timer" optional:"yes" help:"what the clock runs for"`
	Minutes    float64         `json:"minutes" optional:"yes" help:"usual time"`
	Only       sheet.Condition `json:"only" optional:"yes" help:"builds for which the step applies"`
	BeforeLoss bool            `json:"before-loss" optional:"yes" help:"true when it cannot be done once the head is off"`
	BeforeSeal bool            `json:"before-seal" optional:"yes" help:"true when it cannot be done once the seal is out"`
	Opens      bool            `json:"opens" optional:"yes" help:"true for the step that takes the head off"`
	OpensSeal  bool            `json:"takes-seal-out" optional:"yes" help:"true for the step that takes the seal out"`
}

// Caution is what can hurt and what to do about it.
type Caution struct {
	ID   string `json:"id" help:"short name"`
	Harm string `json:"harm" help:"what can happen"`
	Do   string `json:"do" help:"what to do"`
}

// Procedure is a list of steps with the cautions that they name.
type Procedure struct {
	Name     string    `json:"name" help:"short name"`
	Title    string    `json:"title" help:"what people call it"`
	Steps    []Step    `json:"steps" help:"steps in order"`
	Cautions []Caution `json:"cautions" optional:"yes" help:"cautions"`

	byID map[string]*Caution
}

//go:embed crescent.yaml
var crescentText []byte

//go:embed cautions.yaml
var cautionText []byte

// Crescent returns the built-in procedure for a crescent internal gear pump.
func Crescent() (*Procedure, error) {
	p, err := Parse(crescentText, cautionText)
	if err != nil {
		return nil, fmt.Errorf("procedure: built-in: %w", err)
	}
	return p, nil
}

var (
	msgNotYAML     = say.Define("procedure.not_yaml", "the text is not YAML: {reason}")
	msgDouble      = say.Define("procedure.double", "“{id}” is used twice")
	msgNoCaution   = say.Define("procedure.no_caution", "there is no caution “{id}”")
	msgNoStage     = say.Define("procedure.no_stage", "there is no stage “{id}”")
	msgStagesAre   = say.Define("procedure.stages_are", "the stages are {stages}")
	msgNoBuild     = say.Define("procedure.no_build", "the build has no field “{field}”")
	msgBackwards   = say.Define("procedure.backwards", "the step belongs to an earlier stage than the one before it")
	msgCautionText = say.Define("procedure.caution", "{harm} {do}")
)

// Parse reads a procedure and its cautions.
func Parse(steps, cautions []byte) (*Procedure, error) {
	p := &Procedure{}
	for _, text := range [][]byte{steps, cautions} {
		var raw any
		if err := yaml.Unmarshal(text, &raw); err != nil {
			return nil, say.Refuse("", "", msgNotYAML.With(err), say.Message{})
		}
		if group, ok := raw.(map[string]any); ok && group["steps"] == nil {
			list := struct {
				Cautions []Caution `json:"cautions" help:"cautions"`
			}{}
			if err := fields.Bind(raw, &list); err != nil {
				return nil, err
			}
			p.Cautions = append(p.Cautions, list.Cautions...)
			continue
		}
		if err := fields.Bind(raw, p); err != nil {
			return nil, err
		}
	}
	return p, p.check()
}

func (p *Procedure) check() error {
	p.byID = map[string]*Caution{}
	for i := range p.Cautions {
		p.byID[p.Cautions[i].ID] = &p.Cautions[i]
	}
	seen := map[string]bool{}
	order := map[Stage]int{}
	for i, s := range Stages() {
		order[s] = i + 1
	}
	last := 0
	for i, s := range p.Steps {
		at := fmt.Sprintf("steps[%d]", i)
		switch {
		case seen[s.ID]:
			return say.Refuse(at+".id", s.ID, msgDouble.With(s.ID), say.Message{})
		case order[s.Stage] == 0:
			return say.Refuse(at+".stage", string(s.Stage), msgNoStage.With(s.Stage), msgStagesAre.With(fmt.Sprint(Stages())))
		case order[s.Stage] < last:
			return say.Refuse(at+".stage", string(s.Stage), msgBackwards.With(), say.Message{})
		}
		for j, c := range s.Cautions {
			if p.byID[c] == nil {
				return say.Refuse(fmt.Sprintf("%s.cautions[%d]", at, j), c, msgNoCaution.With(c), say.Message{})
			}
		}
		for field := range s.Only {
			if (sheet.Build{}).Word(field) == "" && !knownField(field) {
				return say.Refuse(at+".only."+field, "", msgNoBuild.With(field), say.Message{})
			}
		}
		seen[s.ID] = true
		last = order[s.Stage]
	}
	return nil
}

func knownField(field string) bool {
	full := sheet.Build{ShaftSeal: "x", ReliefValve: "x", ClearanceBy: "x", Shims: "x", IdlerBushing: "x", BracketBushing: "x", IdlerPin: "x", ThrustBearing: "x", Mounting: "x", Rotation: "x"}
	return full.Word(field) != ""
}

// For returns the steps that apply to a build, in order.
func (p *Procedure) For(b sheet.Build) []*Step {
	var list []*Step
	for i := range p.Steps {
		if p.Steps[i].Only.Holds(b) {
			list = append(list, &p.Steps[i])
		}
	}
	return list
}

// Step returns the step of an id, or nil.
func (p *Procedure) Step(id string) *Step {
	for i := range p.Steps {
		if p.Steps[i].ID == id {
			return &p.Steps[i]
		}
	}
	return nil
}

// Caution returns a caution as a message, for the screen and page of the step.
func (p *Procedure) Caution(id string) say.Message {
	c := p.byID[id]
	if c == nil {
		return say.Message{}
	}
	return msgCautionText.With(p.text("harm_"+c.ID, c.Harm), p.text("do_"+c.ID, c.Do))
}

// text makes a message of words from the data, with an id for catalogues.
func (p *Procedure) text(id, words string) say.Message {
	return say.Worded("procedure."+id, words)
}

// TitleOf returns the title of a step as a message.
func (p *Procedure) TitleOf(s *Step) say.Message { return p.text("title_"+s.ID, s.Title) }

// DoOf returns what to do as a message.
func (p *Procedure) DoOf(s *Step) say.Message { return p.text("text_"+s.ID, s.Do) }
