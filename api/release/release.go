// Package release holds the papers of the program: which build it is, what it is made of, and under which licenses. It judges
// nothing and knows no recipe.
package release

import (
	"bytes"
	_ "embed"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
)

// Kinds of parts, which are also the types of their package URLs (purl-spec, "Known types").
const (
	KindGo  = "golang" // a module that is linked into the program
	KindNPM = "npm"    // a package that is part of the API page
)

// StandardLibrary is the name of the part that comes with the compiler. Its version is that of the compiler.
const StandardLibrary = "std"

// Part is something that others made and that is shipped within the program.
type Part struct {
	Kind    string `json:"kind"`
	Name    string `json:"name"`
	Version string `json:"version,omitempty"` // empty where its publisher does not say it
	License string `json:"license"`           // SPDX expression
	Within  string `json:"within,omitempty"`  // name of the part that was shipped with it inside
}

//go:embed parts.json
var listed []byte

//go:embed notices.txt
var notices []byte

// Notices are the names and licenses of all parts as one text for people, made by cmd/generate.
func Notices() []byte { return bytes.Clone(notices) }

// Parts are all parts in the order of the notices: modules, then what the API page is made of. It fails when the list is no list.
func Parts() ([]Part, error) {
	var parts []Part
	if err := json.Unmarshal(listed, &parts); err != nil {
		return nil, fmt.Errorf("read the list of parts: %w", err)
	}
	return parts, nil
}

// Licenses is one SPDX expression for all parts: each of their licenses once, in the order of letters. Where a part offers a choice,
// the choice is kept.
func Licenses(parts []Part) string {
	var all []string
	for _, part := range parts {
		for each := range strings.SplitSeq(part.License, " AND ") {
			if strings.Contains(each, " OR ") {
				each = "(" + each + ")"
			}
			if !slices.Contains(all, each) {
				all = append(all, each)
			}
		}
	}
	slices.Sort(all)
	return strings.Join(all, " AND ")
}

// revision is set by the linker, where the build knows the commit and the compiler does not, as in a container:
// -ldflags '-X jarwright/api/release.revision=…'. It ends with modifiedMark when the files were not those of the commit.
var revision string

const (
	modifiedMark    = "+modified"
	unknownRevision = "unknown"
)

// Build says which build this program is.
type Build struct {
	Version  string `json:"version"`  // of the API, info.version of the OpenAPI document
	Revision string `json:"revision"` // commit of the sources, "unknown" where nothing recorded it
	Modified bool   `json:"modified"` // whether the sources differed from that commit
	Ruleset  string `json:"ruleset"`  // newest rule set, as meta.ruleset of a report
	Go       string `json:"go"`       // version of the compiler
}

// Commit is the revision as one word, with a mark where the sources differed from it.
func (b Build) Commit() string {
	if b.Modified {
		return b.Revision + modifiedMark
	}
	return b.Revision
}

// ReadBuild tells of this program. What the linker was told counts before what the compiler saw.
func ReadBuild(version, ruleset string) Build {
	var settings []debug.BuildSetting
	if info, ok := debug.ReadBuildInfo(); ok {
		settings = info.Settings
	}
	return build(Build{Version: version, Ruleset: ruleset, Go: runtime.Version()}, revision, settings)
}

func build(b Build, told string, settings []debug.BuildSetting) Build {
	if told != "" {
		b.Revision, b.Modified = strings.CutSuffix(told, modifiedMark)
	} else {
		for _, setting := range settings {
			switch setting.Key {
			case "vcs.revision":
				b.Revision = setting.Value
			case "vcs.modified":
				b.Modified = setting.Value == "true"
			}
		}
	}
	if b.Revision == "" {
		b.Revision, b.Modified = unknownRevision, false
	}
	return b
}
