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
// is left when it is done. stream says that answers go out while it runs; then it is shown only where they go elsewhere.
func newProgress(files []string, stdout, stderr io.Writer, stream bool) (progress io.Writer, done func()) {
	if len(files) == 1 && files[0] != standardInput && !isLines(files[0]) || !isTerminal(stderr) || stream && isTerminal(stdout) {
		return io.Discard, func() {}
	}
	total := int64(0)
	for _, file := range files {
		info, err := os.Stat(file)
		if err != nil {
			total = -1 // standard input: nobody knows how much there is
			break
		}
		total += info.Size()
	}
	bar := progressbar.NewOptions64(total, progressbar.OptionSetWriter(stderr), progressbar.OptionSetDescription("reading"), progressbar.OptionSetWidth(40),
		progressbar.OptionShowBytes(true), progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100_000_000), progressbar.OptionEnableColorCodes(false))
	return bar, func() { _ = bar.Finish() }
}
