package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
)

// workload is what a Deployment says of who may reach its pods.
type workload struct {
	Spec struct {
		Template struct {
			Metadata struct {
				Labels map[string]string `yaml:"labels"`
			} `yaml:"metadata"`
			Spec struct {
				HostNetwork bool `yaml:"hostNetwork"`
				Containers  []struct {
					Env []struct {
						Name string `yaml:"name"`
					} `yaml:"env"`
					Ports []namedPort `yaml:"ports"`
				} `yaml:"containers"`
			} `yaml:"spec"`
		} `yaml:"template"`
	} `yaml:"spec"`
}

type namedPort struct {
	Name     string `yaml:"name"`
	Number   int    `yaml:"containerPort"`
	HostPort int    `yaml:"hostPort"`
}

// networkPolicy is what a NetworkPolicy says of who may come in (Kubernetes API reference, networking.k8s.io/v1).
type networkPolicy struct {
	Kind string `yaml:"kind"`
	Spec struct {
		PodSelector labelSelector `yaml:"podSelector"`
		PolicyTypes []string      `yaml:"policyTypes"`
		Ingress     []ingressRule `yaml:"ingress"`
	} `yaml:"spec"`
}

type ingressRule struct {
	From  []policyPeer `yaml:"from"` // none: from everywhere
	Ports []policyPort `yaml:"ports"`
}

type policyPort struct {
	Port any `yaml:"port"` // name, number, or nothing for every port
	End  int `yaml:"endPort"`
}

type policyPeer struct {
	Namespaces *labelSelector `yaml:"namespaceSelector"`
	Pods       *labelSelector `yaml:"podSelector"`
	Block      any            `yaml:"ipBlock"`
}

type labelSelector struct {
	Labels      map[string]string `yaml:"matchLabels"`
	Expressions []any             `yaml:"matchExpressions"`
}

// selects reports whether a selector takes in something with these labels. One with expressions is read as wide as it may be.
func (s *labelSelector) selects(labels map[string]string) bool {
	for name, value := range s.Labels {
		if labels[name] != value {
			return false
		}
	}
	return true
}

// opens reports whether a rule lets somebody reach a port.
func (r *ingressRule) opens(port namedPort) bool {
	if len(r.Ports) == 0 {
		return true
	}
	return slices.ContainsFunc(r.Ports, func(p policyPort) bool {
		number, numbered := p.Port.(int)
		return p.Port == nil || p.Port == port.Name || numbered && number <= port.Number && port.Number <= max(number, p.End)
	})
}

// narrow reports whether a peer is certain pods of certain namespaces.
func (p *policyPeer) narrow() bool {
	certain := func(s *labelSelector) bool { return s != nil && len(s.Labels) > 0 }
	return p.Block == nil && certain(p.Namespaces) && certain(p.Pods)
}

// exposures are the ways in which somebody may reach a port that is not for them: the private one always, the public one where
// forwarded headers are believed.
func exposures(pods *workload, policies []networkPolicy) []string {
	var faults []string
	template := &pods.Spec.Template
	believes := false
	guarded := []string{"private"}
	for _, variable := range template.Spec.Containers[0].Env {
		believes = believes || variable.Name == environmentPrefix+"TRUSTED_PROXIES"
	}
	if believes {
		guarded = append(guarded, "http")
	}
	if template.Spec.HostNetwork {
		faults = append(faults, "the pods have the network of their node, for which no policy holds")
	}
	policies = slices.DeleteFunc(slices.Clone(policies), func(p networkPolicy) bool {
		return !slices.Contains(p.Spec.PolicyTypes, "Ingress") || !p.Spec.PodSelector.selects(template.Metadata.Labels)
	})
	if !slices.ContainsFunc(policies, func(p networkPolicy) bool { return len(p.Spec.PodSelector.Expressions) == 0 }) {
		faults = append(faults, "no policy is for these pods")
	}
	reach := map[string][]string{} // who reaches each guarded port
	for _, port := range template.Spec.Containers[0].Ports {
		if port.HostPort != 0 {
			faults = append(faults, port.Name+" is open at the node")
		}
		if !slices.Contains(guarded, port.Name) {
			continue
		}
		for i := range policies {
			found, wide := callers(&policies[i], port)
			reach[port.Name] = append(reach[port.Name], found...)
			faults = append(faults, wide...)
		}
		if len(reach[port.Name]) == 0 {
			faults = append(faults, "nobody may reach "+port.Name)
		}
	}
	for _, each := range reach["http"] {
		if slices.Contains(reach["private"], each) {
			faults = append(faults, each+" may reach both ports")
		}
	}
	return faults
}

// callers are the pods that a policy lets reach a port, and where it lets in more than certain pods.
func callers(policy *networkPolicy, port namedPort) (found, wide []string) {
	for _, rule := range policy.Spec.Ingress {
		if !rule.opens(port) {
			continue
		}
		if len(rule.From) == 0 {
			wide = append(wide, "everybody may reach "+port.Name)
		}
		for _, peer := range rule.From {
			if !peer.narrow() {
				wide = append(wide, "more than certain pods of certain namespaces may reach "+port.Name)
				continue
			}
			found = append(found, fmt.Sprint(peer.Namespaces.Labels, peer.Pods.Labels))
		}
	}
	return found, wide
}

// exposuresOf reads the manifests of a folder as text by file name.
func exposuresOf(t *testing.T, files map[string]string) []string {
	t.Helper()
	var pods workload
	var policies []networkPolicy
	for name, text := range files {
		var policy networkPolicy
		if err := yaml.Unmarshal([]byte(text), &policy); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		switch policy.Kind {
		case "NetworkPolicy":
			policies = append(policies, policy)
		case "Deployment":
			if err := yaml.Unmarshal([]byte(text), &pods); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
	}
	return exposures(&pods, policies)
}

// kubernetesFiles are the manifests by name.
func kubernetesFiles(t *testing.T) map[string]string {
	t.Helper()
	names, err := filepath.Glob("../../examples/kubernetes/*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatalf("%d manifests: %v", len(names), err)
	}
	files := map[string]string{}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(name)] = string(text)
	}
	return files
}

// Only the ingress reaches the port on which forwarded headers are believed, and only the monitoring the private one.
func TestPortsAreReachedByThoseWhoMay(t *testing.T) {
	if faults := exposuresOf(t, kubernetesFiles(t)); len(faults) > 0 {
		t.Error(strings.Join(faults, "; "))
	}
}

// Every way that we know to open a port to others is noticed. Each is one change of the manifests.
func TestOpenPortsAreNoticed(t *testing.T) {
	const (
		policy, deployment = "network-policy.yaml", "deployment.yaml"
		ingress            = "            matchLabels: {kubernetes.io/metadata.name: ingress}\n"
		controller         = "          podSelector:\n            matchLabels: {app.kubernetes.io/component: controller}\n"
		fromIngress        = "    - from:\n        - namespaceSelector:\n" + ingress + controller
		toHTTP             = "      ports:\n        - {protocol: TCP, port: http}\n"
		selected           = "    matchLabels: {app.kubernetes.io/name: jarwright}\n"
		trusted            = `            - {name: JARWRIGHT_TRUSTED_PROXIES, value: "10.0.0.0/8"}` + "\n"
		more               = "more than certain pods"
	)
	for _, test := range []struct {
		name, file, old, new string
		want                 string // of the fault; empty where there is none
	}{
		{"any namespace", policy, ingress, "            {}\n", more},
		{"any pod of the namespace", policy, controller, "", more},
		{"any pod by an empty selector", policy, "matchLabels: {app.kubernetes.io/component: controller}", "{}", more},
		{"either instead of both", policy, controller, strings.Replace(controller, "  podSelector", "- podSelector", 1), more},
		{"every address", policy, fromIngress, "    - from:\n        - ipBlock: {cidr: 0.0.0.0/0}\n", more},
		{"every address besides", policy, controller, controller + "        - ipBlock: {cidr: 10.0.0.0/8}\n", more},
		{"from nowhere said", policy, fromIngress + toHTTP, "    - ports:\n        - {protocol: TCP, port: http}\n", "everybody may reach http"},
		{"from an empty list", policy, fromIngress, "    - from: []\n", "everybody may reach http"},
		{"a rule without anything", policy, "  egress: []\n", "    - {}\n", "everybody may reach private"},
		{"the number of the port", policy, "  egress: []\n", "    - ports: [{port: 8080}]\n", "everybody may reach http"},
		{"a range of ports", policy, "  egress: []\n", "    - ports: [{port: 9000, endPort: 9999}]\n", "everybody may reach private"},
		{"a port of no name", policy, "  egress: []\n", "    - ports: [{protocol: TCP}]\n", "everybody may reach private"},
		{"all ports to the ingress", policy, toHTTP, "", "may reach both ports"},
		{"the ingress instead of the monitoring", policy, toHTTP, toHTTP + "        - {protocol: TCP, port: private}\n", "may reach both ports"},
		{"other pods", policy, selected, "    matchLabels: {app.kubernetes.io/name: another}\n", "no policy is for these pods"},
		{"only what leaves", policy, "[Ingress, Egress]", "[Egress]", "no policy is for these pods"},
		{"pods by an expression", policy, selected, "    matchExpressions: [{key: a, operator: Exists}]\n", "no policy is for these pods"},
		{"pods of another label", deployment, "      labels: {app.kubernetes.io/name: jarwright}", "      labels: {app: a}", "no policy is for these pods"},
		{"the network of the node", deployment, "      enableServiceLinks: false\n", "      hostNetwork: true\n", "network of their node"},
		{"a port of the node", deployment, "containerPort: 8080}", "containerPort: 8080, hostPort: 8080}", "open at the node"},
		{"nobody", policy, fromIngress + toHTTP, "", "nobody may reach http"},
		{"every pod by an empty selector of the policy", policy, selected, "    matchLabels: {}\n", ""},
		{"no header is believed", deployment, trusted, "", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			files := kubernetesFiles(t)
			changed := strings.Replace(files[test.file], test.old, test.new, 1)
			if changed == files[test.file] {
				t.Fatalf("%s has no %q", test.file, test.old)
			}
			files[test.file] = changed
			faults := strings.Join(exposuresOf(t, files), "; ")
			if (faults == "") != (test.want == "") || !strings.Contains(faults, test.want) {
				t.Errorf("%q, want %q", faults, test.want)
			}
		})
	}
	t.Run("no policy at all", func(t *testing.T) {
		files := kubernetesFiles(t)
		delete(files, policy)
		if faults := exposuresOf(t, files); !slices.Contains(faults, "no policy is for these pods") {
			t.Error(faults)
		}
	})
	t.Run("a second policy that opens", func(t *testing.T) {
		files := kubernetesFiles(t)
		files["second.yaml"] = "kind: NetworkPolicy\nspec: {podSelector: {}, policyTypes: [Ingress], ingress: [{}]}\n"
		if faults := exposuresOf(t, files); !slices.Contains(faults, "everybody may reach http") {
			t.Error(faults)
		}
	})
	t.Run("open to everybody, where no header is believed", func(t *testing.T) {
		files := kubernetesFiles(t)
		files[policy] = strings.Replace(files[policy], fromIngress, "    - from: []\n", 1)
		files[deployment] = strings.Replace(files[deployment], trusted, "", 1)
		if faults := exposuresOf(t, files); len(faults) > 0 {
			t.Error(faults)
		}
	})
}
