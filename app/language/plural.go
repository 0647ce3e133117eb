package language

import (
	"fmt"
	"strconv"
	"strings"
)

// forms reads the header Plural-Forms of a file, for example
// "nplurals=2; plural=(n != 1);": how many forms a count has, and the rule by
// which a number chooses one. The rule is an expression in n as gettext writes
// it: ?: || && == != < > <= >= % and brackets.
func forms(header string) (int, func(n int) int, error) {
	count, rule := 0, ""
	for part := range strings.SplitSeq(header, ";") {
		name, value, _ := strings.Cut(part, "=")
		switch strings.TrimSpace(name) {
		case "nplurals":
			count, _ = strconv.Atoi(strings.TrimSpace(value)) // 0 is refused below
		case "plural":
			rule = value
		}
	}
	if count < 1 || count > 6 || rule == "" {
		return 0, nil, fmt.Errorf("Plural-Forms says how many forms there are and which is taken, not %q", header)
	}
	p := ruleReader{text: strings.ReplaceAll(rule, " ", "")}
	choose := p.choice()
	if p.bad || p.text != "" {
		return 0, nil, fmt.Errorf("the rule of Plural-Forms cannot be read: %q", rule)
	}
	return count, func(n int) int { return min(max(choose(max(n, -n)), 0), count-1) }, nil
}

type ruleReader struct {
	text  string
	depth int
	bad   bool
}

type term func(n int) int

func (p *ruleReader) eat(token string) bool {
	rest, found := strings.CutPrefix(p.text, token)
	if found {
		p.text = rest
	}
	return found
}

func (p *ruleReader) choice() term {
	if p.depth++; p.depth > 50 {
		p.bad = true
		return zero
	}
	defer func() { p.depth-- }()
	condition := p.binary(0)
	if !p.eat("?") {
		return condition
	}
	yes := p.choice()
	if !p.eat(":") {
		p.bad = true
	}
	no := p.choice()
	return func(n int) int {
		if condition(n) != 0 {
			return yes(n)
		}
		return no(n)
	}
}

func zero(int) int { return 0 }

// operators by how loosely they bind; longer ones first.
var operators = [][]string{{"||"}, {"&&"}, {"==", "!="}, {"<=", ">=", "<", ">"}, {"%"}}

func (p *ruleReader) binary(level int) term {
	if level == len(operators) {
		return p.single()
	}
	left := p.binary(level + 1)
	for {
		found := ""
		for _, o := range operators[level] {
			if p.eat(o) {
				found = o
				break
			}
		}
		if found == "" {
			return left
		}
		first, second := left, p.binary(level+1)
		left = func(n int) int { return apply(found, first(n), second(n)) }
	}
}

func apply(operator string, a, b int) int {
	yes := false
	switch operator {
	case "||":
		yes = a != 0 || b != 0
	case "&&":
		yes = a != 0 && b != 0
	case "==":
		yes = a == b
	case "!=":
		yes = a != b
	case "<=":
		yes = a <= b
	case ">=":
		yes = a >= b
	case "<":
		yes = a < b
	case ">":
		yes = a > b
	case "%":
		if b == 0 {
			return 0
		}
		return a % b
	}
	if yes {
		return 1
	}
	return 0
}

func (p *ruleReader) single() term {
	if p.eat("(") {
		inner := p.choice()
		if !p.eat(")") {
			p.bad = true
		}
		return inner
	}
	if p.eat("n") {
		return func(n int) int { return n }
	}
	digits := len(p.text) - len(strings.TrimLeft(p.text, "0123456789"))
	v, err := strconv.Atoi(p.text[:digits])
	if err != nil {
		p.bad = true
		return zero
	}
	p.text = p.text[digits:]
	return func(int) int { return v }
}

// Forms returns how many forms a count has in the language of a file.
func (f *File) Forms() (int, error) {
	count, _, err := forms(f.Header["Plural-Forms"])
	return count, err
}
