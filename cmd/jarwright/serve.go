package main

import (
	"context"
	"fmt"
	"net"
	"time"

	"github.com/spf13/cobra"
	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"

	"jarwright/api"
	"jarwright/handlers"
	"jarwright/validate"
)

// defaultAddress is reachable from this machine only; a container sets its own.
const defaultAddress = "127.0.0.1:8080"

// serveSettings are the flags of serve.
type serveSettings struct {
	address   string
	baseURL   string
	logLevel  string
	logFormat string
	drain     time.Duration
}

func newServe() *cobra.Command {
	var settings serveSettings
	command := &cobra.Command{
		Use:   "serve",
		Short: "Answer requests over HTTP",
		Long: "Serve answers requests over HTTP until it is interrupted or terminated. Then /readyz fails first, and the\n" +
			"requests under way are answered. Nothing is stored; the log has one line a request, without its content.",
		Example: "  jarwright serve\n  jarwright serve --address :8080 --base-url https://pickles.example",
		Args:    cobra.NoArgs,
		RunE:    func(command *cobra.Command, _ []string) error { return serve(command.Context(), settings) },
	}
	flags := command.Flags()
	flags.StringVar(&settings.address, "address", defaultAddress, "host and port to listen on")
	flags.StringVar(&settings.baseURL, "base-url", "",
		"where clients reach the service; problem types begin with it (default: http:// and the address)")
	flags.StringVar(&settings.logLevel, "log-level", "info", "least level that is logged: debug, info, warn or error")
	flags.StringVar(&settings.logFormat, "log-format", "json", "form of the log: json or console")
	flags.DurationVar(&settings.drain, "drain", 0, "how long to go on after being told to stop, with /readyz failing")
	return command
}

func serve(ctx context.Context, settings serveSettings) error {
	logger, err := newLogger(settings.logLevel, settings.logFormat)
	if err != nil {
		return err
	}
	defer func() { _ = logger.Sync() }() // standard error cannot be synced on every system
	checker, err := validate.New()
	if err != nil {
		return fmt.Errorf("load rules and tables: %w", err)
	}
	version, err := api.Version()
	if err != nil {
		return err
	}
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", settings.address)
	if err != nil {
		return fmt.Errorf("listen on %s: %w", settings.address, err)
	}
	baseURL := settings.baseURL
	if baseURL == "" {
		baseURL = "http://" + reachable(listener.Addr().String())
	}
	server, err := handlers.New(handlers.Config{
		Reporter:  checker,
		Workshop:  checker,
		Drafter:   checker,
		Catalogue: handlers.NewCatalogue(checker),
		BaseURL:   baseURL,
		Version:   version,
		Logger:    logger,
	})
	if err != nil {
		return fmt.Errorf("prepare service: %w", err)
	}
	logger.Info("listening", zap.String("address", listener.Addr().String()), zap.String("base_url", baseURL))
	if err := server.Serve(ctx, listener, settings.drain); err != nil {
		return err
	}
	logger.Info("stopped")
	return nil
}

// reachable turns an address to listen on into one to call: "all interfaces" becomes this machine.
func reachable(address string) string {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return address
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	return net.JoinHostPort(host, port)
}

// newLogger writes to standard error.
func newLogger(level, format string) (*zap.Logger, error) {
	parsed, err := zapcore.ParseLevel(level)
	if err != nil {
		return nil, fmt.Errorf("read --log-level: %w", err)
	}
	if format != "json" && format != "console" {
		return nil, fmt.Errorf("read --log-format: %q is neither json nor console", format)
	}
	config := zap.NewProductionConfig()
	config.Level = zap.NewAtomicLevelAt(parsed)
	config.Encoding = format
	config.Sampling = nil // one line a request means each request
	config.DisableCaller = true
	config.DisableStacktrace = true
	config.EncoderConfig.TimeKey = "time"
	config.EncoderConfig.EncodeTime = zapcore.RFC3339NanoTimeEncoder
	logger, err := config.Build()
	if err != nil {
		return nil, fmt.Errorf("make logger: %w", err)
	}
	return logger, nil
}
