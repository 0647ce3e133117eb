package seal

import "strconv"

// number prints a plain number for a message.
func number(v float64) string { return strconv.FormatFloat(v, 'g', 5, 64) }

func place(name string, i int) string { return name + "[" + strconv.Itoa(i) + "]" }
