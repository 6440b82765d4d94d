package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/measure"

	"github.com/spf13/pflag"
)

// environmentPrefix begins the names of the environment variables that are settings.
const environmentPrefix = "JARWRIGHT_"

// environmentName is the environment variable of a flag: JARWRIGHT_LOG_LEVEL of log-level.
func environmentName(flag string) string {
	return environmentPrefix + strings.ToUpper(strings.ReplaceAll(flag, "-", "_"))
}

// describeEnvironment names the variable of each flag in its help.
func describeEnvironment(flags *pflag.FlagSet) {
	flags.VisitAll(func(flag *pflag.Flag) { flag.Usage += " [" + environmentName(flag.Name) + "]" })
}

// readEnvironment sets the flags that the command line did not set from variables, given as NAME=value. The value of a variable
// is written as the value of its flag.
func readEnvironment(flags *pflag.FlagSet, environment []string) error {
	var mistakes []error
	flags.VisitAll(func(flag *pflag.Flag) {
		name := environmentName(flag.Name)
		for _, entry := range environment {
			value, found := strings.CutPrefix(entry, name+"=")
			if !found || flag.Changed {
				continue
			}
			if err := flags.Set(flag.Name, value); err != nil {
				mistakes = append(mistakes, fmt.Errorf("read %s: %w", name, err))
			}
		}
	})
	return errors.Join(mistakes...)
}

// refuseUnknown fails for each variable with the prefix that is no setting: a misspelled one would silently do nothing.
func refuseUnknown(flags *pflag.FlagSet, environment []string) error {
	var known []string
	flags.VisitAll(func(flag *pflag.Flag) { known = append(known, environmentName(flag.Name)) })
	var mistakes []error
	for _, entry := range slices.Sorted(slices.Values(environment)) {
		name, _, _ := strings.Cut(entry, "=")
		if !strings.HasPrefix(name, environmentPrefix) || slices.Contains(known, name) {
			continue
		}
		mistakes = append(mistakes, fmt.Errorf("read environment: %s is no setting%s", name, hint(name, known)))
	}
	return errors.Join(mistakes...)
}

// hint is the nearest setting, or what else may have set the variable.
func hint(name string, known []string) string {
	if strings.HasPrefix(name, environmentPrefix+"SERVICE_") || strings.HasPrefix(name, environmentPrefix+"PORT") {
		return " (Kubernetes sets it for a Service called jarwright: set enableServiceLinks to false)"
	}
	nearest := measure.NearestName(name, known)
	if nearest == "" {
		return ""
	}
	return "; did you mean " + nearest + "?"
}
