package main

import (
	"fmt"
	"net/http"
	"os"
	"time"

	"github.com/spf13/cobra"
)

// healthTimeout is shorter than the interval between two checks of a container.
const healthTimeout = 3 * time.Second

func newHealth() *cobra.Command {
	var address, privateAddress, basePath string
	command := &cobra.Command{
		Use:   "health",
		Short: "Ask a running service whether it is ready",
		Long: "Health asks /readyz of a service on this machine, on its private address where it has one, which no client can keep\n" +
			"busy. It ends with code 0 when the service is ready and 2 when it is not.\n" +
			"It is told where the service is as the service itself: by the same flags or environment variables.",
		Args: cobra.NoArgs,
		RunE: func(command *cobra.Command, _ []string) error {
			if err := readEnvironment(command.Flags(), os.Environ()); err != nil {
				return err
			}
			target := "http://" + reachable(address) + basePath + "/readyz"
			if privateAddress != "" {
				target = "http://" + reachable(privateAddress) + "/readyz"
			}
			client := http.Client{Timeout: healthTimeout}
			request, err := http.NewRequestWithContext(command.Context(), http.MethodGet, target, nil)
			if err != nil {
				return fmt.Errorf("ask for readiness: %w", err)
			}
			response, err := client.Do(request)
			if ctx := command.Context(); err != nil && ctx.Err() != nil {
				fmt.Fprintf(command.ErrOrStderr(), "jarwright: %v before there was an answer\n", interruptionOf(ctx))
				return interruptionOf(ctx)
			}
			if err != nil {
				return fmt.Errorf("ask for readiness: %w", err)
			}
			defer response.Body.Close()
			if response.StatusCode != http.StatusOK {
				return fmt.Errorf("not ready: status %d", response.StatusCode)
			}
			_, err = fmt.Fprintln(command.OutOrStdout(), "ready")
			return err
		},
	}
	command.Flags().StringVar(&address, "address", defaultAddress, "address that the service listens on")
	command.Flags().StringVar(&privateAddress, "private-address", "", "private address that the service listens on (default: nowhere)")
	command.Flags().StringVar(&basePath, "base-path", "", "path that every request begins with")
	describeEnvironment(command.Flags())
	return command
}
