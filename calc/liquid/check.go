package liquid

import (
	"fmt"
	"math"

	"pumpwright/calc/say"
)

func positive(field string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return say.Refuse(field, fmt.Sprint(v), msgNotFinite.With(), say.Message{})
	}
	if v <= 0 {
		return say.Refuse(field, fmt.Sprint(v), msgMorePositive.With(), say.Message{})
	}
	return nil
}

func indexed(list string, i int, field string) string {
	return fmt.Sprintf("%s[%d].%s", list, i, field)
}
