package cover

import "math"

// tableau is a dictionary of the linear relaxation with bounded variables:
//
//	basic_i = … + Σ_k T_ik · nonbasic_k,   z = z₀ + Σ_k d_k · nonbasic_k
//
// Variables 0 … n−1 are the columns, n … n+m−1 the surplus of the rows. It is
// always dual feasible: d_k ≥ 0 for a variable at its lower bound, ≤ 0 at its
// upper one. So z is a lower bound at every step.
type tableau struct {
	m, n    int
	t       []float64 // m × n, by row
	d       []float64 // reduced costs, n
	z       float64
	x       []float64 // value of each basic variable, m
	basic   []int     // variable of each row
	outside []int     // variable of each column
	upper   []bool    // whether that variable is at its upper bound
	low     []float64 // bounds of all variables
	high    []float64
	whole   []bool // whether a variable takes whole numbers only
	effort  *effort
}

const (
	feasible = 1e-9 // violation of a bound that counts as none
	smallest = 1e-9 // pivots below this are no pivots
)

// newTableau starts from the basis of all surpluses, where every column is 0.
func newTableau(weights []float64, rows [][]float64, needs []float64, limits []float64) *tableau {
	m, n := len(rows), len(weights)
	t := &tableau{
		m: m, n: n, t: make([]float64, m*n), d: append([]float64(nil), weights...), x: make([]float64, m),
		basic: make([]int, m), outside: make([]int, n), upper: make([]bool, n), low: make([]float64, n+m), high: make([]float64, n+m), whole: make([]bool, n+m),
	}
	for i, row := range rows {
		copy(t.t[i*n:], row)
		t.x[i] = -needs[i]
		t.basic[i] = n + i
		t.high[n+i] = math.Inf(1)
		t.whole[n+i] = wholeRow(row, needs[i])
	}
	for j := range weights {
		t.outside[j] = j
		t.high[j] = limits[j]
		t.whole[j] = true
	}
	return t
}

// wholeRow reports whether the surplus of a row of whole counts is whole too.
func wholeRow(row []float64, need float64) bool {
	for _, v := range row {
		if v != math.Trunc(v) {
			return false
		}
	}
	return need == math.Trunc(need)
}

// copyFrom makes t equal to another of the same size.
func (t *tableau) copyFrom(o *tableau) {
	t.m, t.n, t.z = o.m, o.n, o.z
	t.t = append(t.t[:0], o.t...)
	t.d = append(t.d[:0], o.d...)
	t.x = append(t.x[:0], o.x...)
	t.basic = append(t.basic[:0], o.basic...)
	t.outside = append(t.outside[:0], o.outside...)
	t.upper = append(t.upper[:0], o.upper...)
	t.low = append(t.low[:0], o.low...)
	t.high = append(t.high[:0], o.high...)
	t.effort = o.effort
	t.effort.left -= o.m * o.n
	t.whole = o.whole // the same for the whole search
}

// outcome of a solve.
type outcome uint8

const (
	optimal outcome = iota
	hopeless
)

// solve runs the dual simplex method until every bound holds or the bound z
// reaches the cutoff. hopeless means that nothing below the cutoff is left.
func (t *tableau) solve(cutoff float64) outcome {
	for step := 0; ; step++ {
		if t.z >= cutoff {
			return hopeless
		}
		careful := step > 4*(t.m+t.n) // smallest numbers first: never cycles
		r, target := t.leaving(careful)
		if r < 0 {
			return optimal
		}
		k := t.entering(r, target > t.x[r], careful)
		if k < 0 {
			return hopeless
		}
		t.pivot(r, k, target)
	}
}

// leaving picks the basic variable that breaks a bound most, and the bound.
func (t *tableau) leaving(careful bool) (row int, target float64) {
	row = -1
	worst := feasible
	for i, v := range t.basic {
		x := t.x[i]
		gap, bound := t.low[v]-x, t.low[v]
		if over := x - t.high[v]; over > gap {
			gap, bound = over, t.high[v]
		}
		if gap <= feasible {
			continue
		}
		if careful {
			if row < 0 || v < t.basic[row] {
				row, target = i, bound
			}
			continue
		}
		if gap > worst {
			worst, row, target = gap, i, bound
		}
	}
	return row, target
}

// entering makes the ratio test of a row: the column whose reduced cost
// reaches zero first.
func (t *tableau) entering(r int, raise, careful bool) int {
	best, least, size := -1, math.Inf(1), 0.0
	row := t.t[r*t.n : r*t.n+t.n]
	for k, a := range row {
		if !raise {
			a = -a
		}
		if t.upper[k] {
			a = -a
		}
		if a <= smallest {
			continue
		}
		v := t.outside[k]
		if t.high[v]-t.low[v] <= feasible {
			continue
		}
		ratio := math.Abs(t.d[k]) / a
		switch {
		case ratio < least-1e-12:
			best, least, size = k, ratio, a
		case ratio <= least+1e-12:
			if (careful && v < t.outside[best]) || (!careful && a > size) {
				best, size = k, a
				least = min(least, ratio)
			}
		}
	}
	return best
}

// pivot exchanges the basic variable of row r, which goes to target, with the
// variable of column k.
func (t *tableau) pivot(r, k int, target float64) {
	n := t.n
	t.effort.left -= t.m * n
	row := t.t[r*n : r*n+n]
	a := row[k]
	move := (target - t.x[r]) / a
	v := t.outside[k]
	entered := t.low[v]
	if t.upper[k] {
		entered = t.high[v]
	}
	entered += move
	t.z += t.d[k] * move
	inverse := 1 / a
	for c := range row {
		row[c] *= -inverse
	}
	row[k] = inverse
	for i := 0; i < t.m; i++ {
		if i == r {
			continue
		}
		other := t.t[i*n : i*n+n][:len(row)]
		f := other[k]
		if f == 0 {
			continue
		}
		t.x[i] += f * move
		other[k] = 0
		for c, b := range row {
			other[c] += f * b
		}
	}
	f := t.d[k]
	t.d[k] = 0
	for c, b := range row {
		t.d[c] += f * b
	}
	left := t.basic[r]
	t.upper[k] = target == t.high[left]
	if t.low[left] == t.high[left] { // fixed: either end is right
		t.upper[k] = t.d[k] < 0
	}
	t.basic[r], t.outside[k] = v, left
	t.x[r] = entered
}

// values writes the value of each column.
func (t *tableau) values(into []float64) {
	for k, v := range t.outside {
		if v < t.n {
			into[v] = t.low[v]
			if t.upper[k] {
				into[v] = t.high[v]
			}
		}
	}
	for i, v := range t.basic {
		if v < t.n {
			into[v] = t.x[i]
		}
	}
}

// fix draws in bounds of columns which the reduced cost alone would take past
// the cutoff.
func (t *tableau) fix(cutoff float64) {
	slack := cutoff - t.z
	for k, d := range t.d {
		v := t.outside[k]
		width := t.high[v] - t.low[v]
		if width <= 0 || math.Abs(d)*width < slack || v >= t.n {
			continue
		}
		steps := math.Floor(slack/math.Abs(d) + 1e-7)
		if steps >= width {
			continue
		}
		if t.upper[k] {
			t.low[v] = t.high[v] - steps
		} else {
			t.high[v] = t.low[v] + steps
		}
	}
}

// penalties returns by how much z rises at least when the basic variable of a
// row goes down to its floor and up to its ceiling. A whole variable that
// leaves its bound moves by one at least, so its reduced cost is lost in full
// (Tomlin's penalties).
func (t *tableau) penalties(r int) (down, up float64) {
	f := t.x[r] - math.Floor(t.x[r])
	down, up = math.Inf(1), math.Inf(1)
	for k, a := range t.t[r*t.n : r*t.n+t.n] {
		v := t.outside[k]
		if math.Abs(a) <= smallest || t.high[v]-t.low[v] <= feasible {
			continue
		}
		if t.upper[k] {
			a = -a
		}
		d := math.Abs(t.d[k])
		least := 0.0
		if t.whole[v] {
			least = d
		}
		if a > 0 {
			up = min(up, max(least, d/a*(1-f)))
		} else {
			down = min(down, max(least, d/-a*f))
		}
	}
	return down, up
}
