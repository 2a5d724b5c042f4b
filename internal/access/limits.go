package access

import (
	"time"
)

// Limits are lengths of time and counts. All but Default's are this project's own choice
// within NIST SP 800-63B-4: a session at AAL2 is to end after at most 24 h, and when idle
// for at most 1 h.
type Limits struct {
	Idle     time.Duration // a session that is not used
	Absolute time.Duration // a session, however much it is used
	Shift    time.Duration // a session of somebody who was let in by a colleague, at most
	Code     time.Duration // the code that a colleague gives
	Link     time.Duration // a link to set a password by
	PIN      time.Duration // how long after a password a PIN holds on a device
	Device   time.Duration // a device that nobody signed in on
	Look     time.Duration // a look beyond the own unit
	Token    time.Duration // of a program
	PINTries int           // wrong PINs of one person on one device, until her password is asked for
	Wrong    int           // wrong passwords from unknown devices one after the other, until a keeper resets
}

// DefaultLimits are those of a ward with 12 h shifts.
var DefaultLimits = Limits{
	Idle: 30 * time.Minute, Absolute: 13 * time.Hour, Shift: 13 * time.Hour, Code: 10 * time.Minute, Link: 24 * time.Hour,
	PIN: 13 * time.Hour, Device: 90 * 24 * time.Hour, Look: time.Hour,
	Token:    5 * time.Minute, // SMART App Launch, backend services: at most 300 s
	PINTries: 5,
	Wrong:    100, // NIST SP 800-63B-4, section on rate limiting: no more than 100
}

// stateFor is how long a sign-in elsewhere may take, and how long after one a PIN may be set
// without another.
const stateFor = 10 * time.Minute
