// Package page tells a handover as JSON for programs, as text for a terminal
// and as one HTML page for paper. It computes nothing: every figure is one of
// the compiled handover, and no face asks a clock, a file or a network.
//
// Text and HTML have two forms. The short one is what a nurse tells of an infant
// in a dozen lines, the full one holds every fact.
//
// Terms. A view puts an infant's facts into rows of words; text and HTML lay out
// the same rows, so that they cannot differ in a fact. JSON has each fact with
// its moment, its author and its entry: it is the handover's table of facts, walked
// in its order, so that a new fact stands there without a line of code here. A
// picture is an SVG of one infant's series; a sheet is a sheet of paper.
//
// Three states are kept apart on every face. Charted: the value. Not charted:
// null, "NOT CHARTED" and a line among the gaps. Not applicable: nothing. A
// figure left out for another reason stands under "not computed".
//
// Invariants.
//   - The same handover gives the same bytes.
//   - "!!" stands beside what the engine's attention puts as now, all of it and
//     nothing else; colour only repeats it.
//   - A name is never cut, and that of a restricted infant stands nowhere.
//   - Charted text cannot turn, hide or end what stands round it: control
//     characters are replaced, direction is isolated, HTML and CSS are escaped.
//   - A screen tells ages beside clock times; paper tells clock times alone, with
//     the day when that is not the handover's. In the hour that the clock shows
//     twice each says which of the two it is. What is old carries its age on both.
//
// Caveat: a name inside a note, a task or a plan is the words of whoever charted
// it and is shown as it is.
package page
