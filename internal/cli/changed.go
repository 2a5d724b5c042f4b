package cli

import (
	"fmt"

	"cotline/handover"
)

// longestValue is of a value of a policy that is told beside another, in characters.
const longestValue = 60

// changesOf are the values of a policy that are others than in the one before, a line
// each. Long ones, as the list of staff, are not told.
func changesOf(before, now *handover.Policy) (out []string) {
	was := before.Lines()
	for i, l := range now.Lines() {
		if l.Value == was[i].Value {
			continue
		}
		from, to := plainly(was[i].Value), plainly(l.Value)
		if len(from) > longestValue || len(to) > longestValue {
			out = append(out, l.Path+" is another")
			continue
		}
		out = append(out, fmt.Sprintf("%s: %s, was %s", l.Path, to, from))
	}
	return out
}

// plainly is a value of a policy without the marks of JSON where it is one word.
func plainly(value string) string {
	if value == "" {
		return "not set"
	}
	if n := len(value); n > 2 && value[0] == '"' && value[n-1] == '"' {
		return value[1 : n-1]
	}
	return value
}
