package say

import (
	"fmt"
	"strconv"
	"strings"
)

// Template is the definition of a message: its id and its English words.
type Template struct {
	id    string
	words string
	slots []Slot
}

// Slot is one place in the words of a template that an argument fills.
type Slot struct {
	Name string
	Kind string   // "text" when the words name none
	Form []string // plural forms of a count slot: one, other; as many as the language has
}

// Define makes a template. Call it once for each message, in a package
// variable, so that every message of the module can be listed.
func Define(id, words string) Template {
	return Template{id: id, words: words, slots: Slots(words)}
}

// ID returns the id of the template.
func (t Template) ID() string { return t.id }

// Words returns the English words with their slots.
func (t Template) Words() string { return t.words }

// Slots returns the slots in the order of their first appearance.
func (t Template) Slots() []Slot { return t.slots }

// Worded makes a message whose words are data, such as a step of a procedure
// file. The id lets a catalogue give them in another language. The words have
// no slots: braces stay as they are.
func Worded(id, words string) Message {
	return Message{template: Template{id: id, words: words}}
}

// With fills the slots, in the order of their first appearance.
func (t Template) With(args ...any) Message {
	return Message{template: t, args: args}
}

// Message is a template with its arguments. The zero Message is empty: it
// shows as no text.
type Message struct {
	template Template
	args     []any
}

// ID returns the id of the message, or "" for the empty message.
func (m Message) ID() string { return m.template.id }

// IsZero reports whether there is nothing to say.
func (m Message) IsZero() bool { return m.template.id == "" }

// Args returns the arguments in slot order.
func (m Message) Args() []any { return m.args }

// Show renders the message in a style.
func (m Message) Show(s Style) string { return m.Text(s) }

// String renders the message in English and metric units.
func (m Message) String() string { return m.Text(Style{}) }

// Text renders the message in a style. A slot without an argument shows its
// name in braces, so that a mistake is seen and nothing is lost.
func (m Message) Text(s Style) string {
	if m.IsZero() {
		return ""
	}
	words := m.template.words
	if s.Catalogue != nil {
		if w, ok := s.Catalogue.Words(m.template.id); ok {
			words = w
		}
	}
	if len(m.template.slots) == 0 {
		return words
	}
	var b strings.Builder
	for {
		open := strings.IndexByte(words, '{')
		if open < 0 {
			b.WriteString(words)
			return b.String()
		}
		close := strings.IndexByte(words[open:], '}')
		if close < 0 {
			b.WriteString(words)
			return b.String()
		}
		b.WriteString(words[:open])
		slot := parseSlot(words[open+1 : open+close])
		b.WriteString(m.fill(slot, s))
		words = words[open+close+1:]
	}
}

func (m Message) fill(slot Slot, s Style) string {
	for i, have := range m.template.slots {
		if have.Name == slot.Name {
			if i >= len(m.args) {
				break
			}
			return showArg(m.args[i], slot, s)
		}
	}
	return "{" + slot.Name + "}"
}

func showArg(arg any, slot Slot, s Style) string {
	switch v := arg.(type) {
	case Shower:
		return v.Show(s)
	case string:
		return v
	case int:
		return countText(v, slot, s)
	case float64:
		if slot.Kind == "percent" {
			return s.Decimal(percent(v)) + " %"
		}
		return s.Decimal(trimFloat(v, 4))
	case []string:
		return strings.Join(v, ", ")
	case []Message:
		parts := make([]string, len(v))
		for i, m := range v {
			parts[i] = m.Text(s)
		}
		return strings.Join(parts, "; ")
	case fmt.Stringer:
		return v.String()
	case error:
		return v.Error()
	}
	return fmt.Sprint(arg)
}

func countText(n int, slot Slot, s Style) string {
	text := strconv.Itoa(n)
	if len(slot.Form) == 0 {
		return text
	}
	form := 0
	if s.Catalogue != nil {
		form = s.Catalogue.Plural(n)
	} else if n != 1 {
		form = 1
	}
	return text + " " + slot.Form[min(form, len(slot.Form)-1)]
}

// percent prints a share with three digits; beyond a ten-thousandth from none
// or all, more digits would claim more than anybody knows.
func percent(v float64) string {
	switch {
	case v > 0 && v < 1e-4:
		return "< 0.01"
	case v < 1 && v > 1-1e-4:
		return "> 99.99"
	}
	return trimFloat(v*100, 3)
}

func trimFloat(v float64, digits int) string {
	return strconv.FormatFloat(roundDigits(v, digits), 'f', -1, 64)
}

func roundDigits(v float64, digits int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// Slots reads the slots out of the words of a message, each name once, in the
// order of first appearance.
func Slots(words string) []Slot {
	var slots []Slot
	seen := map[string]bool{}
	for {
		open := strings.IndexByte(words, '{')
		if open < 0 {
			return slots
		}
		close := strings.IndexByte(words[open:], '}')
		if close < 0 {
			return slots
		}
		slot := parseSlot(words[open+1 : open+close])
		if !seen[slot.Name] {
			seen[slot.Name] = true
			slots = append(slots, slot)
		}
		words = words[open+close+1:]
	}
}

func parseSlot(text string) Slot {
	parts := strings.Split(text, "|")
	name, kind, found := strings.Cut(parts[0], ":")
	if !found {
		kind = "text"
	}
	return Slot{Name: name, Kind: kind, Form: parts[1:]}
}

// Plain makes a message of words that are already somebody's own: a note, the
// name of a part, a text from a model sheet. It is never translated.
func Plain(text string) Message { return plain.With(text) }

var plain = Define("say.plain", "{text}")

// Texts renders a list of messages.
func Texts(messages []Message, s Style) []string {
	texts := make([]string, len(messages))
	for i, m := range messages {
		texts[i] = m.Text(s)
	}
	return texts
}
