// Package life tells how long parts last: wear trends over running hours, life
// distributions of a fleet with parts that have not failed yet, machines that
// are repaired again and again, and what follows for replacement and spares.
//
//	straight line with prediction band       Line, FitLine, Crossing
//	wear with resets, pooled over sisters    Split, Pool
//	life distributions, censored             Fit, Weibayes
//	bounds                                   Fitted.Ratio, Fitted.Fisher
//	without a distribution                   KaplanMeier, LogRank, Ranks
//	groups                                   CompareFits, LogRank
//	two or more modes of failure             FitModes
//	repaired machines                        FitPowerLaw, MeanCumulative
//	replacement                              BestAge, BestInterval, Renewals
//	spares                                   Stock, StockForLives
//
// Ages and running hours are plain numbers in one unit that the caller
// chooses and keeps to: hours in the trade, kilometres or cycles in published
// data. Readings are plain numbers in one unit likewise. A log-likelihood
// belongs to that unit.
//
// Sources of the equations: Meeker & Escobar, Statistical Methods for
// Reliability Data, 1998 (fits, bounds, plots); Lawless, Statistical Models and
// Methods for Lifetime Data, 2nd ed. 2003; Nelson, Recurrent Events Data
// Analysis, 2003 (mean cumulative function); MIL-HDBK-189C, 2011 (power law);
// Barlow & Proschan, Mathematical Theory of Reliability, 1965 (replacement,
// renewal); Montgomery & Runger, Applied Statistics and Probability for
// Engineers (regression). Each is named from memory of the text; the check
// values beside the code name what was read.
package life
