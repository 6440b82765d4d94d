package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"jarwright/validate"
	"jarwright/validate/table"
)

// renamesFile lists members and values of requests that were renamed: their lines of the lock change by that alone, and
// no rule set is needed.
const renamesFile = "testdata/lock/renames.csv"

// lock is what is answered to every document, and the hash of every table.
type lock struct {
	verdicts, tables []byte
}

// lockNow is the lock as the program and the tables of a folder are now.
func lockNow(top string, checker *validate.Checker) (lock, error) {
	documents, err := lockedDocuments(top, checker.Tables())
	if err != nil {
		return lock{}, err
	}
	var now lock
	if now.verdicts, err = verdicts(checker, documents); err != nil {
		return lock{}, err
	}
	now.tables, err = tableHashes(top)
	return now, err
}

// hold compares the lock with the committed one. Where they differ it tells how, and refuses unless a rule set is open, which
// the new lock then belongs to; open is its number, empty for none.
func (l lock) hold(top, open string, told io.Writer) error {
	renames, err := readRenames(top)
	if err != nil {
		return err
	}
	parts := []struct {
		file string
		now  []byte
		tell func(before, now string) []string
	}{{verdictsFile, l.verdicts, verdictChanges}, {tablesFile, l.tables, tableChanges}}
	changed := 0
	for _, part := range parts {
		before, err := os.ReadFile(filepath.Join(top, part.file))
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			return fmt.Errorf("read the lock on verdicts: %w", err)
		}
		for _, line := range part.tell(renames.Replace(string(before)), string(part.now)) {
			changed++
			fmt.Fprintln(told, line)
		}
	}
	if changed > 0 && open == "" {
		return fmt.Errorf("%d verdicts or tables changed and no rule set is open: begin one in %s/%s with an empty date, or take the change back",
			changed, tablesFolder, table.HistoryFile)
	}
	for _, part := range parts {
		if err := os.WriteFile(filepath.Join(top, part.file), part.now, 0o644); err != nil {
			return fmt.Errorf("write the lock on verdicts: %w", err)
		}
	}
	return nil
}

// readRenames reads the pairs of old and new words of the lock.
func readRenames(top string) (*strings.Replacer, error) {
	file, err := os.Open(filepath.Join(top, renamesFile))
	if errors.Is(err, os.ErrNotExist) {
		return strings.NewReplacer(), nil
	}
	if err != nil {
		return nil, fmt.Errorf("read the renames: %w", err)
	}
	defer func() { _ = file.Close() }()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("read the renames: %w", err)
	}
	var pairs []string
	for _, row := range rows[1:] {
		pairs = append(pairs, row[0], row[1])
	}
	return strings.NewReplacer(pairs...), nil
}

// lockLines reads a part of the lock: its lines by their first cell, and those cells in order.
func lockLines(text string) (byName map[string][]string, names []string) {
	byName = map[string][]string{}
	for line := range strings.Lines(text) {
		cells := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		byName[cells[0]] = cells
		names = append(names, cells[0])
	}
	return byName, names
}

// tableChanges lists the tables that are new, gone or other than before.
func tableChanges(before, now string) []string {
	return lockChanges(before, now, func(name string, _, _ []string) string { return "table " + name + " changed" })
}

// verdictChanges lists the documents that are judged otherwise than before, and which rules moved.
func verdictChanges(before, now string) []string {
	old, _ := lockLines(before)
	current, _ := lockLines(now)
	header := "document"
	oldIDs, newIDs := ruleIDs(old[header]), ruleIDs(current[header])
	return lockChanges(before, now, func(name string, was, is []string) string {
		if name == header {
			return "the columns changed: " + difference(strings.Join(was[1:], " "), strings.Join(is[1:], " "))
		}
		verdict := was[1]
		if was[1] != is[1] {
			verdict += " → " + is[1]
		}
		var because []string
		for i, id := range newIDs {
			letter, earlier := string(is[3][i]), "."
			if j := slices.Index(oldIDs, id); j >= 0 {
				earlier = string(was[3][j])
			}
			if letter != earlier {
				because = append(because, id+" "+outcomeWord(earlier)+" → "+outcomeWord(letter))
			}
		}
		for _, id := range oldIDs {
			if !slices.Contains(newIDs, id) {
				because = append(because, id+" is gone")
			}
		}
		if len(was) != len(is) {
			return name + ": " + verdict + ", written with other columns"
		}
		if was[2] != is[2] {
			because = append(because, "jars "+was[2]+" → "+is[2])
		}
		if len(because) == 0 && was[4] != is[4] {
			because = append(because, "findings "+difference(was[4], is[4]))
		}
		if len(because) == 0 {
			because = append(because, "its findings have other words, figures, remedies or fixes")
		}
		return fmt.Sprintf("%s: %s, because %s", name, verdict, strings.Join(because, "; "))
	})
}

func ruleIDs(header []string) []string {
	if len(header) < 4 {
		return nil
	}
	return strings.Fields(header[3])
}

func outcomeWord(letter string) string {
	for outcome, l := range outcomeLetters {
		if l == letter {
			return string(outcome)
		}
	}
	return "unknown"
}

// difference says which findings went and which came.
func difference(was, is string) string {
	before, now := strings.Fields(was), strings.Fields(is)
	var parts []string
	for _, finding := range before {
		if !slices.Contains(now, finding) {
			parts = append(parts, "-"+finding)
		}
	}
	for _, finding := range now {
		if !slices.Contains(before, finding) {
			parts = append(parts, "+"+finding)
		}
	}
	if len(parts) == 0 {
		return "in another order or number"
	}
	return strings.Join(parts, " ")
}

// lockChanges lists what differs between two texts of the lock, by the first cell of each line; tell puts a line that
// stands in both into words.
func lockChanges(before, now string, tell func(name string, was, is []string) string) []string {
	old, oldNames := lockLines(before)
	current, names := lockLines(now)
	var changes []string
	for _, name := range names {
		was, had := old[name]
		switch {
		case !had:
			changes = append(changes, name+" is new")
		case !slices.Equal(was, current[name]):
			changes = append(changes, tell(name, was, current[name]))
		}
	}
	for _, name := range oldNames {
		if _, have := current[name]; !have {
			changes = append(changes, name+" is gone")
		}
	}
	return changes
}
