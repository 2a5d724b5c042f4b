package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"cotline/handover"
)

// several lets more than one infant be asked for.
func (s *settings) several(cmd *cobra.Command) {
	cmd.Flags().StringSliceVar(&s.infants, "infant", nil, "these infants alone, by the record's key; again or with commas for more")
	cmd.Flags().StringSliceVar(&s.cots, "cot", nil, "the infants in these cots alone; again or with commas for more")
}

// choose keeps of a handover the infants that were asked for.
func (s *settings) choose(h *handover.Handover) error {
	infants, cots := asked(s.infant, s.infants), asked(s.cot, s.cots)
	if len(infants)+len(cots) == 0 {
		return nil
	}
	chosen := func(infant, cot string) bool {
		return (len(infants) == 0 || slices.Contains(infants, infant)) &&
			(len(cots) == 0 || slices.ContainsFunc(cots, func(c string) bool { return strings.EqualFold(c, cot) }))
	}
	*h = *h.Of(chosen)
	for i, key := range infants {
		if !told(h, func(infant, _ string) bool { return infant == key }) {
			return missing("infant", i, len(infants))
		}
	}
	for i, key := range cots {
		if !told(h, func(_, cot string) bool { return strings.EqualFold(cot, key) }) {
			return missing("cot", i, len(cots))
		}
	}
	return nil
}

// choosing says whether some infants were asked for, and not the ward.
func (s *settings) choosing() bool {
	return len(asked(s.infant, s.infants))+len(asked(s.cot, s.cots)) > 0
}

// asked are the keys of a flag, given once or more than once.
func asked(one string, more []string) (keys []string) {
	for _, key := range append([]string{one}, more...) {
		if key = strings.TrimSpace(key); key != "" {
			keys = append(keys, key)
		}
	}
	return keys
}

// told says whether a handover tells of an infant.
func told(h *handover.Handover, is func(infant, cot string) bool) bool {
	return slices.ContainsFunc(h.Infants, func(f *handover.Summary) bool { return is(f.Infant, f.Cot) }) ||
		slices.ContainsFunc(h.Left, func(l handover.Left) bool { return is(l.Infant, l.Cot) })
}

// missing says which of the infants asked for is not there by its place in the list:
// the text given may be a patient's name.
func missing(flag string, i, n int) error {
	what := "no such infant is admitted at that moment"
	if n > 1 {
		what = fmt.Sprintf("--%s, number %d of %d: %s", flag, i+1, n, what)
	}
	return wrong{what, "leave out --infant and --cot to see who is"}
}
