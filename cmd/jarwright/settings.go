package main

import (
	"errors"
	"fmt"
	"net"
	"net/url"
	"regexp"
	"strings"
	"time"

	"github.com/spf13/pflag"
	"go.uber.org/zap/zapcore"

	"jarwright/handlers"
)

// settings are the flags of serve. Each is also read from the environment, see environmentName.
type settings struct {
	address        string
	privateAddress string
	baseURL        string
	basePath       string
	origins        []string
	trustedProxies []string
	keysFile       string
	rateLimit      int
	rateWindow     time.Duration
	limits         handlers.Limits
	drain          time.Duration
	logLevel       string
	logFormat      string
	logClients     bool
	logBuffer      int
}

// define adds the flags, with their defaults.
func (s *settings) define(flags *pflag.FlagSet) {
	flags.StringVar(&s.address, "address", defaultAddress, "host and port to listen on")
	flags.StringVar(&s.privateAddress, "private-address", "",
		"host and port for /metrics, /debug/pprof/, /healthz and /readyz, not for the internet (default: nowhere)")
	flags.StringVar(&s.baseURL, "base-url", "",
		"where clients reach the service; problem types begin with it (default: http://, the address and the base path)")
	flags.StringVar(&s.basePath, "base-path", "", "path that every request begins with, where a proxy leaves it in place, such as /pickles")
	flags.StringSliceVar(&s.origins, "cors-origins", []string{"*"}, "origins whose pages may call the service, parted by commas; * for any, none for none")
	flags.StringSliceVar(&s.trustedProxies, "trusted-proxies", nil,
		"networks, such as 10.0.0.0/8, whose X-Forwarded-For says who the client is (default: none)")
	flags.StringVar(&s.keysFile, "keys-file", "",
		"file with a name and a bearer key a line, one of which /v1 then asks for; read again on SIGHUP (default: no key is asked for)")
	flags.IntVar(&s.rateLimit, "rate-limit", 0, "requests that one client may make in a rate window; 0 for any number")
	flags.DurationVar(&s.rateWindow, "rate-window", time.Minute, "how long it takes until a client may make as many requests again")
	s.defineLimits(flags)
	flags.DurationVar(&s.drain, "drain", 0, "how long to go on after being told to stop, with /readyz failing")
	flags.StringVar(&s.logLevel, "log-level", "info", "least level that is logged: debug, info, warn or error")
	flags.StringVar(&s.logFormat, "log-format", "json", "form of the log: json or console")
	flags.BoolVar(&s.logClients, "log-clients", false, "whether the log has the addresses of clients")
	flags.IntVar(&s.logBuffer, "log-buffer", defaultLogBuffer, "bytes of the log that wait to be taken; lines beyond that are dropped and counted")
}

// defaultLogBuffer holds some thousands of lines.
const defaultLogBuffer = 1 << 20

// defineLimits adds the flags of what clients can take of the service.
func (s *settings) defineLimits(flags *pflag.FlagSet) {
	limits := handlers.DefaultLimits()
	flags.DurationVar(&s.limits.ReadHeaderTimeout, "read-header-timeout", limits.ReadHeaderTimeout, "how long a client may take to send a header")
	flags.DurationVar(&s.limits.ReadTimeout, "read-timeout", limits.ReadTimeout, "how long a client may take to send a request")
	flags.DurationVar(&s.limits.WriteTimeout, "write-timeout", limits.WriteTimeout, "how long an answer may take, reading it included")
	flags.DurationVar(&s.limits.IdleTimeout, "idle-timeout", limits.IdleTimeout, "how long a connection may wait for its next request")
	flags.DurationVar(&s.limits.StopTimeout, "stop-timeout", limits.StopTimeout, "how long the requests under way have when the service stops")
	flags.IntVar(&s.limits.HeaderBytes, "max-header-bytes", limits.HeaderBytes, "longest header of a request in bytes")
	flags.IntVar(&s.limits.Connections, "max-connections", limits.Connections,
		"connections open at a time; for the next, one without a request or a slow one is closed")
	flags.IntVar(&s.limits.Concurrency, "max-concurrency", limits.Concurrency, "documents judged at a time; others wait")
	flags.DurationVar(&s.limits.QueueTime, "queue-time", limits.QueueTime, "how long a document waits to be judged until it is turned away with 503")
	flags.DurationVar(&s.limits.DocumentTime, "document-time", limits.DocumentTime,
		"how long the answer to one document may take until it is given up with 503")
	flags.IntVar(&s.limits.LargeAnswers, "max-large-answers", limits.LargeAnswers,
		"MiB of answers over 32 KiB that clients have not taken yet; more are turned away with 503")
	flags.IntVar(&s.limits.LargeBodies, "max-large-bodies", limits.LargeBodies,
		"memory for bodies over 16 KiB, or compressed, that are read at a time, in times 256 KiB; more are turned away with 503")
	flags.IntVar(&s.limits.Streams, "max-streams", limits.Streams,
		"bodies of a document a line that are answered at a time; more are turned away with 503")
	flags.IntVar(&s.limits.ClientShare, "client-share", limits.ClientShare,
		"the most of all connections, memory for large bodies and streams that one client may have, in percent")
	flags.IntVar(&s.limits.LeastRate, "least-rate", limits.LeastRate,
		"bytes a second that a client has to send or take while the service waits for it")
	flags.DurationVar(&s.limits.GiveWay, "give-way", limits.GiveWay, "how far behind the least rate a client may be while others wait for its place")
	flags.DurationVar(&s.limits.Patience, "patience", limits.Patience, "how far behind the least rate the body of a document may be until it is 408")
	flags.DurationVar(&s.limits.StreamIdleTimeout, "stream-idle-timeout", limits.StreamIdleTimeout,
		"how long the client of a stream may send or take nothing while the service waits for it")
	flags.IntVar(&s.limits.StreamAnswerRatio, "stream-answer-ratio", limits.StreamAnswerRatio,
		"how many times as long as its body, as it was sent, the answers of a stream may be, beside 16 MiB")
	flags.IntVar(&s.limits.StreamProblemRatio, "stream-problem-ratio", limits.StreamProblemRatio,
		"how many times as long as its body, unpacked, the answers of a stream to lines that are no JSON may be, beside 1 MiB")
}

// Forms of a path and of an origin (RFC 6454, 7.1). Nothing of a path needs to be escaped.
var (
	basePathForm = regexp.MustCompile(`^(/[A-Za-z0-9._~-]+)*$`)
	originForm   = regexp.MustCompile(`^[a-z][a-z0-9+.-]*://[A-Za-z0-9.\[\]:-]+$`)
)

// check finds everything that is wrong with the settings before anything is started.
func (s *settings) check() error {
	var mistakes []error
	wrong := func(flag, format string, details ...any) {
		mistakes = append(mistakes, fmt.Errorf("read --"+flag+": "+format, details...))
	}
	s.checkAddresses(wrong)
	if s.baseURL != "" && !isBaseURL(s.baseURL) {
		wrong("base-url", "%q is not like https://pickles.example or https://garden.example/pickles", s.baseURL)
	}
	if !basePathForm.MatchString(s.basePath) {
		wrong("base-path", "%q is not like /pickles", s.basePath)
	}
	if len(s.origins) == 0 {
		wrong("cors-origins", "give *, none, or origins")
	}
	for _, origin := range s.origins {
		if origin != "*" && origin != "none" && !originForm.MatchString(origin) {
			wrong("cors-origins", "%q is not like https://blog.example", origin)
		}
	}
	if _, err := s.networks(); err != nil {
		wrong("trusted-proxies", "%w", err)
	}
	if s.rateLimit < 0 || s.rateLimit > 1_000_000 {
		wrong("rate-limit", "%d is not from 0 to 1000000", s.rateLimit)
	}
	s.checkRanges(wrong)
	if _, err := zapcore.ParseLevel(s.logLevel); err != nil {
		wrong("log-level", "%w", err)
	}
	if _, err := logEncoder(s.logFormat); err != nil {
		mistakes = append(mistakes, err)
	}
	return errors.Join(mistakes...)
}

// checkAddresses refuses addresses that cannot be listened on.
func (s *settings) checkAddresses(wrong func(flag, format string, details ...any)) {
	for _, each := range []struct{ flag, address string }{{"address", s.address}, {"private-address", s.privateAddress}} {
		if each.address == "" && each.flag == "private-address" {
			continue
		}
		if _, _, err := net.SplitHostPort(each.address); err != nil {
			wrong(each.flag, "%w", err)
		}
	}
	// Port 0 lets the system choose one, and another for each.
	if _, port, _ := net.SplitHostPort(s.address); s.privateAddress != "" && s.privateAddress == s.address && port != "0" {
		wrong("private-address", "it is the public address")
	}
}

// isBaseURL tells whether a text is a URL of a server, and of a path on it where there is one, and nothing more.
func isBaseURL(text string) bool {
	parsed, err := url.Parse(text)
	return err == nil && (parsed.Scheme == "http" || parsed.Scheme == "https") && parsed.Host != "" &&
		parsed.RawQuery == "" && parsed.Fragment == "" && parsed.User == nil && basePathForm.MatchString(strings.TrimSuffix(parsed.Path, "/"))
}

// checkRanges refuses numbers and times that could only be mistakes.
func (s *settings) checkRanges(wrong func(flag, format string, details ...any)) {
	for _, each := range []struct {
		flag             string
		given, low, high time.Duration
	}{
		{"rate-window", s.rateWindow, time.Second, 24 * time.Hour},
		{"read-header-timeout", s.limits.ReadHeaderTimeout, 100 * time.Millisecond, time.Minute},
		{"read-timeout", s.limits.ReadTimeout, 100 * time.Millisecond, 10 * time.Minute},
		{"write-timeout", s.limits.WriteTimeout, 100 * time.Millisecond, 10 * time.Minute},
		{"idle-timeout", s.limits.IdleTimeout, 100 * time.Millisecond, time.Hour},
		{"stop-timeout", s.limits.StopTimeout, 100 * time.Millisecond, time.Hour},
		{"queue-time", s.limits.QueueTime, time.Millisecond, time.Minute},
		{"document-time", s.limits.DocumentTime, 100 * time.Millisecond, time.Minute},
		{"drain", s.drain, 0, 10 * time.Minute},
		{"give-way", s.limits.GiveWay, 10 * time.Millisecond, time.Minute},
		{"patience", s.limits.Patience, 100 * time.Millisecond, 10 * time.Minute},
		{"stream-idle-timeout", s.limits.StreamIdleTimeout, 100 * time.Millisecond, time.Hour},
	} {
		if each.given < each.low || each.given > each.high {
			wrong(each.flag, "%v is not from %v to %v", each.given, each.low, each.high)
		}
	}
	if s.limits.WriteTimeout < s.limits.ReadTimeout {
		wrong("write-timeout", "it is shorter than --read-timeout, so that a slow client would get no answer")
	}
	for _, each := range []struct {
		flag             string
		given, low, high int
	}{
		{"max-header-bytes", s.limits.HeaderBytes, 1 << 10, 1 << 20},
		{"max-connections", s.limits.Connections, 1, 1 << 20},
		{"max-concurrency", s.limits.Concurrency, 1, 1 << 16},
		{"max-large-answers", s.limits.LargeAnswers, 16, 1 << 16},
		{"max-large-bodies", s.limits.LargeBodies, 1, 1 << 16},
		{"max-streams", s.limits.Streams, 1, 1 << 16},
		{"client-share", s.limits.ClientShare, 1, 100},
		{"least-rate", s.limits.LeastRate, 1, 1 << 20},
		{"stream-answer-ratio", s.limits.StreamAnswerRatio, 1, 1 << 20},
		{"stream-problem-ratio", s.limits.StreamProblemRatio, 1, 1 << 20},
		{"log-buffer", s.logBuffer, 4 << 10, 64 << 20},
	} {
		if each.given < each.low || each.given > each.high {
			wrong(each.flag, "%d is not from %d to %d", each.given, each.low, each.high)
		}
	}
}

// networks are the trusted proxies. An address alone is a network of one.
func (s *settings) networks() ([]*net.IPNet, error) {
	var networks []*net.IPNet
	for _, text := range s.trustedProxies {
		if address := net.ParseIP(text); address != nil {
			bits := 8 * net.IPv6len
			if address.To4() != nil {
				address, bits = address.To4(), 8*net.IPv4len
			}
			networks = append(networks, &net.IPNet{IP: address, Mask: net.CIDRMask(bits, bits)})
			continue
		}
		_, network, err := net.ParseCIDR(text)
		if err != nil {
			return nil, fmt.Errorf("%q is not like 10.0.0.0/8", text)
		}
		networks = append(networks, network)
	}
	return networks, nil
}
