package read

import (
	"slices"
	"strings"

	"cotline/fhir/internal/r4"
)

// unread is said of a handover that was written to be read: what stands in it is ours,
// and yet there is no entry in it.
const unread = "a handover to be read, without the care entries: no record can be made of it; ask for it with --entries, or for a transfer"

// isDocument says whether a Composition is one that this tool writes, whatever the unit.
func isDocument(n *r4.Part) bool {
	return slices.ContainsFunc(n.List("section"), func(s *r4.Part) bool {
		return slices.ContainsFunc(codings(s.At("code")), func(c string) bool {
			system, code, _ := strings.Cut(c, "|")
			return code == r4.SectionEntries.Code && strings.HasSuffix(system, r4.OwnSystemPath)
		})
	})
}
