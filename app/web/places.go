//go:build !js

package web

import (
	"pumpwright/app/web/bench"
	"pumpwright/app/web/calculate"
	closing "pumpwright/app/web/close"
	"pumpwright/app/web/due"
	"pumpwright/app/web/enter"
	"pumpwright/app/web/fleet"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/handbook"
	"pumpwright/app/web/instruments"
	"pumpwright/app/web/learned"
	"pumpwright/app/web/life"
	"pumpwright/app/web/list"
	"pumpwright/app/web/move"
	"pumpwright/app/web/papers"
	"pumpwright/app/web/people"
	"pumpwright/app/web/pieces"
	"pumpwright/app/web/quote"
	"pumpwright/app/web/receive"
	"pumpwright/app/web/share"
	"pumpwright/app/web/stock"
	"pumpwright/app/web/tablet"
	"pumpwright/app/web/why"
)

// places lists every place of the pages.
func places() []frame.Place {
	return []frame.Place{
		enter.Place(),
		list.Place(),
		bench.Place(),
		closing.Place(),
		why.Place(),
		quote.Place(),
		pieces.Place(),
		reportPlace(),
		receive.Place(),
		papers.Place(),
		life.Place(),
		due.Place(),
		fleet.Place(),
		fleet.Reviews(),
		learned.Place(),
		move.Place(),
		stock.Place(),
		calculate.Place(),
		handbook.Place(),
		instruments.Place(),
		people.Place(),
		people.Own(),
		people.Sites(),
		share.Place(),
		tablet.Place(),
	}
}
