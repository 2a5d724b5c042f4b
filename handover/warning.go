package handover

import (
	"fmt"
	"strings"
)

// mostFindings are told in a warning; the rest is counted, and cotline verify lists all.
const mostFindings = 3

// Warning is what every face of a damaged record says before all else; empty for a
// sound one.
func (h *Handover) Warning() string {
	n := len(h.Findings)
	if n == 0 {
		return ""
	}
	more := ""
	if n > mostFindings {
		more = fmt.Sprintf("; and %d more", n-mostFindings)
	}
	return "WARNING: THIS RECORD IS DAMAGED, and what stands here may be wrong or missing. " +
		"Hold it against paper and look at the infant. Found: " +
		strings.Join(h.Findings[:min(n, mostFindings)], "; ") + more + "."
}
