package cli

import "cotline/handover/entry"

// wrong is a wrong call: what is wrong, and what to do.
type wrong struct{ what, next string }

func (w wrong) Error() string { return w.what + "; " + w.next }

// unfit is a flag whose value it does not take. What was typed is told as a value of an
// entry is, for it may be a name: numbers, moments, ids and the record's own words alone.
func unfit(flag, value, next string) error {
	return wrong{"--" + flag + ": found " + typed(value), next}
}

func typed(value string) string { return entry.NewText(value).Shown() }
