package words

import "slices"

// measuring are the units by which a number in a note tells an amount, a time, a temperature or a strength.
var measuring = map[string]bool{
	"percent": true, "degree": true, "f": true, "c": true, "grain": true, "minute": true, "min": true, "hour": true, "hr": true, "day": true,
	"week": true, "month": true, "clove": true, "head": true, "piece": true, "jar": true, "part": true, "times": true, "time": true,
	"dozen": true, "bunch": true, "can": true, "handful": true, "pinch": true, "dash": true, "stick": true, "sprig": true, "slice": true,
}

// joining are words that deny, join or swap.
var joining = map[string]bool{
	"not": true, "no": true, "never": true, "without": true, "or": true, "instead": true, "substitute": true, "substituted": true, "plus": true,
	"swap": true, "replace": true, "replaced": true, "skip": true, "omit": true, "cannot": true, "except": true, "unless": true,
}

// Search lists what of a note should be said in the members: an amount, another food, a strength or thinning, heat and jars, a denial.
// Any other word is free there.
func (l *List) Search(note string, of *Context) []Span {
	if note == "" {
		return nil
	}
	of.buffer = tokens(note, of.buffer[:0])
	all := of.buffer
	r := reading{list: l, of: of, text: note, all: all}
	for at := 0; at < len(all); {
		end := r.look(at)
		if end == at {
			at++
			continue
		}
		r.spans = append(r.spans, Span{Kind: Question, Code: "note", Start: all[at].start, End: all[end-1].end, Text: shown(note, all[at].start, all[end-1].end)})
		at = end
	}
	return r.spans
}

// look gives the place behind what begins at a token and does not belong into a note; the same place where nothing does.
func (r *reading) look(at int) int {
	t := &r.all[at]
	if _, isNumber := valueOf(t); isNumber && at+1 < len(r.all) {
		next := at + 1
		if second := rangeEnd(r.all, next); second > next {
			next = second
		}
		if next < len(r.all) && (measuring[r.all[next].stem] || units[r.all[next].stem] != "" || lengths[r.all[next].stem] || r.all[next].stem == "per") {
			return next + 1
		}
	}
	if joining[t.stem] {
		return at + 1
	}
	l, here, found := r.list, int32(0), at
	for i := at; i < len(r.all); i++ {
		id, known := l.ids[r.all[i].stem]
		if !known {
			break
		}
		child, known := l.next[uint64(here)<<32|uint64(id)] //nolint:gosec // neither is negative
		if !known {
			break
		}
		here = child
		n := &l.nodes[here]
		noted := slices.ContainsFunc(n.rows, func(i int32) bool { return matters(&l.rows[i]) && l.rows[i].fits(r.of.Item, r.of.Class) >= 0 })
		if noted || n.food != nil && !r.own(n.food) {
			found = i + 1
		}
	}
	return found
}

// matters tells whether a row has no place in a note. Words that the list also calls plain talk ("cold", "cool") have.
func matters(row *Row) bool {
	switch row.Part {
	case "food", "strength", "dilution", "negation":
		return true
	case "heat", "sealing", "place", "packing", "jar":
		return row.only != "steps" || row.Effect != None
	}
	return row.Effect > Asks
}
