package calculator

import (
	"fmt"
	"strings"

	"pumpwright/calc/material"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

var (
	msgWantsMaterial = say.Define("calculator.wants_material", "wanted is the name of a material, or its youngs_modulus, poisson and expansion")
	msgWantsPasses   = say.Define("calculator.wants_passes", "wanted is a number of passes, or a list of fractions up to 1")
)

// MaterialInput is a material: its name, or its values from a data sheet.
type MaterialInput struct {
	material.Material
}

// ownMaterial is the form of a material of the person's own.
type ownMaterial struct {
	Name                *string                    `json:"name"`
	YoungsModulus       *quantity.Stress           `json:"youngs_modulus"`
	Poisson             *float64                   `json:"poisson"`
	Expansion           *quantity.Expansion        `json:"expansion"`
	CompressiveStrength *quantity.Stress           `json:"compressive_strength"`
	TensileStrength     *quantity.Stress           `json:"tensile_strength"`
	PVLimit             *quantity.PressureVelocity `json:"pv_limit"`
}

// FromInput reads a name or a group of values.
func (m *MaterialInput) FromInput(raw any) error {
	if name, ok := raw.(string); ok {
		found, err := material.Find(name)
		m.Material = found
		return err
	}
	if _, ok := raw.(map[string]any); !ok {
		if _, isNumber := raw.(uint64); isNumber { // 304, 316, 4140 written without quotes
			var name string
			if err := fields.Bind(raw, &name); err != nil {
				return err
			}
			return m.FromInput(name)
		}
		return say.Refuse("", fmt.Sprint(raw), msgWantsMaterial.With(), say.Message{})
	}
	var own ownMaterial
	if err := fields.Bind(raw, &own); err != nil {
		return err
	}
	given := material.Given{
		YoungsModulus: own.YoungsModulus, Poisson: own.Poisson, Expansion: own.Expansion,
		CompressiveStrength: own.CompressiveStrength, TensileStrength: own.TensileStrength, PVLimit: own.PVLimit,
	}
	if own.Name != nil {
		given.Name = *own.Name
	}
	made, err := material.Own(given)
	m.Material = made
	return err
}

// KindName tells what is written there.
func (*MaterialInput) KindName() string {
	return "material: a name, or youngs_modulus, poisson, expansion, compressive_strength, tensile_strength"
}

// HousingSize is the outside diameter of a housing, or “large”.
type HousingSize struct {
	Diameter quantity.Length
	Large    bool
}

// FromInput reads a length or the word large.
func (h *HousingSize) FromInput(raw any) error {
	if word, ok := raw.(string); ok && strings.EqualFold(strings.TrimSpace(word), "large") {
		h.Large = true
		return nil
	}
	return fields.Bind(raw, &h.Diameter)
}

// KindName tells what is written there.
func (*HousingSize) KindName() string { return "length, or the word large" }

// PassesInput is a number of passes, or their fractions.
type PassesInput struct {
	Count     int
	Fractions []float64
}

// FromInput reads a whole number or a list of fractions.
func (p *PassesInput) FromInput(raw any) error {
	if _, ok := raw.([]any); ok {
		return fields.Bind(raw, &p.Fractions)
	}
	if err := fields.Bind(raw, &p.Count); err != nil {
		return say.Refuse("", fmt.Sprint(raw), msgWantsPasses.With(), say.Message{})
	}
	return nil
}

// KindName tells what is written there.
func (*PassesInput) KindName() string { return "number, or list of fractions" }
