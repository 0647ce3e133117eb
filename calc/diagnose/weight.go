package diagnose

import (
	"fmt"
	"math"

	"pumpwright/calc/say"
)

// WeightPoint is the weight on a cause at some hours of service.
type WeightPoint struct{ Hours, Weight float64 }

// WeightAt returns the weight at the hours since assembly, straight in ln
// hours and ln weight between the points and level beyond them.
//
// Errors: points out of order, weights or hours that are not above 0.
func WeightAt(points []WeightPoint, hours float64) (float64, error) {
	if !(hours >= 0) || math.IsInf(hours, 1) {
		return 0, say.Refuse("hours", fmt.Sprint(hours), msgHours.With(), say.Message{})
	}
	for i, p := range points {
		if !(p.Hours > 0) || !(p.Weight > 0) || math.IsInf(p.Hours+p.Weight, 1) || i > 0 && p.Hours <= points[i-1].Hours {
			return 0, say.Refuse(fmt.Sprintf("points[%d]", i), fmt.Sprintf("%v h, %v", p.Hours, p.Weight), msgPoints.With(), say.Message{})
		}
	}
	if len(points) == 0 {
		return 1, nil
	}
	for i, p := range points {
		if hours > p.Hours {
			continue
		}
		if i == 0 {
			return p.Weight, nil
		}
		before := points[i-1]
		share := math.Log(hours/before.Hours) / math.Log(p.Hours/before.Hours)
		return before.Weight * math.Pow(p.Weight/before.Weight, share), nil
	}
	return points[len(points)-1].Weight, nil
}

var (
	msgHours  = say.Define("diagnose.hours", "hours are 0 or more")
	msgPoints = say.Define("diagnose.points", "hours rise from point to point, hours and weights are above 0")
)
