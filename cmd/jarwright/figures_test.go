package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// figuresOf says that the figures of the attacks are kept, as those of the program before or after they were mended:
//
//	go test ./cmd/jarwright -run 'Hostile|Crowds|CommandLine' -args -cost -figures after
var figuresOf = flag.String("figures", "", "write the figures of the attacks as those of: before, or after")

const figuresFolder = "../../testdata/cost"

// figure is what one attack came to.
type figure struct {
	Name   string
	Body   int // bytes sent
	CPU    time.Duration
	Peak   int64
	Left   int64 // bytes resident more than before, afterwards
	Answer int64
	Status string
	Honest string // how honest clients fared beside it
}

func newFigure(name string, body int, got spent) figure {
	f := figure{Name: name, Body: body, CPU: got.CPU, Peak: got.Peak, Answer: got.Answer, Status: fmt.Sprint(got.Status)}
	if got.Failed != "" {
		f.Status = got.Failed
	}
	return f
}

func (f *figure) beside(c *crowd) {
	f.Honest = fmt.Sprintf("%d of %d, p99 %s, health ≤ %s", len(c.times), c.Asked, milliseconds(c.P99), milliseconds(c.Health))
	if c.HealthLost > 0 {
		f.Honest += fmt.Sprintf(", %d times none", c.HealthLost)
	}
}

func milliseconds(d time.Duration) string {
	if d >= time.Second {
		return fmt.Sprintf("%.1f s", d.Seconds())
	}
	return fmt.Sprintf("%.1f ms", float64(d)/float64(time.Millisecond))
}

func size(bytes int64) string {
	switch {
	case bytes >= 10<<20:
		return fmt.Sprintf("%d MiB", bytes>>20)
	case bytes >= 1<<20:
		return fmt.Sprintf("%.1f MiB", float64(bytes)/(1<<20))
	case bytes >= 10<<10:
		return fmt.Sprintf("%d KiB", bytes>>10)
	}
	return fmt.Sprintf("%d B", bytes)
}

var figures struct {
	mutex sync.Mutex
	all   []figure
}

func record(f figure) {
	figures.mutex.Lock()
	defer figures.mutex.Unlock()
	figures.all = append(figures.all, f)
	if *figuresOf != "" {
		if err := writeFigures(*figuresOf, figures.all); err != nil {
			panic(err)
		}
	}
}

// writeFigures keeps the figures of one state and draws the table of both. What was not measured this time stays as it was.
func writeFigures(of string, measured []figure) error {
	known := map[string][]figure{}
	for _, each := range []string{"before", "after"} {
		text, err := os.ReadFile(filepath.Join(figuresFolder, each+".json"))
		if err != nil {
			continue // there are none yet
		}
		var all []figure
		if err := json.Unmarshal(text, &all); err != nil {
			return err
		}
		known[each] = all
	}
	for _, each := range measured {
		at := slices.IndexFunc(known[of], func(f figure) bool { return f.Name == each.Name })
		if at < 0 {
			known[of] = append(known[of], each)
			continue
		}
		known[of][at] = each
	}
	text, err := json.MarshalIndent(known[of], "", "  ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(figuresFolder, of+".json"), append(text, '\n'), 0o600); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(figuresFolder, "ATTACKS.md"), []byte(tableOfAttacks(known["before"], known["after"])), 0o600)
}

const attacksHead = `# What the attacks cost, before and after they were bounded

Written by ` + "`go test ./cmd/jarwright -run 'Hostile|Crowds|CommandLine' -args -cost -figures after`" + `, which measures the real program from
outside: processor time of all its threads, the most bytes resident above those before and what was left of them, the bytes of the
answer, and how honest clients at other addresses fared beside four clients that repeat the attack (answered of asked, the slowest
hundredth, the slowest answer to /healthz on either port). The limits: 50 ms of processor time a body of at most 256 KiB (100 ms for a
draft), 16 MiB of answer, health within a second. Two cores, shared with other work; times of honest
clients are for orientation. Before: commit 6403cee, 10 s of patience, 4 GB
of address space.

| attack | body | CPU before | after | resident before | after | answer before | after | honest clients before | after |
|---|---:|---:|---:|---:|---:|---:|---:|---|---|
`

func tableOfAttacks(before, after []figure) string {
	var out strings.Builder
	out.WriteString(attacksHead)
	of := func(all []figure, name string) figure {
		if at := slices.IndexFunc(all, func(f figure) bool { return f.Name == name }); at >= 0 {
			return all[at]
		}
		return figure{Name: ""}
	}
	var names []string
	for _, each := range slices.Concat(before, after) {
		if !slices.Contains(names, each.Name) {
			names = append(names, each.Name)
		}
	}
	for _, name := range names {
		b, a := of(before, name), of(after, name)
		cells := []string{name, size(int64(max(a.Body, b.Body)))}
		for _, f := range []func(figure) string{
			func(f figure) string { return milliseconds(f.CPU) },
			func(f figure) string { return "+" + size(f.Peak) + ", then +" + size(f.Left) },
			func(f figure) string { return size(f.Answer) + " (" + f.Status + ")" },
			func(f figure) string { return f.Honest },
		} {
			for _, each := range []figure{b, a} {
				if each.Name == "" {
					cells = append(cells, "–")
					continue
				}
				cells = append(cells, f(each))
			}
		}
		out.WriteString("| " + strings.ReplaceAll(strings.Join(cells, " | "), "<", "&lt;") + " |\n")
	}
	return out.String()
}
