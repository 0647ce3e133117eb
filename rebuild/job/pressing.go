package job

import (
	"fmt"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/sheet"
)

// PressGauge is the kind of instrument that a press is watched with.
const PressGauge = "press gauge"

// Pressing is what the press gauge showed while a bushing went in: a force, or
// a gauge pressure with the area of the ram it acts on.
type Pressing struct {
	Part       string                       `json:"part" help:"the bushing, as the model sheet calls it"`
	Force      *quantity.Force              `json:"force" help:"greatest force, where the gauge shows force"`
	Pressure   *quantity.PressureDifference `json:"pressure" help:"greatest gauge pressure, where it shows pressure"`
	RamArea    *quantity.Area               `json:"ram_area" help:"area of the ram that the pressure acts on, for example 31.2 cm2"`
	Stroke     []PressingPoint              `json:"stroke" optional:"yes" help:"readings over the stroke"`
	Instrument string                       `json:"instrument" optional:"yes" help:"press gauge"`
	Note       string                       `json:"note" optional:"yes" help:"remark"`
}

// PressingPoint is the gauge with a part of the length in.
type PressingPoint struct {
	Engaged  quantity.Length              `json:"engaged" help:"length that is in"`
	Force    *quantity.Force              `json:"force" help:"force"`
	Pressure *quantity.PressureDifference `json:"pressure" help:"gauge pressure"`
}

// ReadPressing reads the body of an entry of pressing. Fields of later
// versions are passed over.
func ReadPressing(raw any) (Pressing, error) {
	var p Pressing
	reader := fields.Reader{KeepUnknown: true}
	return p, reader.Bind(raw, &p)
}

var (
	msgOneGauge   = say.Define("job.one_gauge", "a press gauge shows a force or a pressure: one of the two is wanted")
	msgNoRam      = say.Define("job.no_ram", "a gauge pressure tells a force only with the area of the ram")
	msgWriteRam   = say.Define("job.write_ram", "write ram_area, for example 31.2 cm2")
	msgNotAbove   = say.Define("job.not_above", "a value above zero is wanted")
	msgNoBushing  = say.Define("job.no_bushing", "the model sheet has no press fit for “{part}”")
	msgBushingsIs = say.Define("job.bushings_are", "its press fits are {parts:list}")
)

// Gauged is a reading of the press gauge as a force.
type Gauged struct {
	Engaged  quantity.Length // 0: not given
	Force    quantity.Force
	PerGauge float64 // newton for each SI unit of the gauge: the ram's area, or 1
}

// Gauges returns every reading as a force: the greatest one without a place,
// and those over the stroke.
//
//	F = p A
//
// Errors: a Problem naming the field.
func (p *Pressing) Gauges() ([]Gauged, error) {
	var list []Gauged
	take := func(engaged quantity.Length, force *quantity.Force, pressure *quantity.PressureDifference) error {
		switch {
		case (force == nil) == (pressure == nil):
			return say.Refuse("force", "", msgOneGauge.With(), say.Message{})
		case force != nil && !(*force > 0):
			return say.Refuse("force", force.String(), msgNotAbove.With(), say.Message{})
		case force != nil:
			list = append(list, Gauged{engaged, *force, 1})
			return nil
		case !(*pressure > 0):
			return say.Refuse("pressure", pressure.String(), msgNotAbove.With(), say.Message{})
		}
		list = append(list, Gauged{engaged, quantity.Force(pressure.SI() * p.RamArea.SI()), p.RamArea.SI()})
		return nil
	}
	pressures := p.Pressure != nil
	for i := range p.Stroke {
		pressures = pressures || p.Stroke[i].Pressure != nil
	}
	switch {
	case pressures && p.RamArea == nil:
		return nil, say.Refuse("ram_area", "", msgNoRam.With(), msgWriteRam.With())
	case p.RamArea != nil && !(*p.RamArea > 0):
		return nil, say.Refuse("ram_area", p.RamArea.String(), msgNotAbove.With(), msgWriteRam.With())
	}
	if p.Force != nil || p.Pressure != nil || len(p.Stroke) == 0 {
		if err := take(0, p.Force, p.Pressure); err != nil {
			return nil, err
		}
	}
	for i := range p.Stroke {
		at, s := fmt.Sprintf("stroke[%d]", i), &p.Stroke[i]
		if !(s.Engaged > 0) {
			return nil, say.In(at, say.Refuse("engaged", s.Engaged.String(), msgNotAbove.With(), say.Message{}))
		}
		if err := take(s.Engaged, s.Force, s.Pressure); err != nil {
			return nil, say.In(at, err)
		}
	}
	return list, nil
}

// vetPressing binds a pressing strictly and looks its bushing up.
func vetPressing(s *sheet.Sheet, body []byte) error {
	var p Pressing
	if err := vetFields(body, &p); err != nil {
		return err
	}
	if _, err := p.Gauges(); err != nil {
		return err
	}
	if s == nil {
		return nil
	}
	ids := make([]string, len(s.Bushings))
	for i := range s.Bushings {
		b := &s.Bushings[i]
		if ids[i] = b.Part; b.Part != p.Part {
			continue
		}
		for k := range p.Stroke {
			if p.Stroke[k].Engaged > b.Length.Value {
				return say.Refuse(fmt.Sprintf("stroke[%d].engaged", k), p.Stroke[k].Engaged.String(), msgTooLong.With(b.Length.Value), say.Message{})
			}
		}
		return nil
	}
	return say.Refuse("part", p.Part, msgNoBushing.With(p.Part), msgBushingsIs.With(ids))
}

var msgTooLong = say.Define("job.too_long", "the bushing is {length:length} long")
