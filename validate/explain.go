package validate

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"

	"jarwright/validate/budget"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/explanation"
	"jarwright/validate/facts"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
	"jarwright/validate/rules"
)

// Rule finds a rule by its id. The error names the nearest id there is.
func (c *Checker) Rule(id string) (*rules.Rule, error) {
	ids, names := make([]string, len(c.rules)), make([]string, len(c.rules))
	for i := range c.rules {
		if ids[i] = c.rules[i].ID; ids[i] == id {
			return &c.rules[i], nil
		}
		_, names[i], _ = strings.Cut(ids[i], ".")
	}
	if near, ok := catalog.NearestName(id, ids); ok {
		return nil, fmt.Errorf("no rule is called %q; the nearest is %s", id, near)
	}
	if near, ok := catalog.NearestName(id, names); ok { // the family was left out
		return nil, fmt.Errorf("no rule is called %q; the nearest is %s", id, ids[slices.Index(names, near)])
	}
	return nil, fmt.Errorf("no rule is called %q", id)
}

// Explain says why a rule of Rule judges a request document as it does: what the rule looked at, which published limits it
// looked up, the tested recipe beside the cook's, and the figures. The second result is non-nil when the bytes are not a
// request document at all. It asks the rule again for every member of the document, so that it costs some hundred reports.
func (c *Checker) Explain(b *budget.Budget, body []byte, rule *rules.Rule) (explanation.Explanation, *ingest.Problem) {
	whole, problem := c.Check(b, body, report.Options{})
	if problem != nil {
		return explanation.Explanation{}, problem
	}
	request, problem := c.reader.Request(b, body)
	if problem != nil {
		return explanation.Explanation{}, problem
	}
	f, answer, limits := c.traced(&request, rule)
	looked := c.lookedAt(b, body, answer)
	if problem := ingest.TooCostly(b.Err()); problem != nil {
		return explanation.Explanation{}, problem
	}
	return explanation.New(explanation.Input{Rule: rule, Facts: f, Outcome: answer.outcome, Report: &whole, Limits: limits, LookedAt: looked}), nil
}

// traced judges a request by one rule and lists the limits that the rule looked up.
func (c *Checker) traced(request *document.Request, rule *rules.Rule) (*facts.Facts, judged, []catalog.Limit) {
	f, _ := c.derive(request, report.Options{})
	f.Lookups = &facts.Lookups{}
	if !rule.CanningDay {
		answer := judgeBy(rule, f)
		return f, answer, f.Lookups.Limits()
	}
	// The record of a canning day is read once for all its rules. Which of the limits looked up there are this rule's shows
	// when they are moved.
	readDay(f)
	answer := judgeBy(rule, f)
	own := slices.DeleteFunc(f.Lookups.Limits(), func(limit catalog.Limit) bool { return !c.hangsOn(limit, request, answer) })
	return f, answer, own
}

// hangsOn reports whether a rule answers otherwise when a limit is moved far down or up.
func (c *Checker) hangsOn(limit catalog.Limit, request *document.Request, answer judged) bool {
	const far = 10 // times the limit: beyond what any kitchen has
	for _, value := range []float64{0, far * limit.Value} {
		moved := *c
		moved.tables = c.tables.WithLimit(limit.ID, value)
		moved.sources.Tables = moved.tables
		f, _ := moved.derive(request, report.Options{})
		if !sameAnswer(judgeBy(answer.rule, f), answer, "") {
			return true
		}
	}
	return false
}

// lookedAt leaves out each member of a document in turn and asks the rule again.
func (c *Checker) lookedAt(b *budget.Budget, body []byte, answer judged) explanation.LookedAt {
	looked := explanation.LookedAt{Members: []explanation.Looked{}}
	value, problem := ingest.Value(body, ingest.MaxBytes)
	if problem != nil {
		return looked // the body has been read as a request, so that this cannot be
	}
	members := explanation.Members(value)
	members = inOrder(members, func(m *explanation.Member) (at, then string) { return m.At, "" })
	if most := explanation.MostMembers(len(body)); len(members) > most {
		looked.NotTried = len(members) - most
		members = members[:most]
	}
	for _, member := range members {
		without, ok := c.answerWithout(b, value, member.At, answer.rule)
		if !ok {
			looked.Needed++
			continue
		}
		looked.Tried++
		if sameAnswer(without, answer, member.At) {
			continue
		}
		entry := explanation.Looked{At: member.At, Written: member.Value, Without: without.outcome, Says: []string{}}
		for i := range min(len(without.findings), explanation.MostSaid) {
			entry.Says = append(entry.Says, without.findings[i].Message)
		}
		looked.Members = append(looked.Members, entry)
	}
	return looked
}

// answerWithout is what a rule says of a document without one of its members; it reports false when that is no request.
func (c *Checker) answerWithout(b *budget.Budget, value any, at string, rule *rules.Rule) (judged, bool) {
	body, err := json.Marshal(explanation.Without(value, at))
	if err != nil {
		return judged{}, false
	}
	request, problem := c.reader.Request(b, body)
	if problem != nil {
		return judged{}, false
	}
	if !b.Spend(derivationSteps(&request)) {
		return judged{}, false
	}
	f, _ := c.derive(&request, report.Options{})
	return judgeBy(rule, f), true
}

// sameAnswer reports whether a rule says the same of a document without the member at removed as of the whole of it; an
// empty pointer says that nothing was removed.
func sameAnswer(without, whole judged, removed string) bool {
	return without.outcome == whole.outcome && slices.EqualFunc(without.findings, whole.findings, func(a, b facts.Finding) bool {
		return a.Outcome == b.Outcome && explanation.Restored(a.At, removed) == b.At && a.Message == b.Message &&
			reflect.DeepEqual(a.Measured, b.Measured) && reflect.DeepEqual(a.Limit, b.Limit)
	})
}
