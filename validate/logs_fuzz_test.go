package validate

import (
	"encoding/json"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/validate/budget/meter"
	"jarwright/validate/report"
)

// FuzzLog puts arbitrary bytes in place of the record of a canning day, and of the moment of the question.
func FuzzLog(f *testing.F) {
	for _, l := range dayLogs(f) {
		var request struct {
			Batch json.RawMessage `json:"batch"`
			AsOf  string          `json:"as_of"`
		}
		if err := json.Unmarshal(l.body, &request); err != nil {
			f.Fatal(err)
		}
		f.Add([]byte(request.Batch), request.AsOf)
	}
	var base map[string]json.RawMessage
	if err := json.Unmarshal(readFile(f, "examples", "canning-day.json"), &base); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, log []byte, asOf string) {
		if !json.Valid(log) {
			return
		}
		base := map[string]json.RawMessage{"recipe": base["recipe"], "batch": log}
		if asOf != "" {
			text, err := json.Marshal(asOf)
			if err != nil {
				t.Fatal(err)
			}
			base["as_of"] = text
		}
		body, err := json.Marshal(base)
		if err != nil {
			t.Fatal(err)
		}
		var r report.Report
		var ok bool
		meter.Within(t, 50*time.Millisecond, func() { r, ok = answer(body) })
		if !ok {
			return
		}
		for _, j := range r.Jars {
			if j.Disposition == report.Shelf && len(j.Because) == 0 {
				t.Errorf("jar %q is fit for the shelf on no evidence: %s", j.ID, body)
			}
		}
		if err := report.Text(io.Discard, r); err != nil {
			t.Error(err)
		}
		if err := report.Markdown(io.Discard, r); err != nil {
			t.Error(err)
		}
	})
}

// edited makes a few changes to a log that keep it JSON: each pair of bytes picks a place and what is done there. Places go
// missing, stand twice, or take the value of another place of the same name.
func edited(value any, edits []byte) any {
	for len(edits) >= 3 {
		at, other, deed := int(edits[0]), int(edits[1]), edits[2]%3
		edits = edits[3:]
		all := places(value, "")
		slices.Sort(all)
		if len(all) == 0 {
			return value
		}
		at = (at*251 + other) % len(all)
		pointer := all[at]
		parent, last := parentOf(value, pointer)
		switch p := parent.(type) {
		case map[string]any:
			if deed == 0 {
				delete(p, last)
				continue
			}
			for k := range all { // the value of the next place of the same name
				twin := all[(at+1+other+k)%len(all)]
				if holder, name := parentOf(value, twin); name == last {
					if members, isObject := holder.(map[string]any); isObject {
						p[last] = copied(members[name])
						break
					}
				}
			}
		case []any:
			index, _ := strconv.Atoi(last)
			if deed == 0 {
				p[index] = copied(p[other%len(p)])
				continue
			}
			swap := other % len(p)
			p[index], p[swap] = p[swap], p[index]
		}
	}
	return value
}

// parentOf finds what holds the place that a pointer names, and the name of the place there.
func parentOf(value any, pointer string) (any, string) {
	tokens := strings.Split(pointer, "/")[1:]
	for _, token := range tokens[:len(tokens)-1] {
		switch v := value.(type) {
		case map[string]any:
			value = v[token]
		case []any:
			index, _ := strconv.Atoi(token)
			value = v[index]
		}
	}
	return value, tokens[len(tokens)-1]
}

func copied(value any) any {
	text, err := json.Marshal(value)
	if err != nil {
		panic(err)
	}
	var again any
	if err := json.Unmarshal(text, &again); err != nil {
		panic(err)
	}
	return again
}

// FuzzLogEdited edits logs that are well-formed. It keeps to what holds for all: no panic, and a jar on the shelf has the
// evidence for it in the log.
func FuzzLogEdited(f *testing.F) {
	logs := dayLogs(f)
	for i := range logs {
		f.Add(uint(i), []byte{byte(i), 3, 1, byte(7 * i), 5, 0, 200, byte(i), 2})
	}
	f.Fuzz(func(t *testing.T, which uint, edits []byte) {
		var value map[string]any
		if err := json.Unmarshal(logs[which%uint(len(logs))].body, &value); err != nil {
			t.Fatal(err)
		}
		if len(edits) > 60 {
			edits = edits[:60]
		}
		value["batch"] = edited(value["batch"], edits)
		body, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		var r report.Report
		var ok bool
		meter.Within(t, 50*time.Millisecond, func() { r, ok = answer(body) })
		if !ok {
			return
		}
		holdsTogether(t, "an edited log", r)
		log := value["batch"].(map[string]any)
		for _, j := range r.Jars {
			if j.Disposition == report.Shelf && (log["packed_at"] == nil || log["events"] == nil || !strings.Contains(string(body), `"seal_checks"`)) {
				t.Errorf("jar %q is fit for the shelf on no evidence: %s", j.ID, body)
			}
		}
		for _, render := range []func(io.Writer, report.Report) error{report.Text, report.Markdown} {
			if err := render(io.Discard, r); err != nil {
				t.Error(err)
			}
		}
	})
}
