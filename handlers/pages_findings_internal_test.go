package handlers

import (
	"html/template"
	"strings"
	"testing"

	"jarwright/validate"
	"jarwright/validate/catalog"
	"jarwright/validate/report"
)

// findingsTemplate is what findingsHTML writes, as a template that escapes by itself.
const findingsTemplate = `{{range .}}<li class="finding is-{{if eq .Outcome "undetermined"}}unknown{{else}}{{.Severity}}{{end}}">
<p class="message">{{.Message}}</p>
<p><strong>Do:</strong> {{.Remedy}}</p>
<p class="small"><strong>Why:</strong> {{.Hazard.Words}}. <strong>Source:</strong> {{template "citations" .Sources}}. ` +
	`<strong>Rule:</strong> <a href="/docs/rules#{{.Rule}}">{{.Rule}}</a>{{with .Place}}, at {{.}}{{end}}.</p>
</li>
{{end}}`

// Findings are written as the templates would write them, whatever the sender's words hold: every sign, every rule, every
// source, every place.
func TestFindingsAreEscapedAsByTheTemplates(t *testing.T) {
	parsed, err := template.New("pages").Funcs(pageFunctions()).ParseFS(templateFiles, "templates/*.html")
	if err != nil {
		t.Fatal(err)
	}
	byTemplate := template.Must(parsed.New("findings as a template").Parse(findingsTemplate))
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	signs := &strings.Builder{}
	for sign := range rune(0x180) {
		signs.WriteRune(sign)
	}
	words := []string{signs.String(), "</li><script>alert(1)</script>", `" onload="x`, "' + '", "\xff\x00", "<!-- {{.}} -->", "漢字\u202e\u2028", "", "javascript:x"}
	places := []string{"", "/recipe", "/recipe/ingredients/0/item", "/batch/jars/3/seal_checks/1/at", "/kitchen/elevation"}
	all := []report.Finding{{Hazard: report.Quality}}
	for i, rule := range checker.Rules() {
		all = append(all, report.Finding{
			Rule: rule.ID, Severity: rule.Severity, Outcome: []report.Outcome{report.Fail, report.Undetermined}[i%2], Hazard: rule.Hazard,
			At: places[i%len(places)], Message: words[i%len(words)], Remedy: words[(i/3)%len(words)], Sources: rule.Sources,
		})
	}
	for _, source := range checker.Tables().Sources {
		all = append(all, report.Finding{Rule: "acid.published-ratio", Hazard: report.Botulism, At: places[0], Sources: []catalog.Citation{
			{Source: source.ID, Locator: words[1]}, {Source: source.ID},
		}})
	}
	for _, word := range words {
		all = append(all, report.Finding{Message: word, Remedy: word, Hazard: report.Injury, Severity: report.Info, At: "/" + word})
	}
	var want strings.Builder
	if err := byTemplate.Execute(&want, all); err != nil {
		t.Fatal(err)
	}
	if have := string(findingsHTML(all)); have != want.String() {
		at := 0
		for at < min(len(have), want.Len()) && have[at] == want.String()[at] {
			at++
		}
		t.Errorf("from %d on the findings are\n%.300q\nby the template\n%.300q", at, have[max(0, at-60):], want.String()[max(0, at-60):])
	}
}
