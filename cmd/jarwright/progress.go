package main

import (
	"io"
	"os"

	"github.com/mattn/go-isatty"
	"github.com/schollz/progressbar/v3"
)

// isTerminal tells whether what is written there is read by a person at once.
func isTerminal(w io.Writer) bool {
	file, ok := w.(*os.File)
	return ok && isatty.IsTerminal(file.Fd())
}

// colorful tells whether color is wanted: on a terminal, unless NO_COLOR says no (no-color.org) or the terminal is dumb.
func colorful(w io.Writer) bool {
	return isTerminal(w) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// newProgress shows how much of the files has been read, on standard error and only where that is a terminal. Nothing of it
// is left when it is done. Answers go out while it runs, so that it is shown only where they go elsewhere.
func newProgress(arguments []string, stdout, stderr io.Writer) (progress io.Writer, done func()) {
	if !isTerminal(stderr) || isTerminal(stdout) {
		return io.Discard, func() {}
	}
	total := int64(-1) // nobody knows how much there is, and asking 100,000 files would take longer than judging the first
	if len(arguments) == 1 && arguments[0] != standardInput {
		info, err := os.Stat(arguments[0])
		switch {
		case err != nil || info.Mode().IsRegular() && !isLines(arguments[0]):
			return io.Discard, func() {} // done in no time
		case info.Mode().IsRegular():
			total = info.Size()
		}
	}
	bar := progressbar.NewOptions64(total, progressbar.OptionSetWriter(stderr), progressbar.OptionSetDescription("reading"), progressbar.OptionSetWidth(40),
		progressbar.OptionShowBytes(true), progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100_000_000), progressbar.OptionEnableColorCodes(false))
	return bar, func() { _ = bar.Finish() }
}
