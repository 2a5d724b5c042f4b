package access

import (
	"errors"
	"fmt"
	"time"
)

// Refusals, for callers to tell apart. Their texts may be shown.
var (
	// ErrRefused is the one answer to a name, password, PIN, code or link that does not
	// hold, whatever the reason.
	ErrRefused = errors.New("that does not let you in")
	// ErrNoSession is a token of no session, or of one that ended: sign in again.
	ErrNoSession = errors.New("nobody is signed in")
	// ErrNotAllowed is something that this person or program may not do.
	ErrNotAllowed = errors.New("that is not among what you may do")
	// ErrNoPerson is told to keepers only.
	ErrNoPerson = errors.New("there is nobody of that name")
	ErrTaken    = errors.New("that name is taken")
	// ErrNotFirst refuses a first keeper where there are people.
	ErrNotFirst = errors.New("there are people already")
	// ErrDamaged is something kept that is not what was kept.
	ErrDamaged = errors.New("what is kept of people or programs cannot be read")
)

// Proven refuses somebody whom the hospital's sign-in proved. Since she is who she says, she
// is told why. It is ErrRefused, too.
type Proven struct{ Why Why }

func (p *Proven) Error() string { return string(p.Why) }
func (p *Proven) Unwrap() error { return ErrRefused }

// Why somebody who was proven is refused. The words stand in the trace.
type Why string

// Reasons.
const (
	IsLocked    Why = "locked"
	HasNoRole   Why = "no role"
	HasNoName   Why = "no name that charts"
	NameIsTaken Why = "name of another account"
	NotAsked    Why = "not asked who she is"
)

// Limited is too many tries. It says nothing about whether the last one was right.
type Limited struct{ Wait time.Duration }

func (l *Limited) Error() string {
	return fmt.Sprintf("too many tries: wait %s", l.Wait.Round(time.Second))
}

// Unfit is something typed that a rule does not take, and the rule in words. It never
// holds what was typed.
type Unfit struct{ Field, Rule string }

func (u *Unfit) Error() string { return u.Field + ": " + u.Rule }
