package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"github.com/go-json-experiment/json"
)

// relock gives the new content of the lock file: the version of the bundle and the hash of what it promises. It fails
// when the promise differs from the locked one and the version does not: clients compare versions, not bytes.
func relock(locked string, bundled []byte) (string, error) {
	var document struct {
		Info struct {
			Version string `json:"version"`
		} `json:"info"`
	}
	if err := json.Unmarshal(bundled, &document); err != nil {
		return "", fmt.Errorf("read version of bundle: %w", err)
	}
	hash, err := promiseHash(bundled)
	if err != nil {
		return "", err
	}
	lock := document.Info.Version + " " + hash + "\n"
	if locked == "" || locked == lock {
		return lock, nil
	}
	var version, lockedHash string
	if _, err := fmt.Sscan(locked, &version, &lockedHash); err != nil {
		return "", fmt.Errorf("read lock: %w", err)
	}
	if version == document.Info.Version {
		return "", fmt.Errorf("the OpenAPI document changed but its version is still %s: raise info.version in api/openapi.yaml", version)
	}
	return lock, nil
}

// promiseHash is the hash of a document without its examples. Those show what the rules say today; a better wording of
// a rule is no new version of the API.
func promiseHash(bundled []byte) (string, error) {
	var document any
	if err := json.Unmarshal(bundled, &document); err != nil {
		return "", fmt.Errorf("read bundle: %w", err)
	}
	dropExamples(document)
	promise, err := json.Marshal(document, json.Deterministic(true))
	if err != nil {
		return "", fmt.Errorf("encode bundle without examples: %w", err)
	}
	sum := sha256.Sum256(promise)
	return hex.EncodeToString(sum[:]), nil
}

// dropExamples removes the examples of media types, which are the only ones that are objects.
func dropExamples(node any) {
	switch node := node.(type) {
	case map[string]any:
		if _, named := node["examples"].(map[string]any); named && node["schema"] != nil {
			delete(node, "examples")
		}
		for _, value := range node {
			dropExamples(value)
		}
	case []any:
		for _, value := range node {
			dropExamples(value)
		}
	}
}
