// Package suction answers whether a pump gets its liquid: the loss of a
// suction line for thin and thick liquids, the pressure that is left at the
// pump's inlet above the vapour pressure, and where it fails.
//
// All pressures of the answer are net positive inlet pressures: absolute
// pressure at the inlet less vapour pressure. The total one contains the
// velocity head, the static one is what a gauge on the flange would show. A
// pump wants more than its maker's required inlet pressure, and the margin is
// for the buyer to set.
//
// Friction factors are Darcy's; a Fanning factor is a quarter of it.
package suction
