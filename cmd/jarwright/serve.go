package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"
	"go.uber.org/zap"

	"jarwright/handlers"
	"jarwright/validate"
)

// defaultAddress is reachable from this machine only; a container sets its own.
const defaultAddress = "127.0.0.1:8080"

func newServe() *cobra.Command {
	var given settings
	command := &cobra.Command{
		Use:   "serve",
		Short: "Answer requests over HTTP",
		Long: "Serve answers requests over HTTP until it is interrupted or terminated. Then /readyz fails first, and the\n" +
			"requests under way are answered. Nothing is stored; the log has one line a request, without its content.\n\n" +
			"Each setting is a flag or the environment variable named beside it; the flag decides where both are given. An\n" +
			"environment variable that begins with " + environmentPrefix + " and is no setting is a mistake.",
		Example: "  jarwright serve\n  jarwright serve --address :8080 --base-url https://pickles.example",
		Args:    cobra.NoArgs,
		RunE: func(command *cobra.Command, _ []string) error {
			environment := os.Environ()
			err := errors.Join(readEnvironment(command.Flags(), environment), refuseUnknown(command.Flags(), environment), given.check())
			if err != nil {
				return err
			}
			return serve(command.Context(), given)
		},
	}
	given.define(command.Flags())
	describeEnvironment(command.Flags())
	return command
}

// collectGarbageLess lets the heap grow to three times what is alive before it is collected, unless the environment says otherwise:
// what is alive is small, and collecting less often leaves more of the processors for requests. GOMEMLIMIT still holds.
func collectGarbageLess() {
	const percent = 200
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(percent)
	}
}

func serve(ctx context.Context, given settings) error {
	collectGarbageLess()
	metrics := handlers.NewMetrics()
	logger, flush, err := given.logger(os.Stderr, metrics.Unlogged)
	if err != nil {
		return err
	}
	defer flush()
	keys, err := loadKeys(given.keysFile)
	if err != nil {
		return err
	}
	trusted, err := given.networks()
	if err != nil {
		return err
	}
	checker, err := validate.New()
	if err != nil {
		return fmt.Errorf("load rules and tables: %w", err)
	}
	build, err := buildOf(checker)
	if err != nil {
		return err
	}
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", given.address)
	if err != nil {
		return fmt.Errorf("listen on %s: %w", given.address, err)
	}
	baseURL := given.baseURL
	if baseURL == "" {
		baseURL = "http://" + reachable(listener.Addr().String()) + given.basePath
	}
	metrics.ShowBuild(build)
	config := given.config(checker, baseURL)
	config.Version, config.Logger, config.TrustedProxies, config.Keys, config.Metrics = build.Version, logger, trusted, keys, metrics
	server, err := handlers.New(config)
	if err != nil {
		return fmt.Errorf("prepare service: %w", err)
	}
	stopPrivate, err := servePrivate(ctx, given.privateAddress, server.Private(), logger)
	if err != nil {
		return err
	}
	defer stopPrivate()
	reloadOnHangup(ctx, keys, given.keysFile, logger)
	logger.Info("listening", zap.String("address", listener.Addr().String()), zap.String("base_url", baseURL))
	if err := server.Serve(ctx, listener, given.drain); err != nil {
		logger.Error("ended", zap.Error(err))
		return exitError(exitUnreadable) // nothing is written past the log, which may not be read
	}
	logger.Info("stopped")
	return nil
}

// config is what a server needs of a checker and of the settings.
func (s *settings) config(checker *validate.Checker, baseURL string) handlers.Config {
	return handlers.Config{
		Reporter:   checker,
		Planner:    checker,
		Drafter:    checker,
		Catalog:    handlers.NewCatalog(checker),
		BaseURL:    baseURL,
		BasePath:   s.basePath,
		Origins:    s.origins,
		Limits:     s.limits,
		RateLimit:  handlers.RateLimit{Requests: s.rateLimit, Window: s.rateWindow},
		LogClients: s.logClients,
	}
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
