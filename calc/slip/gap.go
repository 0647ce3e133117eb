package slip

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Constants of the gap law.
const (
	// laminarFactor: friction factor 24/Re of a plane slot, Re on twice the gap.
	laminarFactor = 24
	// turbulentFactor: f = 0.0868 Re^−1/4, R. B. Dean, J. Fluids Eng. 100 (1978)
	// 215 (C_f = 0.073 Re_h^−1/4), written for Re on twice the gap.
	turbulentFactor = 0.0868
	// EntryExitLoss is K: 0.5 for the inlet and 1.0 for the outlet of a gap.
	// Common practice, no source; calibrate.
	EntryExitLoss = 1.5
)

// crossing is the Reynolds number at which the two limbs meet, about 1800.
var crossing = math.Pow(laminarFactor/turbulentFactor, 4.0/3)

// flow is a liquid made ready for the gap law.
type flow struct {
	rho, mu, k   float64
	thins        bool
	muInf, extra float64 // µ_∞ and µ₀ − µ_∞
	power        float64 // 1 − n
	lnBend       float64
	six          float64 // 6a
}

// gap is one gap with the numbers that the law needs again and again.
type gap struct {
	h, length, breadth, u float64
	along                 bool // the wall moves along the leak

	area  float64 // breadth × h
	s     float64 // (U/2)²
	a     float64 // laminar: Δp = a w
	b     float64 // inlet and outlet: Δp = b w²
	c     float64 // turbulent: Δp = c W^0.75 w, without µ^¼ when the liquid thins
	limit float64 // W² where the turbulent limb begins (Newtonian)
	last  float64 // last speed found, a start for the next search
}

func (f *flow) gap(h, length, breadth, u float64, along bool) gap {
	g := gap{h: h, length: length, breadth: breadth, u: u, along: along, area: breadth * h, s: u * u / 4, b: f.k * f.rho / 2}
	if h <= 0 {
		return g
	}
	re := 2 * h * f.rho // Re = re W/µ
	if f.thins {
		g.a = 12 * length / (h * h)
		g.c = turbulentFactor * length / h * f.rho / math.Sqrt(math.Sqrt(re))
		return g
	}
	g.a = 12 * f.mu * length / (h * h)
	g.c = turbulentFactor * length / h * f.rho / math.Sqrt(math.Sqrt(re/f.mu))
	w := crossing * f.mu / re
	g.limit = w * w
	return g
}

// speed returns the mean speed w of the leak under a pressure difference, and
// dw/dΔp. Odd in Δp.
func (f *flow) speed(g *gap, dp float64) (w, slope float64) {
	if g.h <= 0 {
		return 0, 0
	}
	if dp < 0 {
		w, slope = f.forward(g, -dp)
		return -w, slope
	}
	return f.forward(g, dp)
}

func (f *flow) forward(g *gap, dp float64) (w, slope float64) {
	if f.thins {
		return f.thinning(g, dp)
	}
	w = 2 * dp / (g.a + math.Sqrt(g.a*g.a+4*g.b*dp))
	if w*w+g.s <= g.limit {
		return w, 1 / (g.a + 2*g.b*w)
	}
	// The law is the larger of two rising functions, so its root is the smaller
	// of two roots. The turbulent limb is convex in w: Newton's method from the
	// laminar root, which lies above, cannot overshoot.
	for range 60 {
		t := w*w + g.s
		root4 := math.Sqrt(math.Sqrt(t))
		lift := g.c * root4 * math.Sqrt(root4) // c W^0.75
		rise := lift*(1+0.75*w*w/t) + 2*g.b*w
		step := (lift*w + g.b*w*w - dp) / rise
		w -= step
		slope = 1 / rise
		if math.Abs(step) <= 1e-7*w || w == 0 { // the error left is its square
			break
		}
	}
	return w, slope
}

// drop returns Δp(w) of a liquid that thins, and dΔp/dw.
//
// The shear rate is γ = √((6aw)² + U²)/h. Where the wall moves along the leak
// the leak meets the tangent of the flow curve, not its secant:
// µ → µ(1 − (1 − n_loc)U²/(U² + (6aw)²)), n_loc = d ln τ/d ln γ.
func (f *flow) drop(g *gap, w float64) (dp, rise float64) {
	v := f.six * w
	vv, uu := v*v, g.u*g.u
	mu, dlnmu := f.mu, 0.0 // d ln µ / d ln w
	if both := vv + uu; both > 0 {
		y := 1 / (1 + math.Exp(f.power*(0.5*math.Log(both/(g.h*g.h))-f.lnBend)))
		cross := f.muInf + f.extra*y
		m := f.power * f.extra * y * (1 - y) / cross // 1 − n_loc
		part := uu / both
		mu = cross
		dmu := -m * cross * (1 - part)
		if g.along {
			dm := m * (f.power*(2*y-1) + m) // d m / d ln γ
			tangent := 1 - m*part
			dmu = dmu*tangent + cross*(1-part)*part*(2*m-dm)
			mu *= tangent
		}
		dlnmu = dmu / mu
	}
	laminar := g.a * mu
	t := vv/(f.six*f.six) + g.s
	inlet := g.b * w
	if t > 0 {
		root4 := math.Sqrt(math.Sqrt(t))
		turbulent := g.c * math.Sqrt(math.Sqrt(mu)) * root4 * math.Sqrt(root4)
		if turbulent > laminar {
			return (turbulent + inlet) * w, turbulent*(1+0.75*w*w/t+0.25*dlnmu) + 2*inlet
		}
	}
	return (laminar + inlet) * w, laminar*(1+dlnmu) + 2*inlet
}

// thinning solves Δp(w) = dp for a liquid that thins: Newton's method in ln w
// inside a bracket, with a bisection wherever it would leave the bracket. The
// law is strictly rising for n > 0, so it cannot fail.
func (f *flow) thinning(g *gap, dp float64) (w, slope float64) {
	if dp == 0 {
		_, rise := f.drop(g, 0)
		return 0, 1 / rise
	}
	low, high := 0.0, math.Inf(1)
	if g.b > 0 {
		high = math.Sqrt(dp / g.b)
	}
	w = g.last
	if !(w > 0 && w < high) {
		start := g.a * f.viscosity(g.u/g.h)
		w = 2 * dp / (start + math.Sqrt(start*start+4*g.b*dp))
	}
	var rise float64
	for i := range 200 {
		var have float64
		have, rise = f.drop(g, w)
		if have < dp {
			low = w
		} else {
			high = w
		}
		if math.Abs(have-dp) <= 1e-7*dp { // one step more leaves its square
			w += (dp - have) / rise
			break
		}
		if high-low <= 1e-15*w {
			break
		}
		next := w + (dp-have)/rise
		if ratio := dp / have; ratio < 0.8 || ratio > 1.25 {
			next = w * math.Pow(ratio, have/(w*rise))
		}
		if !(next > low && next < high) || i%16 == 15 {
			if math.IsInf(high, 1) {
				next = 4 * w
			} else if low == 0 {
				next = high / 8
			} else {
				next = math.Sqrt(low * high)
			}
		}
		w = next
	}
	g.last = w
	return w, 1 / rise
}

// Gap is a single gap, for those who want the law alone.
type Gap struct {
	Height  quantity.Length // h
	Length  quantity.Length // along the leak
	Breadth quantity.Length // across the leak
	Wall    quantity.Speed  // speed of the moving wall, 0 for a gap at rest
	Carries int             // +1: the wall carries liquid against the leak, −1: with it, 0: it moves across
	Loss    float64         // K, inlet and outlet; EntryExitLoss when in doubt
}

// GapFlow is what goes through a single gap.
type GapFlow struct {
	Gap      Gap
	Mean     quantity.Speed // pressure-driven mean speed w
	Flow     quantity.Flow  // net, positive towards the lower pressure
	Reynolds float64        // on 2h and on W
	Laminar  bool
}

var (
	msgGapRefused = say.Define("slip.gap_refused", "no gap has this value")
	msgGapSize    = say.Define("slip.gap_accepted", "a finite size, the gap 0 or more, length and breadth greater than 0")
	msgFinite     = say.Define("slip.finite_accepted", "a finite number")
)

// Through returns the flow through a single gap.
//
//	Δp = f(Re)(L/h)ρWw + Kρw²/2,  W = √(w² + (U/2)²),  Re = 2hWρ/µ
//	f = max(24/Re, 0.0868 Re^−¼)
//	q = Bhw − s·BhU/2
//
//	h, L, B  height, length along the leak, breadth   m
//	U        wall speed                               m/s
//	Δp       pressure difference, sign kept           Pa
//
// Valid: 0.3 mPa s to 100 Pa s, h/L < 0.05, one liquid without gas. Between
// Re 1800 and 2900 a quiet gap passes up to about 12 % more than the law.
// Errors: a Problem for NaN, infinite or negative sizes.
// Source: plane Poiseuille flow; R. B. Dean, J. Fluids Eng. 100 (1978) 215;
// combined speed W: bulk-flow idea of Hirs; K: common practice, no source.
func (g Gap) Through(l Liquid, dp quantity.PressureDifference) (GapFlow, error) {
	if err := l.check(); err != nil {
		return GapFlow{}, err
	}
	h, length, breadth := g.Height.SI(), g.Length.SI(), g.Breadth.SI()
	if !(h >= 0) || !(length > 0) || !(breadth > 0) || math.IsInf(h+length+breadth, 0) {
		return GapFlow{}, say.Refuse("gap", g.Height.String(), msgGapRefused.With(), msgGapSize.With())
	}
	if !finite(g.Wall.SI()) || !finite(dp.SI()) || !(g.Loss >= 0) || math.IsInf(g.Loss, 0) {
		return GapFlow{}, say.Refuse("gap", dp.String(), msgGapRefused.With(), msgFinite.With())
	}
	f := l.flow(g.Loss)
	inner := f.gap(h, length, breadth, math.Abs(g.Wall.SI()), g.Carries != 0)
	w, _ := f.speed(&inner, dp.SI())
	out := GapFlow{Gap: g, Mean: quantity.Speed(w), Laminar: true}
	out.Flow = quantity.Flow(inner.area*w - float64(g.Carries)*inner.area*g.Wall.SI()/2)
	if h > 0 {
		mu := f.viscosity(math.Hypot(f.six*w, inner.u) / h)
		out.Reynolds = 2 * h * math.Sqrt(w*w+inner.s) * f.rho / mu
		out.Laminar = out.Reynolds <= crossing
	}
	return out, nil
}
