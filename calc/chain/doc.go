// Package chain adds up dimensions: how large a gap is when the lengths round
// it are known, how sure that is, and how the gap changes between the bench
// and service.
//
//   - Chain is the general linear chain with uncertainties, shared errors and
//     correlations; Solve propagates them by the law of JCGM 100:2008, 5.2,
//     and Sample by drawing (JCGM 101:2008).
//   - Readings.Cold gives the cold clearances of a crescent pump: end
//     clearance, idler float, crescent end gap, radial gaps.
//   - Block is the pump as five lumped masses; its steady state and its
//     warm-up give the temperatures of the parts.
//   - Expanding.Change turns part temperatures into changes of the gaps, and
//     Service puts both together: the change at steady state and the worst
//     moment of the warm-up, with its time and a band.
//
// A piece that is missing makes an answer unknown, with the reason; it is
// never taken as zero.
//
//	s_e = H_c − H_r − p + g                                  cold, derived here
//	Δs  = L_br·α_br·ΔT_br + L_ca·α_ca·ΔT_ca + g·α_g·ΔT_h
//	      − L_sh·α_sh·ΔT_sh − L_ro·α_ro·ΔT_ro − p·α_h·ΔT_h   derived here
//
// The loop of Δs closes through thrust bearing → bracket → casing → gasket →
// boss on one side and thrust bearing → shaft → rotor on the other.
package chain
