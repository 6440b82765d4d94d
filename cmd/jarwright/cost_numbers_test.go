package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"jarwright/schemas"
)

// The cost gate: no body of any operation costs more than the issue allows, and no cost grows faster than the body. What is sent is
// generated: each member of each schema, filled with each text of a list of repetitions, at one, two, four and eight times the length.
//
//	go test ./cmd/jarwright -run CostGate                  the texts of the issue, in seconds
//	go test ./cmd/jarwright -run CostGate -args -cost      every text in every form of answer, in minutes

// extremes are numbers at the ends of what JSON, float64 and the schemas know.
var extremes = []string{
	"0", "5e-324", "1e-320", "1e-300", "1e-9", "0.001", "1", "1000", "1e6", "1e9", "1e15", "1e300", "1.7976931348623157e308", "-1",
	"-1e300",
}

// TestCostGateNumbers puts extreme numbers, in every unit, wherever a number may stand.
func TestCostGateNumbers(t *testing.T) {
	for _, o := range operations(t) {
		if o.every > 5 || o.schema == schemas.RecipeLDName {
			continue // the numbers are read once, however the answer is written
		}
		t.Run(o.name, func(t *testing.T) {
			p := gatedService(t)
			w := &walker{t: t, files: map[string]map[string]any{}}
			tried := 0
			for base := range o.bases {
				for _, in := range membersOf(t, o.schema) {
					if !in.isNumber() {
						continue
					}
					for _, unit := range unitsBeside(w, in) {
						for _, value := range extremes {
							if unit != "" && !*cost && tried%7 != 0 {
								tried++
								continue
							}
							tried++
							f := filling{in: in, most: mostBody, value: func(int) any { return json.Number(value) }}
							body := w.fill(o.bases[base], f)
							if unit != "" {
								body = bytes.ReplaceAll(body, []byte(`"unit":"`+firstUnit(w, in)+`","value":`+value), []byte(`"unit":"`+unit+`","value":`+value))
							}
							l := o.letter
							l.body = body
							g := growing{name: fmt.Sprintf("%s %s %s in base %d", in, value, unit, base), letter: l, most: o.most}
							if !p.alive() {
								p = gatedService(t)
							}
							if s, good := g.once(t, p); !good && s.Status != http.StatusInternalServerError {
								p.kill() // what is still being worked on is not to count for the next
							}
						}
					}
				}
			}
			t.Logf("%d numbers", tried)
			if p.alive() {
				p.stop(t)
			}
		})
	}
}

// unitsBeside are the units that a number may have, or one that is none.
func unitsBeside(w *walker, in member) []string {
	rule := unitRule(w, in)
	if rule == nil {
		return []string{""}
	}
	var all []string
	for _, each := range rule["enum"].([]any) {
		if text, ok := each.(string); ok && (*cost || len(all) < 4) {
			all = append(all, text)
		}
	}
	return all
}

func unitRule(w *walker, in member) map[string]any {
	if len(in.path) < 2 || in.path[len(in.path)-1].name != "value" {
		return nil
	}
	parent := in.path[len(in.path)-2].rule
	properties, _ := parent["properties"].(map[string]any)
	unit, ok := properties["unit"].(map[string]any)
	if !ok {
		return nil
	}
	file, _ := parent["in file"].(string)
	rule := w.resolve(file, unit)
	if rule["enum"] == nil {
		return nil
	}
	return rule
}

// firstUnit is the unit that a filled document has there.
func firstUnit(w *walker, in member) string {
	parent := in.path[len(in.path)-2].rule
	if sample, ok := w.sample(parent, false).(map[string]any); ok {
		if unit, ok := sample["unit"].(string); ok {
			return unit
		}
	}
	return ""
}
