package heating

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"jarwright/validate/altitude"
)

func pint() Pack {
	return Pack{InnerRadiusM: 0.036, FillHeightM: 0.110, Pieces: LongPieces, PieceRadiusM: 0.010}
}

func rawPack() Process {
	return Process{StartC: 40, CannerC: 60, BathC: 99.97, HoldMinutes: 10, RoomC: 22, CoolingMinutes: 60}
}

// The series of a body in a bath that is there at once must come to the same as Body.CenterC.
func TestFollowAgainstSeries(t *testing.T) {
	body := must(FiniteCylinderCenter(0.036, 0.055, 1.5e-7, 15, 23))
	legs := []leg{newLeg(60, 0.5, 100, 100)}
	centerC := make([]float64, legs[0].steps+1)
	model{body: body}.follow(centerC, 20, legs)
	for i, got := range centerC {
		if want := body.CenterC(20, 100, float64(i)*0.5); math.Abs(got-want) > 1e-6 {
			t.Fatalf("after %g min %g °C, want %g", float64(i)*0.5, got, want)
		}
	}
}

// A bath that rises evenly is a row of small steps (Duhamel's sum of the unit response), which the ramp must come to.
func TestFollowARamp(t *testing.T) {
	body := must(CylinderAxis(0.02, 1.5e-7, fixed))
	ramp := newLeg(20, 0.5, 60, 100)
	centerC := make([]float64, ramp.steps+1)
	model{body: body}.follow(centerC, 60, []leg{ramp})
	const parts = 20000
	sum := 60.0
	for i := range parts {
		sum += body.CenterC(0, 40.0/parts, 20-20*(float64(i)+0.5)/parts)
	}
	if got := centerC[ramp.steps]; math.Abs(got-sum) > 0.001 {
		t.Errorf("after the ramp %g °C, want %g", got, sum)
	}
}

// The studies of boiling-water canners put 48 to 95 % of F at 82.2 °C into the time of cooling (pint jars, 2015), which
// needs the fall to be slower than the rise: cooling must add to both bounds, and never take from them.
func TestCoolingAdds(t *testing.T) {
	target, _ := TargetFor(4)
	hot := rawPack()
	hot.CoolingMinutes = 0
	withoutLow, withoutHigh := must(Estimate(pint(), hot)).Accumulated(target)
	withLow, withHigh := must(Estimate(pint(), rawPack())).Accumulated(target)
	if withLow <= withoutLow || withHigh <= withoutHigh {
		t.Errorf("F %g to %g with cooling, %g to %g without", withLow, withHigh, withoutLow, withoutHigh)
	}
}

// A pack of spears that goes in at 60 °C: the stirred and the conducting worked case of the same pint (reference figures,
// bath of 100 °C at once) take 2.8 to 8.4 and 32.1 min to 82.2 °C, and the bounds must hold them.
func TestBoundsHoldTheWorkedCases(t *testing.T) {
	pack := pint()
	pack.Pieces = NoPieces
	process := Process{StartC: 60, CannerC: 100, BathC: 100, ComeUpShortMinutes: 0.1, ComeUpLongMinutes: 0.1, HoldMinutes: 120, RoomC: 20}
	reach := must(Estimate(pack, process)).Reach(82.2)
	if !reach.Certain || reach.EarliestMinute > 2.8 || reach.LatestMinute < 32.1 || reach.LatestMinute > 48 {
		t.Errorf("82.2 °C between %g and %g min", reach.EarliestMinute, reach.LatestMinute)
	}
}

func TestCurveIsAnEnvelope(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pack, process := drawPack(t), drawProcess(t)
		curve, err := Estimate(pack, process)
		if err != nil {
			t.Fatal(err)
		}
		coolest := min(process.StartC, process.CannerC, process.RoomC)
		hottest := max(process.StartC, process.BathC)
		for i := range curve.Minutes {
			if i > 0 && (curve.Minutes[i] < curve.Minutes[i-1] || curve.Minutes[i]-curve.Minutes[i-1] > roomStepMinutes+1e-9) {
				t.Fatalf("minutes %g then %g", curve.Minutes[i-1], curve.Minutes[i])
			}
			if !(curve.LowC[i] <= curve.HighC[i]) || curve.LowC[i] < coolest-1.5 || curve.HighC[i] > hottest+1.5 {
				t.Fatalf("minute %g: %g to %g °C between %g and %g", curve.Minutes[i], curve.LowC[i], curve.HighC[i], coolest, hottest)
			}
		}
		if start := curve.Minutes[0]; math.Abs(start+process.ComeUpLongMinutes) > 1e-9 || curve.LowC[0] != process.StartC {
			t.Fatalf("starts at minute %g with %g °C", start, curve.LowC[0])
		}
		target, _ := TargetFor(4.3)
		if low, high := curve.Accumulated(target); !(0 <= low && low <= high) {
			t.Fatalf("F between %g and %g", low, high)
		}
		if low, high := curve.MinutesAbove(71.1); !(0 <= low && low <= high+1e-9) {
			t.Fatalf("above 71.1 °C between %g and %g min", low, high)
		}
	})
}

// The corners that Estimate leaves out must lie inside those that it looks at, but for the error of the cut series (0.003
// of the difference).
func TestRunsEncloseAllCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pack, process := drawPack(t), drawProcess(t)
		process.StartC = rapid.Float64Range(10, process.CannerC).Draw(t, "cool start")
		models, err := pack.models()
		if err != nil {
			t.Fatal(err)
		}
		var all []run
		for _, m := range models {
			all = append(all, run{m, process.ComeUpShortMinutes}, run{m, process.ComeUpLongMinutes})
		}
		const slackK = 0.2
		few, full := envelope(pack.runs(process, models), process), envelope(all, process)
		for i := range full.Minutes {
			if few.LowC[i] > full.LowC[i]+slackK || few.HighC[i] < full.HighC[i]-slackK {
				t.Fatalf("minute %g: %g to %g °C, all corners %g to %g", full.Minutes[i], few.LowC[i], few.HighC[i], full.LowC[i], full.HighC[i])
			}
		}
	})
}

func ExampleEstimate() {
	spears := Pack{InnerRadiusM: 0.036, FillHeightM: 0.110, Pieces: LongPieces, PieceRadiusM: 0.010}
	at, err := altitude.BoilingAt(1585)
	if err != nil {
		fmt.Println(err)
		return
	}
	curve, err := Estimate(spears, Process{StartC: 60, CannerC: 60, BathC: at.TemperatureC, HoldMinutes: 30, RoomC: 22, CoolingMinutes: 60})
	if err != nil {
		fmt.Println(err)
		return
	}
	target, _ := TargetFor(4.0)
	reach := curve.Reach(Celsius(160))
	low, high := curve.Accumulated(target)
	fmt.Printf("160 °F between minute %.0f and %.0f; F %.1f to %.0f min, target %.1f\n", reach.EarliestMinute, reach.LatestMinute, low, high, target.Minutes)
	// Output: 160 °F between minute -9 and 25; F 80.8 to 8450 min, target 1.2
}

func drawPack(t *rapid.T) Pack {
	radiusM := rapid.Float64Range(0.025, 0.055).Draw(t, "radius")
	return Pack{
		InnerRadiusM: radiusM,
		FillHeightM:  rapid.Float64Range(0.05, 0.2).Draw(t, "height"),
		Pieces:       rapid.SampledFrom([]Shape{NoPieces, LongPieces, RoundPieces}).Draw(t, "shape"),
		PieceRadiusM: rapid.Float64Range(0.002, radiusM).Draw(t, "piece"),
	}
}

func drawProcess(t *rapid.T) Process {
	process := Process{
		StartC:             rapid.Float64Range(10, 95).Draw(t, "start"),
		CannerC:            rapid.Float64Range(40, 80).Draw(t, "canner"),
		BathC:              rapid.Float64Range(82, 101).Draw(t, "bath"),
		ComeUpShortMinutes: rapid.Float64Range(1, 10).Draw(t, "short"),
		HoldMinutes:        rapid.Float64Range(0, 40).Draw(t, "hold"),
		RoomC:              rapid.Float64Range(10, 35).Draw(t, "room"),
		CoolingMinutes:     rapid.Float64Range(0, 60).Draw(t, "cooling"),
	}
	process.ComeUpLongMinutes = process.ComeUpShortMinutes + rapid.Float64Range(0, 15).Draw(t, "longer")
	return process
}

// Larger means no smaller in any measure, with the same or thicker pieces. Contents that go in cool are looked at in the
// canner; afterwards a larger jar rightly stays hot for longer.
func TestLargerJarNeverHeatsFaster(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		small, process := drawPack(t), drawProcess(t)
		process.StartC = rapid.Float64Range(10, process.CannerC).Draw(t, "cool start")
		process.CoolingMinutes = 0
		large := small
		large.InnerRadiusM *= rapid.Float64Range(1, 1.8).Draw(t, "wider")
		large.FillHeightM *= rapid.Float64Range(1, 1.8).Draw(t, "taller")
		large.PieceRadiusM *= rapid.Float64Range(1, large.InnerRadiusM/small.InnerRadiusM).Draw(t, "thicker")
		fast, err := Estimate(small, process)
		if err != nil {
			t.Fatal(err)
		}
		slow, err := Estimate(large, process)
		if err != nil {
			t.Fatal(err)
		}
		targetC := process.StartC + rapid.Float64Range(0.1, 0.95).Draw(t, "part")*(process.BathC-process.StartC)
		first, second := fast.Reach(targetC), slow.Reach(targetC)
		const slack = 0.02 // minutes; the cut series of a tall jar is good to 0.0005 before its middle feels the ends
		justAtTheEnd := process.HoldMinutes - slack
		if second.Possible && !first.Possible && second.EarliestMinute < justAtTheEnd ||
			second.Certain && !first.Certain && second.LatestMinute < justAtTheEnd ||
			second.Possible && first.Possible && second.EarliestMinute < first.EarliestMinute-slack ||
			second.Certain && first.Certain && second.LatestMinute < first.LatestMinute-slack {
			t.Fatalf("%g °C: %+v in %+v, %+v in %+v", targetC, first, small, second, large)
		}
	})
}

func TestHigherKitchenNeverKillsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pack, process := drawPack(t), drawProcess(t)
		low := rapid.Float64Range(-300, 3600).Draw(t, "low")
		high := rapid.Float64Range(low, 3600).Draw(t, "high")
		target, _ := TargetFor(4.3)
		var totals [2][2]float64
		for i, meters := range []float64{low, high} {
			at, err := altitude.BoilingAt(meters)
			if err != nil {
				t.Fatal(err)
			}
			process.BathC = at.TemperatureC
			curve, err := Estimate(pack, process)
			if err != nil {
				t.Fatal(err)
			}
			totals[i][0], totals[i][1] = curve.Accumulated(target)
		}
		// The cut series dips by less than 0.0001 of the difference (0.001 K here) before the middle feels the bath at all.
		const slack, trifle = 5e-4, 1e-4
		if totals[1][0] > totals[0][0]*(1+slack)+trifle || totals[1][1] > totals[0][1]*(1+slack)+trifle {
			t.Fatalf("F %v at %g m, %v at %g m", totals[0], low, totals[1], high)
		}
	})
}

func TestReachAndMinutesAbove(t *testing.T) {
	curve := Curve{
		Minutes: []float64{-2, 0, 2, 4},
		LowC:    []float64{20, 40, 60, 50},
		HighC:   []float64{20, 60, 80, 70},
	}
	if got, want := curve.Reach(50), (Reach{true, -0.5, true, 1}); got != want {
		t.Errorf("50 °C: %+v, want %+v", got, want)
	}
	if got, want := curve.Reach(70), (Reach{Possible: true, EarliestMinute: 1}); got != want {
		t.Errorf("70 °C: %+v, want %+v", got, want)
	}
	if got := curve.Reach(90); got != (Reach{}) {
		t.Errorf("90 °C: %+v", got)
	}
	if got, want := curve.Reach(20), (Reach{true, -2, true, -2}); got != want {
		t.Errorf("20 °C: %+v, want %+v", got, want)
	}
	if low, high := curve.MinutesAbove(50); low != 3 || high != 4.5 {
		t.Errorf("above 50 °C %g to %g min, want 3 to 4.5", low, high)
	}
}

// The model pint of the worked cases holds 0.45 kg in 110 mm at a radius of 36 mm.
func TestEquivalentRadius(t *testing.T) {
	got, err := EquivalentRadiusM(math.Pi*3.6*3.6*11, 110)
	if err != nil || !near(got, 0.036, 1e-12) {
		t.Errorf("radius %g m, %v, want 0.036", got, err)
	}
}

func TestLandmarks(t *testing.T) {
	// 160, 165 and 180 °F are the temperatures that the targets and the low-temperature treatment name in print.
	for i, want := range []float64{160, 165, 180} {
		if got := Landmarks()[i]; got.Value != want || got.Unit != "°F" {
			t.Errorf("landmark %d: %+v, want %g °F", i, got, want)
		}
	}
}

// One full heating estimate: curve, three landmarks and F against the target.
func BenchmarkEstimate(b *testing.B) {
	pack, process := pint(), rawPack()
	target, _ := TargetFor(4.3)
	for b.Loop() {
		curve, err := Estimate(pack, process)
		if err != nil {
			b.Fatal(err)
		}
		for _, landmark := range Landmarks() {
			curve.Reach(Celsius(landmark.Value))
		}
		curve.Accumulated(target)
	}
}
