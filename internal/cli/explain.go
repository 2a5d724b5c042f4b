package cli

import (
	"context"
	"errors"
	"io/fs"
	"strings"

	"cotline/fhir"
	"cotline/internal/journal"
)

// wrong is a wrong call: what is wrong, and what to do.
type wrong struct{ what, next string }

func (w wrong) Error() string { return w.what + "; " + w.next }

// advice is what to do next about an error that no command explains itself.
var advice = []struct {
	is   error
	what string // in place of the error's own words, where it has none for a reader
	next string
}{
	{journal.ErrBehind, "", "put back the newest file, with its -wal where there is one, or a backup; cotline chart --accept-loss REASON --by KEY goes on without what is gone"},
	{journal.ErrDamaged, "", "cotline restore makes a record of what is whole; run cotline verify to see where, and restore the last backup"},
	{journal.ErrReadOnly, "", "nothing was taken: check who may write to it and to its folder"},
	{journal.ErrBusy, journal.ErrBusy.Error(), "nothing was taken: try again"},
	{journal.ErrFull, journal.ErrFull.Error(), "nothing was taken: make room and try again"},
	{journal.ErrNewer, "", "use that version"},
	{journal.ErrForeign, "", "name the record with --record"},
	{fs.ErrNotExist, "", "check the name"},
	{fs.ErrPermission, "", "check who may read and write it"},
	{context.Canceled, "stopped", "nothing was taken half"},
}

// explain is an error on one line, with what to do next.
func explain(err error) string {
	var w wrong
	if errors.As(err, &w) {
		return w.Error()
	}
	for _, a := range advice {
		if errors.Is(err, a.is) {
			if a.what != "" {
				return a.what + "; " + a.next
			}
			return err.Error() + "; " + a.next
		}
	}
	text := err.Error()
	var absent *fhir.NotSet
	if errors.As(err, &absent) {
		return text + "; set them in the policy"
	}
	if strings.HasPrefix(text, "unknown") || strings.Contains(text, "arg(s)") || strings.Contains(text, "flag") {
		return text + "; see cotline --help" // the flag parser's own words
	}
	return text
}
