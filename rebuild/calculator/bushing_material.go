package calculator

import (
	"fmt"
	"strings"

	"pumpwright/calc/bushing"
	"pumpwright/calc/material"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

var (
	warnNoPVLimit      = say.Define("calculator.no_pv_limit", "no published PV limit is held for {material}: PV was not judged; compare it with the maker's data sheet")
	msgPVLimitPositive = say.Define("calculator.pv_limit_positive", "a PV limit is above zero")
)

// BushingMaterial is the material of a bushing: a name, or its limit from a
// data sheet.
type BushingMaterial struct {
	limits  *bushing.Material // nil when none is published
	unknown string            // then the name
}

// ownBushingMaterial is the form of a material of the person's own.
type ownBushingMaterial struct {
	Name     *string                    `json:"name"`
	PVLimit  *quantity.PressureVelocity `json:"pv_limit"`
	Pressure *quantity.Stress           `json:"pressure_limit"`
	Friction float64                    `json:"friction" default:"0.1"`
}

// FromInput reads a name or a group of values. Names are taken in any case,
// with hyphens or spaces.
func (b *BushingMaterial) FromInput(raw any) error {
	if _, ok := raw.(map[string]any); ok {
		return b.own(raw)
	}
	var name string
	if err := fields.Bind(raw, &name); err != nil {
		return err
	}
	plain := strings.ToLower(strings.Join(strings.Fields(name), " "))
	for _, spelling := range []string{plain, strings.ReplaceAll(plain, "-", " "), strings.ReplaceAll(plain, " ", "-"), strings.Replace(plain, " ", "-", 1)} {
		if m, err := bushing.MaterialByName(spelling); err == nil {
			b.limits = &m
			return nil
		}
	}
	_, refused := bushing.MaterialByName(name)
	if known, err := material.Find(name); err == nil {
		b.unknown = known.Name
		return nil
	}
	if p := say.AsProblem(refused); p != nil {
		return say.Refuse("", name, p.Message, p.Accepted)
	}
	return refused
}

func (b *BushingMaterial) own(raw any) error {
	var own ownBushingMaterial
	if err := fields.Bind(raw, &own); err != nil {
		return err
	}
	m := bushing.Material{Name: "own material", Friction: own.Friction, Source: "data sheet, as entered"}
	if own.Name != nil {
		m.Name = *own.Name
	}
	if own.PVLimit == nil {
		b.unknown = m.Name
		return nil
	}
	if !(*own.PVLimit > 0) {
		return say.Refuse("pv_limit", own.PVLimit.String(), msgPVLimitPositive.With(), msgPositiveWanted.With())
	}
	m.PV = *own.PVLimit
	if own.Pressure != nil {
		m.Pressure = *own.Pressure
	}
	if !(own.Friction > 0) {
		return say.Refuse("friction", fmt.Sprint(own.Friction), msgMustBePositive.With(), msgPositiveWanted.With())
	}
	b.limits = &m
	return nil
}

// KindName tells what is written there.
func (*BushingMaterial) KindName() string { return "material: a name, or pv_limit" }
