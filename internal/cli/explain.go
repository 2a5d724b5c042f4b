package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"cotline/fhir"
	"cotline/internal/access"
	"cotline/internal/journal"
)

// misused is a call that the command line itself refuses: no such command or flag, or
// too many words.
type misused struct{ err error }

func (m misused) Error() string { return m.err.Error() }
func (m misused) Unwrap() error { return m.err }

// guarded has what a command refuses of its call told by type, and without the words that
// were typed.
func guarded(cmd *cobra.Command) {
	cmd.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return misused{flagFault(err)} })
	if check := cmd.Args; check != nil {
		cmd.Args = func(c *cobra.Command, args []string) error {
			err := check(c, args)
			if err != nil && len(args) > 0 {
				err = fmt.Errorf("%s takes nothing but flags, and found %s beside them", c.CommandPath(), plural(len(args), "word"))
			}
			if err != nil {
				return misused{err}
			}
			return nil
		}
	}
	for _, sub := range cmd.Commands() {
		guarded(sub)
	}
}

// kindOfFlag says what a flag takes.
func kindOfFlag(f *pflag.Flag) string {
	switch f.Value.Type() {
	case "bool":
		return "true or false"
	case "int":
		return "a whole number"
	}
	return "another"
}

// flagFault is an error of a flag without the value that was typed, which may be a name.
// How a flag is called that there is not is told where it is of the form of flags:
// whoever mistyped one must see it.
func flagFault(err error) error {
	var value *pflag.InvalidValueError
	if errors.As(err, &value) {
		return fmt.Errorf("--%s: found %s; give %s", value.GetFlag().Name, typed(value.GetValue()), kindOfFlag(value.GetFlag()))
	}
	var none *pflag.NotExistError
	var form *pflag.InvalidSyntaxError
	switch {
	case errors.As(err, &form), errors.As(err, &none) && strings.Trim(none.GetSpecifiedName(), "abcdefghijklmnopqrstuvwxyz-") != "":
		return errors.New("there is no such flag")
	}
	return err
}

// advice is what to do next about an error of the record that no command explains
// itself.
var advice = []struct {
	is   error
	next string
}{
	{journal.ErrBehind, "put back the newest file, with its -wal where there is one, or a backup; " +
		"cotline chart --accept-loss REASON --by KEY goes on without what is gone"},
	{journal.ErrDamaged, "cotline restore makes a record of what is whole; run cotline verify to see where, and restore the last backup"},
	{access.ErrDamaged, "run cotline verify, and restore the last backup"},
	{journal.ErrReadOnly, "nothing was taken: check who may write to it and to its folder"},
	{journal.ErrBusy, "nothing was taken: try again"},
	{journal.ErrFull, "nothing was taken: make room and try again"},
	{journal.ErrNewer, "use that version"},
	{journal.ErrForeign, "name the record with --record"},
}

// explain is an error on one line, with what to do next.
func explain(err error) string {
	var w wrong
	if errors.As(err, &w) {
		return w.Error()
	}
	if errors.Is(err, context.Canceled) {
		return "stopped; nothing was taken half"
	}
	of := about(err)
	if of != "" {
		of += ": "
	}
	for _, a := range advice {
		if errors.Is(err, a.is) {
			return of + ownWords(err, a.is) + "; " + a.next
		}
	}
	var none *journal.NoPolicy
	if errors.As(err, &none) {
		return of + none.Error() + "; cotline policy --example > unit.yaml prints a commented start, and " +
			"cotline chart --policy unit.yaml puts it in force [no-policy]"
	}
	if o, ok := obstacleOf(err); ok {
		return of + o.words + "; " + o.next
	}
	var absent *fhir.NotSet
	if errors.As(err, &absent) {
		return err.Error() + "; set them in the policy"
	}
	var m misused
	if errors.As(err, &m) {
		return m.Error() + "; see cotline --help"
	}
	return err.Error()
}

// ownWords are an error's without the place, which is told before them; of one that a
// driver wraps they are the kind's alone, for the driver's hold numbers.
func ownWords(err, kind error) string {
	var coded interface{ Code() int }
	if errors.As(err, &coded) {
		return kind.Error()
	}
	var r recordError
	if errors.As(err, &r) {
		err = r.err
	}
	return err.Error()
}
