package main

import (
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/spf13/pflag"
	"go.uber.org/zap"

	"jarwright/handlers"
)

// read makes settings of a command line and an environment, as serve does.
func read(t *testing.T, args, environment []string) (settings, error) {
	t.Helper()
	var given settings
	flags := pflag.NewFlagSet("serve", pflag.ContinueOnError)
	given.define(flags)
	if err := flags.Parse(args); err != nil {
		t.Fatal(err)
	}
	if err := readEnvironment(flags, environment); err != nil {
		return given, err
	}
	if err := refuseUnknown(flags, environment); err != nil {
		return given, err
	}
	return given, given.check()
}

func TestDefaultsAreGood(t *testing.T) {
	if _, err := read(t, nil, []string{"PATH=/bin", "HOME=/"}); err != nil {
		t.Error(err)
	}
}

// Every flag can be given by its variable, and the flag decides.
func TestEnvironmentSetsFlags(t *testing.T) {
	given, err := read(t, []string{"--log-level", "error"}, []string{
		"JARWRIGHT_ADDRESS=:9000", "JARWRIGHT_LOG_LEVEL=debug", "JARWRIGHT_MAX_CONNECTIONS=7", "JARWRIGHT_DRAIN=3s",
		"JARWRIGHT_CORS_ORIGINS=https://a.example,https://b.example", "JARWRIGHT_LOG_CLIENTS=true",
		"JARWRIGHT_TRUSTED_PROXIES=10.0.0.0/8,2001:db8::1",
	})
	if err != nil {
		t.Fatal(err)
	}
	if given.address != ":9000" || given.logLevel != "error" || given.limits.Connections != 7 || given.drain != 3*time.Second ||
		strings.Join(given.origins, " ") != "https://a.example https://b.example" || !given.logClients {
		t.Errorf("%+v", given)
	}
	networks, err := given.networks()
	if err != nil || len(networks) != 2 || networks[0].String() != "10.0.0.0/8" || networks[1].String() != "2001:db8::1/128" {
		t.Errorf("networks %v, %v", networks, err)
	}
}

func TestMistakesInSettings(t *testing.T) {
	for _, test := range []struct {
		args, environment []string
		want              string
	}{
		{nil, []string{"JARWRIGHT_ADRESS=:80"}, "JARWRIGHT_ADRESS is no setting; did you mean JARWRIGHT_ADDRESS?"},
		{nil, []string{"JARWRIGHT_"}, "is no setting"},
		{nil, []string{"JARWRIGHT_PORT=tcp://10.0.0.1:80", "JARWRIGHT_SERVICE_HOST=10.0.0.1"}, "enableServiceLinks"},
		{nil, []string{"JARWRIGHT_DRAIN=soon"}, "read JARWRIGHT_DRAIN"},
		{nil, []string{"JARWRIGHT_LOG_LEVEL=loud"}, "log-level"},
		{nil, []string{"JARWRIGHT_CORS_ORIGINS="}, "cors-origins"},
		{[]string{"--address", "nowhere"}, nil, "--address"},
		{[]string{"--private-address", "nowhere"}, nil, "--private-address"},
		{[]string{"--address", ":80", "--private-address", ":80"}, nil, "it is the public address"},
		{[]string{"--base-url", "pickles.example"}, nil, "--base-url"},
		{[]string{"--base-url", "https://pickles.example/?a=b"}, nil, "--base-url"},
		{[]string{"--base-path", "pickles"}, nil, "--base-path"},
		{[]string{"--base-path", "/pickles/"}, nil, "--base-path"},
		{[]string{"--base-path", "/pick%20les"}, nil, "--base-path"},
		{[]string{"--cors-origins", "blog.example"}, nil, "--cors-origins"},
		{[]string{"--cors-origins", "https://blog.example/"}, nil, "--cors-origins"},
		{[]string{"--trusted-proxies", "10.0.0.0/33"}, nil, "--trusted-proxies"},
		{[]string{"--rate-limit", "-1"}, nil, "--rate-limit"},
		{[]string{"--rate-window", "0s"}, nil, "--rate-window"},
		{[]string{"--read-timeout", "0s"}, nil, "--read-timeout"},
		{[]string{"--write-timeout", "14s"}, nil, "shorter than --read-timeout"},
		{[]string{"--max-connections", "0"}, nil, "--max-connections"},
		{[]string{"--max-concurrency", "0"}, nil, "--max-concurrency"},
		{[]string{"--drain", "-1s"}, nil, "--drain"},
		{[]string{"--client-share", "101"}, nil, "--client-share"},
		{[]string{"--least-rate", "0"}, nil, "--least-rate"},
		{[]string{"--give-way", "0s"}, nil, "--give-way"},
		{[]string{"--patience", "0s"}, nil, "--patience"},
		{[]string{"--stream-idle-timeout", "0s"}, nil, "--stream-idle-timeout"},
		{[]string{"--stream-answer-ratio", "0"}, nil, "--stream-answer-ratio"},
		{[]string{"--stream-problem-ratio", "0"}, nil, "--stream-problem-ratio"},
		{[]string{"--log-buffer", "0"}, nil, "--log-buffer"},
	} {
		if _, err := read(t, test.args, test.environment); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%v %v: %v, want %q", test.args, test.environment, err, test.want)
		}
	}
	// All at once.
	_, err := read(t, []string{"--drain", "-1s", "--rate-limit", "-1", "--log-format", "xml"}, nil)
	for _, want := range []string{"--drain", "--rate-limit", "--log-format"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not name %s", err, want)
		}
	}
}

// The command line refuses them too, before it listens.
func TestServeRefusesTheEnvironment(t *testing.T) {
	t.Setenv("JARWRIGHT_ADRESS", ":0")
	code, _, stderr := run(t, "serve")
	if code != exitUnreadable || !strings.Contains(stderr, "JARWRIGHT_ADRESS") {
		t.Errorf("exit code %d, %q", code, stderr)
	}
}

// The README has a row for every setting, with its default, and no other.
func TestSettingsAreInTheReadme(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var given settings
	flags := pflag.NewFlagSet("serve", pflag.ContinueOnError)
	given.define(flags)
	known := 0
	flags.VisitAll(func(flag *pflag.Flag) {
		known++
		_, row, found := strings.Cut(string(text), "\n| `--"+flag.Name+"` | ")
		if !found {
			t.Errorf("no row for --%s", flag.Name)
			return
		}
		row, _, _ = strings.Cut(row, " |")
		// A default that depends on the machine or on another setting is said in words.
		if said := strings.Split(row, "`"); flag.DefValue != "" && len(said) > 1 && !sameSetting(said[1], strings.Trim(flag.DefValue, "[]")) {
			t.Errorf("--%s: the default is %s, the page says %s", flag.Name, flag.DefValue, said[1])
		}
	})
	if rows := strings.Count(string(text), "\n| `--"); rows != known {
		t.Errorf("%d rows for %d settings", rows, known)
	}
}

// sameSetting compares two values of a flag as they are written: 1m is 1m0s.
func sameSetting(a, b string) bool {
	one, err := time.ParseDuration(a)
	if err != nil {
		return a == b
	}
	other, err := time.ParseDuration(b)
	return err == nil && one == other
}

func TestKeysAreReadAgainOnHangup(t *testing.T) {
	file := written(t, "keys", "one aaaaaaaaaaaaaaaa\n")
	keys, err := loadKeys(file)
	if err != nil || keys.Len() != 1 {
		t.Fatalf("%d keys, %v", keys.Len(), err)
	}
	reloadOnHangup(t.Context(), keys, file, zap.NewNop())
	if err := os.WriteFile(file, []byte("one aaaaaaaaaaaaaaaa\ntwo bbbbbbbbbbbbbbbb\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Kill(os.Getpid(), syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	for deadline := time.Now().Add(5 * time.Second); keys.Len() != 2; time.Sleep(time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("%d keys", keys.Len())
		}
	}
	if _, err := loadKeys(filepath.Join(t.TempDir(), "none")); err == nil {
		t.Error("a file that is not there has keys")
	}
	if none, err := loadKeys(""); none != nil || err != nil {
		t.Errorf("%v, %v", none, err)
	}
}

func TestPrivateAddress(t *testing.T) {
	address := freeAddress(t)
	stop, err := servePrivate(t.Context(), address, handlers.NewMetrics().Private(), zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	response, err := http.Get("http://" + address + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(response.Body)
	response.Body.Close()
	if err != nil || !strings.Contains(string(body), "jarwright_requests_in_flight 0") {
		t.Errorf("status %d, %v", response.StatusCode, err)
	}
	stop()
	if connection, err := net.Dial("tcp", address); err == nil {
		connection.Close()
		t.Error("it still listens")
	}
}
