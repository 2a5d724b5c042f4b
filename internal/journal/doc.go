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
// # What proves a reading whole
//
// Beside the rows stands what is made of them alone, but for what is told of the
// clock, and made anew with each commit:
//
//	sum(n)  = SHA-256 over everything kept of row n: position, id, infant, kind,
//	          moment of acceptance, SHA-256(text)
//	seal(n) = SHA-256( seal(n-1) ‖ sum(n) )
//	index   = a map of names: an id to its position and sum; a list, such as all
//	          entries of one infant, to how many there are and the seal over their
//	          sums; a signed handover to the position it was cut at and its sum
//	top     = position, chain and seal of the last row; how many handovers were
//	          signed, and a seal over them; how many policies were put in force, and
//	          a seal over them; the hash of the index; which acceptance was the newest
//	          in no doubt (Clock); and over all that its own SHA-256
//
// The index is a tree of which every node is known by the hash that the node above
// it holds (type trie). So:
//
//   - a whole reading sees positions 1 to the top's without a hole, each row holding
//     to the chain in the row before, all together to the seal;
//   - a reading of some infants walks from the top to the item of each list, and
//     takes as many rows as the item says, under its seal. A damaged list, index or
//     row gives another count or another seal;
//   - 'not held' is told from the sound leaf in which the id would stand. A store's
//     own index, which a damage can cut short, is never asked.
//
// What is found wrong is told with the reading: a finding. Nothing is mended in
// place; Restore makes a fresh journal of what is whole. Verify makes all of it anew
// from the rows and compares.
//
// # The unit's policy
//
// A journal knows the policies of its unit. Each is kept as its canonical JSON under
// the SHA-256 of it. Which was put in force, from which position on, and when, is a
// list that is only added to; Append adds to it, in the transaction in which the first
// entries are taken under that policy, and only where the policy in force until then
// means another thing. The last of the list rules every command: no time zone, no name
// and no limit comes from anywhere else, unless somebody names a file to look with.
//
// The list is sealed by the top and each text by its hash. Where either is not what was
// kept, no policy is in force: a reading says so, and nothing is charted. An earlier one
// is never taken in place of the last. Restore keeps the list; where a text is lost, or
// the list is not whole, none is in force until one is put.
//
// A journal of before has no list, but every policy under which something was taken. If
// all of them mean the same, it was in force from the first row on, and the first that
// is charted writes that down. Of several nobody can tell which was the last: then none
// is in force until one is put, and what was signed stays under its own.
//
// # The clock that accepts
//
// A clock that stands before the newest acceptance, or more than a day after it while an
// infant is admitted, is in doubt: what it accepts is taken and the doubt said. No
// acceptance in doubt counts as the newest, so that a machine of another year does not
// settle, however much it takes. The doubt ends when the clock is right again, or by an
// entry, a note of the unit to be read out, by which somebody says that it is right.
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
//     SHA-256, the digest. They are kept, not made again when asked for;
//   - its form: of the infants that it names, with what concerns them of others and
//     of the unit (Named). Older ones are of the whole ward, and are verified so.
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
//  2. Rows, index, top, policies and signed handovers are written in that one
//     transaction. A crash before its commit is durable leaves none of them, one
//     after leaves all.
//  3. Write returns only when the commit is durable, and Append only after Write.
//     A crash in between loses an answer, never a row: offered again, the entries
//     are already held, which is no error.
//  4. Text and chain are functions of the entries and the chain before. Nothing of
//     them is remembered outside the store, so nothing can be out of step; but for
//     the mark, of which the next section is.
//
// # What is lost, and what is copied
//
// A store can lose what it had made durable: its write-ahead file is deleted or
// damaged, the disk forgets, an older copy is put in its place. What is left is a
// sound journal, only shorter, and nothing within it can tell. So each commit is
// followed by a mark outside the store: position and chain of the head, synced
// before Append returns. The mark is read before the state that it is held to. Then:
//
//   - killed before the commit: neither row nor mark. Killed between commit and mark,
//     or the mark could not be written: the journal is ahead of its mark, which is no
//     loss, and the next commit moves the mark. Killed in writing the mark: it has two
//     places in turn, and the one before still holds;
//   - a writer that is slow to write its mark does not put it over a newer one: the
//     mark is written with no other writer in the store, with the head as it is then;
//   - rows at the end are gone: the journal is behind its mark and is refused, by every
//     command, with both positions. A journal as long as it was, or longer, that does
//     not hold the mark's chain at its position is another one, and refused too;
//   - a copy of the store with its mark is a whole journal; one made while it was
//     written to, without its write-ahead file, is behind its mark if that was copied,
//     and refused. A copy without the mark is read and charted into, and it is said
//     each time that nothing tells whether it is whole: a copy must stay readable.
//     The first commit makes it a mark of its own. An older copy with its older mark
//     is sound in itself; only paper, or the newer mark, tells;
//   - the store is gone and the mark is there: nothing is begun anew under that name;
//   - the mark alone is damaged: what is read carries a finding; to chart, the loss
//     must be accepted, for nobody can say that there was none;
//   - a loss is accepted by an entry, a note of the unit to be read out, with both
//     positions, a reason and who accepts it. It is taken like any other, and the mark
//     follows it.
//
// # What shows, and what does not
//
// Verify finds a row that was changed, removed, put in, or put elsewhere, by its
// position, and a signed handover that does not come out again as it was. Nothing
// here has a secret: who can write to the store and to the mark, and makes every
// hash anew, is found only by the digits on paper.
package journal
