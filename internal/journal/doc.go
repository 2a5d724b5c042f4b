// Package journal keeps a unit's care entries, append-only, so that what was
// taken stays and what was changed shows.
//
// # What is kept
//
// A journal is a list of rows, one an entry, for each unit of a store. A row has
// its position, the entry's id, infant and kind, the entry's text, the moment it
// was accepted, and the chain. Positions of a unit start at 1 and follow each
// other without a gap. They order nothing clinical: an entry's own moments do.
// Nothing is ever changed or removed in place; a correction is an entry.
//
// The text is the entry's canonical JSON (entry.Entry.AppendCanonical): fields
// in the order of the table of kinds, numbers as charted, text in NFC, ids in
// lower case, charted only where it was offered. It is what is hashed:
//
//	chain(0) = 32 zero bytes
//	chain(n) = SHA-256( chain(n-1) ‖ SHA-256(text(n)) )
//
// Accepted is the journal's own clock, once for a whole file: RFC 3339, with the
// unit's offset. Nobody can supply it. An entry without charted was charted when
// it was accepted, and is so stamped whenever it is read.
//
// # What was signed
//
// When a handover entry is taken, the journal keeps beside it what was signed:
//
//   - its position: that of the last row of the file that brought it, so that the
//     order of lines within a file means nothing here either. Whatever was there
//     by then is in, whatever comes later is not;
//   - the chain there, of which the first 12 hex digits go on paper;
//   - the SHA-256 of the policy in force, whose text is kept under it;
//   - the version of the engine;
//   - the bytes of the handover as JSON, compiled from the rows up to that
//     position for the handover's asOf, as known when it was charted, and their
//     SHA-256, the digest. They are kept, not made again when asked for.
//
// # What is promised
//
// A file is taken whole or not at all, and once Append has returned without an
// error, a power cut loses nothing of it. The argument, for any store that keeps
// the contract of Store:
//
//  1. Append does everything within one Write. Write keeps other writers out from
//     its start, so what is read there (the head, what is held) is still so when
//     the rows are written: no two rows get one position, and no entry is judged
//     against a record that no longer is.
//  2. Rows, policy and signed handovers are written in that one transaction. A
//     crash before its commit is durable leaves none of them, one after leaves all.
//  3. Write returns only when the commit is durable, and Append only after Write.
//     A crash in between loses an answer, never a row: offered again, the entries
//     are already held, which is no error.
//  4. Text and chain are functions of the entries and the chain before. Nothing of
//     them is remembered outside the store, so nothing can be out of step.
//
// # What shows, and what does not
//
// Verify finds a row that was changed, removed from the middle, put in, or put
// elsewhere, by its position, and a signed handover that does not come out again
// as it was. Rows cut off the end show as soon as one handover was signed after
// them, in the store or on paper. The chain has no secret: who can write to the
// store and makes every hash anew is found only by the digits on paper. Accepted
// is not under the chain; where it stands for a charted that was left out, it is
// under the digest of each handover that was signed on it.
package journal
