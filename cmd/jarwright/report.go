package main

import (
	"bytes"
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/validate"
	"jarwright/validate/budget"
	requests "jarwright/validate/document"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/report"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// reportSettings are the flags of the report command.
type reportSettings struct {
	format string
	failOn string
	full   bool
}

// judger is what the report command needs of validate.Checker.
type judger interface {
	Check(b *budget.Budget, body []byte, options report.Options) (report.Report, *ingest.Problem)
	Draft(b *budget.Budget, body []byte, page, withReport bool) (draft.Draft, *ingest.Problem)
}

func newReport() *cobra.Command {
	var settings reportSettings
	command := &cobra.Command{
		Use:   "report PATH...",
		Short: "Report on recipes in files and folders",
		Long: "Report reads the documents of each file, of each folder (with the folders below it), of each pattern such as\n" +
			"'recipes/*.json', or of standard input for \"-\", and writes reports to standard output.\n\n" +
			"  .json    a request document as POST /v1/reports takes it, or a schema.org recipe\n" +
			"  .jsonld  a schema.org recipe as POST /v1/drafts takes it\n" +
			"  .html    a web page with a schema.org recipe in it\n" +
			"  .ndjson  one of the first two a line\n\n" +
			"One document gives its report. Several give a row each and one table: how many are fit for the shelf, how many\n" +
			"are on hold, and why; --full writes every report before it. With --format json each report is one line; with\n" +
			"ndjson each line also names its file, and the last line is a summary. SARIF is one log for all documents.\n" +
			"What is wrong with a file goes to standard error, as does a progress bar, which is only shown on a terminal.\n" +
			"Color is used on a terminal unless NO_COLOR is set.\n\n" +
			"Exit codes:\n" +
			"  0  every recipe is fit for the way it is to be kept; with --fail-on: no finding is that severe\n" +
			"  1  at least one recipe is not, or not yet; with --fail-on: at least one finding is. A rule that could not be\n" +
			"     judged because something is missing counts like one that failed\n" +
			"  2  at least one document could not be read, or the command itself failed",
		Example: "  jarwright report beans.json\n" +
			"  jarwright report --format markdown - < beans.json\n" +
			"  jarwright report --format sarif --fail-on error archive/ > archive.sarif",
		Args: cobra.MinimumNArgs(1),
		RunE: func(command *cobra.Command, arguments []string) error {
			checker, err := validate.New()
			if err != nil {
				return fmt.Errorf("load rules and tables: %w", err)
			}
			return reportOn(checker, arguments, settings, command.InOrStdin(), command.OutOrStdout(), command.ErrOrStderr())
		},
	}
	flags := command.Flags()
	flags.StringVar(&settings.format, "format", report.FormatText, "form of the reports, one of "+strings.Join(formatNames(), ", "))
	flags.StringVar(&settings.failOn, "fail-on", "", "end with code 1 for findings of this severity: error, or warning (which takes in errors)")
	flags.BoolVar(&settings.full, "full", false, "write the whole report on each of several documents")
	return command
}

// formatNDJSON is the one form that is no form of a single report.
const formatNDJSON = "ndjson"

// reporting is one call of the command.
type reporting struct {
	judge    judger
	settings reportSettings
	format   report.Format
	several  bool
	stdout   io.Writer
	stderr   io.Writer

	tally  tally
	judged []report.Judged // for SARIF, which is one log
	worst  int
	first  bool
	ok     int
}

// reportOn writes a report on every document. The worst document decides the exit code.
func reportOn(judge judger, arguments []string, settings reportSettings, stdin io.Reader, stdout, stderr io.Writer) error {
	format, err := formatNamed(settings.format)
	if err != nil {
		return err
	}
	if !slices.Contains([]string{"", string(report.Error), string(report.Warning)}, settings.failOn) {
		return fmt.Errorf("read --fail-on: %q is neither error nor warning", settings.failOn)
	}
	files, err := expand(arguments)
	if err != nil {
		return err
	}
	r := &reporting{
		judge: judge, settings: settings, format: format, stdout: stdout, stderr: stderr, first: true, tally: tally{reasons: map[string]int{}},
		several: len(files) > 1 || isLines(files[0]),
	}
	stream := settings.format == formatNDJSON || format.Name == report.FormatJSON || settings.full
	progress, done := newProgress(files, stdout, stderr, stream)
	defer done()
	for _, file := range files {
		if err := documents(file, stdin, progress, r.document); err != nil {
			return err
		}
	}
	done()
	if err := r.close(); err != nil {
		return err
	}
	if r.worst != exitGood {
		return exitError(r.worst)
	}
	return nil
}

// isLines tells a file of many documents.
func isLines(file string) bool { return strings.EqualFold(filepath.Ext(file), ".ndjson") }

func formatNamed(name string) (report.Format, error) {
	if name == formatNDJSON {
		return report.Format{}, nil
	}
	formats := report.WrittenFormats()
	at := slices.IndexFunc(formats, func(format report.Format) bool { return format.Name == name })
	if at < 0 {
		return report.Format{}, fmt.Errorf("read --format: %q is none of %s", name, strings.Join(formatNames(), ", "))
	}
	return formats[at], nil
}

func formatNames() []string {
	names := []string{formatNDJSON}
	for _, format := range report.WrittenFormats() {
		names = append(names, format.Name)
	}
	return names
}

// document judges one document and writes what the format wants at once.
func (r *reporting) document(d document) error {
	if d.line > 0 {
		r.several = true
	}
	if d.err != nil {
		fmt.Fprintf(r.stderr, "jarwright: %v\n", d.err)
		return r.unreadable(d, d.err.Error(), nil)
	}
	judged, keep, problem := r.judgment(d)
	if problem != nil {
		writeProblem(r.stderr, d.name, problem)
		return r.unreadable(d, problem.Title, problem)
	}
	fit := fit(keep, judged.Disposition)
	r.ok++
	r.tally.add(outcome{name: d.name, disposition: judged.Disposition, fit: fit, why: reason(&judged)}, &judged)
	if r.settings.failOn == "" && !fit || r.settings.failOn != "" && findsAt(&judged, report.Severity(r.settings.failOn)) {
		r.worst = max(r.worst, exitNotFit)
	}
	return r.write(d, &judged)
}

// findsAt tells whether a report has a finding of a severity or above.
func findsAt(judged *report.Report, least report.Severity) bool {
	return slices.ContainsFunc(judged.Findings, func(f report.Finding) bool {
		return f.Severity == report.Error || f.Severity == least
	})
}

// judgment reads a document as what it is and reports on it. It also gives how the recipe is to be kept.
func (r *reporting) judgment(d document) (judged report.Report, keep string, problem *ingest.Problem) {
	if d.page || isPublished(d) {
		drafted, problem := r.judge.Draft(nil, d.body, d.page, true)
		if problem != nil {
			return report.Report{}, "", problem
		}
		for _, note := range drafted.NotUnderstood {
			if r.several {
				break // a line for each would bury the table
			}
			fmt.Fprintf(r.stderr, "%s: %s: %s %s\n", d.name, note.At, note.What, note.Text)
		}
		return *drafted.Report, drafted.Request.Recipe.Keep, nil
	}
	judged, problem = r.judge.Check(nil, d.body, report.Options{})
	return judged, keptHow(d.body), problem
}

// isPublished tells a schema.org recipe from a request document, which has a member recipe.
func isPublished(d document) bool {
	if strings.EqualFold(filepath.Ext(d.file), ".jsonld") {
		return true
	}
	if bytes.HasPrefix(bytes.TrimSpace(d.body), []byte("[")) {
		return bytes.Contains(d.body, []byte(`"Recipe"`))
	}
	var members map[string]jsontext.Value
	if err := json.Unmarshal(d.body, &members, jsontext.AllowDuplicateNames(true)); err != nil {
		return false
	}
	_, isRequest := members["recipe"]
	_, typed := members["@type"]
	_, graph := members["@graph"]
	_, context := members["@context"]
	_, lists := members["recipeIngredient"]
	return !isRequest && (typed || graph || context || lists)
}

func keptHow(body []byte) string {
	var request struct {
		Recipe struct {
			Keep string `json:"keep"`
		} `json:"recipe"`
	}
	if err := json.Unmarshal(body, &request); err != nil {
		return ""
	}
	return request.Recipe.Keep
}

// fit says whether a disposition is as good as the way in which the recipe is to be kept. A recipe that does not say how it
// is to be kept is measured by the shelf.
func fit(keep string, disposition report.Disposition) bool {
	return disposition == report.Shelf || keep == requests.KeepRefrigerator && disposition == report.Refrigerate
}

// fileLine is a line of the NDJSON form.
type fileLine struct {
	File    string          `json:"file"`
	Line    int             `json:"line,omitempty"`
	Report  *report.Report  `json:"report,omitempty"`
	Problem *ingest.Problem `json:"problem,omitempty"`
	Error   string          `json:"error,omitempty"`
}

// fileSummary is the last line of the NDJSON form.
type fileSummary struct {
	Complete  bool `json:"complete"`
	Documents int  `json:"documents"`
	Failed    int  `json:"failed"`
	OK        int  `json:"ok"`
}

func (r *reporting) unreadable(d document, why string, problem *ingest.Problem) error {
	r.worst = exitUnreadable
	r.tally.add(outcome{name: d.name, why: why}, nil)
	if r.settings.format != formatNDJSON {
		return nil
	}
	line := fileLine{File: d.file, Line: d.line, Problem: problem}
	if problem == nil {
		line.Error = why
	}
	return report.Encode(r.stdout, line)
}

// write writes a report where the format takes reports one by one.
func (r *reporting) write(d document, judged *report.Report) error {
	switch {
	case r.settings.format == formatNDJSON:
		return report.Encode(r.stdout, fileLine{File: d.file, Line: d.line, Report: judged})
	case r.format.Name == report.FormatSARIF:
		kept := &report.Report{Findings: judged.Findings, Meta: report.Meta{Ruleset: judged.Meta.Ruleset}} // the rest is not written
		r.judged = append(r.judged, report.Judged{URI: address(d.file), Report: kept})
		return nil
	case r.several && !r.settings.full && r.format.Name != report.FormatJSON:
		return nil
	}
	if r.several && r.format.Name != report.FormatJSON {
		if !r.first {
			fmt.Fprintln(r.stdout)
		}
		r.first = false
		fmt.Fprintf(r.stdout, "%s:\n\n", d.name)
	}
	if err := r.format.Write(r.stdout, *judged); err != nil {
		return fmt.Errorf("write report on %s: %w", d.name, err)
	}
	return nil
}

// address names a file in a SARIF log: relative, as it was named.
func address(file string) string {
	if file == standardInput {
		return ""
	}
	return (&url.URL{Path: filepath.ToSlash(file)}).String()
}

// close writes what goes out once for all documents.
func (r *reporting) close() error {
	switch {
	case r.settings.format == formatNDJSON:
		return report.Encode(r.stdout, struct {
			Summary fileSummary `json:"summary"`
		}{fileSummary{Complete: true, Documents: len(r.tally.outcomes), Failed: len(r.tally.outcomes) - r.ok, OK: r.ok}})
	case r.format.Name == report.FormatSARIF:
		return report.SARIF(r.stdout, r.judged)
	case !r.several || r.format.Name == report.FormatJSON:
		return nil
	}
	if r.settings.full {
		fmt.Fprintln(r.stdout)
	}
	if r.format.Name == report.FormatMarkdown {
		return r.tally.writeMarkdown(r.stdout)
	}
	return r.tally.writeTable(r.stdout, colorful(r.stdout))
}

// writeProblem says what keeps a document from being read, one line an error.
func writeProblem(w io.Writer, file string, problem *ingest.Problem) {
	fmt.Fprintf(w, "%s: %s\n", file, problem.Title)
	for _, e := range problem.Errors {
		place := e.Pointer
		if place == "" {
			place = "(whole document)"
		}
		fmt.Fprintf(w, "  %s: %s\n", place, e.Detail)
	}
	if more := problem.Total - len(problem.Errors); more > 0 {
		fmt.Fprintf(w, "  and %d more\n", more)
	}
}
