package say

import "strings"

// Word makes a message of a constant that a contract fixes, such as "reuse":
// programs read the constant, people read it in their language. The room is the
// package that owns the constant; a test of the module collects all of them.
func Word(room, constant string) Message {
	if constant == "" {
		return Message{}
	}
	return Message{template: Template{id: room + ".word." + constant, words: constant}}
}

// knownContext begins the ids of texts that are found by their English words.
const knownContext = "known:"

// Known makes a message of a text that comes with the program as data and is
// read in many places: the name of a cause, the help of a field. A catalogue
// finds it by its English words, so that the data need no ids; what somebody
// has added to the data shows as it was written.
func Known(words string) Message {
	if words == "" {
		return Message{}
	}
	return Message{template: Template{id: knownContext + words, words: words}}
}

// Series is a row of words with a comma between them.
type Series []Message

// Show prints the series in a style.
func (w Series) Show(s Style) string { return strings.Join(Texts(w, s), ", ") }

// WordList makes a series of constants that one room owns.
func WordList(room string, constants []string) Series {
	list := make(Series, len(constants))
	for i, c := range constants {
		list[i] = Word(room, c)
	}
	return list
}

// KnownList makes a series of texts that come with the program.
func KnownList(texts []string) Series {
	list := make(Series, len(texts))
	for i, t := range texts {
		list[i] = Known(t)
	}
	return list
}
