package catalog

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"jarwright/validate/table"
)

// Ruleset is one state of the rules and tables that reports name: its number, year and count ("2026.1"), the day from which
// it stands, and what changed with it. An empty Date says that it is open: changes still gather in it.
type Ruleset struct {
	Number  string          `json:"number"`
	Date    string          `json:"date,omitempty"` // YYYY-MM-DD; empty: open
	Changes []RulesetChange `json:"changes"`
}

// RulesetChange is one thing that a rule set changed, and for whom.
type RulesetChange struct {
	What string `json:"what"`
	Whom string `json:"whom"`
}

// Ruleset is the newest rule set, the one that this program judges by.
func (t *Tables) Ruleset() Ruleset { return t.Rulesets[len(t.Rulesets)-1] }

// OpenRuleset is the number of the rule set in which changes gather, empty when none is open.
func (t *Tables) OpenRuleset() string {
	if newest := t.Ruleset(); newest.Date == "" {
		return newest.Number
	}
	return ""
}

// loadHistory reads the history of rule sets, oldest first: one row a change. Only the newest may be open, and dates do
// not fall.
func (l *loader) loadHistory() error {
	err := l.eachRow(table.HistoryFile, []string{"number", "date", "what", "whom"}, func(r *table.Row) {
		number, date := r.Text("number"), r.Text("date")
		change := RulesetChange{What: r.Text("what"), Whom: r.Text("whom")}
		if number == "" || change.What == "" || change.Whom == "" {
			r.Fail(errors.New("a row needs a number, what changed and for whom"))
		}
		if _, err := time.Parse(time.DateOnly, date); date != "" && err != nil {
			r.Fail(fmt.Errorf("date %q is not YYYY-MM-DD", date))
		}
		sets := l.tables.Rulesets
		if n := len(sets); n > 0 && sets[n-1].Number == number {
			if sets[n-1].Date != date {
				r.Fail(fmt.Errorf("rule set %s has two dates", number))
			}
			sets[n-1].Changes = append(sets[n-1].Changes, change)
			return
		} else if n > 0 && (sets[n-1].Date == "" || date != "" && date < sets[n-1].Date) {
			r.Fail(fmt.Errorf("rule set %s follows on one that is open or later", number))
		}
		if slices.ContainsFunc(sets, func(s Ruleset) bool { return s.Number == number }) {
			r.Fail(fmt.Errorf("the rows of rule set %s do not stand together", number))
		}
		l.tables.Rulesets = append(sets, Ruleset{Number: number, Date: date, Changes: []RulesetChange{change}})
	})
	if err == nil && len(l.tables.Rulesets) == 0 {
		return errors.New("read rulesets.csv: no rule set")
	}
	return err
}
