package fit

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// FinishDecision says what a bore needs after pressing.
type FinishDecision string

// Show prints the word in the language of a style.
func (v FinishDecision) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v FinishDecision) Message() say.Message { return say.Word("fit", string(v)) }

// The decisions.
const (
	FinishAsPressed FinishDecision = "as pressed"
	FinishRemove    FinishDecision = "ream after pressing"
	FinishTooLarge  FinishDecision = "too large"
)

// Finish compares the bore after pressing with the wanted limits, and gives
// the bore before pressing that would come out in their middle.
//
//	before = (low + high)/2 + closure
//
// Errors: limits upside down or not positive; a solid part.
// Source: closure as Press; the choice is common practice, no source.
func (r PressResult) Finish(low, high quantity.Length) (decision FinishDecision, before quantity.Length, err error) {
	if !(low > 0) || !(high > low) || !(high < r.Input.MatingDiameter) {
		return "", 0, say.Refuse("finish_bore", low.String()+" … "+high.String(), msgWindow.With(), say.Message{})
	}
	if r.Input.SleeveBore == 0 {
		return "", 0, say.Refuse("sleeve_bore", "0", msgSolid.With(), say.Message{})
	}
	before = (low+high)/2 + r.Cold.BoreClosure
	switch {
	case r.BoreAfterPress < low:
		return FinishRemove, before, nil
	case r.BoreAfterPress > high:
		return FinishTooLarge, before, nil
	}
	return FinishAsPressed, before, nil
}

var msgSolid = say.Define("fit.solid", "a solid part has no bore to finish")
