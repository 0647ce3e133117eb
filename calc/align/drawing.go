package align

import "pumpwright/calc/quantity"

// Station is one place along the movable machine, for a drawing to scale.
type Station struct {
	At      quantity.Length // from the movable rim towards the feet; negative at the stationary rim
	Cold    quantity.Length // offset of the shaft as measured
	Running quantity.Length // with growth; the same as Cold sideways
	Target  quantity.Length // where the cold shaft should lie so that it runs on the axis
}

// Drawing holds the movable shaft seen from the side and from above, against
// the axis of the stationary shaft at zero.
type Drawing struct{ Side, Above []Station }

// Drawing returns the shaft at the rim planes and the feet.
func (p Plan) Drawing() Drawing {
	places := []quantity.Length{0, p.ToNearFoot, p.ToFarFoot}
	if p.Between > 0 {
		places = append([]quantity.Length{-p.Between}, places...)
	}
	var d Drawing
	for _, x := range places {
		cold, running := p.Position.Vertical.At(x), p.RunningVertical.At(x)
		d.Side = append(d.Side, Station{At: x, Cold: cold, Running: running, Target: cold - running})
		z := p.Position.Horizontal.At(x)
		d.Above = append(d.Above, Station{At: x, Cold: z, Running: z})
	}
	return d
}
