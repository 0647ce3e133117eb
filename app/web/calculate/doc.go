// Package calculate is the place of the calculators: each with its question,
// a form made from its inputs, and its answer with warnings, cautions and
// working. It computes nothing: the registry does.
//
// A field that is one word or number is a line to fill in; a list or a group is
// a few lines of YAML, as its example shows. What was typed stays in the form,
// and a refusal names its field.
package calculate
