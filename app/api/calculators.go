package api

import (
	"encoding/json"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"pumpwright/rebuild/calculator"
)

type CalculatorLine struct {
	Name     string `json:"name" example:"press-fit"`
	Question string `json:"question"`
}

type calculatorsOut struct {
	Body struct {
		Calculators []CalculatorLine `json:"calculators" nullable:"false"`
	}
}

// field describes an input or a result.
type field struct {
	Name     string   `json:"name"`
	Kind     string   `json:"kind" doc:"dimension, or kind of text"`
	Help     string   `json:"help"`
	Required bool     `json:"required,omitempty"`
	Default  string   `json:"default,omitempty"`
	Words    []string `json:"words,omitempty" nullable:"false" doc:"what a text field takes"`
	Fields   []field  `json:"fields,omitempty" nullable:"false"`
}

func fieldsOf(list []calculator.Field) []field {
	fields := make([]field, 0, len(list))
	for _, f := range list {
		one := field{Name: f.Name, Kind: f.Kind, Help: f.Help, Required: f.Required, Default: f.Default, Words: f.Words}
		if len(f.Fields) > 0 {
			one.Fields = fieldsOf(f.Fields)
		}
		fields = append(fields, one)
	}
	return fields
}

type CalculatorIn struct {
	Name string `path:"name" example:"convert"`
}

type calculatorOut struct {
	Body struct {
		CalculatorLine
		Example string  `json:"example" doc:"an input in YAML that runs as it is"`
		Inputs  []field `json:"inputs" nullable:"false"`
		Results []field `json:"results" nullable:"false"`
	}
}

type runIn struct {
	CalculatorIn
	Units   string `query:"units" enum:"metric,inch" default:"metric" doc:"units of the texts; values are SI"`
	Working bool   `query:"working" doc:"with the tree of reasons behind every number"`
	Body    map[string]any
}

type runOut struct {
	Body map[string]any
}

func (s *Server) calculators() {
	register(s, huma.Operation{
		OperationID: "list-calculators", Method: http.MethodGet, Path: "/calculators", Tags: []string{"calculators"}, Summary: "List the questions that can be asked without a job",
	}, func(*visit, *struct{}) (*calculatorsOut, error) {
		out := &calculatorsOut{}
		for _, c := range calculator.All() {
			out.Body.Calculators = append(out.Body.Calculators, CalculatorLine{c.Name, c.Question})
		}
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "get-calculator", Method: http.MethodGet, Path: "/calculators/{name}", Tags: []string{"calculators"}, Summary: "Read what a calculator takes and gives",
	}, func(_ *visit, in *CalculatorIn) (*calculatorOut, error) {
		c, err := calculator.Find(in.Name)
		if err != nil {
			return nil, gone()
		}
		out := &calculatorOut{}
		out.Body.CalculatorLine = CalculatorLine{c.Name, c.Question}
		out.Body.Example, out.Body.Inputs, out.Body.Results = c.Example, fieldsOf(c.Inputs()), fieldsOf(c.Results())
		return out, nil
	})
	register(s, huma.Operation{
		OperationID: "run-calculator", Method: http.MethodPost, Path: "/calculators/{name}", Tags: []string{"calculators"}, Summary: "Compute",
		Description: "The body is the input. Files of the server are not read. The command “calc NAME --json” prints the same.",
	}, func(_ *visit, in *runIn) (*runOut, error) {
		c, err := calculator.Find(in.Name)
		if err != nil {
			return nil, gone()
		}
		input, err := json.Marshal(in.Body) // what was read as JSON is JSON
		if err != nil {
			return nil, err
		}
		outcome, err := c.Run(nil, input)
		if err != nil {
			return nil, err
		}
		return &runOut{outcome.Document(styleOf(in.Units), in.Working)}, nil
	})
}
