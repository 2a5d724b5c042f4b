// Package entry is the care record's own form: what an entry is, how it is read,
// refused, written and kept in order. It computes no fact of a handover and knows
// no policy; that is package handover's.
//
// # Terms
//
// A Value is a piece of a document as it was offered, whatever the document was.
// Decode makes an Entry of one, by the description of its kind: Kinds is the one
// table of them, and every form, schema, sheet and reader follows it. An Issue is a
// fault, with its place and what would be right. Accept judges entries that are
// offered to a record: a Holding is what is held already, Lists are the unit's own
// sizes and steps. Replay folds entries into a Record for each infant: a Standing
// is an entry as it stands, with the content of the correction that holds. A Stay
// is admission to discharge.
//
// An entry happened At a moment and was Charted at another. A Moment keeps the
// offset it was written with; a Date is a civil day; a Decimal keeps the digits it
// was charted with; Every is an interval, or none.
//
// # What holds
//
// An entry is never changed and never removed. A correction says the whole entry
// as it should have been, under an id of its own; a retraction makes an entry count
// for nothing, and leaves it readable. Of two corrections of one entry the one
// charted later holds, then the one of the greater id.
//
// The same entries replay to the same records in whatever order they come, and a
// file is taken or refused whole, whatever the order of its lines. What was taken
// once is taken again without effect; the same id with other content is refused.
//
// The canonical text of an entry is part of the record's contract: it is stored,
// hashed, compared and signed, and reads back as the same entry, to the byte.
// Numbers stand in it as they were written, text in NFC (Unicode Standard Annex
// 15), ids in lower case. A field that was not charted is absent, never empty.
//
// Nothing here reads a clock, a file, the network or chance. No charted number
// becomes a float, but where Float says so.
//
// # What to mind
//
// The ranges of Kinds are limits of what can be charted, not of what is right for
// an infant. Sizes and steps are held to the unit's lists when an entry is taken
// and never again, so that a list may change. Entry.Text and its like are empty
// both for a field that was not charted and for one of another type: ask Has.
// An Issue never shows what may hold a name; a Value and an Entry do. Entries are
// shared, not copied: whoever has one from a record leaves it as it is.
package entry
