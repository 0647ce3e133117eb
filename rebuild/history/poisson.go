package history

import "gonum.org/v1/gonum/stat/distuv"

// poissonBounds are exact two-sided bounds of the mean of a count.
//
//	low = χ²((1−C)/2; 2n)/2,  high = χ²((1+C)/2; 2n+2)/2
//
// Source: Garwood, Biometrika 28, 1936, from memory.
func poissonBounds(n int, confidence float64) (low, high float64) {
	if n > 0 {
		low = distuv.ChiSquared{K: float64(2 * n)}.Quantile((1-confidence)/2) / 2
	}
	return low, distuv.ChiSquared{K: float64(2*n + 2)}.Quantile((1+confidence)/2) / 2
}
