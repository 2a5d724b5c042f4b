package cli

import (
	"strings"
	"sync"
	"testing"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

// What was read by one policy is not taken under another that was put in force
// meanwhile: it may have lent the file its clock and its sizes.
func TestPolicyPutMeanwhile(t *testing.T) {
	_, record, policy := smallWard(t)
	p, _, _ := inProcess(t)
	p.taking = new(sync.Mutex)
	s := &settings{program: p, ctx: t.Context(), record: record}
	c, err := s.charting(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer c.close()
	if code, _, stderr := runIn(t, record, alder(t), "chart"); code != 0 {
		t.Fatal(stderr)
	}
	asked := false
	_, err = c.append(t.Context(), func(*journal.Held) ([]*entry.Entry, error) { asked = true; return nil, nil })
	if asked || err == nil || !strings.Contains(err.Error(), "another policy was put in force meanwhile") {
		t.Error(asked, err)
	}
	if code, _, stderr := runIn(t, record, policy, "chart"); code != 0 { // as it was
		t.Fatal(stderr)
	}
	if _, err := c.append(t.Context(), journal.Offer(nil)); err != nil {
		t.Error(err)
	}
}
