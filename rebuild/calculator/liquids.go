package calculator

// liquidCalculators are those of quantities and liquids.
func liquidCalculators() []Calculator {
	return []Calculator{convertCalculator()}
}
