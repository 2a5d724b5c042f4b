// Package access says who may do what, proves who somebody is, and keeps who did.
//
// # Terms
//
//   - A person has an account: a name to sign in by, the name that is shown, a home unit,
//     and roles in one or more units. Names are unique in the whole store.
//   - A program has a registration: its keys, the units and the scopes it may ask for.
//   - Who is a person or a program that was proven, for one request. It is made by
//     Session or Bearer from what the request carries, anew each time, so that a role
//     that is taken away or an account that is locked is so at once.
//   - A permission is one thing that may be done in a unit. The table in permission.go is
//     the only place that says which role has which; what it does not say is refused.
//   - The trace is the append-only list of who did what, one chain a unit.
//
// # What is promised
//
//   - Tokens of sessions, devices, links and programs are 256 random bits; only their
//     SHA-256 is kept. Who reads the store cannot sign in with what is there.
//   - A session is made at each proof of who somebody is and the one that the browser had
//     ends then, so a token that was planted before is worth nothing. It ends when it was
//     idle for Limits.Idle, at its absolute limit, when its owner or a keeper ends it, and
//     when the account is locked or its password set anew.
//   - Wrong, unknown, locked: one answer, ErrRefused, after the same work; who was proven at the
//     hospital's sign-in, and she alone, is told why she may not come in. Too many tries
//     are ErrLimited, by the name that was typed whether there is such a person or not,
//     and by address; a device on which a person signed in before has tries of its own, so
//     that nobody can lock her out from elsewhere.
//   - What is traced is durable before the method returns: nothing is shown, exported or
//     changed of which no trace could be kept. The trace holds opaque keys, names of staff,
//     and words of this program: no patient's data, and never what was typed as a name or
//     password by somebody who was refused.
//   - A one-time thing (link, code, assertion, state of a sign-in elsewhere) is used up in
//     the transaction that takes it.
//
// # How a server uses it
//
// Before anything else it asks Anyone: while there are no people it listens on loopback
// only, and prints the link that FirstKeeper makes. For each request it reads the token by
// Cookies, gets Who from Session (Glance, where a page asks by itself; Bearer, of a program),
// and calls Allow with the unit and the permission that its table of routes names. ErrNotAllowed of a unit or an infant is answered as if
// there were none: never by another text, status or time. Before a face of an infant leaves,
// it calls Note. Every method is safe for use by several goroutines, and several processes
// may have the store open.
//
// # Caveats
//
//   - The clock is Now; nothing here sleeps. Limits of guessing live in memory: they start
//     afresh with the process, but for the count of wrong passwords, which is kept.
//   - A trace that was cut at its end shows against a mark outside the store, where the driver
//     keeps one, and says so itself from then on. Who can write to both can make every hash
//     anew: the trace's head, which cotline trace prints, noted elsewhere, shows that too.
//   - Of the console anybody who can read the record's file is master: the file's mode and
//     the disk's encryption guard it, not this package.
//   - Passwords are compared byte for byte as they came (ASVS 5.0, 6.2.8): one that is typed
//     in another Unicode form is another.
package access
