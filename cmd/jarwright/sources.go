package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
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

// expand turns the arguments of the command line into files, each once: a folder into the documents below it, a pattern into
// the files it matches. Within a folder or pattern the order is that of the names.
func expand(arguments []string) ([]string, error) {
	var files []string
	add := func(found ...string) {
		for _, file := range found {
			if !slices.Contains(files, file) || file == standardInput {
				files = append(files, file)
			}
		}
	}
	for _, argument := range arguments {
		info, err := os.Stat(argument)
		switch {
		case argument == standardInput:
			add(argument)
		case err == nil && info.IsDir():
			below, err := documentsBelow(argument)
			if err != nil {
				return nil, err
			}
			if len(below) == 0 {
				return nil, fmt.Errorf("read %s: no file below it ends in %s", argument, strings.Join(extensions, ", "))
			}
			add(below...)
		case err != nil && strings.ContainsAny(argument, "*?["):
			matches, err := filepath.Glob(argument)
			if err != nil {
				return nil, fmt.Errorf("read the pattern %s: %w", argument, err)
			}
			if len(matches) == 0 {
				return nil, fmt.Errorf("read the pattern %s: no file matches", argument)
			}
			add(matches...)
		default:
			add(argument) // a file that cannot be read is told about when its turn comes
		}
	}
	return files, nil
}

func documentsBelow(folder string) ([]string, error) {
	var files []string
	err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return fmt.Errorf("search %s: %w", folder, err)
		}
		if entry.Type().IsRegular() && slices.Contains(extensions, strings.ToLower(filepath.Ext(path))) {
			files = append(files, path)
		}
		return nil
	})
	return files, err
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

// documents hands every document of a file to yield, in order. What cannot be read is handed over with its error.
func documents(file string, stdin io.Reader, progress io.Writer, yield func(document) error) error {
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
