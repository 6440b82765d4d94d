package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"
	"go.yaml.in/yaml/v4"
)

// manifest reads a file of examples as YAML.
func manifest(t *testing.T, name string) map[string]any {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("../../examples", name))
	if err != nil {
		t.Fatal(err)
	}
	var value map[string]any
	if err := yaml.Unmarshal(text, &value); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return value
}

// at follows a path of names and indices, parted by slashes, through a document.
func at(t *testing.T, value any, path string) any {
	t.Helper()
	for step := range strings.SplitSeq(path, "/") {
		switch node := value.(type) {
		case map[string]any:
			value = node[step]
		case []any:
			value = node[0]
		default:
			t.Fatalf("there is no %s", path)
		}
	}
	return value
}

// settled are the settings that a list of variables makes.
func settled(t *testing.T, environment []string) settings {
	t.Helper()
	var given settings
	flags := pflag.NewFlagSet("serve", pflag.ContinueOnError)
	given.define(flags)
	if err := readEnvironment(flags, environment); err != nil {
		t.Error(err)
	}
	if err := refuseUnknown(flags, environment); err != nil {
		t.Error(err)
	}
	if err := given.check(); err != nil {
		t.Error(err)
	}
	return given
}

// The manifests set what the program takes, ask for paths that it answers, and fit together.
func TestKubernetesManifests(t *testing.T) {
	deployment := manifest(t, "kubernetes/deployment.yaml")
	pod := at(t, deployment, "spec/template/spec")
	var environment []string
	for _, each := range at(t, pod, "containers/0/env").([]any) {
		variable := each.(map[string]any)
		environment = append(environment, variable["name"].(string)+"="+variable["value"].(string))
	}
	given := settled(t, environment)
	ports := map[string]string{}
	for _, each := range at(t, pod, "containers/0/ports").([]any) {
		port := each.(map[string]any)
		ports[port["name"].(string)] = ":" + strings.TrimSpace(yamlText(t, port["containerPort"]))
	}
	if ports["http"] != given.address || ports["private"] != given.privateAddress {
		t.Errorf("ports %v, addresses %s and %s", ports, given.address, given.privateAddress)
	}
	for probe, path := range map[string]string{"startupProbe": "/readyz", "readinessProbe": "/readyz", "livenessProbe": "/healthz"} {
		if got := at(t, pod, "containers/0/"+probe+"/httpGet"); got.(map[string]any)["path"] != path || got.(map[string]any)["port"] != "private" {
			t.Errorf("%s asks for %v", probe, got)
		}
	}
	seconds := at(t, pod, "terminationGracePeriodSeconds").(int)
	grace := time.Duration(seconds) * time.Second
	if grace <= given.drain+given.limits.StopTimeout {
		t.Errorf("killed after %v, but it may take %v", grace, given.drain+given.limits.StopTimeout)
	}
	for path, want := range map[string]any{
		"enableServiceLinks": false, "automountServiceAccountToken": false, "securityContext/runAsNonRoot": true, "securityContext/runAsUser": 65532,
		"containers/0/securityContext/readOnlyRootFilesystem": true, "containers/0/securityContext/allowPrivilegeEscalation": false,
	} {
		if got := at(t, pod, path); got != want {
			t.Errorf("%s is %v", path, got)
		}
	}
	for name, kind := range map[string]string{
		"deployment": "Deployment", "service": "Service", "autoscaler": "HorizontalPodAutoscaler",
		"disruption-budget": "PodDisruptionBudget", "network-policy": "NetworkPolicy",
	} {
		if got := at(t, manifest(t, "kubernetes/"+name+".yaml"), "kind"); got != kind {
			t.Errorf("%s is a %v", name, got)
		}
	}
	// The autoscaler scales this Deployment, by a share of what each replica asks for, and never to the one that a node takes along.
	scaler := manifest(t, "kubernetes/autoscaler.yaml")
	if at(t, scaler, "spec/scaleTargetRef/name") != at(t, deployment, "metadata/name") || at(t, scaler, "spec/minReplicas").(int) < 2 ||
		at(t, pod, "containers/0/resources/requests/cpu") == nil {
		t.Errorf("the autoscaler: %v", at(t, scaler, "spec"))
	}
	if at(t, manifest(t, "kubernetes/service.yaml"), "spec/ports/0/targetPort") != "http" {
		t.Error("the Service leads to another port")
	}
	const label = "app.kubernetes.io/name"
	name := at(t, deployment, "spec/template/metadata/labels").(map[string]any)[label]
	for file, path := range map[string]string{
		"deployment": "spec/selector/matchLabels", "service": "spec/selector",
		"disruption-budget": "spec/selector/matchLabels", "network-policy": "spec/podSelector/matchLabels",
	} {
		if got := at(t, manifest(t, "kubernetes/"+file+".yaml"), path).(map[string]any)[label]; got != name {
			t.Errorf("%s selects %v", file, got)
		}
	}
}

func yamlText(t *testing.T, value any) string {
	t.Helper()
	text, err := yaml.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestComposeFile(t *testing.T) {
	service := at(t, manifest(t, "compose.yaml"), "services/jarwright")
	var environment []string
	for name, value := range at(t, service, "environment").(map[string]any) {
		environment = append(environment, name+"="+value.(string))
	}
	given := settled(t, environment)
	if len(given.trustedProxies) > 0 {
		t.Errorf("everybody reaches the port, and %v may say for whom they come", given.trustedProxies)
	}
	if at(t, service, "ports/0") != "8080"+given.address {
		t.Errorf("port %v, address %s", at(t, service, "ports/0"), given.address)
	}
	if grace, err := time.ParseDuration(at(t, service, "stop_grace_period").(string)); err != nil || grace <= given.drain+given.limits.StopTimeout {
		t.Errorf("killed after %v, but it may take %v (%v)", grace, given.drain+given.limits.StopTimeout, err)
	}
}
