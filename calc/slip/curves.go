package slip

import (
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// OverPressure returns the curve over pressure at one speed.
func (m *Model) OverPressure(l Liquid, speed quantity.RotationalSpeed, pressures []quantity.PressureDifference, k Factors) ([]Result, error) {
	rows, err := m.Map(l, []quantity.RotationalSpeed{speed}, pressures, k)
	if err != nil {
		return nil, err
	}
	return rows[0], nil
}

// OverSpeed returns the curve over speed at one pressure.
func (m *Model) OverSpeed(l Liquid, speeds []quantity.RotationalSpeed, pressure quantity.PressureDifference, k Factors) ([]Result, error) {
	rows, err := m.Map(l, speeds, []quantity.PressureDifference{pressure}, k)
	if err != nil {
		return nil, err
	}
	curve := make([]Result, len(rows))
	for i := range rows {
		curve[i] = rows[i][0]
	}
	return curve, nil
}

// OverViscosity returns the curve over viscosity at one operating point: the
// liquid with its whole flow curve moved so that it is this thick at rest.
func (m *Model) OverViscosity(l Liquid, pt Point, viscosities []quantity.DynamicViscosity, k Factors) ([]Result, error) {
	curve := make([]Result, len(viscosities))
	for i, v := range viscosities {
		thicker := l
		thicker.AtRest = v
		if l.AtRest > 0 {
			thicker.HighShear = quantity.DynamicViscosity(l.HighShear.SI() * v.SI() / l.AtRest.SI())
		}
		r, err := m.At(thicker, pt, k)
		if err != nil {
			return nil, say.In("viscosities["+strconv.Itoa(i)+"]", err)
		}
		curve[i] = r
	}
	return curve, nil
}

// Map returns a row for each speed and a result for each pressure in it.
// Pressures that rise are the quickest.
func (m *Model) Map(l Liquid, speeds []quantity.RotationalSpeed, pressures []quantity.PressureDifference, k Factors) ([][]Result, error) {
	rows := make([][]Result, len(speeds))
	if err := l.check(); err != nil {
		return nil, err
	}
	if err := k.check(); err != nil {
		return nil, err
	}
	for j, dp := range pressures {
		if err := (Point{Speed: 1, Pressure: dp}).check(); err != nil {
			return nil, say.In("pressures["+strconv.Itoa(j)+"]", err)
		}
	}
	m, err := m.biased(k)
	if err != nil {
		return nil, err
	}
	var s state
	for i, speed := range speeds {
		if err := (Point{Speed: speed}).check(); err != nil {
			return nil, say.In("speeds["+strconv.Itoa(i)+"]", err)
		}
		m.turn(&s, l, speed)
		rows[i] = make([]Result, len(pressures))
		for j, dp := range pressures {
			rows[i][j] = m.result(&s, l, Point{Speed: speed, Pressure: dp}, k)
		}
	}
	return rows, nil
}

// biased returns the model with the end bias of the factors in its clearances.
func (m *Model) biased(k Factors) (*Model, error) {
	if k.EndBias == 0 {
		return m, nil
	}
	moved, err := m.With(m.pump.Clearances.Moved(k.EndBias))
	if err != nil {
		return nil, say.Refuse("factors.end_bias", k.EndBias.String(), msgContact.With(), say.Message{})
	}
	return moved, nil
}
