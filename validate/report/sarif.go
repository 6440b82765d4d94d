package report

import (
	"io"
	"strings"

	"jarwright/validate/plaintext"
)

// SARIFSchema is the published schema that SARIF output names and holds to (OASIS, SARIF 2.1.0).
const SARIFSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// Judged is a report on one document of many.
type Judged struct {
	URI    string // of the document, relative or absolute; empty where it has none
	Report *Report
}

// SARIF writes reports as one run of a SARIF 2.1.0 log. Places are logical locations: the JSON Pointer into the request. A
// fix is a JSON Patch in the property bag, because a request has no text that an edit could count on. A rule that could not
// be judged is of the kind "open", which the standard wants with the level "none".
func SARIF(w io.Writer, judged []Judged) error { return writeSARIF(w, judged, nil) }

// BrokenOffSARIF writes the reports that were finished when a signal, such as SIGINT, ended the run with an exit code. The log
// says that the run was not successful.
func BrokenOffSARIF(w io.Writer, judged []Judged, signal string, exitCode int) error {
	return writeSARIF(w, judged, []sarifInvocation{{ExitSignalName: signal, ExitCode: exitCode}})
}

func writeSARIF(w io.Writer, judged []Judged, invocations []sarifInvocation) error {
	run := sarifRun{
		Tool: sarifTool{Driver: sarifDriver{Name: "jarwright", Rules: []sarifRule{}}}, Invocations: invocations, Results: []sarifResult{},
		ColumnKind: "unicodeCodePoints",
	}
	seen := map[string]int{}
	for _, each := range judged {
		run.Tool.Driver.Version = each.Report.Meta.Ruleset
		for i := range each.Report.Findings {
			finding := &each.Report.Findings[i]
			index, known := seen[finding.Rule]
			if !known {
				index = len(run.Tool.Driver.Rules)
				seen[finding.Rule] = index
				run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, sarifRule{
					ID: finding.Rule, Help: sarifWords(finding.Remedy), Configuration: sarifConfiguration{Level: sarifLevel(finding.Severity)},
				})
			}
			run.Results = append(run.Results, sarifOf(each.URI, index, finding))
		}
	}
	return Encode(w, sarifLog{Schema: SARIFSchema, Version: "2.1.0", Runs: []sarifRun{run}})
}

// sarifWords is a text of a log. A viewer would make links of square brackets and look for arguments in braces (SARIF 2.1.0,
// 3.11.5 and 3.11.6).
func sarifWords(text string) sarifText {
	return sarifText{sarifSigns.Replace(plaintext.Text(text))}
}

var sarifSigns = strings.NewReplacer(`\`, `\\`, "[", `\[`, "]", `\]`, "{", "{{", "}", "}}", "\n", " ")

func sarifLevel(severity Severity) string {
	switch severity {
	case Error:
		return "error"
	case Warning:
		return "warning"
	}
	return "note"
}

func sarifOf(uri string, index int, finding *Finding) sarifResult {
	result := sarifResult{
		RuleID: finding.Rule, RuleIndex: index, Kind: "fail", Level: sarifLevel(finding.Severity), Message: sarifWords(finding.Message + " " + finding.Remedy),
		Locations:    []sarifLocation{{Logical: []sarifLogical{{Name: finding.At, Kind: "element"}}}},
		Fingerprints: map[string]string{"ruleAndPlace/v1": finding.Rule + " " + finding.At},
		Properties:   sarifProperties{Hazard: finding.Hazard, Severity: finding.Severity, Outcome: finding.Outcome, Patch: finding.Fix},
	}
	if uri != "" {
		result.Locations[0].Physical = &sarifPhysical{Artifact: sarifArtifact{URI: uri}}
	}
	if finding.Outcome == Undetermined {
		result.Kind, result.Level = "open", "none"
	}
	return result
}

// The part of the SARIF object model that is used here.
type (
	sarifLog struct {
		Schema  string     `json:"$schema"`
		Version string     `json:"version"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct {
		Tool        sarifTool         `json:"tool"`
		Invocations []sarifInvocation `json:"invocations,omitempty"`
		Results     []sarifResult     `json:"results"`
		ColumnKind  string            `json:"columnKind"`
	}
	sarifInvocation struct {
		Successful     bool   `json:"executionSuccessful"`
		ExitCode       int    `json:"exitCode"`
		ExitSignalName string `json:"exitSignalName"`
	}
	sarifTool struct {
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct {
		Name    string      `json:"name"`
		Version string      `json:"version,omitempty"`
		Rules   []sarifRule `json:"rules"`
	}
	sarifRule struct {
		ID            string             `json:"id"`
		Help          sarifText          `json:"help"`
		Configuration sarifConfiguration `json:"defaultConfiguration"`
	}
	sarifConfiguration struct {
		Level string `json:"level"`
	}
	sarifText struct {
		Text string `json:"text"`
	}
	sarifResult struct {
		RuleID       string            `json:"ruleId"`
		RuleIndex    int               `json:"ruleIndex"`
		Kind         string            `json:"kind"`
		Level        string            `json:"level"`
		Message      sarifText         `json:"message"`
		Locations    []sarifLocation   `json:"locations"`
		Fingerprints map[string]string `json:"partialFingerprints"`
		Properties   sarifProperties   `json:"properties"`
	}
	sarifLocation struct {
		Physical *sarifPhysical `json:"physicalLocation,omitempty"`
		Logical  []sarifLogical `json:"logicalLocations"`
	}
	sarifPhysical struct {
		Artifact sarifArtifact `json:"artifactLocation"`
	}
	sarifArtifact struct {
		URI string `json:"uri"`
	}
	sarifLogical struct {
		Name string `json:"fullyQualifiedName"`
		Kind string `json:"kind"`
	}
	sarifProperties struct {
		Hazard   Hazard      `json:"hazard"`
		Severity Severity    `json:"severity"`
		Outcome  Outcome     `json:"outcome"`
		Patch    []Operation `json:"patch,omitempty"`
	}
)
