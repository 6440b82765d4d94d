package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"time"

	"go.uber.org/zap"

	"jarwright/handlers"
)

// profileTimeout leaves room for a profile of a minute.
const profileTimeout = 90 * time.Second

// servePrivate answers on the private address until stop is called. Where there is no such address it does nothing.
func servePrivate(ctx context.Context, address string, handler http.Handler, log *zap.Logger) (stop func(), err error) {
	if address == "" {
		return func() {}, nil
	}
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", address)
	if err != nil {
		return nil, fmt.Errorf("listen on private address %s: %w", address, err)
	}
	limits := handlers.DefaultLimits()
	server := &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: limits.ReadHeaderTimeout,
		ReadTimeout:       limits.ReadTimeout,
		WriteTimeout:      profileTimeout,
		IdleTimeout:       limits.IdleTimeout,
		MaxHeaderBytes:    limits.HeaderBytes,
	}
	log.Info("listening privately", zap.String("private_address", listener.Addr().String()))
	go func() {
		if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			log.Error("serve privately", zap.Error(err))
		}
	}()
	// What it serves is of no use to anybody once the service has stopped, so that nothing is waited for.
	return func() { _ = server.Close() }, nil
}
