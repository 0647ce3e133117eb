package slip

import "math"

// leaks holds the net leak of each group of paths, m³/s, positive from
// discharge to suction.
type leaks struct {
	mesh, rotor, idler, body, end, back float64
	pBack                               float64 // pressure behind the disc, from suction
}

func (l *leaks) sum() float64 { return l.mesh + l.rotor + l.idler + l.body + l.end + l.back }

// station is one barrier: gaps side by side under one pressure difference.
type station struct {
	gaps [4]gap
	n    int
	drag float64 // Σ s·B·h·U/2, carried against the leak
}

// add puts a gap into the station; sign is +1 when the wall carries liquid
// from suction to discharge, −1 the other way, 0 when what it carries cancels
// over the ring. In every station the wall moves along the leak.
func (st *station) add(f *flow, h, length, breadth, u, sign float64) {
	if h <= 0 {
		return
	}
	st.gaps[st.n] = f.gap(h, length, breadth, u, true)
	st.n++
	st.drag += sign * breadth * h * u / 2
}

// leak returns the net leak of the station under a pressure difference, and
// its slope.
func (st *station) leak(f *flow, dp float64) (q, slope float64) {
	q = -st.drag
	for i := range st.n {
		g := &st.gaps[i]
		w, s := f.speed(g, dp)
		q += g.area * w
		slope += g.area * s
	}
	return q, slope
}

// point is one state of the pump: what the paths need at one speed in one
// liquid.
type point struct {
	m                      *Model
	f                      flow
	omega, omegaI          float64
	mesh, idler, body, end station
	rotor                  [5]station // the first alone when the rotor is central
	rim                    [2]ring
}

// ring is half the rim of the disc, cut into elements.
type ring struct{ gaps [4]gap }

func (r *ring) leak(f *flow, dp float64) (q, slope float64) {
	for i := range r.gaps {
		w, s := f.speed(&r.gaps[i], dp)
		q += r.gaps[i].area * w
		slope += r.gaps[i].area * s
	}
	return q, slope
}

// prepare lays out every gap at a speed.
func (m *Model) prepare(p *point, f *flow, omega float64) {
	omegaI := omega * m.ratio
	*p = point{m: m, f: *f, omega: omega, omegaI: omegaI}
	head, floor := m.sigma*m.c.fi, (1-m.sigma)*m.c.fi
	endSpeed := omega * (m.rar + m.ro) / 2

	p.mesh.add(f, m.c.od, m.lod, m.b, omega*m.ro, -1)
	p.mesh.add(f, m.c.se, m.lr, m.ro-m.rr, endSpeed, 0)
	p.mesh.add(f, head, m.li, m.ri-m.rfi, omegaI*m.ri, 0)
	p.mesh.add(f, floor, m.li, m.ri-m.rfi, 0, 0)

	for i := range m.rotorStations() {
		st := &p.rotor[i]
		st.add(f, m.c.od*(1+m.eps*m.stations[i]), m.lod, m.b, omega*m.ro, +1)
		st.add(f, m.c.se, m.lr, m.ro-m.rar, endSpeed, 0)
		st.add(f, m.c.co, m.tipR, m.b, omega*m.rar, +1)
	}

	p.idler.add(f, m.c.ci, m.tipI, m.b, omegaI*m.rai, +1)
	p.idler.add(f, head, m.li, m.rai-m.rfi, omegaI*m.ri, 0)
	p.idler.add(f, floor, m.li, m.rai-m.rfi, (omegaI-omega)*m.ri, 0)

	p.body.add(f, head, m.bodyLength, m.bodyHead*m.bodyLength, omegaI*(m.rfi+m.rpin)/2, 0)
	p.body.add(f, floor, m.bodyLength, m.bodyFloor*m.bodyLength, (omegaI-omega)*m.ri, 0)

	p.end.add(f, m.c.scr, m.arcR*m.endRadius, endShare*m.tc, omega*m.endRadius, 0)

	if m.back && m.c.od > 0 {
		half := breadthShare * math.Pi * m.ro
		for side := range p.rim {
			eps := m.eps * float64(1-2*side) // wide towards discharge
			for i, node := range gauss {
				h := m.c.od * (1 + eps*math.Cos(math.Pi/2*node[0]))
				p.rim[side].gaps[i] = f.gap(h, m.bd, half*node[1], omega*m.ro, false) // the wall moves across
			}
		}
	}
}

// rotorStations is how many different stations lie along the crescent.
func (m *Model) rotorStations() int {
	if m.eps == 0 || m.c.od == 0 {
		return 1
	}
	return len(m.stations)
}

// leaks solves all groups at a pressure difference.
func (p *point) leaks(dp float64) leaks {
	m, f := p.m, &p.f
	var l leaks
	l.mesh, _ = p.mesh.leak(f, dp/m.barriersMesh)
	if m.pump.FlankGap > 0 {
		g := f.gap(m.pump.FlankGap.SI(), flankLength, m.b, 0, false)
		w, _ := f.speed(&g, dp/m.barriersMesh)
		l.mesh += g.area * w
	}
	if n := m.rotorStations(); n == 1 {
		l.rotor, _ = p.rotor[0].leak(f, dp/m.barriersRotor)
	} else {
		l.rotor = inSeries(f, p.rotor[:n], dp*float64(n)/m.barriersRotor)
	}
	l.idler, _ = p.idler.leak(f, dp/m.barriersIdler)
	l.body, _ = p.body.leak(f, dp)
	l.end, _ = p.end.leak(f, dp)
	if m.back && m.c.od > 0 {
		l.back, l.pBack = p.behind(dp)
	} else {
		l.pBack = dp / 2
	}
	return l
}

// inSeries returns the common flow of unlike stations whose pressure
// differences add to total.
//
// It minimises a convex function (the sum of the integrals of each station's
// leak) under one linear condition: Newton's method with the exact slopes. If
// that has not settled after 30 steps, nested brackets do it: the flow lies
// between the smallest and the largest that equal sharing gives, and each
// station's leak rises with its pressure.
func inSeries(f *flow, stations []station, total float64) float64 {
	var dp, q, slope [5]float64
	n := len(stations)
	for k := range n {
		dp[k] = total / float64(n)
	}
	scale := math.Abs(total)
	for range 30 {
		left, resistance, drive := total, 0.0, 0.0
		for k := range n {
			q[k], slope[k] = stations[k].leak(f, dp[k])
			if slope[k] == 0 {
				return q[k] // every gap closed
			}
			left -= dp[k]
			resistance += 1 / slope[k]
			drive += q[k] / slope[k]
		}
		common := (left + drive) / resistance
		largest := 0.0
		for k := range n {
			step := (common - q[k]) / slope[k]
			dp[k] += step
			largest = math.Max(largest, math.Abs(step))
			scale = math.Max(scale, math.Abs(dp[k]))
		}
		if largest <= 1e-6*scale { // the error left is its square
			return common
		}
	}
	return inBrackets(f, stations, total)
}

func inBrackets(f *flow, stations []station, total float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for k := range stations {
		q, _ := stations[k].leak(f, total/float64(len(stations)))
		low, high = math.Min(low, q), math.Max(high, q)
	}
	for range 200 {
		q := (low + high) / 2
		sum := 0.0
		for k := range stations {
			sum += stations[k].pressure(f, q)
		}
		if sum < total {
			low = q
		} else {
			high = q
		}
		if high-low <= 1e-14*(math.Abs(low)+math.Abs(high)) {
			break
		}
	}
	return (low + high) / 2
}

// pressure returns the pressure difference under which the station leaks q, by
// bisection in a bracket that is grown first.
func (st *station) pressure(f *flow, q float64) float64 {
	reach := 1.0
	for range 80 {
		low, _ := st.leak(f, -reach)
		high, _ := st.leak(f, reach)
		if low <= q && q <= high {
			break
		}
		reach *= 4
	}
	low, high := -reach, reach
	for range 200 {
		middle := (low + high) / 2
		if have, _ := st.leak(f, middle); have < q {
			low = middle
		} else {
			high = middle
		}
		if high-low <= 1e-15*reach {
			break
		}
	}
	return (low + high) / 2
}

// behind returns the leak behind the disc and the pressure there: what comes in
// through the discharge half of the rim goes out through the suction half.
func (p *point) behind(dp float64) (q, pressure float64) {
	if dp == 0 {
		return 0, 0
	}
	low, high := 0.0, dp
	x := dp / 2
	for i := range 200 {
		in, inSlope := p.rim[0].leak(&p.f, dp-x)
		out, outSlope := p.rim[1].leak(&p.f, x)
		if out < in {
			low = x
		} else {
			high = x
		}
		step := (in - out) / (inSlope + outSlope)
		next := x + step
		if math.Abs(step) <= 1e-6*dp { // the error left is its square
			return (out + outSlope*step + in - inSlope*step) / 2, next
		}
		if !(next > low && next < high) || i%16 == 15 {
			next = (low + high) / 2
		}
		if high-low <= 1e-15*dp {
			return (in + out) / 2, x
		}
		x = next
	}
	out, _ := p.rim[1].leak(&p.f, x)
	return out, x
}
