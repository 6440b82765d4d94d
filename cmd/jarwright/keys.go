package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"go.uber.org/zap"

	"jarwright/handlers"
)

// loadKeys reads the keys of a file, nil where there is no file.
func loadKeys(file string) (*handlers.Keys, error) {
	if file == "" {
		return nil, nil
	}
	keys := &handlers.Keys{}
	if err := reloadKeys(keys, file); err != nil {
		return nil, err
	}
	return keys, nil
}

func reloadKeys(keys *handlers.Keys, file string) error {
	opened, err := os.Open(file)
	if err != nil {
		return fmt.Errorf("open keys: %w", err)
	}
	defer opened.Close()
	if err := keys.Load(opened); err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	return nil
}

// reloadOnHangup reads the keys again at each SIGHUP until the context ends. A file with a mistake changes nothing.
func reloadOnHangup(ctx context.Context, keys *handlers.Keys, file string, log *zap.Logger) {
	hangups := make(chan os.Signal, 1)
	signal.Notify(hangups, syscall.SIGHUP)
	go func() {
		defer signal.Stop(hangups)
		for {
			select {
			case <-ctx.Done():
				return
			case <-hangups:
			}
			if keys == nil {
				log.Info("there are no keys to read again")
				continue
			}
			if err := reloadKeys(keys, file); err != nil {
				log.Error("keys stay as they were", zap.Error(err))
				continue
			}
			log.Info("keys read again", zap.Int("keys", keys.Len()))
		}
	}()
}
