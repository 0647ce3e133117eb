package web

import (
	"pumpwright/app/web/bench"
	"pumpwright/app/web/calculate"
	closing "pumpwright/app/web/close"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/pieces"
	"pumpwright/app/web/quote"
	"pumpwright/app/web/why"
)

// places lists the places of a job that a tablet shows without network, and the
// calculators.
func places() []frame.Place {
	return []frame.Place{bench.Place(), closing.Place(), why.Place(), pieces.Place(), reportPlace(), calculate.Place(), quote.Place()}
}
