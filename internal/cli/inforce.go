package cli

import (
	"errors"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/journal"
)

// namedPolicy reads the file that --policy names; nil where it names none.
func (s *settings) namedPolicy() (*handover.Policy, error) {
	if s.policy == "" {
		return nil, nil
	}
	text, err := readSettings(s.ctx, s.policy)
	if err != nil {
		return nil, err
	}
	policy, issues := intake.Policy(text)
	for _, i := range issues {
		s.program.say("%s: %s", s.policy, i)
	}
	if len(issues) > 0 {
		return nil, wrong{"the policy cannot be used", "mend it"}
	}
	for _, w := range policy.Warnings() {
		s.program.say("%s: %s; look at it", s.policy, w)
	}
	return policy, nil
}

// withoutRecord is the policy where no stored record has one: of the file that --policy
// names, else the one built in, which is said.
func (s *settings) withoutRecord() (*handover.Policy, error) {
	policy, err := s.namedPolicy()
	if policy != nil || err != nil {
		return policy, err
	}
	policy, issues := intake.Policy(nil)
	if len(issues) > 0 {
		return nil, errors.New("the policy built in: " + issues[0].String())
	}
	s.program.say("no policy is named: the one built in is used, with a clock, names and limits that are no unit's (%s, %s); name the "+
		"unit's own with --policy", policy.Unit, policy.Zone)
	return policy, nil
}

// ruling is the policy by which a stored record is looked at: its own, or the file that
// --policy names, which is said where it is another.
func (s *settings) ruling(had journal.Policies, named *handover.Policy) (*handover.Policy, error) {
	switch {
	case named == nil && had.Now == nil:
		return nil, recordError{s.record, had.Err}
	case named == nil:
		return had.Now, nil
	case had.Now == nil:
		s.program.say("looked at with %s; in %s %s", s.policy, s.record, withoutKind(had.Err))
	case had.Now.Hash() != named.Hash():
		s.program.say("looked at with %s, which is not the policy in force in %s: there it stays as it is", s.policy, s.record)
	}
	return named, nil
}

// withoutKind is what an error of the record's policy says, fit for the middle of a line.
func withoutKind(err error) string {
	var none *journal.NoPolicy
	if errors.As(err, &none) {
		return none.Error()
	}
	return "it cannot be told which is in force: " + err.Error()
}

// ofUnit is the policy for what needs no record: that of the record that is there, of the
// file that --policy names, or the one built in. History is what was in force.
func (s *settings) ofUnit(cmd *cobra.Command) (policy *handover.Policy, history journal.Policies, err error) {
	if s.plain() || !s.thereIs() && !s.moved() && given(cmd.Flags(), "record") == "" && s.record == defaultRecord {
		policy, err = s.withoutRecord()
		return policy, history, err
	}
	named, err := s.namedPolicy()
	if err != nil {
		return nil, history, err
	}
	j, err := s.open(s.ctx, false)
	if err != nil {
		return nil, history, err
	}
	history, err = j.History(s.ctx)
	if err = errors.Join(err, j.Store.Close()); err != nil {
		return nil, history, recordError{s.record, err}
	}
	policy, err = s.ruling(history, named)
	return policy, history, err
}

// thereIs says whether there is a file under the record's name.
func (s *settings) thereIs() bool {
	_, err := os.Stat(s.record)
	return !errors.Is(err, fs.ErrNotExist)
}
