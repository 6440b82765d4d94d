package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	jsonpatch "github.com/evanphx/json-patch/v5"

	"jarwright/validate"
	"jarwright/validate/catalog"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/table"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// The lock on verdicts: what is answered to every document of the project, and the hash of every table. Neither changes
// unless a rule set is open that says so.
const (
	verdictsFile = "testdata/lock/verdicts.tsv"
	tablesFile   = "testdata/lock/tables.tsv"
)

// lockedDocument is a request whose verdict is held.
type lockedDocument struct {
	name string
	body []byte
}

// A letter for each outcome of a rule in the lock.
var outcomeLetters = map[report.Outcome]string{
	report.Pass: "p", report.Fail: "F", report.NotApplicable: ".", report.Undetermined: "u",
}

// verdicts answers every document and writes a line for each: disposition, disposition of each jar, outcome of every
// rule in the order of the first line, the places of the findings, and a hash of what they advise.
func verdicts(checker *validate.Checker, documents []lockedDocument) ([]byte, error) {
	var ids []string
	for _, r := range checker.Rules() {
		ids = append(ids, r.ID)
	}
	slices.Sort(ids)
	var out bytes.Buffer
	fmt.Fprintf(&out, "document\tdisposition\tjars\t%s\tfindings\tadvice\n", strings.Join(ids, " "))
	for _, d := range documents {
		judged, problem := checker.Check(nil, d.body, report.Options{})
		if problem != nil {
			return nil, fmt.Errorf("judge %s: not a request: %s", d.name, problem.Detail)
		}
		cells, err := verdictOf(d.name, &judged, ids)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&out, "%s\n", strings.Join(cells, "\t"))
	}
	return out.Bytes(), nil
}

func verdictOf(name string, r *report.Report, ids []string) ([]string, error) {
	outcomes := map[string]string{}
	for _, o := range r.Rules {
		outcomes[o.Rule] = outcomeLetters[o.Outcome]
	}
	var letters strings.Builder
	for _, id := range ids {
		letters.WriteString(outcomes[id])
	}
	var jars, findings []string
	for _, jar := range r.Jars {
		jars = append(jars, jar.ID+"="+string(jar.Disposition))
	}
	for i := range r.Findings {
		findings = append(findings, r.Findings[i].Rule+"@"+r.Findings[i].At)
	}
	advice, err := adviceHash(r)
	if err != nil {
		return nil, fmt.Errorf("hash the advice on %s: %w", name, err)
	}
	return []string{name, string(r.Disposition), strings.Join(jars, " "), letters.String(), strings.Join(findings, " "), advice}, nil
}

// adviceHash stands for what the findings say and do: their words, figures, remedies and fixes, and what becomes of each jar
// by when.
func adviceHash(r *report.Report) (string, error) {
	const digits = 8 // enough to tell a change, short enough to read
	text, err := json.Marshal(struct {
		Findings []report.Finding
		Jars     []report.Jar
	}{r.Findings, r.Jars}, json.Deterministic(true))
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])[:digits], nil
}

// lockedDocuments lists every document of the project: each tested recipe in each of its packs and jars at every band
// and with small changes at the edges of what is allowed, the corpus, the rule cases, the canning days and the examples.
func lockedDocuments(top string, tables *catalog.Tables) ([]lockedDocument, error) {
	documents, err := followed(tables)
	if err != nil {
		return nil, err
	}
	atEdges, err := edgeDocuments(tables)
	if err != nil {
		return nil, err
	}
	documents = append(documents, atEdges...)
	for _, folder := range []string{"testdata/corpus", "examples"} {
		names, err := filepath.Glob(filepath.Join(top, folder, "*.json"))
		if err != nil {
			return nil, fmt.Errorf("list %s: %w", folder, err)
		}
		for _, name := range names {
			body, err := os.ReadFile(name)
			if err != nil {
				return nil, fmt.Errorf("read a document: %w", err)
			}
			documents = append(documents, lockedDocument{folder + "/" + filepath.Base(name), body})
		}
	}
	for _, pattern := range []string{"testdata/rules/*/*.json", "testdata/batch/*.json"} {
		names, err := filepath.Glob(filepath.Join(top, pattern))
		if err != nil {
			return nil, fmt.Errorf("list %s: %w", pattern, err)
		}
		for _, name := range names {
			document, err := patchedDocument(top, name)
			if err != nil {
				return nil, err
			}
			documents = append(documents, document)
		}
	}
	return documents, nil
}

// patchedDocument reads a case: a document of the project and what is changed in it (RFC 6902).
func patchedDocument(top, name string) (lockedDocument, error) {
	inside, err := filepath.Rel(top, name)
	if err != nil {
		return lockedDocument{}, fmt.Errorf("name of a case: %w", err)
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return lockedDocument{}, fmt.Errorf("read a case: %w", err)
	}
	var c struct {
		Base  string         `json:"base"`
		Patch jsontext.Value `json:"patch"`
	}
	if err := json.Unmarshal(text, &c); err != nil {
		return lockedDocument{}, fmt.Errorf("read %s: %w", inside, err)
	}
	body, err := os.ReadFile(filepath.Join(top, filepath.FromSlash(c.Base)))
	if err != nil {
		return lockedDocument{}, fmt.Errorf("read the base of %s: %w", inside, err)
	}
	if len(c.Patch) > 0 {
		patch, err := jsonpatch.DecodePatch(c.Patch)
		if err != nil {
			return lockedDocument{}, fmt.Errorf("read the patch of %s: %w", inside, err)
		}
		if body, err = patch.Apply(body); err != nil {
			return lockedDocument{}, fmt.Errorf("patch %s: %w", inside, err)
		}
	}
	return lockedDocument{filepath.ToSlash(inside), body}, nil
}

// followed writes every tested recipe as a cook follows it, in each pack and jar, at the highest elevation of each band.
func followed(tables *catalog.Tables) ([]lockedDocument, error) {
	const aboveTheLast = 10_000 // feet; every open band reaches it
	var documents []lockedDocument
	for i := range tables.Recipes {
		recipe := &tables.Recipes[i]
		for pack := range recipe.Packs {
			for _, jar := range recipe.Packs[pack].Jars {
				edges := []float64{0, aboveTheLast}
				for _, row := range follow.Schedules(tables, recipe, pack, jar) {
					for _, band := range row.Bands {
						edges = append(edges, band.ToFt)
						if band.FromFt > 0 {
							edges = append(edges, band.FromFt+1)
						}
					}
				}
				slices.Sort(edges)
				for _, feet := range slices.Compact(edges) {
					minutes, _ := follow.MinutesAt(tables, recipe, pack, jar, measure.Length(feet)*measure.Foot)
					request, err := follow.Request(tables, recipe, follow.Choice{Pack: pack, Jar: jar, ElevationFeet: feet, Minutes: minutes})
					if err != nil {
						return nil, fmt.Errorf("write a followed recipe: %w", err)
					}
					var body bytes.Buffer
					if err := report.Encode(&body, request); err != nil {
						return nil, fmt.Errorf("encode %s: %w", recipe.ID, err)
					}
					name := fmt.Sprintf("followed/%s/%s/%s/%.0f-ft", recipe.ID, recipe.Packs[pack].Pack, jar, feet)
					documents = append(documents, lockedDocument{name, body.Bytes()})
				}
			}
		}
	}
	return documents, nil
}

// tablesFolder holds every table that the program reads.
const tablesFolder = "validate/table"

// tableHashes writes a line for each table: its path and the SHA-256 of its bytes.
func tableHashes(top string) ([]byte, error) {
	stamps, err := table.Stamps(os.DirFS(filepath.Join(top, tablesFolder)))
	if err != nil {
		return nil, fmt.Errorf("hash the tables: %w", err)
	}
	var out bytes.Buffer
	for _, stamp := range stamps {
		fmt.Fprintf(&out, "%s\t%s\n", stamp.Name, stamp.SHA256)
	}
	return out.Bytes(), nil
}
