package main

import (
	"bytes"
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"jarwright/validate"
	"jarwright/validate/budget"
	"jarwright/validate/explanation"
	"jarwright/validate/report"
)

func newExplain() *cobra.Command {
	var rule, format string
	command := &cobra.Command{
		Use:   "explain FILE --rule ID",
		Short: "Say why a rule judges a recipe as it does",
		Long: "Explain reads one document as the report command does, from a file or from standard input for \"-\", and says why one\n" +
			"rule judges it as it does: what the rule says, what in the document its answer hangs on, the published limits that\n" +
			"it looked up, the tested recipe beside yours, the computed figures, and the sources of all of it. The ids of the\n" +
			"rules stand in every report and in the answer of \"jarwright rules\".\n\n" +
			"Exit codes:\n" +
			"  0  the rule was explained, whatever it says\n" +
			"  2  the document could not be read, there is no such rule, or the command itself failed\n" +
			"  130, 143  it was interrupted (SIGINT, Ctrl-C) or terminated (SIGTERM), and nothing is written",
		Example: "  jarwright explain beans.json --rule process.altitude-time\n  jarwright explain - --rule acid.vinegar-strength --format json < beans.json",
		Args:    cobra.ExactArgs(1),
		RunE: func(command *cobra.Command, arguments []string) error {
			ctx := command.Context()
			return answerWhole(ctx, command.OutOrStdout(), command.ErrOrStderr(), func(answer, complaints io.Writer) error {
				checker, err := validate.New()
				if err != nil {
					return fmt.Errorf("load rules and tables: %w", err)
				}
				return explainRule(ctx, checker, arguments[0], rule, format, command.InOrStdin(), answer, complaints)
			})
		},
	}
	flags := command.Flags()
	flags.StringVar(&rule, "rule", "", "id of the rule, such as acid.vinegar-strength")
	flags.StringVar(&format, "format", "text", "form of the explanation: text or json")
	if err := command.MarkFlagRequired("rule"); err != nil {
		panic(err) // the flag is defined above
	}
	return command
}

// explainRule writes why a rule judges the one document of a file as it does.
func explainRule(ctx context.Context, checker *validate.Checker, file, id, format string, stdin io.Reader, stdout, stderr io.Writer) error {
	write := map[string]func(io.Writer, explanation.Explanation) error{"text": explanation.Text, "json": explanation.JSON}[format]
	if write == nil {
		return fmt.Errorf("read --format: %q is neither text nor json", format)
	}
	rule, err := checker.Rule(id)
	if err != nil {
		return fmt.Errorf("read --rule: %w; jarwright rules lists them", err)
	}
	body, err := oneRequest(ctx, checker, file, stdin, stderr)
	if err != nil {
		return err
	}
	explained, problem := checker.Explain(budget.New(ctx, explaining()), body, rule)
	if problem != nil {
		writeProblem(stderr, file, problem)
		return exitError(exitUnreadable)
	}
	return write(stdout, explained)
}

// oneRequest reads the one document of a file. A published recipe is turned into the request that a draft makes of it.
func oneRequest(ctx context.Context, checker *validate.Checker, file string, stdin io.Reader, stderr io.Writer) ([]byte, error) {
	var found []document
	err := documents(file, stdin, io.Discard, func(d document) error {
		found = append(found, d)
		return d.err
	})
	switch {
	case err != nil:
		return nil, err
	case len(found) != 1:
		return nil, fmt.Errorf("read %s: it holds %d documents; one is explained at a time", file, len(found))
	case !found[0].page && !isPublished(found[0]):
		return found[0].body, nil
	}
	drafted, problem := checker.Draft(budget.New(ctx, budget.DefaultLimits()), found[0].body, found[0].page, false)
	if problem != nil {
		writeProblem(stderr, file, problem)
		return nil, exitError(exitUnreadable)
	}
	var body bytes.Buffer
	if err := report.Encode(&body, drafted.Request); err != nil {
		return nil, fmt.Errorf("write the drafted recipe as a request: %w", err)
	}
	return body.Bytes(), nil
}

// explaining is what an explanation may cost: it judges a document anew without each of its members.
func explaining() budget.Limits {
	limits := budget.DefaultLimits()
	limits.Steps *= int64(explanation.MostMembers(0)) // the most for any document
	return limits
}
