// Package material holds the materials of the trade: stiffness, expansion,
// strength where a value was published, and the pressure-times-speed limit of
// a bearing.
//
// Every value carries a range and its source. One number is what a calculation
// takes; the range is what published tables and grades spread over, and it is
// the honest width of an answer that rests on a name alone. A value that is
// not known is not there: Known reports it, and a calculation that needs it
// refuses.
//
//	iron, err := material.Find("grey iron")
//	iron.YoungsModulus.Value // 100 GPa
//
// Find is forgiving about capitals, spaces and hyphens and knows the usual
// other names; a name it does not know is refused with the names that are
// near. A material of the person's own is made by Own.
//
// Values are for room temperature, about 20 °C.
package material
