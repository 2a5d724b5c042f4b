// Package handover compiles, for any moment, what the nurse who comes on must know
// of each infant on nasal CPAP, from the record's entries alone. It computes and
// shows; it never recommends a setting. Local policy and the prescriber win.
//
// # Terms
//
// A Policy is the unit's: its clock, intervals, limits, names and lists. A Ward is
// what a handover is compiled from: entries and policy. Compile yields a Handover
// as of a moment, At, from what had been written down by another, Known, over a
// window that begins Since; it holds a Summary for each infant admitted. A spell
// is an unbroken time on support. A Maybe is a figure in one of three states:
// charted, not charted (a gap), not applicable, with the reason where that helps.
// A Source says which entry a fact comes from, and who charted it when. A Series
// is what was charted over time, for pictures.
//
// # What holds
//
// A handover is a function of entries, policy and moments: the same ones give the
// same handover, in whatever order the entries come. Nothing here reads a clock, a
// file, the network or chance, and no order of a map reaches what comes out.
//
// Absence is never a fact: what nobody charted is told as a gap, and what does not
// apply is told apart from it. Every fact can be traced to the entry it came from,
// as it stood then; what was corrected says so. A file computes one fact, and no
// face computes any.
//
// Charted numbers are decimals, figures are computed to 34 digits and rounded once,
// half away from zero. Growth and humidity alone are computed in floats, as their
// equations are defined. Each constant has a row in Constants that says where it
// comes from: published, common practice, invented, from memory.
//
// Intervals are elapsed time, days are civil days of the unit's zone: across a
// change of the clock a day may have 23 or 25 hours, and four hours stay four.
//
// # What to mind
//
// A window starts where the infant was last accepted, unless it is asked for, so
// two infants of one handover may have windows of different length. An entry that
// is charted late changes the handover of a moment before it: give Known to see
// what could be known then. A signed handover keeps the hash of its policy; another
// policy gives another handover. Thresholds are the unit's own sentences, shown
// with their source, never verdicts.
package handover
