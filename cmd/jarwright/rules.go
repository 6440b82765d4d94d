package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"jarwright/handlers"
	"jarwright/validate"
	"jarwright/validate/report"
)

func newRules() *cobra.Command {
	var format string
	command := &cobra.Command{
		Use:   "rules",
		Short: "List the rules that recipes are judged by",
		Args:  cobra.NoArgs,
		RunE: func(command *cobra.Command, _ []string) error {
			return answerWhole(command.Context(), command.OutOrStdout(), command.ErrOrStderr(), func(answer, _ io.Writer) error {
				return writeRules(answer, format)
			})
		},
	}
	command.Flags().StringVar(&format, "format", "text", "form of the list: text, or json as at /v1/rules")
	return command
}

// writeRules writes the list in a format.
func writeRules(w io.Writer, format string) error {
	if format != "text" && format != "json" {
		return fmt.Errorf("read --format: %q is neither text nor json", format)
	}
	checker, err := validate.New()
	if err != nil {
		return fmt.Errorf("load rules and tables: %w", err)
	}
	rules := handlers.Rules(checker.Rules())
	if format == "json" {
		return report.Encode(w, struct {
			Items []handlers.Rule `json:"items"`
		}{rules})
	}
	return listRules(w, rules)
}

// listRules writes one line a rule.
func listRules(w io.Writer, rules []handlers.Rule) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, rule := range rules {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", rule.ID, rule.Severity, rule.Hazard, rule.Title)
	}
	if err := table.Flush(); err != nil {
		return fmt.Errorf("list rules: %w", err)
	}
	return nil
}
