package cli

import (
	"context"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"cotline/handover/entry"
)

// settings are the flags that several commands share. Each can be given in the
// environment too: COTLINE_RECORD for --record, and so on. A flag wins.
type settings struct {
	program          *Program
	ctx              context.Context // of the command that runs
	record, policy   string
	at, known, since string
	infant, cot      string
	infants, cots    []string // where more than one can be asked for
	narrow           bool     // the infants asked for are all that is made
	broken           bool     // an export of a damaged record is written all the same
}

// reading adds, by name, flags that say which record to read and as of when.
func (s *settings) reading(cmd *cobra.Command, names ...string) {
	for name, flag := range map[string]struct {
		to   *string
		help string
	}{
		"at":     {&s.at, "the moment to look at, RFC 3339 with an offset (default now)"},
		"known":  {&s.known, "as known at this moment (default now)"},
		"since":  {&s.since, "start of every window (default the last handover, or the shift)"},
		"infant": {&s.infant, "this infant alone, by the record's key"},
		"cot":    {&s.cot, "the infant in this cot alone"},
	} {
		if slices.Contains(names, name) {
			cmd.Flags().StringVar(flag.to, name, "", flag.help)
		}
	}
}

// defaultRecord is the record where none is named.
const defaultRecord = "cotline.db"

var inEnvironment = []string{"record", "policy", "at", "known", "since", "infant", "cot", "printed-by", "initials", "paper", "listen",
	"hourly", "tls-cert", "tls-key", "trusted-proxy", "address", "openid-issuer", "openid-client", "openid-secret-file",
	"openid-claim", "openid-role", "openid-name", "openid-domain"}

// fromEnvironment fills flags that were not given.
func (s *settings) fromEnvironment(cmd *cobra.Command) error {
	s.ctx = cmd.Context()
	for _, name := range inEnvironment {
		flag, variable := cmd.Flags().Lookup(name), "COTLINE_"+strings.ToUpper(strings.ReplaceAll(name, "-", "_"))
		value, set := s.program.Env(variable)
		if flag == nil || flag.Changed || !set || value == "" {
			continue
		}
		if err := flag.Value.Set(value); err != nil {
			return wrong{variable + ": found " + typed(value) + "; " + kindOfFlag(flag) + " is wanted", "mend or unset it"}
		}
	}
	s.infant, s.cot = strings.TrimSpace(s.infant), strings.TrimSpace(s.cot) // as keys are taken
	for _, name := range ofOutput {
		if flag := cmd.Flags().Lookup(name); flag != nil {
			if err := named(flag.Value.String()); err != nil {
				return err
			}
		}
	}
	if err := cmd.ValidateRequiredFlags(); err != nil {
		return misused{err}
	}
	return nil
}

// ofOutput are the flags that name what is written.
var ofOutput = []string{"output", "out", "csv", "pictures", "report"}

// moment reads a time of the command line; none is the zero time.
func moment(flag, text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	m, err := entry.ParseMoment(text)
	if err != nil {
		return time.Time{}, unfit(flag, text, err.Error())
	}
	return m.Time, nil
}

// window is the moments that the command line asks for.
type window struct{ at, known, since time.Time }

func (s *settings) window() (w window, err error) {
	now := s.program.Now()
	if w.at, err = moment("at", s.at); err != nil {
		return w, err
	}
	if w.known, err = moment("known", s.known); err != nil {
		return w, err
	}
	if w.since, err = moment("since", s.since); err != nil {
		return w, err
	}
	if w.at.IsZero() {
		w.at = now
	}
	if w.known.IsZero() {
		w.known = now
	}
	if !w.since.IsZero() && w.since.After(w.at) {
		return w, wrong{"--since lies after --at", "give an earlier one"}
	}
	return w, nil
}

// given is the name of the first of these flags that stands on the command line, or empty.
func given(flags *pflag.FlagSet, names ...string) string {
	for _, name := range names {
		if f := flags.Lookup(name); f != nil && f.Changed {
			return name
		}
	}
	return ""
}
