// Package working holds the tree of reasons behind a number: what it is
// called, its equation and source, its inputs, and how sure it is.
//
// A result of calc keeps its inputs and makes its tree when somebody asks; it
// does not compute again. There is one node for each named result and none
// inside a solver's loop. Every leaf carries a source or a Ref: where the
// number was entered (an entry of a job, a path in a model sheet).
package working

import (
	"fmt"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Node is one named number and how it came about.
type Node struct {
	ID        string             // stable, dotted: "end_clearance.cold"
	Name      say.Message        // what a person calls it
	Symbol    string             // s_e
	Dimension quantity.Dimension // NoDimension for a plain number
	Value     float64            // SI
	U         float64            // standard uncertainty, SI; 0 = not stated
	Equation  string             // s_e = H_c − H_r − p + g
	Source    string             // standard, textbook and equation; or "derived here", "common practice"
	Ref       string             // opaque: entry id or path in the sheet
	Text      string             // for a node that is no number
	Inputs    []*Node
}

// Leaf makes a node for a quantity that was given, with where it came from.
func Leaf(id string, name say.Message, symbol string, q quantity.Quantity, ref string) *Node {
	return &Node{ID: id, Name: name, Symbol: symbol, Dimension: q.Dimension(), Value: q.SI(), Ref: ref}
}

// Number makes a leaf for a plain number.
func Number(id string, name say.Message, symbol string, v float64, ref string) *Node {
	return &Node{ID: id, Name: name, Symbol: symbol, Value: v, Ref: ref}
}

// Result makes a node for a quantity that was computed.
func Result(id string, name say.Message, symbol string, q quantity.Quantity, equation, source string, inputs ...*Node) *Node {
	return &Node{ID: id, Name: name, Symbol: symbol, Dimension: q.Dimension(), Value: q.SI(), Equation: equation, Source: source, Inputs: inputs}
}

// WithU states the standard uncertainty (SI) and returns the node.
func (n *Node) WithU(u float64) *Node {
	n.U = u
	return n
}

// From states the source of a leaf and returns the node.
func (n *Node) From(source string) *Node {
	n.Source = source
	return n
}

// Show prints the value of the node, with its uncertainty where stated.
func (n *Node) Show(s say.Style) string {
	if n.Text != "" {
		return n.Text
	}
	if n.U > 0 {
		return quantity.ShowWithU(n.Dimension, n.Value, n.U, s)
	}
	return quantity.Show(n.Dimension, n.Value, s)
}

// Walk visits the node and all below it, each pointer once, parents first.
func (n *Node) Walk(visit func(node *Node, depth int)) {
	walk(n, 0, map[*Node]bool{}, visit)
}

func walk(n *Node, depth int, seen map[*Node]bool, visit func(*Node, int)) {
	if n == nil || seen[n] {
		return
	}
	seen[n] = true
	visit(n, depth)
	for _, in := range n.Inputs {
		walk(in, depth+1, seen, visit)
	}
}

// Check reports the first leaf that has neither a Ref nor a source, or the
// first computed node without an equation.
func (n *Node) Check() error {
	var err error
	n.Walk(func(node *Node, _ int) {
		switch {
		case err != nil:
		case len(node.Inputs) == 0 && node.Ref == "" && node.Source == "":
			err = fmt.Errorf("working: leaf %q has neither a reference nor a source", node.ID)
		case len(node.Inputs) > 0 && node.Equation == "":
			err = fmt.Errorf("working: node %q has inputs but no equation", node.ID)
		}
	})
	return err
}
