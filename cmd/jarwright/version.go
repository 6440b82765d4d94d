package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"jarwright/api"
	"jarwright/api/release"
	"jarwright/validate"
	"jarwright/validate/report"
)

func newVersion() *cobra.Command {
	var format string
	command := &cobra.Command{
		Use:   "version",
		Short: "Print which build this is: its API, its commit, its rule set, its compiler",
		Args:  cobra.NoArgs,
		RunE: func(command *cobra.Command, _ []string) error {
			build, err := thisBuild()
			if err != nil {
				return err
			}
			switch format {
			case "text":
				_, err = fmt.Fprintf(command.OutOrStdout(), "jarwright API %s, revision %s, rule set %s, %s\n",
					build.Version, build.Commit(), build.Ruleset, build.Go)
				return err
			case "json":
				return report.Encode(command.OutOrStdout(), build)
			default:
				return fmt.Errorf("read --format: %q is neither text nor json", format)
			}
		},
	}
	command.Flags().StringVar(&format, "format", "text", "form: text or json")
	return command
}

// thisBuild tells of this program.
func thisBuild() (release.Build, error) {
	checker, err := validate.New()
	if err != nil {
		return release.Build{}, fmt.Errorf("load rules and tables: %w", err)
	}
	return buildOf(checker)
}

// buildOf tells of this program with the rule set of a checker.
func buildOf(checker *validate.Checker) (release.Build, error) {
	version, err := api.Version()
	if err != nil {
		return release.Build{}, err
	}
	return release.ReadBuild(version, checker.Tables().Ruleset().Number), nil
}

func newLicenses() *cobra.Command {
	return &cobra.Command{
		Use:   "licenses",
		Short: "Print the names and licenses of the parts that others made",
		Args:  cobra.NoArgs,
		RunE: func(command *cobra.Command, _ []string) error {
			_, err := command.OutOrStdout().Write(release.Notices())
			return err
		},
	}
}

func newSBOM() *cobra.Command {
	return &cobra.Command{
		Use:   "sbom",
		Short: "Print the bill of materials of this program (CycloneDX, JSON)",
		Args:  cobra.NoArgs,
		RunE: func(command *cobra.Command, _ []string) error {
			build, err := thisBuild()
			if err != nil {
				return err
			}
			bill, err := release.Bill(build)
			if err != nil {
				return err
			}
			_, err = command.OutOrStdout().Write(bill)
			return err
		},
	}
}
