package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/validate"
	"jarwright/validate/budget"
	requests "jarwright/validate/document"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/plaintext"
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
			"What is wrong with a file goes to standard error, as does a progress bar, which is only shown on a terminal while\n" +
			"standard output goes elsewhere. Color is used on a terminal unless NO_COLOR is set.\n\n" +
			"Ctrl-C ends it at once, wherever it is. What was finished is written, the table so far included; whole lines\n" +
			"of JSON, a last line of NDJSON that says \"complete\": false, and a SARIF log that says it was not successful.\n\n" +
			"Exit codes:\n" +
			"  0  every recipe is fit for the way it is to be kept; with --fail-on: no finding is that severe\n" +
			"  1  at least one recipe is not, or not yet; with --fail-on: at least one finding is. A rule that could not be\n" +
			"     judged because something is missing counts like one that failed\n" +
			"  2  at least one document could not be read, a file or folder has none in it, or the command itself failed\n" +
			"  130, 143  it was interrupted (SIGINT, Ctrl-C) or terminated (SIGTERM), whatever was found until then\n" +
			"  141  nobody reads standard output any more",
		Example: "  jarwright report beans.json\n" +
			"  jarwright report --format markdown - < beans.json\n" +
			"  jarwright report --format sarif --fail-on error archive/ > archive.sarif",
		Args: cobra.MinimumNArgs(1),
		RunE: func(command *cobra.Command, arguments []string) error {
			load := func() (judger, error) { return validate.New() }
			return reportOn(command.Context(), load, arguments, settings, command.InOrStdin(), command.OutOrStdout(), command.ErrOrStderr())
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

// reporting is one call of the command. Everything below the gate is written by one goroutine at a time, the one that has passed.
type reporting struct {
	ctx      context.Context //nolint:containedctx // a reporting lives as long as the call it is of
	settings reportSettings
	format   report.Format
	gate     gate

	several bool
	waiting *finished // the first document, until it is known whether there are several
	stdout  *checkedWriter
	stderr  io.Writer
	color   bool
	tally   tally
	rows    []string        // with --full, which writes the table after the reports
	judged  []report.Judged // for SARIF, which is one log
	worst   int
	written int // reports and rows
	ok      int
}

// finished is a document with what came of it.
type finished struct {
	document
	report  report.Report
	keep    string
	notes   []draft.Note
	problem *ingest.Problem
}

// checkedWriter keeps the first error of a writer, after which nothing is written. Standard output may be closed at any time by who
// has read enough of it.
type checkedWriter struct {
	target io.Writer
	err    error
}

func (w *checkedWriter) Write(p []byte) (int, error) {
	if w.err != nil {
		return 0, w.err
	}
	n, err := w.target.Write(p)
	if err != nil {
		w.err = fmt.Errorf("write to standard output: %w", err)
	}
	return n, w.err
}

// reportOn writes a report on every document. The worst document decides the exit code.
func reportOn(ctx context.Context, load func() (judger, error), arguments []string, settings reportSettings, stdin io.Reader,
	stdout, stderr io.Writer,
) error {
	format, err := formatNamed(settings.format)
	if err != nil {
		return err
	}
	if !slices.Contains([]string{"", string(report.Error), string(report.Warning)}, settings.failOn) {
		return fmt.Errorf("read --fail-on: %q is neither error nor warning", settings.failOn)
	}
	r := &reporting{
		ctx: ctx, settings: settings, format: format, gate: newGate(), stdout: &checkedWriter{target: stdout}, stderr: stderr, color: colorful(stdout),
		tally: newTally(), several: len(arguments) > 1 || isLines(arguments[0]),
	}
	progress, done := newProgress(arguments, stdout, stderr)
	defer done()
	return interruptible(ctx, r.gate, func() error {
		judge, err := load()
		if err != nil {
			return fmt.Errorf("load rules and tables: %w", err)
		}
		if err := r.all(judge, arguments, stdin, progress); err != nil {
			return err
		}
		return r.gate.pass(ctx, func() error {
			done()
			return r.end()
		})
	}, func(cause interruption) {
		done()
		r.breakOff(cause)
	}, func(cause interruption) {
		fmt.Fprintf(stderr, "jarwright: %v while nobody read standard output; not all that was finished is written\n", cause)
	})
}

// all judges the documents one by one, while the folders are still walked.
func (r *reporting) all(judge judger, arguments []string, stdin io.Reader, progress io.Writer) error {
	each := func(d document) error {
		f := r.judge(judge, d)
		return r.gate.pass(r.ctx, func() error { return r.take(&f) })
	}
	for file, err := range files(arguments) {
		if err != nil {
			err = each(document{name: file, file: file, err: err})
		} else {
			err = documents(file, stdin, progress, each)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// end writes what goes out once, and gives the exit code as an error.
func (r *reporting) end() error {
	if err := r.release(); err != nil {
		return err
	}
	if err := r.close(nil); err != nil {
		return err
	}
	if r.worst != exitGood {
		return exitError(r.worst)
	}
	return nil
}

// breakOff writes what was finished when the command was interrupted, and says that it is not all.
func (r *reporting) breakOff(cause interruption) {
	r.several = true // more was to come: one report must not pass for the whole
	if r.stdout.err == nil && r.release() == nil {
		_ = r.close(&cause) // nobody is left to tell
	}
	fmt.Fprintf(r.stderr, "jarwright: %v after %s; what was not finished is left out\n", cause, documentsWords(r.tally.documents))
}

func documentsWords(count int) string {
	if count == 1 {
		return "1 document"
	}
	return strconv.Itoa(count) + " documents"
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

// take keeps the first document back until the second or the end shows whether one report is asked for or a table.
func (r *reporting) take(f *finished) error {
	first := r.waiting == nil && r.tally.documents == 0
	r.several = r.several || f.line > 0 || !first
	if !r.several {
		r.waiting = f
		return nil
	}
	if err := r.release(); err != nil {
		return err
	}
	return r.write(f)
}

// release writes the document that was kept back.
func (r *reporting) release() error {
	if r.waiting == nil {
		return nil
	}
	f := r.waiting
	r.waiting = nil
	return r.write(f)
}

// write counts one document and writes what the format wants at once.
func (r *reporting) write(f *finished) error {
	switch {
	case f.err != nil:
		fmt.Fprintf(r.stderr, "jarwright: %s\n", plaintext.Line(f.err.Error()))
		r.unreadable(f, f.err.Error())
		return r.stdout.err
	case f.problem != nil:
		writeProblem(r.stderr, f.name, f.problem)
		r.unreadable(f, f.problem.Title)
		return r.stdout.err
	}
	if !r.several { // a line for each would bury the table
		for _, note := range f.notes {
			fmt.Fprintf(r.stderr, "%s: %s: %s %s\n", plaintext.Line(f.name), plaintext.Line(note.At), note.What, plaintext.Line(note.Text))
		}
	}
	fit := fit(f.keep, f.report.Disposition)
	r.ok++
	o := outcome{name: f.name, disposition: f.report.Disposition, fit: fit, why: reason(&f.report)}
	r.tally.add(o, &f.report)
	if r.settings.failOn == "" && !fit || r.settings.failOn != "" && findsAt(&f.report, report.Severity(r.settings.failOn)) {
		r.worst = max(r.worst, exitNotFit)
	}
	if err := r.writeReport(f); err != nil {
		return err
	}
	r.writeRow(o)
	return r.stdout.err
}

// findsAt tells whether a report has a finding of a severity or above.
func findsAt(judged *report.Report, least report.Severity) bool {
	return slices.ContainsFunc(judged.Findings, func(f report.Finding) bool {
		return f.Severity == report.Error || f.Severity == least
	})
}

// judge reads a document as what it is and reports on it.
func (r *reporting) judge(judge judger, d document) finished {
	f := finished{document: d}
	if d.err != nil {
		return f
	}
	cost := budget.New(r.ctx, budget.DefaultLimits())
	if !d.page && !isPublished(d) {
		f.report, f.problem = judge.Check(cost, d.body, report.Options{})
		f.keep = keptHow(d.body)
		return f
	}
	drafted, problem := judge.Draft(cost, d.body, d.page, true)
	if f.problem = problem; problem == nil {
		f.report, f.keep, f.notes = *drafted.Report, drafted.Request.Recipe.Keep, drafted.NotUnderstood
	}
	return f
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

// unreadable counts a document that could not be read.
func (r *reporting) unreadable(f *finished, why string) {
	r.worst = exitUnreadable
	o := outcome{name: f.name, why: why}
	r.tally.add(o, nil)
	if r.settings.format != formatNDJSON {
		r.writeRow(o)
		return
	}
	line := fileLine{File: f.file, Line: f.line, Problem: f.problem}
	if f.problem == nil {
		line.Error = why
	}
	_ = report.Encode(r.stdout, line) // which keeps the error
}

// hasTable tells whether the format has one report for each document and a table for several.
func (r *reporting) hasTable() bool {
	return r.several && r.settings.format != formatNDJSON && r.format.Name != report.FormatJSON && r.format.Name != report.FormatSARIF
}

// writeRow writes the row of one document where there is a table.
func (r *reporting) writeRow(o outcome) {
	if !r.hasTable() {
		return
	}
	row := o.row(r.color)
	if r.format.Name == report.FormatMarkdown {
		row = o.markdownRow()
	}
	if r.settings.full {
		r.rows = append(r.rows, row)
		return
	}
	if r.written == 0 && r.format.Name == report.FormatMarkdown {
		row = markdownHead + row
	}
	r.written++
	_, _ = io.WriteString(r.stdout, row) // which keeps the error
}

// writeReport writes a report where the format takes reports one by one.
func (r *reporting) writeReport(f *finished) error {
	switch {
	case r.settings.format == formatNDJSON:
		return report.Encode(r.stdout, fileLine{File: f.file, Line: f.line, Report: &f.report})
	case r.format.Name == report.FormatSARIF:
		kept := &report.Report{Findings: f.report.Findings, Meta: report.Meta{Ruleset: f.report.Meta.Ruleset}} // the rest is not written
		r.judged = append(r.judged, report.Judged{URI: address(f.file), Report: kept})
		return nil
	case r.hasTable() && !r.settings.full:
		return nil
	}
	if r.hasTable() {
		if r.written > 0 {
			fmt.Fprintln(r.stdout)
		}
		r.written++
		fmt.Fprintf(r.stdout, "%s:\n\n", plaintext.Name(f.name))
	}
	if err := r.format.Write(r.stdout, f.report); err != nil {
		return fmt.Errorf("write report on %s: %w", f.name, err)
	}
	return nil
}

// address names a file in a SARIF log: relative, as it was named.
func address(file string) string {
	if file == standardInput {
		return ""
	}
	return (&url.URL{Path: filepath.ToSlash(filepath.Clean(file))}).String()
}

// close writes what goes out once for all documents. cause is nil when these are all.
func (r *reporting) close(cause *interruption) error {
	switch {
	case r.settings.format == formatNDJSON:
		return report.Encode(r.stdout, struct {
			Summary fileSummary `json:"summary"`
		}{fileSummary{Complete: cause == nil, Documents: r.tally.documents, Failed: r.tally.documents - r.ok, OK: r.ok}})
	case r.format.Name == report.FormatSARIF && cause != nil:
		return report.BrokenOffSARIF(r.stdout, r.judged, cause.name(), cause.code())
	case r.format.Name == report.FormatSARIF:
		return report.SARIF(r.stdout, r.judged)
	case !r.hasTable():
		return nil
	}
	var b strings.Builder
	isMarkdown := r.format.Name == report.FormatMarkdown
	if r.settings.full && len(r.rows) > 0 {
		b.WriteString("\n")
		if isMarkdown {
			b.WriteString(markdownHead)
		}
		b.WriteString(strings.Join(r.rows, ""))
	}
	if isMarkdown {
		b.WriteString(r.tally.markdown())
	} else {
		b.WriteString(r.tally.text(r.color))
	}
	if cause != nil {
		fmt.Fprintf(&b, "\nNot complete: %v after %s.\n", cause, documentsWords(r.tally.documents))
	}
	_, err := io.WriteString(r.stdout, b.String())
	return err
}

// writeProblem says what keeps a document from being read, one line an error.
func writeProblem(w io.Writer, file string, problem *ingest.Problem) {
	fmt.Fprintf(w, "%s: %s\n", plaintext.Line(file), problem.Title)
	for _, e := range problem.Errors {
		place := plaintext.Line(e.Pointer)
		if place == "" {
			place = "(whole document)"
		}
		fmt.Fprintf(w, "  %s: %s\n", place, strings.Join(strings.Fields(plaintext.Text(e.Detail)), " "))
	}
	if more := problem.Total - len(problem.Errors); more > 0 {
		fmt.Fprintf(w, "  and %d more\n", more)
	}
}
