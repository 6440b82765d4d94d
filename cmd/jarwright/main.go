// Command jarwright checks home pickling recipes against published, tested processes: as an HTTP service, or file by
// file. It wires the packages together and owns every setting; it judges nothing itself.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"syscall"

	"jarwright/validate/plaintext"

	"github.com/spf13/cobra"
)

// Exit codes, part of the contract of the command line.
const (
	exitGood       = 0 // every recipe is fit for the way it is to be kept
	exitNotFit     = 1 // at least one recipe is not, or not yet
	exitUnreadable = 2 // a file could not be read as a request, or there was none, or the command itself failed
	// exitBySignal + the number of the signal: the command was interrupted, see interruption
)

func main() {
	ctx, stop := withSignals(context.Background())
	code := execute(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// exitError ends the program with a code after everything has been said.
type exitError int

func (e exitError) Error() string { return fmt.Sprintf("exit code %d", int(e)) }

// execute runs one command line and gives its exit code.
func execute(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitGood
	}
	var code exitError
	var interrupted interruption
	switch {
	case errors.As(err, &code):
		return int(code)
	case errors.As(err, &interrupted):
		return interrupted.code()
	case errors.Is(err, syscall.EPIPE): // who read our answers has read enough
		return exitBySignal + int(syscall.SIGPIPE)
	}
	fmt.Fprintln(stderr, "jarwright: "+plaintext.Line(err.Error()))
	return exitUnreadable
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "jarwright",
		Short: "Check home pickling recipes against published, tested processes",
		Long: "Jarwright compares a recipe for pickles in jars with published, tested processes and reports what the jars\n" +
			"are fit for, which rules failed, what to do about each, and where every figure comes from.",
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.CompletionOptions.DisableDefaultCmd = true
	root.AddCommand(newServe(), newReport(), newExplain(), newRules(), newHealth(), newVersion(), newLicenses(), newSBOM())
	return root
}
