package handover

import (
	"fmt"
	"strings"
)

// Warning is what every face of a damaged record says before all else; empty for a
// sound one.
func (h *Handover) Warning() string {
	const most = 3 // the rest is counted: cotline verify lists all
	n := len(h.Findings)
	if n == 0 {
		return ""
	}
	more := ""
	if n > most {
		more = fmt.Sprintf("; and %d more", n-most)
	}
	return "WARNING: THIS RECORD IS DAMAGED, and what stands here may be wrong or missing. Hold it against paper and look at the infant. Found: " +
		strings.Join(h.Findings[:min(n, most)], "; ") + more + "."
}
