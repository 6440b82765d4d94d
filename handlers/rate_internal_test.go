package handlers

import (
	"net/netip"
	"testing"
	"time"
)

// However many clients come, those that are counted fit into memory, and nobody gets more by waiting for a change of window.
func TestQuotasAreForgotten(t *testing.T) {
	q := newQuotas(RateLimit{Requests: 1, Window: time.Minute})
	now := time.Date(2026, 8, 15, 12, 0, 0, 0, time.UTC)
	for i := range 3 * maxClients {
		address := netip.AddrFrom4([4]byte{10, byte(i >> 16), byte(i >> 8), byte(i)})
		if allowed, _, _ := q.take(clientOf(address.String()), now); !allowed {
			t.Fatalf("client %d has no quota", i)
		}
		if len(q.recent)+len(q.older) > 2*maxClients {
			t.Fatalf("%d clients are counted", len(q.recent)+len(q.older))
		}
	}
	q = newQuotas(RateLimit{Requests: 1, Window: time.Minute})
	client := clientOf("192.0.2.1")
	for _, test := range []struct {
		after time.Duration
		want  bool
	}{{0, true}, {59 * time.Second, false}, {60 * time.Second, true}, {119 * time.Second, false}, {121 * time.Second, true}} {
		if got, _, _ := q.take(client, now.Add(test.after)); got != test.want {
			t.Errorf("after %v: %v, want %v", test.after, got, test.want)
		}
	}
}
