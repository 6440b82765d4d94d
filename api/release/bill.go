package release

import (
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"net/url"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// The bill of materials follows CycloneDX 1.6 (ECMA-424). It has no serial number and no time: the same build gives the same bytes.
const (
	billFormat  = "CycloneDX"
	billVersion = "1.6"
)

type bill struct {
	Format       string       `json:"bomFormat"`
	Spec         string       `json:"specVersion"`
	Version      int          `json:"version"`
	Metadata     metadata     `json:"metadata"`
	Components   []component  `json:"components"`
	Dependencies []dependency `json:"dependencies"`
}

type metadata struct {
	Component component `json:"component"`
}

type component struct {
	Type       string      `json:"type"`
	Ref        string      `json:"bom-ref"`
	Name       string      `json:"name"`
	Version    string      `json:"version,omitempty"`
	Licenses   []licensed  `json:"licenses,omitempty"`
	PURL       string      `json:"purl,omitempty"`
	Properties []property  `json:"properties,omitempty"`
	Components []component `json:"components,omitempty"`
}

type licensed struct {
	Expression string `json:"expression"`
}

type property struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

type dependency struct {
	Ref     string   `json:"ref"`
	Depends []string `json:"dependsOn,omitempty"`
}

// Bill is the bill of materials of this program as CycloneDX JSON: each module that the compiler linked into it, the standard
// library, and what the API page is made of. It fails where the compiler recorded no modules, or where a module has no entry in
// the list of parts, so that no bill is incomplete without saying so.
func Bill(of Build) ([]byte, error) {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return nil, fmt.Errorf("list the modules of the program: the build recorded none")
	}
	parts, err := Parts()
	if err != nil {
		return nil, err
	}
	return newBill(of, info.Deps, parts)
}

func newBill(of Build, modules []*debug.Module, parts []Part) ([]byte, error) {
	program := component{
		Type: "application", Ref: "jarwright", Name: "jarwright", Version: of.Version,
		Properties: []property{{"jarwright:revision", of.Commit()}, {"jarwright:ruleset", of.Ruleset}},
	}
	library := &debug.Module{Path: StandardLibrary, Version: of.Go}
	var components []component
	for _, module := range append([]*debug.Module{library}, modules...) {
		if module.Replace != nil {
			module = module.Replace
		}
		each, err := moduleComponent(module, parts)
		if err != nil {
			return nil, err
		}
		components = append(components, each)
	}
	components = append(components, pageComponents(parts, "")...)
	root := dependency{Ref: program.Ref}
	for i := range components {
		root.Depends = append(root.Depends, components[i].Ref)
	}
	whole := bill{
		Format: billFormat, Spec: billVersion, Version: 1, Metadata: metadata{Component: program},
		Components: components, Dependencies: []dependency{root},
	}
	encoded, err := json.Marshal(whole, jsontext.WithIndent(" "))
	if err != nil {
		return nil, fmt.Errorf("encode the bill of materials: %w", err)
	}
	return append(encoded, '\n'), nil
}

// moduleComponent tells of a module in the version that was linked, with its checksum as go.sum has it.
func moduleComponent(module *debug.Module, parts []Part) (component, error) {
	at := slices.IndexFunc(parts, func(p Part) bool { return p.Kind == KindGo && p.Name == module.Path })
	if at < 0 {
		return component{}, fmt.Errorf("the module %s has no entry in the list of parts: run go run ./cmd/generate", module.Path)
	}
	purl := packageURL(KindGo, module.Path, module.Version)
	made := component{
		Type: "library", Ref: purl, Name: module.Path, Version: module.Version, PURL: purl, Licenses: []licensed{{parts[at].License}},
	}
	if sum, found := strings.CutPrefix(module.Sum, "h1:"); found {
		// The sum of go.sum is a hash over the files of the module, not over one file, so that it is no hash of CycloneDX.
		digest, err := base64.StdEncoding.DecodeString(sum)
		if err != nil {
			return component{}, fmt.Errorf("read the checksum of %s: %w", module.Path, err)
		}
		made.Properties = []property{{"jarwright:go-sum-h1", hex.EncodeToString(digest)}}
	}
	return made, nil
}

// pageComponents are the packages of the API page that were shipped within another one, or on their own.
func pageComponents(parts []Part, within string) []component {
	var components []component
	for _, part := range parts {
		if part.Kind != KindNPM || part.Within != within {
			continue
		}
		purl := packageURL(KindNPM, part.Name, part.Version)
		components = append(components, component{
			Type: "library", Ref: purl, Name: part.Name, Version: part.Version, PURL: purl,
			Licenses: []licensed{{part.License}}, Components: pageComponents(parts, part.Name),
		})
	}
	return components
}

// packageURL names a package as a package URL (purl-spec): each segment escaped, the version behind an @ where it is known.
func packageURL(kind, name, version string) string {
	segments := strings.Split(name, "/")
	for i, segment := range segments {
		segments[i] = strings.ReplaceAll(url.PathEscape(segment), "@", "%40")
	}
	purl := "pkg:" + kind + "/" + strings.Join(segments, "/")
	if version != "" {
		purl += "@" + strings.ReplaceAll(url.PathEscape(version), "+", "%2B")
	}
	return purl
}
