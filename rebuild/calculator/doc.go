// Package calculator is the registry of calculators: one entry for each
// question that can be asked of package calc without a job.
//
// An entry is one In struct, one Out struct, a question and a function. The
// names, dimensions, defaults and help of the fields come from the structs, so
// the command line, the page, the JSON interface and the handbook cannot drift
// apart:
//
//	type pressFitIn struct {
//		MatingDiameter quantity.Length  `json:"mating_diameter" help:"diameter at which the two parts touch"`
//		Friction       float64          `json:"friction" default:"0.12" help:"coefficient of friction while pressing"`
//		Service        *quantity.Temperature `json:"service_temperature" help:"…"` // pointer: may be missing
//	}
//
// Fields are required unless they are pointers, have a default tag, or carry
// optional:"yes". oneof:"a|b" lists the words a text field takes. A quantity is
// read from text with its unit, a plain number only where the field has no
// dimension (and 0, which is the same in every unit). A field of type Hours or
// Years takes a plain number or a time. A field of type Any takes a quantity of
// any dimension or a plain number.
//
// There is no global registration: All returns one explicit list.
package calculator
