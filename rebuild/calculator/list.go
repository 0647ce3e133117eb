package calculator

// All lists every calculator, in the order in which help shows them.
func All() []Calculator {
	var all []Calculator
	for _, group := range [][]Calculator{
		liquidCalculators(),
		viscosityCalculators(),
		pumpCalculators(),
		windowCalculators(),
		systemCalculators(),
		fitCalculators(),
		clearanceCalculators(),
		measurementCalculators(),
		moneyCalculators(),
		sealCalculators(),
		shaftCalculators(),
		lifeCalculators(),
		causeCalculators(),
		identifyCalculators(),
	} {
		all = append(all, group...)
	}
	return all
}
