package composition

import "jarwright/validate/catalog"

// Pouring says what becomes of a line that is marked as poured away.
type Pouring int

// Values of Pouring.
const (
	NotMarked   Pouring = iota
	PouredAway          // as the tested recipe has it; where none is near, as the mark says
	KeptAnyhow          // as the tested recipe has it, and still counted in the jar: what is boiled in the brine and taken out
	MarkedWrong         // the tested recipe pours nothing like it away: whatever counts, the mark is a departure
)

// stays reports whether a line of the class counts as in the jar whatever stands beside it: nobody pours food away.
func stays(class catalog.Class) bool {
	switch class {
	case catalog.LowAcid, catalog.AcidFood, catalog.Egg, catalog.Fat, catalog.Thickener, catalog.Sugar, catalog.Sweetener:
		return true
	}
	return false
}

// mark notes that the line says it is poured away, before anybody knows which tested recipe it is compared with. Sugar may be that
// of a brine that is poured away.
func (l *Line) mark() {
	l.Pouring, l.InJar = PouredAway, stays(l.Class) && l.Class != catalog.Sugar && l.Class != catalog.Sweetener
}

// SettleAlone decides what becomes of a marked line where no tested recipe is near: only what soaks are made of, acids and spices
// leave the jar.
func (l *Line) SettleAlone() {
	if l.Pouring != NotMarked {
		l.Pouring, l.InJar = PouredAway, stays(l.Class)
	}
}

// Settle decides what becomes of a marked line beside a tested recipe that pours such a thing away or does not. Where it does
// not, food and what is mixed in are in the jar, and an acid is gone. Of water, ice, salt and lime nobody knows, and the mark is a
// departure; in the computation they stay out, so that it does not hang on which recipe is nearest.
func (l *Line) Settle(asPrinted bool) {
	switch {
	case l.Pouring == NotMarked:
	case asPrinted && l.IsFood():
		l.Pouring, l.InJar = KeptAnyhow, true
	case asPrinted:
		l.Pouring, l.InJar = PouredAway, false
	default:
		l.Pouring = MarkedWrong
		switch l.Class {
		case catalog.Acid, catalog.Water, catalog.Ice, catalog.Salt, catalog.Firming:
			l.InJar = false
		default:
			l.InJar = true
		}
	}
}
