package seal

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// AssemblyStep is one step of fitting a mechanical seal.
type AssemblyStep struct {
	Do      say.Message
	Caution say.Message
	// Within is how much time there is from the beginning of the step to its
	// end; 0 = no hurry.
	Within quantity.Time
}

var (
	msgStepMachine  = say.Define("seal.step_machine", "check run-out, float, squareness and concentricity against the limits before the seal is unpacked")
	msgStepEdges    = say.Define("seal.step_edges", "break the edges of shoulders and holes, tape keyways and threads")
	msgStepScribe   = say.Define("seal.step_scribe", "scribe the set position from the datum with the shaft where it runs")
	msgStepSeat     = say.Define("seal.step_seat", "press the seat in square until it bottoms, anti-rotation pin engaged")
	msgStepRotary   = say.Define("seal.step_rotary", "lubricate the elastomer, slide the rotary part on and set its working length before the rubber grips the shaft")
	msgStepGland    = say.Define("seal.step_gland", "draw the gland down evenly, a little at each bolt in turn")
	msgStepAgain    = say.Define("seal.step_again", "ask for the working length again when the end clearance has been set")
	msgStepFill     = say.Define("seal.step_fill", "fill and vent the seal chamber")
	msgCautionFaces = say.Define("seal.caution_faces", "Keep the faces wrapped until now; no fingers, no grease, no lint on them, and never lay a face down.")
	msgCautionOil   = say.Define("seal.caution_oil", "The lubricant must suit the elastomer: oil swells EPDM; use what the maker of the seal names.")
	msgCautionDry   = say.Define("seal.caution_dry", "Never turn the shaft under power to try a seal that is dry.")
	msgCautionSharp = say.Define("seal.caution_sharp", "Sharp keyways cut rings and hands.")
)

// GripTime is how long a lubricated rubber bellows can still be slid: set it
// within this. Common practice, no source; the figure of the seal's own sheet
// comes before it.
const GripTime quantity.Time = 10 * 60

// AssemblySteps returns the steps of fitting a mechanical seal. bellows says
// that the rotary part is held by a rubber bellows: its step runs against the
// clock. grip is the time of the seal's sheet, 0 = GripTime.
// Common practice, no source.
func AssemblySteps(bellows bool, grip quantity.Time) ([]AssemblyStep, error) {
	if err := notBelowZero("grip", grip); err != nil {
		return nil, err
	}
	if grip == 0 {
		grip = GripTime
	}
	rotary := AssemblyStep{Do: msgStepRotary.With(), Caution: msgCautionOil.With()}
	if bellows {
		rotary.Within = grip
	}
	return []AssemblyStep{
		{Do: msgStepMachine.With()},
		{Do: msgStepEdges.With(), Caution: msgCautionSharp.With()},
		{Do: msgStepScribe.With()},
		{Do: msgStepSeat.With(), Caution: msgCautionFaces.With()},
		rotary,
		{Do: msgStepGland.With()},
		{Do: msgStepAgain.With()},
		{Do: msgStepFill.With(), Caution: msgCautionDry.With()},
	}, nil
}
