package bushing

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgEccentricityRange = say.Define("bushing.eccentricity_range", "the eccentricity ratio must lie between {low:number} and {high:number}")
	msgLengthRatioRange  = say.Define("bushing.length_ratio_range", "the ratio of length to diameter must be at least {low:number}")
	msgGridRange         = say.Define("bushing.grid_range", "the grid needs {around:count} to 2000 steps around and {along:count} to 200 along")
)

// Film is the state of the film of a full (360°) journal bearing, without
// dimensions. Its numbers are those of the charts of Raimondi and Boyd.
type Film struct {
	Eccentricity     float64        // ε = e/c, shift of the journal over radial clearance
	LengthRatio      float64        // l/d, +Inf for a bearing without side flow
	Sommerfeld       float64        // S = (r/c)² µN/P, N in rev/s, P = W/(l·d)
	Attitude         quantity.Angle // between the load and the line of centres
	FrictionVariable float64        // (r/c)·f, f the coefficient of friction
	FlowVariable     float64        // Q/(r·c·N·l), flow into the film at its widest place
	SideFlowRatio    float64        // Qs/Q, what leaves at the ends
	PressureRatio    float64        // P/pmax, mean over highest film pressure
}

// Grid is the mesh of a direct solution: steps around the whole circumference
// and along half the length.
type Grid struct{ Around, Along int }

// FineGrid is the mesh of the shipped table.
var FineGrid = Grid{Around: 240, Along: 24}

// film range of the solver: nearer to contact the mesh no longer resolves the
// pressure hump, nearer to the centre the load vanishes.
const (
	leastEccentricity   = 0.001
	largestEccentricity = 0.995
	leastLengthRatio    = 0.05
)

// SolveFilm solves the Reynolds equation of a full journal bearing.
//
//	∂/∂θ(H³ ∂P/∂θ) + (d/l)² ∂/∂ζ(H³ ∂P/∂ζ) = ∂H/∂θ
//	H = 1 + ε cos θ,  P = p c²/(6 µ ω r²),  ζ = 2z/l,  P ≥ 0
//
//	ε    eccentricity ratio     –   0.001…0.995
//	l/d  length over diameter   –   ≥ 0.05, +Inf allowed (no side flow)
//
// The film begins at the widest gap (P = 0 at θ = 0) and ends where pressure
// and its slope vanish together (Swift and Stieber). Steps around are denser
// near the narrowest gap, steps along denser at the ends.
// From P: S = 1/(6πW̄), (r/c)f = [3ε∬P sin θ + 2π/√(1−ε²)]/(6W̄),
// Q/(rcNl) = π[H − H³ ∂P/∂θ] at θ = 0, Qs/(rcNl) = π(d/l)²∮H³(−∂P/∂ζ)dθ at
// ζ = 1, W̄ = |∬P(−cos θ, sin θ)| with ζ from 0 to 1.
//
// Valid: laminar film, constant viscosity, shaft and bushing parallel, liquid
// fed at the widest gap.
// Errors: *say.Problem naming eccentricity, length_ratio or grid.
// Source: Reynolds equation as in Hamrock, Fundamentals of Fluid Film
// Lubrication; variables of Raimondi and Boyd, ASLE Trans. 1 (1958) 159 (both
// from memory); discretisation derived here.
func SolveFilm(eccentricity, lengthRatio float64, grid Grid) (Film, error) {
	if !(eccentricity >= leastEccentricity && eccentricity <= largestEccentricity) {
		return Film{}, say.Refuse("eccentricity", number(eccentricity),
			msgEccentricityRange.With(leastEccentricity, largestEccentricity), say.Message{})
	}
	if !(lengthRatio >= leastLengthRatio) {
		return Film{}, say.Refuse("length_ratio", number(lengthRatio), msgLengthRatioRange.With(leastLengthRatio), say.Message{})
	}
	if grid.Around < 16 || grid.Around > 2000 || grid.Along < 4 || grid.Along > 200 {
		return Film{}, say.Refuse("grid", "", msgGridRange.With(16, 4), say.Message{})
	}
	if math.IsInf(lengthRatio, 1) {
		grid.Along = 1
	}
	m := solveMesh(eccentricity, lengthRatio, grid)
	return m.film(), nil
}

// mesh is one discretisation: nodes θ[0…n] around (P = 0 on both ends), nodes
// ζ[0…k] along, P = 0 on ζ[k].
type mesh struct {
	eps, ratio float64
	n, k       int
	theta      []float64 // nodes
	faceH      []float64 // H at the face between nodes i and i+1
	zeta       []float64
	width      []float64 // of the cell of a node, along
	p          []float64 // p[i*k+j], i = 0…n, j = 0…k−1
	buffer     []float64 // of the matrix
}

// solveMesh solves from a coarser mesh upwards: the coarse answer tells where
// the film ends, so that the fine one needs two or three passes.
func solveMesh(eps, ratio float64, grid Grid) *mesh {
	m := newMesh(eps, ratio, grid)
	loaded := make([]bool, (m.n+1)*m.k)
	if grid.Around >= 48 {
		coarse := solveMesh(eps, ratio, Grid{Around: grid.Around / 2, Along: max(1, grid.Along/2)})
		m.loadedAs(coarse, loaded)
	} else {
		for i := 1; i < m.n; i++ {
			for j := range m.k {
				loaded[i*m.k+j] = m.theta[i] < 1.15*math.Pi
			}
		}
	}
	m.solve(loaded)
	return m
}

func newMesh(eps, ratio float64, grid Grid) *mesh {
	n, k := grid.Around, grid.Along
	m := &mesh{eps: eps, ratio: ratio, n: n, k: k,
		theta: make([]float64, n+1), faceH: make([]float64, n),
		zeta: make([]float64, k+1), width: make([]float64, k), p: make([]float64, (n+1)*k)}
	// Half of the steps are even, half follow Sommerfeld's substitution
	// cos θ = (cos γ − ε)/(1 − ε cos γ) counted from the narrow side, which
	// crowds them where the pressure is.
	squeeze := math.Sqrt((1 - eps) / (1 + eps))
	for i := 1; i < n; i++ {
		even := 2*math.Pi*float64(i)/float64(n) - math.Pi // from the narrow side
		m.theta[i] = math.Pi + 0.5*even + math.Atan(squeeze*math.Tan(even/2))
	}
	m.theta[n] = 2 * math.Pi
	for i := range m.faceH {
		m.faceH[i] = 1 + eps*math.Cos(0.5*(m.theta[i]+m.theta[i+1]))
	}
	for j := 1; j <= k; j++ {
		m.zeta[j] = math.Sin(0.5 * math.Pi * float64(j) / float64(k))
	}
	for j := range m.width {
		low := 0.0
		if j > 0 {
			low = 0.5 * (m.zeta[j-1] + m.zeta[j])
		}
		m.width[j] = 0.5*(m.zeta[j]+m.zeta[j+1]) - low
	}
	if math.IsInf(ratio, 1) {
		m.width[0] = 1 // one strip, no gradient along
	}
	return m
}

// loadedAs marks the nodes that carry pressure in a coarser solution.
func (m *mesh) loadedAs(coarse *mesh, loaded []bool) {
	for i := 1; i < m.n; i++ {
		ci := min(coarse.n-1, (i*coarse.n)/m.n)
		for j := range m.k {
			cj := (j * coarse.k) / m.k
			loaded[i*m.k+j] = coarse.p[ci*coarse.k+cj] > 0
		}
	}
}

// around returns the conductance of the face between nodes i and i+1 per unit
// of width.
func (m *mesh) around(i int) float64 {
	h := m.faceH[i]
	return h * h * h / (m.theta[i+1] - m.theta[i])
}

// along returns the conductance between nodes j and j+1 of row i.
func (m *mesh) along(i, j int) float64 {
	if math.IsInf(m.ratio, 1) {
		return 0
	}
	h := 1 + m.eps*math.Cos(m.theta[i])
	return h * h * h * m.span(i) / (m.ratio * m.ratio * (m.zeta[j+1] - m.zeta[j]))
}

// span returns the length of the cell of node i around.
func (m *mesh) span(i int) float64 { return 0.5 * (m.theta[min(i+1, m.n)] - m.theta[max(i-1, 0)]) }

// source returns the net filling of the cell of node (i, j) by the moving wall.
func (m *mesh) source(i, j int) float64 { return -(m.faceH[i] - m.faceH[i-1]) * m.width[j] }

// solve finds P ≥ 0 with the equation fulfilled where P > 0: nodes that turn
// negative are let go, nodes that the film would fill are taken in, until
// nothing changes (active set of a linear complementarity problem).
func (m *mesh) solve(loaded []bool) {
	const passes = 60
	for range passes {
		last := 0
		for i := 1; i < m.n; i++ {
			for j := range m.k {
				if loaded[i*m.k+j] {
					last = i
				}
			}
		}
		m.solveLoaded(loaded, last)
		if !m.revise(loaded) {
			break
		}
	}
	for i, v := range m.p {
		if v < 0 {
			m.p[i] = 0
		}
	}
}

// solveLoaded solves the equation on the loaded nodes of rows 1…last, all
// other nodes at P = 0.
func (m *mesh) solveLoaded(loaded []bool, last int) {
	clear(m.p)
	if last == 0 {
		return
	}
	k, size := m.k, last*m.k
	band := min(k, size-1)
	a := blas64.SymmetricBand{Uplo: blas.Upper, N: size, K: band, Stride: band + 1, Data: m.matrix(size * (band + 1))}
	x := blas64.General{Rows: size, Cols: 1, Stride: 1, Data: m.p[k : k+size]}
	for i := 1; i <= last; i++ {
		before, after := m.around(i-1), m.around(i)
		for j := range k {
			at := i*k + j
			row := (i - 1) * k
			place := a.Data[(row+j)*a.Stride:]
			if !loaded[at] {
				place[0] = 1
				continue
			}
			diagonal := (before + after) * m.width[j]
			if i < last && loaded[at+k] {
				place[k] = -after * m.width[j]
			}
			side := m.along(i, j)
			diagonal += side
			if j+1 < k && loaded[at+1] {
				place[1] = -side
			}
			if j > 0 {
				diagonal += m.along(i, j-1)
			}
			place[0] = diagonal
			x.Data[row+j] = m.source(i, j)
		}
	}
	// The plain factorisation of LAPACK: the matrix is diagonally dominant, so
	// its condition need not be estimated.
	if factor, ok := lapack64.Pbtrf(a); ok {
		lapack64.Pbtrs(factor, x)
	}
}

// matrix returns n zeros, from the buffer of the last pass when it is large
// enough.
func (m *mesh) matrix(n int) []float64 {
	if cap(m.buffer) < n {
		m.buffer = make([]float64, n)
	}
	m.buffer = m.buffer[:n]
	clear(m.buffer)
	return m.buffer
}

// revise updates the loaded nodes and reports whether any changed.
func (m *mesh) revise(loaded []bool) bool {
	k, changed := m.k, false
	for i := 1; i < m.n; i++ {
		before, after := m.around(i-1), m.around(i)
		for j := range k {
			at := i*k + j
			if loaded[at] {
				if m.p[at] < 0 {
					loaded[at], changed = false, true
				}
				continue
			}
			inflow := m.source(i, j) + m.width[j]*(before*m.p[at-k]+after*m.p[at+k])
			if j+1 < k {
				inflow += m.along(i, j) * m.p[at+1]
			}
			if j > 0 {
				inflow += m.along(i, j-1) * m.p[at-1]
			}
			if inflow > 1e-13 {
				loaded[at], changed = true, true
			}
		}
	}
	return changed
}

// film integrates the pressure.
func (m *mesh) film() Film {
	var along, across, side, highest float64
	for i := 1; i < m.n; i++ {
		var row float64
		for j, w := range m.width {
			p := m.p[i*m.k+j]
			row += p * w
			highest = max(highest, p)
		}
		sin, cos := math.Sincos(m.theta[i])
		span := m.span(i)
		along -= row * cos * span
		across += row * sin * span
		side += m.along(i, m.k-1) * m.p[i*m.k+m.k-1]
	}
	var slope float64
	for j, w := range m.width {
		slope += m.p[m.k+j] * w
	}
	load := math.Hypot(along, across)
	inflow := math.Pi * (m.faceH[0] - m.around(0)*slope)
	side *= math.Pi
	return Film{
		Eccentricity: m.eps, LengthRatio: m.ratio,
		Sommerfeld:       1 / (6 * math.Pi * load),
		Attitude:         quantity.Angle(math.Atan2(across, along)),
		FrictionVariable: (3*m.eps*across + 2*math.Pi/math.Sqrt(1-m.eps*m.eps)) / (6 * load),
		FlowVariable:     inflow,
		SideFlowRatio:    side / inflow,
		PressureRatio:    load / (2 * highest),
	}
}
