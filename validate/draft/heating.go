package draft

import (
	"strings"

	"jarwright/validate/document"
)

// method writes how the closed jars are heated. The first method that the steps name is taken; further ones are reported.
func (w *writer) method(s *sentence) {
	method := s.Method()
	if method == "" {
		return
	}
	f := s.says(FactMethod, method)
	process := w.process()
	switch {
	case process.Method == "":
		process.Method, f.Into = method, intoMethod
	case process.Method == method:
		return
	case process.Method == document.MethodBoilingWater && method == document.MethodOpenKettle:
		return // turning the jars over after a real process changes nothing
	default:
		w.assume(s.at, intoMethod, "The steps name more than one method; the first, "+strings.ReplaceAll(process.Method, "_", " ")+", was taken.")
	}
	w.fact(f)
	if method == document.MethodLowTemperature {
		w.temperature(s)
	}
}

// temperature writes how hot the water of the low-temperature process is; of a range it takes the lower end.
func (w *writer) temperature(s *sentence) {
	figure, ok := s.Temperature()
	if !ok {
		return
	}
	f := s.gives(FactTemperature, figure)
	w.put(&w.process().Temperature, &f, intoTemperature)
	w.fact(f)
}

// times tells the minutes of the process; chooseTime writes one of them.
func (w *writer) times(s *sentence) {
	for _, time := range s.Times() {
		f := s.gives(FactMinutes, time.Figure)
		if f.Is = time.Jar; time.Elsewhere {
			f.Name = FactElevation
		}
		w.fact(f)
	}
}

// chooseTime writes one of the times that were found: of several the one for the recipe's jar, else the least.
func (w *writer) chooseTime() {
	chosen := w.bestTime()
	if chosen < 0 {
		return
	}
	if w.factsLeft > 0 { // a shorter time may be among them
		w.notWritten(w.recipe.at(), intoTime, "", "The steps say so much that the time of processing was not chosen.")
		return
	}
	f := &w.out.Facts[chosen]
	w.put(&w.process().Time, f, intoTime)
	if f.Into == "" {
		return
	}
	w.deepenWater(*f.Value)
	f = &w.out.Facts[chosen] // the list may have moved
	if w.count(FactMinutes) > 1 {
		w.assume(f.At, intoTime, "Several times are named; the one for the recipe's jar, or else the shortest, was taken.")
	}
	if w.process().Method == "" {
		w.notWritten(f.At, intoMethod, f.Text, "A time of processing is given, but not the method.")
	}
}

// bestTime is the index of the fact with the time for the recipe's jar, or -1 where no time is named.
func (w *writer) bestTime() int {
	jar := ""
	if w.out.Request.Recipe.Jar != nil {
		jar = w.out.Request.Recipe.Jar.ID
	}
	chosen := -1
	for i := range w.out.Facts {
		f := &w.out.Facts[i]
		if f.Name != FactMinutes || f.Value == nil || *f.Value <= 0 {
			continue
		}
		if jar != "" && f.Is != "" && f.Is != jar {
			continue // for another jar
		}
		if chosen < 0 || isBetterTime(f, &w.out.Facts[chosen], jar) {
			chosen = i
		}
	}
	return chosen
}

// isBetterTime prefers a time that is named for the jar, and of two alike the shorter.
func isBetterTime(f, than *Fact, jar string) bool {
	if here, there := f.Is == jar, than.Is == jar; jar != "" && here != there {
		return here
	}
	return *f.Value < *than.Value
}

// count is how many facts have a name.
func (w *writer) count(name string) int {
	n := 0
	for i := range w.out.Facts {
		if w.out.Facts[i].Name == name {
			n++
		}
	}
	return n
}

// deeperWater is a second depth of the water over the lids, for times over a number of minutes.
type deeperWater struct {
	minutes float64
	first   int // index of the fact with the first depth
	fact    Fact
}

// waterOverLids writes how deep the water stands over the lids.
func (w *writer) waterOverLids(s *sentence) {
	figure, ok := s.WaterOverLids()
	if !ok {
		return
	}
	f := s.gives(FactWaterOverLids, figure)
	w.put(&w.process().WaterOverLids, &f, intoWaterOverLids)
	w.fact(f)
	if f.Into == "" {
		return
	}
	if depth, minutes, more := s.DeeperWater(); more {
		w.deeper = &deeperWater{minutes: minutes, first: len(w.out.Facts) - 1, fact: s.gives(FactWaterOverLids, depth)}
	}
}

// deepenWater takes the second depth of the water in place of the first, where the time is one that asks for it.
func (w *writer) deepenWater(minutes float64) {
	if w.deeper == nil || minutes <= w.deeper.minutes {
		return
	}
	w.out.Facts[w.deeper.first].Into = ""
	w.process().WaterOverLids = nil
	f := w.deeper.fact
	w.put(&w.process().WaterOverLids, &f, intoWaterOverLids)
	w.fact(f)
}
