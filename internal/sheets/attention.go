package sheets

import (
	"slices"
	"strings"

	"cotline/handover"
)

// lookWords is the ward line of an infant: what needs a person now, each thing after the
// mark, then what is to be known; all of it.
func lookWords(s *handover.Summary) string {
	return strings.Join(slices.Concat(attentionOf(s, handover.Now, "!! "), attentionOf(s, handover.Know, "")), "; ")
}

// nowWords is what needs somebody now.
func nowWords(s *handover.Summary) string {
	return strings.Join(attentionOf(s, handover.Now, "!! "), "; ")
}

// attentionOf is what is to be looked at, of a level, each thing after a mark.
func attentionOf(s *handover.Summary, level, mark string) (out []string) {
	for _, a := range s.Attention {
		if a.Level == level {
			out = append(out, mark+a.Text)
		}
	}
	return out
}
