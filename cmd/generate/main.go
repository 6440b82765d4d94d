// Command generate makes the files that are derived from others. Run it from the top of the repository:
//
//	go run ./cmd/generate
//
// It writes validate/RULES.md, validate/YIELDS.md, testdata/corpus, api/release/parts.json, api/release/notices.txt, api/openapi.json and
// api/openapi.lock, and the versions in the Dockerfile. It decides
// nothing: the same sources give the same bytes, and it
// refuses to replace a published document without a new version.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	if err := run("."); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

// run makes every derived file below the top folder of the repository.
func run(top string) error {
	if err := writeFromRules(top); err != nil {
		return err
	}
	if err := writeParts(top); err != nil {
		return err
	}
	folder := filepath.Join(top, "api")
	bundled, err := bundle(filepath.Join(folder, "openapi.yaml"))
	if err != nil {
		return fmt.Errorf("bundle OpenAPI document: %w", err)
	}
	lockFile := filepath.Join(folder, "openapi.lock")
	locked, err := os.ReadFile(lockFile)
	if err != nil && !os.IsNotExist(err) {
		return fmt.Errorf("read lock: %w", err)
	}
	lock, err := relock(string(locked), bundled)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, "openapi.json"), bundled, 0o644); err != nil {
		return fmt.Errorf("write bundle: %w", err)
	}
	if err := os.WriteFile(lockFile, []byte(lock), 0o644); err != nil {
		return fmt.Errorf("write lock: %w", err)
	}
	return writeImageVersions(top, bundled)
}
