package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"

	"jarwright/api"
)

func newVersion() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  cobra.NoArgs,
		RunE: func(command *cobra.Command, _ []string) error {
			version, err := api.Version()
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(command.OutOrStdout(), "jarwright API %s, revision %s, %s\n", version, revision(), runtime.Version())
			return err
		},
	}
}

// revision is the commit that the program was built from, where the build recorded it.
func revision() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, setting := range info.Settings {
			if setting.Key == "vcs.revision" {
				return setting.Value
			}
		}
	}
	return "unknown"
}
