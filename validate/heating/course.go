package heating

import "math"

// Spacing of a Curve at most: until the jars leave the bath, and afterwards.
const (
	bathStepMinutes = 0.5
	roomStepMinutes = 1
)

// diedAwayK is what a term may still be worth when it is dropped.
const diedAwayK = 1e-7

// leg is a stretch of time over which the surroundings change temperature in a straight line.
type leg struct {
	minutes      float64
	steps        int
	fromC, toC   float64
	idle, inRoom bool
}

// newLeg leaves out a stretch too short to matter, over which slopes would be nothing but rounding.
func newLeg(minutes, stepMinutes, fromC, toC float64) leg {
	const trifle = 1e-6
	if minutes < trifle {
		return leg{}
	}
	return leg{minutes: minutes, steps: int(math.Ceil(minutes / stepMinutes)), fromC: fromC, toC: toC}
}

// legs are the course of the surroundings. Both come-ups are cut at the same minutes, so that their curves compare.
func (p Process) legs(comeUp float64) [4]leg {
	early := p.ComeUpLongMinutes - p.ComeUpShortMinutes
	bathThenC := p.CannerC
	if comeUp > p.ComeUpShortMinutes {
		bathThenC += (p.BathC - p.CannerC) * early / comeUp
	}
	legs := [4]leg{
		newLeg(early, bathStepMinutes, p.CannerC, bathThenC),
		newLeg(p.ComeUpShortMinutes, bathStepMinutes, bathThenC, p.BathC),
		newLeg(p.HoldMinutes, bathStepMinutes, p.BathC, p.BathC),
		newLeg(p.CoolingMinutes, roomStepMinutes, p.RoomC, p.RoomC),
	}
	legs[0].idle = comeUp == p.ComeUpShortMinutes
	legs[3].inRoom = true
	return legs
}

func envelope(runs []run, process Process) Curve {
	legs := process.legs(process.ComeUpLongMinutes)
	samples := 1
	for _, l := range legs {
		samples += l.steps
	}
	block := make([]float64, 4*samples)
	curve := Curve{Minutes: block[:samples:samples], LowC: block[samples : 2*samples : 2*samples], HighC: block[2*samples : 3*samples : 3*samples]}
	centerC := block[3*samples:]

	minute, i := -process.ComeUpLongMinutes, 0
	curve.Minutes[0] = minute
	for _, l := range legs {
		for step := 1; step <= l.steps; step++ {
			i++
			curve.Minutes[i] = minute + l.minutes*float64(step)/float64(l.steps)
		}
		minute += l.minutes
	}

	for i := range samples {
		curve.LowC[i], curve.HighC[i] = math.Inf(1), math.Inf(-1)
	}
	for _, r := range runs {
		legs := process.legs(r.comeUp)
		r.model.follow(centerC, process.StartC, legs[:])
		for i, spotC := range centerC {
			curve.LowC[i], curve.HighC[i] = min(curve.LowC[i], spotC), max(curve.HighC[i], spotC)
		}
	}
	return curve
}

// course is a model on its way: how far each term of its body is from the surroundings, and how warm these are.
type course struct {
	model                model
	distance, decay, lag [seriesTerms * seriesTerms]float64
	liquidC, aroundC     float64 // of the liquid in the jar; of what surrounds the body, the bath or that liquid
}

// follow writes the temperature of the coldest spot at the start and after each step.
func (m model) follow(centerC []float64, startC float64, legs []leg) {
	c := course{model: m, liquidC: startC, aroundC: startC}
	centerC[0] = startC
	next := 1
	for _, l := range legs {
		switch {
		case l.steps == 0:
		case l.idle:
			for i := range l.steps {
				centerC[next+i] = startC
			}
		default:
			c.through(l, centerC[next:next+l.steps])
		}
		next += l.steps
	}
}

// through follows a leg. Over a step a term with rate r keeps exp(-r dt) of its distance d from the surroundings, less what these
// move meanwhile: d' = (d + s/r) e - s/r for surroundings that rise s a minute. Where these stand still, terms that have died away
// are dropped, the fastest first.
func (c *course) through(l leg, centerC []float64) {
	modes := c.model.body.modes
	dt := l.minutes / float64(l.steps)
	for i, term := range modes {
		c.decay[i], c.lag[i] = math.Exp(-term.perMinute*dt), 1/term.perMinute
	}
	liquid := c.model.liquidBath > 0
	liquidRate := c.model.liquidBath
	if l.inRoom {
		liquidRate = c.model.liquidRoom
	}
	liquidDecay := math.Exp(-liquidRate * dt)
	slope := (l.toC - l.fromC) / l.minutes
	bathC := l.fromC
	if !liquid {
		for i := range modes {
			c.distance[i] += c.aroundC - bathC
		}
		c.aroundC = bathC
	}
	active := len(modes)
	still := !liquid && slope == 0
	for step := range centerC {
		bathBefore := bathC
		bathC += slope * dt
		nowC := bathC
		if liquid {
			behind := slope / liquidRate
			c.liquidC = bathC - behind + (c.liquidC-bathBefore+behind)*liquidDecay
			nowC = c.liquidC
		}
		centerC[step] = c.step(modes[:active], nowC, dt)
		for still && active > 0 && math.Abs(c.distance[active-1]*modes[active-1].weight) < diedAwayK {
			active--
			c.distance[active] = 0
		}
	}
}

// step brings the terms through dt minutes, over which the surroundings come to nowC in a straight line, and gives the temperature
// of the coldest spot.
func (c *course) step(modes []mode, nowC, dt float64) float64 {
	rise := (nowC - c.aroundC) / dt
	c.aroundC = nowC
	spotC := nowC
	for i, term := range modes {
		behind := rise * c.lag[i]
		c.distance[i] = (c.distance[i]+behind)*c.decay[i] - behind
		spotC += term.weight * c.distance[i]
	}
	return spotC
}
