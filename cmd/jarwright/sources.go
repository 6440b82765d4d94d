package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"jarwright/validate/draft"
	"jarwright/validate/ingest"
)

// extensions are the files that a folder is searched for.
var extensions = []string{".json", ".jsonld", ".html", ".htm", ".ndjson"}

// standardInput is the name by which standard input is asked for.
const standardInput = "-"

// files gives the files that the arguments of the command line name, each once: for a folder the documents below it, for a
// pattern the files it matches. Within a folder or pattern the order is that of the names. A folder is walked while its first
// files are judged. What cannot be found or read comes with its error.
func files(arguments []string) iter.Seq2[string, error] {
	return func(yield func(string, error) bool) {
		seen := map[string]bool{}
		give := func(file string, err error) bool {
			if len(arguments) > 1 && file != standardInput && err == nil {
				if seen[file] {
					return true
				}
				seen[file] = true
			}
			return yield(file, err)
		}
		for _, argument := range arguments {
			if !filesOf(argument, give) {
				return
			}
		}
	}
}

// filesOf gives the files of one argument. It reports false when no more are wanted.
func filesOf(argument string, give func(string, error) bool) bool {
	info, err := os.Stat(argument)
	switch {
	case argument == standardInput:
		return give(argument, nil)
	case err == nil && info.IsDir():
		return documentsBelow(argument, give)
	case err != nil && strings.ContainsAny(argument, "*?["):
		matches, err := filepath.Glob(argument)
		switch {
		case err != nil:
			return give(argument, fmt.Errorf("read the pattern %s: %w", argument, err))
		case len(matches) == 0:
			return give(argument, fmt.Errorf("read the pattern %s: no file matches", argument))
		}
		for _, file := range matches {
			if !give(file, nil) {
				return false
			}
		}
		return true
	}
	return give(argument, nil) // a file that cannot be read is told about when its turn comes
}

// documentsBelow gives the documents of a folder and of the folders below it. That there is none is an error.
func documentsBelow(folder string, give func(string, error) bool) bool {
	wanted, found := true, false
	_ = filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error { // the errors are given
		switch {
		case err != nil:
			found = true
			wanted = give(path, fmt.Errorf("search %s: %w", folder, err))
		case entry.Type().IsRegular() && slices.Contains(extensions, strings.ToLower(filepath.Ext(path))):
			found = true
			wanted = give(path, nil)
		}
		if !wanted {
			return filepath.SkipAll
		}
		return nil
	})
	if wanted && !found {
		return give(folder, fmt.Errorf("read %s: no file below it ends in %s", folder, strings.Join(extensions, ", ")))
	}
	return wanted
}

// document is one document of a file.
type document struct {
	name string // of the file; with the number of the line in a file of lines
	file string
	line int // from 1 in a file of lines, else 0
	body []byte
	page bool // a web page
	err  error
}

// documents hands every document of a file to yield, in order. What cannot be read is handed over with its error, and so is a
// file that has no document: an archive that was cut off, or never written, must not pass for one in which all is well.
func documents(file string, stdin io.Reader, progress io.Writer, yield func(document) error) error {
	found := false
	err := contents(file, stdin, progress, func(d document) error {
		found = true
		if d.err == nil && len(bytes.TrimSpace(d.body)) == 0 {
			d.err = noDocument(file)
		}
		return yield(d)
	})
	if err == nil && !found {
		return yield(document{name: file, file: file, err: noDocument(file)})
	}
	return err
}

// noDocument is the error of a file with nothing in it.
func noDocument(file string) error {
	return fmt.Errorf("read %s: there is no document in it, nothing but blank lines", nameOf(file))
}

// nameOf names a file to people.
func nameOf(file string) string {
	if file == standardInput {
		return "standard input"
	}
	return file
}

// contents hands over what stands in a file, without asking whether there is anything.
func contents(file string, stdin io.Reader, progress io.Writer, yield func(document) error) error {
	source := stdin
	if file != standardInput {
		opened, err := os.Open(file)
		if err != nil {
			return yield(document{name: file, file: file, err: err})
		}
		defer opened.Close()
		source = opened
	}
	source = io.TeeReader(source, progress)
	switch strings.ToLower(filepath.Ext(file)) {
	case ".ndjson":
		return lines(file, bufio.NewReaderSize(source, 64<<10), yield)
	case ".html", ".htm":
		body, err := readAtMost(file, source, draft.MaxPageBytes)
		return yield(document{name: file, file: file, body: body, page: true, err: err})
	}
	most := ingest.MaxBytes
	if file == standardInput {
		most = draft.MaxPageBytes
	}
	body, err := readAtMost(file, source, most)
	page := file == standardInput && bytes.HasPrefix(bytes.TrimSpace(body), []byte("<"))
	if err == nil && !page && len(body) > ingest.MaxBytes {
		if first, _, several := bytes.Cut(bytes.TrimSpace(body), []byte("\n")); several && whole(first) {
			return lines(file, bufio.NewReader(bytes.NewReader(body)), yield)
		}
		err = fmt.Errorf("read %s: longer than %d bytes", file, ingest.MaxBytes)
	}
	if first, _, several := bytes.Cut(bytes.TrimSpace(body), []byte("\n")); err == nil && file == standardInput && several && whole(first) {
		return lines(file, bufio.NewReader(bytes.NewReader(body)), yield)
	}
	return yield(document{name: file, file: file, body: body, page: page, err: err})
}

// whole tells whether a line is a JSON document by itself: then standard input holds a document a line.
func whole(line []byte) bool {
	_, problem := ingest.Value(line, ingest.MaxBytes)
	return problem == nil && bytes.HasPrefix(bytes.TrimSpace(line), []byte("{"))
}

// readAtMost reads no more than tells that a file is too long.
func readAtMost(file string, source io.Reader, most int) ([]byte, error) {
	body, err := io.ReadAll(io.LimitReader(source, int64(most)+1))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", file, err)
	}
	if len(body) > most {
		return nil, fmt.Errorf("read %s: longer than %d bytes", file, most)
	}
	return body, nil
}

// lines hands over each line of a file that is not blank.
func lines(file string, source *bufio.Reader, yield func(document) error) error {
	for number := 1; ; number++ {
		var text []byte
		long := false
		var err error
		for {
			var part []byte
			part, err = source.ReadSlice('\n')
			if long = long || len(text)+len(part) > ingest.MaxBytes+2; !long {
				text = append(text, part...)
			}
			if !errors.Is(err, bufio.ErrBufferFull) {
				break
			}
		}
		atEnd := errors.Is(err, io.EOF)
		d := document{name: file + ":" + strconv.Itoa(number), file: file, line: number, body: bytes.TrimRight(text, "\r\n")}
		switch {
		case err != nil && !atEnd:
			d.err = fmt.Errorf("read %s: %w", file, err)
			return yield(d)
		case long:
			d.err = fmt.Errorf("read %s: line longer than %d bytes", d.name, ingest.MaxBytes)
		}
		if long || len(bytes.TrimSpace(d.body)) > 0 {
			if yielded := yield(d); yielded != nil {
				return yielded
			}
		}
		if atEnd {
			break
		}
	}
	return nil
}
