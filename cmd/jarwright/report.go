package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/handlers"
	"jarwright/validate"
	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

func newReport() *cobra.Command {
	var format string
	command := &cobra.Command{
		Use:   "report FILE...",
		Short: "Report on request documents in files",
		Long: "Report reads one request document from each file, or from standard input for \"-\", and writes a report on\n" +
			"each to standard output. The documents are those that POST /v1/reports takes, and the reports are the same.\n" +
			"With --format json each report is one line. What is wrong with a file goes to standard error.\n\n" +
			"Exit codes:\n" +
			"  0  every recipe is fit for the way it is to be kept\n" +
			"  1  at least one recipe is not, or not yet\n" +
			"  2  at least one file could not be read as a request",
		Example: "  jarwright report beans.json\n  jarwright report --format markdown - < beans.json",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(command *cobra.Command, files []string) error {
			checker, err := validate.New()
			if err != nil {
				return fmt.Errorf("load rules and tables: %w", err)
			}
			return reportOn(checker, files, format, command.InOrStdin(), command.OutOrStdout(), command.ErrOrStderr())
		},
	}
	command.Flags().StringVar(&format, "format", "text", "form of the reports: json, text or markdown")
	return command
}

// reportOn writes a report on each file. The worst file decides the exit code.
func reportOn(reporter handlers.Reporter, files []string, formatName string, stdin io.Reader, stdout, stderr io.Writer) error {
	format, err := formatNamed(formatName)
	if err != nil {
		return err
	}
	worst := exitGood
	for i, file := range files {
		body, err := readFile(file, stdin)
		if err != nil {
			fmt.Fprintf(stderr, "jarwright: %v\n", err)
			worst = max(worst, exitUnreadable)
			continue
		}
		judged, problem := reporter.Check(body, report.Options{})
		if problem != nil {
			explain(stderr, file, problem)
			worst = max(worst, exitUnreadable)
			continue
		}
		if len(files) > 1 && format.Name != "json" {
			if i > 0 {
				fmt.Fprintln(stdout)
			}
			fmt.Fprintf(stdout, "%s:\n\n", file)
		}
		if err := format.Write(stdout, judged); err != nil {
			return fmt.Errorf("write report on %s: %w", file, err)
		}
		if !fit(body, judged.Disposition) {
			worst = max(worst, exitNotFit)
		}
	}
	if worst != exitGood {
		return exitError(worst)
	}
	return nil
}

func formatNamed(name string) (handlers.ReportFormat, error) {
	names := []string{}
	for _, format := range handlers.ReportFormats() {
		if format.Name == name {
			return format, nil
		}
		names = append(names, format.Name)
	}
	return handlers.ReportFormat{}, fmt.Errorf("read --format: %q is none of %s", name, strings.Join(names, ", "))
}

// readFile reads one file, or standard input for "-", but no more than tells that it is too long.
func readFile(file string, stdin io.Reader) ([]byte, error) {
	source := stdin
	if file != "-" {
		opened, err := os.Open(file)
		if err != nil {
			return nil, err
		}
		defer opened.Close()
		source = opened
	}
	body, err := io.ReadAll(io.LimitReader(source, ingest.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", file, err)
	}
	if len(body) > ingest.MaxBytes {
		return nil, fmt.Errorf("read %s: longer than %d bytes", file, ingest.MaxBytes)
	}
	return body, nil
}

// explain says what keeps a file from being a request, one line an error.
func explain(w io.Writer, file string, problem *ingest.Problem) {
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

// fit says whether a disposition is as good as the way in which the recipe is to be kept. A recipe that does not say
// how it is to be kept is measured by the shelf.
func fit(body []byte, disposition report.Disposition) bool {
	if disposition == report.Shelf {
		return true
	}
	var request struct {
		Recipe struct {
			Keep string `json:"keep"`
		} `json:"recipe"`
	}
	if err := json.Unmarshal(body, &request); err != nil {
		return false
	}
	return request.Recipe.Keep == document.KeepRefrigerator && disposition == report.Refrigerate
}
